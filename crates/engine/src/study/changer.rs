//! The changer question as buyers meet it: a small new mill with a tool changer, or a used full-size
//! centre, both all-in.

use super::offer::OfferAnswer;
use crate::fit::Verdict;
use crate::ids::OfferId;
use crate::machine::{Condition, Offer};
use serde::Serialize;
use units::{Mass, Money};

/// A full-size machine weighs at least so many times the small one. Common practice, no source:
/// benchtop and column mills weigh half a ton, centres two and more.
const FULL_SIZE: f64 = 2.0;

/// One side of the question.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Side {
    /// Offer.
    pub offer: OfferId,
    /// Options it is looked at with.
    pub options: Vec<String>,
    /// All-in cost kept in half of the draws, and in four of five.
    pub p50: Money,
    /// See above.
    pub p80: Money,
    /// Chance over the budget.
    pub over_budget_chance: f64,
    /// Parts it makes.
    pub makes: usize,
    /// Parts nobody can say yet.
    pub cannot_say: usize,
    /// Clampings of the parts it makes.
    pub clampings: u32,
    /// Hours a year somebody stands at it.
    pub attended_h: f64,
    /// Of which the changer saves.
    pub saved_by_changer_h: f64,
    /// Machine hours a year.
    pub hours_per_year: f64,
}

/// The question.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChangerQuestion {
    /// The small new one with a changer.
    pub small: Side,
    /// The used full-size one.
    pub full_size: Side,
    /// What the full-size one costs more in half of the draws, draw by draw on common draws; less
    /// than nothing when it is cheaper.
    pub costs_more: Money,
    /// Share of the draws in which it is the dearer one.
    pub dearer_chance: f64,
}

/// The question, where both kinds are among the offers: of each kind the one that makes most, then
/// the cheapest. `None` otherwise, and where no weight tells small from large.
pub(super) fn changer_question(
    offers: &[Offer],
    answers: &[OfferAnswer],
) -> Option<ChangerQuestion> {
    let kind = |condition: Condition| -> Vec<(&OfferAnswer, Mass)> {
        answers
            .iter()
            .filter_map(|answer| {
                let offer = offers.iter().find(|o| o.id == answer.offer)?;
                let properties = &answer.machine.properties;
                let pockets = properties.changer_pockets.stated()?.to_number();
                let weight = properties.weight.estimate()?;
                (offer.condition == condition && pockets >= 1.0).then_some((answer, weight))
            })
            .collect()
    };
    let (new, used) = (kind(Condition::New), kind(Condition::Used));
    let pairs = new.iter().flat_map(|small| {
        let larger = used
            .iter()
            .filter(|large| large.1.to_kg() >= FULL_SIZE * small.1.to_kg());
        larger.map(|large| (small.0, large.0))
    });
    let better = |answer: &OfferAnswer| {
        let made = count(answer, |v| {
            matches!(v, Verdict::Fits | Verdict::FitsWithMoreClampings)
        });
        (
            std::cmp::Reverse(made),
            answer.all_in.percentiles.p50.to_amount(),
        )
    };
    let (small, full_size) = pairs.min_by(|a, b| {
        let key = |p: &(&OfferAnswer, &OfferAnswer)| {
            let (small, large) = (better(p.0), better(p.1));
            ((small.0, large.0), small.1 + large.1)
        };
        let (a, b) = (key(a), key(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    })?;
    let draws = small
        .all_in
        .totals
        .iter()
        .zip(full_size.all_in.totals.iter());
    let mut more: Vec<f64> = draws.map(|(small, large)| large - small).collect();
    more.sort_by(f64::total_cmp);
    let dearer = more.iter().filter(|m| **m > 0.0).count();
    Some(ChangerQuestion {
        costs_more: Money::amount(crate::money::percentile(&more, 0.5)?),
        dearer_chance: dearer as f64 / more.len() as f64,
        small: side(small),
        full_size: side(full_size),
    })
}

fn count(answer: &OfferAnswer, counts: impl Fn(Verdict) -> bool) -> usize {
    answer.fits.iter().filter(|f| counts(f.verdict)).count()
}

fn side(answer: &OfferAnswer) -> Side {
    let changer = answer.changer;
    let makes = |v: Verdict| matches!(v, Verdict::Fits | Verdict::FitsWithMoreClampings);
    Side {
        offer: answer.offer.clone(),
        options: answer.options.clone(),
        p50: answer.all_in.percentiles.p50,
        p80: answer.all_in.percentiles.p80,
        over_budget_chance: answer.all_in.over_budget_chance,
        makes: count(answer, makes),
        cannot_say: count(answer, |v| v == Verdict::CannotSay),
        clampings: answer
            .fits
            .iter()
            .filter(|f| makes(f.verdict))
            .map(|f| f.clampings)
            .sum(),
        attended_h: changer.attended_h,
        saved_by_changer_h: (changer.attended_without_h - changer.attended_h).max(0.0),
        hours_per_year: answer.hours_per_year.to_h(),
    }
}
