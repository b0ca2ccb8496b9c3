//! The order of two candidates by the aim "capability": one criterion after the other, each with a
//! number a buyer can see; no hidden score.

use super::candidate::{Candidate, Wish, makes, verdict};
use super::in_draws::{Outcome, PartIn};
use crate::fit::{Capability, Fit, Verdict};
use serde::Serialize;
use std::cmp::Ordering;
use units::{Length, Money, Time};

/// What a candidate is ranked by, in this order.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Score {
    /// Parts made beyond the needs; more is better.
    pub wanted: usize,
    /// Clampings of all parts made; fewer is better.
    pub clampings: u32,
    /// Machine hours a year; fewer is better, compared in steps of a quarter.
    pub hours_per_year: Time,
    /// Least room left in travel and height over the parts made; more is better, compared in steps
    /// of an inch.
    pub headroom: Option<Length>,
    /// All-in cost in half of the draws; cheaper is better.
    pub cost: Money,
}

/// Criteria as the reader meets them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Criterion {
    Wanted,
    Clampings,
    Hours,
    Headroom,
    Cost,
    Name,
}

impl Score {
    pub(super) fn of(candidate: &Candidate<'_>, wishes: &[Wish]) -> Self {
        Self::with(candidate, wishes, false)
    }

    /// As it would be if every open question had a good answer.
    pub(super) fn hoped(candidate: &Candidate<'_>, wishes: &[Wish]) -> Self {
        Self::with(candidate, wishes, true)
    }

    /// As it is with the parts of an outcome: those made, with `hope` also those nobody can say of, with
    /// their clampings; hours and room are the likely ones.
    pub(super) fn in_outcome(
        &self,
        candidate: &Candidate<'_>,
        wishes: &[Wish],
        outcome: &Outcome,
        hope: bool,
    ) -> Self {
        let counts = |part: &PartIn| part.is_made() || (hope && part.verdict == Verdict::CannotSay);
        let made = || {
            let parts = outcome.parts.iter().enumerate();
            parts.filter(|(at, part)| counts(part) && candidate.makes.is_none_or(|m| m[*at]))
        };
        Self {
            wanted: made().filter(|(at, _)| !wishes[*at].must_make).count(),
            clampings: made().map(|(_, part)| part.clampings).sum(),
            ..*self
        }
    }

    fn with(candidate: &Candidate<'_>, wishes: &[Wish], hope: bool) -> Self {
        let may = |at: usize| candidate.in_draws.is_some_and(|drawn| drawn.made(at) > 0.0);
        let counts = |at: usize, fit: Option<&Fit>| {
            makes(fit) || (hope && (verdict(fit) == Verdict::CannotSay || may(at)))
        };
        let made: Vec<(&Wish, Option<&Fit>)> = candidate
            .of_wishes(wishes)
            .enumerate()
            .filter(|(at, (_, fit))| counts(*at, *fit) && candidate.makes.is_none_or(|m| m[*at]))
            .map(|(_, pair)| pair)
            .collect();
        let fits = made.iter().filter_map(|(_, fit)| *fit);
        let margins = fits.clone().flat_map(|f| &f.margins).filter(|m| {
            matches!(
                m.capability,
                Capability::TravelX
                    | Capability::TravelY
                    | Capability::TravelZ
                    | Capability::NoseHigh
                    | Capability::NoseLow
            )
        });
        Self {
            wanted: made.iter().filter(|(w, _)| !w.must_make).count(),
            clampings: fits.map(|f| f.clampings).sum(),
            hours_per_year: candidate.hours_per_year,
            headroom: margins
                .map(|m| m.value)
                .min_by(f64::total_cmp)
                .map(Length::mm),
            cost: candidate.all_in.percentiles.p50,
        }
    }

    /// The better first, with the criterion that decided.
    pub(super) fn compare(&self, other: &Self) -> (Ordering, Criterion) {
        let steps = [
            (other.wanted.cmp(&self.wanted), Criterion::Wanted),
            (self.clampings.cmp(&other.clampings), Criterion::Clampings),
            (hour_step(self).cmp(&hour_step(other)), Criterion::Hours),
            (room_step(other).cmp(&room_step(self)), Criterion::Headroom),
            (self.cost.total_cmp(&other.cost), Criterion::Cost),
        ];
        steps
            .into_iter()
            .find(|(order, _)| order.is_ne())
            .unwrap_or((Ordering::Equal, Criterion::Name))
    }
}

impl Score {
    /// Behind in what is compared before the hours.
    pub(super) fn behind_before_hours(&self, other: &Self) -> bool {
        let (order, criterion) = self.compare(other);
        order == Ordering::Greater && matches!(criterion, Criterion::Wanted | Criterion::Clampings)
    }

    /// Alike in everything before the cost.
    pub(super) fn differs_in_cost_only(&self, other: &Self) -> bool {
        matches!(self.compare(other).1, Criterion::Cost | Criterion::Name)
    }
}

/// Hours in steps of a quarter: the published cutting methods differ by two to one, so a few per
/// cent must not outweigh headroom. Steps, not a tolerance, keep the order transitive.
fn hour_step(score: &Score) -> i64 {
    let hours = score.hours_per_year.to_h().max(1e-3);
    (hours.ln() / 1.25_f64.ln()).floor() as i64
}

/// Headroom in steps of an inch; none known is the least.
fn room_step(score: &Score) -> i64 {
    score
        .headroom
        .map_or(i64::MIN, |room| room.to_inch().floor() as i64)
}
