//! How long a part takes on a machine. Knows no money.

mod estimate;
mod motion;

pub use estimate::{Habits, changes_per_piece, time};
pub use motion::move_time;

use crate::ids::{OfferId, PartId};
use serde::Serialize;
use units::Time;

/// Whether a time is an estimate or the least it can be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Bound {
    /// Likely time.
    Estimate,
    /// The machine's stiffness or the part's cutting is not known: at least this.
    LowerBound,
}

/// Kinds of time of one piece.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct TimeParts {
    /// Tool in the cut.
    pub cut: Time,
    /// Rapid moves.
    pub moves: Time,
    /// Tool changes, by changer or by hand.
    pub tool_changes: Time,
    /// Loading, clamping, turning over.
    pub clamping: Time,
    /// Checking and deburring.
    pub checking: Time,
}

impl TimeParts {
    /// All together.
    pub fn total(&self) -> Time {
        self.cut + self.moves + self.tool_changes + self.clamping + self.checking
    }
}

/// One part's time on one offer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartTime {
    /// Part.
    pub part: PartId,
    /// Offer.
    pub offer: OfferId,
    /// One piece, once running.
    pub cycle: TimeParts,
    /// Of which somebody must stand by.
    pub attended: Time,
    /// Programming and fixtures, once.
    pub preparation: Time,
    /// Setting up a batch.
    pub batch_setup: Time,
    /// Preparation, first setup and first piece.
    pub first_part: Time,
    /// Machine hours a year, batches and pieces.
    pub per_year: Time,
    /// Tool changes a year.
    pub tool_changes_per_year: f64,
    /// Estimate or lower bound.
    pub bound: Bound,
}
