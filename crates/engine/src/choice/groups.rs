//! What all questions to one seller are worth together, all about the site, all about the shop's own
//! costs: one call or one evening with a tape answers them at once. A group can be worth more than
//! its questions one by one, where only all answers together let a machine be bought.

use super::information::{Choices, Information};
use super::learn::{Common, Condition, Conditions, Measure, WorthUnit};
use super::questions::Question;
use crate::ids::OfferId;
use rayon::prelude::*;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Who answers.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Whom {
    /// The seller of an offer.
    Seller(OfferId),
    /// A tape and a look at the place.
    Site,
    /// Whoever quotes what the shop buys for itself.
    Shop,
}

/// Questions that one call answers.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct QuestionGroup {
    /// Whom to ask.
    pub whom: Whom,
    /// Inputs, the ones to ask first in front.
    pub inputs: Vec<String>,
    /// What knowing all answers before the choice is worth.
    pub worth: Option<f64>,
    /// Standard error of that.
    pub error: Option<f64>,
    /// Unit of both.
    pub unit: WorthUnit,
    /// True when it is worth the trouble.
    pub worth_asking: bool,
    /// True when several machines that would be worth more turn on it, which is in no worth here.
    pub for_several: bool,
}

impl QuestionGroup {
    /// A group that only several machines at once turn on.
    pub(super) fn at_once(whom: Whom, question: &Question) -> Self {
        Self {
            whom,
            inputs: vec![question.input.clone()],
            worth: None,
            error: None,
            unit: question.unit,
            worth_asking: false,
            for_several: true,
        }
    }

    /// Adds what several machines at once turn on.
    pub(super) fn add(&mut self, input: &str) {
        self.for_several = true;
        if !self.inputs.iter().any(|i| i == input) {
            self.inputs.push(input.to_owned());
        }
    }
}

/// Functions of the answers at most: each costs draws, and a group has rarely more that differ.
const COLUMNS: usize = 40;

pub(super) fn whom(question: &Question) -> Whom {
    match &question.offer {
        Some(offer) => Whom::Seller(offer.clone()),
        None if question.input.starts_with("site/") => Whom::Site,
        None => Whom::Shop,
    }
}

/// The groups of some questions: those worth asking first, in each the one worth most.
pub(super) fn groups(
    common: &Common<'_>,
    conditions: &Conditions,
    choices: Option<&Choices>,
    questions: &[Question],
    measure: Measure,
) -> Vec<QuestionGroup> {
    let mut by_whom: BTreeMap<Whom, Vec<String>> = BTreeMap::new();
    for question in questions {
        by_whom
            .entry(whom(question))
            .or_default()
            .push(question.input.clone());
    }
    let mut groups: Vec<QuestionGroup> = by_whom
        .into_par_iter()
        .map(|(whom, inputs)| {
            let found: Option<Information> = choices
                .and_then(|choices| choices.learning_all(&columns(common, conditions, &inputs)));
            QuestionGroup {
                whom,
                inputs,
                worth: found.map(|i| i.worth.max(0.0)),
                error: found.map(|i| i.error),
                unit: measure.unit,
                worth_asking: found.is_some_and(|i| measure.worth_asking(i)),
                for_several: false,
            }
        })
        .collect();
    let worth = |g: &QuestionGroup| g.worth.unwrap_or(0.0);
    groups.sort_by(|a, b| {
        b.worth_asking
            .cmp(&a.worth_asking)
            .then_with(|| worth(b).total_cmp(&worth(a)))
            .then_with(|| a.whom.cmp(&b.whom))
    });
    groups
}

/// What the benefits can depend on through these answers: whether all conditions a purchase has
/// among them are met, each uncertain sum as a cubic, and both together.
fn columns(common: &Common<'_>, conditions: &Conditions, inputs: &[String]) -> Vec<Vec<f64>> {
    let mut met: Vec<Vec<f64>> = Vec::new();
    let asked: BTreeSet<&String> = inputs.iter().collect();
    let purchases: BTreeSet<usize> = inputs
        .iter()
        .flat_map(|input| conditions.purchases(input))
        .copied()
        .collect();
    for purchase in purchases {
        let own = conditions.of[purchase].iter();
        let own: Vec<&Condition> = own.filter(|c| asked.contains(&c.input)).collect();
        let mut column = vec![1.0; common.draws];
        for condition in own {
            let prior = common.beliefs.priors.get(&condition.input);
            for (met, u) in column.iter_mut().zip(common.uniforms(&condition.input)) {
                if !condition.passes(u, prior) {
                    *met = 0.0;
                }
            }
        }
        let turns = column.contains(&0.0) && column.contains(&1.0);
        if turns && !met.contains(&column) {
            met.push(column);
        }
    }
    let conditioned = |input: &String| !conditions.purchases(input).is_empty();
    let mut columns = met.clone();
    for input in inputs.iter().filter(|input| !conditioned(input)) {
        let uniforms = common.uniforms(input);
        for step in conditions.steps(input) {
            columns.push(uniforms.iter().map(|u| f64::from(u >= step)).collect());
        }
        let centred: Vec<f64> = uniforms.iter().map(|u| 2.0 * u - 1.0).collect();
        for power in 1..=3 {
            columns.push(centred.iter().map(|x| x.powi(power)).collect());
        }
        for met in &met {
            columns.push(centred.iter().zip(met).map(|(x, m)| x * m).collect());
        }
    }
    columns.truncate(COLUMNS);
    columns
}
