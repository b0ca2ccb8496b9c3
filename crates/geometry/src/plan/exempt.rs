//! Surface that is told apart and does not cost a setup: engraved marks and broken edges; and the
//! strips a round tool leaves in sharp inside corners, which count as made by whoever makes the
//! wall beside them.

use super::Shape;
use super::sample::{FaceSample, Samples};
use crate::features::corner::{InsideCorner, SharpCorner};
use crate::features::face::{Border, Surface};
use glam::DVec3;

/// Why a sample need not be reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Exempt {
    /// It must be.
    No,
    /// Part of an engraved mark.
    Mark,
    /// A small chamfer or rounding along an outside edge, broken by hand or with any tool.
    Break,
    /// Left as the stock is.
    Stock,
}

/// Widest face along outside edges that counts as a broken edge, mm (ISO 13715 states edges up to
/// 1 mm without a drawing of them; from memory).
const BREAK_WIDTH_MM: f64 = 1.2;
/// A tool for a sharp corner of depth L is taken L/2 across, as far as end mills go without long
/// necks (common practice, no source), and not below 0.5 mm, the thinnest of the standard set.
const CORNER_DEPTH_PER_RADIUS: f64 = 4.0;
const LEAST_CORNER_RADIUS_MM: f64 = 0.25;

/// Radius left in a sharp inside corner of this depth, mm.
pub fn radius_left_mm(depth_mm: f64) -> f64 {
    (depth_mm / CORNER_DEPTH_PER_RADIUS).max(LEAST_CORNER_RADIUS_MM)
}

/// For every face whether it is a mark or a break.
pub fn exempt_faces(
    shape: &Shape<'_>,
    corners: &[InsideCorner],
    sharp: &[SharpCorner],
) -> Vec<Exempt> {
    let mut out = vec![Exempt::No; shape.solid.faces.len()];
    mark_marks(shape, corners, sharp, &mut out);
    for (f, exempt) in out.iter_mut().enumerate() {
        if *exempt == Exempt::No && is_break(shape, f) {
            *exempt = Exempt::Break;
        }
    }
    for &f in shape.holes.iter().flat_map(|h| &h.faces) {
        out[f as usize] = Exempt::No;
    }
    out
}

/// The walls found engraved, the floors they stand on, and all walls round those floors.
fn mark_marks(
    shape: &Shape<'_>,
    corners: &[InsideCorner],
    sharp: &[SharpCorner],
    out: &mut [Exempt],
) {
    let walls = corners
        .iter()
        .filter(|c| c.engraved)
        .flat_map(|c| c.faces.iter().map(|f| (*f, c.axis)))
        .chain(
            sharp
                .iter()
                .filter(|c| c.engraved)
                .flat_map(|c| c.faces.map(|f| (f, c.along))),
        );
    for (wall, axis) in walls {
        out[wall as usize] = Exempt::Mark;
        for border in inside(shape, wall) {
            let Surface::Plane { normal, .. } = shape.solid.faces[border.other as usize].surface
            else {
                continue;
            };
            if normal.cross(axis).length() < 0.01 && out[border.other as usize] != Exempt::Mark {
                out[border.other as usize] = Exempt::Mark;
                for around in inside(shape, border.other) {
                    out[around.other as usize] = Exempt::Mark;
                }
            }
        }
    }
}

fn inside<'a>(shape: &'a Shape<'_>, face: u32) -> impl Iterator<Item = &'a Border> {
    shape.solid.borders[face as usize]
        .iter()
        .filter(|b| b.concave_mm > 0.0)
}

fn is_break(shape: &Shape<'_>, f: usize) -> bool {
    let face = &shape.solid.faces[f];
    let borders = &shape.solid.borders[f];
    let round: f64 = borders
        .iter()
        .map(|b| b.convex_mm + b.concave_mm + b.smooth_mm)
        .sum();
    let inside: f64 = borders.iter().map(|b| b.concave_mm).sum();
    let outward = match face.surface {
        Surface::Plane { .. } => borders.iter().map(|b| b.convex_mm).sum::<f64>() > 0.9 * round,
        Surface::Cylinder { .. } | Surface::Torus { .. } | Surface::Cone { .. } => !face.concave,
        _ => false,
    };
    outward && inside < 0.1 * round && 2.0 * face.area_mm2 < BREAK_WIDTH_MM * round
}

/// A sharp inside edge between two faces.
#[derive(Clone, Copy, Debug)]
pub struct SharpEdge {
    faces: [u32; 2],
    at: DVec3,
    along: DVec3,
    length_mm: f64,
    left_mm: f64,
}

impl SharpEdge {
    /// Whether a tool along `toward` leaves its radius in this edge.
    pub fn is_along(&self, toward: DVec3) -> bool {
        self.along.cross(toward).length() < 0.01
    }

    /// Places on the sample's face, level with it, that a tool touches which leaves the permitted
    /// radius, half of it, a quarter of it: narrow faces have no room for more.
    pub fn beside(&self, sample: &FaceSample) -> impl Iterator<Item = DVec3> + use<> {
        let away = (sample.point - self.at).reject_from_normalized(self.along);
        let (point, left_mm) = (sample.point, self.left_mm);
        [1.0, 0.5, 0.25].into_iter().filter_map(move |share| {
            let more = 1.05 * share * left_mm - away.length();
            (more > 0.0).then(|| point + away.normalize_or_zero() * more)
        })
    }
}

/// All straight sharp inside edges.
pub fn sharp_edges(shape: &Shape<'_>) -> Vec<SharpEdge> {
    let mut out = Vec::new();
    for (f, borders) in shape.solid.borders.iter().enumerate() {
        for b in borders {
            if b.other as usize > f && b.concave_mm > 0.0 && b.along != DVec3::ZERO {
                out.push(SharpEdge {
                    faces: [f as u32, b.other],
                    at: b.middle,
                    along: b.along,
                    length_mm: b.concave_mm,
                    left_mm: radius_left_mm(b.concave_mm),
                });
            }
        }
    }
    out
}

/// For every sample the sharp edges whose left radius it lies in: samples of the two walls, and of
/// floors the edge stands on.
pub fn near_edges(samples: &Samples, edges: &[SharpEdge]) -> Vec<Vec<u32>> {
    let mut out = vec![Vec::new(); samples.all.len()];
    for (e, edge) in edges.iter().enumerate() {
        for (near, sample) in out.iter_mut().zip(&samples.all) {
            let off = sample.point - edge.at;
            let along = off.dot(edge.along);
            // Far samples first: there are many edges.
            if along.abs() > edge.length_mm
                || off.length_squared() - along * along > edge.left_mm * edge.left_mm
            {
                continue;
            }
            if edge.faces.contains(&sample.face) || sample.normal.cross(edge.along).length() < 0.01
            {
                near.push(e as u32);
            }
        }
    }
    out
}

/// Marks flat faces on the outside of the part's box as left: the stock may be bought to size.
pub fn leave_stock_faces(shape: &Shape<'_>, out: &mut [Exempt]) {
    let b = shape.smallest_box;
    for (f, face) in shape.solid.faces.iter().enumerate() {
        let Surface::Plane { normal, origin } = face.surface else {
            continue;
        };
        let axes = [
            b.part_from_box.x_axis,
            b.part_from_box.y_axis,
            b.part_from_box.z_axis,
        ];
        let outside = axes.iter().zip(b.extents).any(|(axis, extent)| {
            normal.cross(*axis).length() < 1e-3
                && ((origin - b.centre).dot(normal) - extent / 2.0).abs() < 1e-3 * extent
        });
        if outside && out[f] == Exempt::No {
            out[f] = Exempt::Stock;
        }
    }
}
