//! Triangles of a solid and whether they close.

use glam::{DMat4, DVec3};
use std::collections::BTreeMap;

/// Triangle mesh; every triangle knows its face.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    /// Corner positions, mm.
    pub points: Vec<DVec3>,
    /// Corner indices, counter-clockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
    /// For every triangle the index of its face.
    pub face_of_triangle: Vec<u32>,
}

/// How the edges of a mesh meet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Closure {
    /// Edges with a triangle on one side only.
    pub open_edges: usize,
    /// Edges shared by more than two triangles, or by two that disagree about the outside.
    pub bad_edges: usize,
}

impl Closure {
    /// True when every edge is used exactly twice, once each way.
    pub fn watertight(&self) -> bool {
        self.open_edges == 0 && self.bad_edges == 0
    }
}

impl Mesh {
    /// Corners of a triangle.
    pub fn corners(&self, i: usize) -> [DVec3; 3] {
        self.triangles[i].map(|k| self.points[k as usize])
    }

    /// Surface area, mm^2.
    pub fn area_mm2(&self) -> f64 {
        (0..self.triangles.len())
            .map(|i| triangle_area(self.corners(i)))
            .sum()
    }

    /// Enclosed volume, mm^3, by the divergence theorem.
    pub fn volume_mm3(&self) -> f64 {
        let o = self.points.first().copied().unwrap_or_default();
        (0..self.triangles.len())
            .map(|i| {
                let [a, b, c] = self.corners(i).map(|p| p - o);
                a.dot(b.cross(c)) / 6.0
            })
            .sum()
    }

    /// Smallest and largest coordinates.
    pub fn bounds(&self) -> [DVec3; 2] {
        let (mut lo, mut hi) = (DVec3::INFINITY, DVec3::NEG_INFINITY);
        for t in &self.triangles {
            for &k in t {
                lo = lo.min(self.points[k as usize]);
                hi = hi.max(self.points[k as usize]);
            }
        }
        [lo, hi]
    }

    /// Counts edges that are not used exactly once in each direction.
    pub fn closure(&self) -> Closure {
        let mut halves: Vec<(u32, u32, bool)> = Vec::with_capacity(self.triangles.len() * 3);
        for t in &self.triangles {
            for k in 0..3 {
                let (a, b) = (t[k], t[(k + 1) % 3]);
                halves.push((a.min(b), a.max(b), a < b));
            }
        }
        halves.sort_unstable();
        let mut out = Closure::default();
        for group in halves.chunk_by(|x, y| (x.0, x.1) == (y.0, y.1)) {
            match group {
                [_] => out.open_edges += 1,
                [a, b] if a.2 != b.2 => {}
                _ => {
                    let forward = group.iter().filter(|h| h.2).count();
                    // Two sheets touching along an edge are closed, each for itself.
                    if 2 * forward != group.len() {
                        out.bad_edges += 1;
                    }
                }
            }
        }
        out
    }

    /// Adds a copy of `other` placed by `placement`; mirroring placements keep outsides outside.
    pub fn append(&mut self, other: &Mesh, placement: &DMat4, face_offset: u32) {
        let base = self.points.len() as u32;
        self.points
            .extend(other.points.iter().map(|p| placement.transform_point3(*p)));
        let mirrored = placement.determinant() < 0.0;
        self.triangles
            .extend(other.triangles.iter().map(|&[a, b, c]| {
                if mirrored {
                    [a + base, c + base, b + base]
                } else {
                    [a + base, b + base, c + base]
                }
            }));
        self.face_of_triangle
            .extend(other.face_of_triangle.iter().map(|f| f + face_offset));
    }

    /// Renumbers points so that only used ones remain.
    pub fn compact(&mut self) {
        let mut new = vec![u32::MAX; self.points.len()];
        let mut points = Vec::new();
        for t in &mut self.triangles {
            for k in t {
                let slot = &mut new[*k as usize];
                if *slot == u32::MAX {
                    *slot = points.len() as u32;
                    points.push(self.points[*k as usize]);
                }
                *k = *slot;
            }
        }
        self.points = points;
    }

    /// Open edges by the faces they belong to, for messages.
    pub fn faces_with_open_edges(&self) -> Vec<u32> {
        let mut seen: BTreeMap<(u32, u32), (i32, u32)> = BTreeMap::new();
        for (t, &f) in self.triangles.iter().zip(&self.face_of_triangle) {
            for k in 0..3 {
                let (a, b) = (t[k], t[(k + 1) % 3]);
                let entry = seen.entry((a.min(b), a.max(b))).or_insert((0, f));
                entry.0 += if a < b { 1 } else { -1 };
                entry.1 = f;
            }
        }
        let mut faces: Vec<u32> = seen.values().filter(|e| e.0 != 0).map(|e| e.1).collect();
        faces.sort_unstable();
        faces.dedup();
        faces
    }
}

/// Area of a triangle.
pub fn triangle_area([a, b, c]: [DVec3; 3]) -> f64 {
    0.5 * (b - a).cross(c - a).length()
}
