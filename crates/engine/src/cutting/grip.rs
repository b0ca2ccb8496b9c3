//! What holders, tapers and taps allow, whatever the spindle would give.

use super::limits::Limits;
use crate::demand::ToolShape;
use crate::machine::Taper;
use units::{Length, Rpm, Torque};

/// Collets grip by friction: about 0.3 N m for each square millimetre of the shank's diameter squared,
/// 120 N m at 20 mm (makers' ER tables, from memory). Shanks above this size have a flat or a key.
const COLLET_NM_PER_MM2: f64 = 0.3;
const LARGEST_COLLET: Length = Length::mm(20.0);

/// Torque a holder passes to a tool of this diameter.
pub(super) fn holder_torque(diameter: Length) -> Option<Torque> {
    (diameter <= LARGEST_COLLET)
        .then(|| Torque::nm(COLLET_NM_PER_MM2 * diameter.to_mm() * diameter.to_mm()))
}

/// Torque a spindle nose passes (from memory; drive keys break or collets slip beyond).
pub(super) fn taper_torque(taper: &Taper) -> Torque {
    Torque::nm(match (taper.family(), taper.steep_size(), taper.size()) {
        (_, Some(..=25), _) => 40.0,
        (_, Some(..=30), _) => 150.0,
        (_, Some(..=40), _) => 600.0,
        (_, Some(_), _) => 2000.0,
        ("R8", ..) => 100.0,
        ("TTS", ..) => 25.0,
        ("ER", _, Some(size)) => 0.12 * f64::from(size * size),
        (_, _, Some(..=40)) => 100.0,
        _ => 400.0,
    })
}

/// The least of any taper: what an unstated one surely passes. That of ER8, the smallest collet chuck
/// (ISO 15488, sizes from memory).
pub(super) const LEAST_NOSE_TORQUE: Torque = Torque::nm(0.12 * 8.0 * 8.0);
/// Speed that the holders of any taper stand.
pub(super) const SLOWEST_HOLDERS: Rpm = Rpm::rpm(8_000.0);

/// Speed above which a taper's ordinary holders are not used (from memory; balanced holders go
/// further).
pub(super) fn taper_speed(taper: &Taper) -> Rpm {
    Rpm::rpm(match (taper.family(), taper.steep_size(), taper.size()) {
        (_, Some(..=25), _) => 40_000.0,
        (_, Some(..=30), _) => 30_000.0,
        (_, Some(..=40), _) => 20_000.0,
        (_, Some(_), _) => 12_000.0,
        ("R8" | "MT", ..) => 8_000.0,
        ("TTS", ..) => 10_000.0,
        ("ER", ..) => 60_000.0,
        (_, _, Some(..=40)) => 42_000.0,
        _ => 24_000.0,
    })
}

/// Speed above which a kind of tool is not turned whatever its cutting speed: a boring head is out
/// of balance, a chamfering tool or face mill stands wide (common practice, no source).
fn tool_speed(shape: ToolShape) -> Option<Rpm> {
    match shape {
        ToolShape::Boring => Some(Rpm::rpm(2_000.0)),
        ToolShape::Face => Some(Rpm::rpm(12_000.0)),
        _ => None,
    }
}

/// Highest speed of the holders and of a kind of tool.
pub(super) fn speed(limits: &Limits, shape: ToolShape) -> Rpm {
    [limits.holder_speed, tool_speed(shape)]
        .into_iter()
        .flatten()
        .fold(Rpm::rpm(f64::INFINITY), Rpm::min)
}

/// Speed of taps on a machine that does not say how fast it taps (common practice, no source: a
/// tension-compression holder follows a reversing spindle up to about here).
pub(super) const FLOATING_TAP_SPEED: Rpm = Rpm::rpm(1_000.0);
