//! What is known of a room's floor, supply, air and neighbours. One table lists the measurable
//! facts; entered and plain forms and the reader's keys are made from it.

use serde::Serialize;
use units::{
    ApparentPower, Area, Current, Draw, Flow, Length, Mass, Number, Power, Quantity, Stress,
    SubgradeModulus, Value, Volume,
};

/// What the machine stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FloorKind {
    /// Concrete on the ground.
    Slab,
    /// Timber or steel joists, or a slab over a cellar.
    Joists,
    /// Earth, gravel, asphalt, pavers.
    SoftGround,
}

/// What cracks the slab shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Cracks {
    /// None, or hairlines.
    Hairline,
    /// Wide enough for a coin, or one side higher than the other.
    Wide,
}

/// Which wiring rules the folder states.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WiringRules {
    /// NFPA 70 and 79.
    Nec,
    /// IEC 60364 and 60204-1.
    Iec,
}

/// The words among the facts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Words {
    /// Kind of floor.
    pub floor: Option<FloorKind>,
    /// Its cracks.
    pub cracks: Option<Cracks>,
    /// Wiring rules.
    pub rules: Option<WiringRules>,
}

macro_rules! facts {
    ($($(#[$meta:meta])* $field:ident: $quantity:ident;)+) => {
        /// Facts as entered, each with origin and spread, or missing.
        #[derive(Clone, Debug, Default, PartialEq)]
        pub struct EnteredFacts {
            /// Those said in words.
            pub words: Words,
            $($(#[$meta])* pub $field: Option<Value<$quantity>>,)+
        }

        /// Plain facts of a draw; `None` where nobody measured.
        #[derive(Clone, Copy, Debug, Default, PartialEq)]
        pub struct Facts {
            /// Those said in words.
            pub words: Words,
            $($(#[$meta])* pub $field: Option<$quantity>,)+
        }

        impl Facts {
            /// States one fact of a key, in base units; a key of nothing states nothing.
            pub fn state(&mut self, key: &str, base: f64) {
                $(if key == stringify!($field) {
                    self.$field = Some(Quantity::from_base(base));
                })+
            }
        }

        /// What to do with each fact, whatever its quantity.
        pub trait ForEachFact {
            /// Called for every fact with its key and slot.
            fn visit<Q: Quantity>(&mut self, key: &'static str, slot: &mut Option<Value<Q>>);
        }

        impl EnteredFacts {
            /// Visits every fact in the order of the table.
            pub fn for_each(&mut self, visitor: &mut impl ForEachFact) {
                $(visitor.visit(stringify!($field), &mut self.$field);)+
            }

            /// Plain values of a draw.
            pub fn resolve(&self, draw: Draw) -> Facts {
                Facts {
                    words: self.words,
                    $($field: self.$field.as_ref().map(|v| draw.take(v)),)+
                }
            }
        }
    };
}

facts! {
    /// Thickness of the slab, drilled or measured at an edge.
    slab_thickness: Length;
    /// Compressive strength of its concrete.
    concrete_strength: Stress;
    /// Modulus of subgrade reaction under it.
    subgrade: SubgradeModulus;
    /// Wiring run from the panel to the spot.
    panel_distance: Length;
    /// Rating of the service or panel.
    service_amps: Current;
    /// Highest demand metered on it.
    measured_demand: Current;
    /// Floor area of the dwelling on the same service.
    dwelling_area: Area;
    /// Small-appliance and laundry circuits of the dwelling.
    small_circuits: Number;
    /// Nameplate sum of the dwelling's fixed appliances.
    appliances: ApparentPower;
    /// Nameplate of its electric heating.
    heating: ApparentPower;
    /// Nameplate of its air conditioning.
    cooling: ApparentPower;
    /// Way to the nearest three-phase line.
    three_phase_distance: Length;
    /// Air the compressor delivers.
    compressor_flow: Flow;
    /// Pressure it keeps.
    compressor_pressure: Stress;
    /// Its motor.
    compressor_power: Power;
    /// Volume of the receiver.
    receiver: Volume;
    /// Dew point of the dried air, C.
    dew_point_c: Number;
    /// Distance from the machine to the boundary or the neighbour.
    boundary: Length;
    /// Hours a day somebody stands beside the running machine.
    hours_beside: Number;
    /// Rated capacity of the fork truck at hand.
    fork_capacity: Mass;
    /// Load centre that capacity is rated at.
    fork_load_centre: Length;
    /// Working load limit of the tie-downs together.
    tie_downs: Mass;
    /// Payload of the trailer.
    trailer_payload: Mass;
}
