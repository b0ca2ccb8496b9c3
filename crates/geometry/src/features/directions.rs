//! Directions a part may be machined from, as its faces suggest them.

use super::face::{SolidFaces, Surface};
use super::hole::Hole;
use glam::DVec3;

/// Directions this near are one, rad.
const SAME_RAD: f64 = 0.01;
/// A flat face must hold this share of the surface to suggest a direction of its own.
const LEAST_SHARE: f64 = 0.01;

/// Unit vectors from the part to the spindle, the weightiest first: entries of holes, and both
/// senses of the normals of flat faces that hold more than a hundredth of the surface.
pub fn candidate_directions(solid: &SolidFaces<'_>, holes: &[Hole]) -> Vec<DVec3> {
    let total: f64 = solid.faces.iter().map(|f| f.area_mm2).sum();
    let mut weighed: Vec<(DVec3, f64)> = Vec::new();
    let mut add = |direction: DVec3, area: f64| {
        let same = |d: &&mut (DVec3, f64)| d.0.dot(direction) > 0.0 && parallel(d.0, direction);
        match weighed.iter_mut().find(same) {
            Some(known) => known.1 += area,
            None => weighed.push((direction, area)),
        }
    };
    let mut flats: Vec<_> = solid
        .faces
        .iter()
        .filter_map(|f| match f.surface {
            Surface::Plane { normal, .. } => Some((normal, f.area_mm2)),
            _ => None,
        })
        .collect();
    flats.sort_by(|a, b| b.1.total_cmp(&a.1));
    // Freeform meshes have thousands of small flats; none of them can reach the share alone.
    for (normal, area) in flats.into_iter().take(500) {
        add(normal, area);
    }
    weighed.retain(|d| d.1 >= LEAST_SHARE * total);
    let opposite: Vec<DVec3> = weighed
        .iter()
        .map(|d| -d.0)
        .filter(|o| {
            !weighed
                .iter()
                .any(|d| d.0.dot(*o) > 0.0 && parallel(d.0, *o))
        })
        .collect();
    weighed.extend(opposite.into_iter().map(|d| (d, 0.0)));
    for hole in holes {
        if !weighed
            .iter()
            .any(|d| d.0.dot(hole.toward) > 0.0 && parallel(d.0, hole.toward))
        {
            weighed.push((hole.toward, 0.0));
        }
    }
    weighed.sort_by(|a, b| b.1.total_cmp(&a.1));
    weighed.into_iter().map(|d| d.0).collect()
}

fn parallel(a: DVec3, b: DVec3) -> bool {
    a.cross(b).length() < SAME_RAD
}
