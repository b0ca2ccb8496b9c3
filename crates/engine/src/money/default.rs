//! Default costs in US dollars, each low, likely, high, with its source. Most published figures
//! are weak; what nobody publishes is marked 'from memory'. A line the shop states replaces the
//! default of the same name.

use crate::demand::{ToolNeed, ToolShape};
use crate::machine::{Condition, Taper};
use units::Mass;

/// Three dollar amounts and whose they are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Band {
    pub dollars: [f64; 3],
    pub source: &'static str,
}

const fn band(low: f64, likely: f64, high: f64, source: &'static str) -> Band {
    Band {
        dollars: [low, likely, high],
        source,
    }
}

const MEMORY: &str = "from memory";
const MOVING: &str = "ends of the heaviest class sum to the published 2,000 to 10,000 dollars for rigging and freight (cost-of-ownership guide, weak); lighter classes from memory";

/// Freight and rigging by the weight to be moved. Without a weight: the span of all classes.
pub(super) fn moving(weight: Option<Mass>) -> (Band, Band) {
    match weight.map(Mass::to_kg) {
        None => (
            band(300.0, 1200.0, 5000.0, MOVING),
            band(150.0, 1000.0, 5000.0, MOVING),
        ),
        Some(w) if w <= 300.0 => (
            band(150.0, 350.0, 800.0, MOVING),
            band(0.0, 100.0, 300.0, MOVING),
        ),
        Some(w) if w <= 1000.0 => (
            band(300.0, 700.0, 1500.0, MOVING),
            band(150.0, 400.0, 900.0, MOVING),
        ),
        // A rigger at 1,200 dollars: an auction buyer's account (visualfoodie.com).
        Some(w) if w <= 3000.0 => (
            band(600.0, 1400.0, 3000.0, MOVING),
            band(600.0, 1200.0, 2500.0, MOVING),
        ),
        Some(_) => (
            band(1000.0, 2500.0, 5000.0, MOVING),
            band(1000.0, 2500.0, 5000.0, MOVING),
        ),
    }
}

/// True for a machine two people carry down: what stands around it is smaller too.
fn light(weight: Option<Mass>) -> bool {
    weight.is_some_and(|w| w.to_kg() <= LIGHT_KG)
}

/// Between the bench mills and the light column mills of the trade.
const LIGHT_KG: f64 = 400.0;

/// One tool holder with its pull stud or drawbar, by taper.
pub(super) fn holder(taper: Option<&Taper>) -> Band {
    match taper.and_then(Taper::steep_size) {
        Some(s) if s >= 50 => band(120.0, 200.0, 350.0, MEMORY),
        Some(s) if s >= 40 => band(60.0, 100.0, 180.0, MEMORY),
        Some(s) if s >= 30 => band(50.0, 80.0, 140.0, MEMORY),
        Some(_) => band(30.0, 50.0, 90.0, MEMORY),
        None if taper.is_some_and(|t| t.family().starts_with("HSK")) => {
            band(110.0, 180.0, 320.0, MEMORY)
        }
        None if taper.is_some() => band(25.0, 45.0, 80.0, MEMORY),
        None => band(25.0, 75.0, 180.0, MEMORY),
    }
}

/// One cutter of which nothing else is known, and a spare of it.
pub(super) const CUTTER: Band = band(25.0, 60.0, 150.0, MEMORY);
/// One collet.
pub(super) const COLLET: Band = band(8.0, 18.0, 40.0, MEMORY);
/// Edge finder, length setter, spanners, tightening stand.
pub(super) const SETTING: Band = band(100.0, 250.0, 700.0, MEMORY);

/// A cutter by kind and diameter: solid carbide end mills, high-speed steel drills, reamers and taps,
/// face mills with their inserts, boring heads. From memory.
pub(super) fn cutter(tool: &ToolNeed) -> Band {
    let mm = tool.diameter.to_mm();
    let end_mill = 12.0 + 0.9 * mm + 0.22 * mm * mm;
    let (likely, low, high) = match tool.shape {
        ToolShape::Flat => (end_mill, 0.5, 2.0),
        ToolShape::Ball | ToolShape::Bull => (1.15 * end_mill, 0.5, 2.0),
        ToolShape::Face => (60.0 + 2.2 * mm, 0.5, 2.5),
        ToolShape::Drill => (3.0 + 0.7 * mm + 0.03 * mm * mm, 0.4, 2.5),
        ToolShape::Reamer => (20.0 + 1.5 * mm, 0.5, 2.5),
        ToolShape::Tap => (12.0 + 1.6 * mm, 0.5, 2.5),
        ToolShape::Chamfer => (30.0, 0.5, 2.3),
        ToolShape::Boring => (250.0, 0.4, 2.8),
    };
    band(low * likely, likely, high * likely, MEMORY)
}
/// A machine vise for a machine under a tonne, and above.
pub(super) fn vise(weight: Option<Mass>) -> Band {
    match weight.map(Mass::to_kg) {
        Some(w) if w <= 1000.0 => band(150.0, 400.0, 900.0, MEMORY),
        _ => band(400.0, 800.0, 2000.0, MEMORY),
    }
}
/// Clamps, parallels, stops and soft jaws for each setup of the part list.
pub(super) fn setup_fixture(weight: Option<Mass>) -> Band {
    if light(weight) {
        return band(15.0, 50.0, 150.0, MEMORY);
    }
    band(
        30.0,
        100.0,
        350.0,
        "from memory; a trade article gives 5,000 to 10,000 dollars of work holding to start a full-size shop (weak)",
    )
}
/// A chuck and its base.
pub(super) const CHUCK: Band = band(150.0, 350.0, 900.0, MEMORY);
/// Height gauge, micrometers, indicators, a plate; beside a bench mill calipers and an indicator.
pub(super) fn measuring(weight: Option<Mass>) -> Band {
    if light(weight) {
        return band(100.0, 300.0, 900.0, MEMORY);
    }
    band(300.0, 900.0, 2500.0, MEMORY)
}
/// First fill of coolant, way oil, rags, absorbent; beside a bench mill a spray bottle.
pub(super) fn coolant(weight: Option<Mass>) -> Band {
    if light(weight) {
        return band(30.0, 100.0, 300.0, MEMORY);
    }
    band(150.0, 400.0, 900.0, MEMORY)
}
/// Programming software for the first year; for a bench mill a hobby licence may do.
pub(super) fn software(weight: Option<Mass>) -> Band {
    if light(weight) {
        return band(0.0, 200.0, 1500.0, MEMORY);
    }
    band(
        0.0,
        1000.0,
        5000.0,
        "1,000 to 5,000 dollars a year (trade article, weak); the low end, free for small shops, from memory",
    )
}
/// Courses, practice material, broken cutters while learning.
pub(super) fn training(weight: Option<Mass>) -> Band {
    if light(weight) {
        return band(50.0, 200.0, 900.0, MEMORY);
    }
    band(200.0, 700.0, 2500.0, MEMORY)
}
/// A visit to the seller, or somebody paid to go.
pub(super) fn inspection(weight: Option<Mass>) -> Band {
    if light(weight) {
        return band(50.0, 150.0, 450.0, MEMORY);
    }
    band(150.0, 500.0, 1200.0, MEMORY)
}

/// Insurance, share of the price a year.
pub(super) const INSURANCE: [f64; 3] = [0.006, 0.010, 0.018];
pub(super) const INSURANCE_SOURCE: &str = "about 1 % of value a year (NSW Primefact 913, 2009, farm machinery: a proxy); ends from memory";

/// Contingency, share of what is still uncertain: neither paid nor quoted, the machine's price aside.
pub(super) const CONTINGENCY: [f64; 3] = [0.02, 0.05, 0.10];
pub(super) const CONTINGENCY_SOURCE: &str = "common practice, no source";

pub(super) const UPKEEP_SOURCE: &str = "upkeep by age, share of the price a year (upgrade-strategy article, weak): 0 to 5 years 1 to 3 %, to 10 years 3 to 6 %, to 15 years 6 to 12 %, older 12 to 25 %; middles are ours";

/// Upkeep and repairs, share of the price a year, by age in years.
pub(super) fn upkeep(age_years: Option<f64>, condition: Condition) -> [f64; 3] {
    match (age_years, condition) {
        (Some(a), _) if a < 5.0 => [0.01, 0.02, 0.03],
        (Some(a), _) if a < 10.0 => [0.03, 0.045, 0.06],
        (Some(a), _) if a < 15.0 => [0.06, 0.09, 0.12],
        (Some(_), _) => [0.12, 0.18, 0.25],
        (None, Condition::New) => [0.01, 0.02, 0.03],
        (None, Condition::Used) => [0.01, 0.09, 0.25],
    }
}

/// One hour of cutting in cutters.
pub(super) const CUTTERS_PER_HOUR: Band = band(1.0, 3.0, 8.0, MEMORY);
/// A kilowatt-hour.
pub(super) const KWH: Band = band(0.10, 0.17, 0.35, MEMORY);
/// Coolant, oil, filters a year.
pub(super) const COOLANT_YEAR: Band = band(
    50.0,
    200.0,
    900.0,
    "from memory; sludge disposal was quoted at 900 dollars a drum (carbideprocessors.com)",
);

/// Idle draw of drives, control, coolant and light: a constant, kW, and a share of the rated spindle
/// power. From memory; published measurements of machine tools lie between these ends.
pub(super) const IDLE: [(f64, f64); 3] = [(0.1, 0.05), (0.2, 0.12), (0.5, 0.25)];
/// Rated spindle power where nobody states one, kW. From memory.
pub(super) const SPINDLE_KW: f64 = 2.0;
/// Power at the cut over power drawn from the supply: drive, motor, belt and bearings. From memory.
pub(super) const CUT_EFFICIENCY: f64 = 0.7;
/// Share of an hour's wage that an hour of the machine running by itself takes in looking after it.
pub(crate) const WATCHING: [f64; 3] = [0.02, 0.10, 0.30];
/// Minutes a piece to saw the stock to length.
pub(super) const SAWING_MIN: [f64; 3] = [2.0, 5.0, 15.0];
/// Minutes a piece to wash, finish by hand, mark and wrap what leaves the machine.
pub(super) const FINISHING_MIN: [f64; 3] = [1.0, 4.0, 15.0];
/// Room the machine takes beside its own footprint, access and chips included: three times in all.
pub(super) const ROOM_AROUND: f64 = 3.0;
/// A square metre of workshop a year.
pub(super) const FLOOR: Band = band(
    0.0,
    60.0,
    180.0,
    "rent from memory, nothing for a room with no other use; a machine needs three times its own floor (cost-of-ownership guide, weak)",
);
/// Footprint where nobody states one, square metres. From memory.
pub(super) const FOOTPRINT_M2: f64 = 4.0;
pub(super) const FROM_MEMORY: &str = MEMORY;

/// Times a year the machine stands for want of a part, by age in years. From memory.
pub(super) fn stoppages(age_years: Option<f64>, condition: Condition) -> [f64; 3] {
    match (age_years, condition) {
        (Some(a), _) if a < 5.0 => [0.2, 1.0, 2.0],
        (Some(a), _) if a < 10.0 => [0.5, 2.0, 4.0],
        (Some(a), _) if a < 15.0 => [1.0, 3.0, 6.0],
        (Some(_), _) => [1.0, 4.0, 8.0],
        (None, Condition::New) => [0.2, 1.0, 2.0],
        (None, Condition::Used) => [0.5, 2.5, 8.0],
    }
}

/// Days a spare part takes to come, by age in years. From memory.
pub(super) fn parts_lead_days(age_years: Option<f64>, condition: Condition) -> [f64; 3] {
    match (age_years, condition) {
        (Some(a), _) if a < 10.0 => [1.0, 3.0, 10.0],
        (None, Condition::New) => [1.0, 3.0, 10.0],
        _ => [2.0, 7.0, 30.0],
    }
}
/// Working days a year. Common practice, no source.
pub(super) const DAYS_A_YEAR: f64 = 250.0;
