//! Undercuts: surface that no straight line from any direction reaches.

use super::face::{SolidFaces, Surface};
use super::hole::{Hole, Step};
use super::line::crossings;
use super::piece::SAME_MM;
use super::sample::{Sample, samples};
use glam::DVec3;

/// A face of which part is hidden from every direction.
#[derive(Clone, Debug, PartialEq)]
pub struct Undercut {
    /// The face.
    pub face: u32,
    /// Hidden area, estimated from sample points, mm2.
    pub area_mm2: f64,
    /// A hidden point.
    pub at: DVec3,
}

/// Faces looked at, the largest first.
const MOST_FACES: usize = 2000;
/// Points on each.
const POINTS: usize = 12;
/// Lines start this far off flat faces, mm: clear of rounding.
const OFF_FLAT_MM: f64 = 0.02;
/// And off others: clear of the chords of meshes for review, 0.05 mm.
const OFF_ROUND_MM: f64 = 0.06;
/// Directions this square to a face still brush along it, as cosine.
const BRUSH: f64 = -1e-3;

/// Faces hidden, in whole or part, from all of `directions` (from the part outward). Faces of holes
/// are left out, for a hole has an open end, unless it is wider inside than on either side.
///
/// A line has no width, so what is listed is undercut for any straight tool along these
/// directions; a tool of some size may reach less still.
pub fn undercuts(solid: &SolidFaces<'_>, directions: &[DVec3], holes: &[Hole]) -> Vec<Undercut> {
    let mut in_hole = vec![false; solid.faces.len()];
    for &f in holes
        .iter()
        .filter(|h| !widens_inside(h))
        .flat_map(|h| &h.faces)
    {
        in_hole[f as usize] = true;
    }
    let mut order: Vec<u32> = (0..solid.faces.len() as u32)
        .filter(|&f| !in_hole[f as usize])
        .collect();
    let area = |f: u32| solid.faces[f as usize].area_mm2;
    order.sort_by(|&a, &b| area(b).total_cmp(&area(a)).then(a.cmp(&b)));
    order.truncate(MOST_FACES);
    let mut hidden: Vec<(u32, Sample)> = order
        .iter()
        .flat_map(|&f| samples(solid, f, POINTS).into_iter().map(move |s| (f, s)))
        .collect();
    for &direction in directions {
        let (facing, away): (Vec<_>, Vec<_>) = hidden
            .into_iter()
            .partition(|(_, s)| s.normal.dot(direction) >= BRUSH);
        let points: Vec<DVec3> = facing
            .iter()
            .map(|(f, s)| {
                let flat = matches!(solid.faces[*f as usize].surface, Surface::Plane { .. });
                s.at + s.normal * if flat { OFF_FLAT_MM } else { OFF_ROUND_MM }
            })
            .collect();
        hidden = away;
        for (sample, line) in facing.into_iter().zip(crossings(solid, direction, &points)) {
            if line.iter().any(|c| c.at_mm > 0.0) {
                hidden.push(sample);
            }
        }
    }
    hidden.sort_by_key(|(f, _)| *f);
    hidden
        .chunk_by(|a, b| a.0 == b.0)
        // One point of twelve may have met a crack between triangles.
        .filter(|group| group.len() > 1)
        .map(|group| Undercut {
            face: group[0].0,
            area_mm2: group.iter().map(|(_, s)| s.area_mm2).sum(),
            at: group[0].1.at,
        })
        .collect()
}

/// Whether a step is wider than what lies on both sides of it.
fn widens_inside(hole: &Hole) -> bool {
    let narrower = |s: &Step, o: &Step| o.far_diameter_mm.max(o.diameter_mm) < s.diameter_mm - 0.1;
    hole.steps.iter().any(|s| {
        let before = |o: &Step| narrower(s, o) && o.from_mm < s.from_mm - SAME_MM;
        let after = |o: &Step| narrower(s, o) && o.to_mm > s.to_mm + SAME_MM;
        hole.steps.iter().any(before) && hole.steps.iter().any(after)
    })
}
