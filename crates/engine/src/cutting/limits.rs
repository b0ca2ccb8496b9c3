//! Everything of a machine that a cut may run into, once for all its cuts.

use super::best::Binding;
use super::grip::{taper_speed, taper_torque};
use super::spindle::{Range, Spindle};
use super::stiffness::Stiffness;
use crate::machine::{Machine, Properties, Taper};
use units::{Force, Power, Rpm, Speed, Torque};

/// Limits of a machine. A limit that nobody stated does not bind, and the cut says so where it
/// matters ([`super::Cut::stiffness_known`]).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Spindle, continuous.
    pub spindle: Spindle,
    /// Spindle for seconds at a time: tapping.
    pub peak: Spindle,
    /// Highest cutting feed.
    pub feed_max: Option<Speed>,
    /// Thrust of an axis.
    pub thrust: Option<Force>,
    /// What the structure holds.
    pub stiffness: Option<Stiffness>,
    /// Torque the spindle nose passes.
    pub nose_torque: Option<Torque>,
    /// Speed of the nose's ordinary holders.
    pub holder_speed: Option<Rpm>,
    /// Highest speed of rigid tapping; zero when it cannot.
    pub rigid_tapping: Option<Rpm>,
}

impl Limits {
    /// Of a spindle, nothing else known.
    pub fn of_spindle(spindle: Spindle) -> Self {
        Self {
            spindle,
            peak: spindle,
            feed_max: None,
            thrust: None,
            stiffness: None,
            nose_torque: None,
            holder_speed: None,
            rigid_tapping: None,
        }
    }

    /// Of a machine; `None` when its spindle is not known at all.
    pub fn of(machine: &Machine) -> Option<Self> {
        let p = &machine.properties;
        let spindle = Spindle::of(p)?;
        Some(Self {
            spindle,
            peak: Spindle::peak_of(p).unwrap_or(spindle),
            feed_max: p.feed_max.estimate().filter(|f| f.to_mm_min() > 0.0),
            thrust: p.axis_thrust.estimate().filter(|f| f.to_n() > 0.0),
            stiffness: Stiffness::of(machine),
            nose_torque: machine.taper.as_ref().map(taper_torque),
            holder_speed: machine.taper.as_ref().map(taper_speed),
            rigid_tapping: p.rigid_tapping_rpm.stated(),
        })
    }

    /// Of the properties that were stated, with a spindle; what nobody stated does not bind.
    pub(super) fn of_stated(p: &Properties, taper: Option<&Taper>, spindle: Spindle) -> Self {
        Self {
            spindle,
            peak: spindle,
            feed_max: p.feed_max.stated().filter(|f| f.to_mm_min() > 0.0),
            thrust: p.axis_thrust.stated().filter(|f| f.to_n() > 0.0),
            stiffness: Stiffness::of_properties(p, taper),
            nose_torque: taper.map(taper_torque),
            holder_speed: taper.map(taper_speed),
            rigid_tapping: p.rigid_tapping_rpm.stated(),
        }
    }

    /// Of a machine without limits.
    pub fn ample() -> Option<Self> {
        let boundless = Range {
            slowest: Rpm::ZERO,
            fastest: Rpm::rpm(1.0e6),
            torque: Torque::nm(1.0e6),
            power: Power::kw(1.0e6),
        };
        Some(Self {
            rigid_tapping: Some(Rpm::rpm(1.0e6)),
            ..Self::of_spindle(Spindle::of_ranges(&[boundless])?)
        })
    }

    /// The same machine with one limit lifted: what that limit costs. The spindle's limits go
    /// together, since nobody buys one of them; `None` for what is not the machine's.
    pub fn without(&self, binding: Binding) -> Option<Self> {
        let ample = Self::ample()?;
        let mut lifted = *self;
        match binding {
            Binding::Tool | Binding::Deflection => return None,
            Binding::SpindleSpeed | Binding::SlowestSpeed | Binding::Power | Binding::Torque => {
                lifted.spindle = ample.spindle;
                lifted.peak = ample.peak;
            }
            Binding::Feed => lifted.feed_max = None,
            Binding::Thrust => lifted.thrust = None,
            Binding::Grip => lifted.nose_torque = None,
            Binding::Stiffness => lifted.stiffness = None,
        }
        Some(lifted)
    }
}
