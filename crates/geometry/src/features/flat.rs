//! Wide flats, and the face mill they invite.

use super::face::{SolidFaces, Surface};
use crate::rectangle::smallest_rectangle;
use glam::{DVec2, DVec3};

/// A flat that nothing stands on, seen from its normal.
#[derive(Clone, Debug, PartialEq)]
pub struct Flat {
    /// Out of the material: the setup that faces it.
    pub normal: DVec3,
    /// Middle of its bounds.
    pub at: DVec3,
    /// Area, mm2.
    pub area_mm2: f64,
    /// Long and short side of the smallest rectangle around it, mm.
    pub size_mm: [f64; 2],
    /// Face mill that suits it, mm.
    pub face_mill_mm: f64,
    /// Passes with it.
    pub passes: u32,
    /// Faces in this plane.
    pub faces: Vec<u32>,
}

/// Narrower flats are an end mill's work, mm (common practice, no source).
const WIDE_MM: f64 = 25.0;
/// Diameters of face mills (ISO 6462, from memory); above 80 mm they are heavy for small tapers.
const FACE_MILLS_MM: [f64; 4] = [40.0, 50.0, 63.0, 80.0];
/// Share of the diameter a pass cuts (common practice, no source: two thirds to three quarters).
const PASS: f64 = 0.7;
/// Planes this near are one, mm.
const SAME_MM: f64 = 5e-3;

/// Wide open flats, the largest first.
pub fn wide_flats(solid: &SolidFaces<'_>) -> Vec<Flat> {
    let mut planes: Vec<(u32, DVec3, f64)> = (0..solid.faces.len() as u32)
        .filter_map(|f| match solid.faces[f as usize].surface {
            Surface::Plane { normal, origin } if is_open(solid, f) => {
                Some((f, normal, normal.dot(origin)))
            }
            _ => None,
        })
        .collect();
    let area = |f: u32| solid.faces[f as usize].area_mm2;
    planes.sort_by(|a, b| area(b.0).total_cmp(&area(a.0)).then(a.0.cmp(&b.0)));
    let mut groups: Vec<(DVec3, f64, Vec<u32>)> = Vec::new();
    for (face, normal, level) in planes {
        // Small leftovers of freeform meshes start no group.
        let known = groups
            .iter_mut()
            .find(|g| g.0.distance(normal) < 1e-4 && (g.1 - level).abs() < SAME_MM);
        match known {
            Some(group) => group.2.push(face),
            None if area(face) >= WIDE_MM * WIDE_MM / 4.0 => {
                groups.push((normal, level, vec![face]));
            }
            None => {}
        }
    }
    let mut out: Vec<Flat> = groups
        .into_iter()
        .filter_map(|(normal, _, faces)| flat(solid, normal, faces))
        .collect();
    out.sort_by(|a, b| {
        b.area_mm2
            .total_cmp(&a.area_mm2)
            .then(a.faces.cmp(&b.faces))
    });
    out
}

/// Nothing rises from it: no inside edge worth the name.
fn is_open(solid: &SolidFaces<'_>, face: u32) -> bool {
    let (inside, all) = solid.borders[face as usize]
        .iter()
        .fold((0.0, 0.0), |(i, a), b| {
            (
                i + b.concave_mm,
                a + b.convex_mm + b.concave_mm + b.smooth_mm,
            )
        });
    inside <= 0.01 * all
}

fn flat(solid: &SolidFaces<'_>, normal: DVec3, faces: Vec<u32>) -> Option<Flat> {
    let (u, v) = normal.any_orthonormal_pair();
    let corners: Vec<DVec3> = faces
        .iter()
        .flat_map(|&f| &solid.faces[f as usize].triangles)
        .flat_map(|&t| solid.mesh.corners(t as usize))
        .collect();
    let flat: Vec<DVec2> = corners
        .iter()
        .map(|p| DVec2::new(p.dot(u), p.dot(v)))
        .collect();
    let [a, b] = smallest_rectangle(&flat)?.extents;
    let (long, short) = (a.max(b), a.min(b));
    let (low, high) = corners
        .iter()
        .fold((DVec3::INFINITY, DVec3::NEG_INFINITY), |(l, h), &p| {
            (l.min(p), h.max(p))
        });
    let area_mm2: f64 = faces
        .iter()
        .map(|&f| solid.faces[f as usize].area_mm2)
        .sum();
    // A thin frame around a large pocket is wide in neither direction.
    if short < WIDE_MM || area_mm2 < 0.25 * long * short {
        return None;
    }
    let largest = FACE_MILLS_MM[FACE_MILLS_MM.len() - 1];
    let face_mill_mm = FACE_MILLS_MM
        .into_iter()
        .find(|d| PASS * d >= short)
        .unwrap_or(largest);
    Some(Flat {
        normal,
        at: (low + high) / 2.0,
        area_mm2,
        size_mm: [long, short],
        face_mill_mm,
        passes: (short / (PASS * face_mill_mm) - 1e-9).ceil() as u32,
        faces,
    })
}
