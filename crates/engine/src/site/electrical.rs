//! The machine on the supply: current, wiring, devices, converter, transformer, and what the panel
//! can still give. A screen: the local code and a licensed electrician decide.

mod breaker;
mod circuit;
mod conductor;
mod iec;
mod motor;
mod nec;
mod panel;
mod rules;
mod supply;
mod transformer;
mod unbalance;

pub use breaker::{MOTOR_BREAKER, disconnect, next_standard, standard};
pub use circuit::Circuit;
pub use conductor::{Bs7671Drop, Chosen, NoConductor, Run, Size, Terminals, choose, ground, sizes};
pub use iec::capacity_b2;
pub use motor::{feeder, full_load, machine_overcurrent_cap, motor_of};
pub use nec::ampacity_310_16;
pub use panel::{Demand, Dwelling, amps, optional_method, spare};
pub use rules::{Phases, Rules, bs7671_drop_limit};
pub use supply::{Load, NoSupply, Question, Supply, fed_from, size};
pub use transformer::{Transformer, VOLTAGE_BAND};
pub use unbalance::{derating, unbalance};

use super::answer::{SiteAnswer, SiteAsk, SiteLimit};
use super::{Room, texts};
use crate::entered::WiringRules;
use crate::machine::{Field, Machine, Properties};
use serde::Serialize;
use units::{ApparentPower, Current, Length, Quantity, Voltage};

/// The supply compared.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Electrical {
    /// Full-load current of the machine at its own voltage and phases.
    pub machine_amps: Option<Current>,
    /// True when the current is worked out from spindle, axes and pumps, as no nameplate is known.
    pub estimated: bool,
    /// Current the supply must give: after converter and transformer, times 125 % under NEC.
    pub need_amps: Option<Current>,
    /// What the supply can still give before the machine.
    pub available_amps: Option<Current>,
    /// Left of the supply; negative when short.
    pub spare_amps: Option<Current>,
    /// True when a phase converter or a drive fed on one phase is needed.
    pub converter: Option<bool>,
    /// True when a transformer is needed.
    pub transformer: Option<bool>,
    /// True when it runs from an outlet there is, by itself on its circuit.
    pub outlet: bool,
    /// Wiring run from the panel, where stated.
    pub run: Option<Length>,
    /// Wiring and devices, where all that sizes them is known.
    pub supply: Option<Supply>,
    /// Why there is no wiring to be told.
    pub no_supply: Option<String>,
    /// Rules followed.
    pub rules: Rules,
    /// Where the rules come from.
    pub source: &'static str,
    /// What it must not be taken for.
    pub caution: &'static str,
}

const SOURCE: &str = "125 % of full-load current: NEC 430.22 (EC&M Code Q&A, 20 Mar 2014); one phase in place of three draws sqrt 3 times the current (industrialmonitordirect.com, sizing drives for single-phase input)";
const SOURCE_IEC: &str = "design current within the device's rating, that within the cable's capacity: IEC 60364-4-43 clause 433.1 (from memory); capacities of reference method B2; one phase in place of three draws sqrt 3 times the current (industrialmonitordirect.com)";

/// Rules of a room: as stated, else NEC.
pub(super) fn rules_of(room: &Room) -> Rules {
    match room.facts.words.rules {
        Some(WiringRules::Iec) => Rules::Iec,
        Some(WiringRules::Nec) | None => Rules::Nec,
    }
}

/// A nameplate range as one voltage: what is fed, kept within the range, so that the band a machine
/// accepts counts from the range's ends (10 % either way: NEMA MG 1 12.44 and IEC 60204-1 clause
/// 4.3.2; from memory). A stated voltage outside the range, as an option gives, stands.
pub fn settled(machine: &Machine, range: [Voltage; 2], room: &Room) -> Option<Voltage> {
    let p = &machine.properties;
    let stated = p.supply_volts.stated()?;
    let [low, high] = range;
    if stated < low || stated > high {
        return None;
    }
    let phases = Phases::of(p.supply_phases.estimate()?.base());
    let source = (room.supply_volts?, Phases::of(room.supply_phases?));
    let (fed, _) = fed_from(rules_of(room), (stated, phases), source);
    Some(fed.max(low).min(high))
}

/// Highest voltage of an outlet for ordinary plugs in North America: 120 V nominal and a tenth more.
const OUTLET_VOLTS: f64 = 132.0;
/// Largest rating of one (NEC 210.21(B): 15 and 20 A receptacles; from memory).
const OUTLET_AMPS: f64 = 20.0;

/// True for a machine with a plug for an ordinary outlet, on a supply that can give its current. A
/// circuit that serves one outlet alone may carry any load up to its rating (NEC 210.22; from memory):
/// the 125 % of NEC 430.22 is for wiring laid to a motor. More than 80 % for three hours on end, or
/// anything else on the circuit, takes a larger one (NEC 210.20(A), 210.23(A); from memory), which the
/// caution says.
fn from_an_outlet(electrical: &Electrical, supply: &Supply, phases: Phases) -> bool {
    let changed = electrical.converter == Some(true) || electrical.transformer == Some(true);
    let gives = |amps: f64| electrical.available_amps.is_some_and(|a| amps <= a.to_a());
    electrical.rules == Rules::Nec
        && phases == Phases::One
        && supply.source_phases == Phases::One
        && !changed
        && supply.source_volts <= OUTLET_VOLTS
        && supply.source_amps <= OUTLET_AMPS
        && gives(supply.source_amps)
}

pub(super) fn check(machine: &Machine, room: &Room, answer: &mut SiteAnswer) -> Electrical {
    let p = &machine.properties;
    let rules = rules_of(room);
    ask_missing(machine, room, answer);
    // Defaults of the class price the likely works; the questions above keep them from a yes.
    let phases = p.supply_phases.estimate().map(|n| Phases::of(n.base()));
    let volts = p.supply_volts.estimate();
    let source_phases = room.supply_phases.map(Phases::of);
    let converter = phases
        .zip(source_phases)
        .map(|(m, s)| m == Phases::Three && s == Phases::One);
    let transformer = volts.zip(room.supply_volts).map(|(m, s)| {
        let (own, supply) = (phases.unwrap_or(Phases::One), source_phases);
        let (fed, _) = fed_from(rules, (m, own), (s, supply.unwrap_or(own)));
        transformer::needed(m, fed)
    });
    let (load, estimated) = load(p);
    let mut electrical = Electrical {
        estimated,
        available_amps: available(room, answer),
        run: room.facts.panel_distance,
        converter,
        transformer,
        rules,
        source: match rules {
            Rules::Nec => SOURCE,
            Rules::Iec => SOURCE_IEC,
        },
        caution: texts::ELECTRICAL_CAUTION,
        ..Electrical::default()
    };
    let (Some(load), Some(volts), Some(phases)) = (load, volts, phases) else {
        return electrical;
    };
    let question = Question {
        largest_motor: p.largest_motor.stated(),
        length: room.facts.panel_distance,
        rules,
        // A single-phase supply's voltage counts for itself; without one the machine's stands in.
        source_volts: room.supply_volts,
        source_phases: source_phases.unwrap_or(phases),
        line_distance_m: room.facts.three_phase_distance.map(Length::to_m),
        ..Question::new(volts, phases, load)
    };
    match size(&question) {
        Ok(supply) => {
            electrical.machine_amps = Some(Current::a(supply.load_amps));
            if source_phases.is_some() && room.supply_volts.is_some() {
                electrical.outlet = from_an_outlet(&electrical, &supply, phases);
                electrical.need_amps = Some(Current::a(if electrical.outlet {
                    supply.source_amps
                } else {
                    supply.source_need_amps
                }));
            }
            if electrical.outlet {
                electrical.caution = texts::OUTLET_CAUTION;
            }
            electrical.supply = Some(supply);
        }
        Err(why) => electrical.no_supply = Some(explain(&why)),
    }
    electrical
}

/// Compares what is needed, the compressor's share included, with what there is.
pub(super) fn compare(
    electrical: &mut Electrical,
    compressor: Option<Current>,
    answer: &mut SiteAnswer,
) {
    let need = electrical
        .need_amps
        .map(|n| n + compressor.unwrap_or(Current::ZERO));
    electrical.spare_amps = need.zip(electrical.available_amps).map(|(n, s)| s - n);
    if let Some(short) = electrical.spare_amps.filter(|s| s.to_a() < 0.0) {
        answer.reasons.push(SiteLimit {
            what: "supply_amps",
            short_by: -short.to_a(),
            unit: "A",
            mend: texts::SUPPLY.to_owned(),
            rules_out: false,
        });
    }
}

/// What the nameplate says, else the connected load worked out, else the class's; true for the two
/// latter.
fn load(p: &Properties) -> (Option<Load>, bool) {
    if let Some(amps) = p.supply_amps.stated() {
        (Some(Load::Amps(amps)), false)
    } else if let Some(kva) = p.supply_kva.stated() {
        (Some(Load::Apparent(kva)), false)
    } else if let Some(amps) = sold_for_an_outlet(p) {
        (Some(Load::Amps(amps)), true)
    } else if let Some(kva) = estimate(p) {
        (Some(Load::Apparent(kva)), true)
    } else if let Some(amps) = p.supply_amps.estimate() {
        (Some(Load::Amps(amps)), true)
    } else {
        (p.supply_kva.estimate().map(Load::Apparent), true)
    }
}

/// Current of the class, where its machines come with a plug for an ordinary outlet: the pumps and fans
/// of [`estimate`] are those of larger machines.
fn sold_for_an_outlet(p: &Properties) -> Option<Current> {
    let volts = p.supply_volts.estimate()?;
    let phases = Phases::of(p.supply_phases.estimate()?.base());
    let amps = p.supply_amps.estimate()?;
    (phases == Phases::One && volts.to_v() <= OUTLET_VOLTS && amps.to_a() <= OUTLET_AMPS)
        .then_some(amps)
}

/// Axes beside the spindle, as a share of its power. From memory, half to double.
const AXES_SHARE: f64 = 0.35;
/// Coolant pump, lubrication, fans, control, kW. From memory, half to double.
const AUXILIARIES_KW: f64 = 1.0;
/// Efficiency of spindle drive and motor, and power factor of a machine's rectifier input. From
/// memory.
const DRIVE_EFFICIENCY: f64 = 0.85;
const POWER_FACTOR: f64 = 0.85;

/// Connected load from the stated spindle power; good for sizing works, never for a verdict.
pub fn estimate(p: &Properties) -> Option<ApparentPower> {
    let spindle = p.spindle_power.stated()?.to_kw();
    let drawn = spindle * (1.0 + AXES_SHARE) / DRIVE_EFFICIENCY + AUXILIARIES_KW;
    Some(ApparentPower::kva(drawn / POWER_FACTOR))
}

/// What the supply can still give: the rating less what else draws, where somebody knows it; the
/// stated current otherwise.
fn available(room: &Room, answer: &mut SiteAnswer) -> Option<Current> {
    let facts = &room.facts;
    let demand = facts
        .measured_demand
        .map(Demand::Measured)
        .or_else(|| Some(Demand::Calculated(dwelling(room)?)));
    let rating = facts.service_amps.or(room.supply_amps);
    match (rating, demand) {
        (Some(rating), Some(demand)) => Some(spare(rating, demand)),
        (_, None) if facts.service_amps.is_none() => room.supply_amps,
        _ => {
            answer.ask_for_works(SiteAsk {
                input: "site/measured_demand".to_owned(),
                question: texts::ASK_PANEL.to_owned(),
                flips_at: None,
                unit: "A",
                at_least: false,
                likely: None,
            });
            None
        }
    }
}

/// Load of the dwelling on the same service, when its area and appliances are stated.
fn dwelling(room: &Room) -> Option<Current> {
    let facts = &room.facts;
    let dwelling = Dwelling {
        area: facts.dwelling_area?,
        appliances: facts.appliances?,
        // Two small-appliance circuits and a laundry are the least a dwelling has (220.52).
        small_circuits: facts.small_circuits.map_or(3.0, Quantity::base),
        heating: facts.heating.unwrap_or(ApparentPower::ZERO),
        cooling: facts.cooling.unwrap_or(ApparentPower::ZERO),
    };
    let volts = room.supply_volts.unwrap_or(Voltage::v(240.0));
    Some(amps(optional_method(&dwelling), volts))
}

/// Why no wiring can be told, in words.
pub fn explain(why: &NoSupply) -> String {
    match why {
        NoSupply::MotorTooLarge { largest } => texts::motor_too_large(*largest),
        NoSupply::Conductor(NoConductor::TooMuchCurrent { largest }) => {
            texts::too_much_current(*largest)
        }
        NoSupply::Conductor(NoConductor::TooMuchDrop { drop_share }) => {
            texts::too_much_drop(*drop_share)
        }
        NoSupply::Conductor(NoConductor::TooHot) => texts::TOO_HOT.to_owned(),
        NoSupply::NoBreaker { amps } => texts::no_breaker(*amps),
        NoSupply::NothingToConvert => texts::NOTHING_TO_CONVERT.to_owned(),
    }
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
        answer.ask(ask(
            format!("offers/{}/{}", machine.offer, field.key()),
            field.ask(),
            unit,
            false,
        ));
    }
    let no_rating = room.supply_amps.is_none() && room.facts.service_amps.is_none();
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
        ("supply_amps", texts::ASK_SUPPLY_AMPS, "A", no_rating),
    ];
    for (what, question, unit, missing) in site {
        if missing {
            answer.ask(ask(format!("site/{what}"), question, unit, true));
        }
    }
    if room.facts.panel_distance.is_none() {
        answer.ask_for_works(ask(
            "site/panel_distance".to_owned(),
            texts::ASK_DISTANCE,
            "mm",
            false,
        ));
    }
}

fn ask(input: String, question: &str, unit: &'static str, at_least: bool) -> SiteAsk {
    SiteAsk {
        input,
        question: question.to_owned(),
        flips_at: None,
        unit,
        at_least,
        likely: None,
    }
}
