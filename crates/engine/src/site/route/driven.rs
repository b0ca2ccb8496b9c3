//! A way for a carrier that neither goes back and forth nor slides sideways: arcs no tighter than it
//! steers and straight pieces, driven forward or backward throughout. States on a lattice of headings
//! (hybrid A*, Dolgov and others 2008; from memory); every arc is checked as a motion. A way found
//! stands; none found says nothing, since steps between those looked at may lead in.

use super::guide::{Guide, TURN_SHARE};
use super::lattice::Bound;
use super::motion::clear;
use super::planner::{Fineness, Floor, body_for_no, lattices};
use super::shape::{Body, Pose, Segment};
use glam::DVec2;
use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashSet};
use units::{Cancelled, Watch};

/// How a carrier drives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drive {
    /// Direction it drives in, in the load's frame.
    pub along: DVec2,
    /// Smallest radius of the load's centre; zero turns on the spot.
    pub radius_mm: f64,
}

/// Wanted length of the shortest arc; headings are cut accordingly.
const ARC_MM: f64 = 90.0;
/// Fewest and most headings of a turn.
const HEADINGS: [f64; 2] = [72.0, 360.0];
/// States looked at, forward and backward each: about a second on the demo's plan.
const MOST_STATES: usize = 40_000;
/// How much the guide counts: more is faster and longer.
const GREED: f64 = 1.5;
/// How far an arc may bulge beside the straight piece it is checked as.
const BULGE_MM: f64 = 0.5;

/// The steps of a search.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Steps {
    /// Length of a straight one.
    pub straight_mm: f64,
    /// Turn of one arc.
    pub turn_rad: f64,
}

/// The steps used for a radius.
pub fn steps(radius_mm: f64) -> Steps {
    // Whole quarter turns, for plans are mostly square.
    let quarter = std::f64::consts::FRAC_PI_2 * radius_mm / ARC_MM;
    let headings = (4.0 * quarter.round()).clamp(HEADINGS[0], HEADINGS[1]);
    let turn_rad = std::f64::consts::TAU / headings;
    Steps {
        straight_mm: (radius_mm * turn_rad).max(0.5 * ARC_MM),
        turn_rad,
    }
}

/// Straight, or turning by one step of heading over a length.
#[derive(Clone, Copy)]
struct Move {
    length_mm: f64,
    turns: i32,
}

struct State {
    at: DVec2,
    turn: i32,
    cost: f64,
    from: Option<(usize, Move)>,
}

/// Looks for such a way.
pub fn driven(
    floor: &Floor,
    body: &Body,
    drive: &Drive,
    fineness: Fineness,
    watch: Watch<'_>,
) -> Result<Option<Vec<Pose>>, Cancelled> {
    let all = lattices(floor, body, fineness);
    let Some(coarsest) = all.first().copied() else {
        return Ok(None);
    };
    let sure_body = body_for_no(body, all.last());
    let sure = coarsest.blocked(&sure_body, &floor.things, Bound::Inner, watch)?;
    let mut ends = vec![0; sure.len()];
    for zone in &floor.zones {
        coarsest.may_lie_in(&body.footprint, zone, &mut ends);
    }
    let [nx, ny, nk] = coarsest.count;
    let cells = (0..nk).flat_map(|k| (0..ny).flat_map(move |j| (0..nx).map(move |i| [i, j, k])));
    let ends: Vec<[usize; 3]> = cells
        .filter(|c| coarsest.get(&ends, *c) && !coarsest.get(&sure, *c))
        .collect();
    let guide = Guide::new(coarsest, &sure, &ends, &[], body.radius(), watch)?;
    for gear in [1.0, -1.0] {
        let search = Search {
            floor,
            body,
            drive,
            steps: steps(drive.radius_mm),
            gear,
            guide: &guide,
        };
        if let Some(way) = search.run(watch)? {
            return Ok(Some(way));
        }
    }
    Ok(None)
}

struct Search<'a> {
    floor: &'a Floor,
    body: &'a Body,
    drive: &'a Drive,
    steps: Steps,
    gear: f64,
    guide: &'a Guide,
}

impl Search<'_> {
    fn heading(&self, turn: i32) -> f64 {
        self.floor.start_heading_rad.unwrap_or(0.0) + f64::from(turn) * self.steps.turn_rad
    }

    fn pose(&self, state: &State) -> Pose {
        Pose {
            at: state.at,
            heading_rad: self.heading(state.turn),
        }
    }

    fn moves(&self) -> Vec<Move> {
        let arc = self.drive.radius_mm * self.steps.turn_rad;
        let turning = |length_mm: f64| [-1, 1].map(|turns| Move { length_mm, turns });
        let straight = Move {
            length_mm: self.steps.straight_mm,
            turns: 0,
        };
        // A gentler arc after the tightest; on the spot and along the smallest arc where it may.
        let gentler = if arc > 0.0 {
            2.0 * arc
        } else {
            self.steps.straight_mm
        };
        std::iter::once(straight)
            .chain(turning(arc))
            .chain(turning(gentler))
            .collect()
    }

    /// The poses of a move after its first, near enough for straight pieces between them.
    fn trace(&self, from: Pose, step: Move) -> Vec<Pose> {
        let turn = f64::from(step.turns) * self.steps.turn_rad;
        if step.length_mm == 0.0 {
            return vec![Pose {
                heading_rad: from.heading_rad + turn,
                ..from
            }];
        }
        let radius = (step.turns != 0).then(|| step.length_mm / turn.abs());
        let longest = radius.map_or(f64::INFINITY, |r| (8.0 * r * BULGE_MM).sqrt());
        let pieces = (step.length_mm / longest).ceil().max(1.0);
        let along = self.gear * step.length_mm;
        (1..=pieces as usize)
            .map(|n| {
                let share = n as f64 / pieces;
                let turned = share * turn;
                // Along a circle the way so far is a chord, half the turn off the first heading.
                let chord = if step.turns == 0 {
                    share * along
                } else {
                    2.0 * along / turn * (0.5 * turned).sin()
                };
                let toward = DVec2::from_angle(from.heading_rad + 0.5 * turned);
                Pose {
                    at: from.at + chord * toward.rotate(self.drive.along),
                    heading_rad: from.heading_rad + turned,
                }
            })
            .collect()
    }

    fn lies_in_zone(&self, pose: Pose) -> bool {
        let turn = DVec2::from_angle(pose.heading_rad);
        let corners = self.body.footprint.corners();
        self.floor.zones.iter().any(|zone| {
            corners.iter().all(|c| {
                let p = pose.at + turn.rotate(*c);
                zone.iter().all(|plane| plane.normal.dot(p) <= plane.limit)
            })
        })
    }

    /// Things within reach of every move from a pose.
    fn around(&self, at: DVec2, reach_mm: f64) -> Vec<Segment> {
        let near = |s: &&Segment| {
            let along = s.to - s.from;
            let t = (at - s.from).dot(along) / along.length_squared();
            let t = if t.is_finite() {
                t.clamp(0.0, 1.0)
            } else {
                0.0
            };
            at.distance(s.from + t * along) <= reach_mm
        };
        self.floor.things.iter().filter(near).copied().collect()
    }

    fn run(&self, watch: Watch<'_>) -> Result<Option<Vec<Pose>>, Cancelled> {
        let headings = (std::f64::consts::TAU / self.steps.turn_rad).round() as i32;
        let moves = self.moves();
        let grown = self.body.grown(BULGE_MM);
        let longest = moves.iter().map(|m| m.length_mm).fold(0.0, f64::max);
        let reach = grown.radius() + longest;
        let bin = 0.5 * self.steps.straight_mm;
        let key = |s: &State| {
            let cell = (s.at / bin).floor();
            (cell.x as i64, cell.y as i64, s.turn.rem_euclid(headings))
        };
        let turns = match self.floor.start_heading_rad {
            Some(_) => 0..1,
            None => 0..headings,
        };
        let mut states: Vec<State> = Vec::new();
        let mut open = BinaryHeap::new();
        let whole = |mm: f64| (10.0 * mm) as u64;
        for turn in turns {
            let state = State {
                at: self.floor.start,
                turn,
                cost: 0.0,
                from: None,
            };
            let pose = self.pose(&state);
            if grown.room(pose, &self.floor.things).0 <= 0.0 {
                continue;
            }
            if let Some(rest) = self.guide.rest_at(pose) {
                open.push(Reverse((whole(GREED * rest), states.len())));
                states.push(state);
            }
        }
        let mut closed = HashSet::new();
        let mut looked = 0;
        while let Some(Reverse((_, number))) = open.pop() {
            if !closed.insert(key(&states[number])) {
                continue;
            }
            looked += 1;
            if looked > MOST_STATES {
                return Ok(None);
            }
            if looked % 512 == 0 {
                watch.check()?;
            }
            let pose = self.pose(&states[number]);
            if self.lies_in_zone(pose) {
                return Ok(Some(self.traced(&states, number)));
            }
            let things = self.around(pose.at, reach);
            for step in &moves {
                let trace = self.trace(pose, *step);
                let Some(last) = trace.last() else { continue };
                let next = State {
                    at: last.at,
                    turn: states[number].turn + step.turns,
                    cost: states[number].cost
                        + step.length_mm
                        + f64::from(step.turns.abs())
                            * TURN_SHARE
                            * self.body.radius()
                            * self.steps.turn_rad,
                    from: Some((number, *step)),
                };
                if closed.contains(&key(&next)) {
                    continue;
                }
                let Some(rest) = self.guide.rest_at(self.pose(&next)) else {
                    continue;
                };
                let mut before = pose;
                let free = trace.iter().all(|after| {
                    let free = clear(&grown, before, *after, &things);
                    before = *after;
                    free
                });
                if free {
                    open.push(Reverse((whole(next.cost + GREED * rest), states.len())));
                    states.push(next);
                }
            }
        }
        Ok(None)
    }

    fn traced(&self, states: &[State], mut number: usize) -> Vec<Pose> {
        let mut moves = Vec::new();
        while let Some((before, step)) = states[number].from {
            moves.push(step);
            number = before;
        }
        let mut way = vec![self.pose(&states[number])];
        for step in moves.iter().rev() {
            let from = way[way.len() - 1];
            way.extend(self.trace(from, *step));
        }
        way
    }
}
