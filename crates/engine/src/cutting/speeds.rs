//! Speeds and feeds: how fast a tool turns and moves, and how far it travels.

use units::{Angle, Length, Rpm, Speed, Time};

/// Speed at which a tool of this diameter has this cutting speed: vc / (pi D).
pub fn rpm_of(speed: Speed, diameter: Length) -> Rpm {
    Rpm::rpm(speed.to_mm_min() / (std::f64::consts::PI * diameter.to_mm()))
}

/// Cutting speed of a tool of this diameter: pi D n.
pub fn cutting_speed(rpm: Rpm, diameter: Length) -> Speed {
    Speed::mm_min(std::f64::consts::PI * diameter.to_mm() * rpm.to_rpm())
}

/// Feed of the table: fz z n.
pub fn table_feed(feed_per_tooth: Length, teeth: f64, rpm: Rpm) -> Speed {
    Speed::mm_min(feed_per_tooth.to_mm() * teeth * rpm.to_rpm())
}

/// Time over a length at a feed.
pub fn feed_time(length: Length, feed: Speed) -> Time {
    Time::minutes(length.to_mm() / feed.to_mm_min())
}

/// Approach of a side-cutting mill until it is at full width: sqrt(d (D - d)) (lecture problems on
/// slab milling; Kalpakjian and Schmid, chapter on milling).
pub fn side_approach(width: Length, diameter: Length) -> Length {
    let (d, w) = (diameter.to_mm(), width.to_mm().clamp(0.0, diameter.to_mm()));
    Length::mm((w * (d - w)).max(0.0).sqrt())
}

/// Approach of a face mill centred on the cut: D / 2 - sqrt(D^2 - w^2) / 2 (Groover, problems on
/// face milling).
pub fn face_approach(width: Length, diameter: Length) -> Length {
    let (d, w) = (diameter.to_mm(), width.to_mm().clamp(0.0, diameter.to_mm()));
    Length::mm(0.5 * (d - (d * d - w * w).sqrt()))
}

/// Length of a drill's point: D tan(90 - theta / 2) / 2, theta the point angle. (The lecture that
/// prints (D / 2) tan(alpha) with alpha = 59 degrees would give 16.6 mm for 20 mm: it needs 31.)
pub fn point_length(diameter: Length, point_angle: Angle) -> Length {
    diameter * (0.5 / (0.5 * point_angle.to_rad()).tan())
}
