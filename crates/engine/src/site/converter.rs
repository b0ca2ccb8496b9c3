//! Three phases from one: what each kind of converter is fit for, how large it must be, what it draws
//! and costs.

use super::electrical::{Phases, Rules, motor_of};
use serde::Serialize;
use units::{Current, Power, Voltage};

/// A way to three phases.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// An idling motor makes the third phase.
    Rotary,
    /// Electronics make three balanced phases.
    Digital,
    /// A variable-frequency drive feeds one motor.
    Vfd,
    /// Capacitors start one motor, which then runs on one phase.
    Static,
    /// The utility brings three phases.
    Utility,
}

/// Does it serve?
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Serves {
    /// Yes.
    Yes,
    /// Only under the condition told.
    Conditionally,
    /// No.
    No,
}

/// What is to be fed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Need {
    /// Rules for the tables.
    pub rules: Rules,
    /// Full-load three-phase current.
    pub load: Current,
    /// Voltage of the machine.
    pub volts: Voltage,
    /// Voltage of the single-phase supply.
    pub source_volts: Voltage,
    /// Largest motor, where somebody knows it.
    pub largest_motor: Option<Power>,
    /// True when the load is one motor, false for a whole machine with drives.
    pub one_motor: bool,
    /// Metres to the nearest three-phase line, where somebody knows it.
    pub line_distance_m: Option<f64>,
}

/// One kind, sized.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Choice {
    /// Kind.
    pub kind: Kind,
    /// Does it serve?
    pub serves: Serves,
    /// Why, or on what condition.
    pub why: &'static str,
    /// Least motor rating by the makers' rule, in kW and hp.
    pub rating_least_kw: Option<f64>,
    /// The same in hp.
    pub rating_least_hp: Option<f64>,
    /// Rating to buy for a spindle that accelerates hard, hp.
    pub rating_hp: Option<f64>,
    /// Rating to buy in kVA or output amperes' worth of it.
    pub rating_kva: Option<f64>,
    /// Output current it must be rated for.
    pub rating_amps: Option<f64>,
    /// Share of the power drawn that arrives.
    pub efficiency: [f64; 2],
    /// Single-phase current drawn at full load, losses included (with the lower efficiency).
    pub input_amps: Option<f64>,
    /// Current drawn with the machine idle, mostly reactive.
    pub idle_amps: Option<[f64; 2]>,
    /// Price in US dollars, low, likely, high, bought and wired beside the machine.
    pub price_usd: [f64; 3],
    /// Days from order to done.
    pub lead_days: u32,
    /// What happens when the spindle brakes.
    pub regeneration: &'static str,
    /// Where the numbers come from.
    pub source: &'static str,
}

/// Multiplier on the largest motor for a spindle drive or a hard start: 1.5 to 2, from memory; the
/// upper one is bought.
const HARD_START: f64 = 2.0;
/// A rotary converter carries up to three times its rating in motors that run but do not start
/// together (kayind.com, selection guide).
const RUNNING_TO_STARTING: f64 = 3.0;
/// A three-phase-input drive gives about half its rated current on one phase
/// (industrialmonitordirect.com).
const VFD_SHARE_ON_ONE_PHASE: f64 = 0.5;
/// No-load current of an idler over its nameplate's: 11/12.6, 16/18, 7/8 A
/// (industrialmonitordirect.com).
const IDLER_SHARE: [f64; 2] = [0.87, 0.89];
/// Sizes of rotary converters, hp. Common practice, no source.
const ROTARY_HP: [f64; 15] = [
    1.0, 2.0, 3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 75.0, 100.0,
];
/// Three-phase line extension, dollars a mile, in money of 1989 (Katz, Power Transmission Design);
/// consumer prices have risen about 2.6 times since (from memory).
const LINE_USD_PER_MILE_1989: [f64; 2] = [30_000.0, 90_000.0];
const PRICES_SINCE_1989: f64 = 2.6;
const M_PER_MILE: f64 = 1609.344;

const MEMORY: &str =
    "prices, lead times and efficiencies from memory, November 2026: a quotation replaces them";

/// Single-phase current that carries the same power at the same power factor and without losses:
/// the root of three times the line current, times the ratio of voltages (50 hp at 230 V: 130 A by
/// the table become 225 A; the article prints the 124 A of 100 hp at 460 V).
pub fn source_current(load: Current, volts: Voltage, source_volts: Voltage) -> Current {
    load * (Phases::Three.power_factor_of_lines() * (volts / source_volts))
}

/// Every way there is, the ones that serve first.
pub fn choices(need: &Need) -> Vec<Choice> {
    vec![
        digital(need),
        rotary(need),
        vfd(need),
        static_converter(need),
        utility(need),
    ]
}

/// One way.
pub fn choice(need: &Need, kind: Kind) -> Choice {
    match kind {
        Kind::Rotary => rotary(need),
        Kind::Digital => digital(need),
        Kind::Vfd => vfd(need),
        Kind::Static => static_converter(need),
        Kind::Utility => utility(need),
    }
}

/// Rating of a rotary converter by the makers' rule: the largest motor that starts, and a third of
/// all that run together.
pub fn rotary_rating(largest_to_start: Power, total_running: Power) -> Power {
    largest_to_start.max(total_running / RUNNING_TO_STARTING)
}

fn kva(need: &Need) -> f64 {
    Phases::Three.power_factor_of_lines() * need.volts.to_v() * need.load.to_a() / 1000.0
}

fn input(need: &Need, efficiency: [f64; 2]) -> Option<f64> {
    let ideal = source_current(need.load, need.volts, need.source_volts);
    Some(ideal.to_a() / efficiency[0])
}

fn rotary(need: &Need) -> Choice {
    let total = motor_of(need.rules, Phases::Three, need.load, need.volts);
    let largest = need.largest_motor.unwrap_or(total);
    let least = rotary_rating(largest, total);
    let hard = if need.one_motor { 1.0 } else { HARD_START };
    let buy = rotary_rating(largest * hard, total);
    let sold = ROTARY_HP
        .iter()
        .copied()
        .find(|hp| *hp + 1e-6 >= buy.to_hp());
    let efficiency = [0.80, 0.92];
    let size = kva(need) * if need.one_motor { 1.0 } else { 1.5 };
    // The idler runs on the supply's voltage; its nameplate current is that of its rating.
    let idle = sold.and_then(|hp| {
        super::electrical::full_load(need.rules, Phases::Three, Power::hp(hp), need.source_volts)
            .ok()
            .map(|amps| IDLER_SHARE.map(|share| share * amps.to_a()))
    });
    Choice {
        kind: Kind::Rotary,
        serves: if sold.is_some() {
            Serves::Yes
        } else {
            Serves::No
        },
        why: if sold.is_some() {
            "runs several motors and drives; the made phase sags under load, so measure the unbalance with the spindle accelerating and put control and drives on the two true lines"
        } else {
            "larger than rotary converters are usually sold: ask the utility for three phases"
        },
        rating_least_kw: Some(least.to_kw()),
        rating_least_hp: Some(least.to_hp()),
        rating_hp: sold,
        rating_kva: None,
        rating_amps: None,
        efficiency,
        input_amps: input(need, efficiency),
        idle_amps: idle,
        price_usd: [
            200.0 + 45.0 * size,
            500.0 + 90.0 * size,
            1000.0 + 160.0 * size,
        ],
        lead_days: 21,
        regeneration: "a braking spindle feeds back through the idler to the line",
        source: "starting rating the largest motor, running total up to three times it (kayind.com, selection guide); twice for spindle drives from memory; idle current 87 to 89 % of the idler's nameplate (industrialmonitordirect.com); prices, lead times and efficiencies from memory",
    }
}

fn digital(need: &Need) -> Choice {
    let size = 1.25 * kva(need);
    let efficiency = [0.93, 0.97];
    Choice {
        kind: Kind::Digital,
        serves: Serves::Yes,
        why: "three balanced phases for drives and control; rated in amperes, with little overload: size it to the highest current, not the mean",
        rating_least_kw: None,
        rating_least_hp: None,
        rating_hp: None,
        rating_kva: Some(size),
        rating_amps: Some(1.25 * need.load.to_a()),
        efficiency,
        input_amps: input(need, efficiency),
        idle_amps: None,
        price_usd: [
            1200.0 + 110.0 * size,
            1800.0 + 180.0 * size,
            3000.0 + 350.0 * size,
        ],
        lead_days: 28,
        regeneration: "ask the maker whether it takes power back: a spindle drive that regenerates can trip or destroy one that does not",
        source: MEMORY,
    }
}

fn vfd(need: &Need) -> Choice {
    let size = kva(need);
    let same_volts = (need.source_volts / need.volts - 1.0).abs() <= 0.15;
    let (serves, why) = match (need.one_motor, same_volts) {
        (true, true) => (
            Serves::Yes,
            "feeds this one motor and no other; never switched between drive and motor while running",
        ),
        (false, true) => (
            Serves::Conditionally,
            "only for a spindle that is a plain motor on a switch: rewired to the drive, with control, axes and pumps on single phase; never ahead of a whole machine or of another drive",
        ),
        (_, false) => (
            Serves::No,
            "a drive gives no more voltage than it is fed; a transformer ahead of it would be needed",
        ),
    };
    let efficiency = [0.94, 0.97];
    Choice {
        kind: Kind::Vfd,
        serves,
        why,
        rating_least_kw: None,
        rating_least_hp: None,
        rating_hp: None,
        rating_kva: None,
        rating_amps: Some(need.load.to_a() / VFD_SHARE_ON_ONE_PHASE),
        efficiency,
        input_amps: input(need, efficiency),
        idle_amps: None,
        price_usd: [
            150.0 + 40.0 * size,
            250.0 + 70.0 * size,
            500.0 + 140.0 * size,
        ],
        lead_days: 10,
        regeneration: "the drive takes no power back to the line: a spindle that must stop quickly wants a braking resistor",
        source: "half the rated current on one phase (industrialmonitordirect.com); prices from memory",
    }
}

fn static_converter(need: &Need) -> Choice {
    let size = kva(need);
    Choice {
        kind: Kind::Static,
        serves: Serves::No,
        why: "it starts one motor and leaves it running on one phase at about two thirds of its power: unfit for a spindle, a drive or a control",
        rating_least_kw: None,
        rating_least_hp: None,
        rating_hp: None,
        rating_kva: None,
        rating_amps: None,
        efficiency: [0.6, 0.7],
        input_amps: None,
        idle_amps: None,
        price_usd: [
            100.0 + 10.0 * size,
            150.0 + 20.0 * size,
            300.0 + 40.0 * size,
        ],
        lead_days: 10,
        regeneration: "none",
        source: "from memory",
    }
}

fn utility(need: &Need) -> Choice {
    // Connection, meter and new panel where the line is at hand. From memory.
    let connection = [2500.0, 8000.0, 25_000.0];
    let line = need.line_distance_m.unwrap_or(0.0) / M_PER_MILE * PRICES_SINCE_1989;
    let [low, high] = LINE_USD_PER_MILE_1989;
    Choice {
        kind: Kind::Utility,
        serves: Serves::Conditionally,
        why: if need.line_distance_m.is_some() {
            "true three phases; ask the utility for its terms, the least load and the date"
        } else {
            "true three phases; ask the utility how far the next three-phase line is and for its terms: each mile costs tens of thousands of dollars on top of the connection priced here"
        },
        rating_least_kw: None,
        rating_least_hp: None,
        rating_hp: None,
        rating_kva: Some(kva(need)),
        rating_amps: Some(need.load.to_a()),
        efficiency: [1.0, 1.0],
        input_amps: None,
        idle_amps: None,
        price_usd: [
            connection[0] + low * line,
            connection[1] + 0.5 * (low + high) * line,
            connection[2] + high * line,
        ],
        lead_days: 120,
        regeneration: "the line takes it",
        source: "line extension 30,000 to 90,000 dollars a mile in money of 1989 (Katz, Power Transmission Design, March 1989), times 2.6 for prices since (from memory); connection from memory",
    }
}
