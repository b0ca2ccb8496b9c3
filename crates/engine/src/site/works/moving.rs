//! What moving adds to usual freight and rigging: taking apart on the way in, and what a failed or
//! open check of the seller's end and the road may cost.

use super::super::answer::Work;
use super::super::removal::{About, Check, CheckState};
use super::super::route::{ComesIn, Help, Step, StepKind};
use super::super::{UsdRate, texts};
use super::{MEMORY, Priced, work};
use crate::machine::Machine;
use units::{Mass, Money};

/// Usual price of a step: low, likely, high in US dollars, and days. From memory.
fn usual(kind: StepKind) -> ([f64; 3], u32) {
    match kind {
        StepKind::Aside => ([0.0, 50.0, 300.0], 1),
        StepKind::LeafOff => ([0.0, 80.0, 300.0], 1),
        StepKind::PartOff => ([150.0, 600.0, 2500.0], 7),
        StepKind::FrameOff => ([200.0, 700.0, 2500.0], 14),
    }
}

/// Everything that must come off or aside for the way in, and on again. Where the load may yet pass
/// as it is, it may cost nothing.
pub fn taking_apart(help: &Help, as_it_is: ComesIn, usd: UsdRate) -> Work {
    let mut dollars_taken = false;
    let mut price = |step: &Step| {
        step.price.unwrap_or_else(|| {
            dollars_taken = true;
            usual(step.kind).0.map(|d| usd.money(d))
        })
    };
    let [low, likely, high] = help
        .steps
        .iter()
        .map(&mut price)
        .fold([Money::ZERO; 3], |sum, each| {
            [0, 1, 2].map(|n| sum[n] + each[n])
        });
    let days = |step: &Step| step.lead_days.unwrap_or(usual(step.kind).1);
    let stated = help.steps.iter().find(|s| s.price.is_some());
    Work {
        name: "taking apart",
        low: if as_it_is == ComesIn::CannotSay {
            Money::ZERO
        } else {
            low
        },
        likely,
        high,
        lead_days: help.steps.iter().map(days).max().unwrap_or(0),
        why: texts::taking_apart(&help.what),
        source: if dollars_taken {
            usd.source(MEMORY)
        } else {
            "stated".to_owned()
        },
        stated: stated.filter(|_| !dollars_taken).map(|s| s.place.clone()),
        caution: texts::LIFTING_CAUTION,
    }
}

/// Hauls and cranes: a haul of 300 to 600 dollars under 10,000 lb and 50 miles, a crane at 200 to 500
/// an hour (towmarx.com dispatch article; construction gear, hence wide), hours from memory.
const HAUL: &str = "a haul of 300 to 600 dollars under 10,000 lb and 50 miles (towmarx.com dispatch article, construction gear); the rest from memory";
const CRANE: &str = "a crane at 200 to 500 dollars an hour (towmarx.com dispatch article, construction gear); hours from memory";

/// Price of a check that came out wrong, in US dollars; `None` for those that add nothing.
fn failed(about: About, weight: Option<Mass>) -> Option<Priced<'static>> {
    let small = weight.is_some_and(|w| w.to_kg() <= 300.0);
    let (name, dollars, lead_days, why, source) = match about {
        About::Door => (
            "seller's door",
            [200.0, 800.0, 3000.0],
            7,
            texts::SELLERS_DOOR,
            MEMORY,
        ),
        // By hand or an engine crane.
        About::Loading if small => ("loading", [30.0, 120.0, 300.0], 3, texts::LOADING, MEMORY),
        // Two to four hours.
        About::Loading => ("loading", [400.0, 900.0, 2000.0], 7, texts::LOADING, CRANE),
        About::Trailer | About::Deck => (
            "other carrier",
            [150.0, 450.0, 900.0],
            7,
            texts::OTHER_CARRIER,
            HAUL,
        ),
        About::Locks => (
            "shipping preparation",
            [100.0, 300.0, 900.0],
            7,
            texts::PREPARATION,
            MEMORY,
        ),
        About::Insurance => (
            "transit insurance",
            [50.0, 150.0, 600.0],
            2,
            texts::TRANSIT_INSURANCE,
            MEMORY,
        ),
        About::TieDown | About::Tongue => return None,
    };
    Some(Priced {
        name,
        dollars,
        lead_days,
        why,
        source,
        caution: texts::LIFTING_CAUTION,
    })
}

/// What failed checks add, and what open ones may: from nothing, which is likely, up to what a
/// failed one likely costs.
pub fn before_the_truck(checks: &[Check], machine: &Machine, usd: UsdRate) -> Vec<Work> {
    let weight = machine.properties.weight.stated();
    let mut works: Vec<Work> = Vec::new();
    for state in [CheckState::Wrong, CheckState::Ask] {
        for check in checks.iter().filter(|c| c.state == state) {
            let Some(mut priced) = failed(check.about, weight) else {
                continue;
            };
            // Another carrier is paid once, whatever is wrong with the first.
            if works.iter().any(|w| w.name == priced.name) {
                continue;
            }
            let open = texts::if_not(priced.why);
            if state == CheckState::Ask {
                priced.dollars = [0.0, 0.0, priced.dollars[1]];
                priced.why = &open;
            }
            works.push(work(&priced, usd));
        }
    }
    works
}
