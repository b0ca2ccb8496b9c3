//! When nothing keeps all promises: which changes and how much money would.

use super::candidate::{Candidate, Situation};
use super::texts;
use crate::ids::{OfferId, PartId};
use crate::site::SiteVerdict;
use serde::Serialize;
use units::Money;

/// Most parts one way out gives up.
const MOST_PARTS: usize = 3;

/// A change that is not money.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Change {
    /// Farm a part out or do without it.
    FarmOut(PartId),
    /// Take an option of the offer.
    TakeOption(String),
}

/// A way out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WayOut {
    /// Offer.
    pub offer: OfferId,
    /// Changes, at most three parts and the options of one purchase.
    pub changes: Vec<Change>,
    /// The changes in words.
    pub texts: Vec<String>,
    /// Least to be added to the budget so that it is kept with the chance; zero when kept.
    pub money: Money,
    /// True when its questions must have good answers too.
    pub ask_first: bool,
}

/// Ways out of every purchase that cannot be named as it stands, fewest changes first, then least
/// money. For one offer, a way with all the changes of another and no less money is left out.
pub fn ways_out(situation: &Situation<'_>, candidates: &[Candidate<'_>]) -> Vec<WayOut> {
    let mut ways: Vec<WayOut> = candidates
        .iter()
        .filter_map(|candidate| way_out(situation, candidate))
        .collect();
    ways.sort_by(|a, b| {
        (a.changes.len(), a.ask_first)
            .cmp(&(b.changes.len(), b.ask_first))
            .then(a.money.total_cmp(&b.money))
            .then_with(|| (&a.offer, &a.changes).cmp(&(&b.offer, &b.changes)))
    });
    let dominated = |way: &WayOut, before: &[WayOut]| {
        before.iter().any(|b| {
            b.offer == way.offer
                && b.money <= way.money
                && b.ask_first <= way.ask_first
                && b.changes.iter().all(|c| way.changes.contains(c))
        })
    };
    let mut kept: Vec<WayOut> = Vec::new();
    for way in ways {
        if !dominated(&way, &kept) {
            kept.push(way);
        }
    }
    kept
}

fn way_out(situation: &Situation<'_>, candidate: &Candidate<'_>) -> Option<WayOut> {
    let missed = candidate.missed(situation.wishes);
    if candidate.site.goes_in == SiteVerdict::No || missed.len() > MOST_PARTS {
        return None;
    }
    // Giving up every need is no purchase.
    let needs = situation.wishes.iter().filter(|w| w.must_make).count();
    if needs > 0 && missed.len() == needs {
        return None;
    }
    let money = candidate.extra_budget(situation.keep_chance);
    let mut changes: Vec<Change> = missed
        .into_iter()
        .map(|(part, _)| Change::FarmOut(part.clone()))
        .collect();
    changes.extend(candidate.options.iter().cloned().map(Change::TakeOption));
    changes.sort();
    let as_it_stands = changes.is_empty() && candidate.keeps_budget(situation.keep_chance);
    if as_it_stands {
        return None;
    }
    Some(WayOut {
        offer: candidate.offer.clone(),
        texts: changes.iter().map(texts::change).collect(),
        changes,
        money,
        ask_first: candidate.asks(situation.wishes),
    })
}
