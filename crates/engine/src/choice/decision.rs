//! The decision: the best of what may be named outright, what to ask first, and why not the rest.

use super::candidate::{Candidate, Situation, makes};
use super::rank::Score;
use super::reasons::{alternatives, ask_first, why};
use crate::entered::Aim;
use crate::ids::{OfferId, PartId};
use crate::site::SiteVerdict;
use serde::Serialize;
use std::cmp::Ordering;

/// By how much something is short.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Shortfall {
    /// Of what ("budget", "nose_high").
    pub of: String,
    /// How much.
    pub short_by: f64,
    /// Unit.
    pub unit: &'static str,
}

/// What became of an offer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Status {
    /// Chosen.
    Chosen,
    /// Would do, but another serves better.
    WouldDo,
    /// Might do once a question is answered.
    AskFirst,
    /// Does not do.
    No,
}

/// An offer that was not chosen.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Alternative {
    /// Offer.
    pub offer: OfferId,
    /// Options it was looked at with.
    pub options: Vec<String>,
    /// What became of it.
    pub status: Status,
    /// Every reason, the weightiest first.
    pub reasons: Vec<String>,
    /// What is short, one for each no.
    pub shortfalls: Vec<Shortfall>,
    /// Share of the common draws in which it is the best, with any of its option sets.
    pub chance_best: f64,
}

/// An offer that could be named once its questions are answered.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AskFirst {
    /// Offer.
    pub offer: OfferId,
    /// Options it was looked at with.
    pub options: Vec<String>,
    /// Names of the inputs to ask for.
    pub questions: Vec<String>,
    /// True when it would rank before the chosen one if every answer were good.
    pub would_be_best: bool,
}

/// The decision.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Decision {
    /// Aim it was taken by.
    pub aim: Aim,
    /// Chosen offer; `None` when none can be named.
    pub offer: Option<OfferId>,
    /// Options to take with it.
    pub options: Vec<String>,
    /// Parts to make.
    pub make: Vec<PartId>,
    /// Parts to farm out or do without.
    pub farm_out: Vec<PartId>,
    /// Share of the common draws in which the chosen offer, with any of its option sets, is the best
    /// of those that keep the budget in that draw; of "none" when none is chosen.
    pub chance_best: f64,
    /// Number of purchases compared, buying nothing not counted.
    pub among: usize,
    /// True: every purchase entered was compared.
    pub proven: bool,
    /// What the chosen one is ranked by.
    pub score: Option<Score>,
    /// Why, in sentences.
    pub why: Vec<String>,
    /// The other offers, best first.
    pub alternatives: Vec<Alternative>,
    /// Offers to ask about first, best first.
    pub ask_first: Vec<AskFirst>,
}

/// A candidate with what the comparison needs.
pub(super) struct Judged<'a> {
    pub candidate: &'a Candidate<'a>,
    pub score: Score,
    pub status: Status,
}

impl Judged<'_> {
    /// Ruled out by something other than money.
    pub(super) fn impossible(&self, situation: &Situation<'_>) -> bool {
        self.candidate.site.goes_in == SiteVerdict::No
            || !self.candidate.missed(situation.wishes).is_empty()
            || (situation.aim == Aim::Value && self.candidate.worth.is_none())
    }
}

/// Chooses. The order of the candidates does not matter.
pub fn decide(situation: &Situation<'_>, candidates: &[Candidate<'_>]) -> Decision {
    let mut judged = judged(situation, candidates);
    let chosen = judged
        .iter()
        .position(|j| j.status == Status::WouldDo)
        .filter(|&at| situation.aim != Aim::Value || npv(&judged[at]) > 0.0);
    if let Some(at) = chosen {
        judged[at].status = Status::Chosen;
    }
    let chances = chances(situation, &judged);
    let (made, farmed) = make_or_farm(situation, chosen.map(|at| judged[at].candidate));
    Decision {
        aim: situation.aim,
        offer: chosen.map(|at| judged[at].candidate.offer.clone()),
        options: chosen.map_or(Vec::new(), |at| judged[at].candidate.options.to_vec()),
        make: made,
        farm_out: farmed,
        chance_best: chosen.map_or(chances.none, |at| {
            chances.of_offer(&judged, judged[at].candidate.offer)
        }),
        among: judged.len(),
        proven: true,
        score: chosen.map(|at| judged[at].score),
        why: why(situation, &judged, chosen, &chances),
        alternatives: alternatives(situation, &judged, chosen, &chances),
        ask_first: ask_first(situation, &judged, chosen),
    }
}

/// Every candidate with its status, the better first.
pub(super) fn judged<'a>(
    situation: &Situation<'_>,
    candidates: &'a [Candidate<'a>],
) -> Vec<Judged<'a>> {
    let mut judged: Vec<Judged<'_>> = candidates
        .iter()
        .map(|candidate| judge(situation, candidate))
        .collect();
    judged.sort_by(|a, b| order(situation, a, b));
    judged
}

fn judge<'a>(situation: &Situation<'_>, candidate: &'a Candidate<'a>) -> Judged<'a> {
    // What is asked about is ranked by what it may turn out to be: that decides whether to ask.
    let score = if candidate.asks(situation.wishes) {
        Score::hoped(candidate, situation.wishes)
    } else {
        Score::of(candidate, situation.wishes)
    };
    let mut judged = Judged {
        candidate,
        score,
        status: Status::No,
    };
    judged.status = if judged.impossible(situation) {
        Status::No
    } else if candidate.asks(situation.wishes) {
        // An offer over the budget is no question of asking, unless it is its price that is asked.
        if candidate.keeps_budget(situation.keep_chance) || !candidate.price_stated {
            Status::AskFirst
        } else {
            Status::No
        }
    } else if candidate.keeps_budget(situation.keep_chance) {
        Status::WouldDo
    } else {
        Status::No
    };
    judged
}

pub(super) fn npv(judged: &Judged<'_>) -> f64 {
    judged
        .candidate
        .worth
        .map_or(f64::NEG_INFINITY, |w| w.npv.mean.to_amount())
}

/// The better first; names decide ties so that the order of files does not.
fn order(situation: &Situation<'_>, a: &Judged<'_>, b: &Judged<'_>) -> Ordering {
    let by_aim = match situation.aim {
        Aim::Capability => a.score.compare(&b.score).0,
        Aim::Value => npv(b).total_cmp(&npv(a)),
    };
    by_aim
        .then_with(|| a.candidate.offer.cmp(b.candidate.offer))
        .then_with(|| a.candidate.options.cmp(b.candidate.options))
}

/// Shares of the common draws in which each is the best.
pub(super) struct Chances {
    pub each: Vec<f64>,
    pub none: f64,
}

impl Chances {
    /// Of an offer with any of its option sets.
    pub(super) fn of_offer(&self, judged: &[Judged<'_>], offer: &OfferId) -> f64 {
        let own = judged.iter().zip(&self.each);
        own.filter(|(j, _)| j.candidate.offer == offer)
            .map(|(_, chance)| chance)
            .sum()
    }
}

/// In each draw: the best of those that could be named and keep that draw's budget. `judged` is
/// sorted, so for the aim of capability the first feasible one is the best.
fn chances(situation: &Situation<'_>, judged: &[Judged<'_>]) -> Chances {
    let draws = judged
        .iter()
        .map(|j| j.candidate.all_in.totals.len())
        .min()
        .unwrap_or(0);
    let pool: Vec<usize> = (0..judged.len())
        .filter(|&at| {
            !judged[at].impossible(situation) && !judged[at].candidate.asks(situation.wishes)
        })
        .collect();
    let mut wins = vec![0u64; judged.len()];
    let mut none = 0u64;
    for draw in 0..draws {
        let mut feasible = pool.iter().copied().filter(|&at| {
            let all_in = judged[at].candidate.all_in;
            all_in.totals[draw] <= all_in.budgets[draw]
        });
        let best = match situation.aim {
            Aim::Capability => feasible.next(),
            Aim::Value => feasible
                .map(|at| (at, worth_in(judged[at].candidate, draw)))
                .filter(|(_, worth)| *worth > 0.0)
                .reduce(|a, b| if b.1 > a.1 { b } else { a })
                .map(|(at, _)| at),
        };
        match best {
            Some(at) => wins[at] += 1,
            None => none += 1,
        }
    }
    let share = |count: u64| count as f64 / draws.max(1) as f64;
    Chances {
        each: wins.into_iter().map(share).collect(),
        none: if draws == 0 { 1.0 } else { share(none) },
    }
}

fn worth_in(candidate: &Candidate<'_>, draw: usize) -> f64 {
    candidate
        .worth
        .and_then(|w| w.draws.get(draw).copied())
        .unwrap_or(f64::NEG_INFINITY)
}

fn make_or_farm(
    situation: &Situation<'_>,
    chosen: Option<&Candidate<'_>>,
) -> (Vec<PartId>, Vec<PartId>) {
    let Some(chosen) = chosen else {
        return (Vec::new(), Vec::new());
    };
    let (mut made, mut farmed) = (Vec::new(), Vec::new());
    for (wish, fit) in chosen.of_wishes(situation.wishes) {
        let list = if makes(fit) { &mut made } else { &mut farmed };
        list.push(wish.part.clone());
    }
    (made, farmed)
}
