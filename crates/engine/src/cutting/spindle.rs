//! Torque and power of a spindle against speed, from whatever numbers were stated.

use crate::machine::Properties;
use units::{Power, Rpm, Torque};

/// Share of the spindle motor's power that reaches the cutter: 0.8 as the makers' worked examples
/// take it (Mitsubishi Materials, formulae for cutting power). Handbook bands run
/// from 0.70 (geared) to 0.90 (belt).
pub const EFFICIENCY: f64 = 0.8;

/// Base speed of a spindle of which only the power is known: 1500 rpm, the usual four-pole motor
/// (a printed spindle-drive example has the same figure).
const BASE_SPEED: Rpm = Rpm::rpm(1500.0);
/// Lowest base speed of such a spindle, for the upper end of what it may be: the torque of a large
/// geared machine (common practice, no source).
const LOWEST_BASE_SPEED: Rpm = Rpm::rpm(500.0);
/// Speed of a spindle of which nothing is said: the low end of the trade ranges of small mills
/// (from memory).
const USUAL_FASTEST: Rpm = Rpm::rpm(4000.0);

/// Short-time power against continuous: as makers quote it, 1.2 to 1.5 times; by equal heating at a
/// load of 40 %, 1.58 times (S6 of IEC 60034-1; rms heating, from memory). Low, likely, high share
/// of the short-time rating that holds for good.
pub(super) const CONTINUOUS_OF_PEAK: [f64; 3] = [0.632, 0.75, 0.83];

/// Continuous power of a rating that holds for a share of the time, by equal heating: P sqrt(share)
/// (rms approximation, from memory).
pub fn continuous_by_heating(rating: Power, loaded_share: f64) -> Power {
    rating * loaded_share.clamp(0.0, 1.0).sqrt()
}

/// One gear or belt position: constant torque up to its base speed, constant power above (Siemens
/// hollow-shaft spindle motor manual 2008 p.55). A belt step of a motor of one speed has equal ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Lowest speed.
    pub slowest: Rpm,
    /// Highest speed.
    pub fastest: Rpm,
    /// Most torque.
    pub torque: Torque,
    /// Most power.
    pub power: Power,
}

impl Range {
    /// Speed at which full torque meets full power.
    pub fn base_speed(&self) -> Rpm {
        Rpm::rps(self.power.to_w() / self.torque.to_nm() / std::f64::consts::TAU)
    }

    /// Torque at a speed within the range.
    pub fn torque_at(&self, speed: Rpm) -> Torque {
        self.torque.min(self.power.torque_at(speed))
    }

    /// Power at a speed within the range.
    pub fn power_at(&self, speed: Rpm) -> Power {
        self.power.min(self.torque.power_at(speed))
    }

    fn holds(&self, speed: Rpm) -> bool {
        self.slowest <= speed && speed <= self.fastest
    }

    fn is_sound(&self) -> bool {
        self.torque.to_nm() > 0.0
            && self.power.to_kw() > 0.0
            && self.fastest.to_rpm() > 0.0
            && self.slowest >= Rpm::ZERO
            && self.slowest <= self.fastest
            && self.torque.is_finite()
            && self.power.is_finite()
            && self.fastest.is_finite()
    }
}

/// Most gears or belt positions kept.
pub const MOST_RANGES: usize = 6;

/// A spindle: the best of its ranges at every speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spindle {
    ranges: [Range; MOST_RANGES],
    count: usize,
}

impl Spindle {
    /// Of ranges; `None` without one, with more than [`MOST_RANGES`], or with numbers that are none.
    pub fn of_ranges(ranges: &[Range]) -> Option<Self> {
        let first = *ranges.first()?;
        if ranges.len() > MOST_RANGES || !ranges.iter().all(Range::is_sound) {
            return None;
        }
        let mut kept = [first; MOST_RANGES];
        kept[..ranges.len()].copy_from_slice(ranges);
        Some(Self {
            ranges: kept,
            count: ranges.len(),
        })
    }

    /// From stated numbers or class defaults, for continuous work; `None` when neither power nor
    /// torque with its speed is known in any way, or when they are not positive.
    pub fn of(p: &Properties) -> Option<Self> {
        SpindleBand::of(p).map(|band| band.likely)
    }

    /// The same for work of seconds, such as tapping: peak ratings where there are any.
    pub fn peak_of(p: &Properties) -> Option<Self> {
        Stated::of(p).and_then(|s| s.peak().likely())
    }

    /// Its gears and belt positions.
    pub fn ranges(&self) -> &[Range] {
        &self.ranges[..self.count]
    }

    /// Lowest speed.
    pub fn slowest(&self) -> Rpm {
        self.fold(|r| r.slowest, Rpm::min)
    }

    /// Highest speed.
    pub fn fastest(&self) -> Rpm {
        self.fold(|r| r.fastest, Rpm::max)
    }

    /// Most torque.
    pub fn torque(&self) -> Torque {
        self.fold(|r| r.torque, Torque::max)
    }

    /// Most power.
    pub fn power(&self) -> Power {
        self.fold(|r| r.power_at(r.fastest), Power::max)
    }

    /// Speed from which it has all its power.
    pub fn base_speed(&self) -> Rpm {
        self.fold(Range::base_speed, Rpm::min)
    }

    /// Torque at a speed; none between its ranges.
    pub fn torque_at(&self, speed: Rpm) -> Torque {
        self.ranges()
            .iter()
            .filter(|r| r.holds(speed))
            .map(|r| r.torque_at(speed))
            .fold(Torque::ZERO, Torque::max)
    }

    /// Power at a speed; none between its ranges.
    pub fn power_at(&self, speed: Rpm) -> Power {
        self.ranges()
            .iter()
            .filter(|r| r.holds(speed))
            .map(|r| r.power_at(speed))
            .fold(Power::ZERO, Power::max)
    }

    fn fold<Q: Copy>(&self, of: impl Fn(&Range) -> Q, pick: impl Fn(Q, Q) -> Q) -> Q {
        self.ranges()
            .iter()
            .skip(1)
            .map(&of)
            .fold(of(&self.ranges[0]), pick)
    }
}

/// The curves that agree with what was stated. Every curve whose torque never rises with speed and
/// whose power never falls with it, and which has the stated torque, power and speeds, lies between
/// `lower` and `upper`; `likely` is the upper one wherever the stated numbers fix its knee.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpindleBand {
    /// Least it may give.
    pub lower: Spindle,
    /// Used for estimates.
    pub likely: Spindle,
    /// Most it may give.
    pub upper: Spindle,
}

impl SpindleBand {
    /// Of continuous work.
    pub fn of(p: &Properties) -> Option<Self> {
        let stated = Stated::of(p)?;
        let [low, likely, high] = stated.continuous();
        Some(Self {
            lower: low.lower()?,
            likely: likely.likely()?,
            upper: high.upper()?,
        })
    }
}

/// Numbers of a spindle, those there are.
#[derive(Clone, Copy, Debug)]
struct Stated {
    power: Option<Power>,
    peak_power: Option<Power>,
    torque: Option<Torque>,
    peak_torque: Option<Torque>,
    /// Speed up to which the torque holds.
    base: Option<Rpm>,
    /// Highest speed of the low gear.
    low_gear: Option<Rpm>,
    slowest: Rpm,
    fastest: Rpm,
}

/// One rating of it.
#[derive(Clone, Copy, Debug)]
struct Rating {
    power: Option<Power>,
    torque: Option<Torque>,
    base: Option<Rpm>,
    low_gear: Option<Rpm>,
    slowest: Rpm,
    fastest: Rpm,
}

impl Stated {
    fn of(p: &Properties) -> Option<Self> {
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
        let positive = |p: Option<Power>| p.filter(|p| p.to_kw() > 0.0);
        let turning = |t: Option<Torque>| t.filter(|t| t.to_nm() > 0.0);
        let stated = Self {
            power: positive(p.spindle_power.estimate()),
            peak_power: positive(p.spindle_power_peak.estimate()),
            torque: turning(p.spindle_torque.estimate()),
            peak_torque: turning(p.spindle_torque_peak.estimate()),
            base: p.spindle_torque_rpm.estimate().filter(|r| r.to_rpm() > 0.0),
            low_gear: p
                .spindle_low_range_rpm_max
                .estimate()
                .filter(|r| r.to_rpm() > 0.0 && *r < fastest),
            slowest,
            fastest,
        };
        let torque = stated.torque.or(stated.peak_torque);
        let known =
            stated.power.or(stated.peak_power).is_some() || torque.zip(stated.base).is_some();
        known.then_some(stated)
    }

    fn rating(&self, power: Option<Power>, torque: Option<Torque>) -> Rating {
        Rating {
            power,
            torque,
            base: self.base,
            low_gear: self.low_gear,
            slowest: self.slowest,
            fastest: self.fastest,
        }
    }

    /// Low, likely and high of what it gives for good.
    fn continuous(&self) -> [Rating; 3] {
        CONTINUOUS_OF_PEAK.map(|share| {
            let power = self.power.or(self.peak_power.map(|p| p * share));
            let torque = self.torque.or(self.peak_torque.map(|t| t * share));
            self.rating(power, torque)
        })
    }

    /// What it gives for seconds: never less than for good.
    fn peak(&self) -> Rating {
        let [_, good, _] = self.continuous();
        let more =
            |a: Option<Power>, b: Option<Power>| a.map_or(b, |a| Some(b.map_or(a, |b| a.max(b))));
        let power = more(self.peak_power, good.power);
        let torque = match (self.peak_torque, good.torque) {
            (Some(a), Some(b)) => Some(a.max(b)),
            (a, b) => a.or(b),
        };
        self.rating(power, torque)
    }
}

impl Rating {
    /// Power, torque, and whether the knee is stated, with this base speed where only power is known.
    fn numbers(&self, base_speed: Rpm) -> Option<(Power, Torque)> {
        let power = self
            .power
            .or_else(|| self.torque.zip(self.base).map(|(t, b)| t.power_at(b)))?;
        let torque = self
            .torque
            .unwrap_or_else(|| power.torque_at(self.base.unwrap_or(base_speed)));
        Some((power, torque))
    }

    fn range(&self, power: Power, torque: Torque) -> Range {
        Range {
            slowest: self.slowest,
            fastest: self.fastest,
            torque,
            power,
        }
    }

    /// Full torque up to where it meets full power; with a low gear the high one has the same motor
    /// at the ratio of their highest speeds.
    fn likely(&self) -> Option<Spindle> {
        let (power, torque) = self.numbers(BASE_SPEED)?;
        let Some(low_gear) = self.low_gear else {
            return Spindle::of_ranges(&[self.range(power, torque)]);
        };
        let ratio = self.fastest / low_gear;
        // A seller states the highest torque, which is that of the low gear; a base speed assumed
        // for want of it is the motor's own.
        let (low, high) = if self.torque.is_some() {
            (torque, torque / ratio)
        } else {
            (torque * ratio, torque)
        };
        Spindle::of_ranges(&[
            Range {
                fastest: low_gear,
                slowest: self.slowest.min(low_gear),
                torque: low,
                power,
            },
            self.range(power, high),
        ])
    }

    /// No curve gives more than full torque and full power, whatever its gears.
    fn upper(&self) -> Option<Spindle> {
        let (power, torque) = self.numbers(LOWEST_BASE_SPEED)?;
        let torque = match (self.torque, self.low_gear) {
            (None, Some(low)) => torque * (self.fastest / low),
            _ => torque,
        };
        Spindle::of_ranges(&[self.range(power, torque)])
    }

    /// Stated torque up to the speed it was stated for, and the power that comes to at every higher
    /// speed; full power only at the highest.
    fn lower(&self) -> Option<Spindle> {
        let (power, torque) = self.numbers(self.fastest)?;
        let at_top = self.range(power, power.torque_at(self.fastest).min(torque));
        let Some(base) = self.base.filter(|_| self.torque.is_some()) else {
            return Spindle::of_ranges(&[at_top]);
        };
        let kept = self.range(torque.power_at(base).min(power), torque);
        Spindle::of_ranges(&[kept, at_top])
    }
}
