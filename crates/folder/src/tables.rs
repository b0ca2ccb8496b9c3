//! Materials and machine classes: the tables inside the program, and the folder's own on top of
//! them, read alike.

use crate::document::{self, Table};
use crate::offers::taper;
use crate::parts::id_text;
use crate::properties::ReadEach;
use crate::quantity::Least;
use crate::rates::Rates;
use crate::section::{Section, Sink};
use crate::texts;
use engine::cutting::{IsoGroup, Material, Materials};
use engine::ids::{ClassId, MaterialId};
use engine::machine::{ClassProperties, ForEachEntered, MachineClass};
use std::collections::BTreeMap;
use std::sync::OnceLock;
use units::{Currency, Money, Number, Origin, Problem, Problems, Quantity, Value};

/// The built-in tables, by the names they have in messages.
pub(crate) const MATERIALS: (&str, &str) = (
    "data/materials.toml",
    include_str!("../../../data/materials.toml"),
);
pub(crate) const CLASSES: (&str, &str) = (
    "data/classes.toml",
    include_str!("../../../data/classes.toml"),
);

/// A table to read: its file and its content.
pub(crate) struct File<'a> {
    pub(crate) name: &'a str,
    pub(crate) table: &'a Table,
    /// True for the program's own, whose numbers are assumed rather than stated and whose prices
    /// are in USD.
    pub(crate) built_in: bool,
}

/// The built-in materials and classes as trees, parsed once.
pub(crate) fn built_in(sink: &Sink) -> [&'static Table; 2] {
    static TREES: OnceLock<[Result<Table, Problem>; 2]> = OnceLock::new();
    let trees = TREES.get_or_init(|| {
        [MATERIALS, CLASSES].map(|(name, text)| document::parse(name, text.as_bytes()))
    });
    static NOTHING: Table = Table {
        line: 0,
        entries: Vec::new(),
    };
    trees.each_ref().map(|tree| match tree {
        Ok(table) => table,
        Err(problem) => {
            sink.push(problem.clone());
            &NOTHING
        }
    })
}

/// The built-in materials, with those of one file (its name and content) on top. Its prices must be
/// in US dollars, there being no folder whose money they could be in.
pub fn materials(own: Option<(&str, &[u8])>) -> Result<Materials, Problems> {
    let sink = Sink::default();
    let rates = Rates {
        own: Currency::USD,
        rates: Vec::new(),
        excused: Vec::new(),
        // Prices play no part here.
        all_excused: true,
    };
    let mut materials = Materials::default();
    let [table, _] = built_in(&sink);
    let built_in = File {
        name: MATERIALS.0,
        table,
        built_in: true,
    };
    add_materials(&built_in, &rates, &sink, &mut materials);
    if let Some((name, content)) = own {
        match document::parse(name, content) {
            Ok(table) => {
                let file = File {
                    name,
                    table: &table,
                    built_in: false,
                };
                add_materials(&file, &rates, &sink, &mut materials);
            }
            Err(problem) => sink.push(problem),
        }
    }
    let problems = sink.into_problems();
    if problems.stop() {
        Err(problems)
    } else {
        Ok(materials)
    }
}

/// Rates with which the built-in tables are read: in a folder without a rate for the US dollar the
/// amounts are read as they stand and then left out.
fn with_dollars(rates: &Rates) -> (Rates, bool) {
    match rates.of(Currency::USD) {
        Some(_) => (rates.clone(), true),
        None => {
            let mut own = rates.clone();
            own.own = Currency::USD;
            (own, false)
        }
    }
}

/// True when built-in prices cannot be turned into the folder's money.
pub(crate) fn prices_left_out(rates: &Rates) -> bool {
    !with_dollars(rates).1
}

/// Adds the materials of a table; a later one of the same id replaces an earlier.
pub(crate) fn add_materials(
    file: &File<'_>,
    rates: &Rates,
    sink: &Sink,
    materials: &mut Materials,
) {
    let (rates, priced) = rates_for(file, rates);
    let section = Section::new(file.name, file.table, sink);
    let mut first_lines = BTreeMap::new();
    for each in section.sections("material") {
        let line = each.place_of("id");
        let Some(mut material) = material(each, &rates, file.built_in) else {
            continue;
        };
        if let Some(first) = first_lines.insert(material.id.clone(), line.line) {
            sink.push(texts::duplicate_entry(
                line,
                "material",
                &material.id.0,
                first,
            ));
            continue;
        }
        if !priced {
            material.stock_price_kg = None;
        }
        materials.0.insert(material.id.clone(), material);
    }
    section.finish();
}

fn rates_for(file: &File<'_>, rates: &Rates) -> (Rates, bool) {
    if file.built_in {
        with_dollars(rates)
    } else {
        (rates.clone(), true)
    }
}

const GROUPS: [(&str, IsoGroup); 7] = [
    ("P", IsoGroup::P),
    ("M", IsoGroup::M),
    ("K", IsoGroup::K),
    ("N", IsoGroup::N),
    ("S", IsoGroup::S),
    ("H", IsoGroup::H),
    ("O", IsoGroup::O),
];

fn material(section: Section<'_>, rates: &Rates, built_in: bool) -> Option<Material> {
    for (key, example) in [
        ("id", "id = \"6061\""),
        (
            "group",
            "its letter of ISO 513, or O for plastics: group = \"N\"",
        ),
        ("density", "kilograms a cubic metre: density = 2700"),
        ("kc11", "kc11 = \"600 | 700 | 830 MPa\""),
        ("mc", "mc = 0.25"),
        ("speed_carbide", "speed_carbide = \"240 | 300 | 600 m/min\""),
        ("speed_hss", "speed_hss = \"60 | 90 | 150 m/min\""),
        (
            "feed_per_diameter",
            "feed_per_diameter = \"0.005 | 0.008 | 0.010\"",
        ),
        ("source", "where the numbers come from"),
    ] {
        section.require(key, example);
    }
    let id = section.with("id", id_text);
    let prefix = format!("materials/{}", id.as_deref().unwrap_or("?"));
    let source = section.text("source");
    let name = section.text("name");
    let aliases = section.texts("aliases");
    let group = section.choice("group", &GROUPS);
    let density: Option<Number> = section.plain("density", Least::AboveZero);
    let kc11 = section.value("kc11", &prefix, Least::AboveZero);
    let mc: Option<Value<Number>> = section.value("mc", &prefix, Least::Zero);
    if let Some(mc) = &mc
        && mc.ends().1.to_number() >= 1.0
    {
        section.wrong("mc", texts::mc_too_large());
    }
    let speed_carbide = section.value("speed_carbide", &prefix, Least::AboveZero);
    let speed_hss = section.value("speed_hss", &prefix, Least::AboveZero);
    let feed = section.value("feed_per_diameter", &prefix, Least::AboveZero);
    let feed_hss = section.value("feed_per_diameter_hss", &prefix, Least::AboveZero);
    let drill_factor = section.value("drill_factor", &prefix, Least::AboveZero);
    let tap_force = section.value("tap_force", &prefix, Least::AboveZero);
    let tap_force_section = section.value("tap_force_section", &prefix, Least::AboveZero);
    let subgroup = section.text("subgroup");
    let caution = section.text("caution");
    let price = section.money("stock_price", &prefix, Least::Zero, rates);
    section.finish();
    let source = source?;
    let id = id?;
    let from = built_in.then_some(source.as_str());
    Some(Material {
        name: name.unwrap_or_else(|| id.clone()),
        id: MaterialId(id),
        aliases,
        group: group?,
        density_kg_m3: density?.to_number(),
        kc11: assumed(kc11?, from),
        mc: assumed(mc?, from),
        subgroup,
        speed_carbide: assumed(speed_carbide?, from),
        speed_hss: assumed(speed_hss?, from),
        feed_per_diameter: assumed(feed?, from),
        feed_per_diameter_hss: feed_hss.map(|v| assumed(v, from)),
        drill_factor: drill_factor.map(|v| assumed(v, from)),
        tap_force: tap_force.map(|v| assumed(v, from)),
        tap_force_section: tap_force_section.map(|v| assumed(v, from)),
        caution,
        stock_price_kg: price.map(|p: Value<Money>| assumed(p, from)),
        source,
    })
}

/// A number of a built-in table is nobody's statement.
fn assumed<Q>(mut value: Value<Q>, source: Option<&str>) -> Value<Q> {
    if let Some(source) = source {
        value.origin = Origin::Assumed {
            source: source.to_owned(),
        };
    }
    value
}

/// Adds the classes of a table; a later one of the same id replaces an earlier in its place.
pub(crate) fn add_classes(
    file: &File<'_>,
    rates: &Rates,
    sink: &Sink,
    classes: &mut Vec<MachineClass>,
) {
    let (rates, priced) = rates_for(file, rates);
    let section = Section::new(file.name, file.table, sink);
    let mut first_lines = BTreeMap::new();
    for each in section.sections("class") {
        let line = each.place_of("id");
        let Some(mut class) = class(each, &rates, file.built_in) else {
            continue;
        };
        if let Some(first) = first_lines.insert(class.id.clone(), line.line) {
            sink.push(texts::duplicate_entry(line, "class", &class.id.0, first));
            continue;
        }
        if !priced {
            class.price_new = None;
            class.price_used = None;
        }
        match classes.iter_mut().find(|c| c.id == class.id) {
            Some(same) => *same = class,
            None => classes.push(class),
        }
    }
    section.finish();
}

fn class(section: Section<'_>, rates: &Rates, built_in: bool) -> Option<MachineClass> {
    section.require("id", "id = \"bench mill\"");
    section.require("source", "where the numbers come from");
    let id = section.text("id");
    let prefix = format!("classes/{}", id.as_deref().unwrap_or("?"));
    let source = section.text("source");
    let name = section.text("name");
    let taper = taper(&section);
    let price_new = section.money("price_new", &prefix, Least::AboveZero, rates);
    let price_used = section.money("price_used", &prefix, Least::AboveZero, rates);
    let mut properties = ClassProperties::default();
    properties.for_each(&mut ReadEach {
        section: &section,
        id: &prefix,
        rates,
    });
    section.finish();
    let id = id?;
    let source = source?;
    let from = built_in.then_some(source.as_str());
    properties.for_each(&mut MarkAssumed(&source));
    Some(MachineClass {
        name: name.unwrap_or_else(|| id.clone()),
        id: ClassId(id),
        properties,
        taper,
        price_new: price_new.map(|p| assumed(p, from)),
        price_used: price_used.map(|p| assumed(p, from)),
        source,
    })
}

/// Whoever wrote the class, of a given machine its numbers are assumed.
struct MarkAssumed<'a>(&'a str);

impl ForEachEntered for MarkAssumed<'_> {
    fn visit<Q: Quantity>(&mut self, _: engine::machine::Field, slot: &mut Option<Value<Q>>) {
        if let Some(value) = slot.take() {
            *slot = Some(assumed(value, Some(self.0)));
        }
    }
}
