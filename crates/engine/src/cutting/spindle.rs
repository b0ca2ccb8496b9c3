//! Torque and power of a spindle against speed.

use crate::machine::Properties;
use units::{Power, Rpm, Torque};

/// Share of the spindle motor's power that reaches the cutter: 0.8 as the makers' worked examples
/// take it (Mitsubishi Materials, formulae for cutting power). Handbook bands run
/// from 0.70 (geared) to 0.90 (belt).
pub const EFFICIENCY: f64 = 0.8;

/// Base speed of a spindle of which only the power is known: 1500 rpm, the usual four-pole motor
/// (a printed spindle-drive example has the same figure).
const BASE_SPEED: Rpm = Rpm::rpm(1500.0);

/// A spindle: constant torque up to the base speed, constant power above (Siemens hollow-shaft
/// spindle motor manual 2008 p.55).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spindle {
    /// Most power.
    pub power: Power,
    /// Most torque.
    pub torque: Torque,
    /// Lowest speed.
    pub slowest: Rpm,
    /// Highest speed.
    pub fastest: Rpm,
}

impl Spindle {
    /// From stated numbers or class defaults; `None` when neither power nor torque with its speed
    /// is known in any way, or when they are not positive.
    pub fn of(p: &Properties) -> Option<Spindle> {
        let base = p.spindle_torque_rpm.estimate().filter(|r| r.to_rpm() > 0.0);
        let torque = p.spindle_torque.estimate().filter(|t| t.to_nm() > 0.0);
        let power = p
            .spindle_power
            .estimate()
            .filter(|p| p.to_kw() > 0.0)
            .or_else(|| torque.zip(base).map(|(t, b)| t.power_at(b)))?;
        let torque = torque.unwrap_or_else(|| power.torque_at(base.unwrap_or(BASE_SPEED)));
        let fastest = p
            .spindle_rpm_max
            .estimate()
            .filter(|r| r.to_rpm() > 0.0)
            .unwrap_or(USUAL_FASTEST);
        let slowest = p
            .spindle_rpm_min
            .estimate()
            .unwrap_or(Rpm::ZERO)
            .max(Rpm::ZERO)
            .min(fastest);
        Some(Spindle {
            power,
            torque,
            slowest,
            fastest,
        })
    }

    /// Speed at which full torque meets full power.
    pub fn base_speed(&self) -> Rpm {
        Rpm::rps(self.power.to_w() / self.torque.to_nm() / std::f64::consts::TAU)
    }

    /// Torque at a speed.
    pub fn torque_at(&self, speed: Rpm) -> Torque {
        self.torque.min(self.power.torque_at(speed))
    }

    /// Power at a speed.
    pub fn power_at(&self, speed: Rpm) -> Power {
        self.power.min(self.torque.power_at(speed))
    }
}

/// Speed of a spindle of which nothing is said: the low end of the trade ranges of small mills
/// (from memory).
const USUAL_FASTEST: Rpm = Rpm::rpm(4000.0);

#[cfg(test)]
mod tests {
    use super::*;
    use crate::machine::Known;

    #[test]
    fn t3_15_constant_torque_then_constant_power() {
        // 11 kW, base 1500 rpm: 70.0 N m to 1500, 8.75 N m at 12 000 (9549 kW / rpm, Siemens manual p.55).
        let spindle = Spindle::of(&Properties {
            spindle_power: Known::Yes(Power::kw(11.0)),
            spindle_torque_rpm: Known::Yes(Rpm::rpm(1500.0)),
            spindle_rpm_max: Known::Yes(Rpm::rpm(12_000.0)),
            ..Properties::default()
        })
        .expect("power is stated");
        assert!((spindle.torque_at(Rpm::rpm(300.0)).to_nm() - 70.028).abs() < 5e-4);
        assert!((spindle.torque_at(Rpm::rpm(12_000.0)).to_nm() - 8.7535).abs() < 5e-5);
        assert!((spindle.base_speed().to_rpm() - 1500.0).abs() < 1e-9);
        assert!((spindle.power_at(Rpm::rpm(750.0)).to_kw() - 5.5).abs() < 1e-9);
        assert_eq!(spindle.power_at(Rpm::rpm(9000.0)), Power::kw(11.0));
    }

    #[test]
    fn a_machine_that_says_nothing_has_no_spindle() {
        assert_eq!(Spindle::of(&Properties::default()), None);
    }
}
