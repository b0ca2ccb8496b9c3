//! Which points of a surface are seen from a direction: what is not seen no straight tool reaches,
//! so directions that see nothing new need no tips at all.

use crate::height_map::HeightMap;
use crate::reach::Tolerance;
use crate::samples::Sample;
use glam::{DVec2, Vec3Swizzles};
use rayon::prelude::*;
use std::collections::BTreeMap;
use units::{Cancelled, Watch};

/// Samples between two looks at the cancel flag.
const CHUNK: usize = 4096;

impl HeightMap {
    /// Highest point of the part on the line through `place` along the axis; `None` beside it.
    pub fn highest_at(&self, place: DVec2) -> Option<f64> {
        self.triangles_at(place)
            .filter_map(|t| height_over(t, place))
            .reduce(f64::max)
    }
}

/// Height of a triangle over a place; upright ones show only their edge and have none.
fn height_over([a, b, c]: &[glam::DVec3; 3], place: DVec2) -> Option<f64> {
    let (u, v, p) = (b.xy() - a.xy(), c.xy() - a.xy(), place - a.xy());
    let area = u.perp_dot(v);
    let (s, t) = (p.perp_dot(v) / area, u.perp_dot(p) / area);
    // Not a number when the area is zero, and then not inside.
    (s >= 0.0 && t >= 0.0 && s + t <= 1.0).then(|| a.z + s * (b.z - a.z) + t * (c.z - a.z))
}

/// Whether each sample (in the setup's frame) is seen from above: its face does not look down, and
/// nothing of the part lies more than the gouge tolerance over it. Points of walls are looked at
/// the tolerance off the wall, so that the wall does not hide itself.
pub fn visible(
    map: &HeightMap,
    samples: &[Sample],
    tolerance: &Tolerance,
    watch: Watch<'_>,
) -> Result<Vec<bool>, Cancelled> {
    let chunks: Result<Vec<Vec<bool>>, Cancelled> = samples
        .par_chunks(CHUNK)
        .map(|chunk| {
            watch.check()?;
            Ok(chunk.iter().map(|s| sees(map, s, tolerance)).collect())
        })
        .collect();
    Ok(chunks?.concat())
}

fn sees(map: &HeightMap, sample: &Sample, tolerance: &Tolerance) -> bool {
    if sample.normal.z < -tolerance.square {
        return false;
    }
    let off = sample.point + sample.normal * tolerance.gouge_mm;
    let z = off.z + tolerance.gouge_mm;
    // Most open faces are the highest thing in their cell: no triangle need be asked.
    map.cell_top(off.xy()) <= z || map.highest_at(off.xy()).is_none_or(|top| top <= z)
}

/// Area seen of every face (or of every triangle when the mesh knows no faces), by its number.
pub fn seen_area_by_face(
    samples: &[Sample],
    seen: &[bool],
    face_of_triangle: Option<&[u32]>,
) -> BTreeMap<u32, f64> {
    let mut out = BTreeMap::new();
    for (sample, _) in samples.iter().zip(seen).filter(|(_, seen)| **seen) {
        let triangle = sample.triangle as usize;
        let face = face_of_triangle.map_or(sample.triangle, |f| f[triangle]);
        *out.entry(face).or_insert(0.0) += sample.area;
    }
    out
}
