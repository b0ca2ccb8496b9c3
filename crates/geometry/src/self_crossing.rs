//! Whether a skin passes through itself, by exact tests of triangle pairs.
//!
//! Pairs whose boxes meet are found with a tree of boxes. Of such a pair some side of one triangle
//! passes through the other if they cross at all; corners the two share are left out. Triangles
//! that share a side only meet along it, or lie folded flat on each other, which encloses nothing.
//! Skins that merely touch themselves away from shared corners count as crossing: to be told from
//! it they would need more than pairs.

use crate::mesh::Mesh;
use glam::{DVec2, DVec3};
use rayon::prelude::*;
use robust::{Coord, Coord3D, orient2d, orient3d};

/// Triangles of a leaf of the tree.
const LEAF: usize = 4;

/// Whether any two of these triangles of a mesh cross or touch other than in shared corners.
pub(crate) fn crosses_itself(mesh: &Mesh, triangles: &[u32]) -> bool {
    let tree = Tree::new(mesh, triangles);
    (0..tree.order.len())
        .into_par_iter()
        .any(|k| tree.crosses_a_later_one(mesh, k))
}

#[derive(Clone, Copy)]
struct Span {
    low: DVec3,
    high: DVec3,
}

impl Span {
    const NOTHING: Span = Span {
        low: DVec3::INFINITY,
        high: DVec3::NEG_INFINITY,
    };

    fn of(corners: [DVec3; 3]) -> Span {
        let [a, b, c] = corners;
        Span {
            low: a.min(b).min(c),
            high: a.max(b).max(c),
        }
    }

    fn with(self, other: Span) -> Span {
        Span {
            low: self.low.min(other.low),
            high: self.high.max(other.high),
        }
    }

    fn meets(&self, other: &Span) -> bool {
        self.low.cmple(other.high).all() && other.low.cmple(self.high).all()
    }
}

/// Triangles halved by their middles along the longest side, again and again.
struct Tree {
    /// Triangles in the order of leaves.
    order: Vec<u32>,
    /// Box of each, in that order.
    spans: Vec<Span>,
    nodes: Vec<Node>,
}

struct Node {
    span: Span,
    /// Places in `order`.
    from: usize,
    to: usize,
    /// Second child; the first follows its parent. None for a leaf.
    second: Option<usize>,
}

impl Tree {
    fn new(mesh: &Mesh, triangles: &[u32]) -> Tree {
        let mut items: Vec<(u32, Span)> = triangles
            .par_iter()
            .map(|&t| (t, Span::of(mesh.corners(t as usize))))
            .collect();
        let mut nodes = Vec::new();
        grow(&mut items, 0, &mut nodes);
        let (order, spans) = items.into_iter().unzip();
        Tree {
            order,
            spans,
            nodes,
        }
    }

    fn crosses_a_later_one(&self, mesh: &Mesh, k: usize) -> bool {
        let own = self.spans[k];
        let mut open = vec![0];
        while let Some(n) = open.pop() {
            let Some(node) = self.nodes.get(n) else {
                continue;
            };
            if node.to <= k + 1 || !node.span.meets(&own) {
                continue;
            }
            match node.second {
                Some(second) => open.extend([n + 1, second]),
                None => {
                    let found = (node.from.max(k + 1)..node.to).any(|other| {
                        self.spans[other].meets(&own)
                            && cross(mesh, self.order[k], self.order[other])
                    });
                    if found {
                        return true;
                    }
                }
            }
        }
        false
    }
}

/// Adds the node of some triangles and those below it; `from` is the place of the first.
fn grow(items: &mut [(u32, Span)], from: usize, nodes: &mut Vec<Node>) {
    let span = items.iter().fold(Span::NOTHING, |s, i| s.with(i.1));
    let own = nodes.len();
    nodes.push(Node {
        span,
        from,
        to: from + items.len(),
        second: None,
    });
    if items.len() <= LEAF {
        return;
    }
    let axis = (span.high - span.low).max_position();
    let middle = |s: &Span| s.low[axis] + s.high[axis];
    let half = items.len() / 2;
    items.select_nth_unstable_by(half, |a, b| {
        middle(&a.1).total_cmp(&middle(&b.1)).then(a.0.cmp(&b.0))
    });
    let (first, second) = items.split_at_mut(half);
    grow(first, from, nodes);
    nodes[own].second = Some(nodes.len());
    grow(second, from + half, nodes);
}

fn cross(mesh: &Mesh, s: u32, t: u32) -> bool {
    let [a, b] = [s, t].map(|t| mesh.triangles()[t as usize]);
    let shared = a.iter().filter(|p| b.contains(p)).count();
    if shared > 1 {
        return false;
    }
    // Sides that do not end in a shared corner.
    let sides = |of: [u32; 3], other: [u32; 3]| {
        (0..3)
            .map(move |k| [of[k], of[(k + 1) % 3]])
            .filter(move |side| !side.iter().any(|p| other.contains(p)))
    };
    let point = |i: u32| mesh.points()[i as usize];
    let common = a.iter().find(|p| b.contains(p)).map(|p| point(*p));
    if surely_apart(a.map(point), b.map(point), common) {
        return false;
    }
    let passes = |of: [u32; 3], other: [u32; 3]| {
        let other_corners = other.map(point);
        sides(of, other).any(|side| pierces(side.map(point), other_corners))
    };
    passes(a, b) || passes(b, a)
}

/// Whether a plane square to the line between the two triangles' middles, or, where they share a
/// corner, one through it, has one on either side of it, beyond doubt of rounding. Settles nearly
/// all pairs; neighbours in one plane are the dearest for exact tests.
fn surely_apart(a: [DVec3; 3], b: [DVec3; 3], common: Option<DVec3>) -> bool {
    let from = common.unwrap_or(a[0]);
    let largest = |t: [DVec3; 3]| {
        t.map(|p| p.abs().max_element())
            .into_iter()
            .fold(0.0, f64::max)
    };
    let [a, b] = [a, b].map(|t| (t.map(|p| p - from), largest(t)));
    let toward = match common {
        Some(_) => {
            let sum = |t: [DVec3; 3]| t.map(DVec3::normalize_or_zero).into_iter().sum::<DVec3>();
            sum(a.0) - sum(b.0)
        }
        None => (a.0.into_iter().sum::<DVec3>() - b.0.into_iter().sum::<DVec3>()) / 3.0,
    };
    // Differences and products are off by some 1e-16 of the coordinates.
    let margin = 1e-12 * toward.length() * a.1.max(b.1);
    // The shared corner is the origin here and lies in the plane.
    let along = |t: [DVec3; 3]| {
        t.into_iter()
            .filter(|p| common.is_none() || *p != DVec3::ZERO)
            .map(|p| p.dot(toward))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), d| {
                (low.min(d), high.max(d))
            })
    };
    let ((low, _), (_, high)) = (along(a.0), along(b.0));
    if common.is_some() {
        low > margin && high < -margin
    } else {
        low > high + margin
    }
}

/// Above 0 when `d` lies on the side of `a b c` from which they run clockwise; exact in sign.
fn side(a: DVec3, b: DVec3, c: DVec3, d: DVec3) -> f64 {
    let [a, b, c, d] = [a, b, c, d].map(|p| Coord3D {
        x: p.x,
        y: p.y,
        z: p.z,
    });
    orient3d(a, b, c, d)
}

/// Whether a segment meets a triangle, borders included.
fn pierces([p, q]: [DVec3; 2], [a, b, c]: [DVec3; 3]) -> bool {
    let (from, to) = (side(a, b, c, p), side(a, b, c, q));
    if from * to > 0.0 || from > 0.0 && to > 0.0 || from < 0.0 && to < 0.0 {
        return false;
    }
    if from == 0.0 && to == 0.0 {
        return meets_in_plane([p, q], [a, b, c]);
    }
    one_sided([side(p, q, a, b), side(p, q, b, c), side(p, q, c, a)])
}

fn one_sided(sides: [f64; 3]) -> bool {
    sides.iter().all(|s| *s >= 0.0) || sides.iter().all(|s| *s <= 0.0)
}

/// As [`pierces`] for a segment in the plane of the triangle. Triangles without area meet nothing.
fn meets_in_plane([p, q]: [DVec3; 2], [a, b, c]: [DVec3; 3]) -> bool {
    let normal = (b - a).cross(c - a);
    if normal == DVec3::ZERO {
        return false;
    }
    // Leaving out a coordinate keeps the others exact.
    let (u, v) = [(1, 2), (2, 0), (0, 1)][normal.abs().max_position()];
    let [p, q, a, b, c] = [p, q, a, b, c].map(|p| DVec2::new(p[u], p[v]));
    let inside = |p: DVec2| one_sided([turn(a, b, p), turn(b, c, p), turn(c, a, p)]);
    inside(p)
        || inside(q)
        || [(a, b), (b, c), (c, a)]
            .iter()
            .any(|s| meet([p, q], [s.0, s.1]))
}

fn turn(a: DVec2, b: DVec2, c: DVec2) -> f64 {
    let [a, b, c] = [a, b, c].map(|p| Coord { x: p.x, y: p.y });
    orient2d(a, b, c)
}

/// Whether two segments of a plane meet, ends included.
fn meet([p, q]: [DVec2; 2], [a, b]: [DVec2; 2]) -> bool {
    let apart = |x: f64, y: f64| x > 0.0 && y > 0.0 || x < 0.0 && y < 0.0;
    let boxes = p.min(q).cmple(a.max(b)).all() && a.min(b).cmple(p.max(q)).all();
    boxes && !apart(turn(p, q, a), turn(p, q, b)) && !apart(turn(a, b, p), turn(a, b, q))
}

#[cfg(test)]
mod tests {
    use super::*;
    use glam::dvec3;

    /// Two triangles with no corner in common, or with their first in common.
    fn pair(a: [DVec3; 3], b: [DVec3; 3], shared: bool) -> bool {
        let points = a.into_iter().chain(b).collect();
        let second = if shared { [0, 4, 5] } else { [3, 4, 5] };
        let mesh = Mesh::new(points, vec![[0, 1, 2], second], None).unwrap();
        let both = crosses_itself(&mesh, &[0, 1]);
        assert_eq!(both, crosses_itself(&mesh, &[1, 0]));
        both
    }

    /// Random pairs on a small lattice, so that many touch: whatever is taken for apart at a glance
    /// is apart by exact tests.
    #[test]
    fn a_glance_never_hides_a_crossing() {
        let mut state = 1u64;
        let mut next = move || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            ((state >> 33) % 5) as f64 + 100.0
        };
        let mut counts = [0; 2];
        for round in 0..20_000 {
            let mut corner = || dvec3(next(), next(), next());
            let a = [corner(), corner(), corner()];
            let mut b = [corner(), corner(), corner()];
            let shared = round % 2 == 0;
            if shared {
                b[0] = a[0];
            }
            let flat = |t: [DVec3; 3]| (t[1] - t[0]).cross(t[2] - t[0]) == DVec3::ZERO;
            if flat(a) || flat(b) {
                continue;
            }
            let sides = |t: [DVec3; 3]| (0..3).map(move |k| [t[k], t[(k + 1) % 3]]);
            let free = |s: &[DVec3; 2]| !shared || !s.contains(&a[0]);
            let crossing = sides(a).filter(free).any(|s| pierces(s, b))
                || sides(b).filter(free).any(|s| pierces(s, a));
            let apart = surely_apart(a, b, shared.then_some(a[0]));
            assert!(!(apart && crossing), "{a:?} {b:?}");
            counts[usize::from(crossing)] += usize::from(apart || crossing);
        }
        assert!(counts[0] > 1000 && counts[1] > 1000, "{counts:?}");
    }

    #[test]
    fn pairs_that_cross_touch_or_pass() {
        let flat = [DVec3::ZERO, dvec3(4.0, 0.0, 0.0), dvec3(0.0, 4.0, 0.0)];
        let upright = |x: f64, y: f64, z: f64| {
            [
                dvec3(x, y, z),
                dvec3(x + 1.0, y, z),
                dvec3(x, y + 0.5, z + 2.0),
            ]
        };
        assert!(pair(flat, upright(1.0, 1.0, -1.0), false));
        assert!(pair(flat, upright(1.0, 1.0, 0.0), false), "it stands on it");
        assert!(!pair(flat, upright(1.0, 1.0, 1e-12), false));
        assert!(!pair(flat, upright(3.0, 3.0, -1.0), false), "beside");
        let shifted = |x: f64| flat.map(|p| p * 0.5 + dvec3(x, 0.25, 0.0));
        assert!(pair(flat, shifted(0.5), false), "in its plane");
        assert!(!pair(flat, shifted(4.5), false));
        let fan = |z: f64| [DVec3::ZERO, dvec3(2.0, 1.0, -z), dvec3(1.0, 2.0, z)];
        assert!(
            pair(flat, fan(1.0), true),
            "from a shared corner through it"
        );
        let beside = [DVec3::ZERO, dvec3(-4.0, 0.0, 0.0), dvec3(0.0, -4.0, 0.0)];
        assert!(!pair(flat, beside, true));
    }
}
