//! Numbers for the rigger's paper: slings, fork truck, skates, tie-downs, trailer. Screens only;
//! lifting is for competent, insured riggers. The centre of gravity comes from the maker's drawing or
//! not at all.

use super::{Room, texts};
use crate::machine::Machine;
use serde::Serialize;
use units::{Angle, Force, GRAVITY_M_S2, Length, Mass};

/// Tension in each leg of a sling whose legs share the load evenly, from the angle to the
/// horizontal: (W/n)/sin. More than two legs on a rigid load count as two (Navy manual: three or
/// four legs may leave two carrying all). `None` for a leg that lies flat.
pub fn leg_tension(load: Mass, legs: u32, to_horizontal: Angle) -> Option<Force> {
    let sharing = f64::from(legs.clamp(1, 2));
    let sin = to_horizontal.to_rad().sin();
    (sin > 1e-6).then(|| Force::n(load.to_kg() * GRAVITY_M_S2 / (sharing * sin)))
}

/// What a sling of a vertical rating lifts when its leg slants: rating times the sine of the angle to
/// the horizontal.
pub fn slanted_capacity(vertical: Mass, to_horizontal: Angle) -> Mass {
    vertical * to_horizontal.to_rad().sin()
}

/// Capacity of a fork truck with the load's centre further out than it is rated for: the load moment
/// stays. Never more than the rating.
pub fn fork_capacity(rated: Mass, rated_centre: Length, centre: Length) -> Mass {
    rated * (rated_centre / centre).min(1.0)
}

/// Centre of gravity of several bodies: mass and place of each.
pub fn centre_of_gravity(bodies: &[(f64, [f64; 2])]) -> Option<[f64; 2]> {
    let mass: f64 = bodies.iter().map(|b| b.0).sum();
    (mass > 0.0)
        .then(|| [0, 1].map(|axis| bodies.iter().map(|b| b.0 * b.1[axis]).sum::<f64>() / mass))
}

/// Pull to move a load on rollers up a slope: W (sin + f cos). `friction` is 0.02 on synthetic
/// wheels, 0.05 on steel rollers (craneblogger.com, 25 April 2011).
pub fn skate_pull(load: Mass, slope: Angle, friction: f64) -> Force {
    let (sin, cos) = slope.to_rad().sin_cos();
    Force::n(load.to_kg() * GRAVITY_M_S2 * (sin + friction * cos))
}

/// Tie-downs: their working load limits together at least half the weight (49 CFR 393; FHWA final
/// rule of 6 July 1994).
pub fn tie_down_limit(weight: Mass) -> Mass {
    weight * 0.5
}

/// Tongue weight of a loaded trailer: 10 to 15 %, a rule of thumb and no law (owners' accounts,
/// buiclub.com, tractorbynet.com).
pub fn tongue(loaded_trailer: Mass) -> [Mass; 2] {
    [loaded_trailer * 0.10, loaded_trailer * 0.15]
}

/// Ceiling needed to stand a crate or cabinet upright that arrives lying: its diagonal.
pub fn standing_up_height(height: Length, depth: Length) -> Length {
    Length::mm(height.to_mm().hypot(depth.to_mm()))
}

/// The rigger's numbers for one machine.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Lifting {
    /// Weight, where stated.
    pub weight: Option<Mass>,
    /// Centre of gravity from the front, where the maker's drawing says it.
    pub gravity_from_front: Option<Length>,
    /// What to tell the rigger when it does not.
    pub gravity: &'static str,
    /// Capacity of the fork truck at the load's centre.
    pub fork_capacity: Option<Mass>,
    /// Load centre taken for it.
    pub fork_load_centre: Option<Length>,
    /// Does the truck lift it? `None` without weight, truck or centre of gravity.
    pub fork_lifts: Option<bool>,
    /// Leg tension of a two-leg sling at 60 degrees to the horizontal.
    pub sling_leg_60: Option<Force>,
    /// Likewise at 45 degrees.
    pub sling_leg_45: Option<Force>,
    /// Pull on steel rollers on the level.
    pub pull_level: Option<Force>,
    /// Pull on steel rollers up one in twelve.
    pub pull_one_in_twelve: Option<Force>,
    /// Working load limit of the tie-downs together, at least.
    pub tie_downs: Option<Mass>,
    /// Are the tie-downs stated enough?
    pub tie_downs_enough: Option<bool>,
    /// Does the trailer's payload take it?
    pub trailer_enough: Option<bool>,
    /// How a loaded truck or a skated load goes on slopes.
    pub slopes: &'static str,
    /// What it must not be taken for.
    pub caution: &'static str,
}

const SLOPES: &str = "above 10 % a loaded fork truck keeps its load uphill (OSHA interpretation of 12 November 1976); on skates the load is held back from above and nobody stands below";
const GRAVITY_STATED: &str = "by the maker's drawing; confirm it before the lift";
const GRAVITY_UNKNOWN: &str =
    "unknown: ask the maker for the lifting drawing; until then nobody lifts by a guess";
/// One in twelve, the usual steepest ramp.
const ONE_IN_TWELVE: f64 = 1.0 / 12.0;
const STEEL_ROLLERS: f64 = 0.05;

pub(super) fn of(machine: &Machine, room: &Room) -> Lifting {
    let p = &machine.properties;
    let facts = &room.facts;
    let weight = p.weight.stated();
    let gravity = p.gravity_from_front.stated();
    let truck = facts.fork_capacity.zip(facts.fork_load_centre);
    let at_centre = truck
        .zip(gravity)
        .map(|((rated, centre), gravity)| fork_capacity(rated, centre, gravity));
    let slope = Angle::rad(ONE_IN_TWELVE.atan());
    let tie_downs = weight.map(tie_down_limit);
    Lifting {
        weight,
        gravity_from_front: gravity,
        gravity: if gravity.is_some() {
            GRAVITY_STATED
        } else {
            GRAVITY_UNKNOWN
        },
        fork_capacity: at_centre,
        fork_load_centre: truck.and(gravity),
        fork_lifts: weight.zip(at_centre).map(|(w, c)| w <= c),
        sling_leg_60: weight.and_then(|w| leg_tension(w, 2, Angle::deg(60.0))),
        sling_leg_45: weight.and_then(|w| leg_tension(w, 2, Angle::deg(45.0))),
        pull_level: weight.map(|w| skate_pull(w, Angle::ZERO, STEEL_ROLLERS)),
        pull_one_in_twelve: weight.map(|w| skate_pull(w, slope, STEEL_ROLLERS)),
        tie_downs,
        tie_downs_enough: tie_downs
            .zip(facts.tie_downs)
            .map(|(need, have)| have >= need),
        trailer_enough: weight.zip(facts.trailer_payload).map(|(w, have)| have >= w),
        slopes: SLOPES,
        caution: texts::LIFTING_CAUTION,
    }
}
