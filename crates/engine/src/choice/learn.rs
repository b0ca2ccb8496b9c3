//! What each question is worth before the choice: every open question is given its answer in each
//! of the common draws, and the value of knowing it is estimated from them.
//!
//! Aim "value": the benefit of a purchase is its net present value, less what the over-run of the
//! budget costs; one that turns out not to do has cost what cannot be sold again. Aim
//! "capability": the benefit is 1 in the draws in which the purchase turns out to be the best of
//! those that do and keep the budget, so a worth is a chance.

use super::candidate::{Candidate, Joint, Situation, values};
use super::decision::{Judged, judged};
use super::groups::{QuestionGroup, groups};
use super::information::{Choices, Information, Told};
use super::questions::{self, Question};
use super::rank::Score;
use crate::entered::Aim;
use rayon::prelude::*;
use serde::Serialize;
use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};
use units::{Cancelled, DRAW_BLOCK, Money, Number, Quantity, Spread, Stream, Value, Watch};

/// What is believed of answers nobody has given yet, and how they are drawn.
#[derive(Clone, Copy, Debug)]
pub struct Beliefs<'a> {
    /// By input: the value with its spread. Without one a question is as likely answered well as
    /// badly.
    pub priors: &'a BTreeMap<String, Value<Number>>,
    /// Uncertain costs of each offer worth a firm figure, as questions with their values.
    pub costs: &'a [(Question, Value<Number>)],
    /// What asking a question costs in time, in money: less is not worth the trouble.
    pub trouble: Money,
    /// Seed of the study.
    pub seed: u64,
}

/// What a worth is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WorthUnit {
    /// Money of the folder.
    Money,
    /// Chance that the purchase turns out to be the best.
    Chance,
}

/// Share of a machine's price that a sale soon after returns: 20 % is lost at once (exapro hub).
pub const SOLD_AGAIN: f64 = 0.8;

/// Chance that a machine lies outside the band of its class, half of it on either side. The bands are
/// usual ranges, most of them from memory: none of them may rule an answer out. Common practice, no
/// source.
const OUTSIDE: f64 = 0.1;

/// Draws the worths are estimated from: four blocks keep the regressions quick, and the stated
/// error tells what that costs.
const DRAWS: usize = 4 * DRAW_BLOCK as usize;

/// Choices compared: those that win most draws. Others change no worth that could be seen.
const CHOICES: usize = 12;

/// Chance below which a question is not worth its trouble: one in a hundred. Common practice, no
/// source.
const TROUBLE_CHANCE: f64 = 0.01;

/// An answer that decides whether a candidate does.
pub(super) struct Condition {
    pub input: String,
    flips_at: Vec<f64>,
    at_least: bool,
}

impl Condition {
    /// The strictest value asked for.
    fn needed(&self) -> Option<f64> {
        let ends = self.flips_at.iter().copied();
        if self.at_least {
            ends.reduce(f64::max)
        } else {
            ends.reduce(f64::min)
        }
    }

    pub(super) fn passes(&self, u: f64, prior: Option<&Value<Number>>) -> bool {
        match (self.needed(), prior) {
            (Some(needed), Some(prior)) => {
                let tail = 0.5 * OUTSIDE;
                if u < tail || u >= 1.0 - tail {
                    return (u >= 0.5) == self.at_least;
                }
                let inside = (u - tail) / (1.0 - OUTSIDE);
                let value = prior.spread.quantile(inside, prior.likely).base();
                if self.at_least {
                    value >= needed
                } else {
                    value <= needed
                }
            }
            // Nothing is known of the answer: as likely good as bad.
            _ => u >= 0.5,
        }
    }
}

/// Fills in what each question is worth, appends the costs worth a firm figure, and sorts: the
/// decisive first, then by worth. Gives back what the questions of each seller, of the site and of the
/// shop are worth together.
pub fn learn(
    situation: &Situation<'_>,
    candidates: &[Candidate<'_>],
    joints: &[Joint<'_>],
    beliefs: &Beliefs<'_>,
    questions: &mut Vec<Question>,
    watch: Watch<'_>,
) -> Result<Vec<QuestionGroup>, Cancelled> {
    let order = judged(situation, candidates);
    let pool: Vec<&Judged<'_>> = order.iter().filter(|j| !j.impossible(situation)).collect();
    let draws = pool
        .iter()
        .map(|j| j.candidate.all_in.totals.len())
        .min()
        .unwrap_or(0)
        .min(DRAWS);
    let costs = beliefs.costs.iter();
    let common = Common {
        situation,
        beliefs,
        costs: costs
            .map(|(_, value)| (value.id.0.as_str(), value))
            .collect(),
        draws,
    };
    let conditions = Conditions::of(&pool, situation, beliefs);
    let does: Vec<Vec<bool>> = pool
        .par_iter()
        .zip(&conditions.of)
        .map(|(j, conditions)| {
            watch.check()?;
            Ok(common.does(j, conditions))
        })
        .collect::<Result<_, Cancelled>>()?;
    let choices = Choices::of(&common.benefits(&pool, &does, joints), beliefs.seed);
    drop(does);

    questions.extend(beliefs.costs.iter().map(|(question, _)| question.clone()));
    let worths: Vec<Option<Information>> = questions
        .par_iter()
        .map(|question| {
            watch.check().ok()?;
            let flips = breaks(&question.input, &conditions, beliefs);
            let uniforms = common.uniforms(&question.input);
            // Costs not worth a firm figure are left out below.
            let told = match common.costs.contains_key(question.input.as_str()) {
                true => Told::WhenWorth,
                false => Told::Always,
            };
            choices.as_ref()?.learning(&uniforms, &flips, told)
        })
        .collect();
    let (unit, trouble) = match situation.aim {
        Aim::Value => (WorthUnit::Money, beliefs.trouble.to_amount()),
        Aim::Capability => (WorthUnit::Chance, TROUBLE_CHANCE),
    };
    let measure = Measure { unit, trouble };
    for (question, found) in questions.iter_mut().zip(worths) {
        question.unit = unit;
        question.worth = found.map(|i| i.worth.max(0.0));
        question.error = found.map(|i| i.error);
        question.worth_asking = found.is_some_and(|i| measure.worth_asking(i));
    }
    watch.check()?;
    let mut together = groups(&common, &conditions, choices.as_ref(), questions, measure);
    // A firm price that changes nothing is not worth a telephone call.
    questions.retain(|q| {
        !common.costs.contains_key(q.input.as_str())
            || q.worth > q.error.map(|error| 2.0 * error) && q.worth > Some(0.0)
    });
    let worth = |q: &Question| q.worth.unwrap_or(0.0);
    questions.sort_by(|a, b| {
        (b.decisive.cmp(&a.decisive))
            .then(worth(b).total_cmp(&worth(a)))
            .then_with(|| b.parts.len().cmp(&a.parts.len()))
            .then_with(|| a.input.cmp(&b.input))
    });
    // The order within a group is that of the list; what was not worth a call is gone from both.
    for group in &mut together {
        let asked: BTreeSet<String> = std::mem::take(&mut group.inputs).into_iter().collect();
        let own = |q: &&Question| asked.contains(&q.input);
        group.inputs = questions
            .iter()
            .filter(own)
            .map(|q| q.input.clone())
            .collect();
    }
    together.retain(|group| !group.inputs.is_empty());
    Ok(together)
}

/// What worths are counted in, and how much is worth a question.
#[derive(Clone, Copy)]
pub(super) struct Measure {
    pub unit: WorthUnit,
    trouble: f64,
}

impl Measure {
    /// More than the trouble, and more than twice the error of the estimate.
    pub(super) fn worth_asking(self, found: Information) -> bool {
        found.worth > self.trouble && found.worth > 2.0 * found.error
    }
}

/// Shares of an input at which some candidate's verdict flips.
fn breaks(input: &str, conditions: &Conditions, beliefs: &Beliefs<'_>) -> Vec<f64> {
    let places = conditions.purchases(input).iter();
    let own = places.filter_map(|at| conditions.of[*at].iter().find(|c| c.input == input));
    let prior = beliefs.priors.get(input);
    let mut shares: Vec<f64> = own.map(|c| first_change(c, prior)).collect();
    shares.extend(conditions.steps(input));
    // What happens or does not makes costs jump.
    shares.extend(
        beliefs
            .costs
            .iter()
            .filter(|(_, v)| v.id.0 == input)
            .filter_map(|(_, value)| match value.spread {
                Spread::Either { chance, .. } if chance > 0.0 && chance < 1.0 => Some(1.0 - chance),
                _ => None,
            }),
    );
    shares.sort_by(f64::total_cmp);
    shares.dedup();
    shares
}

/// The share at which a condition changes, by halving: it changes once at most.
fn first_change(condition: &Condition, prior: Option<&Value<Number>>) -> f64 {
    let start = condition.passes(0.0, prior);
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if condition.passes(middle, prior) == start {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

/// Share of an input's draws below a value, by halving.
fn share_below(value: &Value<Number>, at: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if value.spread.quantile(middle, value.likely).base() < at {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

fn conditions(candidate: &Candidate<'_>, situation: &Situation<'_>) -> Vec<Condition> {
    let mut by_input: BTreeMap<String, Condition> = BTreeMap::new();
    for question in questions::unstated(candidate, situation) {
        // A price not known is a cost drawn like others, no condition.
        if !question.decisive || question.is_price() {
            continue;
        }
        by_input
            .entry(question.input.clone())
            .or_insert_with(|| Condition {
                input: question.input.clone(),
                flips_at: Vec::new(),
                at_least: question.at_least,
            })
            .flips_at
            .extend(question.flips_at);
    }
    by_input.into_values().collect()
}

/// What decides whether each purchase does.
pub(super) struct Conditions {
    /// By purchase, each input once.
    pub of: Vec<Vec<Condition>>,
    /// By input, the purchases it decides on.
    by_input: BTreeMap<String, Vec<usize>>,
    /// By input stated with a spread, the shares of its draws at which something turns.
    steps: BTreeMap<String, Vec<f64>>,
}

impl Conditions {
    fn of(pool: &[&Judged<'_>], situation: &Situation<'_>, beliefs: &Beliefs<'_>) -> Self {
        let of: Vec<Vec<Condition>> = pool
            .par_iter()
            .map(|j| conditions(j.candidate, situation))
            .collect();
        let mut by_input: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (at, own) in of.iter().enumerate() {
            for condition in own {
                by_input
                    .entry(condition.input.clone())
                    .or_default()
                    .push(at);
            }
        }
        let mut steps: BTreeMap<String, Vec<f64>> = BTreeMap::new();
        let drawn = pool.iter().filter_map(|j| j.candidate.in_draws);
        for turn in drawn.flat_map(|d| &d.turns) {
            let Some(value) = beliefs.priors.get(&turn.input) else {
                continue;
            };
            let own = steps.entry(turn.input.clone()).or_default();
            own.extend(turn.flips_at.iter().map(|flip| share_below(value, *flip)));
            own.sort_by(f64::total_cmp);
            own.dedup();
        }
        Self {
            of,
            by_input,
            steps,
        }
    }

    /// Shares of the draws of an input stated with a spread at which something turns.
    pub(super) fn steps(&self, input: &str) -> &[f64] {
        self.steps.get(input).map_or(&[], Vec::as_slice)
    }

    /// The purchases an input decides on.
    pub(super) fn purchases(&self, input: &str) -> &[usize] {
        self.by_input.get(input).map_or(&[], Vec::as_slice)
    }
}

pub(super) struct Common<'a> {
    situation: &'a Situation<'a>,
    pub beliefs: &'a Beliefs<'a>,
    /// The costs worth a firm figure, by input.
    costs: BTreeMap<&'a str, &'a Value<Number>>,
    pub draws: usize,
}

impl Common<'_> {
    /// The input's shares in the common draws; a cost in a group keeps its group.
    pub(super) fn uniforms(&self, input: &str) -> Vec<f64> {
        let cost = self.costs.get(input).copied();
        let stream = match cost.or_else(|| self.beliefs.priors.get(input)) {
            Some(value) => Stream::of(value),
            None => Stream::named(input),
        };
        let (mut scores, mut uniforms) = (Vec::new(), vec![0.0; self.draws]);
        if let Some(group) = stream.common() {
            scores.resize(self.draws, 0.0);
            group.fill(self.beliefs.seed, 0, &mut scores);
        }
        stream.fill(self.beliefs.seed, 0, &scores, &mut uniforms);
        uniforms
    }

    /// Draw by draw: whether the candidate turns out to do.
    fn does(&self, judged: &Judged<'_>, conditions: &[Condition]) -> Vec<bool> {
        let mut does = vec![true; self.draws];
        for condition in conditions {
            let prior = self.beliefs.priors.get(&condition.input);
            for (does, u) in does.iter_mut().zip(self.uniforms(&condition.input)) {
                *does &= condition.passes(u, prior);
            }
        }
        if self.situation.aim == Aim::Capability {
            // Under the aim "value" the worths already tell what comes of not doing.
            if let Some(drawn) = judged.candidate.in_draws {
                let wishes = self.situation.wishes;
                let each = drawn.each(|o| o.does(|at| wishes[at].must_make));
                for (does, drawn) in does.iter_mut().zip(each) {
                    *does &= drawn;
                }
            }
            let all_in = judged.candidate.all_in;
            for (draw, does) in does.iter_mut().enumerate() {
                *does &= all_in.totals[draw] <= all_in.budgets[draw];
            }
        }
        does
    }

    /// One row a choice, buying nothing first.
    fn benefits(
        &self,
        pool: &[&Judged<'_>],
        does: &[Vec<bool>],
        joints: &[Joint<'_>],
    ) -> Vec<Vec<f64>> {
        let mut rows = match self.situation.aim {
            Aim::Capability => self.chances(pool, does),
            Aim::Value => self.values(pool, does, joints),
        };
        let sum = |row: &[f64]| row.iter().sum::<f64>();
        // The sort is stable: of equal rows the better candidate stays first.
        rows[1..].sort_by(|a, b| sum(b).total_cmp(&sum(a)));
        rows.truncate(1 + CHOICES);
        rows
    }

    /// 1 where the choice is the best that does, with the hours of the draw; of equals the one the pool
    /// names first.
    fn chances(&self, pool: &[&Judged<'_>], does: &[Vec<bool>]) -> Vec<Vec<f64>> {
        let best_in = |draw: usize| -> Option<usize> {
            let doing = (0..pool.len()).filter(|at| does[*at][draw]);
            let scored = doing.filter_map(|at| Some((at, pool[at].score_in(draw)?)));
            let before = |a: &Score, b: &Score| b.compare(a).0 == Ordering::Less;
            scored
                .reduce(|best, own| if before(&best.1, &own.1) { own } else { best })
                .map(|(at, _)| at)
        };
        let best: Vec<Option<usize>> = (0..self.draws).into_par_iter().map(best_in).collect();
        let mut rows = vec![vec![0.0; self.draws]; 1 + does.len()];
        for (draw, best) in best.into_iter().enumerate() {
            rows[best.map_or(0, |at| at + 1)][draw] = 1.0;
        }
        rows
    }

    fn values(
        &self,
        pool: &[&Judged<'_>],
        does: &[Vec<bool>],
        joints: &[Joint<'_>],
    ) -> Vec<Vec<f64>> {
        let mut rows = vec![vec![0.0; self.draws]];
        for (judged, does) in pool.iter().zip(does) {
            let candidate = judged.candidate;
            let Some(worth) = candidate.worth else {
                continue;
            };
            let price = candidate.all_in.price().map_or(0.0, |p| p.to_amount());
            let row = (0..self.draws).map(|draw| {
                let total = candidate.all_in.totals[draw];
                let over = (total - candidate.all_in.budgets[draw]).max(0.0);
                let good = worth.draws.get(draw).copied().unwrap_or(0.0)
                    - over * self.situation.over_budget_rate;
                let lost = SOLD_AGAIN * price - total;
                if does[draw] { good } else { lost }
            });
            rows.push(row.collect());
        }
        // Several machines are bought together only where nothing decisive is open about any of them.
        let rate = self.situation.over_budget_rate;
        rows.extend(joints.iter().map(|joint| {
            let mut row = values(joint.npv, joint.totals, joint.budgets, rate);
            row.resize(self.draws, 0.0);
            row
        }));
        rows
    }
}
