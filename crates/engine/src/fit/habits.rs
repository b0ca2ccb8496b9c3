//! Habits a time rests on.

use super::MendTimes;
use units::Time;

/// Habits (common practice, no source, each). Clamping and finding a datum again are among the
/// shop's practice, beside what holds the work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Habits {
    /// Clamping a piece, each clamping: cleaning, loading, tightening.
    pub clamping: Time,
    /// Of which opening, cleaning and starting, shared by the parts of one loading.
    pub loading_shared: Time,
    /// Finding the datum again in a further clamping, by edge finder and indicator.
    pub pick_up: Time,
    /// The same by a touch probe.
    pub pick_up_probe: Time,
    /// Changing a tool by hand: 30 to 60 s.
    pub hand_change: Time,
    /// Starting the spindle for a tool, and stopping it.
    pub spindle_start: Time,
    /// Reversing the spindle at the bottom and the top of a tapped hole.
    pub tap_reversal: Time,
    /// The control builds acceleration up over this time.
    pub acceleration_ramp: Time,
    /// Checking, each setup of each piece.
    pub checking: Time,
    /// Measuring a fine tolerance, each piece.
    pub measuring: Time,
    /// Deburring, each setup of each piece.
    pub deburring: Time,
    /// Programming, each setup.
    pub programming_setup: Time,
    /// Programming, each distinct tool.
    pub programming_tool: Time,
    /// Programming, each further clamping.
    pub programming_clamping: Time,
    /// Making a fixture for a part that is clamped on a plate, once.
    pub fixture_plate: Time,
    /// Cutting steps into soft jaws, once.
    pub fixture_jaws: Time,
    /// Making a fixture for the rotary axis, once.
    pub fixture_rotary: Time,
    /// Setting up a batch: vise and datum, each clamping.
    pub setting_clamping: Time,
    /// Setting up a batch: each further vise or place beside the first.
    pub setting_place: Time,
    /// Setting up a batch: loading and measuring a tool.
    pub setting_tool: Time,
    /// Setting up a batch: turning vise or plate to an angle.
    pub setting_angle: Time,
    /// Setting up a batch: another vise or a riser under the work.
    pub setting_holding: Time,
    /// Setting up a batch: the rotary axis.
    pub setting_rotary: Time,
    /// Proving the first piece takes this many times its cycle.
    pub first_piece: f64,
    /// Share of pieces scrapped.
    pub scrap: f64,
    /// Attended time falls to this share with every doubling of the pieces made (Wright's
    /// cumulative average), until practised.
    pub learning: f64,
    /// Pieces after which an operator is practised.
    pub practised_after: f64,
    /// Deep holes without coolant take this many times as long.
    pub dry: f64,
}

impl Default for Habits {
    fn default() -> Self {
        Self {
            clamping: Time::minutes(4.0),
            loading_shared: Time::minutes(1.5),
            pick_up: Time::minutes(4.0),
            pick_up_probe: Time::minutes(1.0),
            hand_change: MendTimes::default().hand_change,
            spindle_start: Time::s(2.0),
            tap_reversal: Time::s(0.6),
            acceleration_ramp: Time::s(0.05),
            checking: Time::minutes(1.0),
            measuring: Time::minutes(1.5),
            deburring: Time::minutes(1.0),
            programming_setup: Time::minutes(45.0),
            programming_tool: Time::minutes(10.0),
            programming_clamping: Time::minutes(20.0),
            fixture_plate: Time::h(2.0),
            fixture_jaws: Time::h(1.0),
            fixture_rotary: Time::h(2.0),
            setting_clamping: Time::minutes(15.0),
            setting_place: Time::minutes(8.0),
            setting_tool: Time::minutes(3.0),
            setting_angle: Time::minutes(10.0),
            setting_holding: Time::minutes(10.0),
            setting_rotary: Time::minutes(10.0),
            first_piece: 2.0,
            scrap: 0.02,
            learning: 0.9,
            practised_after: 30.0,
            dry: 1.5,
        }
    }
}
