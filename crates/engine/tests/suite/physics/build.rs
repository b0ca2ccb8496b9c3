//! Parts, machines and materials for the tests.

use engine::demand::{Feature, FeatureKind, Holding, PlainPart, Shape, Side};
use engine::fit::{HoldingHeights, Practice};
use engine::ids::{ClassId, MaterialId, OfferId, PartId};
use engine::machine::{Condition, EnteredProperties, Machine, MachineClass, Offer};
use engine::material::{IsoGroup, Material, Materials};
use units::{Draw, Length, Number, Place, Quantity, Speed, Stress, Value};

pub fn inch(x: f64) -> Length {
    Length::inch(x)
}

pub fn mm(x: f64) -> Length {
    Length::mm(x)
}

fn material(
    id: &str,
    group: IsoGroup,
    density: f64,
    kc: f64,
    mc: f64,
    vc: f64,
    hss: f64,
) -> Material {
    fn band<Q: Quantity>(id: String, likely: Q) -> Value<Q> {
        let end = |k: f64| Q::from_base(k * likely.base());
        Value::assumed(id, end(0.7), likely, end(1.5), "test")
    }
    let of = |what: &str| format!("materials/{id}/{what}");
    Material {
        id: MaterialId::new(id),
        name: id.into(),
        aliases: vec![],
        group,
        density_kg_m3: density,
        kc11: band(of("kc11"), Stress::mpa(kc)),
        mc: band(of("mc"), Number::of(mc)),
        subgroup: None,
        feed_per_diameter_hss: None,
        drill_factor: None,
        tap_force: None,
        tap_force_section: None,
        caution: None,
        speed_carbide: band(of("vc"), Speed::m_min(vc)),
        speed_hss: band(of("hss"), Speed::m_min(hss)),
        feed_per_diameter: band(of("fz"), Number::of(0.006)),
        stock_price_kg: None,
        source: "ISCAR 2017 p.558, Newson p.33, Tungaloy p.1091".into(),
    }
}

/// Carbon steel (1045 class) and wrought aluminium (6061 class).
pub fn materials() -> Materials {
    Materials(
        [
            material("steel", IsoGroup::P, 7850.0, 1500.0, 0.22, 180.0, 25.0),
            material("aluminium", IsoGroup::N, 2700.0, 700.0, 0.25, 400.0, 90.0),
        ]
        .into_iter()
        .map(|m| (m.id.clone(), m))
        .collect(),
    )
}

/// A block of which nothing else is known, without allowance.
pub fn block(size: [Length; 3]) -> PlainPart {
    PlainPart {
        id: PartId::new("part"),
        name: "Part".into(),
        shape: Shape::Block(size),
        material: MaterialId::new("aluminium"),
        allowance: Length::ZERO,
        features: vec![],
        holding: Some(Holding::Vise),
        tolerance: None,
        per_year: Number::of(40.0),
        batch: Number::of(10.0),
        must_make: true,
        want: false,
    }
}

pub fn feature(side: Side, count: u32, kind: FeatureKind) -> Feature {
    Feature {
        side,
        kind,
        count,
        place: Place::default(),
    }
}

pub fn holes(diameter: f64, depth: f64, pitch: Option<f64>, tolerance: Option<f64>) -> FeatureKind {
    FeatureKind::Holes {
        diameter: mm(diameter),
        depth: mm(depth),
        pitch: pitch.map(mm),
        tolerance: tolerance.map(mm),
    }
}

pub fn stated<Q>(q: Q) -> Option<Value<Q>>
where
    Q: Quantity,
{
    Some(Value::stated("x", q, Place::default()))
}

pub fn offer(properties: EnteredProperties) -> Offer {
    Offer {
        id: OfferId::new("mill"),
        name: "Mill".into(),
        place: Place::default(),
        class: ClassId::new("class"),
        condition: Condition::Used,
        properties,
        taper: Some("R8".parse().expect("R8 is a taper")),
        control: None,
        options: vec![],
        costs: vec![],
        premium_share: 0.0,
        delivered: false,
        includes: vec![],
        closes: None,
        terms: engine::machine::SaleTerms::default(),
        dismantling: Vec::new(),
        removal: engine::entered::Removal::default(),
        risks: Vec::new(),
    }
}

/// A class that has no defaults.
pub fn no_class() -> MachineClass {
    MachineClass {
        id: ClassId::new("class"),
        name: "class".into(),
        properties: Default::default(),
        taper: None,
        price_new: None,
        price_used: None,
        source: "test".into(),
    }
}

/// Exactly what was entered.
pub fn machine(properties: EnteredProperties) -> Machine {
    engine::resolve::machine(&offer(properties), &no_class(), Draw::Likely)
}

/// Heights of the tests: a 4 in vise and 5 in of tool and holder.
pub fn practice() -> Practice {
    Practice {
        heights: HoldingHeights {
            vise: inch(4.0),
            low_vise: inch(4.0),
            soft_jaws: inch(4.0),
            plate: Length::ZERO,
            chuck: inch(4.0),
        },
        clearance: inch(0.5),
        gauge_length: Some(inch(4.0)),
        stick_out_margin: Length::ZERO,
        stick_out_least: inch(1.0),
        ..Practice::default()
    }
}
