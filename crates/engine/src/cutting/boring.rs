//! Boring, reaming and turning with a single point.

use units::{Angle, Force, Length, Power, Speed, Stress, Torque};

/// Torque of boring from one diameter to a larger: (Dc^2 - Di^2) f kc / 8000 N m (BIG Daishowa,
/// important formulas p.5).
pub fn boring_torque(
    diameter: Length,
    before: Length,
    feed_per_rev: Length,
    force: Stress,
) -> Torque {
    let (outer, inner) = (diameter.to_mm(), before.to_mm().max(0.0));
    let ring = (outer * outer - inner * inner).max(0.0);
    Torque::nm(ring * feed_per_rev.to_mm() * force.to_mpa() / 8000.0)
}

/// Power of boring and turning: ap f vc kc / 60 000 kW (same page; Mitsubishi Materials, formulae
/// for cutting power). It takes the speed at the outer edge for the whole depth, so it exceeds the
/// power of [`boring_torque`] by the share the mean diameter falls short of the outer.
pub fn boring_power(depth: Length, feed_per_rev: Length, speed: Speed, force: Stress) -> Power {
    Power::kw(depth.to_mm() * feed_per_rev.to_mm() * speed.to_m_min() * force.to_mpa() / 60_000.0)
}

/// Feed force: the drill's 0.63 f D kc / 2 with the depth of cut in place of the radius.
pub fn boring_feed_force(depth: Length, feed_per_rev: Length, force: Stress) -> Force {
    Force::n(0.63 * depth.to_mm() * feed_per_rev.to_mm() * force.to_mpa())
}

/// Chip of a single point: f sin(kappa).
pub fn single_point_chip(feed_per_rev: Length, cutting_edge_angle: Angle) -> Length {
    feed_per_rev * cutting_edge_angle.to_rad().sin()
}

/// Torque of a reamer: boring with its teeth sharing the feed. The makers print no other form; the
/// margins' rubbing comes on top (common practice, no source: half as much again).
pub fn reaming_torque(
    diameter: Length,
    before: Length,
    feed_per_rev: Length,
    force: Stress,
) -> Torque {
    boring_torque(diameter, before, feed_per_rev, force) * REAMER_RUBBING
}

const REAMER_RUBBING: f64 = 1.5;
