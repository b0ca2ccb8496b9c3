//! Power and force of milling and turning.

use units::{Force, Length, Power, RemovalRate, Speed, Stress};

/// Power at the cutter: removal rate times specific force (Mitsubishi Materials, formulae for
/// cutting power, without its efficiency).
pub fn milling_power(removal: RemovalRate, force: Stress) -> Power {
    Power::w(removal.to_mm3_min() / 60.0 * force.to_mpa() / 1000.0)
}

/// Removal rate of a milling pass.
pub fn milling_removal(depth: Length, width: Length, feed: Speed) -> RemovalRate {
    RemovalRate::mm3_min(depth.to_mm() * width.to_mm() * feed.to_mm_min())
}

/// Removal rate of turning or single-point boring: ap f vc (same guide).
pub fn turning_removal(depth: Length, feed_per_rev: Length, speed: Speed) -> RemovalRate {
    RemovalRate::mm3_min(depth.to_mm() * feed_per_rev.to_mm() * speed.to_mm_min())
}

/// Mean force along the cutting speed: P / vc.
pub fn tangential_force(power: Power, speed: Speed) -> Force {
    Force::n(power.to_w() / speed.to_m_s())
}
