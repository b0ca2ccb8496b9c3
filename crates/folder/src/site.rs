//! `site.toml`: the room.

use crate::document::Node;
use crate::facts;
use crate::moving;
use crate::plan;
use crate::quantity::Least;
use crate::rates::Rates;
use crate::section::Section;
use crate::source::Source;
use crate::texts;
use engine::entered::Site;
use units::{Current, Number, Place, Value, Voltage, parse_supply};

/// The room.
pub(crate) fn read(section: Section<'_>, source: &Source, rates: &Rates) -> Site {
    let mut site = Site {
        door_width: section.value("door_width", "site", Least::AboveZero),
        door_height: section.value("door_height", "site", Least::AboveZero),
        ceiling: section.value("ceiling", "site", Least::AboveZero),
        spot_length: section.value("spot_length", "site", Least::AboveZero),
        spot_width: section.value("spot_width", "site", Least::AboveZero),
        removal: section
            .section("removal")
            .map(moving::removal)
            .unwrap_or_default(),
        plan: section
            .section("plan")
            .map(|s| plan::read(s, source, rates)),
        supply_volts: section.value("supply_volts", "site", Least::AboveZero),
        supply_phases: section.value("supply_phases", "site", Least::AboveZero),
        supply_amps: section.value("supply_amps", "site", Least::AboveZero),
        facts: facts::read(&section),
    };
    if let Some([width, height]) = section.lengths("door", "width and height") {
        fill(
            &section,
            "door",
            "door_width",
            "site",
            width,
            &mut site.door_width,
        );
        fill(
            &section,
            "door",
            "door_height",
            "site",
            height,
            &mut site.door_height,
        );
    }
    if let Some([length, width]) = section.lengths("spot", "length and depth") {
        fill(
            &section,
            "spot",
            "spot_length",
            "site",
            length,
            &mut site.spot_length,
        );
        fill(
            &section,
            "spot",
            "spot_width",
            "site",
            width,
            &mut site.spot_width,
        );
    }
    if let Some(supply) = supply(&section, "site") {
        supply.into_slots(
            &section,
            &mut site.supply_volts,
            &mut site.supply_phases,
            &mut site.supply_amps,
        );
    }
    check_phases(&section, &mut site.supply_phases);
    section.finish();
    site
}

/// Puts a value from a shortcut key where the plain key would have put it.
pub(crate) fn fill<Q: units::Quantity>(
    section: &Section<'_>,
    shortcut: &'static str,
    key: &str,
    id: &str,
    value: Q,
    slot: &mut Option<Value<Q>>,
) {
    if slot.is_some() {
        section.push(texts::said_twice(section.place_of(shortcut), shortcut, key));
        return;
    }
    *slot = Some(Value::stated(
        format!("{id}/{key}"),
        value,
        section.place_of(shortcut),
    ));
}

/// A supply line as named inputs.
pub(crate) struct SupplyValues {
    pub(crate) volts: Option<Value<Voltage>>,
    pub(crate) phases: Option<Value<Number>>,
    pub(crate) amps: Option<Value<Current>>,
    pub(crate) kva: Option<Value<units::ApparentPower>>,
}

/// Reads the key `supply`.
pub(crate) fn supply(section: &Section<'_>, id: &str) -> Option<SupplyValues> {
    let read = section.with("supply", |node| match node {
        Node::Text(text) => {
            let read = parse_supply(text)?;
            let volts = read.volts.unwrap_or_default();
            let amps = read.amps.unwrap_or_default().to_a();
            crate::quantity::range(
                volts.0.to_v(),
                volts.1.to_v(),
                Least::Zero,
                1.0e5,
                "voltage",
                "V",
            )?;
            crate::quantity::range(amps, amps, Least::Zero, 1.0e5, "current", "A")?;
            Ok(read)
        }
        other => Err(texts::expected_hint(
            "a supply in quotes",
            &other.describe(),
            "write it like 240 V / 1PH / 100 A",
        )),
    })?;
    for remark in &read.remarks {
        section.push(texts::remark(section.place_of("supply"), &remark.text));
    }
    let place: Place = section.place_of("supply");
    Some(SupplyValues {
        volts: read.volts.map(|(low, high)| {
            let mut value = Value::stated(
                format!("{id}/supply_volts"),
                (low + high) / 2.0,
                place.clone(),
            );
            if low < high {
                value.spread = units::Spread::Range { low, high };
            }
            value
        }),
        phases: read.phases.map(|n| {
            Value::stated(
                format!("{id}/supply_phases"),
                Number::of(f64::from(n)),
                place.clone(),
            )
        }),
        amps: read
            .amps
            .map(|a| Value::stated(format!("{id}/supply_amps"), a, place.clone())),
        kva: read
            .kva
            .map(|k| Value::stated(format!("{id}/supply_kva"), k, place.clone())),
    })
}

impl SupplyValues {
    /// Into the plain keys' places, complaining where both were written.
    pub(crate) fn into_slots(
        self,
        section: &Section<'_>,
        volts: &mut Option<Value<Voltage>>,
        phases: &mut Option<Value<Number>>,
        amps: &mut Option<Value<Current>>,
    ) {
        put(section, "supply_volts", self.volts, volts);
        put(section, "supply_phases", self.phases, phases);
        put(section, "supply_amps", self.amps, amps);
    }
}

/// Moves a value from the key `supply` into its plain key's place.
pub(crate) fn put<Q>(
    section: &Section<'_>,
    key: &str,
    from: Option<Value<Q>>,
    slot: &mut Option<Value<Q>>,
) {
    match (from, &slot) {
        (None, _) => {}
        (Some(_), Some(_)) => {
            section.push(texts::said_twice(section.place_of("supply"), "supply", key));
        }
        (Some(value), None) => *slot = Some(value),
    }
}

/// There are supplies of one and of three phases.
pub(crate) fn check_phases(section: &Section<'_>, phases: &mut Option<Value<Number>>) {
    if let Some(value) = phases {
        let n = value.likely.to_number();
        if n != 1.0 && n != 3.0 {
            let key = if section.has("supply_phases") {
                "supply_phases"
            } else {
                "supply"
            };
            section.wrong(key, texts::phases(n));
            *phases = None;
        }
    }
}
