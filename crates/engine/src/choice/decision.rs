//! The decision: the best of what may be named outright, what to ask first, and why not the rest.
//!
//! Aim "capability": of the purchases that keep the budget at the chosen chance, the first in the
//! order of `rank`. Aim "value": the one with the most money over the horizon, every unit over the
//! budget counted at the rate the buyer names, and buying nothing counted as 0; what would be
//! chosen if the budget had to be kept at the chance is shown beside it.

use super::candidate::{Candidate, Joint, Situation, makes};
use super::chances::{Actions, Chances};
use super::in_draws::Outcome;
use super::rank::Score;
use super::reasons::{alternatives, ask_first, why};
use super::sets::{self, SetCompared};
use crate::entered::Aim;
use crate::ids::{OfferId, PartId};
use serde::Serialize;
use std::cmp::Ordering;
use units::Money;

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
    /// Money over the horizon less what the over-run costs, in the mean, where parts have prices.
    pub value: Option<Money>,
}

/// An offer that could be named once its questions are answered.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AskFirst {
    /// Offer.
    pub offer: OfferId,
    /// Options it was looked at with.
    pub options: Vec<String>,
    /// Offers to be bought with it; none where it is about this offer alone.
    pub with: Vec<OfferId>,
    /// Names of the inputs to ask for.
    pub questions: Vec<String>,
    /// True when it would rank before the chosen one if every answer were good.
    pub would_be_best: bool,
    /// Share of the draws in which it goes in and makes everything that must be made, where numbers
    /// stated as ranges make that too few.
    pub does_chance: Option<f64>,
}

/// One machine of what is to be bought.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ToBuy {
    /// Offer.
    pub offer: OfferId,
    /// Options to take with it.
    pub options: Vec<String>,
    /// Parts to make on it.
    pub make: Vec<PartId>,
}

/// What would be chosen if the budget had to be kept with the chance, whatever the over-run costs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KeepingBudget {
    /// Offers; none for buying nothing.
    pub offers: Vec<OfferId>,
    /// Options taken with them.
    pub options: Vec<String>,
    /// Value in the mean.
    pub value: Money,
    /// True when it is what was chosen.
    pub same: bool,
}

/// The decision.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Decision {
    /// Aim it was taken by.
    pub aim: Aim,
    /// Chosen offer; `None` when none can be named. Of several machines the first.
    pub offer: Option<OfferId>,
    /// Options to take with it.
    pub options: Vec<String>,
    /// Everything to buy; several machines only where the folder allows them.
    pub machines: Vec<ToBuy>,
    /// True when buying nothing and having the parts made outside is worth most.
    pub buy_nothing: bool,
    /// Parts to make.
    pub make: Vec<PartId>,
    /// Parts to farm out or do without.
    pub farm_out: Vec<PartId>,
    /// Share of the common draws in which the chosen offer, with any of its option sets, is the best
    /// among what was entered; of "none" when none is chosen. Equals share a draw evenly.
    pub chance_best: f64,
    /// Share of the common draws in which the chosen machine goes in and makes everything that must be
    /// made: 1 where no number that decides is in doubt.
    pub does_chance: Option<f64>,
    /// Number of purchases compared, buying nothing not counted.
    pub among: usize,
    /// True when nothing better among what was entered can exist.
    pub proven: bool,
    /// By how much anything not looked at may be worth more, where that is known and not nothing.
    pub gap: Option<Money>,
    /// True when the search was told to stop before its end; what was found then depends on the
    /// machine it ran on, and what is made on the others need not be what makes most of them.
    pub stopped: bool,
    /// Offers the draws cannot tell from the chosen one.
    pub ties: Vec<OfferId>,
    /// Money over the horizon less what the over-run of the budget costs, in the mean.
    pub value: Option<Money>,
    /// What the over-run costs of that, in the mean.
    pub over_budget_cost: Option<Money>,
    /// The budget as a promise instead of a price; under the aim "value" only.
    pub keeping_budget: Option<KeepingBudget>,
    /// What the chosen one is ranked by.
    pub score: Option<Score>,
    /// Why, in sentences.
    pub why: Vec<String>,
    /// The other offers, best first.
    pub alternatives: Vec<Alternative>,
    /// Offers to ask about first, best first.
    pub ask_first: Vec<AskFirst>,
    /// Whether the machines chosen stand and run at once, and the same of several that would be worth
    /// more and cannot be named.
    pub together: Vec<SetCompared>,
}

/// A candidate with what the comparison needs.
pub(super) struct Judged<'a> {
    pub candidate: &'a Candidate<'a>,
    /// Its place among the candidates as given.
    pub place: usize,
    pub score: Score,
    pub status: Status,
    /// Mean value, under the aim "value".
    pub value: f64,
    /// Where fits differ from draw to draw: the score of each outcome, none of one in which it does
    /// not do.
    outcomes: Vec<Option<Score>>,
}

impl Judged<'_> {
    /// What it is ranked by in a draw, with that draw's hours; none where it does not do.
    pub(super) fn score_in(&self, draw: usize) -> Option<Score> {
        let factor = self.candidate.hour_factors.get(draw).copied();
        let score = match self.candidate.in_draws {
            Some(drawn) => self.outcomes[drawn.of[draw] as usize]?,
            None => self.score,
        };
        Some(Score {
            hours_per_year: score.hours_per_year * factor.unwrap_or(1.0),
            ..score
        })
    }

    /// Ruled out by something other than money.
    pub(super) fn impossible(&self, situation: &Situation<'_>) -> bool {
        !self.candidate.may_do(situation.wishes)
            || self.candidate.hours_short.is_some()
            || !self.candidate.gives_up.is_empty()
            || (situation.aim == Aim::Value && self.candidate.worth.is_none())
    }
}

/// How much was looked at before the candidates were handed over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Searched {
    /// Purchases looked at, buying nothing not counted.
    pub among: usize,
    /// True when the search for what to make, and for several machines, was complete.
    pub proven: bool,
    /// By how much anything left out may be worth more, where that is known and not nothing.
    pub gap: Option<Money>,
    /// True when the search was told to stop before its end.
    pub stopped: bool,
}

/// Chooses. The order of the candidates does not matter.
pub fn decide(
    situation: &Situation<'_>,
    candidates: &[Candidate<'_>],
    joints: &[Joint<'_>],
    searched: Searched,
) -> Decision {
    let judged = judged(situation, candidates);
    let actions = Actions::of(situation, &judged, joints);
    let chosen = actions.best(|_| true);
    let single = chosen.and_then(|at| actions.single(at));
    let chances = actions.chances();
    // Without an outside price of every need nobody can say what buying nothing costs.
    let comparable = || {
        let needs = situation.wishes.iter().filter(|w| w.must_make);
        needs.clone().all(|w| w.outside_per_year.is_some())
    };
    let buy_nothing =
        situation.aim == Aim::Value && chosen.is_none() && actions.count() > 0 && comparable();
    let machines = bought(situation, &judged, &actions, chosen, candidates);
    let first = machines.first().map(|m| m.offer.clone());
    let make: Vec<PartId> = parts(situation, |at| {
        machines
            .iter()
            .any(|m| m.make.contains(&situation.wishes[at].part))
    });
    let farm_out = if first.is_some() || buy_nothing {
        parts(situation, |at| !make.contains(&situation.wishes[at].part))
    } else {
        Vec::new()
    };
    let shown = Shown {
        judged: &judged,
        actions: &actions,
        chosen,
        chances: &chances,
        buy_nothing,
        among: searched.among,
    };
    let together = sets::compared(situation, candidates, joints, &actions, chosen);
    Decision {
        aim: situation.aim,
        options: machines.first().map_or(Vec::new(), |m| m.options.clone()),
        why: sets::with_reasons(situation, &together, why(situation, &shown)),
        alternatives: alternatives(situation, &shown),
        ask_first: sets::ask_first(&together, ask_first(situation, &shown)),
        offer: first,
        machines,
        buy_nothing,
        make,
        farm_out,
        chance_best: chosen.map_or(chances.none, |at| shown.chance(at)),
        does_chance: single.map(|at| judged[at].candidate.does_share(situation.wishes)),
        among: searched.among,
        proven: searched.proven,
        gap: searched.gap,
        stopped: searched.stopped,
        ties: chosen.map_or(Vec::new(), |at| actions.ties(at)),
        value: chosen
            .filter(|_| situation.aim == Aim::Value)
            .map(|at| Money::amount(actions.value(at))),
        over_budget_cost: chosen
            .filter(|_| situation.aim == Aim::Value)
            .map(|at| Money::amount(actions.over_cost(at))),
        keeping_budget: (situation.aim == Aim::Value && actions.count() > 0)
            .then(|| actions.keeping_budget(chosen)),
        score: single.map(|at| judged[at].score),
        together,
    }
}

/// What the reasons are made from.
pub(super) struct Shown<'a> {
    pub judged: &'a [Judged<'a>],
    pub actions: &'a Actions<'a>,
    /// Place among the actions.
    pub chosen: Option<usize>,
    pub chances: &'a Chances,
    pub buy_nothing: bool,
    pub among: usize,
}

impl Shown<'_> {
    /// Place of the chosen single machine among the judged.
    pub(super) fn single(&self) -> Option<usize> {
        self.actions.single(self.chosen?)
    }

    /// Chance that an action, with any option sets of the same offers, is the best.
    pub(super) fn chance(&self, action: usize) -> f64 {
        let offers = self.actions.offers(action);
        (0..self.actions.count())
            .filter(|other| self.actions.offers(*other) == offers)
            .map(|other| self.chances.each[other])
            .fold(0.0, |sum, chance| sum + chance)
    }

    /// Chance that an offer alone, with any of its option sets, is the best.
    pub(super) fn chance_of_offer(&self, offer: &OfferId) -> f64 {
        (0..self.actions.count())
            .filter(|at| self.actions.offers(*at) == [offer])
            .map(|at| self.chances.each[at])
            .fold(0.0, |sum, chance| sum + chance)
    }
}

/// Every candidate with its status, the better first.
pub(super) fn judged<'a>(
    situation: &Situation<'_>,
    candidates: &'a [Candidate<'a>],
) -> Vec<Judged<'a>> {
    let mut judged: Vec<Judged<'_>> = candidates
        .iter()
        .enumerate()
        .map(|(place, candidate)| judge(situation, place, candidate))
        .collect();
    judged.sort_by(|a, b| order(situation, a, b));
    judged
}

fn judge<'a>(situation: &Situation<'_>, place: usize, candidate: &'a Candidate<'a>) -> Judged<'a> {
    // What is asked about is ranked by what it may turn out to be: that decides whether to ask.
    let asks = candidate.asks(situation);
    let score = if asks {
        Score::hoped(candidate, situation.wishes)
    } else {
        Score::of(candidate, situation.wishes)
    };
    let value = match situation.aim {
        Aim::Capability => 0.0,
        Aim::Value => candidate
            .values(situation.over_budget_rate)
            .map_or(f64::NEG_INFINITY, |v| mean(&v)),
    };
    let wishes = situation.wishes;
    let needed = |at: usize| wishes[at].must_make;
    let of_outcome = |outcome: &Outcome| {
        let does = match asks {
            true => outcome.does(needed),
            false => outcome.surely_does(needed),
        };
        does.then(|| score.in_outcome(candidate, wishes, outcome, asks))
    };
    let drawn = candidate.in_draws.map_or(&[][..], |d| &d.outcomes);
    let mut judged = Judged {
        outcomes: drawn.iter().map(of_outcome).collect(),
        candidate,
        place,
        score,
        status: Status::No,
        value,
    };
    // Under the aim "value" the over-run has its price and rules nothing out.
    let keeps = situation.aim == Aim::Value || candidate.keeps_budget(situation.keep_chance);
    judged.status = if judged.impossible(situation) {
        Status::No
    } else if asks && (keeps || !candidate.price_stated) {
        // An offer over the budget is no question of asking, unless it is its price that is asked.
        Status::AskFirst
    } else if !asks && keeps {
        Status::WouldDo
    } else {
        Status::No
    };
    judged
}

pub(super) fn mean(numbers: &[f64]) -> f64 {
    numbers.iter().sum::<f64>() / numbers.len().max(1) as f64
}

/// The better first; names decide ties so that the order of files does not.
fn order(situation: &Situation<'_>, a: &Judged<'_>, b: &Judged<'_>) -> Ordering {
    let by_aim = match situation.aim {
        Aim::Capability => a.score.compare(&b.score).0,
        Aim::Value => b.value.total_cmp(&a.value),
    };
    by_aim
        .then_with(|| a.candidate.offer.cmp(b.candidate.offer))
        .then_with(|| a.candidate.options.cmp(b.candidate.options))
}

fn parts(situation: &Situation<'_>, keep: impl Fn(usize) -> bool) -> Vec<PartId> {
    (0..situation.wishes.len())
        .filter(|at| keep(*at))
        .map(|at| situation.wishes[at].part.clone())
        .collect()
}

/// The machines of the chosen action with what each makes, the one with most parts first.
fn bought(
    situation: &Situation<'_>,
    judged: &[Judged<'_>],
    actions: &Actions<'_>,
    chosen: Option<usize>,
    candidates: &[Candidate<'_>],
) -> Vec<ToBuy> {
    let Some(chosen) = chosen else {
        return Vec::new();
    };
    let to_buy = |candidate: &Candidate<'_>, make: Vec<PartId>| ToBuy {
        offer: candidate.offer.clone(),
        options: candidate.options.to_vec(),
        make,
    };
    if let Some(at) = actions.single(chosen) {
        let candidate = judged[at].candidate;
        let fits: Vec<bool> = candidate
            .of_wishes(situation.wishes)
            .map(|(_, fit)| makes(fit))
            .collect();
        let made = |at: usize| fits[at] && candidate.makes.is_none_or(|m| m[at]);
        return vec![to_buy(candidate, parts(situation, made))];
    }
    let Some(joint) = actions.joint(chosen) else {
        return Vec::new();
    };
    let mut all: Vec<ToBuy> = joint
        .members
        .iter()
        .map(|&member| {
            let made = |at: usize| joint.made_on[at] == Some(member);
            to_buy(&candidates[member], parts(situation, made))
        })
        .collect();
    all.sort_by_key(|m| std::cmp::Reverse(m.make.len()));
    all
}
