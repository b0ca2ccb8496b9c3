//! Rows of patches that may be strips of one round surface.
//!
//! Most patches of a freeform mesh start no such row, and a full fit from each of them costs
//! minutes on half a million triangles. So a row starts only where a patch turns at two nearly
//! parallel edges, as a strip does and a freeform triangle seldom does; and it grows by doubling,
//! given up as soon as its corners lie on no circle seen along the axis and its normals on no cone.

use super::super::facet::Link;
use super::rim::circle;
use super::{FREE, Fit, LEAST_TURN, MOST_TURN, TEXT_ROUNDING_MM};
use glam::DVec3;

/// Largest angle between the two edges at which a strip turns, rad: strips of a drill point of
/// eight chords, 118 degrees, have 0.67; the halves of square cells 0.79.
const PARALLEL_RAD: f64 = 0.72;
/// Turns of neighbouring strips differ by no more than this factor: tessellators cut evenly.
const LIKE: f64 = 1.6;
/// A row has turned far enough to tell its axis, rad on either side.
const ENOUGH_RAD: f64 = 0.35;
/// Strips this many times longer than wide may be twisted triangles.
const LONG: f64 = 2.0;
/// Most strips of a row on either side.
const MOST_STRIPS: usize = 60;
impl Fit<'_> {
    /// Rows of at least three patches through `seed`, turning by like angles in like sense.
    pub(super) fn walks(&self, seed: u32) -> Vec<Vec<u32>> {
        let (around, count) = self.smooth_links(seed);
        let mut out = Vec::new();
        for i in 0..count {
            for j in i + 1..count {
                let (one, two) = (around[i], around[j]);
                if out.len() < 3
                    && alike(one.turn, two.turn)
                    && self.edges_are_parallel(seed, one.other, two.other)
                    && self.turns_on(one.other, seed, two.other)
                    && let Some(strips) = self.walk(seed, [one, two])
                {
                    out.push(strips);
                }
            }
        }
        out
    }

    /// The six longest borders across which a free patch turns, the longest first.
    fn smooth_links(&self, facet: u32) -> ([Link; 6], usize) {
        let mut kept = [Link {
            other: FREE,
            length: 0.0,
            turn: 0.0,
        }; 6];
        let mut count = 0;
        for link in self.facets.links(facet) {
            if !(LEAST_TURN..=MOST_TURN).contains(&link.turn.abs())
                || self.face[link.other as usize] != FREE
            {
                continue;
            }
            let mut at = count.min(5);
            if count == 6 && link.length <= kept[5].length {
                continue;
            }
            while at > 0 && kept[at - 1].length < link.length {
                kept[at] = kept[at - 1];
                at -= 1;
            }
            kept[at] = *link;
            count = (count + 1).min(6);
        }
        (kept, count)
    }

    /// Whether the normal keeps turning the same way over three patches.
    fn turns_on(&self, one: u32, two: u32, three: u32) -> bool {
        let [a, b, c] = [one, two, three].map(|f| self.facets.normal[f as usize]);
        (a - b).dot(c - b) < 0.0
    }

    /// Flat patches meet along the cross product of their normals.
    fn edges_are_parallel(&self, middle: u32, one: u32, two: u32) -> bool {
        let [m, a, b] = [middle, one, two].map(|f| self.facets.normal[f as usize]);
        let (a, b) = (m.cross(a), m.cross(b));
        a.dot(b).abs() >= libm::cos(PARALLEL_RAD) * (a.length() * b.length())
    }

    /// The row through `seed` over two of its borders, `None` when it lies on no round surface.
    fn walk(&self, seed: u32, first: [Link; 2]) -> Option<Vec<u32>> {
        let mut sides = first.map(|l| vec![seed, l.other]);
        let mut turned = first.map(|l| l.turn.abs());
        let mut done = [false; 2];
        // A cone needs six points: five strips of a coarse one.
        let mut goal = 3;
        loop {
            for s in 0..2 {
                while !done[s]
                    && sides[s].len() < goal
                    && (turned[s] < ENOUGH_RAD || sides[s].len() < 3)
                {
                    let (before, at) = (sides[s][sides[s].len() - 2], sides[s][sides[s].len() - 1]);
                    let (links, count) = self.smooth_links(at);
                    let next = links[..count].iter().find(|l| {
                        alike(l.turn, first[s].turn)
                            && self.turns_on(before, at, l.other)
                            && !sides[0].contains(&l.other)
                            && !sides[1].contains(&l.other)
                    });
                    match next {
                        Some(next) => {
                            turned[s] += next.turn.abs();
                            sides[s].push(next.other);
                        }
                        None => done[s] = true,
                    }
                }
            }
            let full = (0..2).all(|s| done[s] || sides[s].len() < goal || goal > MOST_STRIPS);
            let mut strips: Vec<u32> = sides[0][1..].iter().rev().copied().collect();
            strips.extend(&sides[1]);
            if !self.is_plausible(&strips) {
                return None;
            }
            if full {
                return Some(strips);
            }
            goal *= 2;
        }
    }

    /// Whether a row may lie on a cylinder or cone: quick, and lenient.
    fn is_plausible(&self, strips: &[u32]) -> bool {
        let f = &self.facets;
        let normal = |k: usize| f.normal[strips[k] as usize];
        let last = strips.len() - 1;
        let middle = last / 2;
        let step = |k: usize| {
            let (a, b) = (strips[k] as usize, strips[k + 1] as usize);
            (
                f.centre[a].distance(f.centre[b]),
                f.normal[a].cross(f.normal[b]).length(),
            )
        };
        let (width, turn) = step(middle);
        // What rounding of coordinates, in a text file too, leaves of a strip's normal.
        let lean = 8.0 * (f.noise + TEXT_ROUNDING_MM) / width.max(1e-9);
        let median_off = |axis: DVec3, level: f64| {
            let off = strips
                .iter()
                .map(|&s| f.normal[s as usize].dot(axis) - level);
            median(off.map(f64::abs).collect())
        };
        let (first, end) = (normal(0), normal(last));
        if let Some(axis) = first.cross(end).try_normalize() {
            let sweep = first.cross(end).length().max(turn);
            // Rims divided at other angles make triangles that lean by a chord height over their
            // length; only long ones are taken for that.
            let long = self.longest_along(axis, strips);
            let twist = if long > LONG * width {
                width * turn / long
            } else {
                0.0
            };
            let lean = lean + twist;
            if median_off(axis, 0.0) <= lean
                && self.is_circle_along(axis, lean / sweep, turn, strips)
            {
                return true;
            }
        }
        let bent = (normal(middle) - first).cross(end - normal(middle));
        let Some(axis) = bent.try_normalize() else {
            return false;
        };
        // Strips narrower than their neighbours lean by up to an eighth of the turn squared.
        median_off(axis, normal(middle).dot(axis)) <= lean + turn * turn / 8.0
    }

    /// Length along an axis over all corners of strips.
    fn longest_along(&self, axis: DVec3, strips: &[u32]) -> f64 {
        let heights = strips
            .iter()
            .flat_map(|&f| self.facets.corners(f))
            .map(|&c| self.points[c as usize].dot(axis));
        let (low, high) = heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), t| {
            (l.min(t), h.max(t))
        });
        (high - low).max(0.0)
    }

    /// Whether corners of strips, seen along an axis that may tilt, lie on a circle.
    fn is_circle_along(&self, axis: DVec3, tilt: f64, turn: f64, strips: &[u32]) -> bool {
        let (u, v) = axis.any_orthonormal_pair();
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        let mut points: Vec<(f64, f64)> = Vec::with_capacity(4 * strips.len());
        for &c in strips.iter().flat_map(|&f| self.facets.corners(f)) {
            let p = self.points[c as usize];
            let t = p.dot(axis);
            (low, high) = (low.min(t), high.max(t));
            points.push((p.dot(u), p.dot(v)));
        }
        let Some((x, y, radius)) = circle(&points) else {
            return true;
        };
        let off = points
            .iter()
            .map(|p| ((p.0 - x).hypot(p.1 - y) - radius).abs());
        let chord = radius * turn * turn / 8.0;
        let allowed = self.band_limit(0.3 * chord) + tilt * (high - low);
        median(off.collect()) <= 2.0 * allowed
    }
}

/// The middle value; 0 of none.
fn median(mut values: Vec<f64>) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    let middle = values.len() / 2;
    *values.select_nth_unstable_by(middle, f64::total_cmp).1
}

/// Turns of like sense and size.
fn alike(a: f64, b: f64) -> bool {
    a * b > 0.0 && a / b < LIKE && b / a < LIKE
}
