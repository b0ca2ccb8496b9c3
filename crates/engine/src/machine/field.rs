//! The one table of a machine's measurable properties. Everything that must treat them all alike
//! (what was entered, what a draw resolves to, defaults of a class, reading, asking) is made from
//! it, so a property cannot be known in one place and forgotten in another.

use units::{
    Acceleration, ApparentPower, Current, Flow, Force, Length, Mass, Money, Number, Power,
    Quantity, Rpm, Speed, Stress, Time, Torque, Value, Voltage,
};

/// A plain property of a machine in one draw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Known<Q> {
    /// Somebody measured or stated it.
    Yes(Q),
    /// Nobody did; this is the default of its class, with the ends of its band. Good for estimates of time and cost,
    /// never for a yes.
    Default {
        /// Value in this draw.
        value: Q,
        /// Least the class has.
        low: Q,
        /// Most the class has.
        high: Q,
    },
    /// Nobody did and there is no sourced default.
    No,
}

impl<Q: Quantity> Known<Q> {
    /// The value if somebody stated it.
    pub fn stated(self) -> Option<Q> {
        match self {
            Known::Yes(q) => Some(q),
            _ => None,
        }
    }

    /// The best value there is, stated or default; only for estimates.
    pub fn estimate(self) -> Option<Q> {
        match self {
            Known::Yes(value) | Known::Default { value, .. } => Some(value),
            Known::No => None,
        }
    }
}

macro_rules! machine_fields {
    ($($(#[$meta:meta])* $field:ident: $quantity:ident, $key:literal, $ask:literal;)+) => {
        /// Measurable properties of a machine as entered: each with origin and spread, or missing.
        #[derive(Clone, Debug, Default, PartialEq)]
        pub struct EnteredProperties { $($(#[$meta])* pub $field: Option<Value<$quantity>>,)+ }

        /// Default bands of a machine class; a property without a sourced band is absent.
        #[derive(Clone, Debug, Default, PartialEq)]
        pub struct ClassProperties { $($(#[$meta])* pub $field: Option<Value<$quantity>>,)+ }

        /// Plain properties in one draw.
        #[derive(Clone, Debug, PartialEq)]
        pub struct Properties { $($(#[$meta])* pub $field: Known<$quantity>,)+ }

        impl Default for Properties {
            fn default() -> Self { Self { $($field: Known::No,)+ } }
        }

        /// Name of a measurable property.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[allow(missing_docs, reason = "each variant is described by Field::ask")]
        #[allow(non_camel_case_types, reason = "variants carry the names of the fields they stand for")]
        pub enum Field { $($field,)+ }

        impl Field {
            /// All of them, in the order a buyer reads a spec sheet.
            pub const ALL: &'static [Field] = &[$(Field::$field,)+];

            /// True when fits and times may turn on it; weight, outside sizes, supply and what follows
            /// them are the site's and the money's.
            pub fn is_of_fits(self) -> bool {
                self < Field::weight
            }

            /// Key in offer files ("travel_x").
            pub fn key(self) -> &'static str { match self { $(Field::$field => stringify!($field),)+ } }

            /// Name in JSON, with its unit ("travel_x_mm").
            pub fn json_name(self) -> &'static str { match self { $(Field::$field => $key,)+ } }

            /// The question to a seller.
            pub fn ask(self) -> &'static str { match self { $(Field::$field => $ask,)+ } }
        }

        /// What to do with each property, whatever its quantity.
        pub trait ForEachEntered {
            /// Called for every property with its name and slot.
            fn visit<Q: Quantity>(&mut self, field: Field, slot: &mut Option<Value<Q>>);
        }

        impl EnteredProperties {
            /// Visits every property in the order of [`Field::ALL`].
            pub fn for_each(&mut self, visitor: &mut impl ForEachEntered) {
                $(visitor.visit(Field::$field, &mut self.$field);)+
            }

            /// True when the property was entered.
            pub fn has(&self, field: Field) -> bool {
                match field { $(Field::$field => self.$field.is_some(),)+ }
            }

            /// Forgets a property.
            pub fn forget(&mut self, field: Field) {
                match field { $(Field::$field => self.$field = None,)+ }
            }
        }

        impl ClassProperties {
            /// Visits every property in the order of [`Field::ALL`].
            pub fn for_each(&mut self, visitor: &mut impl ForEachEntered) {
                $(visitor.visit(Field::$field, &mut self.$field);)+
            }
        }

        impl Properties {
            /// Plain values of a draw: what was entered, else the default of the class. `name` is
            /// the offer, so that an unknown property of each offer is a random input of its own.
            pub fn resolve(
                entered: &EnteredProperties,
                class: &ClassProperties,
                name: &str,
                draw: units::Draw,
            ) -> Self {
                Self { $($field: resolve_one(entered.$field.as_ref(), class.$field.as_ref(), name, Field::$field, draw),)+ }
            }

            /// True when somebody stated the property.
            pub fn is_stated(&self, field: Field) -> bool {
                match field { $(Field::$field => matches!(self.$field, Known::Yes(_)),)+ }
            }

            /// The same with every class default taken as if it were stated: what a usual machine of
            /// the class would do. Only for pictures of classes, never for an offer.
            pub fn as_if_stated(&self) -> Self {
                Self { $($field: match self.$field {
                    Known::Default { value, .. } => Known::Yes(value),
                    known => known,
                },)+ }
            }

            /// The same without class defaults: what was stated, and nothing else.
            pub fn only_stated(&self) -> Self {
                Self { $($field: match self.$field {
                    Known::Default { .. } => Known::No,
                    known => known,
                },)+ }
            }

            /// The same with one property stated, in base units.
            pub fn state(&mut self, field: Field, base: f64) {
                match field { $(Field::$field => self.$field = Known::Yes(Quantity::from_base(base)),)+ }
            }

            /// Number of base units of the property, if there is any value at all.
            pub fn base(&self, field: Field) -> Option<f64> {
                match field { $(Field::$field => self.$field.estimate().map(Quantity::base),)+ }
            }
        }
    };
}

fn resolve_one<Q: Quantity>(
    entered: Option<&Value<Q>>,
    class: Option<&Value<Q>>,
    name: &str,
    field: Field,
    draw: units::Draw,
) -> Known<Q> {
    match (entered, class) {
        (Some(value), _) => Known::Yes(draw.take(value)),
        (None, Some(default)) => {
            let mut own = default.clone();
            own.id = units::InputId(format!("offers/{name}/{}", field.key()));
            let (low, high) = own.ends();
            Known::Default {
                value: draw.take(&own),
                low,
                high,
            }
        }
        (None, None) => Known::No,
    }
}

machine_fields! {
    /// Travel of X.
    travel_x: Length, "travel_x_mm", "How far does X travel?";
    /// Travel of Y.
    travel_y: Length, "travel_y_mm", "How far does Y travel?";
    /// Travel of Z.
    travel_z: Length, "travel_z_mm", "How far does Z travel?";
    /// Lowest position of the spindle nose above the table.
    nose_to_table_min: Length, "nose_to_table_min_mm", "How close does the spindle nose come to the table at the bottom of Z?";
    /// Highest position of the spindle nose above the table.
    nose_to_table_max: Length, "nose_to_table_max_mm", "How far is the spindle nose above the table at the top of Z?";
    /// Spindle axis to column.
    throat: Length, "throat_mm", "How far is the spindle axis from the column?";
    /// Width of the opening of the machine's own door.
    door_width: Length, "door_width_mm", "How wide does the machine's own door open (without an enclosure: how long is its table)?";
    /// Table length.
    table_x: Length, "table_x_mm", "How long is the table?";
    /// Table width.
    table_y: Length, "table_y_mm", "How wide is the table?";
    /// Permitted load on the table.
    table_load: Mass, "table_load_kg", "What load may the table carry?";
    /// Lowest spindle speed.
    spindle_rpm_min: Rpm, "spindle_rpm_min", "What is the lowest spindle speed?";
    /// Highest spindle speed.
    spindle_rpm_max: Rpm, "spindle_rpm_max", "What is the highest spindle speed?";
    /// Continuous spindle power.
    spindle_power: Power, "spindle_power_kw", "What power does the spindle give continuously (S1)?";
    /// Highest continuous spindle torque.
    spindle_torque: Torque, "spindle_torque_nm", "What torque does the spindle give, and up to which speed?";
    /// Speed up to which the torque holds.
    spindle_torque_rpm: Rpm, "spindle_torque_rpm", "Up to which speed does the full torque hold?";
    /// Spindle power for a limited time or share of the time.
    spindle_power_peak: Power, "spindle_power_peak_kw", "What power does the spindle give for a while (S6, S2 or 30 min), and for how long?";
    /// Spindle torque for a limited time.
    spindle_torque_peak: Torque, "spindle_torque_peak_nm", "What torque does the spindle give for a while, and for how long?";
    /// Highest speed of the low gear or belt position; missing on a spindle of one range.
    spindle_low_range_rpm_max: Rpm, "spindle_low_range_rpm_max", "Has it gears or belt steps; what is the highest speed in the low one?";
    /// Highest speed of rigid tapping; 0 when it cannot.
    rigid_tapping_rpm: Rpm, "rigid_tapping_rpm", "Does it tap rigidly, and up to which speed?";
    /// Thrust of the weakest axis.
    axis_thrust: Force, "axis_thrust_n", "What thrust do the axes give continuously?";
    /// Deepest cut somebody has seen it take in steel, with an end mill at half its width.
    steel_depth_seen: Length, "steel_depth_seen_mm", "What is the deepest cut you have seen it take in steel without chatter, an end mill at half its width?";
    /// 1 for box ways, 0 for rolling guides.
    box_ways: Number, "box_ways", "Box ways or linear rolling guides?";
    /// Tools the changer holds; 0 without a changer.
    changer_pockets: Number, "changer_pockets", "How many tools does the changer hold?";
    /// Largest tool diameter in the changer.
    tool_diameter_max: Length, "tool_diameter_max_mm", "How wide may a tool be?";
    /// Longest tool.
    tool_length_max: Length, "tool_length_max_mm", "How long may a tool be?";
    /// Heaviest tool.
    tool_weight_max: Mass, "tool_weight_max_kg", "How heavy may a tool be?";
    /// Tool change, chip to chip.
    tool_change: Time, "tool_change_s", "How long does a tool change take, chip to chip?";
    /// Width of the table's T-slots.
    slot_width: Length, "slot_width_mm", "How wide are the T-slots of the table?";
    /// Number of the table's T-slots.
    slot_count: Number, "slot_count", "How many T-slots has the table?";
    /// Distance of neighbouring T-slots, middle to middle.
    slot_spacing: Length, "slot_spacing_mm", "How far apart are the T-slots of the table, middle to middle?";
    /// Coolant: 0 none, 1 flood or mist, 2 through the spindle.
    coolant: Number, "coolant", "Has it coolant, and through the spindle?";
    /// Touch probe for the work: 0 or 1.
    probe: Number, "probe", "Has it a touch probe for the work?";
    /// Rotary axes beside X, Y, Z: 0, 1 (a 4th axis) or 2.
    rotary_axes: Number, "rotary_axes", "Has it a 4th axis, or two rotary axes?";
    /// Memory for part programs, kilobytes.
    program_memory: Number, "program_memory_kb", "How many kilobytes of program does the control hold?";
    /// Programs can be run from a computer, a stick or a network while they load: 0 or 1.
    drip_feed: Number, "drip_feed", "Can it run programs longer than its memory from a computer, stick or network?";
    /// Short moves the control works off in a second.
    block_rate: Number, "block_rate_per_s", "How many blocks a second does the control work off?";
    /// Rapid traverse.
    rapid: Speed, "rapid_m_min", "How fast are the rapid moves?";
    /// Highest cutting feed.
    feed_max: Speed, "feed_max_m_min", "What is the highest cutting feed?";
    /// Axis acceleration.
    acceleration: Acceleration, "acceleration_m_s2", "What acceleration do the axes reach?";
    /// Positioning accuracy, as the seller states it.
    positioning_accuracy: Length, "positioning_accuracy_mm", "What positioning accuracy does the maker state, and by which standard?";
    /// Repeatability, as the seller states it.
    repeatability: Length, "repeatability_mm", "What repeatability does the maker state, and by which standard?";
    /// Weight as shipped.
    weight: Mass, "weight_kg", "What does the machine weigh?";
    /// Length standing, left to right.
    length: Length, "length_mm", "How wide is the machine, left to right, with doors and cabinet?";
    /// Depth standing, front to back.
    width: Length, "width_mm", "How deep is the machine, front to back, with the cabinet?";
    /// Height standing, Z up.
    height: Length, "height_mm", "How high is the machine with Z all the way up?";
    /// Least height for moving, Z down and what comes off taken off.
    height_moving: Length, "height_moving_mm", "How high is the machine at its lowest for moving: Z down, head, column cover or enclosure top off?";
    /// Feet it stands on.
    foot_count: Number, "foot_count", "On how many feet does it stand (foundation drawing)?";
    /// Load on the most loaded foot.
    foot_load: Mass, "foot_load_kg", "What does the most loaded foot carry (foundation drawing)?";
    /// Side of a square foot or plate.
    foot_size: Length, "foot_size_mm", "How wide is a foot or its plate (foundation drawing)?";
    /// Least distance between two feet.
    foot_spacing: Length, "foot_spacing_mm", "How far apart are the two closest feet (foundation drawing)?";
    /// Centre of gravity from the front.
    gravity_from_front: Length, "gravity_from_front_mm", "How far from the front is the centre of gravity (maker's lifting drawing)?";
    /// Largest motor inside.
    largest_motor: Power, "largest_motor_kw", "What is the largest motor inside (nameplate)?";
    /// Sound pressure at the operator.
    noise: Number, "noise_dba", "What sound pressure level at the operator does the maker state (dBA)?";
    /// Supply voltage.
    supply_volts: Voltage, "supply_volts", "What voltage does it need?";
    /// Supply phases.
    supply_phases: Number, "supply_phases", "Single-phase or three-phase?";
    /// Full-load current on the nameplate.
    supply_amps: Current, "supply_amps", "What current stands on the nameplate?";
    /// Connected load on the nameplate.
    supply_kva: ApparentPower, "supply_kva", "What connected load (kVA) stands on the nameplate?";
    /// Air pressure needed.
    air_pressure: Stress, "air_pressure_bar", "What air pressure does it need?";
    /// Air flow needed.
    air_flow: Flow, "air_flow_l_min", "How much air does it use?";
    /// Year of make.
    year: Number, "year", "What year was it made?";
    /// Hours the control was on.
    hours_power_on: Time, "hours_power_on", "How many hours has it been switched on?";
    /// Hours the spindle was cutting.
    hours_cutting: Time, "hours_cutting", "How many hours has the spindle cut?";
    /// Asking price in the folder's currency.
    price: Money, "price", "What is the price?";
}
