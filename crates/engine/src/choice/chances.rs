//! Everything that could be done, evaluated on the common draws: which is best in how many of
//! them, and which the draws cannot tell apart.

use super::candidate::{Joint, Situation, values};
use super::decision::{Judged, KeepingBudget, Status, mean};
use super::rank::Score;
use crate::entered::Aim;
use crate::ids::OfferId;
use crate::site::SiteVerdict;
use std::cmp::Ordering;
use units::{DRAW_BLOCK, Money};

/// A purchase that may be named outright.
struct Action<'a> {
    what: What<'a>,
    /// Names, ascending.
    offers: Vec<&'a OfferId>,
    options: Vec<&'a String>,
    totals: &'a [f64],
    budgets: &'a [f64],
    /// Value draw by draw and in the mean, under the aim "value".
    values: Vec<f64>,
    mean: f64,
    over_cost: f64,
}

enum What<'a> {
    /// Place among the judged.
    One(usize),
    Several(&'a Joint<'a>),
}

/// The purchases that may be named outright, the better first.
pub(super) struct Actions<'a> {
    aim: Aim,
    keep_chance: f64,
    list: Vec<Action<'a>>,
    judged: &'a [Judged<'a>],
    /// From this place on fits are the same in all draws.
    settled_from: usize,
}

/// Shares of the common draws in which each action is the best.
pub(super) struct Chances {
    pub each: Vec<f64>,
    pub none: f64,
}

impl<'a> Actions<'a> {
    /// Of what was judged. Under the aim "capability" purchases over the budget are among them: in
    /// some draws they keep it.
    pub(super) fn of(
        situation: &Situation<'_>,
        judged: &'a [Judged<'a>],
        joints: &'a [Joint<'a>],
    ) -> Self {
        let value = situation.aim == Aim::Value;
        let rate = situation.over_budget_rate;
        let mut list: Vec<Action<'a>> = judged
            .iter()
            .enumerate()
            .filter(|(_, j)| !j.impossible(situation) && !j.candidate.asks(situation))
            .map(|(at, j)| {
                let values = value.then(|| j.candidate.values(rate)).flatten();
                let npv = j.candidate.worth.map_or(0.0, |w| mean(&w.draws));
                Action {
                    what: What::One(at),
                    offers: vec![j.candidate.offer],
                    options: j.candidate.options.iter().collect(),
                    totals: &j.candidate.all_in.totals,
                    budgets: &j.candidate.all_in.budgets,
                    mean: j.value,
                    over_cost: if value { npv - j.value } else { 0.0 },
                    values: values.unwrap_or_default(),
                }
            })
            .collect();
        if value {
            let of_place = |place: usize| judged.iter().find(|j| j.place == place);
            let stand = |j: &&Joint<'_>| j.together.verdict == SiteVerdict::Yes;
            list.extend(joints.iter().filter(stand).map(|joint| {
                let members = || joint.members.iter().filter_map(|m| of_place(*m));
                let mut offers: Vec<&OfferId> = members().map(|j| j.candidate.offer).collect();
                offers.sort();
                let values = values(joint.npv, joint.totals, joint.budgets, rate);
                let mean_value = mean(&values);
                Action {
                    what: What::Several(joint),
                    offers,
                    options: members().flat_map(|j| j.candidate.options).collect(),
                    totals: joint.totals,
                    budgets: joint.budgets,
                    mean: mean_value,
                    over_cost: mean(joint.npv) - mean_value,
                    values,
                }
            }));
            list.sort_by(|a, b| {
                b.mean
                    .total_cmp(&a.mean)
                    .then_with(|| (&a.offers, &a.options).cmp(&(&b.offers, &b.options)))
            });
        }
        Self {
            aim: situation.aim,
            keep_chance: situation.keep_chance,
            settled_from: list
                .iter()
                .rposition(|a| match a.what {
                    What::One(at) => judged[at].candidate.in_draws.is_some(),
                    What::Several(_) => false,
                })
                .map_or(0, |last| last + 1),
            list,
            judged,
        }
    }

    pub(super) fn count(&self) -> usize {
        self.list.len()
    }

    /// The best of those that pass; `None` when there is none, or when nothing is worth more.
    pub(super) fn best(&self, pass: impl Fn(usize) -> bool) -> Option<usize> {
        let may = |at: &usize| match self.aim {
            Aim::Capability => self
                .single(*at)
                .is_some_and(|j| self.judged[j].status == Status::WouldDo),
            Aim::Value => self.list[*at].mean > 0.0,
        };
        (0..self.list.len()).filter(|at| pass(*at)).find(may)
    }

    /// Place among the judged of an action with one machine.
    pub(super) fn single(&self, at: usize) -> Option<usize> {
        match self.list[at].what {
            What::One(judged) => Some(judged),
            What::Several(_) => None,
        }
    }

    pub(super) fn joint(&self, at: usize) -> Option<&'a Joint<'a>> {
        match self.list[at].what {
            What::One(_) => None,
            What::Several(joint) => Some(joint),
        }
    }

    pub(super) fn offers(&self, at: usize) -> &[&'a OfferId] {
        &self.list[at].offers
    }

    pub(super) fn value(&self, at: usize) -> f64 {
        self.list[at].mean
    }

    pub(super) fn over_cost(&self, at: usize) -> f64 {
        self.list[at].over_cost
    }

    /// Share of the draws over the budget.
    pub(super) fn over_share(&self, at: usize) -> f64 {
        let action = &self.list[at];
        let pairs = action.totals.iter().zip(action.budgets);
        let over = pairs.filter(|(total, budget)| total > budget).count();
        over as f64 / action.totals.len().max(1) as f64
    }

    fn keeps(&self, at: usize) -> bool {
        // Shares of draws are multiples of 1/draws: a billionth is rounding.
        self.over_share(at) <= 1.0 - self.keep_chance + 1e-9
    }

    /// What the budget as a promise would choose.
    pub(super) fn keeping_budget(&self, chosen: Option<usize>) -> KeepingBudget {
        let best = self.best(|at| self.keeps(at));
        let action = best.map(|at| &self.list[at]);
        KeepingBudget {
            offers: action.map_or(Vec::new(), |a| {
                a.offers.iter().map(|o| (*o).clone()).collect()
            }),
            options: action.map_or(Vec::new(), |a| {
                a.options.iter().map(|o| (*o).clone()).collect()
            }),
            value: Money::amount(action.map_or(0.0, |a| a.mean)),
            same: best == chosen,
        }
    }

    /// In each draw: the best of those that could be named. Equals share the draw.
    pub(super) fn chances(&self) -> Chances {
        let draws = self.list.iter().map(|a| a.totals.len()).min().unwrap_or(0);
        let mut wins = vec![0.0; self.list.len()];
        let mut none = 0.0;
        for draw in 0..draws {
            match self.aim {
                Aim::Capability => {
                    let equals = self.first_in(draw);
                    if equals.is_empty() {
                        none += 1.0;
                    }
                    for at in &equals {
                        wins[*at] += 1.0 / equals.len() as f64;
                    }
                }
                Aim::Value => {
                    let best = self.list.iter().map(|a| a.values[draw]).fold(0.0, f64::max);
                    let equal: Vec<usize> = (0..self.list.len())
                        .filter(|at| self.list[*at].values[draw] >= best)
                        .collect();
                    let nothing = usize::from(best <= 0.0);
                    let share = 1.0 / (equal.len() + nothing) as f64;
                    for at in equal {
                        wins[at] += share;
                    }
                    none += share * nothing as f64;
                }
            }
        }
        let share = |count: f64| count / draws.max(1) as f64;
        Chances {
            each: wins.into_iter().map(share).collect(),
            none: if draws == 0 { 1.0 } else { share(none) },
        }
    }

    /// By capability: the best of those that keep a draw's budget and do in it, with that draw's hours,
    /// and its equals.
    fn first_in(&self, draw: usize) -> Vec<usize> {
        let mut first: Vec<usize> = Vec::new();
        let mut best: Option<Score> = None;
        for (at, action) in self.list.iter().enumerate() {
            if action.totals[draw] > action.budgets[draw] {
                continue;
            }
            let Some(own) = self.score_in(at, draw) else {
                continue;
            };
            let order = best.map_or(Ordering::Less, |best| own.compare(&best).0);
            // The list is in the order of the likely numbers: what is behind in a criterion before the
            // hours stays behind, and so does everything after it, where fits are settled.
            if at >= self.settled_from && best.is_some_and(|best| own.behind_before_hours(&best)) {
                break;
            }
            if order == Ordering::Less {
                first.clear();
                best = Some(own);
            }
            if order != Ordering::Greater {
                first.push(at);
            }
        }
        first
    }

    /// What an action is ranked by in a draw; none where it does not do.
    fn score_in(&self, at: usize, draw: usize) -> Option<Score> {
        self.judged[self.single(at)?].score_in(draw)
    }

    /// Other offers the draws cannot tell from an action. Under "value": the mean difference draw by
    /// draw lies within two of its standard errors. Under "capability": alike in everything but the
    /// cost, and the cost differs by less.
    pub(super) fn ties(&self, chosen: usize) -> Vec<OfferId> {
        let mut ties: Vec<OfferId> = Vec::new();
        for at in 0..self.list.len() {
            let (own, other) = (&self.list[chosen], &self.list[at]);
            if own.offers == other.offers || other.offers.len() != 1 {
                continue;
            }
            let tied = match self.aim {
                Aim::Value => within_error(&own.values, &other.values),
                Aim::Capability => {
                    let score = |at| self.single(at).map(|j| self.judged[j].score);
                    let alike = score(chosen)
                        .zip(score(at))
                        .is_some_and(|(a, b)| a.differs_in_cost_only(&b));
                    alike && self.keeps(at) && within_error(own.totals, other.totals)
                }
            };
            if tied && !ties.contains(other.offers[0]) {
                ties.push(other.offers[0].clone());
            }
        }
        ties
    }

    /// Share of the draws in which an action is worth more than another.
    pub(super) fn ahead(&self, at: usize, of: usize) -> f64 {
        let pairs = self.list[at].values.iter().zip(&self.list[of].values);
        let ahead: f64 = pairs
            .map(|(a, b)| match a.total_cmp(b) {
                Ordering::Greater => 1.0,
                Ordering::Equal => 0.5,
                Ordering::Less => 0.0,
            })
            .sum();
        ahead / self.list[at].values.len().max(1) as f64
    }

    /// Place of a judged candidate among the actions.
    pub(super) fn of_judged(&self, judged: usize) -> Option<usize> {
        (0..self.list.len()).find(|at| self.single(*at) == Some(judged))
    }
}

/// True when the mean of the differences lies within two standard errors of nothing. Whole blocks of
/// draws are scrambled apart: their scatter is the error, where there are at least four; equal
/// numbers are always within.
fn within_error(a: &[f64], b: &[f64]) -> bool {
    let difference: Vec<f64> = a.iter().zip(b).map(|(a, b)| a - b).collect();
    if difference.iter().all(|d| *d == 0.0) {
        return true;
    }
    let blocks: Vec<f64> = difference
        .chunks_exact(DRAW_BLOCK as usize)
        .map(mean)
        .collect();
    if blocks.len() < 4 {
        return false;
    }
    let n = blocks.len() as f64;
    let centre = mean(&blocks);
    let scatter: f64 = blocks.iter().map(|m| (m - centre).powi(2)).sum();
    let error = (scatter / (n - 1.0) / n).sqrt();
    mean(&difference).abs() <= 2.0 * error
}
