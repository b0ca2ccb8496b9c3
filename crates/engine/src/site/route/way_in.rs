//! The question as a person asks it: does this load, carried so, come from the truck to the spot
//! of this plan; if not, where does it stick, and what would help?

use super::case::{Carried, Case};
use super::driven::steps;
use super::helps::{ComesOff, Help, helps};
use super::largest::largest;
use super::planner::{Decision, Fineness, resolution};
use crate::entered::{Carrier, Plan};
use crate::site::texts;
use serde::Serialize;
use units::{Cancelled, Length, Mass, Watch};

/// What is to be moved, and how.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// Longer side seen from above, or whichever is called length.
    pub length: Length,
    /// Other side.
    pub width: Length,
    /// Height while moving, without carrier; `None` leaves heights aside.
    pub height: Option<Length>,
    /// Weight, without carrier; `None` leaves floors aside.
    pub weight: Option<Mass>,
    /// Carrier.
    pub carrier: Carrier,
    /// Room wanted on every side.
    pub clearance: Length,
}

/// How finely to look, and what else to look for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effort {
    /// Smallest boxes of poses.
    pub fineness: Fineness,
    /// Also find the largest load of the same proportions.
    pub largest: bool,
    /// Also try what might help where it does not come in.
    pub helps: bool,
    /// The two sizes of the largest load end at most this share apart where they can be decided.
    pub within: f64,
}

impl Default for Effort {
    fn default() -> Self {
        Self {
            fineness: Fineness { cell_mm: 10.0 },
            largest: true,
            helps: true,
            within: 0.01,
        }
    }
}

/// Does it come in?
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ComesIn {
    /// A way was found and checked.
    Yes,
    /// There is none.
    No,
    /// Too narrow to say, or something is not known.
    #[default]
    CannotSay,
}

/// Where it sticks.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sticks {
    /// Nearest point of what it sticks on, or the place where the way ends.
    pub at: [f64; 2],
    /// Pose of the load there: x, y in millimetres, heading in degrees.
    pub pose: [f64; 3],
    /// What it sticks on.
    pub thing: String,
    /// How much narrower the load would have to be in each of length and width, or how much lower.
    pub short_by_mm: Option<f64>,
    /// True when it is the height that is short.
    pub in_height: bool,
}

/// The answer.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct WayIn {
    /// Verdict.
    pub comes_in: ComesIn,
    /// Length of the way.
    pub length_mm: Option<f64>,
    /// How far it is turned on the way, all turns together.
    pub turned_deg: Option<f64>,
    /// Room left on every side of the load at the narrowest place of the way.
    pub tightest_mm: Option<f64>,
    /// Where that is.
    pub tightest_at: Option<[f64; 2]>,
    /// Where it sticks.
    pub sticks: Option<Sticks>,
    /// Largest load of the same proportions seen to pass: length and width.
    pub largest_mm: Option<[f64; 2]>,
    /// Smallest load of the same proportions seen not to pass.
    pub fails_mm: Option<[f64; 2]>,
    /// A way with this much more room on every side would have been found.
    pub resolution_mm: f64,
    /// Room kept on every side, tape included.
    pub clearance_mm: f64,
    /// Poses of the way: x, y in millimetres, heading in degrees. Straight motion in between.
    pub way: Vec<[f64; 3]>,
    /// Places where the way turns tighter than the carrier does: it is shunted there. Of a carrier
    /// that is stated not to shunt also places where it slides sideways.
    pub shunts_at: Vec<[f64; 2]>,
    /// True for a way of arcs and straight pieces that the carrier drives without going back and
    /// forth.
    pub driven: bool,
    /// What must be asked first.
    pub ask: Vec<String>,
    /// What would help.
    pub helps: Vec<Help>,
    /// Remarks.
    pub remarks: Vec<String>,
}

impl WayIn {
    /// What brings in a load that does not come in as it is.
    pub fn with_works(&self) -> Option<&Help> {
        self.helps
            .iter()
            .find(|h| self.comes_in != ComesIn::Yes && h.comes_in == ComesIn::Yes)
    }
}

/// Answers for one load.
pub fn way_in(
    plan: &Plan,
    load: &Load,
    comes_off: &ComesOff<'_>,
    effort: &Effort,
    watch: Watch<'_>,
) -> Result<WayIn, Cancelled> {
    let mut answer = WayIn {
        clearance_mm: (load.clearance + plan.measured_to).to_mm(),
        ..WayIn::default()
    };
    if plan.truck.is_none() {
        answer.ask.push(texts::ASK_TRUCK.to_owned());
    }
    if plan.spots.is_empty() {
        answer.ask.push(texts::ASK_PLAN_SPOT.to_owned());
    }
    let Some(case) = Case::new(plan, load, answer.clearance_mm) else {
        return Ok(answer);
    };
    let wary = case.burden(true);
    let bold = case.burden(false);
    let mut burden = wary;
    let mut carried = case.decide(&wary, effort, watch)?;
    let unknown = case.solids(&wary).segments != case.solids(&bold).segments;
    if unknown && !matches!(carried.decision, Decision::Yes(_)) {
        carried = case.decide(&bold, effort, watch)?;
        burden = bold;
        if let Decision::Yes(_) = carried.decision {
            answer.ask.extend(case.unknowns());
        }
    }
    let solids = case.solids(&burden);
    answer.resolution_mm = resolution(&case.floor(&solids), &case.body(1.0), effort.fineness);
    if let Decision::Yes(way) = &carried.decision {
        case.tell_way(&solids, way, &mut answer);
        tell_carrier(load, &carried, &mut answer);
    }
    let decision = carried.decision;
    answer.comes_in = match &decision {
        Decision::Yes(_) if answer.ask.is_empty() => ComesIn::Yes,
        Decision::No => ComesIn::No,
        _ => ComesIn::CannotSay,
    };
    case.remark(&mut answer);
    if effort.largest {
        let floor = case.floor(&solids);
        let found = largest(
            &floor,
            |s| case.body(s),
            Some(&decision),
            effort.within,
            effort.fineness,
            watch,
        )?;
        let size = |scale: f64| [load.length, load.width].map(|l| scale * l.to_mm());
        if found.passes > 0.0 {
            answer.largest_mm = Some(size(found.passes));
        }
        answer.fails_mm = found.fails.map(size);
        if !matches!(decision, Decision::Yes(_)) {
            case.tell_sticking(&solids, &found.way, found.passes, &mut answer);
        }
    }
    if effort.helps && answer.comes_in != ComesIn::Yes {
        if answer.sticks.is_none() && !matches!(decision, Decision::Yes(_)) {
            case.height_in_the_way(effort, watch, &mut answer)?;
        }
        helps(plan, load, comes_off, effort, watch, &mut answer)?;
    }
    Ok(answer)
}

/// What the way asks of the carrier. Another way may spare the turns, so this is no no.
fn tell_carrier(load: &Load, carried: &Carried, answer: &mut WayIn) {
    answer.shunts_at.clone_from(&carried.shunts_at);
    answer.driven = carried.driven;
    let steps = steps(load.carrier.numbers().turning_mm);
    let places = carried.shunts_at.len();
    if carried.driven {
        answer.remarks.push(texts::driven(
            steps.straight_mm,
            steps.turn_rad.to_degrees(),
        ));
    } else if places > 0 && load.carrier.shunts == Some(false) {
        answer.ask.push(texts::cannot_shunt(
            places,
            steps.straight_mm,
            steps.turn_rad.to_degrees(),
        ));
    } else if places > 0 {
        answer.remarks.push(texts::shunts(places));
    }
}
