//! The answer of the site check.

use super::air::Air;
use super::environment::Environment;
use super::floor::Floor;
use super::lifting::Lifting;
use super::removal::Check;
use super::route::{Load, WayIn};
use super::stand::Place;
use super::{Electrical, Standing};
use crate::ids::OfferId;
use crate::machine::Known;
use serde::Serialize;
use units::{Money, Quantity};

/// Does it go in?
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SiteVerdict {
    /// By every number compared.
    Yes,
    /// The answer turns on a number nobody has stated.
    CannotSay,
    /// Something is too small.
    No,
}

/// Something the room lacks.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SiteLimit {
    /// What is compared ("door_width").
    pub what: &'static str,
    /// By how much it is short.
    pub short_by: f64,
    /// Unit of the shortfall.
    pub unit: &'static str,
    /// What can be done about it.
    pub mend: String,
    /// True when the machine cannot stand there because of it.
    pub rules_out: bool,
}

/// A question the site verdict turns on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SiteAsk {
    /// Name of the input ("offers/x/weight", "site/door_width").
    pub input: String,
    /// The question in words.
    pub question: String,
    /// Value in base units at which the verdict flips, where there is one.
    pub flips_at: Option<f64>,
    /// Unit of `flips_at`.
    pub unit: &'static str,
    /// True when the answer must be at least `flips_at`, false when at most.
    pub at_least: bool,
    /// What the class default suggests, if it suggests anything.
    pub likely: Option<bool>,
}

/// Something to be built or hired before the machine can run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Work {
    /// Name ("converter").
    pub name: &'static str,
    /// Least it costs.
    pub low: Money,
    /// What it likely costs.
    pub likely: Money,
    /// Most it costs.
    pub high: Money,
    /// Days from order to done.
    pub lead_days: u32,
    /// Why it is needed.
    pub why: String,
    /// Source of the price.
    pub source: String,
    /// Where the price is stated; `None` for an assumed one.
    #[serde(skip)]
    pub stated: Option<units::Place>,
    /// What it must not be taken for.
    pub caution: &'static str,
}

/// One machine in the room.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SiteAnswer {
    /// Offer.
    pub offer: OfferId,
    /// Verdict.
    pub goes_in: SiteVerdict,
    /// Door, ceiling, spot, weight.
    pub standing: Standing,
    /// Way in on the floor plan, where there is one.
    pub way: Option<WayIn>,
    /// The load of that way.
    #[serde(skip)]
    pub load: Option<Load>,
    /// Place on the floor plan.
    pub place: Option<Place>,
    /// Seller's end, loading, road and insurance.
    pub before_the_truck: Vec<Check>,
    /// Supply.
    pub electrical: Electrical,
    /// Floor.
    pub floor: Floor,
    /// Air.
    pub air: Air,
    /// Noise, heat, coolant, mist, dust.
    pub environment: Option<Environment>,
    /// The rigger's numbers.
    pub lifting: Lifting,
    /// What is short.
    pub reasons: Vec<SiteLimit>,
    /// What must be asked or measured.
    pub ask: Vec<SiteAsk>,
    /// What works and money turn on, though not the verdict.
    pub ask_works: Vec<SiteAsk>,
    /// What must be built or hired.
    pub works: Vec<Work>,
}

impl SiteAnswer {
    pub(super) fn new(offer: OfferId) -> Self {
        Self {
            offer,
            goes_in: SiteVerdict::CannotSay,
            standing: Standing::default(),
            way: None,
            load: None,
            place: None,
            before_the_truck: Vec::new(),
            electrical: Electrical::default(),
            floor: Floor::default(),
            air: Air::default(),
            environment: None,
            lifting: Lifting::default(),
            reasons: Vec::new(),
            ask: Vec::new(),
            ask_works: Vec::new(),
            works: Vec::new(),
        }
    }

    /// Asks once, whatever the number of comparisons that miss the number; keeps the strictest
    /// flip.
    pub(super) fn ask(&mut self, ask: SiteAsk) {
        add(&mut self.ask, ask);
    }

    /// Asks for what only works and money turn on.
    pub(super) fn ask_for_works(&mut self, ask: SiteAsk) {
        add(&mut self.ask_works, ask);
    }
}

/// Asks once, whatever the number of comparisons that miss the number.
pub(super) fn add(list: &mut Vec<SiteAsk>, ask: SiteAsk) {
    let Some(old) = list.iter_mut().find(|a| a.input == ask.input) else {
        list.push(ask);
        return;
    };
    old.likely = match (old.likely, ask.likely) {
        (Some(true), Some(true)) => Some(true),
        (Some(false), _) | (_, Some(false)) => Some(false),
        _ => None,
    };
    old.flips_at = match (old.flips_at, ask.flips_at) {
        (Some(a), Some(b)) => Some(if ask.at_least { a.max(b) } else { a.min(b) }),
        (a, b) => a.or(b),
    };
}

/// What a class band suggests of "at most `limit`".
pub(super) fn likely_below<Q: Quantity>(known: Known<Q>, limit: f64) -> Option<bool> {
    match known {
        Known::Default { high, .. } if high.base() <= limit => Some(true),
        Known::Default { low, .. } if low.base() > limit => Some(false),
        _ => None,
    }
}
