//! Questions for sellers and the site, with the value at which an answer would flip.

use super::candidate::{Candidate, Situation};
use super::groups::{QuestionGroup, whom};
use super::learn::WorthUnit;
use super::sets::SetCompared;
use crate::fit::Verdict;
use crate::ids::{OfferId, PartId};
use crate::machine::Field;
use crate::site::{SiteAsk, SiteVerdict};
use serde::Serialize;
use std::collections::BTreeMap;
use units::Quantity;

/// One question.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Question {
    /// Name of the input.
    pub input: String,
    /// The offer it is about; `None` for the site.
    pub offer: Option<OfferId>,
    /// The question in words.
    pub about: String,
    /// Values in base units at which something flips, ascending.
    pub flips_at: Vec<f64>,
    /// Their unit where the site asks; empty where it is that of the input.
    pub flips_unit: &'static str,
    /// True when the answer must be at least so much, false when at most.
    pub at_least: bool,
    /// What class defaults suggest, if they suggest one thing.
    pub likely: Option<bool>,
    /// Parts whose verdict turns on it.
    pub parts: Vec<PartId>,
    /// True when a need or the site turns on it.
    pub decisive: bool,
    /// What knowing the answer before the choice is worth.
    pub worth: Option<f64>,
    /// Standard error of that.
    pub error: Option<f64>,
    /// Unit of both.
    pub unit: WorthUnit,
    /// True when that is more than the trouble of asking. A decisive question is to be asked before
    /// paying all the same.
    pub worth_asking: bool,
}

impl Question {
    /// A question without parts or worth yet.
    pub fn new(input: String, offer: Option<OfferId>, about: String) -> Self {
        Self {
            input,
            offer,
            about,
            flips_at: Vec::new(),
            flips_unit: "",
            at_least: false,
            likely: None,
            parts: Vec::new(),
            decisive: false,
            worth: None,
            error: None,
            unit: WorthUnit::Chance,
            worth_asking: false,
        }
    }

    /// True for the question for a price.
    pub(super) fn is_price(&self) -> bool {
        let name = self.input.rsplit('/').next();
        self.offer.is_some() && name == Some(Field::price.key())
    }
}

/// Every question of every candidate, the decisive ones first, then by the number of parts that
/// turn on it.
pub fn questions(situation: &Situation<'_>, candidates: &[Candidate<'_>]) -> Vec<Question> {
    let mut all: BTreeMap<String, Question> = BTreeMap::new();
    for candidate in candidates {
        for question in of_candidate(candidate, situation) {
            match all.get_mut(&question.input) {
                Some(old) => merge(old, question),
                None => {
                    all.insert(question.input.clone(), question);
                }
            }
        }
    }
    let mut list: Vec<Question> = all.into_values().collect();
    list.sort_by(|a, b| {
        (b.decisive, b.parts.len(), &a.input).cmp(&(a.decisive, a.parts.len(), &b.input))
    });
    list
}

/// Names of the decisive inputs of one candidate, in order.
pub(super) fn inputs(candidate: &Candidate<'_>, situation: &Situation<'_>) -> Vec<String> {
    let mut names: Vec<String> = of_candidate(candidate, situation)
        .into_iter()
        .filter(|q| q.decisive)
        .map(|q| q.input)
        .collect();
    names.sort();
    names.dedup();
    names
}

/// What nobody stated, and what is stated with such a spread that something turns on it.
pub(super) fn of_candidate(candidate: &Candidate<'_>, situation: &Situation<'_>) -> Vec<Question> {
    let mut list = unstated(candidate, situation);
    list.extend(doubtful(candidate, situation));
    list
}

/// Questions for numbers stated with a spread, on which parts or the site turn.
fn doubtful<'a>(
    candidate: &'a Candidate<'_>,
    situation: &'a Situation<'_>,
) -> impl Iterator<Item = Question> + 'a {
    let wishes = situation.wishes;
    let asks = candidate.is_doubtful(situation, |at| wishes[at].must_make);
    let turns = candidate.in_draws.map_or(&[][..], |drawn| &drawn.turns);
    turns.iter().map(move |turn| {
        let whose = turn.input.starts_with("offers/");
        let needed = || wishes.iter().filter(|w| w.must_make);
        Question {
            flips_at: turn.flips_at.clone(),
            at_least: turn.at_least,
            parts: turn.parts.clone(),
            decisive: asks && (turn.site || needed().any(|w| turn.parts.contains(&w.part))),
            ..Question::new(
                turn.input.clone(),
                whose.then(|| candidate.offer.clone()),
                turn.about.clone(),
            )
        }
    })
}

/// Questions for what nobody stated.
pub(super) fn unstated(candidate: &Candidate<'_>, situation: &Situation<'_>) -> Vec<Question> {
    let mut list = Vec::new();
    let offer = candidate.offer;
    if !candidate.price_stated {
        let input = format!("offers/{offer}/{}", Field::price.key());
        let about = Field::price.ask().to_owned();
        list.push(Question {
            flips_at: candidate.highest_price.iter().map(|p| p.base()).collect(),
            decisive: true,
            ..Question::new(input, Some(offer.clone()), about)
        });
    }
    for (wish, fit) in candidate.of_wishes(situation.wishes) {
        let Some(fit) = fit.filter(|f| f.verdict == Verdict::CannotSay) else {
            continue;
        };
        let must = wish.must_make;
        for ask in &fit.ask {
            let about = ask.about.question().to_owned();
            list.push(Question {
                flips_at: vec![ask.flips_at],
                at_least: ask.at_least,
                likely: ask.likely,
                parts: vec![wish.part.clone()],
                decisive: must,
                ..Question::new(ask.input.clone(), Some(offer.clone()), about)
            });
        }
    }
    for ask in &candidate.site.ask {
        let whose = ask.input.starts_with("offers/").then(|| offer.clone());
        list.push(Question {
            decisive: true,
            ..of_site(ask, whose)
        });
    }
    list
}

/// A question of the site check.
fn of_site(ask: &SiteAsk, offer: Option<OfferId>) -> Question {
    Question {
        flips_at: ask.flips_at.into_iter().collect(),
        flips_unit: ask.unit,
        at_least: ask.at_least,
        likely: ask.likely,
        ..Question::new(ask.input.clone(), offer, ask.question.clone())
    }
}

/// Adds what must be asked before the best of the sets that cannot be named yet. What knowing that is
/// worth was not worked out, so a question that is new here has none.
pub fn ask_of_sets(
    sets: &[SetCompared],
    questions: &mut Vec<Question>,
    groups: &mut Vec<QuestionGroup>,
) {
    let open = |s: &&SetCompared| s.together.verdict == SiteVerdict::CannotSay;
    // They are told with the most valuable first.
    let Some(set) = sets.iter().find(open) else {
        return;
    };
    for ask in &set.together.ask {
        let own = |offer: &&OfferId| ask.input.starts_with(&format!("offers/{offer}/"));
        let whose = set.offers.iter().find(own).cloned();
        let question = Question {
            decisive: true,
            unit: groups.first().map_or(WorthUnit::Money, |g| g.unit),
            ..of_site(ask, whose)
        };
        let whom = whom(&question);
        let behind = groups.iter().take_while(|g| g.worth_asking).count();
        match groups.iter_mut().find(|g| g.whom == whom) {
            Some(group) => group.add(&ask.input),
            None => groups.insert(behind, QuestionGroup::at_once(whom, &question)),
        }
        match questions.iter_mut().find(|q| q.input == ask.input) {
            Some(old) => merge(old, question),
            None => {
                let behind = questions.iter().take_while(|q| q.decisive).count();
                questions.insert(behind, question);
            }
        }
    }
}

/// Parts a question names at most.
const MOST_PARTS: usize = 200;

fn merge(old: &mut Question, new: Question) {
    old.decisive |= new.decisive;
    if old.flips_at.is_empty() {
        old.flips_unit = new.flips_unit;
    }
    if old.likely != new.likely {
        old.likely = None;
    }
    old.flips_at.extend(new.flips_at);
    old.flips_at.sort_by(f64::total_cmp);
    old.flips_at.dedup();
    if old.parts.len() < MOST_PARTS {
        old.parts.extend(new.parts);
        old.parts.sort();
        old.parts.dedup();
    }
}
