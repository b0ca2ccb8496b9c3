//! How far a part's hours may be off: what the published methods differ by in force, speed and feed is
//! the same on every machine, what the machine holds is its own. Each is changed alone to the ends of
//! its band and the part timed again; what they do adds up in quadrature, since they are independent.
//! So is each number of the machine that is stated as a range.
//!
//! Time at the hands (clamping, setting up, checking) rests on habits: how quick a shop is, it is on every
//! machine alike. A machine of which
//! nothing tells the stiffness has no band of its own: its time is a lower bound all the same.

use super::{PartTime, time_within};
use crate::cutting::{Limits, Stiffness};
use crate::demand::Demand;
use crate::fit::{Fit, Practice};
use crate::machine::Machine;
use crate::material::Materials;
use serde::Serialize;
use units::{Number, Time, Value};

/// Hours a year below and above the likely ones.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct HourDoubt {
    /// By what the methods differ in, alike on every machine, h.
    pub common: [f64; 2],
    /// By what the machine holds, and by its numbers stated as ranges, h.
    pub own: [f64; 2],
    /// By how quick the shop's hands are, alike on every machine, h.
    pub hands: [f64; 2],
}

/// Least, likely and most time at the hands, as a share of what the habits make it: a shop that knows its
/// work saves a quarter, one with its first machine takes half as long again and more. Common practice, no
/// source.
const HANDS: [f64; 3] = [0.75, 1.0, 1.6];

/// The share of the time at the hands, one input for all offers.
pub fn hands() -> Value<Number> {
    let [low, likely, high] = HANDS.map(Number::of);
    Value::assumed("running/hands", low, likely, high, HANDS_SOURCE)
}

/// What is thought of the source of the hands' band.
const HANDS_SOURCE: &str = "common practice, no source";

/// Name of the group of inputs the hours of all offers move with.
const GROUP: &str = "cutting times";

/// What is thought of the source of the band.
const SOURCE: &str = "bands of the published cutting forces, speeds and feeds, of the machine's stiffness, and ranges stated";

/// Least share of the hours that is never in doubt: a band is wide, and no time is nothing.
const LEAST: f64 = 0.2;

/// The materials with one kind of number changed alone, the quicker end first.
pub type MaterialEnds = [[Materials; 2]; 3];

/// What a part is timed with.
#[derive(Clone, Copy, Debug)]
pub struct Timing<'a> {
    /// The machine.
    pub machine: &'a Machine,
    /// Its likely limits.
    pub limits: Option<&'a Limits>,
    /// Materials at the ends of their bands.
    pub ends: &'a MaterialEnds,
    /// The machine with each of its numbers stated as a range at either end, and its limits.
    pub ranges: &'a [[(Machine, Option<Limits>); 2]],
    /// How parts are held.
    pub practice: &'a Practice,
    /// Materials at their best single values.
    pub materials: &'a Materials,
}

/// How far the hours of a part may be off.
pub fn doubt(demand: &Demand, fit: &Fit, likely: &PartTime, t: &Timing<'_>) -> HourDoubt {
    let hours_on = |machine: &Machine, limits: Option<&Limits>, materials: &Materials| {
        let time = time_within(demand, fit, machine, limits, materials, t.practice);
        time.per_year.to_h() - likely.per_year.to_h()
    };
    let hours =
        |limits: Option<&Limits>, materials: &Materials| hours_on(t.machine, limits, materials);
    let sides = |low: f64, high: f64| [(-low.min(high)).max(0.0), low.max(high).max(0.0)];
    let mut squares = [0.0; 2];
    for [quick, slow] in t.ends {
        let found = sides(hours(t.limits, quick), hours(t.limits, slow));
        for (square, side) in squares.iter_mut().zip(found) {
            *square += side * side;
        }
    }
    let stiff = t.limits.and_then(|l| Some((l, l.stiffness?)));
    let mut own = stiff.map_or([0.0; 2], |(limits, held)| {
        let with = |n_mm: f64| {
            let stiffness = Some(Stiffness {
                likely_n_mm: n_mm,
                ..held
            });
            let limits = Limits {
                stiffness,
                ..*limits
            };
            hours(Some(&limits), t.materials)
        };
        sides(with(held.high_n_mm), with(held.low_n_mm))
    });
    for range in t.ranges {
        let [one, other] = [&range[0], &range[1]]
            .map(|(machine, limits)| hours_on(machine, limits.as_ref(), t.materials));
        for (own, side) in own.iter_mut().zip(sides(one, other)) {
            *own = own.hypot(side);
        }
    }
    HourDoubt {
        common: squares.map(f64::sqrt),
        own,
        hands: {
            let attended = likely.attended_per_year.to_h();
            [attended * (1.0 - HANDS[0]), attended * (HANDS[2] - 1.0)]
        },
    }
}

impl HourDoubt {
    /// Of several parts on one machine: each kind of doubt is the same for all of them.
    pub fn of<'a>(times: impl Iterator<Item = &'a PartTime>) -> Self {
        times.fold(Self::default(), |mut sum, time| {
            for side in 0..2 {
                sum.common[side] += time.doubt.common[side];
                sum.own[side] += time.doubt.own[side];
                sum.hands[side] += time.doubt.hands[side];
            }
            sum
        })
    }

    /// Hours below and above.
    pub fn sides(&self) -> [f64; 2] {
        [0, 1].map(|side| {
            self.common[side]
                .hypot(self.own[side])
                .hypot(self.hands[side])
        })
    }

    /// The same of cutting alone, for what nobody stands beside.
    #[must_use]
    pub fn of_cutting(self) -> Self {
        Self {
            hands: [0.0; 2],
            ..self
        }
    }

    /// The factor of some hours of an offer that all of this doubt belongs to; `None` without doubt.
    /// All factors of an offer are one input, and those of all offers one group, as strong as the
    /// common doubt is among all.
    pub fn factor(&self, offer: &str, hours: Time) -> Option<Value<Number>> {
        let [below, above] = self.sides();
        let hours = hours.to_h();
        if hours <= 0.0 || below + above <= 0.0 {
            return None;
        }
        let low = (1.0 - below / hours).max(LEAST);
        let [low, likely, high] = [low, 1.0, 1.0 + above / hours].map(Number::of);
        let width = |sides: [f64; 2]| (sides[0] + sides[1]).powi(2);
        let (common, own) = (width(self.common) + width(self.hands), width(self.own));
        let id = format!("offers/{offer}/hours");
        let value = Value::assumed(id, low, likely, high, SOURCE);
        Some(value.in_group(GROUP, common / (common + own)))
    }
}
