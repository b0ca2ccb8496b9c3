//! What a machine surely gives and what it gives at most, on stated numbers alone: between the two
//! the answer is open. Class defaults have no say here.

use super::grip::{LEAST_NOSE_TORQUE, SLOWEST_HOLDERS};
use super::limits::Limits;
use super::spindle::{CONTINUOUS_OF_PEAK, Range, Spindle};
use crate::machine::{Field, Machine, Properties, SpindleNumbers, Taper};
use units::{Force, Power, Quantity, Rpm, Torque};

/// A spindle turns at least as slowly as this: one with a tool taper, and one that is a collet chuck or
/// of which not even that is said (common practice, no source: usual spindles turn down to 500 or less,
/// motor spindles to a third of their highest speed). Softer than physics, so an answer that rests on it
/// says so ([`taken`]).
const SLOWEST_AT_MOST: Rpm = Rpm::rpm(500.0);
const SLOWEST_AT_MOST_COLLET: Rpm = Rpm::rpm(8_000.0);
/// It turns at least as fast as this (common practice, no source), which no answer turns on: speed saves
/// time only, and torque is asked for where the highest speed is not stated.
const FASTEST_AT_LEAST: Rpm = Rpm::rpm(1_000.0);
/// The axes of any mill push at least as hard as this (common practice, no source: the weakest
/// stepping motors on screws of small mills give more). Told likewise.
const LEAST_THRUST: Force = Force::n(500.0);
/// More than any machine has.
const BOUNDLESS: f64 = 1.0e6;

/// The limits a machine may have, as far as they are stated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LimitsBand {
    /// What it surely gives, everything unstated taken at its worst; `None` when neither its power
    /// nor its torque with the speed is stated.
    pub least: Option<Limits>,
    /// For estimates, with class defaults; `None` when nothing is known of the spindle.
    pub likely: Option<Limits>,
    /// What it gives at most, everything unstated without limit.
    pub most: Option<Limits>,
}

impl LimitsBand {
    /// Of a machine.
    pub fn of(machine: &Machine) -> Self {
        let stated = machine.properties.only_stated();
        let taper = machine.taper.as_ref();
        Self {
            least: least(&stated, taper),
            likely: Limits::of(machine),
            most: most(&stated, taper),
        }
    }
}

/// What a machine surely gives; the properties are those stated.
pub(crate) fn least(stated: &Properties, taper: Option<&Taper>) -> Option<Limits> {
    let good = Rating::of(stated, CONTINUOUS_OF_PEAK[0]).agreeing(stated);
    let peak = good.or_peak(stated).agreeing(stated);
    let spindle = good.least(stated, taper)?;
    let of = Limits::of_stated(stated, taper, spindle);
    Some(Limits {
        nose_torque: of.nose_torque.or(Some(LEAST_NOSE_TORQUE)),
        holder_speed: of.holder_speed.or(Some(SLOWEST_HOLDERS)),
        peak: peak.least(stated, taper).unwrap_or(spindle),
        thrust: stated.axis_thrust.stated().or(Some(LEAST_THRUST)),
        rigid_tapping: stated.rigid_tapping_rpm.stated().or(Some(Rpm::ZERO)),
        ..of
    })
}

fn most(stated: &Properties, taper: Option<&Taper>) -> Option<Limits> {
    let good = Rating::of(stated, CONTINUOUS_OF_PEAK[2]);
    let peak = good.or_peak(stated);
    let spindle = good.most(stated)?;
    Some(Limits {
        peak: peak.most(stated).unwrap_or(spindle),
        ..Limits::of_stated(stated, taper, spindle)
    })
}

/// A number that was taken for one nobody stated, and that is softer than physics.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Taken {
    pub field: Field,
    /// Taken for it, in its base unit.
    pub taken: f64,
    /// What physics alone would leave.
    pub hard: f64,
}

/// Next to nothing, in any base unit of a spindle or an axis.
const NEXT_TO_NOTHING: f64 = 1.0e-3;

/// What was taken for unstated numbers in [`least`] beyond what physics gives; the properties are those
/// stated.
pub(crate) fn taken(stated: &Properties, taper: Option<&Taper>) -> Vec<Taken> {
    let mut all = Vec::new();
    let mut add = |field, taken: f64, hard| all.push(Taken { field, taken, hard });
    let rating = Rating::of(stated, CONTINUOUS_OF_PEAK[0]).agreeing(stated);
    if stated.spindle_rpm_min.stated().is_none() {
        let taken = slowest_at_most(taper);
        let held = rating.base.filter(|_| rating.torque.is_some());
        let hard = match (held, highest(stated)) {
            (Some(base), Some(fastest)) => base.min(fastest),
            (base, fastest) => base.or(fastest).unwrap_or(taken),
        };
        if taken < hard {
            add(Field::spindle_rpm_min, taken.base(), hard.base());
        }
    }
    if stated.axis_thrust.stated().is_none() {
        add(Field::axis_thrust, LEAST_THRUST.base(), NEXT_TO_NOTHING);
    }
    // A rating for good taken from one for a while.
    if stated.spindle_power.stated().is_none()
        && let Some(power) = rating.power
    {
        add(Field::spindle_power, power.base(), NEXT_TO_NOTHING);
    }
    if stated.spindle_torque.stated().is_none()
        && let Some(torque) = rating.torque.filter(|_| rating.base.is_some())
    {
        add(Field::spindle_torque, torque.base(), NEXT_TO_NOTHING);
    }
    all
}

fn slowest_at_most(taper: Option<&Taper>) -> Rpm {
    if taper.is_none_or(|t| t.family() == "ER") {
        SLOWEST_AT_MOST_COLLET
    } else {
        SLOWEST_AT_MOST
    }
}

/// Stated power and torque of one duty.
#[derive(Clone, Copy)]
struct Rating {
    power: Option<Power>,
    torque: Option<Torque>,
    /// Speed up to which the torque holds.
    base: Option<Rpm>,
}

impl Rating {
    /// For good, at a share of what is stated for a while where only that is.
    fn of(p: &Properties, share: f64) -> Self {
        let peak = Self::for_a_while(p);
        let power = p.spindle_power.stated().filter(|p| p.to_kw() > 0.0);
        let torque = p.spindle_torque.stated().filter(|t| t.to_nm() > 0.0);
        Self {
            power: power.or(peak.power.map(|p| p * share)),
            torque: torque.or(peak.torque.map(|t| t * share)),
            base: peak.base,
        }
    }

    fn for_a_while(p: &Properties) -> Self {
        Self {
            power: p.spindle_power_peak.stated().filter(|p| p.to_kw() > 0.0),
            torque: p.spindle_torque_peak.stated().filter(|t| t.to_nm() > 0.0),
            base: p.spindle_torque_rpm.stated().filter(|r| r.to_rpm() > 0.0),
        }
    }

    /// Without a torque that is more power at its speed than is stated: one of the three numbers is
    /// wrong, and the power alone is sure, whichever it is.
    fn agreeing(self, p: &Properties) -> Self {
        if SpindleNumbers::of(p).torque_agrees() {
            return self;
        }
        Self {
            torque: None,
            base: None,
            ..self
        }
    }

    /// What it gives for a while, never less than for good.
    fn or_peak(&self, p: &Properties) -> Self {
        let peak = Self::for_a_while(p);
        Self {
            power: larger(self.power, peak.power, Power::max),
            torque: larger(self.torque, peak.torque, Torque::max),
            base: self.base,
        }
    }

    /// Stated torque up to its speed, with the power that comes to from there on; stated power from
    /// the highest base speed there is.
    fn least(&self, p: &Properties, taper: Option<&Taper>) -> Option<Spindle> {
        let holds = self.torque.zip(self.base);
        let reached = highest(p).unwrap_or_else(|| {
            let base = self.base.filter(|_| self.torque.is_some());
            FASTEST_AT_LEAST.max(base.unwrap_or(Rpm::ZERO))
        });
        let slowest = p.spindle_rpm_min.stated().unwrap_or_else(|| {
            // Torque that holds up to a speed holds at that speed at least.
            let worst = slowest_at_most(taper);
            holds
                .map_or(worst, |(_, base)| worst.min(base))
                .min(reached)
        });
        let slowest = slowest.max(Rpm::ZERO);
        let fastest = reached.max(slowest);
        let by_torque = holds.map(|(torque, base)| Range {
            slowest,
            fastest,
            torque,
            power: torque.power_at(base),
        });
        // All the power is there at some speed, so at the highest at the latest: physics, not habit.
        // Where that is not stated, torque is what is asked for.
        let by_power = self.power.and_then(|power| {
            let late = power.torque_at(highest(p)?);
            Some(Range {
                slowest,
                fastest,
                torque: self.torque.map_or(late, |t| t.min(late)),
                power,
            })
        });
        let ranges: Vec<Range> = by_torque.into_iter().chain(by_power).collect();
        Spindle::of_ranges(&ranges)
    }

    fn most(&self, p: &Properties) -> Option<Spindle> {
        let fastest = highest(p).unwrap_or(Rpm::rpm(BOUNDLESS));
        let slowest = p.spindle_rpm_min.stated().unwrap_or(Rpm::ZERO);
        Spindle::of_ranges(&[Range {
            slowest: slowest.max(Rpm::ZERO).min(fastest),
            fastest,
            torque: self.torque.unwrap_or(Torque::nm(BOUNDLESS)),
            power: self.power.unwrap_or(Power::kw(BOUNDLESS)),
        }])
    }
}

fn highest(p: &Properties) -> Option<Rpm> {
    p.spindle_rpm_max.stated().filter(|r| r.to_rpm() > 0.0)
}

fn larger<Q>(a: Option<Q>, b: Option<Q>, max: impl Fn(Q, Q) -> Q) -> Option<Q> {
    match (a, b) {
        (Some(a), Some(b)) => Some(max(a, b)),
        (a, b) => a.or(b),
    }
}
