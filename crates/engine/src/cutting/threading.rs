//! Torque of taps by two published methods, forming, and milling a thread.

use units::{Length, Number, RemovalRate, Rpm, Stress, Torque};

/// Torque of a cutting tap: kc P^2 d / 8000 N m (LUBERO thread-tool calculations; kc 2500 structural
/// steel, 3200 austenitic, 800 long-chip aluminium, 1250 iron). The same page divides by 9500 for
/// power where it should be 9549.
pub fn tapping_torque(nominal: Length, pitch: Length, force: Stress) -> Torque {
    Torque::nm(force.to_mpa() * pitch.to_mm() * pitch.to_mm() * nominal.to_mm() / 8000.0)
}

/// How a cutting tap carries its chips: factor K of the second method.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TapKind {
    /// Spiral point, chips ahead: through holes.
    SpiralPoint,
    /// Spiral flute, chips back: blind holes.
    SpiralFlute,
    /// Straight flutes.
    HandPlug,
}

impl TapKind {
    /// K (Yamawa catalogue 2021 p.639).
    pub fn factor(self) -> f64 {
        match self {
            TapKind::SpiralPoint => 0.95,
            TapKind::SpiralFlute => 1.15,
            TapKind::HandPlug => 1.35,
        }
    }

    /// Torque against a hand tap as measured by the same maker, least and greatest (Yamawa catalogue
    /// 2022-23, technical p.7). Its own K would say 0.70 and 0.85.
    pub fn measured(self) -> [f64; 2] {
        match self {
            TapKind::SpiralPoint => [0.60, 0.65],
            TapKind::SpiralFlute => [0.70, 0.75],
            TapKind::HandPlug => [1.0, 1.0],
        }
    }
}

/// Torque of a cutting tap by the section of its chips: tan(30 deg) kc K (D - Do)^2 (D + 2 Do) /
/// 24 000 N m, Do the hole (Yamawa catalogue 2021 p.639 and 2016-17 p.781; the angle is the
/// thread's half angle).
pub fn tapping_torque_by_section(
    nominal: Length,
    hole: Length,
    force: Stress,
    kind: TapKind,
) -> Torque {
    let (d, hole) = (nominal.to_mm(), hole.to_mm().clamp(0.0, nominal.to_mm()));
    let half_angle_tan = 30.0f64.to_radians().tan();
    Torque::nm(
        half_angle_tan * force.to_mpa() * kind.factor() * (d - hole).powi(2) * (d + 2.0 * hole)
            / 24_000.0,
    )
}

/// A forming tap takes two to three times the torque of a cutting one (Yamawa catalogue 2022-23,
/// technical p.7): least and greatest.
pub fn forming_torque(cutting: Torque) -> [Torque; 2] {
    [cutting * 2.0, cutting * 3.0]
}

/// Usual hole for a thread: nominal less pitch, which leaves about three quarters of the thread.
pub fn tap_drill(nominal: Length, pitch: Length) -> Length {
    (nominal - pitch).max(Length::ZERO)
}

/// Hole that leaves a share of the full thread, of a metric or unified thread: D - P % / 76.98
/// (fmcarbide.com, tapping formulas).
pub fn hole_for_engagement(nominal: Length, pitch: Length, engagement: Number) -> Length {
    nominal - pitch * (100.0 * engagement.to_number() / 76.98)
}

/// Share of the full thread a hole leaves, of the basis 2 x depth = `basis` x P: 1.08253 for unified
/// threads, 1.29904 for the older national form (piclist thread note after Machinery's Handbook).
pub fn engagement(nominal: Length, hole: Length, pitch: Length, basis: f64) -> f64 {
    (nominal - hole) / (basis * pitch)
}

/// Metal a tap takes away: the groove of the ISO 68-1 profile, 0.2368 P^2 in section (depth 0.5413
/// P, 3/4 P wide at the hole and 1/8 P at the root; derived), along the helix.
pub fn tapping_removal(nominal: Length, pitch: Length, rpm: Rpm) -> RemovalRate {
    let p = pitch.to_mm();
    let mean_mm = (nominal.to_mm() - 0.5413 * p).max(0.0);
    RemovalRate::mm3_min(0.2368 * p * p * std::f64::consts::PI * mean_mm * rpm.to_rpm())
}

/// Feed of a thread mill's centre for a feed at its edge: the hole is larger than the cutter, so the
/// centre goes a smaller circle in the same time, (D - d) / D of it (geometry).
pub fn thread_mill_centre_share(nominal: Length, cutter: Length) -> f64 {
    ((nominal - cutter) / nominal).clamp(0.0, 1.0)
}
