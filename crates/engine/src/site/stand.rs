//! The best place for the machine within the spots of a plan: its footprint free, and as much of
//! the room round it as service, operator and electrician want.

mod room;
mod several;

pub use several::{Several, several};

use super::route::{
    Body, Bound, Burden, Lattice, Pose, Segment, Solids, contains, edges, half_planes, solids,
};
use super::texts;
use crate::entered::{Clearances, Plan};
use glam::DVec2;
pub(super) use room::{CHIP_SIDE, CHIPS_CART, SIDE_MM};
use room::{ask_open, depth_there, sides, strip};
use serde::Serialize;
use units::{Cancelled, Length, System, Voltage, Watch};

/// Above, to take a spindle or a cover off. Common practice, no source.
const ABOVE_MM: f64 = 300.0;
/// Positions looked at along each side of a spot, and times the best is looked at more closely.
const ACROSS: usize = 24;
const CLOSER: usize = 5;
/// Side of the boxes by which a spot is proved too small.
const PROOF_MM: f64 = 20.0;

/// Depth of the working space in front of electrical equipment: NFPA 70 table 110.26(A)(1),
/// condition 2 (a grounded wall, as concrete and brick are, on the other side): 3 ft up to 150 V to
/// ground, 3 ft 6 in up to 600 V; the space is at least 30 in wide. From memory.
pub fn working_space(to_ground: Option<Voltage>) -> Length {
    match to_ground {
        Some(v) if v.to_v() > 150.0 => Length::inch(42.0),
        Some(_) => Length::inch(36.0),
        None => Length::inch(42.0),
    }
}

/// Least width of that space.
pub const WORKING_WIDTH: Length = Length::mm(762.0);

/// A machine to be placed: seen from its front, length is from left to right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Footprint {
    /// From left to right.
    pub length: Length,
    /// From front to back.
    pub width: Length,
    /// Height in work, Z up.
    pub height: Option<Length>,
    /// Voltage of its supply to ground.
    pub to_ground: Option<Voltage>,
    /// What the maker asks; the rest is assumed.
    pub clearances: Clearances,
}

/// Room wanted at one side.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Space {
    /// What for.
    pub name: &'static str,
    /// Wanted depth.
    pub wanted_mm: f64,
    /// Depth there is, up to the wanted one.
    pub there_mm: f64,
    /// True when nobody stated the wanted depth.
    pub assumed: bool,
    /// Corners on the plan.
    pub outline: [[f64; 2]; 4],
}

/// Does it stand there?
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Stands {
    /// Its footprint is free in a spot.
    Yes,
    /// No spot takes it.
    No,
    /// Too tight to say.
    #[default]
    CannotSay,
}

/// The best place.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Place {
    /// Verdict on the bare footprint.
    pub stands: Stands,
    /// Spot.
    pub spot: String,
    /// Middle of the machine and the direction of its length, front to the right of it.
    pub pose: Option<[f64; 3]>,
    /// Corners of the footprint, front left first, then front right.
    pub footprint: Vec<[f64; 2]>,
    /// Room round it.
    pub spaces: Vec<Space>,
    /// Height left above it.
    pub above_mm: Option<f64>,
    /// Height wanted above it.
    pub above_wanted_mm: f64,
    /// Height stated above it to lift the spindle or its motor out.
    pub spindle_wanted_mm: Option<f64>,
    /// What must be asked, since at this place it would matter.
    pub ask: Vec<PlaceAsk>,
    /// Remarks.
    pub remarks: Vec<String>,
    /// The side with least room where chips may leave, and that room, where a cart does not pass.
    #[serde(skip)]
    pub chips_tight: Option<(&'static str, Length)>,
}

impl Place {
    /// The same with remarks and questions in a reader's units.
    pub fn told_in(mut self, system: System) -> Self {
        self.remarks = texts::standing_remarks(&self, system);
        for ask in &mut self.ask {
            ask.question = texts::place_question(ask, system);
        }
        self
    }
}

/// A question about the machine that its place turns on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlaceAsk {
    /// Which clearance ("chip_side").
    pub what: &'static str,
    /// The question.
    pub question: String,
    /// Room there is: what is asked for must be no more.
    pub there_mm: f64,
    /// At which side that is.
    #[serde(skip)]
    pub side: &'static str,
}

/// Finds the best place.
pub fn stand(plan: &Plan, machine: &Footprint, watch: Watch<'_>) -> Result<Place, Cancelled> {
    let (length, width) = (machine.length.to_mm(), machine.width.to_mm());
    let body = Body::load(length, width);
    let around = solids(plan, &Burden::default());
    let mut forbidden = around.segments.clone();
    let mut outlines = around.outlines.clone();
    for area in &plan.keep_clear {
        forbidden.extend(edges(&area.outline, 0));
        outlines.push(area.outline.clone());
    }
    let sides = sides(machine);
    let mut best: Option<(f64, Pose, usize)> = None;
    for (number, spot) in plan.spots.iter().enumerate() {
        watch.check()?;
        let planes = half_planes(&spot.outline);
        let min = spot
            .outline
            .iter()
            .copied()
            .reduce(DVec2::min)
            .unwrap_or_default();
        let max = spot
            .outline
            .iter()
            .copied()
            .reduce(DVec2::max)
            .unwrap_or_default();
        let score = |pose: Pose| -> Option<f64> {
            let turn = DVec2::from_angle(pose.heading_rad);
            let inside = body.footprint.corners().iter().all(|c| {
                let p = pose.at + turn.rotate(*c);
                planes.iter().all(|h| h.normal.dot(p) <= h.limit + 1e-6)
            });
            let free = inside
                && body.room(pose, &forbidden).0 >= -1e-6
                && !outlines.iter().any(|o| contains(o, pose.at));
            free.then(|| {
                let there: Vec<f64> = sides
                    .iter()
                    .map(|s| depth_there(s, pose, length, width, &around))
                    .collect();
                let short: f64 = sides
                    .iter()
                    .zip(&there)
                    .map(|(s, there)| (s.depth_mm - there).powi(2))
                    .sum();
                let spare = body.room(pose, &forbidden).0.min(2000.0);
                short - 1e-3 * spare
            })
        };
        for heading in headings(&spot.outline) {
            for j in 0..=ACROSS {
                for i in 0..=ACROSS {
                    let share = DVec2::new(i as f64, j as f64) / ACROSS as f64;
                    let pose = Pose {
                        at: min + share * (max - min),
                        heading_rad: heading,
                    };
                    if let Some(cost) = score(pose)
                        && best.is_none_or(|(least, _, _)| cost < least - 1e-9)
                    {
                        best = Some((cost, pose, number));
                    }
                }
            }
        }
        // The corners, where a machine that only just fits goes, and closer round the best.
        let mut step = (max - min) / ACROSS as f64;
        for _ in 0..CLOSER {
            let Some((_, about, at)) = best.filter(|b| b.2 == number) else {
                break;
            };
            for (dx, dy) in (-2..=2).flat_map(|y| (-2..=2).map(move |x| (x, y))) {
                let shift = 0.5 * step * DVec2::new(f64::from(dx), f64::from(dy));
                let pose = Pose {
                    at: about.at + shift,
                    ..about
                };
                if let Some(cost) = score(pose)
                    && best.is_none_or(|(least, _, _)| cost < least - 1e-9)
                {
                    best = Some((cost, pose, at));
                }
            }
            step *= 0.5;
        }
    }
    let Some((_, pose, number)) = best else {
        let mut place = wanted_above(machine);
        place.stands = if possible(plan, &body, &forbidden, watch)? {
            Stands::CannotSay
        } else {
            Stands::No
        };
        return Ok(place);
    };
    let spot = &plan.spots[number].name;
    Ok(described(plan, machine, pose, spot, &around))
}

/// A place as it is told: the room round it among what is solid, and above it.
fn described(plan: &Plan, machine: &Footprint, pose: Pose, spot: &str, around: &Solids) -> Place {
    let (length, width) = (machine.length.to_mm(), machine.width.to_mm());
    let body = Body::load(length, width);
    let turn = DVec2::from_angle(pose.heading_rad);
    let [back_right, back_left, front_left, front_right] = body
        .footprint
        .corners()
        .map(|c| (pose.at + turn.rotate(c)).to_array());
    let mut place = Place {
        stands: Stands::Yes,
        spot: spot.to_owned(),
        pose: Some([
            pose.at.x,
            pose.at.y,
            pose.heading_rad.to_degrees().rem_euclid(360.0),
        ]),
        footprint: vec![front_left, front_right, back_right, back_left],
        ..wanted_above(machine)
    };
    for side in &sides(machine) {
        let there_mm = depth_there(side, pose, length, width, around);
        place.spaces.push(Space {
            name: side.name,
            wanted_mm: side.depth_mm,
            there_mm,
            assumed: side.assumed,
            outline: strip(side, length, width).map(|c| (pose.at + turn.rotate(c)).to_array()),
        });
    }
    if let Some(height) = machine.height {
        place.above_mm = height_over(plan, &body, pose).map(|c| c - height.to_mm());
        if place.above_mm.is_some_and(|left| left < 0.0) {
            place.stands = Stands::No;
        }
    }
    ask_open(machine, pose, around, &mut place);
    place.told_in(System::Metric)
}

fn wanted_above(machine: &Footprint) -> Place {
    Place {
        above_wanted_mm: machine.clearances.above.map_or(ABOVE_MM, Length::to_mm),
        spindle_wanted_mm: machine.clearances.spindle.map(Length::to_mm),
        ..Place::default()
    }
}

/// Height free over a body; `None` where nobody measured.
fn height_over(plan: &Plan, body: &Body, pose: Pose) -> Option<f64> {
    let mut clear = plan.ceiling.map(Length::to_mm);
    for area in &plan.overhead {
        let rim: Vec<Segment> = edges(&area.outline, 0).collect();
        if body.room(pose, &rim).0 < 0.0 || contains(&area.outline, pose.at) {
            clear = Some(clear.map_or(area.height.to_mm(), |c| c.min(area.height.to_mm())));
        }
    }
    clear
}

/// Along the edges of the spot and square to them, each with its front to either side.
fn headings(outline: &[DVec2]) -> Vec<f64> {
    let mut out: Vec<f64> = Vec::new();
    for (n, p) in outline.iter().enumerate() {
        let along = outline[(n + 1) % outline.len()] - *p;
        for quarter in 0..4 {
            let heading = (along.to_angle() + f64::from(quarter) * std::f64::consts::FRAC_PI_2)
                .rem_euclid(std::f64::consts::TAU);
            if out.iter().all(|h| (h - heading).abs() > 1e-6) {
                out.push(heading);
            }
        }
    }
    out
}

/// False when no pose at all can stand in any spot.
fn possible(
    plan: &Plan,
    body: &Body,
    forbidden: &[Segment],
    watch: Watch<'_>,
) -> Result<bool, Cancelled> {
    for spot in &plan.spots {
        let min = spot
            .outline
            .iter()
            .copied()
            .reduce(DVec2::min)
            .unwrap_or_default();
        let max = spot
            .outline
            .iter()
            .copied()
            .reduce(DVec2::max)
            .unwrap_or_default();
        let cell_mm = PROOF_MM.max((max - min).max_element() / 400.0);
        let turns = (body.period() * body.radius() / cell_mm).ceil().max(4.0) as usize;
        let lattice = Lattice::new(min, max, body.period(), cell_mm, turns.min(2000));
        let sure = lattice.blocked(body, forbidden, Bound::Inner, watch)?;
        let mut some = vec![0; sure.len()];
        lattice.may_lie_in(&body.footprint, &half_planes(&spot.outline), &mut some);
        if some.iter().zip(&sure).any(|(s, b)| s & !b != 0) {
            return Ok(true);
        }
    }
    Ok(false)
}
