//! When nothing keeps all promises: which changes and how much money would.
//!
//! A purchase that cannot be named as it stands asks for some changes whatever else is done (a part
//! it cannot make, an opening it does not pass, its options); beyond those, giving parts up may save
//! tools and fixtures and so money. Of one offer every set of at most three changes is looked at,
//! with the least to be added to the budget, and what another set beats in everything is left out.

use super::candidate::{Candidate, Situation, extra_budget, verdict};
use super::texts;
use crate::fit::Verdict;
use crate::ids::{OfferId, PartId};
use crate::site::SiteVerdict;
use crate::site::route::ComesIn;
use rayon::prelude::*;
use serde::Serialize;
use units::Money;

/// Most changes of one way out that are not money.
pub const MOST_CHANGES: usize = 3;

/// Parts tried for giving up beyond those a purchase asks for: every set of three of twelve is 298
/// sums of draws for each purchase.
pub const MOST_PARTS: usize = 12;

/// A change that is not money.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Change {
    /// Farm out a part that must be made, or do without it.
    FarmOut(PartId),
    /// Give up a part that is only wished for.
    GiveUp(PartId),
    /// Clamp needed parts more often than they ask for.
    ClampAgain,
    /// Take an option of the offer.
    TakeOption(String),
    /// Leave an option the buyer had decided to take.
    LeaveOption(String),
    /// Take something off the machine for the way in.
    Dismantle(String),
    /// Build at the site what the comparison of that name asks for.
    SiteWork(&'static str),
    /// Find more hours a year to stand at it.
    MoreHours(u32),
}

/// A way out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WayOut {
    /// Offer.
    pub offer: OfferId,
    /// Options of the purchase.
    pub options: Vec<String>,
    /// Changes, at most three.
    pub changes: Vec<Change>,
    /// The changes in words.
    pub texts: Vec<String>,
    /// Least to be added to the budget so that it is kept with the chance; zero when kept.
    pub money: Money,
    /// What the changes cost that nobody has priced, in words: the money does not hold it.
    pub unpriced: Vec<String>,
    /// What a year of the parts given up costs outside, where somebody said.
    pub outside_per_year: Option<Money>,
    /// True when its questions must have good answers too.
    pub ask_first: bool,
    /// True when no way out of any offer has only changes of this one and needs less money.
    pub best: bool,
}

/// Ways out, and what was not looked at.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WaysOut {
    /// Fewest changes first, then least money.
    pub ways: Vec<WayOut>,
    /// In words what was left out because it was too much to look at.
    pub left_out: Vec<String>,
}

/// All-in cost of a candidate draw by draw without some parts (places among the wishes); `None`
/// when giving them up saves nothing.
pub type Without<'a> = &'a (dyn Fn(usize, &[usize]) -> Option<Vec<f64>> + Sync);

/// Ways out of every purchase that cannot be named as it stands.
pub fn ways_out(
    situation: &Situation<'_>,
    candidates: &[Candidate<'_>],
    without: Without<'_>,
) -> WaysOut {
    let found: Vec<WaysOut> = candidates
        .par_iter()
        .enumerate()
        .map(|(place, candidate)| {
            of_candidate(situation, candidate, &|given: &[usize]| {
                without(place, given)
            })
        })
        .collect();
    let mut all = WaysOut::default();
    for found in found {
        all.ways.extend(found.ways);
        all.left_out.extend(found.left_out);
    }
    all.left_out.sort();
    all.left_out.dedup();
    all.ways.sort_by(|a, b| {
        (a.changes.len(), a.ask_first)
            .cmp(&(b.changes.len(), b.ask_first))
            .then(a.money.total_cmp(&b.money))
            .then_with(|| {
                (&a.offer, &a.changes, &a.options).cmp(&(&b.offer, &b.changes, &b.options))
            })
    });
    let mut kept: Vec<WayOut> = Vec::new();
    for way in all.ways {
        if !kept.iter().any(|b| b.offer == way.offer && beats(b, &way)) {
            kept.push(way);
        }
    }
    let best: Vec<bool> = (0..kept.len())
        .map(|at| {
            let others = kept.iter().enumerate().filter(|(other, _)| *other != at);
            !others
                .clone()
                .any(|(other, b)| beats(b, &kept[at]) && (other < at || !beats(&kept[at], b)))
        })
        .collect();
    for (way, best) in kept.iter_mut().zip(best) {
        way.best = best;
    }
    all.ways = kept;
    all
}

/// No change the other does not have, no more money, and nothing more to ask or to price.
fn beats(a: &WayOut, b: &WayOut) -> bool {
    a.money <= b.money
        && a.ask_first <= b.ask_first
        && a.unpriced.len() <= b.unpriced.len()
        && a.changes.iter().all(|c| b.changes.contains(c))
}

fn of_candidate(
    situation: &Situation<'_>,
    candidate: &Candidate<'_>,
    without: &dyn Fn(&[usize]) -> Option<Vec<f64>>,
) -> WaysOut {
    let mut found = WaysOut::default();
    let wishes = situation.wishes;
    let verdicts: Vec<Verdict> = candidate
        .of_wishes(wishes)
        .map(|(_, fit)| verdict(fit))
        .collect();
    // What it asks for whatever else is done.
    let missed: Vec<usize> = (0..wishes.len())
        .filter(|at| wishes[*at].must_make && verdicts[*at] == Verdict::DoesNotFit)
        .collect();
    let needs = wishes.iter().filter(|w| w.must_make).count();
    let Some((mut fixed, unpriced)) = of_site(candidate) else {
        return found;
    };
    // Giving up every need is no purchase.
    if needs > 0 && missed.len() == needs {
        return found;
    }
    fixed.extend(candidate.options.iter().cloned().map(Change::TakeOption));
    fixed.extend(candidate.gives_up.iter().cloned().map(Change::LeaveOption));
    let as_it_stands = missed.is_empty()
        && fixed.is_empty()
        && candidate.hours_short.is_none()
        && !candidate.asks(wishes)
        && candidate.keeps_budget(situation.keep_chance);
    if as_it_stands {
        return found;
    }
    if fixed.len() + missed.len() > MOST_CHANGES {
        found
            .left_out
            .push(texts::too_many_changes(candidate.name, MOST_CHANGES));
        return found;
    }
    let mut others: Vec<usize> = (0..wishes.len())
        .filter(|at| verdicts[*at] != Verdict::DoesNotFit)
        .collect();
    if others.len() > MOST_PARTS {
        // Needs that must be asked about and what saves most come first.
        let saved = |at: &usize| {
            let alone = without(&[*at]);
            let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len().max(1) as f64;
            alone.map_or(0.0, |v| mean(&candidate.all_in.totals) - mean(&v))
        };
        let mut ranked: Vec<(bool, f64, usize)> = others
            .iter()
            .map(|at| {
                let asked = wishes[*at].must_make && verdicts[*at] == Verdict::CannotSay;
                (asked, saved(at), *at)
            })
            .collect();
        ranked.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.total_cmp(&a.1)).then(a.2.cmp(&b.2)));
        ranked.truncate(MOST_PARTS);
        others = ranked.into_iter().map(|(.., at)| at).collect();
        others.sort_unstable();
        found
            .left_out
            .push(texts::some_parts(candidate.name, MOST_PARTS));
    }
    let room = MOST_CHANGES - fixed.len() - missed.len();
    for extra in subsets(&others, room) {
        let mut given: Vec<usize> = missed.iter().chain(&extra).copied().collect();
        given.sort_unstable();
        if let Some(way) = way(
            situation, candidate, &verdicts, &fixed, &unpriced, &given, without,
        ) {
            found.ways.push(way);
        }
    }
    found
}

/// A purchase with some parts given up; `None` when that is too many changes or no purchase.
fn way(
    situation: &Situation<'_>,
    candidate: &Candidate<'_>,
    verdicts: &[Verdict],
    fixed: &[Change],
    unpriced: &[String],
    given: &[usize],
    without: &dyn Fn(&[usize]) -> Option<Vec<f64>>,
) -> Option<WayOut> {
    let wishes = situation.wishes;
    let left = |at: &usize| !given.contains(at);
    let needs = || (0..wishes.len()).filter(|at| wishes[*at].must_make);
    // Giving up every need is no purchase.
    if needs().next().is_some() && !needs().any(|at| left(&at)) {
        return None;
    }
    let mut changes = fixed.to_vec();
    changes.extend(given.iter().map(|at| {
        let part = wishes[*at].part.clone();
        if wishes[*at].must_make {
            Change::FarmOut(part)
        } else {
            Change::GiveUp(part)
        }
    }));
    let again: Vec<&PartId> = needs()
        .filter(left)
        .filter(|at| verdicts[*at] == Verdict::FitsWithMoreClampings)
        .map(|at| &wishes[at].part)
        .collect();
    if !again.is_empty() {
        changes.push(Change::ClampAgain);
    }
    if let Some(hours) = candidate.hours_short {
        changes.push(Change::MoreHours(hours.to_h().ceil() as u32));
    }
    if changes.len() > MOST_CHANGES {
        return None;
    }
    changes.sort();
    let money = match without(given).filter(|_| !given.is_empty()) {
        Some(totals) => extra_budget(&totals, &candidate.all_in.budgets, situation.keep_chance),
        None => candidate.extra_budget(situation.keep_chance),
    };
    let outside: Option<Vec<Money>> = given
        .iter()
        .map(|at| wishes[*at].outside_per_year)
        .collect();
    let remaining = |at: usize| left(&at);
    Some(WayOut {
        offer: candidate.offer.clone(),
        options: candidate.options.to_vec(),
        texts: changes.iter().map(|c| texts::change(c, &again)).collect(),
        changes,
        money,
        unpriced: unpriced.to_vec(),
        outside_per_year: outside
            .filter(|v| !v.is_empty())
            .map(|v| v.into_iter().fold(Money::ZERO, |a, b| a + b)),
        ask_first: candidate.asks_of(wishes, &remaining),
        best: false,
    })
}

/// What the site asks for, and what of it nobody has priced; `None` when nothing helps.
fn of_site(candidate: &Candidate<'_>) -> Option<(Vec<Change>, Vec<String>)> {
    let (mut changes, mut unpriced) = (Vec::new(), Vec::new());
    if candidate.site.goes_in != SiteVerdict::No {
        return Some((changes, unpriced));
    }
    for reason in candidate.site.reasons.iter().filter(|r| r.rules_out) {
        let helps = candidate.site.way.iter().flat_map(|w| &w.helps);
        let off = helps
            .filter(|h| h.comes_in == ComesIn::Yes)
            .find(|_| reason.what == "route");
        match off {
            Some(help) => {
                changes.push(Change::Dismantle(help.what.clone()));
                unpriced.push(help.what.clone());
            }
            // No machine is made to stand where it does not by building.
            None if reason.mend.is_empty() => return None,
            None => {
                changes.push(Change::SiteWork(reason.what));
                unpriced.push(reason.mend.clone());
            }
        }
    }
    Some((changes, unpriced))
}

/// Every subset of at most so many.
fn subsets(of: &[usize], most: usize) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    let mut level: Vec<(usize, Vec<usize>)> = vec![(0, Vec::new())];
    for _ in 0..most {
        let mut next = Vec::new();
        for (from, set) in &level {
            for (at, part) in of.iter().enumerate().skip(*from) {
                let mut grown = set.clone();
                grown.push(*part);
                all.push(grown.clone());
                next.push((at + 1, grown));
            }
        }
        level = next;
    }
    all
}
