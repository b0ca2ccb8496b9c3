//! Compressed air: flow, pressure, dryness, receiver, and the motor it adds to the panel.

use super::answer::{SiteAnswer, SiteAsk, likely_below};
use super::electrical::{Phases, Rules, full_load};
use super::{Room, texts};
use crate::machine::{Field, Machine};
use serde::Serialize;
use units::{Current, Flow, Power, Quantity, Stress, Voltage, Volume};

/// Compressor over demand: a quarter more (CFM sizing guide: 23.2 cfm of demand want 29).
const RESERVE: f64 = 1.25;
/// Air a motor makes: 4 cfm a horsepower ('Compressed Air Energy Cost Basics', scribd 201245310).
const CFM_PER_HP: f64 = 4.0;
/// Power drawn a horsepower of motor: 0.746 x 1.10 service factor / 0.9 efficiency (same).
pub const KW_PER_HP: f64 = 0.746 * 1.10 / 0.9;
/// Atmosphere, psi.
const ATMOSPHERE_PSI: f64 = 14.7;
/// The receiver may fall this far below the compressor's cut-in. Common practice, no source.
const RECEIVER_SWING: Stress = Stress::psi(20.0);
/// Highest dew point the makers of spindles and valves usually allow, C: that of a refrigerated dryer.
/// From memory.
const DEW_POINT_C: f64 = 3.0;

/// Is there enough air?
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Enough {
    /// Yes, or none is needed.
    Yes,
    /// Turns on something nobody stated.
    #[default]
    CannotSay,
    /// No.
    No,
}

/// The air compared.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Air {
    /// Verdict. Lack of air never keeps a machine out: it is a work.
    pub enough: Enough,
    /// Flow the machine uses.
    pub flow_l_min: Option<Flow>,
    /// True when the flow is the class's and nobody stated it.
    pub flow_assumed: bool,
    /// True when the compressor's flow is stated.
    pub compressor_known: bool,
    /// Pressure it needs, bar.
    pub pressure_bar: Option<f64>,
    /// Flow the compressor should give.
    pub compressor_flow_l_min: Option<Flow>,
    /// Motor of a compressor for it.
    pub compressor_kw: Option<Power>,
    /// Current that motor adds to the panel.
    pub compressor_amps: Option<Current>,
    /// Receiver that carries the machine for half a minute.
    pub receiver_l: Option<f64>,
    /// Highest dew point, C.
    pub dew_point_c: f64,
    /// Is the air said to be dry enough?
    pub dry: Option<bool>,
    /// Where the numbers come from.
    pub source: &'static str,
    /// What it must not be taken for.
    pub caution: &'static str,
}

const SOURCE: &str = "a quarter more than the demand (CFM sizing guide); 4 cfm a horsepower ('Compressed Air Energy Cost Basics'); receiver V = T (C - S) pa / (p1 - p2)";

/// Receiver that gives `flow` for a time while the compressor gives `made`: T (C - S) pa / (p1 - p2).
pub fn receiver(minutes: f64, flow: Flow, made: Flow, from: Stress, to: Stress) -> Volume {
    let short = (flow.to_cfm() - made.to_cfm()).max(0.0);
    let cubic_feet = minutes * short * ATMOSPHERE_PSI / (from.to_psi() - to.to_psi());
    Volume::us_gallon(cubic_feet * 7.48)
}

/// Free air a receiver gives between two pressures, in standard cubic feet: V/7.48 (p1 - p2)/14.7
/// (ORNL, receiver tank).
pub fn usable_scf(tank: Volume, from: Stress, to: Stress) -> f64 {
    tank.to_us_gallon() / 7.48 * (from.to_psi() - to.to_psi()) / ATMOSPHERE_PSI
}

/// Demand of several users, each with its flow and the share of time it draws.
pub fn diversified(users: &[(Flow, f64)]) -> Flow {
    users
        .iter()
        .fold(Flow::ZERO, |sum, (flow, share)| sum + *flow * *share)
}

/// A compressor for a demand: flow and motor.
pub fn compressor_for(demand: Flow) -> (Flow, Power) {
    let flow = demand * RESERVE;
    (flow, Power::hp(flow.to_cfm() / CFM_PER_HP))
}

/// Motors of compressors sold, hp. Common practice, no source.
const MOTORS_HP: [f64; 9] = [0.5, 1.0, 1.5, 2.0, 3.0, 5.0, 7.5, 10.0, 15.0];

/// The same with a motor that is sold.
pub(super) fn sold_for(demand: Flow) -> (Flow, Power) {
    let (made, motor) = compressor_for(demand);
    let sold = MOTORS_HP
        .iter()
        .copied()
        .find(|hp| *hp + 1e-9 >= motor.to_hp())
        .map_or(motor, Power::hp);
    (made, sold)
}

/// Motor a compressor of a stated flow must have.
pub(super) fn motor_behind(made: Flow) -> Power {
    Power::hp(made.to_cfm() / CFM_PER_HP)
}

/// Current a compressor adds to a supply; `None` beyond single-phase motors.
pub(super) fn motor_amps(
    rules: Rules,
    phases: Phases,
    volts: Voltage,
    power: Power,
) -> Option<Current> {
    full_load(rules, phases, power, volts).ok()
}

pub(super) fn check(machine: &Machine, room: &Room, rules: Rules, answer: &mut SiteAnswer) -> Air {
    let p = &machine.properties;
    let facts = &room.facts;
    let flow = p.air_flow.estimate();
    let pressure = p.air_pressure.estimate();
    let mut air = Air {
        flow_l_min: flow,
        flow_assumed: p.air_flow.stated().is_none(),
        compressor_known: facts.compressor_flow.is_some(),
        pressure_bar: pressure.map(Stress::to_bar),
        dew_point_c: DEW_POINT_C,
        dry: facts.dew_point_c.map(|d| d.base() <= DEW_POINT_C),
        source: SOURCE,
        caution: texts::AIR_CAUTION,
        ..Air::default()
    };
    if flow.is_some_and(|f| f <= Flow::ZERO) && !air.flow_assumed {
        air.enough = Enough::Yes;
        return air;
    }
    if let Some(flow) = flow {
        let (made, sold) = sold_for(flow);
        let volts = room.supply_volts.unwrap_or(Voltage::v(230.0));
        let phases = Phases::of(room.supply_phases.unwrap_or(1.0));
        air.compressor_flow_l_min = Some(made);
        air.compressor_kw = Some(facts.compressor_power.unwrap_or(sold));
        air.compressor_amps = air
            .compressor_kw
            .and_then(|power| motor_amps(rules, phases, volts, power));
        if let Some(low) = pressure {
            let tank = receiver(0.5, flow, Flow::ZERO, low + RECEIVER_SWING, low);
            air.receiver_l = Some(tank.to_litre());
        }
    }
    air.enough = enough(machine, room, answer);
    air
}

fn enough(machine: &Machine, room: &Room, answer: &mut SiteAnswer) -> Enough {
    let p = &machine.properties;
    let facts = &room.facts;
    let (Some(flow), have) = (p.air_flow.stated(), facts.compressor_flow) else {
        // Nobody said what it uses: the compressor's flow less the reserve is where it flips.
        let limit = facts
            .compressor_flow
            .map(|have| (have / RESERVE).to_l_min());
        answer.ask_for_works(SiteAsk {
            input: format!("offers/{}/{}", machine.offer, Field::air_flow.key()),
            question: Field::air_flow.ask().to_owned(),
            flips_at: limit,
            unit: "l/min",
            at_least: false,
            likely: limit.and_then(|limit| likely_below(p.air_flow, limit)),
        });
        return Enough::CannotSay;
    };
    let Some(have) = have else {
        answer.ask_for_works(SiteAsk {
            input: "site/compressor_flow".to_owned(),
            question: texts::ASK_COMPRESSOR.to_owned(),
            flips_at: Some((flow * RESERVE).to_l_min()),
            unit: "l/min",
            at_least: true,
            likely: None,
        });
        return Enough::CannotSay;
    };
    let pressure = p.air_pressure.stated().zip(facts.compressor_pressure);
    match pressure {
        _ if have < flow => Enough::No,
        Some((need, have)) if have < need => Enough::No,
        Some(_) => Enough::Yes,
        None => Enough::CannotSay,
    }
}
