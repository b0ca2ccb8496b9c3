//! Thin walls and floors: material between two faces that gives under the tool.
//!
//! From points of every flat face a line goes straight into the material; where it leaves again is
//! the other side. Against a parallel face the thickness is exact, against any other it is that of
//! the mesh. The thinnest place of each pair of faces counts.

use super::face::{SolidFaces, Surface};
use super::line::crossings;
use super::sample::{Sample, samples};
use glam::DVec3;
use std::collections::BTreeMap;

/// What a thin place is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ThinKind {
    /// Stands up between two spaces.
    Wall,
    /// Closes a pocket.
    Floor,
    /// The whole part is thin there.
    Plate,
}

/// A thin place.
#[derive(Clone, Debug, PartialEq)]
pub struct Thin {
    /// Wall, floor or plate.
    pub kind: ThinKind,
    /// Least thickness, mm.
    pub thickness_mm: f64,
    /// Width of the narrower face, mm: the height of a wall, the span of a floor.
    pub span_mm: f64,
    /// Area that is this thin, estimated from sample points, mm2.
    pub area_mm2: f64,
    /// A point on it.
    pub at: DVec3,
    /// Out of the material there.
    pub normal: DVec3,
    /// The two faces.
    pub faces: [u32; 2],
}

/// Spans beyond this many thicknesses give under the tool (common practice, no source: walls of 8
/// to 10 times their thickness are milled in steps).
const SLENDER: f64 = 8.0;
/// The same for floors and plates, which are held all around (common practice, no source).
const SLENDER_FLOOR: f64 = 15.0;
/// Thinner than this is thin at any height, mm (common practice, no source).
const ALWAYS_MM: f64 = 0.8;
/// Flat faces looked at, the largest first; freeform meshes have thousands of small ones.
const MOST_FACES: usize = 400;
/// Points on each.
const POINTS: usize = 12;

/// Thin places, thinnest first.
pub fn thin_places(solid: &SolidFaces<'_>) -> Vec<Thin> {
    let mut flats: Vec<(u32, DVec3, f64)> = (0..solid.faces.len() as u32)
        .filter_map(|f| match solid.faces[f as usize].surface {
            Surface::Plane { normal, origin } => Some((f, normal, normal.dot(origin))),
            _ => None,
        })
        .collect();
    let area = |f: u32| solid.faces[f as usize].area_mm2;
    flats.sort_by(|a, b| area(b.0).total_cmp(&area(a.0)).then(a.0.cmp(&b.0)));
    flats.truncate(MOST_FACES);
    let mut found: BTreeMap<[u32; 2], Thin> = BTreeMap::new();
    let mut done = vec![false; flats.len()];
    for i in 0..flats.len() {
        if done[i] {
            continue;
        }
        let inward = -flats[i].1;
        let mut points: Vec<(usize, Sample)> = Vec::new();
        for j in i..flats.len() {
            if !done[j] && flats[j].1.distance(flats[i].1) < 1e-5 {
                done[j] = true;
                points.extend(
                    samples(solid, flats[j].0, POINTS)
                        .into_iter()
                        .map(|s| (j, s)),
                );
            }
        }
        let places: Vec<DVec3> = points.iter().map(|p| p.1.at).collect();
        for ((j, sample), line) in points.iter().zip(crossings(solid, inward, &places)) {
            let (own, normal, level) = flats[*j];
            // The face itself is crossed at 0, give or take rounding.
            let Some(out) = line.iter().find(|c| c.at_mm > 1e-4 && !c.enters) else {
                continue;
            };
            let thickness_mm = match solid.faces[out.face as usize].surface {
                Surface::Plane { normal: m, origin } if m.dot(normal) < -0.999_999 => {
                    level + m.dot(origin)
                }
                _ => out.at_mm,
            };
            let (low, high) = (own.min(out.face), own.max(out.face));
            let thin = found.entry([low, high]).or_insert(Thin {
                kind: ThinKind::Plate,
                thickness_mm,
                span_mm: span(solid, own).min(span(solid, out.face)),
                area_mm2: 0.0,
                at: sample.at,
                normal,
                faces: [low, high],
            });
            if thickness_mm < thin.thickness_mm {
                (thin.thickness_mm, thin.at, thin.normal) = (thickness_mm, sample.at, normal);
            }
            // Each pair is met from both sides.
            let from_both = matches!(
                solid.faces[out.face as usize].surface,
                Surface::Plane { .. }
            );
            thin.area_mm2 += sample.area_mm2 / if from_both { 2.0 } else { 1.0 };
        }
    }
    let mut out: Vec<Thin> = found
        .into_values()
        .map(|t| Thin {
            kind: kind(solid, t.faces),
            ..t
        })
        .filter(|t| {
            let slender = match t.kind {
                ThinKind::Wall => SLENDER,
                ThinKind::Floor | ThinKind::Plate => SLENDER_FLOOR,
            };
            t.thickness_mm > 0.0
                && (t.span_mm > slender * t.thickness_mm
                    || t.thickness_mm < ALWAYS_MM && t.span_mm > t.thickness_mm)
        })
        .collect();
    out.sort_by(|a, b| {
        a.thickness_mm
            .total_cmp(&b.thickness_mm)
            .then(a.faces.cmp(&b.faces))
    });
    out
}

/// Twice the area over the length of the border: the width of a long face, half of a square's.
fn span(solid: &SolidFaces<'_>, face: u32) -> f64 {
    let around: f64 = border(solid, face).iter().sum();
    if around > 0.0 {
        2.0 * solid.faces[face as usize].area_mm2 / around
    } else {
        0.0
    }
}

/// Length of outside, inside and smooth edges.
fn border(solid: &SolidFaces<'_>, face: u32) -> [f64; 3] {
    solid.borders[face as usize]
        .iter()
        .fold([0.0; 3], |[a, b, c], e| {
            [a + e.convex_mm, b + e.concave_mm, c + e.smooth_mm]
        })
}

/// A floor is framed by inside edges, a wall stands on one.
fn kind(solid: &SolidFaces<'_>, faces: [u32; 2]) -> ThinKind {
    let inside = faces.map(|f| {
        let [convex, concave, smooth] = border(solid, f);
        concave / (convex + concave + smooth).max(1e-12)
    });
    let most = inside[0].max(inside[1]);
    if most > 0.6 {
        ThinKind::Floor
    } else if most > 0.02 {
        ThinKind::Wall
    } else {
        ThinKind::Plate
    }
}
