//! Torque and thrust of drills by three published methods. They differ by nearly two to one for one
//! hole; [`DrillLoad`] keeps them apart.

use super::unit_power::WEAR_DRILLING;
use units::{Angle, Force, Length, Power, Rpm, Stress, Torque};

/// Torque and thrust of a drill.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrillLoad {
    /// Torque.
    pub torque: Torque,
    /// Thrust.
    pub thrust: Force,
}

/// Torque of a drill: f kc D^2 / 8000 N m (BIG Daishowa, important formulas p.5).
pub fn drilling_torque(diameter: Length, feed_per_rev: Length, force: Stress) -> Torque {
    Torque::nm(feed_per_rev.to_mm() * force.to_mpa() * diameter.to_mm() * diameter.to_mm() / 8000.0)
}

/// Thrust of a drill: 0.63 f D kc / 2 N (same page).
pub fn drilling_thrust(diameter: Length, feed_per_rev: Length, force: Stress) -> Force {
    Force::n(0.63 * feed_per_rev.to_mm() * diameter.to_mm() * force.to_mpa() / 2.0)
}

/// The first method: specific force, as above.
pub fn by_specific_force(diameter: Length, feed_per_rev: Length, force: Stress) -> DrillLoad {
    DrillLoad {
        torque: drilling_torque(diameter, feed_per_rev, force),
        thrust: drilling_thrust(diameter, feed_per_rev, force),
    }
}

/// Power at the drill.
pub fn drilling_power(diameter: Length, feed_per_rev: Length, force: Stress, speed: Rpm) -> Power {
    drilling_torque(diameter, feed_per_rev, force).power_at(speed)
}

/// The second method: a material factor K (grey iron 1), Mc = K D^2 (0.630 + 16.84 f) / 100 N m and
/// Tc = 570 K D f^0.85 N (Tungaloy general catalogue 2020-21 p.L068).
pub fn by_material_factor(diameter: Length, feed_per_rev: Length, factor: f64) -> DrillLoad {
    let (d, f) = (diameter.to_mm(), feed_per_rev.to_mm());
    DrillLoad {
        torque: Torque::nm(factor * d * d * (0.630 + 16.84 * f) / 100.0),
        thrust: Force::n(570.0 * factor * d * f.powf(0.85)),
    }
}

/// Power by the second method: K D^2 n (0.647 + 17.29 f) 1e-6 kW (same page); 2 % below what its own
/// torque gives.
pub fn power_by_material_factor(
    diameter: Length,
    feed_per_rev: Length,
    factor: f64,
    speed: Rpm,
) -> Power {
    let (d, f) = (diameter.to_mm(), feed_per_rev.to_mm());
    Power::kw(factor * d * d * speed.to_rpm() * (0.647 + 17.29 * f) * 1.0e-6)
}

/// Chisel edge and wear of a handbook drill.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HandbookDrill {
    /// Work material factor Kd, inch system (steel of 200 HB 24 000; from memory).
    pub material: f64,
    /// Chisel edge factor of torque, A.
    pub chisel_torque: f64,
    /// Chisel edge factor of thrust, B.
    pub chisel_thrust: f64,
    /// Chisel edge factor of the thrust's second term, J.
    pub chisel_area: f64,
    /// Tool wear, W.
    pub wear: f64,
}

impl HandbookDrill {
    /// A drill of the usual web, c/d 0.18 (Machinery's Handbook 31st ed. p.1152 table 7), normally
    /// worn (W 1.30, from memory).
    pub fn usual(material: f64) -> Self {
        Self {
            material,
            chisel_torque: 1.085,
            chisel_thrust: 1.355,
            chisel_area: 0.030,
            wear: WEAR_DRILLING[0],
        }
    }
}

/// Feed factor f^0.8 and diameter factors D^0.8 and D^1.8 of the handbook, inches: the powers its
/// tables 8 and 9 (31st ed. p.1153) are printed from.
pub fn handbook_factors(diameter: Length, feed_per_rev: Length) -> [f64; 3] {
    [
        feed_per_rev.to_inch().powf(0.8),
        diameter.to_inch().powf(0.8),
        diameter.to_inch().powf(1.8),
    ]
}

/// The third method: T = 2 Kd Ff FT B W + Kd d^2 J W lbf and M = Kd Ff FM A W lbf in (Machinery's
/// Handbook 31st ed. p.1152, equations 1 to 7).
pub fn by_handbook(diameter: Length, feed_per_rev: Length, drill: &HandbookDrill) -> DrillLoad {
    let [ff, ft, fm] = handbook_factors(diameter, feed_per_rev);
    let d = diameter.to_inch();
    let k = drill.material * drill.wear;
    DrillLoad {
        torque: Torque::in_lb(k * ff * fm * drill.chisel_torque),
        thrust: Force::lbf(2.0 * k * ff * ft * drill.chisel_thrust + k * d * d * drill.chisel_area),
    }
}

/// Chip of one of two lips: half the feed, across the lip.
pub fn lip_chip(feed_per_rev: Length, point_angle: Angle) -> Length {
    feed_per_rev * (0.5 * (0.5 * point_angle.to_rad()).sin())
}

/// Point of the usual drill.
pub const USUAL_POINT: Angle = Angle::deg(118.0);
