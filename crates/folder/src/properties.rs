//! A machine's measurable properties, each under its own key, read through the one table of them.

use crate::document::Node;
use crate::quantity::{self, Least, recast};
use crate::rates::Rates;
use crate::section::{Section, money};
use crate::site::{check_phases, fill, put, supply};
use crate::texts::{self, Wrong};
use engine::machine::{EnteredProperties, Field, ForEachEntered, SpindleNumbers};
use units::{
    Entered, Money, Number, Power, Quantity, Rpm, Torque, Value, parse_rated, parse_torque_at,
};

/// Reads every property of the table that is there.
pub(crate) struct ReadEach<'s, 'a> {
    pub(crate) section: &'s Section<'a>,
    pub(crate) id: &'s str,
    pub(crate) rates: &'s Rates,
}

impl ForEachEntered for ReadEach<'_, '_> {
    fn visit<Q: Quantity>(&mut self, field: Field, slot: &mut Option<Value<Q>>) {
        let key = field.key();
        let least = least(field);
        if Q::NAME == Money::NAME {
            let read = self
                .section
                .with(key, |node| money(node, least, self.rates));
            *slot = read.map(|read| {
                recast::<Money, Q>(read)
                    .value(format!("{}/{key}", self.id), self.section.place_of(key))
            });
        } else if field == Field::box_ways {
            let read = self.section.with(key, ways);
            *slot = read.map(|read| {
                recast::<Number, Q>(read)
                    .value(format!("{}/{key}", self.id), self.section.place_of(key))
            });
        } else if field == Field::spindle_torque && self.torque_at().is_some() {
            // Torque with its speed fills two properties; see `shortcuts`.
        } else {
            *slot = self.section.value(key, self.id, least);
        }
    }
}

impl ReadEach<'_, '_> {
    fn torque_at(&self) -> Option<(Torque, Rpm)> {
        let Node::Text(text) = &self.section.get(Field::spindle_torque.key())?.node else {
            return None;
        };
        match parse_torque_at(text) {
            Ok((torque, Some(speed))) => Some((torque, speed)),
            _ => None,
        }
    }
}

/// Ways in a word, or as the number they are kept as.
fn ways(node: &Node) -> Result<Entered<Number>, Wrong> {
    let word = match node {
        Node::Flag(flag) => Some(*flag),
        Node::Text(text) => match text.trim().to_ascii_lowercase().as_str() {
            "box" | "yes" => Some(true),
            "linear" | "rolling" | "roller" | "no" => Some(false),
            _ => None,
        },
        _ => None,
    };
    match word {
        Some(flag) => Ok(Entered::exact(Number::of(f64::from(u8::from(flag))))),
        None => quantity::quantity(node, Least::Zero).map_err(|_| {
            texts::expected_hint(
                "the kind of ways",
                &node.describe(),
                "write box_ways = true for box ways, false for linear guides",
            )
        }),
    }
}

/// Zero makes sense for a nose that touches the table, a spindle that starts from standstill, a
/// machine without a changer, coolant, probe, rotary axis or transfer, a machine never used.
fn least(field: Field) -> Least {
    match field {
        Field::nose_to_table_min
        | Field::spindle_rpm_min
        | Field::rigid_tapping_rpm
        | Field::box_ways
        | Field::changer_pockets
        | Field::coolant
        | Field::probe
        | Field::rotary_axes
        | Field::drip_feed
        | Field::hours_power_on
        | Field::hours_cutting
        | Field::air_flow => Least::Zero,
        _ => Least::AboveZero,
    }
}

/// All properties of an offer, the shortcut keys among them.
pub(crate) fn read(section: &Section<'_>, id: &str, rates: &Rates) -> EnteredProperties {
    let mut read = EnteredProperties::default();
    let mut each = ReadEach { section, id, rates };
    read.for_each(&mut each);
    if let Some((torque, speed)) = each.torque_at() {
        let in_range = quantity::range(
            torque.to_nm(),
            torque.to_nm(),
            Least::AboveZero,
            1.0e6,
            Torque::NAME,
            "N m",
        )
        .and_then(|()| {
            quantity::range(
                speed.to_rpm(),
                speed.to_rpm(),
                Least::AboveZero,
                1.0e6,
                Rpm::NAME,
                "1/min",
            )
        });
        match in_range {
            Ok(()) => {
                fill(
                    section,
                    "spindle_torque",
                    "spindle_torque",
                    id,
                    torque,
                    &mut read.spindle_torque,
                );
                fill(
                    section,
                    "spindle_torque",
                    "spindle_torque_rpm",
                    id,
                    speed,
                    &mut read.spindle_torque_rpm,
                );
            }
            Err(wrong) => section.wrong("spindle_torque", wrong),
        }
    }
    if read.spindle_power_peak.is_none()
        && let Some(peak) = short_time(section)
    {
        fill(
            section,
            "spindle_power",
            "spindle_power_peak",
            id,
            peak,
            &mut read.spindle_power_peak,
        );
    }
    if let Some([x, y, z]) = section.lengths("travel", "X, Y, Z") {
        fill(section, "travel", "travel_x", id, x, &mut read.travel_x);
        fill(section, "travel", "travel_y", id, y, &mut read.travel_y);
        fill(section, "travel", "travel_z", id, z, &mut read.travel_z);
    }
    if let Some([x, y]) = section.lengths("table", "length and width") {
        fill(section, "table", "table_x", id, x, &mut read.table_x);
        fill(section, "table", "table_y", id, y, &mut read.table_y);
    }
    if let Some([length, width, height]) =
        section.lengths("footprint", "left to right, front to back, height")
    {
        fill(section, "footprint", "length", id, length, &mut read.length);
        fill(section, "footprint", "width", id, width, &mut read.width);
        fill(section, "footprint", "height", id, height, &mut read.height);
    }
    nose(section, id, &mut read);
    if let Some(supply) = supply(section, id) {
        put(
            section,
            "supply_volts",
            supply.volts,
            &mut read.supply_volts,
        );
        put(
            section,
            "supply_phases",
            supply.phases,
            &mut read.supply_phases,
        );
        put(section, "supply_amps", supply.amps, &mut read.supply_amps);
        put(section, "supply_kva", supply.kva, &mut read.supply_kva);
    }
    check_phases(section, &mut read.supply_phases);
    check_year(section, &mut read.year);
    check_order(
        section,
        "nose_to_table_min",
        &read.nose_to_table_min,
        "nose_to_table_max",
        &read.nose_to_table_max,
    );
    check_order(
        section,
        "spindle_rpm_min",
        &read.spindle_rpm_min,
        "spindle_rpm_max",
        &read.spindle_rpm_max,
    );
    check_spindle(section, &read);
    read
}

/// Numbers of a spindle that cannot all be true are told with their place; what rests on them is asked
/// for, not taken.
fn check_spindle(section: &Section<'_>, read: &EnteredProperties) {
    fn likely<Q: Quantity>(value: &Option<Value<Q>>) -> Option<Q> {
        value.as_ref().map(|v| v.likely)
    }
    let numbers = SpindleNumbers {
        power: likely(&read.spindle_power),
        power_peak: likely(&read.spindle_power_peak),
        torque: likely(&read.spindle_torque),
        torque_peak: likely(&read.spindle_torque_peak),
        torque_rpm: likely(&read.spindle_torque_rpm),
        rpm_min: likely(&read.spindle_rpm_min),
        rpm_max: likely(&read.spindle_rpm_max),
    };
    for found in numbers.contradictions() {
        section.push(texts::spindle_contradicts(
            section.place_of("spindle_torque"),
            &found,
        ));
    }
}

/// The short-time rating of "11/15 kW (S1/S6)". A text that is one plain power has none.
fn short_time(section: &Section<'_>) -> Option<Power> {
    let Node::Text(text) = &section.get(Field::spindle_power.key())?.node else {
        return None;
    };
    if units::parse_entered::<Power>(text).is_ok_and(|read| read.ends().0 != read.ends().1) {
        return None;
    }
    parse_rated(text).ok()?.short_time().map(|r| r.power)
}

/// "4 in to 22 in": both ends of what the spindle nose reaches above the table.
fn nose(section: &Section<'_>, id: &str, read: &mut EnteredProperties) {
    let range = section.with("nose_to_table", |node| {
        let wanted = |found: &str| texts::range_wanted(found);
        let Node::Text(_) = node else {
            return Err(wanted(&node.describe()));
        };
        let entered = quantity::quantity::<units::Length>(node, Least::Zero)?;
        match entered.spread {
            units::Spread::Range { low, high } => Ok((low, high)),
            _ => Err(wanted(&node.describe())),
        }
    });
    if let Some((low, high)) = range {
        fill(
            section,
            "nose_to_table",
            "nose_to_table_min",
            id,
            low,
            &mut read.nose_to_table_min,
        );
        fill(
            section,
            "nose_to_table",
            "nose_to_table_max",
            id,
            high,
            &mut read.nose_to_table_max,
        );
    }
}

fn check_year(section: &Section<'_>, year: &mut Option<Value<Number>>) {
    if let Some(value) = year {
        let (low, high) = value.ends();
        // Numerical control is not older; nothing for sale is from the next century.
        if low.to_number() < 1950.0 || high.to_number() > 2100.0 {
            section.wrong("year", texts::year(value.likely.to_number()));
            *year = None;
        }
    }
}

fn check_order<Q: Quantity>(
    section: &Section<'_>,
    low_key: &str,
    low: &Option<Value<Q>>,
    high_key: &str,
    high: &Option<Value<Q>>,
) {
    if let (Some(low), Some(high)) = (low, high)
        && low.likely > high.likely
    {
        section.wrong(low_key, texts::range_upside_down(low_key, high_key));
    }
}

/// Every property that is there, in base units.
pub(crate) fn in_base_units(read: &mut EnteredProperties) -> Vec<(Field, f64)> {
    struct Gather(Vec<(Field, f64)>);
    impl ForEachEntered for Gather {
        fn visit<Q: Quantity>(&mut self, field: Field, slot: &mut Option<Value<Q>>) {
            if let Some(value) = slot {
                self.0.push((field, value.likely.base()));
            }
        }
    }
    let mut gather = Gather(Vec::new());
    read.for_each(&mut gather);
    gather.0
}
