//! Places for several machines at once within the spots of a plan.
//!
//! Each machine has a list of poses that depends on the plan and on it alone; places for a set are
//! poses of these lists that go together, two by two. So a set for which places are found has places
//! for every part of it.

use super::super::route::{
    Body, Burden, Pose, Segment, Solids, contains, doubled_area, edges, half_planes, solids,
};
use super::room::{depth_there, sides, strip};
use super::{Footprint, Place, described, headings, height_over};
use crate::entered::Plan;
use glam::DVec2;
use units::{Cancelled, Length, Watch};

/// Poses looked at for one machine, all spots and directions together: enough for steps of a tenth
/// of a metre in a small shop, few enough that all pairs take well under a second.
const POSES: usize = 1600;

/// Pairs looked at for three machines and more; with two all are.
const PAIRS: usize = 20_000_000;

/// Rounding of plans, and what counts as room that is there.
const SLACK_MM: f64 = 1.0;

/// Whether several machines find places.
#[derive(Clone, Debug, PartialEq)]
pub enum Several {
    /// With all the room each wants round it, the cabinet's working space apart where walls take it.
    Stand(Vec<Place>),
    /// Their footprints do, without all of that room.
    Tight(Vec<Place>),
    /// No places were found.
    NotFound,
    /// They cover more ground than all spots have: wanted and there, in square millimetres.
    TooLarge([f64; 2]),
}

/// One pose of a machine.
struct Standing {
    pose: Pose,
    spot: usize,
    /// Squares of the room that is short because of the plan.
    cost: f64,
    /// Nothing is short but what is assumed for a cabinet.
    full: bool,
    footprint: [DVec2; 4],
    /// The room it wants, to be kept free of the others, each with its depth.
    strips: Vec<([DVec2; 4], f64)>,
}

/// Finds the best places.
pub fn several(
    plan: &Plan,
    machines: &[Footprint],
    watch: Watch<'_>,
) -> Result<Several, Cancelled> {
    let covered: f64 = machines
        .iter()
        .map(|m| m.length.to_mm() * m.width.to_mm())
        .sum();
    let ground: f64 = plan
        .spots
        .iter()
        .map(|s| 0.5 * doubled_area(&s.outline).abs())
        .sum();
    if covered > ground * (1.0 + 1e-9) {
        return Ok(Several::TooLarge([covered, ground]));
    }
    let around = solids(plan, &Burden::default());
    let lists = machines
        .iter()
        .map(|machine| standings(plan, &around, machine, watch))
        .collect::<Result<Vec<_>, Cancelled>>()?;
    for full in [true, false] {
        let mut search = Search {
            lists: &lists,
            full,
            pairs: 0,
            best: None,
        };
        search.extend(&mut Vec::new(), 0.0, watch)?;
        let Some((_, chosen)) = search.best else {
            continue;
        };
        let places = (0..machines.len())
            .map(|at| {
                let own = &lists[at][chosen[at]];
                let mut with_others = around.clone();
                for other in (0..machines.len()).filter(|other| *other != at) {
                    let outline = &lists[other][chosen[other]].footprint;
                    with_others.segments.extend(edges(outline, 0));
                }
                let spot = &plan.spots[own.spot].name;
                described(plan, &machines[at], own.pose, spot, &with_others)
            })
            .collect();
        return Ok(if full {
            Several::Stand(places)
        } else {
            Several::Tight(places)
        });
    }
    Ok(Several::NotFound)
}

/// Every pose of a machine that is free, the best first.
fn standings(
    plan: &Plan,
    around: &Solids,
    machine: &Footprint,
    watch: Watch<'_>,
) -> Result<Vec<Standing>, Cancelled> {
    let (length, width) = (machine.length.to_mm(), machine.width.to_mm());
    let body = Body::load(length, width);
    let mut forbidden: Vec<Segment> = around.segments.clone();
    let mut outlines = around.outlines.clone();
    for area in &plan.keep_clear {
        forbidden.extend(edges(&area.outline, 0));
        outlines.push(area.outline.clone());
    }
    let wanted = sides(machine);
    let turned: Vec<Vec<f64>> = plan.spots.iter().map(|s| headings(&s.outline)).collect();
    let directions: usize = turned.iter().map(Vec::len).sum();
    let across = ((POSES as f64 / directions.max(1) as f64).sqrt() as usize).max(4) - 1;
    let mut list = Vec::new();
    for (number, (spot, headings)) in plan.spots.iter().zip(&turned).enumerate() {
        watch.check()?;
        let planes = half_planes(&spot.outline);
        let ends = |of: fn(DVec2, DVec2) -> DVec2| spot.outline.iter().copied().reduce(of);
        let (Some(min), Some(max)) = (ends(DVec2::min), ends(DVec2::max)) else {
            continue;
        };
        for heading_rad in headings.iter().copied() {
            let turn = DVec2::from_angle(heading_rad);
            // From edge to edge of the spot, so that what just fits is looked at.
            let half = body
                .footprint
                .corners()
                .map(|c| turn.rotate(c))
                .into_iter()
                .reduce(DVec2::max)
                .unwrap_or_default();
            let (low, high) = (min + half, max - half);
            if (high - low).min_element() < -1e-6 {
                continue;
            }
            for (i, j) in (0..=across).flat_map(|j| (0..=across).map(move |i| (i, j))) {
                let share = DVec2::new(i as f64, j as f64) / across as f64;
                let pose = Pose {
                    at: low + share * (high - low),
                    heading_rad,
                };
                let placed = |corner: DVec2| pose.at + turn.rotate(corner);
                let footprint = body.footprint.corners().map(placed);
                let inside = footprint
                    .iter()
                    .all(|p| planes.iter().all(|h| h.normal.dot(*p) <= h.limit + 1e-6));
                let free = inside
                    && body.room(pose, &forbidden).0 >= -1e-6
                    && !outlines.iter().any(|o| contains(o, pose.at))
                    && machine.height.is_none_or(|height| {
                        height_over(plan, &body, pose)
                            .is_none_or(|clear| clear >= height.to_mm() - 1e-6)
                    });
                if !free {
                    continue;
                }
                let mut standing = Standing {
                    pose,
                    spot: number,
                    cost: 0.0,
                    full: true,
                    footprint,
                    strips: Vec::new(),
                };
                for side in &wanted {
                    let there = depth_there(side, pose, length, width, around);
                    let short = side.depth_mm - there;
                    standing.cost += short * short;
                    standing.full &= short <= SLACK_MM || side.name == "electrical";
                    let outline = strip(side, length, width).map(placed);
                    standing.strips.push((outline, side.depth_mm));
                }
                list.push(standing);
            }
        }
    }
    list.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    Ok(list)
}

/// The cheapest poses that go together.
struct Search<'a> {
    lists: &'a [Vec<Standing>],
    full: bool,
    pairs: usize,
    best: Option<(f64, Vec<usize>)>,
}

impl Search<'_> {
    fn extend(
        &mut self,
        chosen: &mut Vec<usize>,
        cost: f64,
        watch: Watch<'_>,
    ) -> Result<(), Cancelled> {
        let lists = self.lists;
        let Some(list) = lists.get(chosen.len()) else {
            if self.best.as_ref().is_none_or(|(least, _)| cost < *least) {
                self.best = Some((cost, chosen.clone()));
            }
            return Ok(());
        };
        watch.check()?;
        for (at, standing) in list.iter().enumerate() {
            let so_far = cost + standing.cost;
            // The list is in the order of the costs.
            if self
                .best
                .as_ref()
                .is_some_and(|(least, _)| so_far >= *least)
            {
                break;
            }
            if self.full && !standing.full {
                continue;
            }
            let mut with = Some(so_far);
            for (other, place) in chosen.iter().enumerate() {
                self.pairs += 1;
                let more = go_together(standing, &lists[other][*place], self.full);
                with = with.zip(more).map(|(sum, more)| sum + more);
            }
            if lists.len() > 2 && self.pairs > PAIRS {
                break;
            }
            if let Some(sum) = with {
                chosen.push(at);
                self.extend(chosen, sum, watch)?;
                chosen.pop();
            }
        }
        Ok(())
    }
}

/// What two poses cost each other; `None` where they do not go together.
fn go_together(a: &Standing, b: &Standing, full: bool) -> Option<f64> {
    if overlap(&a.footprint, &b.footprint) {
        return None;
    }
    let taken = [(a, b), (b, a)].into_iter().flat_map(|(own, other)| {
        let strips = own.strips.iter();
        strips
            .filter(|(strip, depth)| *depth > 0.0 && overlap(strip, &other.footprint))
            .map(|(_, depth)| depth * depth)
    });
    let cost: f64 = taken.sum();
    (!full || cost == 0.0).then_some(cost)
}

/// True when two rectangles share more than an edge: no side of either parts them (separating axes).
fn overlap(a: &[DVec2; 4], b: &[DVec2; 4]) -> bool {
    let span = |of: &[DVec2; 4], axis: DVec2| {
        let along = of.map(|p| p.dot(axis));
        let least = along.into_iter().fold(f64::INFINITY, f64::min);
        let most = along.into_iter().fold(f64::NEG_INFINITY, f64::max);
        (least, most)
    };
    [a, b].into_iter().all(|of| {
        [of[1] - of[0], of[2] - of[1]].into_iter().all(|axis| {
            let axis = axis.normalize_or_zero();
            let ((a_low, a_high), (b_low, b_high)) = (span(a, axis), span(b, axis));
            a_high.min(b_high) - a_low.max(b_low) > 1e-6
        })
    })
}

impl Several {
    /// Steps in which places were looked for are at most this share of a spot's longer side.
    pub fn step(plan: &Plan) -> Length {
        let directions: usize = plan.spots.iter().map(|s| headings(&s.outline).len()).sum();
        let across = ((POSES as f64 / directions.max(1) as f64).sqrt() as usize).max(4) - 1;
        let longest = plan.spots.iter().filter_map(|spot| {
            let min = spot.outline.iter().copied().reduce(DVec2::min)?;
            let max = spot.outline.iter().copied().reduce(DVec2::max)?;
            Some((max - min).max_element())
        });
        Length::mm(longest.fold(0.0, f64::max) / across as f64)
    }
}
