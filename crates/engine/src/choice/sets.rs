//! Several machines bought together: whether they stand and run at once, told of the chosen ones and
//! of those that would be worth more.

use super::candidate::{Candidate, Joint, Situation, values};
use super::chances::Actions;
use super::decision::{AskFirst, mean};
use super::texts;
use crate::entered::Aim;
use crate::ids::OfferId;
use crate::site::SiteVerdict;
use crate::site::together::Together;
use serde::Serialize;
use units::Money;

/// Sets told of each kind at most, besides the chosen one.
const TOLD: usize = 3;

/// Several machines with what was compared of them at once.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetCompared {
    /// True for what is to be bought.
    pub chosen: bool,
    /// Offers, in the order of what is compared.
    pub offers: Vec<OfferId>,
    /// What people call them.
    #[serde(skip)]
    pub names: Vec<String>,
    /// Options of each.
    pub options: Vec<Vec<String>>,
    /// Money over the horizon in the mean, as of the decision.
    pub value: Money,
    /// By how much that is more than what was chosen.
    pub more: Money,
    /// What was compared.
    #[serde(flatten)]
    pub together: Compared,
}

/// The comparison without the offers.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Compared {
    /// Do they stand and run at once?
    pub verdict: SiteVerdict,
    /// Everything compared.
    pub matters: Vec<crate::site::together::Matter>,
    /// Places on the plan, in the order they are brought in.
    pub places: Vec<crate::site::together::Placed>,
    /// What must be asked or measured.
    pub ask: Vec<crate::site::SiteAsk>,
    /// What must be built or bought beyond the works of each alone; it is in the sums.
    pub works: Vec<crate::site::Work>,
}

/// The chosen set, and those that would be worth more than what was chosen, the most valuable first.
pub(super) fn compared(
    situation: &Situation<'_>,
    candidates: &[Candidate<'_>],
    joints: &[Joint<'_>],
    actions: &Actions<'_>,
    chosen: Option<usize>,
) -> Vec<SetCompared> {
    if situation.aim != Aim::Value {
        return Vec::new();
    }
    let named = chosen.and_then(|at| actions.joint(at));
    let least = chosen.map_or(0.0, |at| actions.value(at));
    let mut all: Vec<SetCompared> = joints
        .iter()
        .filter_map(|joint| {
            let chosen = named.is_some_and(|named| named.members == joint.members);
            let rate = situation.over_budget_rate;
            let value = mean(&values(joint.npv, joint.totals, joint.budgets, rate));
            let told = chosen || joint.together.verdict != SiteVerdict::Yes && value > least;
            told.then(|| set(candidates, joint, chosen, [value, value - least]))
        })
        .collect();
    all.sort_by(|a, b| {
        (b.chosen.cmp(&a.chosen))
            .then_with(|| b.value.to_amount().total_cmp(&a.value.to_amount()))
            .then_with(|| (&a.offers, &a.options).cmp(&(&b.offers, &b.options)))
    });
    // Of option sets of the same offers the best speaks for all.
    let mut kept: Vec<SetCompared> = Vec::new();
    for set in all {
        let same =
            |k: &SetCompared| k.offers == set.offers && k.together.verdict == set.together.verdict;
        let alike = |k: &&SetCompared| !k.chosen && k.together.verdict == set.together.verdict;
        if !kept.iter().any(same) && kept.iter().filter(alike).count() < TOLD {
            kept.push(set);
        }
    }
    kept
}

fn set(
    candidates: &[Candidate<'_>],
    joint: &Joint<'_>,
    chosen: bool,
    [value, more]: [f64; 2],
) -> SetCompared {
    let members = || joint.members.iter().map(|m| &candidates[*m]);
    let Together {
        verdict,
        matters,
        places,
        ask,
        works,
        ..
    } = joint.together.clone();
    SetCompared {
        chosen,
        offers: members().map(|c| c.offer.clone()).collect(),
        names: members().map(|c| c.name.to_owned()).collect(),
        options: members().map(|c| c.options.to_vec()).collect(),
        value: Money::amount(value),
        more: Money::amount(more),
        together: Compared {
            verdict,
            matters,
            places,
            ask,
            works,
        },
    }
}

/// Reasons with what was compared: of the chosen set behind its name, of others at the end.
pub(super) fn with_reasons(
    situation: &Situation<'_>,
    sets: &[SetCompared],
    mut why: Vec<String>,
) -> Vec<String> {
    for set in sets {
        let said = |verdict: Option<SiteVerdict>| -> Vec<&str> {
            let matters = set.together.matters.iter();
            matters
                .filter(|m| verdict.is_none_or(|v| m.verdict == v))
                .map(|m| m.said.as_str())
                .collect()
        };
        let names: Vec<&str> = set.names.iter().map(String::as_str).collect();
        let more = set.more.to_amount();
        match set.together.verdict {
            SiteVerdict::Yes => {
                let told = [
                    texts::at_once(&said(None)),
                    texts::AT_ONCE_CAUTION.to_owned(),
                    texts::ONE_POOL.to_owned(),
                ];
                let behind = 1.min(why.len());
                why.splice(behind..behind, told);
            }
            SiteVerdict::No => {
                let no = said(Some(SiteVerdict::No));
                why.push(texts::not_at_once(situation, &names, more, &no));
            }
            SiteVerdict::CannotSay => {
                let open = said(Some(SiteVerdict::CannotSay));
                // The same is asked of each machine's seller.
                let mut questions: Vec<&str> = Vec::new();
                for ask in &set.together.ask {
                    if !questions.contains(&ask.question.as_str()) {
                        questions.push(&ask.question);
                    }
                }
                why.push(texts::at_once_unknown(
                    situation, &names, more, &open, &questions,
                ));
            }
        }
    }
    why
}

/// What to ask first, with the sets that would be best among it.
pub(super) fn ask_first(sets: &[SetCompared], mut alone: Vec<AskFirst>) -> Vec<AskFirst> {
    let open = |s: &&SetCompared| s.together.verdict == SiteVerdict::CannotSay;
    alone.extend(sets.iter().filter(open).map(|set| {
        let mut questions: Vec<String> = set.together.ask.iter().map(|a| a.input.clone()).collect();
        questions.sort();
        questions.dedup();
        AskFirst {
            offer: set.offers[0].clone(),
            options: set.options[0].clone(),
            with: set.offers[1..].to_vec(),
            questions,
            would_be_best: true,
            does_chance: None,
        }
    }));
    alone
}
