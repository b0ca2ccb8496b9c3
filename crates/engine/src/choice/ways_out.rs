//! When nothing keeps all promises: which changes and how much money would.
//!
//! A purchase that cannot be named as it stands asks for some changes whatever else is done (a part
//! it cannot make, an opening it does not pass, its options); beyond those, giving parts up may save
//! tools and fixtures and so money. Of one offer every set of at most three changes is looked at,
//! with the least to be added to the budget, and what another set beats in everything is left out.

mod beaten;
mod way;

use super::candidate::{Candidate, Situation, extra_budget, verdict};
use super::decision::mean;
use super::texts;
use crate::fit::Verdict;
use crate::ids::PartId;
use crate::site::SiteVerdict;
use crate::site::route::ComesIn;
use beaten::{Compared, Index, set};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::sync::Arc;
use units::Money;

pub use way::{Change, WayOut, WaysOut};

/// Most changes of one way out that are not money.
pub const MOST_CHANGES: usize = 3;

/// Parts tried for giving up beyond those a purchase asks for: every set of three of twelve is 298
/// sums of draws for each purchase.
pub const MOST_PARTS: usize = 12;

/// What a purchase costs without some of its parts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rest {
    /// Mean of the all-in cost.
    mean: f64,
    /// Least to be added to the budget so that it is kept with the chance.
    money: Money,
}

impl Rest {
    /// Of the all-in cost and the budget draw by draw, the budget to be kept with a chance.
    pub fn of(totals: &[f64], budgets: &[f64], keep_chance: f64) -> Self {
        Self {
            mean: mean(totals),
            money: extra_budget(totals, budgets, keep_chance),
        }
    }
}

/// What one candidate costs without the parts at some places among the wishes; `None` when giving them
/// up saves nothing.
pub type OfOne<'a> = Box<dyn FnMut(&[usize]) -> Option<Rest> + 'a>;

/// The same for every candidate, by its place.
pub type Without<'a> = &'a (dyn Fn(usize) -> OfOne<'a> + Sync);

/// Ways out of every purchase that cannot be named as it stands.
pub fn ways_out<'a>(
    situation: &Situation<'_>,
    candidates: &[Candidate<'_>],
    without: Without<'a>,
) -> WaysOut {
    let found: Vec<WaysOut> = candidates
        .par_iter()
        .enumerate()
        .map(|(place, candidate)| {
            let mut without = without(place);
            of_candidate(situation, candidate, &mut without)
        })
        .collect();
    let mut all = WaysOut::default();
    all.ways
        .reserve_exact(found.iter().map(|f| f.ways.len()).sum());
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
    // Of one offer, with any of its option sets, what another way beats is left out.
    let mut compared = compared(&all.ways);
    let index = Index::of(&compared);
    let kept: Vec<bool> = (0..compared.len())
        .map(|at| !index.beaten_by_earlier(at))
        .collect();
    drop(index);
    let mut keep = kept.iter();
    all.ways.retain(|_| keep.next() == Some(&true));
    all.ways.shrink_to_fit();
    let mut keep = kept.iter();
    compared.retain(|_| keep.next() == Some(&true));
    // The best are those that none of any offer beats.
    for way in &mut compared {
        way.group = 0;
    }
    let index = Index::of(&compared);
    for (at, way) in all.ways.iter_mut().enumerate() {
        way.best = !index.beaten_by_any(at);
    }
    all
}

/// What ways out are compared in, those of an offer a group.
fn compared(ways: &[WayOut]) -> Vec<Compared> {
    let (mut offers, mut changes) = (BTreeMap::new(), BTreeMap::new());
    ways.iter()
        .map(|way| {
            let number = offers.len() as u32;
            let group = *offers.entry(&way.offer).or_insert(number);
            let own = way.changes.iter().map(|change| {
                let number = changes.len() as u32;
                *changes.entry(change).or_insert(number)
            });
            Compared {
                group,
                changes: set(own),
                money: way.money,
                ask_first: way.ask_first,
                unpriced: way.unpriced.len(),
            }
        })
        .collect()
}

/// A candidate, and what it asks for whatever parts are given up.
struct Stuck<'a> {
    situation: &'a Situation<'a>,
    candidate: &'a Candidate<'a>,
    verdicts: Vec<Verdict>,
    /// Places of the parts that must be made.
    needs: Vec<usize>,
    /// Those of them that ask for more clampings.
    again: Arc<[PartId]>,
    fixed: Vec<Change>,
    unpriced: Vec<String>,
    /// Needs it cannot make.
    missed: Vec<usize>,
    /// Least to be added to the budget as it stands.
    money: Money,
}

fn of_candidate(
    situation: &Situation<'_>,
    candidate: &Candidate<'_>,
    without: &mut OfOne<'_>,
) -> WaysOut {
    let mut found = WaysOut::default();
    let wishes = situation.wishes;
    let verdicts: Vec<Verdict> = candidate
        .of_wishes(wishes)
        .map(|(_, fit)| verdict(fit))
        .collect();
    let needs: Vec<usize> = (0..wishes.len())
        .filter(|at| wishes[*at].must_make)
        .collect();
    let missed: Vec<usize> = needs
        .iter()
        .copied()
        .filter(|at| verdicts[*at] == Verdict::DoesNotFit)
        .collect();
    let Some((mut fixed, unpriced)) = of_site(candidate) else {
        return found;
    };
    // Giving up every need is no purchase.
    if !needs.is_empty() && missed.len() == needs.len() {
        return found;
    }
    fixed.extend(candidate.options.iter().cloned().map(Change::TakeOption));
    fixed.extend(candidate.gives_up.iter().cloned().map(Change::LeaveOption));
    let as_it_stands = missed.is_empty()
        && fixed.is_empty()
        && candidate.hours_short.is_none()
        && !candidate.asks(situation)
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
    let again = needs.iter().copied();
    let again = again.filter(|at| verdicts[*at] == Verdict::FitsWithMoreClampings);
    let stuck = Stuck {
        again: again.map(|at| wishes[at].part.clone()).collect(),
        situation,
        candidate,
        verdicts,
        needs,
        fixed,
        unpriced,
        missed,
        money: candidate.extra_budget(situation.keep_chance),
    };
    let mut others: Vec<usize> = (0..wishes.len())
        .filter(|at| stuck.verdicts[*at] != Verdict::DoesNotFit)
        .collect();
    if others.len() > MOST_PARTS {
        others = stuck.worth_most(others, without);
        found
            .left_out
            .push(texts::some_parts(candidate.name, MOST_PARTS));
    }
    found.ways = stuck.ways(&others, without);
    found
}

/// A set of parts given up, and what comes of it.
struct Way {
    given: Vec<usize>,
    clamps_again: bool,
    money: Money,
    ask_first: bool,
}

impl Stuck<'_> {
    /// Needs that must be asked about and what saves most, so many as are looked at.
    fn worth_most(&self, others: Vec<usize>, without: &mut OfOne<'_>) -> Vec<usize> {
        let all = mean(&self.candidate.all_in.totals);
        let mut ranked: Vec<(bool, f64, usize)> = others
            .into_iter()
            .map(|at| {
                let asked = self.verdicts[at] == Verdict::CannotSay;
                let saved = without(&[at]).map_or(0.0, |rest| all - rest.mean);
                (asked && self.situation.wishes[at].must_make, saved, at)
            })
            .collect();
        ranked.sort_by(|a, b| b.0.cmp(&a.0).then(b.1.total_cmp(&a.1)).then(a.2.cmp(&b.2)));
        ranked.truncate(MOST_PARTS);
        let mut most: Vec<usize> = ranked.into_iter().map(|(.., at)| at).collect();
        most.sort_unstable();
        most
    }

    /// Every way out that gives up some of these parts beside those missed, without those that another
    /// beats.
    fn ways(&self, others: &[usize], without: &mut OfOne<'_>) -> Vec<WayOut> {
        let room = MOST_CHANGES - self.fixed.len() - self.missed.len();
        let all: Vec<Way> = subsets(others, room)
            .into_iter()
            .filter_map(|extra| {
                let mut given: Vec<usize> = self.missed.iter().chain(&extra).copied().collect();
                given.sort_unstable();
                self.way(given, without)
            })
            .collect();
        // All of them share what is fixed and the hours.
        let again = self.verdicts.len() as u32;
        let compared: Vec<Compared> = all
            .iter()
            .map(|way| {
                let given = way.given.iter().map(|at| *at as u32);
                Compared {
                    group: 0,
                    changes: set(given.chain(way.clamps_again.then_some(again))),
                    money: way.money,
                    ask_first: way.ask_first,
                    unpriced: 0,
                }
            })
            .collect();
        let index = Index::of(&compared);
        let kept = all.iter().enumerate();
        kept.filter(|(at, _)| !index.beaten_by_any(*at))
            .map(|(_, way)| self.told(way))
            .collect()
    }

    /// Needs still made.
    fn left<'s>(&'s self, given: &'s [usize]) -> impl Iterator<Item = usize> + 's {
        let needs = self.needs.iter().copied();
        needs.filter(|at| !given.contains(at))
    }

    /// The purchase with some parts given up; `None` when that is too many changes or no purchase.
    fn way(&self, given: Vec<usize>, without: &mut OfOne<'_>) -> Option<Way> {
        // Giving up every need is no purchase.
        if !self.needs.is_empty() && self.left(&given).next().is_none() {
            return None;
        }
        let candidate = self.candidate;
        let has = |verdict: Verdict| self.left(&given).any(|at| self.verdicts[at] == verdict);
        let clamps_again = has(Verdict::FitsWithMoreClampings);
        let needed = |at: usize| self.needs.contains(&at) && !given.contains(&at);
        let ask_first = candidate.asks_anyway()
            || has(Verdict::CannotSay)
            || candidate.is_doubtful(self.situation, needed);
        let changes = self.fixed.len()
            + given.len()
            + usize::from(clamps_again)
            + usize::from(candidate.hours_short.is_some());
        if changes > MOST_CHANGES {
            return None;
        }
        let rest = (!given.is_empty()).then(|| without(&given)).flatten();
        Some(Way {
            clamps_again,
            money: rest.map_or(self.money, |rest| rest.money),
            ask_first,
            given,
        })
    }

    fn told(&self, way: &Way) -> WayOut {
        let (wishes, candidate) = (self.situation.wishes, self.candidate);
        let mut changes = self.fixed.clone();
        changes.extend(way.given.iter().map(|at| {
            let part = wishes[*at].part.clone();
            if wishes[*at].must_make {
                Change::FarmOut(part)
            } else {
                Change::GiveUp(part)
            }
        }));
        if way.clamps_again {
            changes.push(Change::ClampAgain);
        }
        if let Some(hours) = candidate.hours_short {
            changes.push(Change::MoreHours(hours.to_h().ceil() as u32));
        }
        changes.sort();
        let outside: Option<Vec<Money>> = way
            .given
            .iter()
            .map(|at| wishes[*at].outside_per_year)
            .collect();
        WayOut {
            offer: candidate.offer.clone(),
            options: candidate.options.to_vec(),
            again: self.again.clone(),
            changes,
            money: way.money,
            unpriced: self.unpriced.clone(),
            outside_per_year: outside
                .filter(|v| !v.is_empty())
                .map(|v| v.into_iter().fold(Money::ZERO, |a, b| a + b)),
            ask_first: way.ask_first,
            best: false,
        }
    }
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
