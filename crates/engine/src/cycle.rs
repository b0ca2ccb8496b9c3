//! How long a part takes on a machine. Knows no money.

mod changer;
mod doubt;
mod estimate;
mod learning;
mod load;
mod motion;
mod pass;

pub use crate::fit::Habits;
pub use changer::{Changer, changer};
pub use doubt::{HourDoubt, MaterialEnds, Timing, doubt, hands};
pub(crate) use estimate::DEEP;
pub use estimate::{changes_per_piece, time, time_within};
pub use learning::{cumulative_average, first_year_factor, unit_time};
pub use load::{Batches, Load, Uptime, load, vut};
pub use motion::{move_time, smooth_move_time};
pub use pass::{face_approach, pass_time, peripheral_approach};

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
    /// Rapid moves, and moves at cutting feed in air.
    pub moves: Time,
    /// Tool changes, by changer or by hand.
    pub tool_changes: Time,
    /// Starting, stopping and reversing the spindle.
    pub spindle: Time,
    /// Loading, clamping, turning over.
    pub clamping: Time,
    /// Finding the datum again in further clampings.
    pub probing: Time,
    /// Deburring.
    pub deburring: Time,
    /// Checking and measuring.
    pub checking: Time,
}

impl TimeParts {
    /// Names and amounts, in the order a piece meets them.
    pub fn kinds(&self) -> [(&'static str, Time); 8] {
        [
            ("cut", self.cut),
            ("moves", self.moves),
            ("tool_changes", self.tool_changes),
            ("spindle", self.spindle),
            ("clamping", self.clamping),
            ("probing", self.probing),
            ("deburring", self.deburring),
            ("checking", self.checking),
        ]
    }

    /// All together.
    pub fn total(&self) -> Time {
        self.kinds().into_iter().map(|(_, time)| time).sum()
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
    /// Machine hours a year, batches and pieces, scrap included.
    pub per_year: Time,
    /// The first year: preparation, and attended work before it is practised.
    pub first_year: Time,
    /// Hours a year somebody stands by.
    pub attended_per_year: Time,
    /// Pieces begun a year: those asked for and those scrapped.
    pub started_per_year: f64,
    /// Batches a year.
    pub batches_per_year: f64,
    /// Tool changes a year.
    pub tool_changes_per_year: f64,
    /// Parts clamped side by side, setup by setup.
    pub per_loading: Vec<u32>,
    /// Estimate or lower bound.
    pub bound: Bound,
    /// How far the hours a year may be off; nothing where that was not looked at.
    pub doubt: HourDoubt,
}

/// Machine hours a year of some parts by kind, setting up batches last.
pub fn hours_by_kind<'a>(times: impl Iterator<Item = &'a PartTime>) -> Vec<(&'static str, f64)> {
    let mut sum: Vec<(&'static str, f64)> = TimeParts::default()
        .kinds()
        .into_iter()
        .map(|(name, _)| (name, 0.0))
        .chain([("setting_up", 0.0)])
        .collect();
    for time in times {
        for (slot, (_, each)) in sum.iter_mut().zip(time.cycle.kinds()) {
            slot.1 += each.to_h() * time.started_per_year;
        }
        if let Some(last) = sum.last_mut() {
            last.1 += time.batch_setup.to_h() * time.batches_per_year;
        }
    }
    sum
}
