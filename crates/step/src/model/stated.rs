//! Validation properties a file carries, beside what its faces give.

use super::SolidModel;
use crate::brep::{Solid, StatedProperties};
use crate::tessellate::SolidMesh;
use glam::DVec3;

/// What the faces of a solid, or of all solids of a product, give.
struct Found {
    volume_mm3: Option<f64>,
    area_mm2: f64,
    centroid_mm: DVec3,
    size_mm: f64,
}

pub(super) fn compare_stated(solid: &Solid, m: &SolidMesh) -> Vec<String> {
    let size = m.mesh.bounds();
    let found = Found {
        volume_mm3: solid.closed.then_some(m.volume_mm3),
        area_mm2: m.area_mm2,
        centroid_mm: m.centroid_mm,
        size_mm: (size[1] - size[0]).length(),
    };
    compare(&found, &solid.stated)
}

pub(super) fn compare_total(parts: &[&SolidModel], stated: &StatedProperties) -> Vec<String> {
    let volume: f64 = parts.iter().filter_map(|s| s.volume_mm3).sum();
    let moment: DVec3 = parts
        .iter()
        .map(|s| s.volume_mm3.unwrap_or(0.0) * s.centroid_mm)
        .sum();
    let (mut lo, mut hi) = (DVec3::INFINITY, DVec3::NEG_INFINITY);
    for s in parts {
        let b = s.mesh.bounds();
        (lo, hi) = (lo.min(b[0]), hi.max(b[1]));
    }
    let found = Found {
        volume_mm3: (volume != 0.0).then_some(volume),
        area_mm2: parts.iter().map(|s| s.area_mm2).sum(),
        centroid_mm: moment / volume,
        size_mm: (hi - lo).length(),
    };
    compare(&found, stated)
}

/// Stated validation properties that differ from what the faces give. Writers round to six or
/// more digits and integrate at best to 1e-4 (common practice, no source).
fn compare(found: &Found, stated: &StatedProperties) -> Vec<String> {
    let mut out = Vec::new();
    let off = |got: f64, stated: f64| (got - stated).abs() > 1e-3 * stated.abs().max(got.abs());
    if let (Some(v), Some(got)) = (stated.volume_mm3, found.volume_mm3)
        && off(got, v)
    {
        out.push(format!(
            "the file states a volume of {v:.6} mm^3, its faces enclose {got:.6}"
        ));
    }
    if let Some(a) = stated.area_mm2
        && off(found.area_mm2, a)
    {
        out.push(format!(
            "the file states an area of {a:.6} mm^2, its faces have {:.6}",
            found.area_mm2
        ));
    }
    if let (Some(c), Some(_)) = (stated.centroid_mm, found.volume_mm3) {
        let gap = c.distance(found.centroid_mm);
        if gap > 1e-3 * found.size_mm {
            out.push(format!(
                "the file states a centroid {gap:.6} mm away from the one its faces give"
            ));
        }
    }
    out
}
