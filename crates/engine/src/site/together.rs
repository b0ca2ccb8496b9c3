//! Do several machines stand and run at once: their places and ways in, what they draw from the
//! supply together, the air they use, the floor under each. Every result here is a screen, as for
//! one machine: a licensed electrician and competent riggers decide.
//!
//! A set does no more than its machines alone: where one of them does not go in, or it cannot be
//! said, the same holds of the set.

mod air;
mod boxes;
mod on_plan;
mod supply;
mod texts;

pub use on_plan::{Places, places};

use super::answer::{SiteAnswer, SiteAsk, SiteVerdict, Work, add};
use super::floor::Carries;
use super::route::{Load, WayIn};
use super::stand::Place;
use super::texts::{FLOOR_CAUTION, LIFTING_CAUTION};
use super::{Room, UsdRate};
use crate::entered::Plan;
use crate::ids::OfferId;
use crate::machine::{Dismantling, Machine};
use serde::Serialize;
use units::{Cancelled, Length, System, Watch};

/// One machine of a set.
#[derive(Clone, Copy, Debug)]
pub struct Member<'a> {
    /// The machine.
    pub machine: &'a Machine,
    /// What the site says of it alone.
    pub alone: &'a SiteAnswer,
    /// What comes off it for the way in.
    pub comes_off: &'a [Dismantling],
}

/// Where they are to stand.
#[derive(Clone, Copy, Debug)]
pub struct Premises<'a> {
    /// The room.
    pub room: &'a Room,
    /// Its floor plan, where there is one.
    pub plan: Option<&'a Plan>,
    /// The shop has a compressor, whether or not anybody stated what it delivers.
    pub owns_compressor: bool,
    /// Price of works.
    pub usd: UsdRate,
    /// Units its people read.
    pub system: System,
}

/// One thing compared for all of them at once.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Matter {
    /// What ("alone", "supply", "air", "floor", "standing").
    pub what: &'static str,
    /// Verdict.
    pub verdict: SiteVerdict,
    /// What all of them want at once.
    pub need: Option<f64>,
    /// What there is.
    pub have: Option<f64>,
    /// Unit of both.
    pub unit: &'static str,
    /// The comparison in words, with its numbers.
    pub said: String,
    /// Where rules and numbers come from.
    pub source: &'static str,
    /// What it must not be taken for.
    pub caution: &'static str,
}

/// Where one of them stands on the plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Placed {
    /// Offer.
    pub offer: OfferId,
    /// Its place, the room round it up to the others.
    #[serde(flatten)]
    pub place: Place,
    /// The load and its way there, past those that stand before it.
    #[serde(skip)]
    pub comes: (Load, WayIn),
}

/// Several machines in the room.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Together {
    /// Offers.
    pub offers: Vec<OfferId>,
    /// Do they stand and run at once?
    pub verdict: SiteVerdict,
    /// Everything compared.
    pub matters: Vec<Matter>,
    /// Places on the plan, in the order they are brought in, where all find one.
    pub places: Vec<Placed>,
    /// What must be asked or measured.
    pub ask: Vec<SiteAsk>,
    /// What must be built or bought beyond the works of each alone.
    pub works: Vec<Work>,
}

impl Together {
    /// False when they are out whatever places there are.
    pub fn needs_places(&self) -> bool {
        self.verdict != SiteVerdict::No
    }

    /// The same with what a plan says of their places.
    pub fn with_places(mut self, places: Places) -> Self {
        self.settle(places.matter);
        for ask in places.ask {
            add(&mut self.ask, ask);
        }
        self.places = places.places;
        self
    }

    fn settle(&mut self, matter: Matter) {
        self.verdict = self.verdict.max(matter.verdict);
        self.matters.push(matter);
    }
}

/// Length and width of each; `None` where one of them is not stated.
fn sides(members: &[Member<'_>]) -> Option<Vec<[Length; 2]>> {
    members
        .iter()
        .map(|m| {
            let p = &m.machine.properties;
            Some([p.length.stated()?, p.width.stated()?])
        })
        .collect()
}

/// Everything but places on a plan, which take time to find: where there is a plan these are left
/// open, and a yes is none yet.
pub fn but_for_places(members: &[Member<'_>], premises: &Premises<'_>) -> Together {
    let mut answer = Together {
        offers: members.iter().map(|m| m.machine.offer.clone()).collect(),
        verdict: SiteVerdict::Yes,
        matters: Vec::new(),
        places: Vec::new(),
        ask: Vec::new(),
        works: Vec::new(),
    };
    alone(members, &mut answer);
    let air = air::check(members, premises, &mut answer);
    supply::check(members, air, &mut answer);
    floor(members, premises.system, &mut answer);
    if premises.plan.is_none() {
        boxes::check(members, premises, &mut answer);
    }
    answer
}

/// Compares everything.
pub fn together(
    members: &[Member<'_>],
    premises: &Premises<'_>,
    watch: Watch<'_>,
) -> Result<Together, Cancelled> {
    let answer = but_for_places(members, premises);
    Ok(match premises.plan.filter(|_| answer.needs_places()) {
        Some(plan) => answer.with_places(places(members, plan, premises.system, watch)?),
        None => answer,
    })
}

/// What the site says of each by itself.
fn alone(members: &[Member<'_>], answer: &mut Together) {
    let verdict = |m: &Member<'_>| m.alone.goes_in;
    for member in members
        .iter()
        .filter(|m| verdict(m) == SiteVerdict::CannotSay)
    {
        for ask in &member.alone.ask {
            add(&mut answer.ask, ask.clone());
        }
    }
    let worst = members.iter().max_by_key(|m| verdict(m));
    let Some(worst) = worst.filter(|m| verdict(m) != SiteVerdict::Yes) else {
        return;
    };
    answer.settle(Matter {
        what: "alone",
        verdict: verdict(worst),
        need: None,
        have: None,
        unit: "",
        said: texts::not_even_alone(&worst.machine.offer, verdict(worst)),
        source: "",
        caution: LIFTING_CAUTION,
    });
}

/// The floor: on a slab on the ground each foot is held against the slab by itself.
fn floor(members: &[Member<'_>], system: System, answer: &mut Together) {
    let verdict = members
        .iter()
        .map(|m| match m.alone.floor.carries {
            Carries::Yes => SiteVerdict::Yes,
            Carries::No => SiteVerdict::No,
            // The questions of each alone tell what is missing.
            Carries::CannotSay | Carries::Engineer => SiteVerdict::CannotSay,
        })
        .max()
        .unwrap_or(SiteVerdict::CannotSay);
    let apart = members
        .iter()
        .filter_map(|m| m.alone.floor.keep_from_edges)
        .fold(Length::ZERO, Length::max);
    answer.settle(Matter {
        what: "floor",
        verdict,
        need: None,
        have: None,
        unit: "",
        said: texts::floor_together(verdict, apart, system),
        source: FLOOR_SOURCE,
        caution: FLOOR_CAUTION,
    });
}

const FLOOR_SOURCE: &str = "each foot alone by Westergaard's stresses, as for one machine; that feet farther apart than the slab's radius of relative stiffness add little to each other is from memory";
