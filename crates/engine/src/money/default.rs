//! Default costs in US dollars, each low, likely, high, with its source. Most published figures
//! are weak; what nobody publishes is marked 'from memory'. A line the shop states replaces the
//! default of the same name.

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

/// One cutter and a spare of it.
pub(super) const CUTTER: Band = band(25.0, 60.0, 150.0, MEMORY);
/// Collets, pull-stud spanner, setter for lengths, edge finder.
pub(super) const TOOL_SUNDRIES: Band = band(150.0, 350.0, 900.0, MEMORY);
/// A machine vise for a machine under a tonne, and above.
pub(super) fn vise(weight: Option<Mass>) -> Band {
    match weight.map(Mass::to_kg) {
        Some(w) if w <= 1000.0 => band(150.0, 400.0, 900.0, MEMORY),
        _ => band(400.0, 800.0, 2000.0, MEMORY),
    }
}
/// Clamps, parallels, stops and soft jaws for each setup of the part list.
pub(super) const SETUP_FIXTURE: Band = band(
    30.0,
    100.0,
    350.0,
    "from memory; a trade article gives 5,000 to 10,000 dollars of work holding to start a full-size shop (weak)",
);
/// A chuck and its base.
pub(super) const CHUCK: Band = band(150.0, 350.0, 900.0, MEMORY);
/// Height gauge, micrometers, indicators, a plate.
pub(super) const MEASURING: Band = band(300.0, 900.0, 2500.0, MEMORY);
/// First fill of coolant, way oil, rags, absorbent.
pub(super) const COOLANT: Band = band(150.0, 400.0, 900.0, MEMORY);
/// Programming software for the first year.
pub(super) const SOFTWARE: Band = band(
    0.0,
    1000.0,
    5000.0,
    "1,000 to 5,000 dollars a year (trade article, weak); the low end, free for small shops, from memory",
);
/// Courses, practice material, broken cutters while learning.
pub(super) const TRAINING: Band = band(200.0, 700.0, 2500.0, MEMORY);
/// A visit to the seller, or somebody paid to go.
pub(super) const INSPECTION: Band = band(150.0, 500.0, 1200.0, MEMORY);

/// Insurance, share of the price a year.
pub(super) const INSURANCE: [f64; 3] = [0.006, 0.010, 0.018];
pub(super) const INSURANCE_SOURCE: &str = "about 1 % of value a year (NSW Primefact 913, 2009, farm machinery: a proxy); ends from memory";

/// Contingency, share of every other line.
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
