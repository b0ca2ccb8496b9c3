//! Numbers of a spindle that cannot all be true.
//!
//! Power is torque times speed. A sheet that states more torque at a speed than its power makes there, or
//! a power its torque never reaches, mixes ratings (continuous, short-time, motor, spindle) or has a slip.

use super::Properties;
use units::{Power, Rpm, Torque};

/// What a sheet says of a spindle.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SpindleNumbers {
    /// Continuous power.
    pub power: Option<Power>,
    /// Short-time power.
    pub power_peak: Option<Power>,
    /// Continuous torque.
    pub torque: Option<Torque>,
    /// Short-time torque.
    pub torque_peak: Option<Torque>,
    /// Speed up to which the torque holds.
    pub torque_rpm: Option<Rpm>,
    /// Lowest speed.
    pub rpm_min: Option<Rpm>,
    /// Highest speed.
    pub rpm_max: Option<Rpm>,
}

/// A contradiction between them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Contradiction {
    /// The torque at its speed is more power than is stated.
    TorqueBeyondPower {
        /// Torque times speed.
        of_torque: Power,
        /// Stated.
        power: Power,
    },
    /// Even at the highest speed the torque is less than the power stated.
    PowerNeverReached {
        /// Torque times highest speed.
        at_fastest: Power,
        /// Stated.
        power: Power,
    },
    /// The torque is stated for a speed the spindle does not reach.
    TorqueBeyondFastest {
        /// Speed of the torque.
        at: Rpm,
        /// Highest speed.
        fastest: Rpm,
    },
    /// The torque is stated for a speed so low that the spindle does not turn at it.
    TorqueBelowSlowest {
        /// Speed of the torque.
        at: Rpm,
        /// Lowest speed.
        slowest: Rpm,
    },
}

/// Numbers agree that differ by no more than this: torque and speed printed to two digits are each off by
/// up to a twentieth.
const PRINTED: f64 = 1.1;

impl SpindleNumbers {
    /// Those that are stated.
    pub fn of(p: &Properties) -> Self {
        Self {
            power: p.spindle_power.stated(),
            power_peak: p.spindle_power_peak.stated(),
            torque: p.spindle_torque.stated(),
            torque_peak: p.spindle_torque_peak.stated(),
            torque_rpm: p.spindle_torque_rpm.stated(),
            rpm_min: p.spindle_rpm_min.stated(),
            rpm_max: p.spindle_rpm_max.stated(),
        }
    }

    /// Torque and power of one duty: like is compared with like, and a rating for good with one for a
    /// while only where nothing for a while may be more than it.
    fn pairs(&self) -> [Option<(Torque, Power)>; 3] {
        [
            self.torque.zip(self.power),
            self.torque_peak.zip(self.power_peak),
            self.torque
                .zip(self.power_peak.filter(|_| self.power.is_none())),
        ]
    }

    /// True when the torque at its speed is no more than the power stated, or nothing says otherwise.
    pub fn torque_agrees(&self) -> bool {
        self.torque_beyond_power().is_none()
    }

    fn torque_beyond_power(&self) -> Option<Contradiction> {
        let at = self.torque_rpm?;
        self.pairs()
            .into_iter()
            .flatten()
            .find_map(|(torque, power)| {
                let of_torque = torque.power_at(at);
                (of_torque > power * PRINTED)
                    .then_some(Contradiction::TorqueBeyondPower { of_torque, power })
            })
    }

    /// Every contradiction.
    pub fn contradictions(&self) -> Vec<Contradiction> {
        let never = self.rpm_max.and_then(|fastest| {
            let torque = self.torque.zip(self.power);
            let peak = self.torque_peak.zip(self.power_peak.or(self.power));
            torque.or(peak).and_then(|(torque, power)| {
                let at_fastest = torque.power_at(fastest);
                (at_fastest * PRINTED < power)
                    .then_some(Contradiction::PowerNeverReached { at_fastest, power })
            })
        });
        let beyond = self.torque_rpm.zip(self.rpm_max);
        let beyond = beyond.filter(|(at, fastest)| at > fastest);
        let beyond = beyond.map(|(at, fastest)| Contradiction::TorqueBeyondFastest { at, fastest });
        let below = self.torque_rpm.zip(self.rpm_min);
        let below = below
            .filter(|(at, slowest)| at < slowest)
            .map(|(at, slowest)| Contradiction::TorqueBelowSlowest { at, slowest });
        let all = [self.torque_beyond_power(), never, beyond, below];
        all.into_iter().flatten().collect()
    }
}
