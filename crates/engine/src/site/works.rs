//! What must be built, bought or hired before the machine can run here, priced in the folder's
//! money, and whom to ask for leave.

mod moving;

pub use moving::before_the_truck as moving;
pub(super) use moving::taking_apart;

use super::air::{Air, Enough};
use super::answer::{SiteAnswer, Work};
use super::converter::{Choice, Kind};
use super::electrical::{Circuit, Electrical};
use super::floor::Carries;
use super::{UsdRate, texts};
use crate::machine::Machine;
use serde::Serialize;
use units::Power;

/// Names of the works there can be.
pub const WORKS: [&str; 8] = [
    "converter",
    "transformer",
    "circuit",
    "supply upgrade",
    "slab pad",
    "floor engineer",
    "compressor",
    "air dryer",
];

/// Somebody whose leave is needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Permission {
    /// Whom.
    pub who: &'static str,
    /// What to ask.
    pub ask: &'static str,
    /// What happens otherwise.
    pub why: &'static str,
}

/// Leave to be had before anything is signed. Common practice, no source.
pub const PERMISSIONS: [Permission; 6] = [
    Permission {
        who: "landlord or lender",
        ask: "May a machine of this weight, current, noise and coolant stand here, and may I alter wiring and floor? Who owns what I build in?",
        why: "a lease can forbid it, or keep your panel when you leave",
    },
    Permission {
        who: "zoning or planning office",
        ask: "Is machining allowed at this address: as a home business, with deliveries by truck, with noise at what hours?",
        why: "a neighbour's complaint can close a shop that was never allowed",
    },
    Permission {
        who: "insurer",
        ask: "Do building, contents and liability stay covered with a machine tool, coolant, chips and parts for others; and is the machine covered on the truck, on the hook and in the door?",
        why: "a household policy usually ends where a business begins",
    },
    Permission {
        who: "fire authority",
        ask: "What do oil coolant, mist, magnesium or titanium chips and the battery or gas nearby ask for: extinguishers, storage, detection?",
        why: "oil coolant burns as class B, fine magnesium and titanium as class D",
    },
    Permission {
        who: "utility and electrical inspector",
        ask: "Is a permit needed for the circuit and the converter, may a motor of this size start on this service, and when can an inspector come?",
        why: "an uninspected circuit can void the insurance, a hard start dims the street",
    },
    Permission {
        who: "water authority or waste hauler",
        ask: "Where do spent coolant, tramp oil and sludge go, and what papers go with them?",
        why: "coolant in a drain is an offence in most places",
    },
];

/// Half-ready price: US dollars low, likely, high.
struct Priced<'a> {
    name: &'static str,
    dollars: [f64; 3],
    lead_days: u32,
    why: &'a str,
    source: &'a str,
    caution: &'static str,
}

const MEMORY: &str = "from memory";

/// Adds every work the checks call for.
pub(super) fn add(machine: &Machine, usd: UsdRate, answer: &mut SiteAnswer) {
    let mut works: Vec<Work> = Vec::new();
    for priced in electrical(&answer.electrical)
        .into_iter()
        .chain(floor(answer))
        .chain(air(machine, &answer.air))
    {
        works.push(work(&priced, usd));
    }
    answer.works.extend(works);
}

fn work(priced: &Priced<'_>, usd: UsdRate) -> Work {
    let [low, likely, high] = priced.dollars.map(|d| usd.money(d));
    Work {
        name: priced.name,
        low,
        likely,
        high,
        lead_days: priced.lead_days,
        why: priced.why.to_owned(),
        source: usd.source(priced.source),
        stated: None,
        caution: priced.caution,
    }
}

fn electrical(e: &Electrical) -> Vec<Priced<'static>> {
    let mut list = Vec::new();
    let caution = e.caution;
    let supply = e.supply.as_ref();
    // Without a current the price of a middling machine, 10 kVA.
    let kva = supply.map_or(10.0, |s| {
        s.load_amps * s.machine.volts * s.machine.phases.power_factor_of_lines() / 1000.0
    });
    if e.converter == Some(true) {
        let of =
            |kind: Kind| -> Option<&Choice> { supply?.choices.iter().find(|c| c.kind == kind) };
        let dollars = match (of(Kind::Rotary), of(Kind::Digital)) {
            (Some(r), Some(d)) => [r.price_usd[0], r.price_usd[1], d.price_usd[2]],
            // The same bands without a size.
            _ => [900.0, 1900.0, 5000.0],
        };
        list.push(Priced {
            name: "converter",
            dollars,
            lead_days: 21,
            why: texts::CONVERTER,
            source: "from a rotary converter to a digital one, from memory",
            caution,
        });
    }
    if e.transformer == Some(true) {
        let size = supply
            .and_then(|s| s.transformer.as_ref()?.kva)
            .unwrap_or(1.25 * kva);
        list.push(Priced {
            name: "transformer",
            dollars: [
                200.0 + 30.0 * size,
                400.0 + 60.0 * size,
                800.0 + 120.0 * size,
            ],
            lead_days: 21,
            why: texts::TRANSFORMER,
            source: MEMORY,
            caution,
        });
    }
    let [low, likely, high] = circuit_price(e);
    let (dollars, why) = if e.outlet {
        ([0.0, 0.0, likely], texts::OUTLET)
    } else {
        ([low, likely, high], texts::CIRCUIT)
    };
    list.push(Priced {
        name: "circuit",
        dollars,
        lead_days: 14,
        why,
        source: MEMORY,
        caution,
    });
    if e.spare_amps.is_some_and(|s| s.to_a() < 0.0) {
        list.push(Priced {
            name: "supply upgrade",
            dollars: [1500.0, 5000.0, 20_000.0],
            lead_days: 60,
            why: texts::UPGRADE,
            source: "from memory; buyers report five-figure upgrades (visualfoodie.com shop-lease accounts)",
            caution,
        });
    }
    list
}

/// Breaker, disconnect and hours, and by the metre copper, conduit and labour. From memory; without a
/// length or a current the span of small shops.
fn circuit_price(e: &Electrical) -> [f64; 3] {
    let unknown = [150.0, 600.0, 2500.0];
    let Some(supply) = &e.supply else {
        return unknown;
    };
    let circuit: &Circuit = supply.source.as_ref().unwrap_or(&supply.machine);
    let Some(length) = e.run else { return unknown };
    let copper = f64::from(circuit.wires + 1) * circuit.section_mm2 * length.to_m();
    let metres = length.to_m();
    [
        150.0 + 0.20 * copper + 6.0 * metres,
        350.0 + 0.30 * copper + 20.0 * metres,
        900.0 + 0.50 * copper + 60.0 * metres,
    ]
}

fn floor(answer: &SiteAnswer) -> Vec<Priced<'static>> {
    let caution = texts::FLOOR_CAUTION;
    match answer.floor.carries {
        Carries::No => vec![Priced {
            name: "slab pad",
            dollars: [1500.0, 4000.0, 12_000.0],
            lead_days: 35,
            why: texts::PAD,
            source: "from memory; four weeks until concrete carries its load",
            caution,
        }],
        Carries::Engineer => vec![Priced {
            name: "floor engineer",
            dollars: [300.0, 800.0, 2500.0],
            lead_days: 21,
            why: texts::ENGINEER,
            source: MEMORY,
            caution,
        }],
        Carries::Yes | Carries::CannotSay => Vec::new(),
    }
}

fn compressor(hp: f64, why: &str) -> Priced<'_> {
    Priced {
        name: "compressor",
        dollars: [150.0 + 90.0 * hp, 300.0 + 180.0 * hp, 700.0 + 420.0 * hp],
        lead_days: 10,
        why,
        source: MEMORY,
        caution: texts::AIR_CAUTION,
    }
}

/// A compressor beside the one there is, for machines that run at once.
pub(super) fn second_compressor(motor: Power, usd: UsdRate) -> Work {
    let priced = Priced {
        name: "second compressor",
        ..compressor(motor.to_hp(), texts::SECOND_COMPRESSOR)
    };
    work(&priced, usd)
}

fn air(machine: &Machine, air: &Air) -> Vec<Priced<'static>> {
    let p = &machine.properties;
    let caution = texts::AIR_CAUTION;
    // Only a machine that says so, or whose class does, needs air.
    let needed = p.air_flow.estimate().is_some() || p.air_pressure.estimate().is_some();
    let mut list = Vec::new();
    if !needed || air.enough == Enough::Yes && air.compressor_kw.is_none() {
        return list;
    }
    if air.enough == Enough::No || (air.enough == Enough::CannotSay && !air.compressor_known) {
        let hp = air.compressor_kw.map_or(3.0, Power::to_hp);
        list.push(compressor(hp, texts::COMPRESSOR));
    }
    if air.dry != Some(true) {
        list.push(Priced {
            name: "air dryer",
            dollars: [60.0, 450.0, 1400.0],
            lead_days: 10,
            why: texts::DRYER,
            source: MEMORY,
            caution,
        });
    }
    list
}
