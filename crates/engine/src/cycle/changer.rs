//! The changer question in hours: what changing tools by hand takes a year. Its money side comes
//! with the decision.

use super::PartTime;
use crate::demand::Demand;
use crate::fit::{Fit, Magazine, Practice, changes, magazine};
use crate::machine::{Known, Machine};
use serde::Serialize;
use units::Number;

/// What a changer would save, or saves.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Changer {
    /// Tool changes a year of all parts made.
    pub changes_per_year: f64,
    /// Of which by hand on this machine.
    pub by_hand_per_year: f64,
    /// Hours a year of changing by hand on this machine.
    pub by_hand_h: f64,
    /// Hours a year somebody stands by on this machine.
    pub attended_h: f64,
    /// The same if every tool were changed by hand.
    pub attended_without_h: f64,
    /// The same with room for every tool that fits a changer.
    pub attended_with_h: f64,
}

/// The changer question over the parts a machine makes.
pub fn changer<'a>(
    made: impl Iterator<Item = (&'a Demand, &'a Fit, &'a PartTime)>,
    machine: &Machine,
    practice: &Practice,
) -> Changer {
    let with = |pockets: f64| {
        let mut other = machine.clone();
        other.properties.changer_pockets = Known::Yes(Number::of(pockets));
        other
    };
    let (none, many) = (with(0.0), with(1.0e4));
    let mut sum = Changer::default();
    for (demand, fit, time) in made {
        let pieces = time.started_per_year;
        let of = |m: &Machine| {
            let filled = magazine(demand, m, practice);
            hand_changes_of(demand, fit, &filled, &time.per_loading) * pieces
        };
        let here = of(machine);
        let hour = practice.habits.hand_change.to_h();
        let attended = time.attended_per_year.to_h();
        sum.changes_per_year += time.tool_changes_per_year;
        sum.by_hand_per_year += here;
        sum.by_hand_h += here * hour;
        sum.attended_h += attended;
        sum.attended_without_h += attended + (of(&none) - here) * hour;
        sum.attended_with_h += attended + (of(&many) - here) * hour;
    }
    sum
}

/// Changes by hand for one piece.
pub(super) fn hand_changes_of(
    demand: &Demand,
    fit: &Fit,
    filled: &Magazine,
    per_loading: &[u32],
) -> f64 {
    per_piece(demand, fit, per_loading, |tool| filled.by_hand[tool])
}

/// Changes for one piece of the tools that count: each setup's, again for each further clamping,
/// shared by the parts of a loading.
pub(super) fn per_piece(
    demand: &Demand,
    fit: &Fit,
    per_loading: &[u32],
    counts: impl Fn(usize) -> bool,
) -> f64 {
    let changes = changes(demand);
    // One tool that does it all stays in.
    let mut tools: Vec<usize> = changes.iter().flatten().copied().collect();
    tools.sort_unstable();
    tools.dedup();
    if tools.len() <= 1 {
        return 0.0;
    }
    changes
        .iter()
        .enumerate()
        .map(|(at, order)| {
            let clampings = fit.setups_on.get(at).map_or(1, |s| s.clampings.max(1));
            let parts = per_loading.get(at).copied().unwrap_or(1).max(1);
            let n = order.iter().filter(|tool| counts(**tool)).count();
            n as f64 * f64::from(clampings) / f64::from(parts)
        })
        .sum()
}
