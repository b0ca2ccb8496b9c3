//! Inside corners: the smallest radius a side-cutting tool must follow, and corners with none.

use super::face::{Border, SolidFaces, Surface};
use super::hole::{ALL_AROUND_RAD, Hole};
use super::line::crossings;
use super::piece::{SAME_MM, axis_lines, covered};
use glam::DVec3;

/// Engraving is no deeper than this, mm (common practice, no source; the marks on the NIST test
/// cases are 2.0 and 2.54 mm deep).
const ENGRAVED_DEPTH_MM: f64 = 3.0;
/// Strokes of engraved letters are no wider than this, mm (the same marks: 3 to 5 mm).
const ENGRAVED_WIDTH_MM: f64 = 6.0;
/// Fewest walls around the floor of a letter; a slot with rounded ends has four.
const ENGRAVED_WALLS: usize = 6;
/// Arcs below this are blends of freeform walls, not corners, rad.
const LEAST_SWEEP_RAD: f64 = 0.17;
/// How far the axis of a corner may stray from the direction over the corner's length, mm: fits to
/// fillets stay within 1e-4, bands of a freeform face in the models tried stray 3e-3 and more.
const STRAY_MM: f64 = 2e-3;
/// Parallel and square within this, rad.
const ANGLE_RAD: f64 = 0.01;

/// A rounded inside corner parallel to a tool axis.
#[derive(Clone, Debug, PartialEq)]
pub struct InsideCorner {
    /// Radius, mm.
    pub radius_mm: f64,
    /// Direction of its axis, either sense.
    pub axis: DVec3,
    /// Middle of its axis.
    pub at: DVec3,
    /// Length along the axis, mm.
    pub length_mm: f64,
    /// Angle of the arc, rad.
    pub sweep_rad: f64,
    /// Part of an engraved mark.
    pub engraved: bool,
    /// Faces it is made of.
    pub faces: Vec<u32>,
}

/// An inside corner without radius that no straight rotating tool cuts.
#[derive(Clone, Debug, PartialEq)]
pub struct SharpCorner {
    /// Middle of its longest straight piece.
    pub at: DVec3,
    /// Direction of the edge.
    pub along: DVec3,
    /// Length, mm.
    pub length_mm: f64,
    /// The two walls.
    pub faces: [u32; 2],
    /// Part of an engraved mark.
    pub engraved: bool,
}

/// Rounded inside corners parallel to one of `directions`, smallest first; what belongs to a hole
/// is left out.
pub fn inside_corners(
    solid: &SolidFaces<'_>,
    directions: &[DVec3],
    holes: &[Hole],
) -> Vec<InsideCorner> {
    let mut in_hole = vec![false; solid.faces.len()];
    for &f in holes.iter().flat_map(|h| &h.faces) {
        in_hole[f as usize] = true;
    }
    let mut out = Vec::new();
    for line in axis_lines(solid) {
        if !directions.iter().any(|d| is_parallel(*d, line.axis)) {
            continue;
        }
        let mut pieces: Vec<_> = line
            .pieces
            .iter()
            .filter(|p| !p.cone && !in_hole[p.face as usize])
            .collect();
        pieces.sort_by(|a, b| {
            a.radius[0]
                .total_cmp(&b.radius[0])
                .then(a.face.cmp(&b.face))
        });
        for group in pieces.chunk_by(|a, b| b.radius[0] - a.radius[0] <= SAME_MM) {
            let sweep_rad = covered(group.iter().flat_map(|p| p.arcs.clone()).collect());
            if !(LEAST_SWEEP_RAD..ALL_AROUND_RAD).contains(&sweep_rad) {
                continue;
            }
            let (low, high) = group
                .iter()
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), p| {
                    (l.min(p.span[0]), h.max(p.span[1]))
                });
            // A band of a freeform wall passes for a cylinder, but not for one that keeps to the
            // direction over its whole length.
            let tilt = directions
                .iter()
                .map(|d| d.cross(group[0].axis).length())
                .fold(f64::INFINITY, f64::min);
            if tilt * (high - low) > STRAY_MM {
                continue;
            }
            let area: f64 = group.iter().map(|p| p.area).sum();
            let faces: Vec<u32> = group.iter().map(|p| p.face).collect();
            out.push(InsideCorner {
                radius_mm: group.iter().map(|p| p.radius[0] * p.area).sum::<f64>() / area,
                axis: line.axis,
                at: line.point + line.axis * ((low + high) / 2.0),
                length_mm: high - low,
                sweep_rad,
                engraved: faces.iter().all(|&f| is_engraved(solid, f, line.axis)),
                faces,
            });
        }
    }
    out.sort_by(|a, b| {
        a.radius_mm
            .total_cmp(&b.radius_mm)
            .then(a.faces.cmp(&b.faces))
    });
    out
}

/// The smallest radius that is no engraved mark.
pub fn smallest_inside_radius(corners: &[InsideCorner]) -> Option<f64> {
    corners.iter().find(|c| !c.engraved).map(|c| c.radius_mm)
}

/// Whether a wall stands on the floor of an engraved mark: shallow, narrow, many walls, and
/// material standing between strokes.
fn is_engraved(solid: &SolidFaces<'_>, wall: u32, axis: DVec3) -> bool {
    let heights = solid.faces[wall as usize]
        .triangles
        .iter()
        .flat_map(|&t| solid.mesh.corners(t as usize))
        .map(|p| p.dot(axis));
    let (low, high) = heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), t| {
        (l.min(t), h.max(t))
    });
    if high - low > ENGRAVED_DEPTH_MM {
        return false;
    }
    solid.borders[wall as usize].iter().any(|b| {
        b.concave_mm > 0.0
            && matches!(solid.faces[b.other as usize].surface,
                Surface::Plane { normal, .. } if is_parallel(normal, axis))
            && is_mark_floor(solid, b.other, axis)
    })
}

fn is_mark_floor(solid: &SolidFaces<'_>, floor: u32, axis: DVec3) -> bool {
    let borders = &solid.borders[floor as usize];
    let round: f64 = borders.iter().map(length).sum();
    let width = 2.0 * solid.faces[floor as usize].area_mm2 / round;
    let walls: Vec<u32> = borders
        .iter()
        .filter(|b| b.concave_mm > 0.0)
        .map(|b| b.other)
        .collect();
    let stands_between = |w: &u32| {
        let face = &solid.faces[*w as usize];
        matches!(face.surface, Surface::Cylinder { axis: a, .. } if is_parallel(a, axis))
            && !face.concave
            || solid.borders[*w as usize].iter().any(|b| {
                b.convex_mm > 0.0 && is_parallel(b.along, axis) && walls.contains(&b.other)
            })
    };
    width <= ENGRAVED_WIDTH_MM && walls.len() >= ENGRAVED_WALLS && walls.iter().any(stands_between)
}

/// Sharp inside corners that stay uncut when the part is milled along `directions` (from the part
/// to the spindle): edges between two flat walls along a direction. An edge is left out when from
/// another of the directions one of its faces is an open floor and the other a wall that is square or
/// leans outward, for that corner a flat tool leaves sharp.
pub fn sharp_inside_corners(solid: &SolidFaces<'_>, directions: &[DVec3]) -> Vec<SharpCorner> {
    let plane = |f: u32| match solid.faces[f as usize].surface {
        Surface::Plane { normal, .. } => Some(normal),
        _ => None,
    };
    let mut found: Vec<(SharpCorner, [DVec3; 2])> = Vec::new();
    for f in 0..solid.faces.len() as u32 {
        for b in &solid.borders[f as usize] {
            if b.other > f
                && b.concave_mm > 0.0
                && let (Some(one), Some(two)) = (plane(f), plane(b.other))
                && directions.iter().any(|d| is_parallel(*d, b.along))
            {
                let corner = SharpCorner {
                    at: b.middle,
                    along: b.along,
                    length_mm: b.concave_mm,
                    faces: [f, b.other],
                    engraved: is_engraved(solid, f, b.along)
                        && is_engraved(solid, b.other, b.along),
                };
                found.push((corner, [one, two]));
            }
        }
    }
    let mut as_floor = vec![false; found.len()];
    for &d in directions {
        let tried: Vec<usize> = (0..found.len())
            .filter(|&i| {
                let [one, two] = found[i].1;
                let floor = |a: DVec3, b: DVec3| {
                    a.dot(d) > 0.0 && is_parallel(a, d) && b.dot(d) > -ANGLE_RAD
                };
                floor(one, two) || floor(two, one)
            })
            .collect();
        // Just off the corner, far enough to be clear of rounding.
        let points: Vec<DVec3> = tried
            .iter()
            .map(|&i| found[i].0.at + (found[i].1[0] + found[i].1[1]) * 5e-3)
            .collect();
        for (i, line) in tried.into_iter().zip(crossings(solid, d, &points)) {
            as_floor[i] |= !line.iter().any(|c| c.at_mm > 0.0);
        }
    }
    found
        .into_iter()
        .zip(as_floor)
        .filter(|(_, floor)| !floor)
        .map(|((corner, _), _)| corner)
        .collect()
}

fn is_parallel(a: DVec3, b: DVec3) -> bool {
    a.cross(b).length() < ANGLE_RAD
}

fn length(b: &Border) -> f64 {
    b.convex_mm + b.concave_mm + b.smooth_mm
}
