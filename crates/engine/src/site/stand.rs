//! The best place for the machine within the spots of a plan: its footprint free, and as much of
//! the room round it as service, operator and electrician want.

use super::route::{
    Body, Bound, Burden, Lattice, Pose, Segment, Solids, contains, edges, half_planes, solids,
};
use super::texts;
use crate::entered::{ChipSide, Clearances, Plan};
use glam::DVec2;
use serde::Serialize;
use units::{Cancelled, Length, Voltage, Watch};

/// In front: door, operator and a cart. Common practice, no source.
const FRONT_MM: f64 = 1000.0;
/// At the sides and behind, for service. Common practice, no source.
const SIDE_MM: f64 = 600.0;
/// Above, to take a spindle or a cover off. Common practice, no source.
const ABOVE_MM: f64 = 300.0;
/// Where chips leave: a pan drawn out and a shovel, a cart or a conveyor's end wheeled away, a conveyor
/// pulled out whole. Common practice, no source.
const CHIPS_MM: [f64; 3] = [400.0, 900.0, 1800.0];
/// Above, for the spindle, where nobody stated it: one that comes out downward wants the room for a
/// cover only. Common practice, no source.
const SPINDLE_MM: f64 = 100.0;
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
}

struct Side {
    name: &'static str,
    /// Outward direction in the machine's frame.
    out: DVec2,
    depth_mm: f64,
    least_width_mm: f64,
    assumed: bool,
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
    let mut place = Place {
        above_wanted_mm: machine.clearances.above.map_or(ABOVE_MM, Length::to_mm),
        spindle_wanted_mm: machine.clearances.spindle.map(Length::to_mm),
        ..Place::default()
    };
    let Some((_, pose, number)) = best else {
        place.stands = if possible(plan, &body, &forbidden, watch)? {
            Stands::CannotSay
        } else {
            Stands::No
        };
        return Ok(place);
    };
    place.stands = Stands::Yes;
    place.spot = plan.spots[number].name.clone();
    place.pose = Some([
        pose.at.x,
        pose.at.y,
        pose.heading_rad.to_degrees().rem_euclid(360.0),
    ]);
    let turn = DVec2::from_angle(pose.heading_rad);
    let [back_right, back_left, front_left, front_right] = body
        .footprint
        .corners()
        .map(|c| (pose.at + turn.rotate(c)).to_array());
    place.footprint = vec![front_left, front_right, back_right, back_left];
    for side in &sides {
        let there_mm = depth_there(side, pose, length, width, &around);
        place.spaces.push(Space {
            name: side.name,
            wanted_mm: side.depth_mm,
            there_mm,
            assumed: side.assumed,
            outline: strip(side, length, width).map(|c| (pose.at + turn.rotate(c)).to_array()),
        });
    }
    if let Some(height) = machine.height {
        let mut clear = plan.ceiling.map(Length::to_mm);
        for area in &plan.overhead {
            let rim: Vec<Segment> = edges(&area.outline, 0).collect();
            if body.room(pose, &rim).0 < 0.0 || contains(&area.outline, pose.at) {
                clear = Some(clear.map_or(area.height.to_mm(), |c| c.min(area.height.to_mm())));
            }
        }
        place.above_mm = clear.map(|c| c - height.to_mm());
        if place.above_mm.is_some_and(|left| left < 0.0) {
            place.stands = Stands::No;
        }
    }
    place.remarks = texts::standing_remarks(&place);
    ask_open(machine, pose, &around, &mut place);
    Ok(place)
}

/// What nobody stated of chips and spindle is asked where the least that is usual is not there; where
/// only the usual is short, a remark says so.
fn ask_open(machine: &Footprint, pose: Pose, around: &Solids, place: &mut Place) {
    let (length, width) = (machine.length.to_mm(), machine.width.to_mm());
    if machine.clearances.chip_side.is_none() {
        let [least, usual, most] = CHIPS_MM;
        let tightest = [
            ("left side", (-1.0, 0.0)),
            ("right side", (1.0, 0.0)),
            ("back", (0.0, 1.0)),
        ]
        .map(|(name, out)| {
            let side = Side {
                name,
                out: out.into(),
                depth_mm: machine.clearances.chips.map_or(most, Length::to_mm),
                least_width_mm: 0.0,
                assumed: true,
            };
            (name, depth_there(&side, pose, length, width, around))
        })
        .into_iter()
        .min_by(|a, b| a.1.total_cmp(&b.1));
        let least = machine.clearances.chips.map_or(least, Length::to_mm);
        if let Some((side, there_mm)) = tightest {
            if there_mm < least {
                place.ask.push(PlaceAsk {
                    what: "chip_side",
                    question: texts::ask_chip_side(side, there_mm),
                    there_mm,
                });
            } else if there_mm < usual {
                place.remarks.push(texts::chips_tight(side, there_mm));
            }
        }
    }
    if machine.clearances.spindle.is_none()
        && let Some(above) = place.above_mm.filter(|above| *above < SPINDLE_MM)
    {
        place.ask.push(PlaceAsk {
            what: "spindle",
            question: texts::ask_spindle(above),
            there_mm: above,
        });
    }
}

fn sides(machine: &Footprint) -> Vec<Side> {
    let c = &machine.clearances;
    let side = |name, out: (f64, f64), stated: Option<Length>, usual| Side {
        name,
        out: out.into(),
        depth_mm: stated.map_or(usual, Length::to_mm),
        least_width_mm: 0.0,
        assumed: stated.is_none(),
    };
    let mut sides = vec![
        side("front", (0.0, -1.0), c.front, FRONT_MM),
        side("back", (0.0, 1.0), c.back, SIDE_MM),
        side("left", (-1.0, 0.0), c.left, SIDE_MM),
        side("right", (1.0, 0.0), c.right, SIDE_MM),
        // Where the cabinet is, only the drawing tells; most have it behind.
        Side {
            name: "electrical",
            out: DVec2::Y,
            depth_mm: working_space(machine.to_ground).to_mm(),
            least_width_mm: WORKING_WIDTH.to_mm(),
            assumed: true,
        },
    ];
    // Doors that slide within the footprint need none, and the side of the chips differs from
    // machine to machine: both only where stated.
    if c.doors.is_some() {
        sides.push(side("open doors", (0.0, -1.0), c.doors, 0.0));
    }
    if let Some(at) = c.chip_side {
        let out = match at {
            ChipSide::Front => (0.0, -1.0),
            ChipSide::Back => (0.0, 1.0),
            ChipSide::Left => (-1.0, 0.0),
            ChipSide::Right => (1.0, 0.0),
        };
        sides.push(side("chips", out, c.chips, CHIPS_MM[1]));
    }
    sides
}

/// Corners of the space at a side, in the machine's frame.
fn strip(side: &Side, length: f64, width: f64) -> [DVec2; 4] {
    let along = side.out.perp();
    let (reach, across) = if side.out.x == 0.0 {
        (width, length)
    } else {
        (length, width)
    };
    let across = match side.least_width_mm {
        least if least > 0.0 => across.min(least.max(762.0)),
        _ => across,
    };
    let (near, far) = (0.5 * reach, 0.5 * reach + side.depth_mm);
    [
        near * side.out - 0.5 * across * along,
        near * side.out + 0.5 * across * along,
        far * side.out + 0.5 * across * along,
        far * side.out - 0.5 * across * along,
    ]
}

/// Depth free of anything solid at a side, up to the wanted one.
fn depth_there(side: &Side, pose: Pose, length: f64, width: f64, solids: &Solids) -> f64 {
    let corners = strip(side, length, width);
    let along = side.out.perp();
    let near = corners[0].dot(side.out);
    let half = 0.5 * (corners[1] - corners[0]).length();
    let turn = DVec2::from_angle(-pose.heading_rad);
    let mut there = side.depth_mm;
    for segment in &solids.segments {
        let [from, to] = [segment.from, segment.to].map(|p| {
            let p = turn.rotate(p - pose.at);
            DVec2::new(p.dot(along), p.dot(side.out) - near)
        });
        // The piece beside the machine, clipped to the strip's width.
        let Some((a, b)) = clip(from, to, half - 1e-6) else {
            continue;
        };
        let nearest = a.y.min(b.y);
        let farthest = a.y.max(b.y);
        if farthest >= 0.0 {
            there = there.min(nearest.max(0.0));
        }
    }
    there
}

/// The part of a segment with |x| at most `half`.
fn clip(from: DVec2, to: DVec2, half: f64) -> Option<(DVec2, DVec2)> {
    let d = to - from;
    let (mut t0, mut t1) = (0.0_f64, 1.0_f64);
    for (offset, slope) in [(from.x + half, d.x), (half - from.x, -d.x)] {
        if slope == 0.0 {
            if offset < 0.0 {
                return None;
            }
        } else {
            let t = -offset / slope;
            if slope > 0.0 {
                t0 = t0.max(t);
            } else {
                t1 = t1.min(t);
            }
        }
    }
    (t0 <= t1).then(|| (from.lerp(to, t0), from.lerp(to, t1)))
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
