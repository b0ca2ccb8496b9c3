//! The most valuable purchase of a study: what enters the exact search, and what it finds on the
//! common draws.
//!
//! The search works with means: what a part brings a year against what it costs a year, at the mean
//! worth of a yearly unit over the horizon; a tool or a fixture more at the mean it adds to the
//! lines. Inputs that are multiplied are independent, so means of products are products of means.
//! What it finds is then drawn like everything else.

use super::Context;
use super::bounded;
use super::failing;
use super::joint::{JointAnswer, does_share, joint};
use super::looked::Looked;
use super::model::Model;
use super::priced::{self, Variant};
use super::sets::{Sets, sets};
use crate::choice::purchase::{Bought, Common, MachineChoice, Purchase, search_until};
use crate::site::together::Together;
use rayon::prelude::*;
use std::sync::Arc;
use units::{Cancelled, Time, Watch};

/// What the search came to.
pub(super) struct Valued<'a> {
    pub variants: Vec<Variant<'a>>,
    pub joints: Vec<JointAnswer>,
    pub proven: bool,
    /// By how much anything left out may be worth more, where a search cut short, income tax or ranges
    /// leave that open.
    pub gap: Option<f64>,
    /// True when the search was told to stop before its end.
    pub stopped: bool,
}

/// What is reported while the search runs, which `Watch::enough` ends.
pub const SEARCH: &str = "best purchase";

/// A difference in money nobody counts.
const COUNTED: f64 = 0.5;

/// Finds what to make on every purchase that may matter, and values it. `sure` tells of each
/// purchase whether it may be named as it stands.
pub(super) fn valued<'a>(
    context: &Context<'_>,
    looked: Vec<Looked<'a>>,
    sure: &[bool],
    watch: Watch<'_>,
) -> Result<Valued<'a>, Cancelled> {
    let model = Model::of(context);
    let machines: Vec<Option<MachineChoice>> = looked
        .par_iter()
        .zip(sure)
        .map(|(l, sure)| {
            watch.check()?;
            let usable = l.gives_up.is_empty() && l.site.goes_in != crate::site::SiteVerdict::No;
            Ok(usable.then(|| model.machine(context, l, *sure)))
        })
        .collect::<Result<_, Cancelled>>()?;
    let places = |wanted: bool| -> Vec<usize> {
        (0..looked.len())
            .filter(|at| machines[*at].is_some() && sure[*at] == wanted)
            .collect()
    };
    let (named, asked) = (places(true), places(false));
    let common = looked
        .iter()
        .map(|l| model.common(context, l))
        .fold(Common::default(), |a, b| Common {
            cost: a.cost.max(b.cost),
            spent: a.spent.max(b.spent),
        });
    let purchase = |of: &[usize], most: usize| Purchase {
        common: if most > 1 { common } else { Common::default() },
        machines: of.iter().filter_map(|at| machines[*at].clone()).collect(),
        most_machines: most,
        ..model.purchase(context)
    };
    // One purchase of every offer is looked at whatever it is worth, for the answer to show.
    let shown = |of: &[usize]| -> Vec<usize> {
        let mut also: Vec<usize> = Vec::new();
        for (place, at) in of.iter().enumerate() {
            if !also
                .iter()
                .any(|p| looked[of[*p]].number == looked[*at].number)
            {
                also.push(place);
            }
        }
        also
    };
    let most = context.inputs.shop.machines;
    watch.tick(SEARCH, 0, named.len() + asked.len())?;
    let stop = || watch.enough();
    let (first, second) = rayon::join(
        || search_until(&purchase(&named, 1), &shown(&named), &stop),
        || search_until(&purchase(&asked, 1), &shown(&asked), &stop),
    );
    // The hours are a limit by their likely values there: where the best does not always keep them,
    // another might be better in the draws.
    let is_overfull = |looked: &Looked<'_>, made: &[bool]| {
        let [_, above] = priced::doubt(looked, made).sides();
        let most = priced::hours(looked, made) + Time::h(above);
        above > 0.0 && most > context.inputs.shop.hours_per_year.likely
    };
    let single_overfull = first.sets.first().is_some_and(|best| {
        let made: Vec<bool> = best.made_on.iter().map(Option::is_some).collect();
        is_overfull(&looked[named[best.machines[0]]], &made)
    });
    let mut overfull = single_overfull;
    let mut stopped = first.stopped || second.stopped;
    let mut most_worth = first.most;
    let mut best = first.sets.first().map_or(f64::NEG_INFINITY, |s| s.worth);
    let singles: Vec<(Bought, usize)> = first
        .sets
        .iter()
        .map(|set| (set.clone(), named[set.machines[0]]))
        .collect();
    let mut made: Vec<Option<Vec<bool>>> = vec![None; looked.len()];
    for (found, of) in [(first, &named), (second, &asked)] {
        for set in found.sets {
            made[of[set.machines[0]]] = Some(set.made_on.iter().map(Option::is_some).collect());
        }
    }
    let mut together: Vec<(Bought, Arc<Together>)> = Vec::new();
    if most > 1 {
        let found = sets(context, &looked, &named, purchase(&named, most), watch)?;
        let Sets {
            named: sets,
            others,
            ..
        } = found;
        // Nor are works for all of them at once in the means it goes by.
        overfull |= !found.as_searched;
        overfull |= sets.first().is_some_and(|(best, _)| {
            best.machines.iter().any(|machine| {
                let made: Vec<bool> = best.made_on.iter().map(|m| *m == Some(*machine)).collect();
                is_overfull(&looked[named[*machine]], &made)
            })
        });
        stopped |= found.stopped;
        most_worth = most_worth.max(found.most);
        best = best.max(found.best);
        together.extend(sets.into_iter().chain(others).map(|(set, together)| {
            let bought = Bought {
                machines: set.machines.iter().map(|m| named[*m]).collect(),
                made_on: set.made_on.iter().map(|m| m.map(|m| named[m])).collect(),
                ..set
            };
            (bought, together)
        }));
    }
    let jobs: Vec<(Looked<'a>, Option<Vec<bool>>)> = looked.into_iter().zip(made).collect();
    watch.tick("draws", 0, jobs.len())?;
    let variants: Vec<Variant<'a>> = jobs
        .into_par_iter()
        .map(|(looked, made)| {
            watch.check()?;
            Ok(variant(context, looked, made))
        })
        .collect::<Result<_, Cancelled>>()?;
    // Each alone may do often enough and all of them at once too seldom: such a set is not named. Where
    // anything is in doubt the search's worth is only a bound, so the distance is told below.
    let keep_chance = context.inputs.shop.keep_chance;
    together.retain(|(bought, _)| {
        let does = does_share(context, &variants, &bought.made_on, &bought.machines);
        does >= keep_chance - 1e-9
    });
    let joints = together
        .par_iter()
        .map(|(bought, together)| {
            watch.check()?;
            Ok(joint(context, &variants, bought, together))
        })
        .collect::<Result<_, Cancelled>>()?;
    let needs = context.inputs.parts.iter().any(|p| p.must_make);
    // What the machine earns beside is in no worth here, and nothing else earns it.
    let beside = context.inputs.shop.finance.income_per_year.is_some();
    let least = if needs || beside {
        f64::NEG_INFINITY
    } else {
        0.0
    };
    let most_worth = most_worth.max(least);
    // In both cases the search's worth is a bound from above.
    let is_bound = bounded::losses_wait(context.inputs.shop)
        || variants.iter().any(|v| v.looked.in_draws.is_some());
    let gap = if is_bound {
        bounded::gap(context, &variants, &singles, most_worth, least)
    } else if most_worth > best.max(least) {
        most_worth - best.max(least)
    } else {
        0.0
    };
    let gap = (gap >= COUNTED).then_some(gap);
    Ok(Valued {
        variants,
        joints,
        proven: gap.is_none() && !overfull,
        gap: gap.filter(|gap| gap.is_finite() && !overfull),
        stopped,
    })
}

/// A purchase with what the search says to make on it; without that with everything it can make.
fn variant<'a>(context: &Context<'_>, looked: Looked<'a>, made: Option<Vec<bool>>) -> Variant<'a> {
    let found = made.is_some();
    let made = made.unwrap_or_else(|| priced::makable(&looked));
    let short = hours_short(context, &looked);
    let mut variant = priced::variant(context, looked, made);
    if found {
        variant.worth = failing::worth(context, &variant.looked, &variant.priced, &variant.made);
    }
    variant.hours_short = short;
    variant
}

/// Hours the needs ask for beyond those there are.
fn hours_short(context: &Context<'_>, looked: &Looked<'_>) -> Option<Time> {
    let needs: Vec<bool> = context.inputs.parts.iter().map(|p| p.must_make).collect();
    let short = priced::hours(looked, &needs) - context.inputs.shop.hours_per_year.likely;
    (short > Time::ZERO).then_some(short)
}
