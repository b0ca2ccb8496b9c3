//! What a setup takes beside its cuts: clamping, setting up, tool changes; and with how many parts side
//! by side a batch is done soonest.

use super::{Habits, Held, Magazine, SetupFit};
use crate::demand::Demand;
use crate::machine::Machine;
use units::{Length, Time};

/// Tool change where neither the seller nor the class says anything: the slow end of the trade ranges
/// (from memory).
const SLOW_CHANGE: Time = Time::s(15.0);

/// A tool change by the machine, or by hand where that is quicker.
pub(crate) fn changer_time(machine: &Machine, habits: &Habits) -> Time {
    machine
        .properties
        .tool_change
        .estimate()
        .filter(|t| *t > Time::ZERO)
        .unwrap_or(SLOW_CHANGE)
        .min(habits.hand_change)
}

/// Time of one loading's tool changes and spindle starts, the tools in their order.
pub(crate) fn each_loading(
    order: &[usize],
    filled: &Magazine,
    machine: &Machine,
    habits: &Habits,
) -> Time {
    let by_changer = changer_time(machine, habits);
    let change = |tool: &usize| match (filled.by_hand.len(), filled.by_hand[*tool]) {
        // One tool that does it all stays in.
        (1, _) => Time::ZERO,
        (_, true) => habits.hand_change,
        (_, false) => by_changer,
    };
    order.iter().map(|t| change(t) + habits.spindle_start).sum()
}

/// Batches a year, and pieces begun in each: those asked for and those scrapped.
pub(crate) fn batches(demand: &Demand, habits: &Habits) -> (f64, f64) {
    let pieces = demand.per_year.to_number().max(0.0);
    let started = pieces / (1.0 - habits.scrap.clamp(0.0, 0.9));
    let batch = demand.batch.to_number().max(1.0);
    let batches = (pieces / batch).ceil();
    let in_batch = if batches > 0.0 {
        started / batches
    } else {
        batch
    };
    (batches, in_batch)
}

/// Places set up side by side at most (common practice, no source).
const MOST_PLACES: u32 = 64;

/// A setup with a number of parts side by side.
#[derive(Clone, Copy)]
pub(crate) struct Places {
    pub parts: u32,
    /// Clamping, each piece.
    pub clamping: Time,
    /// Finding the datum again in further clampings, each piece.
    pub pick_up: Time,
    /// Setting up, each batch.
    pub setting: Time,
    /// All of it and the tool changes, each batch.
    pub batch: Time,
}

impl Places {
    /// The number of parts with which a batch is done soonest: more places share what is done once
    /// a loading, and take longer to set up.
    pub fn best(
        each_loading: Time,
        in_batch: f64,
        on: Option<&SetupFit>,
        machine: &Machine,
        habits: &Habits,
    ) -> Self {
        let most = on.map_or(1, |s| s.per_loading.clamp(1, MOST_PLACES));
        let of = |parts| Self::with(parts, each_loading, in_batch, on, machine, habits);
        (2..=most).map(of).fold(of(1), |best, other| {
            if other.batch < best.batch {
                other
            } else {
                best
            }
        })
    }

    fn with(
        parts: u32,
        each_loading: Time,
        in_batch: f64,
        on: Option<&SetupFit>,
        machine: &Machine,
        habits: &Habits,
    ) -> Self {
        let clampings = on.map_or(1, |s| s.clampings);
        let loadings = f64::from(clampings.max(1)) / f64::from(parts);
        let clampings = f64::from(clampings);
        let own = habits.clamping - habits.loading_shared;
        let probe = machine
            .properties
            .probe
            .stated()
            .is_some_and(|n| n.to_number() > 0.0);
        let again = if probe {
            habits.pick_up_probe
        } else {
            habits.pick_up
        };
        let once = |has: bool, time: Time| if has { time } else { Time::ZERO };
        let angled = on.is_some_and(|s| s.angle_deg > 0.0 && s.angle_deg < 90.0);
        let other = on.is_some_and(|s| {
            s.stack.riser > Length::ZERO || matches!(s.stack.held, Held::LowVise | Held::SoftJaws)
        });
        let rotary = on.is_some_and(|s| s.rotary && s.clampings > 0);
        let clamping = (own + habits.loading_shared / f64::from(parts)) * clampings;
        let pick_up = again * (clampings - 1.0).max(0.0);
        let setting = habits.setting_clamping * clampings
            + habits.setting_place * f64::from(parts - 1)
            + once(angled, habits.setting_angle)
            + once(other, habits.setting_holding)
            + once(rotary, habits.setting_rotary);
        Self {
            parts,
            clamping,
            pick_up,
            setting,
            batch: setting + (clamping + pick_up + each_loading * loadings) * in_batch,
        }
    }
}
