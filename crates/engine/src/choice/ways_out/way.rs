//! A way out, as it is told.

use crate::choice::texts;
use crate::ids::{OfferId, PartId};
use serde::Serialize;
use std::sync::Arc;
use units::Money;

/// A change that is not money.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Change {
    /// Farm out a part that must be made, or do without it.
    FarmOut(PartId),
    /// Give up a part that is only wished for.
    GiveUp(PartId),
    /// Clamp needed parts more often than they ask for.
    ClampAgain,
    /// Take an option of the offer.
    TakeOption(String),
    /// Leave an option the buyer had decided to take.
    LeaveOption(String),
    /// Take something off the machine for the way in.
    Dismantle(String),
    /// Build at the site what the comparison of that name asks for.
    SiteWork(&'static str),
    /// Find more hours a year to stand at it.
    MoreHours(u32),
}

/// A way out.
#[derive(Clone, Debug, PartialEq)]
pub struct WayOut {
    /// Offer.
    pub offer: OfferId,
    /// Options of the purchase.
    pub options: Vec<String>,
    /// Changes, at most three.
    pub changes: Vec<Change>,
    /// Needs that ask for more clampings on it, one after another.
    pub(super) again: Arc<[PartId]>,
    /// Least to be added to the budget so that it is kept with the chance; zero when kept.
    pub money: Money,
    /// What the changes cost that nobody has priced, in words: the money does not hold it.
    pub unpriced: Vec<String>,
    /// What a year of the parts given up costs outside, where somebody said.
    pub outside_per_year: Option<Money>,
    /// True when its questions must have good answers too.
    pub ask_first: bool,
    /// True when no way out of any offer has only changes of this one and needs less money.
    pub best: bool,
}

impl WayOut {
    /// The changes in words, parts called by their ids.
    pub fn texts(&self) -> Vec<String> {
        self.texts_calling(&|part| part.0.clone())
    }

    /// The changes in words, parts called as people call them.
    pub fn texts_calling(&self, called: &dyn Fn(&PartId) -> String) -> Vec<String> {
        let left = |part: &&PartId| {
            let given = |c: &Change| matches!(c, Change::FarmOut(own) if own == *part);
            !self.changes.iter().any(given)
        };
        let again: Vec<String> = self.again.iter().filter(left).map(called).collect();
        let changes = self.changes.iter();
        changes.map(|c| texts::change(c, &again, called)).collect()
    }
}

/// Ways out, and what was not looked at.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WaysOut {
    /// Fewest changes first, then least money.
    pub ways: Vec<WayOut>,
    /// In words what was left out because it was too much to look at.
    pub left_out: Vec<String>,
}
