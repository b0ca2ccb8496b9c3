//! The machine on the supply: phases, voltage, current.

use super::answer::{SiteAnswer, SiteAsk, SiteLimit, Work};
use super::{Room, UsdRate, texts};
use crate::machine::{Field, Machine};
use serde::Serialize;
use units::{Current, Quantity};

/// Conductors and the like are sized for 125 % of a motor's full-load current (NEC 430.22; Code
/// Q&A of EC&M, 20 March 2014: 22 A gives 27.5 A).
const CONTINUOUS: f64 = 1.25;
/// Supply voltage a machine accepts, either way, as a share of the nameplate's (IEC 60204-1 clause
/// 4.3.2, steady state; from memory).
const VOLTAGE_BAND: f64 = 0.10;

/// The supply compared.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Electrical {
    /// Full-load current of the machine at its own voltage and phases.
    pub machine_amps: Option<Current>,
    /// Current the supply must give: after converter and transformer, times 125 %.
    pub need_amps: Option<Current>,
    /// Left of the supply; negative when short.
    pub spare_amps: Option<Current>,
    /// True when a phase converter or a drive fed on one phase is needed.
    pub converter: Option<bool>,
    /// True when a transformer is needed.
    pub transformer: Option<bool>,
    /// Where the rules come from.
    pub source: &'static str,
    /// What it must not be taken for.
    pub caution: &'static str,
}

const SOURCE: &str = "125 % of full-load current: NEC 430.22 (EC&M Code Q&A, 20 Mar 2014); one phase in place of three draws sqrt 3 times the current (industrialmonitordirect.com, sizing drives for single-phase input)";

pub(super) fn check(
    machine: &Machine,
    room: &Room,
    usd: UsdRate,
    answer: &mut SiteAnswer,
) -> Electrical {
    let p = &machine.properties;
    ask_missing(machine, room, answer);
    // Defaults of the class price the likely works; the questions above keep them from a yes.
    let phases = p.supply_phases.estimate().map(Quantity::base);
    let volts = p.supply_volts.estimate().map(Quantity::base);
    let three = phases.map(|n| n >= 2.5);
    let supply_three = room.supply_phases.map(|n| n >= 2.5);
    let converter = three.zip(supply_three).map(|(m, s)| m && !s);
    let transformer = volts.zip(room.supply_volts).map(|(m, s)| {
        let share = s.to_v() / m;
        !(1.0 - VOLTAGE_BAND..=1.0 + VOLTAGE_BAND).contains(&share)
    });
    let machine_amps = p.supply_amps.estimate().or_else(|| {
        let kva = p.supply_kva.estimate()?.to_kva();
        let lines = if three? { 3.0_f64.sqrt() } else { 1.0 };
        Some(Current::a(kva * 1000.0 / (volts? * lines)))
    });
    let need = need_amps(machine_amps, converter, transformer, volts, room);
    let spare = need.zip(room.supply_amps).map(|(n, s)| s - n);
    works(
        converter,
        transformer,
        spare,
        machine_amps,
        volts,
        usd,
        answer,
    );
    Electrical {
        machine_amps,
        need_amps: need,
        spare_amps: spare,
        converter,
        transformer,
        source: SOURCE,
        caution: texts::ELECTRICAL_CAUTION,
    }
}

fn need_amps(
    machine: Option<Current>,
    converter: Option<bool>,
    transformer: Option<bool>,
    volts: Option<f64>,
    room: &Room,
) -> Option<Current> {
    let phases = if converter? { 3.0_f64.sqrt() } else { 1.0 };
    let ratio = if transformer? {
        volts? / room.supply_volts?.to_v()
    } else {
        1.0
    };
    Some(machine? * (phases * ratio * CONTINUOUS))
}

fn ask_missing(machine: &Machine, room: &Room, answer: &mut SiteAnswer) {
    let p = &machine.properties;
    let mut missing = Vec::new();
    if p.supply_phases.stated().is_none() {
        missing.push((Field::supply_phases, ""));
    }
    if p.supply_volts.stated().is_none() {
        missing.push((Field::supply_volts, "V"));
    }
    if p.supply_amps.stated().is_none() && p.supply_kva.stated().is_none() {
        missing.push((Field::supply_amps, "A"));
    }
    for (field, unit) in missing {
        answer.ask(SiteAsk {
            input: format!("offers/{}/{}", machine.offer, field.key()),
            question: field.ask().to_owned(),
            flips_at: None,
            unit,
            at_least: false,
            likely: None,
        });
    }
    let site = [
        (
            "supply_volts",
            texts::ASK_SUPPLY_VOLTS,
            "V",
            room.supply_volts.is_none(),
        ),
        (
            "supply_phases",
            texts::ASK_SUPPLY_PHASES,
            "",
            room.supply_phases.is_none(),
        ),
        (
            "supply_amps",
            texts::ASK_SUPPLY_AMPS,
            "A",
            room.supply_amps.is_none(),
        ),
    ];
    for (what, question, unit, missing) in site {
        if missing {
            answer.ask(SiteAsk {
                input: format!("site/{what}"),
                question: question.to_owned(),
                flips_at: None,
                unit,
                at_least: true,
                likely: None,
            });
        }
    }
}

fn works(
    converter: Option<bool>,
    transformer: Option<bool>,
    spare: Option<Current>,
    machine: Option<Current>,
    volts: Option<f64>,
    usd: UsdRate,
    answer: &mut SiteAnswer,
) {
    let kva = machine
        .zip(volts)
        .map(|(a, v)| a.to_a() * v * 3.0_f64.sqrt() / 1000.0);
    if converter == Some(true) {
        // Dollars per kVA of machine and a base: street prices of rotary and digital converters
        // with their wiring. From memory; a quotation replaces them.
        let size = kva.unwrap_or(10.0);
        answer.works.push(work(
            "converter",
            [
                300.0 + 60.0 * size,
                600.0 + 130.0 * size,
                1500.0 + 350.0 * size,
            ],
            21,
            texts::CONVERTER,
            "from memory",
            usd,
        ));
    }
    if transformer == Some(true) {
        let size = kva.unwrap_or(10.0);
        answer.works.push(work(
            "transformer",
            [
                200.0 + 30.0 * size,
                400.0 + 60.0 * size,
                800.0 + 120.0 * size,
            ],
            21,
            texts::TRANSFORMER,
            "from memory",
            usd,
        ));
    }
    answer.works.push(work(
        "circuit",
        [150.0, 600.0, 2500.0],
        14,
        texts::CIRCUIT,
        "from memory",
        usd,
    ));
    if let Some(short) = spare.filter(|s| s.to_a() < 0.0) {
        answer.reasons.push(SiteLimit {
            what: "supply_amps",
            short_by: -short.to_a(),
            unit: "A",
            mend: texts::SUPPLY.to_owned(),
            rules_out: false,
        });
        answer.works.push(work(
            "supply upgrade",
            [1500.0, 5000.0, 20000.0],
            60,
            texts::UPGRADE,
            "from memory; buyers report five-figure upgrades (visualfoodie.com shop-lease accounts)",
            usd,
        ));
    }
}

fn work(
    name: &'static str,
    dollars: [f64; 3],
    lead_days: u32,
    why: &str,
    source: &str,
    usd: UsdRate,
) -> Work {
    let [low, likely, high] = dollars.map(|d| usd.money(d));
    Work {
        name,
        low,
        likely,
        high,
        lead_days,
        why: why.to_owned(),
        source: usd.source(source),
        caution: texts::ELECTRICAL_CAUTION,
    }
}
