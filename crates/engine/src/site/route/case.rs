//! A plan with a load that can be asked about, and what is told of an answer.

use super::driven::{Drive, driven};
use super::motion::tightest;
use super::planner::{Decision, Floor, decide};
use super::shape::{Body, Pose, contains, half_planes};
use super::solids::{Burden, Solids, Thing, ramp_raise, solids};
use super::way_in::{Effort, Load, Sticks, WayIn};
use crate::entered::{Plan, WayFloor};
use crate::site::texts;
use glam::DVec2;
use units::{Cancelled, Mass, Watch};

/// A plan with a load that can be asked about.
pub(super) struct Case<'a> {
    pub plan: &'a Plan,
    pub load: &'a Load,
    clearance_mm: f64,
    start: DVec2,
    start_heading_rad: Option<f64>,
    min: DVec2,
    max: DVec2,
}

/// A decision with what it asks of the carrier.
pub(super) struct Carried {
    pub decision: Decision,
    /// Where the way turns tighter, or slides, than the carrier does.
    pub shunts_at: Vec<[f64; 2]>,
    /// True for a way of arcs and straight pieces that the carrier drives.
    pub driven: bool,
}

impl<'a> Case<'a> {
    pub fn new(plan: &'a Plan, load: &'a Load, clearance_mm: f64) -> Option<Self> {
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
            clearance_mm,
            start: truck.at,
            start_heading_rad: truck.heading_rad,
            min,
            max,
        })
    }

    pub fn burden(&self, wary: bool) -> Burden {
        let numbers = self.load.carrier.numbers();
        Burden {
            height: self.load.height.map(|h| self.load.carrier.height(h)),
            weight: self.load.weight.map(|w| w + Mass::kg(numbers.weight_kg)),
            length: self.load.length.max(self.load.width),
            wary,
            hard_floor: numbers.hard_floor,
        }
    }

    pub fn solids(&self, burden: &Burden) -> Solids {
        solids(self.plan, burden)
    }

    pub fn body(&self, scale: f64) -> Body {
        let (length, width) = (self.load.length.to_mm(), self.load.width.to_mm());
        self.load
            .carrier
            .body(scale * length, scale * width)
            .grown(self.clearance_mm)
    }

    pub fn floor(&self, solids: &Solids) -> Floor {
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

    /// Decides. Where the carrier is stated not to go back and forth, a way that it drives without is
    /// looked for in place of one it does not; one that may shunt follows any way.
    pub fn decide(
        &self,
        burden: &Burden,
        effort: &Effort,
        watch: Watch<'_>,
    ) -> Result<Carried, Cancelled> {
        let solids = self.solids(burden);
        let floor = self.floor(&solids);
        let body = self.body(1.0);
        let decision = decide(&floor, &body, effort.fineness, watch)?.decision;
        let mut carried = Carried {
            decision,
            shunts_at: Vec::new(),
            driven: false,
        };
        let Decision::Yes(way) = &carried.decision else {
            return Ok(carried);
        };
        carried.shunts_at = self.shunts_at(way);
        if self.load.carrier.shunts == Some(false)
            && !carried.shunts_at.is_empty()
            && let Some(drive) = self.drive()
            && let Some(way) = driven(&floor, &body, &drive, effort.fineness, watch)?
        {
            carried = Carried {
                decision: Decision::Yes(way),
                shunts_at: Vec::new(),
                driven: true,
            };
        }
        Ok(carried)
    }

    fn drive(&self) -> Option<Drive> {
        Some(Drive {
            along: self.load.carrier.driven_along()?,
            radius_mm: self.load.carrier.numbers().turning_mm,
        })
    }

    /// Where a way turns tighter than the carrier does or, where it cannot be, slides it sideways.
    fn shunts_at(&self, way: &[Pose]) -> Vec<[f64; 2]> {
        let radius = self.load.carrier.numbers().turning_mm;
        let driven = self.load.carrier.driven_along();
        let no_shunts = self.load.carrier.shunts == Some(false);
        if radius <= 0.0 && !no_shunts {
            return Vec::new();
        }
        way.windows(2)
            .filter(|p| {
                let turn = (p[1].heading_rad - p[0].heading_rad).abs();
                let tight = turn > 1f64.to_radians() && p[0].at.distance(p[1].at) < radius * turn;
                let slides = no_shunts && slides(driven, p[0], p[1]);
                tight || slides
            })
            .map(|p| p[0].at.to_array())
            .collect()
    }

    /// Questions about what is not known of doors and floors.
    pub fn unknowns(&self) -> Vec<String> {
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

    pub fn tell_way(&self, solids: &Solids, way: &[Pose], answer: &mut WayIn) {
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
    }

    pub fn remark(&self, answer: &mut WayIn) {
        if self.load.height.is_none() {
            answer.remarks.push(texts::HEIGHTS_LEFT_ASIDE.to_owned());
        }
        for ramp in &self.plan.ramps {
            let grade = ramp.rise.to_mm() / ramp.run.to_mm();
            answer.remarks.push(texts::ramp(&ramp.name, grade));
        }
    }

    /// On the way of the largest load that passes, where the load asked about collides most.
    pub fn tell_sticking(&self, solids: &Solids, way: &[Pose], passes: f64, answer: &mut WayIn) {
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

    /// Nothing passes at any size: is it the height, and where?
    pub fn height_in_the_way(
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
        let Decision::Yes(way) = self.decide(&any, effort, watch)?.decision else {
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

pub(super) fn told(pose: &Pose) -> [f64; 3] {
    [pose.at.x, pose.at.y, pose.heading_rad.to_degrees()]
}
