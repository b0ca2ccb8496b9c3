//! Points spread over a face, the same each time.

use super::face::SolidFaces;
use glam::DVec3;

/// A point on a face with the outward normal of its triangle.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Sample {
    pub at: DVec3,
    pub normal: DVec3,
    /// Share of the face's area it stands for, mm2.
    pub area_mm2: f64,
}

/// `count` points on a face, each for the same area; fewer never, none on a face without area.
pub(crate) fn samples(solid: &SolidFaces<'_>, face: u32, count: usize) -> Vec<Sample> {
    let face = &solid.faces[face as usize];
    let mut out = Vec::with_capacity(count);
    let share = face.area_mm2 / count as f64;
    let mut passed = 0.0;
    for &t in &face.triangles {
        let [a, b, c] = solid.mesh.corners(t as usize);
        let doubled = (b - a).cross(c - a);
        passed += doubled.length() / 2.0;
        while out.len() < count && passed > (out.len() as f64 + 0.5) * share {
            // Fractions of the golden ratio and of the square root of 2 fill a triangle evenly.
            let k = out.len() as f64 + 1.0;
            let (mut s, mut r) = (
                (k * 0.618_033_988_75).fract(),
                (k * 0.414_213_562_37).fract(),
            );
            if s + r > 1.0 {
                (s, r) = (1.0 - s, 1.0 - r);
            }
            out.push(Sample {
                at: a + (b - a) * s + (c - a) * r,
                normal: doubled.normalize_or_zero(),
                area_mm2: share,
            });
        }
    }
    out
}
