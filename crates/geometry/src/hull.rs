//! Convex hull of points in space, by exact orientation tests.
//!
//! Quickhull with conflict lists (C. B. Barber, D. P. Dobkin, H. Huhdanpaa, ACM Trans. Math.
//! Softw. 22, 1996). A point joins only when strictly outside, decided exactly (`robust`), so that
//! flat faces, repeated points and slivers need no tolerance. Points in one plane or on one line
//! are returned as such.

use glam::{DVec2, DVec3};
use robust::{Coord, Coord3D, orient2d, orient3d};
use std::collections::BTreeMap;

/// The convex hull, as far as the points span space.
#[derive(Clone, Debug, PartialEq)]
pub enum Hull {
    /// No points.
    Empty,
    /// All points equal.
    Point(DVec3),
    /// All points on a line; its ends.
    Segment([DVec3; 2]),
    /// All points in a plane; corners in order around it.
    Polygon(Vec<DVec3>),
    /// Corners and outward-facing triangles (flat faces may be several triangles).
    Solid {
        /// Corners.
        points: Vec<DVec3>,
        /// Triangles, numbers in `points`.
        triangles: Vec<[u32; 3]>,
    },
}

impl Hull {
    /// The hull of `points`, which must be finite.
    pub fn of(points: &[DVec3]) -> Hull {
        let Some(&first) = points.first() else {
            return Hull::Empty;
        };
        let Some(second) = farthest(points, |p| p.distance_squared(first)) else {
            return Hull::Point(first);
        };
        let axis = second - first;
        // Farthest from the line; whether any point is off the line at all is decided exactly.
        let third = farthest(points, |p| axis.cross(p - first).length_squared())
            .filter(|&p| !collinear(first, second, p))
            .or_else(|| {
                points
                    .iter()
                    .copied()
                    .find(|&p| !collinear(first, second, p))
            });
        let Some(third) = third else {
            return Hull::Segment(ends(points, axis));
        };
        let normal = axis.cross(third - first);
        let off_plane = |p: DVec3| orient(first, second, third, p) != 0.0;
        let fourth = farthest(points, |p| normal.dot(p - first).abs())
            .filter(|&p| off_plane(p))
            .or_else(|| points.iter().copied().find(|&p| off_plane(p)));
        match fourth {
            None => Hull::Polygon(polygon(points, normal)),
            Some(fourth) => solid(points, [first, second, third, fourth]),
        }
    }

    /// Corners of the hull.
    pub fn corners(&self) -> Vec<DVec3> {
        match self {
            Hull::Empty => Vec::new(),
            Hull::Point(p) => vec![*p],
            Hull::Segment(ends) => ends.to_vec(),
            Hull::Polygon(points) => points.clone(),
            Hull::Solid { points, .. } => points.clone(),
        }
    }
}

fn farthest(points: &[DVec3], measure: impl Fn(DVec3) -> f64) -> Option<DVec3> {
    let mut best = None;
    let mut most = 0.0;
    for &p in points {
        let m = measure(p);
        if m > most {
            most = m;
            best = Some(p);
        }
    }
    best
}

fn ends(points: &[DVec3], axis: DVec3) -> [DVec3; 2] {
    let mut out = [points[0]; 2];
    for &p in points {
        if axis.dot(p) < axis.dot(out[0]) {
            out[0] = p;
        }
        if axis.dot(p) > axis.dot(out[1]) {
            out[1] = p;
        }
    }
    out
}

/// Positive when `d` lies on the side of `a b c` from which they run counter-clockwise.
fn orient(a: DVec3, b: DVec3, c: DVec3, d: DVec3) -> f64 {
    let coord = |p: DVec3| Coord3D {
        x: p.x,
        y: p.y,
        z: p.z,
    };
    -orient3d(coord(a), coord(b), coord(c), coord(d))
}

/// Exact: all three projections to the coordinate planes are collinear.
fn collinear(a: DVec3, b: DVec3, c: DVec3) -> bool {
    [(0, 1), (1, 2), (2, 0)].iter().all(|&(u, v)| {
        let coord = |p: DVec3| Coord { x: p[u], y: p[v] };
        orient2d(coord(a), coord(b), coord(c)) == 0.0
    })
}

/// Hull of points in a plane: dropping the coordinate the normal is longest in changes neither
/// order nor sides.
fn polygon(points: &[DVec3], normal: DVec3) -> Vec<DVec3> {
    let n = normal.abs();
    let (u, v) = if n.x >= n.y && n.x >= n.z {
        (1, 2)
    } else if n.y >= n.z {
        (2, 0)
    } else {
        (0, 1)
    };
    let flat: Vec<DVec2> = points.iter().map(|p| DVec2::new(p[u], p[v])).collect();
    polygon_corners(&flat)
        .into_iter()
        .map(|i| points[i])
        .collect()
}

/// Corners of the convex hull of points in the plane, counter-clockwise (monotone chain;
/// A. M. Andrew, Inf. Process. Lett. 9, 1979). Points along an edge are left out.
pub fn polygon_corners(points: &[DVec2]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by(|&a, &b| {
        points[a]
            .x
            .total_cmp(&points[b].x)
            .then(points[a].y.total_cmp(&points[b].y))
    });
    order.dedup_by(|a, b| points[*a] == points[*b]);
    if order.len() < 3 {
        return order;
    }
    let turn = |a: usize, b: usize, c: usize| {
        let coord = |i: usize| Coord {
            x: points[i].x,
            y: points[i].y,
        };
        orient2d(coord(a), coord(b), coord(c))
    };
    let chain = |order: &mut dyn Iterator<Item = usize>| {
        let mut chain: Vec<usize> = Vec::new();
        for i in order {
            while chain.len() >= 2 && turn(chain[chain.len() - 2], chain[chain.len() - 1], i) <= 0.0
            {
                chain.pop();
            }
            chain.push(i);
        }
        chain.pop();
        chain
    };
    let mut corners = chain(&mut order.iter().copied());
    corners.extend(chain(&mut order.iter().rev().copied()));
    corners
}

struct Facet {
    corners: [u32; 3],
    /// Facets across the edges (0-1, 1-2, 2-0).
    across: [u32; 3],
    /// Points strictly outside this facet and waiting.
    outside: Vec<u32>,
    alive: bool,
}

struct Builder<'a> {
    points: &'a [DVec3],
    facets: Vec<Facet>,
}

fn solid(all: &[DVec3], start: [DVec3; 4]) -> Hull {
    let points = culled(all, start);
    let [a, b, c, d] = [0, 1, 2, 3];
    let mut builder = Builder {
        points: &points,
        facets: Vec::new(),
    };
    let [b, c] = if orient(points[0], points[1], points[2], points[3]) > 0.0 {
        [c, b]
    } else {
        [b, c]
    };
    // Now `d` is behind `a b c`, so these four face outward.
    for (corners, across) in [
        ([a, b, c], [1, 2, 3]),
        ([b, a, d], [0, 3, 2]),
        ([c, b, d], [0, 1, 3]),
        ([a, c, d], [0, 2, 1]),
    ] {
        builder.facets.push(Facet {
            corners,
            across,
            outside: Vec::new(),
            alive: true,
        });
    }
    let waiting: Vec<u32> = (4..points.len() as u32).collect();
    builder.assign(&waiting, 0..4);
    builder.grow();
    builder.finish()
}

/// The four starting points, then all that lie outside the octahedron-like body of extremes along
/// 13 directions. Meshes of a million points keep a few thousand.
fn culled(all: &[DVec3], start: [DVec3; 4]) -> Vec<DVec3> {
    let mut points = start.to_vec();
    // Few points: the hull itself is as quick. Many: repeated points alone are worth removing.
    let mut rest: Vec<DVec3> = all.iter().copied().filter(|p| !start.contains(p)).collect();
    if rest.len() > 2000 {
        let extremes = extreme_points(&rest);
        if let Hull::Solid {
            points: inner,
            triangles,
        } = Hull::of(&extremes)
        {
            let planes: Vec<[DVec3; 3]> = triangles
                .iter()
                .map(|t| t.map(|i| inner[i as usize]))
                .collect();
            let normals: Vec<(DVec3, f64)> = planes
                .iter()
                .map(|[a, b, c]| {
                    let n = (*b - *a).cross(*c - *a).normalize_or_zero();
                    (n, n.dot(*a))
                })
                .collect();
            let size = inner
                .iter()
                .map(|p| p.abs().max_element())
                .fold(0.0, f64::max);
            // Well inside in rounded arithmetic is inside for certain.
            let margin = 1e-12 * size;
            rest.retain(|p| {
                normals
                    .iter()
                    .any(|(n, offset)| n.dot(*p) - offset > -margin)
            });
            rest.extend(extremes);
        }
    }
    points.extend(rest);
    points
}

fn extreme_points(points: &[DVec3]) -> Vec<DVec3> {
    let mut directions = Vec::new();
    for x in -2..=2 {
        for y in -2..=2 {
            for z in -2..=2i32 {
                if (x, y, z) != (0, 0, 0) {
                    directions.push(DVec3::new(f64::from(x), f64::from(y), f64::from(z)));
                }
            }
        }
    }
    directions
        .iter()
        .filter_map(|d| {
            points
                .iter()
                .copied()
                .max_by(|p, q| d.dot(*p).total_cmp(&d.dot(*q)))
        })
        .collect()
}

impl Builder<'_> {
    fn is_outside(&self, facet: usize, point: u32) -> bool {
        let [a, b, c] = self.facets[facet].corners.map(|i| self.points[i as usize]);
        orient(a, b, c, self.points[point as usize]) > 0.0
    }

    /// Gives each waiting point to the first of `facets` it is outside of; the others are inside
    /// the hull for good.
    fn assign(&mut self, waiting: &[u32], facets: std::ops::Range<usize>) {
        for &p in waiting {
            if let Some(f) = facets.clone().find(|&f| self.is_outside(f, p)) {
                self.facets[f].outside.push(p);
            }
        }
    }

    fn grow(&mut self) {
        let mut next = 0;
        while next < self.facets.len() {
            if !self.facets[next].alive || self.facets[next].outside.is_empty() {
                next += 1;
                continue;
            }
            self.add_farthest(next);
        }
    }

    fn add_farthest(&mut self, facet: usize) {
        let [a, b, c] = self.facets[facet].corners.map(|i| self.points[i as usize]);
        let normal = (b - a).cross(c - a);
        let outside = &self.facets[facet].outside;
        let Some(apex) = outside.iter().copied().max_by(|&p, &q| {
            let height = |i: u32| normal.dot(self.points[i as usize] - a);
            height(p).total_cmp(&height(q))
        }) else {
            return;
        };
        // Flood the visible facets, gathering the rim as edges (from, to) -> facet beyond.
        let mut visible = vec![facet];
        let mut seen = BTreeMap::from([(facet, true)]);
        let mut rim: BTreeMap<u32, (u32, u32)> = BTreeMap::new();
        let mut at = 0;
        while at < visible.len() {
            let f = visible[at];
            at += 1;
            for k in 0..3 {
                let beyond = self.facets[f].across[k] as usize;
                let is_visible = match seen.get(&beyond) {
                    Some(&v) => v,
                    None => {
                        let v = self.is_outside(beyond, apex);
                        seen.insert(beyond, v);
                        if v {
                            visible.push(beyond);
                        }
                        v
                    }
                };
                if !is_visible {
                    let [from, to] = [
                        self.facets[f].corners[k],
                        self.facets[f].corners[(k + 1) % 3],
                    ];
                    rim.insert(from, (to, beyond as u32));
                }
            }
        }
        self.replace(&visible, &rim, apex);
    }

    /// Puts a cone from the rim to `apex` in place of the visible facets.
    fn replace(&mut self, visible: &[usize], rim: &BTreeMap<u32, (u32, u32)>, apex: u32) {
        let first = self.facets.len() as u32;
        let Some((&start, _)) = rim.iter().next() else {
            return;
        };
        let count = rim.len() as u32;
        let mut from = start;
        for k in 0..count {
            let (to, beyond) = rim[&from];
            let here = first + k;
            let next = first + (k + 1) % count;
            let before = first + (k + count - 1) % count;
            self.facets.push(Facet {
                corners: [from, to, apex],
                across: [beyond, next, before],
                outside: Vec::new(),
                alive: true,
            });
            let other = &mut self.facets[beyond as usize];
            for j in 0..3 {
                if other.corners[j] == to && other.corners[(j + 1) % 3] == from {
                    other.across[j] = here;
                }
            }
            from = to;
        }
        let mut waiting = Vec::new();
        for &f in visible {
            self.facets[f].alive = false;
            waiting.append(&mut self.facets[f].outside);
        }
        waiting.retain(|&p| p != apex);
        self.assign(&waiting, first as usize..(first + count) as usize);
    }

    fn finish(self) -> Hull {
        let mut new_index = vec![u32::MAX; self.points.len()];
        let mut points = Vec::new();
        let mut triangles = Vec::new();
        for facet in self.facets.iter().filter(|f| f.alive) {
            triangles.push(facet.corners.map(|i| {
                let slot = &mut new_index[i as usize];
                if *slot == u32::MAX {
                    *slot = points.len() as u32;
                    points.push(self.points[i as usize]);
                }
                *slot
            }));
        }
        Hull::Solid { points, triangles }
    }
}
