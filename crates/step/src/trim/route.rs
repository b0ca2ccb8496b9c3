//! Opening a face along a chain of links from boundary to boundary, where no straight cut between
//! two rings is free or a surface closed in both directions has nothing but holes.
//!
//! 1. All boundaries, with their copies one period on and back, are triangulated; inner edges that
//!    join two different ones are links, and cross nothing.
//! 2. A spanning tree of shortest links joins the boundaries. Between two rings its path is all
//!    that is needed; on a torus, two more links that close loops about both periods.
//! 3. Following links and boundaries with the face on the left gives one polygon that encloses
//!    everything else.

use super::unroll::{NEW, Node, Path, Run};
use crate::surfaces::chart::Chart;
use glam::{DVec2, I64Vec2};
use spade::{ConstrainedDelaunayTriangulation, HasPosition, Point2, Triangulation};
use std::collections::{BTreeMap, BTreeSet};

/// A corner of a boundary: which boundary, and which of its corners.
type Place = (usize, usize);

/// A straight way from one boundary to another, or to a copy of itself.
#[derive(Clone, Copy, Debug)]
struct Link {
    from: Place,
    to: Place,
    /// Whole periods by which the far boundary is moved.
    turns: I64Vec2,
    length: f64,
}

/// What is needed to open a face.
pub(super) struct Router<'a> {
    pub chart: &'a Chart,
    pub metric: DVec2,
    pub steps: DVec2,
    /// Boundaries with the face on their left.
    pub boundaries: &'a [Path],
}

impl Router<'_> {
    /// One closed path about the whole face, and the boundaries that are part of it. With `rings`
    /// the first two boundaries wind about the surface; without, none does.
    pub fn open(
        &self,
        rings: bool,
        new_points: &mut Vec<glam::DVec3>,
    ) -> Option<(Path, BTreeSet<usize>)> {
        let links = self.links()?;
        let mut chosen = if rings {
            self.tree(&links, Some(1))?.0
        } else {
            self.loops(&links)?
        };
        prune(&mut chosen, if rings { &[0, 1] } else { &[] });
        let path = self.trace(&chosen, new_points)?;
        let used = chosen.iter().flat_map(|l| [l.from.0, l.to.0]).collect();
        Some((path, used))
    }

    fn period(&self) -> DVec2 {
        DVec2::from_array(self.chart.period.map(|p| p.unwrap_or(0.0)))
    }

    /// Whole periods travelled along a boundary.
    fn turns(&self, boundary: usize) -> I64Vec2 {
        let whole = |a: f64, p: Option<f64>| p.map_or(0, |p| (a / p).round() as i64);
        let a = self.boundaries[boundary].advance;
        let [pu, pv] = self.chart.period;
        I64Vec2::new(whole(a.x, pu), whole(a.y, pv))
    }

    fn uv(&self, place: Place, turns: I64Vec2) -> DVec2 {
        self.boundaries[place.0].nodes[place.1].uv + turns.as_dvec2() * self.period()
    }

    /// The shortest links between every two boundaries, shortest first.
    fn links(&self) -> Option<Vec<Link>> {
        let reach = |k: usize| i64::from(self.chart.period[k].is_some());
        let mut spots: Vec<Spot> = Vec::new();
        let mut number: BTreeMap<(Place, [i64; 2]), usize> = BTreeMap::new();
        for (b, path) in self.boundaries.iter().enumerate() {
            for ku in -reach(0)..=reach(0) {
                for kv in -reach(1)..=reach(1) {
                    let turns = I64Vec2::new(ku, kv);
                    for i in 0..path.nodes.len() {
                        number.insert(((b, i), [ku, kv]), spots.len());
                        let at = self.uv((b, i), turns) * self.metric;
                        spots.push(Spot {
                            at,
                            place: (b, i),
                            turns,
                        });
                    }
                }
            }
        }
        let mut walls = Vec::new();
        for spot in &spots {
            let (b, i) = spot.place;
            let n = self.boundaries[b].nodes.len();
            let turns = if i + 1 == n {
                spot.turns + self.turns(b)
            } else {
                spot.turns
            };
            let next = number.get(&((b, (i + 1) % n), turns.to_array()));
            let here = number.get(&(spot.place, spot.turns.to_array()));
            if let (Some(&next), Some(&here)) = (next, here) {
                walls.push([here, next]);
            }
        }
        let count = spots.len();
        let cdt = ConstrainedDelaunayTriangulation::<Spot>::try_bulk_load_cdt(spots, walls, |_| {})
            .ok()?;
        if cdt.num_vertices() != count {
            return None;
        }
        // Per pair of boundaries and turns, the shortest.
        let mut best: BTreeMap<(usize, usize, [i64; 2]), Link> = BTreeMap::new();
        for edge in cdt.undirected_edges() {
            if edge.is_constraint_edge() {
                continue;
            }
            let [a, b] = edge.vertices().map(|v| *v.data());
            if a.turns != I64Vec2::ZERO && b.turns != I64Vec2::ZERO {
                continue;
            }
            let length = a.at.distance(b.at);
            for (a, b) in [(a, b), (b, a)] {
                let turns = b.turns - a.turns;
                let link = Link {
                    from: a.place,
                    to: b.place,
                    turns,
                    length,
                };
                let winds = self.turns(a.place.0) != I64Vec2::ZERO;
                if a.place.0 == b.place.0 && (turns == I64Vec2::ZERO || winds)
                    || a.place.0 > b.place.0
                    || !self.leaves_inward(&link)
                {
                    continue;
                }
                let slot = best
                    .entry((a.place.0, b.place.0, turns.to_array()))
                    .or_insert(link);
                if length < slot.length {
                    *slot = link;
                }
            }
        }
        let mut out: Vec<Link> = best.into_values().collect();
        out.sort_by(|a, b| a.length.total_cmp(&b.length));
        Some(out)
    }

    /// True when both ends of a link lie on the face's side of their boundary.
    fn leaves_inward(&self, link: &Link) -> bool {
        let d = self.uv(link.to, link.turns) - self.uv(link.from, I64Vec2::ZERO);
        let inward = |(b, i): Place, d: DVec2| {
            let path = &self.boundaries[b];
            let n = path.nodes.len();
            let here = path.uv(i + n);
            let (ahead, back) = (path.uv(i + n + 1) - here, path.uv(i + n - 1) - here);
            let turn = |v: DVec2| (v.to_angle() - ahead.to_angle()).rem_euclid(TURN);
            let sector = if turn(back) > 0.0 { turn(back) } else { TURN };
            turn(d) > 1e-9 && turn(d) < sector - 1e-9
        };
        inward(link.from, d) && inward(link.to, -d)
    }

    /// Prim's tree of shortest links from the first boundary, up to `goal` (then only the path to
    /// it) or over all; and the turns of every boundary in it.
    fn tree(
        &self,
        links: &[Link],
        goal: Option<usize>,
    ) -> Option<(Vec<Link>, BTreeMap<usize, I64Vec2>)> {
        let mut at: BTreeMap<usize, I64Vec2> = BTreeMap::from([(0, I64Vec2::ZERO)]);
        let mut tree: Vec<Link> = Vec::new();
        while at.len() < self.boundaries.len() && !goal.is_some_and(|g| at.contains_key(&g)) {
            let next = links
                .iter()
                .find(|l| at.contains_key(&l.from.0) != at.contains_key(&l.to.0));
            let Some(link) = next else { break };
            match (at.get(&link.from.0).copied(), at.get(&link.to.0).copied()) {
                (Some(t), _) => at.insert(link.to.0, t + link.turns),
                (None, Some(t)) => at.insert(link.from.0, t - link.turns),
                (None, None) => None,
            };
            tree.push(*link);
        }
        let reached = goal.is_none_or(|g| at.contains_key(&g));
        reached.then_some((tree, at))
    }

    /// A tree and two more links that close loops about both periods of a torus.
    fn loops(&self, links: &[Link]) -> Option<Vec<Link>> {
        let (mut chosen, at) = self.tree(links, None)?;
        let label = |l: &Link| Some(*at.get(&l.from.0)? + l.turns - *at.get(&l.to.0)?);
        let (first, a) = links
            .iter()
            .filter_map(|l| Some((l, label(l)?)))
            .find(|(_, t)| {
                t.abs() == I64Vec2::X || t.abs() == I64Vec2::Y || t.abs() == I64Vec2::ONE
            })?;
        let (second, _) = links
            .iter()
            .filter_map(|l| Some((l, label(l)?)))
            .find(|(_, t)| a.perp_dot(*t).abs() == 1)?;
        chosen.extend([*first, *second]);
        Some(chosen)
    }

    /// Follows links and boundaries with the face on the left.
    fn trace(&self, links: &[Link], new_points: &mut Vec<glam::DVec3>) -> Option<Path> {
        let first = links.first()?;
        let mut exits: BTreeMap<Place, Vec<(DVec2, Exit)>> = BTreeMap::new();
        let mut between = Vec::new();
        for (k, l) in links.iter().enumerate() {
            let (a, b) = (self.uv(l.from, I64Vec2::ZERO), self.uv(l.to, l.turns));
            let ratio = (b - a).abs() / self.steps;
            let pieces = ratio.x.max(ratio.y).ceil().clamp(1.0, 2000.0) as usize;
            let inner: Vec<Node> = (1..pieces)
                .map(|i| {
                    let uv = a.lerp(b, i as f64 / pieces as f64);
                    new_points.push(self.chart.point(uv));
                    Node {
                        uv,
                        id: NEW + new_points.len() as u32 - 1,
                    }
                })
                .collect();
            between.push(inner);
            for (place, d, forward) in [(l.from, b - a, true), (l.to, a - b, false)] {
                exits
                    .entry(place)
                    .or_default()
                    .push((d, Exit::Link(k, forward)));
            }
        }
        let mut path = Path::default();
        let (mut place, mut turns, mut exit) = (first.from, I64Vec2::ZERO, Exit::Link(0, true));
        let most = 4 * self.boundaries.iter().map(|b| b.nodes.len()).sum::<usize>() + 100;
        loop {
            let shift = turns.as_dvec2() * self.period();
            let node = self.boundaries[place.0].nodes[place.1];
            let start = path.nodes.len();
            path.nodes.push(Node {
                uv: node.uv + shift,
                ..node
            });
            let back;
            match exit {
                Exit::Along => {
                    let boundary = &self.boundaries[place.0];
                    back = boundary.uv(place.1) - boundary.uv(place.1 + 1);
                    extend_runs(&mut path.runs, boundary, place.1, start);
                    if place.1 + 1 == boundary.nodes.len() {
                        turns += self.turns(place.0);
                    }
                    place.1 = (place.1 + 1) % boundary.nodes.len();
                }
                Exit::Link(k, forward) => {
                    let l = &links[k];
                    let d = self.uv(l.to, l.turns) - self.uv(l.from, I64Vec2::ZERO);
                    back = if forward { -d } else { d };
                    // Corners on the way are those of the link as seen from its own start.
                    let origin = if forward { turns } else { turns - l.turns };
                    let moved = |n: &Node| Node {
                        uv: n.uv + origin.as_dvec2() * self.period(),
                        ..*n
                    };
                    if forward {
                        path.nodes.extend(between[k].iter().map(moved));
                    } else {
                        path.nodes.extend(between[k].iter().rev().map(moved));
                    }
                    path.runs.push(Run {
                        edge: None,
                        first: start,
                        count: between[k].len() + 1,
                        skip: 0,
                    });
                    place = if forward { l.to } else { l.from };
                    turns = if forward { turns + l.turns } else { origin };
                }
            }
            exit = self.next_exit(place, back, exits.get(&place));
            if (place, exit) == (first.from, Exit::Link(0, true)) {
                return (turns == I64Vec2::ZERO).then_some(path);
            }
            if path.nodes.len() > most {
                return None;
            }
        }
    }

    /// The way that turns least to the left of straight back, and so keeps the face on the left.
    fn next_exit(&self, place: Place, back: DVec2, links: Option<&Vec<(DVec2, Exit)>>) -> Exit {
        let path = &self.boundaries[place.0];
        let along = path.uv(place.1 + 1) - path.uv(place.1);
        let turn = |d: DVec2| {
            let t = (back.to_angle() - d.to_angle()).rem_euclid(TURN);
            // Straight back only where nothing else is left.
            if t < 1e-12 { TURN } else { t }
        };
        let mut best = (turn(along), Exit::Along);
        for &(d, exit) in links.into_iter().flatten() {
            if turn(d) < best.0 {
                best = (turn(d), exit);
            }
        }
        best.1
    }
}

const TURN: f64 = std::f64::consts::TAU;

#[derive(Clone, Copy, Debug, PartialEq)]
enum Exit {
    /// Along the boundary to its next corner.
    Along,
    /// Along a link, in its direction or against it.
    Link(usize, bool),
}

/// Adds piece `i` of a boundary to the runs of a path, whose corner `start` it begins at.
fn extend_runs(runs: &mut Vec<Run>, boundary: &Path, i: usize, start: usize) {
    let Some(own) = boundary
        .runs
        .iter()
        .find(|r| (r.first..r.first + r.count).contains(&i))
    else {
        return;
    };
    let skip = own.skip + (i - own.first);
    if let Some(last) = runs.last_mut()
        && last.edge == own.edge
        && last.first + last.count == start
        && last.skip + last.count == skip
    {
        last.count += 1;
        return;
    }
    runs.push(Run {
        edge: own.edge,
        first: start,
        count: 1,
        skip,
    });
}

/// Drops links that lead to a boundary nothing else leads on from.
fn prune(links: &mut Vec<Link>, keep: &[usize]) {
    loop {
        let mut uses: BTreeMap<usize, usize> = BTreeMap::new();
        for end in links.iter().flat_map(|l| [l.from.0, l.to.0]) {
            *uses.entry(end).or_default() += 1;
        }
        let idle = |b: usize| uses.get(&b) == Some(&1) && !keep.contains(&b);
        let before = links.len();
        links.retain(|l| !idle(l.from.0) && !idle(l.to.0));
        if links.len() == before {
            return;
        }
    }
}

/// A corner of a copy of a boundary, in scaled parameters.
#[derive(Clone, Copy, Debug)]
struct Spot {
    at: DVec2,
    place: Place,
    turns: I64Vec2,
}

impl HasPosition for Spot {
    type Scalar = f64;
    fn position(&self) -> Point2<f64> {
        let clean = |x: f64| if x.abs() < 1e-30 { 0.0 } else { x };
        Point2::new(clean(self.at.x), clean(self.at.y))
    }
}
