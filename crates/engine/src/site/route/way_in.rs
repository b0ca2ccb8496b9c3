//! The question as a person asks it: does this load, carried so, come from the truck to the spot
//! of this plan; if not, where does it stick, and what would help?

use super::largest::largest;
use super::motion::tightest;
use super::planner::{Decision, Fineness, Floor, decide, resolution};
use super::shape::{Body, Pose, contains, half_planes};
use super::solids::{Burden, Solids, Thing, ramp_raise, solids};
use crate::entered::{Carrier, Dismantling, Plan, WayFloor};
use crate::site::texts;
use glam::DVec2;
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

/// Something that would help.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Help {
    /// What.
    pub what: String,
    /// What it costs, in words; empty when nobody said.
    pub cost: String,
    /// What comes of it.
    pub comes_in: ComesIn,
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
    /// What must be asked first.
    pub ask: Vec<String>,
    /// What would help.
    pub helps: Vec<Help>,
    /// Remarks.
    pub remarks: Vec<String>,
}

/// Answers for one load.
pub fn way_in(
    plan: &Plan,
    load: &Load,
    options: &[Dismantling],
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
    let Some(case) = Case::new(plan, load, &answer) else {
        return Ok(answer);
    };
    let wary = case.burden(true);
    let bold = case.burden(false);
    let mut burden = wary;
    let mut decision = case.decide(&wary, 1.0, effort, watch)?;
    let unknown = case.solids(&wary).segments != case.solids(&bold).segments;
    if unknown && !matches!(decision, Decision::Yes(_)) {
        decision = case.decide(&bold, 1.0, effort, watch)?;
        burden = bold;
        if let Decision::Yes(_) = decision {
            answer.ask.extend(case.unknowns());
        }
    }
    let solids = case.solids(&burden);
    answer.resolution_mm = resolution(&case.floor(&solids), &case.body(1.0), effort.fineness);
    answer.comes_in = match &decision {
        Decision::Yes(_) if answer.ask.is_empty() => ComesIn::Yes,
        Decision::No => ComesIn::No,
        _ => ComesIn::CannotSay,
    };
    if let Decision::Yes(way) = &decision {
        case.tell_way(&solids, way, &mut answer);
        // Another way may spare the turns, so this is no no.
        if load.carrier.shunts == Some(false) && !answer.shunts_at.is_empty() {
            answer.ask.push(texts::cannot_shunt(answer.shunts_at.len()));
            if answer.comes_in == ComesIn::Yes {
                answer.comes_in = ComesIn::CannotSay;
            }
        }
    }
    case.remark(&mut answer);
    if effort.largest {
        let floor = case.floor(&solids);
        let found = largest(
            &floor,
            |s| case.body(s),
            Some(decision.clone()),
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
        case.helps(options, effort, watch, &mut answer)?;
    }
    Ok(answer)
}

/// A plan with a load that can be asked about.
struct Case<'a> {
    plan: &'a Plan,
    load: &'a Load,
    clearance_mm: f64,
    start: DVec2,
    start_heading_rad: Option<f64>,
    min: DVec2,
    max: DVec2,
}

impl<'a> Case<'a> {
    fn new(plan: &'a Plan, load: &'a Load, answer: &WayIn) -> Option<Self> {
        let truck = plan.truck?;
        if plan.spots.is_empty() {
            return None;
        }
        let (min, max) = match &plan.ground {
            Some(ground) => (
                ground.iter().copied().reduce(DVec2::min)?,
                ground.iter().copied().reduce(DVec2::max)?,
            ),
            None => plan.extent()?,
        };
        Some(Self {
            plan,
            load,
            clearance_mm: answer.clearance_mm,
            start: truck.at,
            start_heading_rad: truck.heading_rad,
            min,
            max,
        })
    }

    fn burden(&self, wary: bool) -> Burden {
        let numbers = self.load.carrier.numbers();
        Burden {
            height: self.load.height.map(|h| self.load.carrier.height(h)),
            weight: self.load.weight.map(|w| w + Mass::kg(numbers.weight_kg)),
            length: self.load.length.max(self.load.width),
            wary,
            hard_floor: numbers.hard_floor,
            ..Burden::default()
        }
    }

    fn solids(&self, burden: &Burden) -> Solids {
        solids(self.plan, burden)
    }

    fn body(&self, scale: f64) -> Body {
        let (length, width) = (self.load.length.to_mm(), self.load.width.to_mm());
        self.load
            .carrier
            .body(scale * length, scale * width)
            .grown(self.clearance_mm)
    }

    fn floor(&self, solids: &Solids) -> Floor {
        let inside = solids.outlines.iter().any(|o| contains(o, self.start));
        Floor {
            min: self.min,
            max: self.max,
            things: solids.segments.clone(),
            // A start inside something solid is off the floor.
            start: if inside {
                DVec2::splat(f64::NAN)
            } else {
                self.start
            },
            start_heading_rad: self.start_heading_rad,
            zones: self
                .plan
                .spots
                .iter()
                .map(|spot| half_planes(&spot.outline))
                .collect(),
        }
    }

    fn decide(
        &self,
        burden: &Burden,
        scale: f64,
        effort: &Effort,
        watch: Watch<'_>,
    ) -> Result<Decision, Cancelled> {
        let floor = self.floor(&self.solids(burden));
        Ok(decide(&floor, &self.body(scale), effort.fineness, watch)?.decision)
    }

    /// Questions about what is not known of doors and floors.
    fn unknowns(&self) -> Vec<String> {
        let doors = self
            .plan
            .doors
            .iter()
            .filter(|d| d.height.is_none() && self.load.height.is_some())
            .map(|d| texts::ask_door_height(&d.name));
        let floors = self
            .plan
            .floors
            .iter()
            .filter(|f| f.kind != WayFloor::Slab && f.allows.is_none())
            .filter(|_| self.load.weight.is_some())
            .map(|f| texts::ask_floor(&f.name));
        let length = self.load.length.max(self.load.width);
        let ramps = self
            .plan
            .ramps
            .iter()
            .filter(|_| self.load.height.is_some())
            .map(|r| texts::ask_ramp(&r.name, ramp_raise(r, length).to_mm()));
        doors.chain(floors).chain(ramps).collect()
    }

    fn tell_way(&self, solids: &Solids, way: &[Pose], answer: &mut WayIn) {
        let turned: f64 = way
            .windows(2)
            .map(|p| (p[1].heading_rad - p[0].heading_rad).abs())
            .sum();
        answer.length_mm = Some(way.windows(2).map(|p| p[0].at.distance(p[1].at)).sum());
        answer.turned_deg = Some(turned.to_degrees());
        answer.way = way.iter().map(told).collect();
        let bare = self.body(1.0).grown(-self.clearance_mm);
        if let Some(least) = tightest(&bare, way, &solids.segments) {
            answer.tightest_mm = Some(least.room_mm);
            answer.tightest_at = least.thing.map(|(at, _)| at.to_array());
        }
        let radius = self.load.carrier.numbers().turning_mm;
        let driven = self.load.carrier.driven_along();
        let no_shunts = self.load.carrier.shunts == Some(false);
        if radius > 0.0 || no_shunts {
            answer.shunts_at = way
                .windows(2)
                .filter(|p| {
                    let turn = (p[1].heading_rad - p[0].heading_rad).abs();
                    let tight =
                        turn > 1f64.to_radians() && p[0].at.distance(p[1].at) < radius * turn;
                    let slides = no_shunts && slides(driven, p[0], p[1]);
                    tight || slides
                })
                .map(|p| p[0].at.to_array())
                .collect();
            if !answer.shunts_at.is_empty() && !no_shunts {
                answer.remarks.push(texts::shunts(answer.shunts_at.len()));
            }
        }
    }

    fn remark(&self, answer: &mut WayIn) {
        if self.load.height.is_none() {
            answer.remarks.push(texts::HEIGHTS_LEFT_ASIDE.to_owned());
        }
        for ramp in &self.plan.ramps {
            let grade = ramp.rise.to_mm() / ramp.run.to_mm();
            answer.remarks.push(texts::ramp(&ramp.name, grade));
        }
    }

    /// On the way of the largest load that passes, where the load asked about collides most.
    fn tell_sticking(&self, solids: &Solids, way: &[Pose], passes: f64, answer: &mut WayIn) {
        let body = self.body(1.0);
        if let Some(worst) = tightest(&body, way, &solids.segments) {
            let (at, thing) = worst.thing.unzip();
            answer.sticks = Some(Sticks {
                at: at.unwrap_or(worst.pose.at).to_array(),
                pose: told(&worst.pose),
                thing: thing
                    .and_then(|n| solids.things.get(n))
                    .map_or_else(String::new, Thing::describe),
                short_by_mm: Some((1.0 - passes) * self.load.width.to_mm()),
                in_height: false,
            });
        }
    }

    /// Tries what might help, cheapest first: a leaf off, things aside, another height, what the
    /// seller says can come off. Where only the height is in the way, says so.
    fn helps(
        &self,
        options: &[Dismantling],
        effort: &Effort,
        watch: Watch<'_>,
        answer: &mut WayIn,
    ) -> Result<(), Cancelled> {
        let bold = self.burden(false);
        let told = |decision: &Decision| match decision {
            Decision::Yes(_) => ComesIn::Yes,
            Decision::No => ComesIn::No,
            Decision::Undecided => ComesIn::CannotSay,
        };
        let leaves: Vec<&str> = self
            .plan
            .doors
            .iter()
            .filter(|d| d.swing.is_some())
            .map(|d| d.name.as_str())
            .collect();
        let aside: Vec<&str> = self
            .plan
            .blocks
            .iter()
            .filter(|b| b.movable)
            .map(|b| b.name.as_str())
            .collect();
        let off = Burden {
            leaves_off: true,
            ..bold
        };
        let cleared = Burden {
            cleared: true,
            ..bold
        };
        let both = Burden {
            leaves_off: true,
            cleared: true,
            ..bold
        };
        let mut tries = Vec::new();
        if !leaves.is_empty() {
            tries.push((off, texts::leaves_off(&leaves)));
        }
        if !aside.is_empty() {
            tries.push((cleared, texts::cleared(&aside)));
        }
        if !leaves.is_empty() && !aside.is_empty() {
            tries.push((both, texts::leaves_off_and_cleared(&leaves, &aside)));
        }
        for (burden, what) in tries {
            let decision = self.decide(&burden, 1.0, effort, watch)?;
            if let Decision::Yes(_) = decision {
                answer.helps.push(Help {
                    what,
                    cost: String::new(),
                    comes_in: told(&decision),
                });
                break;
            }
        }
        if answer.sticks.is_none() {
            self.height_in_the_way(effort, watch, answer)?;
        }
        for option in options {
            let load = Load {
                length: option.length.unwrap_or(self.load.length),
                width: option.width.unwrap_or(self.load.width),
                height: option.height.or(self.load.height),
                ..self.load.clone()
            };
            let Some(case) = Case::new(self.plan, &load, answer) else {
                continue;
            };
            let decision = case.decide(&case.burden(false), 1.0, effort, watch)?;
            answer.helps.push(Help {
                what: option.name.clone(),
                cost: option.cost.clone(),
                comes_in: told(&decision),
            });
        }
        Ok(())
    }

    /// Nothing passes at any size: is it the height, and where?
    fn height_in_the_way(
        &self,
        effort: &Effort,
        watch: Watch<'_>,
        answer: &mut WayIn,
    ) -> Result<(), Cancelled> {
        let Some(height) = self.burden(false).height else {
            return Ok(());
        };
        let any = Burden {
            height: None,
            ..self.burden(false)
        };
        let Decision::Yes(way) = self.decide(&any, 1.0, effort, watch)? else {
            return Ok(());
        };
        let closed = self.solids(&self.burden(false));
        let body = self.body(1.0);
        let low = |thing: &Thing| match thing {
            Thing::Door {
                name,
                too_low_mm: Some(mm),
            } => Some((*mm, name.clone())),
            Thing::Overhead { name, height_mm } => Some((*height_mm, name.clone())),
            _ => None,
        };
        // The lowest of what the way passes below.
        let passed = closed
            .segments
            .iter()
            .filter_map(|s| Some((low(&closed.things[s.thing])?, s)))
            .filter(|(_, s)| tightest(&body, &way, &[**s]).is_some_and(|t| t.room_mm <= 0.0))
            .min_by(|a, b| a.0.0.total_cmp(&b.0.0));
        if let Some(((clear_mm, name), segment)) = passed {
            let at = segment.from.midpoint(segment.to);
            answer.sticks = Some(Sticks {
                at: at.to_array(),
                pose: told(&Pose {
                    at,
                    heading_rad: (segment.to - segment.from).perp().to_angle(),
                }),
                thing: name,
                short_by_mm: Some(height.to_mm() - clear_mm),
                in_height: true,
            });
        }
        Ok(())
    }
}

/// Sideways motion a wheeled carrier makes up for by steering, as a share of the piece, and at
/// least this far. Common practice, no source.
const STEERED: f64 = 0.1;
const STEERED_MM: f64 = 20.0;

/// True when a carrier that drives along `driven` in the load's frame is slid sideways.
fn slides(driven: Option<DVec2>, from: Pose, to: Pose) -> bool {
    let Some(driven) = driven else { return false };
    let heading = DVec2::from_angle(0.5 * (from.heading_rad + to.heading_rad));
    let step = to.at - from.at;
    let sideways = heading.rotate(driven).perp_dot(step).abs();
    sideways > STEERED_MM.max(STEERED * step.length())
}

fn told(pose: &Pose) -> [f64; 3] {
    [pose.at.x, pose.at.y, pose.heading_rad.to_degrees()]
}
