//! What an axis drive gives: thrust and speed from motor and screw.

use units::{Acceleration, Force, Length, Mass, Rpm, Speed, Torque};

/// Thrust of a ball screw: 2 pi eta T / lead (ball-screw guide catalogue p.46).
pub fn screw_thrust(torque: Torque, lead: Length, efficiency: f64) -> Force {
    Force::n(std::f64::consts::TAU * efficiency * torque.to_nm() / lead.to_m())
}

/// Speed of a ball screw: n lead.
pub fn screw_speed(motor: Rpm, lead: Length) -> Speed {
    Speed::mm_min(motor.to_rpm() * lead.to_mm())
}

/// Acceleration of a moved mass: F / m.
pub fn acceleration(thrust: Force, moved: Mass) -> Acceleration {
    Acceleration::m_s2(thrust.to_n() / moved.to_kg())
}
