//! Hollow round faces measured about their axis, and which of them share one axis.

use super::face::{SolidFaces, Surface};
use glam::DVec3;
use std::collections::BTreeMap;
use std::f64::consts::{PI, TAU};

/// Faces whose axes lie this near each other share one, mm; also how near heights and radii must
/// be to be one. Coarser than any fit to a sound mesh, finer than any step somebody draws.
pub(crate) const SAME_MM: f64 = 0.02;
/// Directions this near are one, rad: twice the tilt that a fit leaves on a 1 mm long bore.
const SAME_DIRECTION_RAD: f64 = 0.01;

/// A hollow cylinder or cone face.
#[derive(Clone, Debug)]
pub(crate) struct Piece {
    pub face: u32,
    pub axis: DVec3,
    /// On the axis, middle of its length.
    pub middle: DVec3,
    /// Radius at the low and the high end along the axis.
    pub radius: [f64; 2],
    /// Heights of its ends along the axis of its line, about the line's point.
    pub span: [f64; 2],
    /// Angles covered, (middle, half width).
    pub arcs: Vec<(f64, f64)>,
    pub cone: bool,
    pub area: f64,
}

/// Pieces about one axis.
#[derive(Clone, Debug)]
pub(crate) struct AxisLine {
    pub point: DVec3,
    pub axis: DVec3,
    pub pieces: Vec<Piece>,
}

/// Total angle covered by arcs given as (middle, half width), rad; overlaps count once.
pub(crate) fn covered(arcs: Vec<(f64, f64)>) -> f64 {
    let mut spans: Vec<(f64, f64)> = Vec::with_capacity(arcs.len());
    for (middle, half) in arcs {
        if half >= PI {
            return TAU;
        }
        let low = (middle - half).rem_euclid(TAU);
        let high = low + 2.0 * half;
        spans.push((low, high.min(TAU)));
        if high > TAU {
            spans.push((0.0, high - TAU));
        }
    }
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut total, mut end) = (0.0, 0.0f64);
    for (low, high) in spans {
        total += (high - low.max(end)).max(0.0);
        end = end.max(high);
    }
    total
}

/// The sense of a direction that points to +Z, across Z to +Y, along X to +X. Directions that lean
/// by less than two that are one count as square.
pub(crate) fn canonical(axis: DVec3) -> DVec3 {
    let lead = [axis.z, axis.y, axis.x]
        .into_iter()
        .find(|c| c.abs() > 2.0 * SAME_DIRECTION_RAD)
        .unwrap_or(1.0);
    if lead < 0.0 { -axis } else { axis }
}

/// All axes of hollow cylinders and cones, in order of direction and place.
pub(crate) fn axis_lines(solid: &SolidFaces<'_>) -> Vec<AxisLine> {
    let mut pieces: Vec<Piece> = (0..solid.faces.len() as u32)
        .filter_map(|f| piece(solid, f))
        .collect();
    pieces.sort_by(|a, b| b.area.total_cmp(&a.area).then(a.face.cmp(&b.face)));
    let mut directions: Vec<DVec3> = Vec::new();
    let mut at_cell: BTreeMap<(usize, i64, i64), Vec<usize>> = BTreeMap::new();
    let mut lines: Vec<AxisLine> = Vec::new();
    for piece in pieces {
        let known = directions
            .iter()
            .position(|d| d.cross(piece.axis).length() < SAME_DIRECTION_RAD);
        let direction = known.unwrap_or_else(|| {
            directions.push(piece.axis);
            directions.len() - 1
        });
        let (u, v) = directions[direction].any_orthonormal_pair();
        let place = [piece.middle.dot(u), piece.middle.dot(v)];
        let cell = place.map(|c| (c / (4.0 * SAME_MM)).floor() as i64);
        let mut found = None;
        for x in cell[0] - 1..=cell[0] + 1 {
            for y in cell[1] - 1..=cell[1] + 1 {
                for &l in at_cell.get(&(direction, x, y)).into_iter().flatten() {
                    let line: &AxisLine = &lines[l];
                    let off = (piece.middle - line.point).reject_from_normalized(line.axis);
                    if off.length() < SAME_MM && found.is_none_or(|f| l < f) {
                        found = Some(l);
                    }
                }
            }
        }
        let line = found.unwrap_or_else(|| {
            lines.push(AxisLine {
                point: piece.middle,
                axis: canonical(piece.axis),
                pieces: Vec::new(),
            });
            at_cell
                .entry((direction, cell[0], cell[1]))
                .or_default()
                .push(lines.len() - 1);
            lines.len() - 1
        });
        lines[line].pieces.push(piece);
    }
    for line in &mut lines {
        place_on(solid, line);
    }
    lines
}

/// A hollow round face with its extent yet to be measured.
fn piece(solid: &SolidFaces<'_>, index: u32) -> Option<Piece> {
    let face = &solid.faces[index as usize];
    let (axis, point, cone) = match face.surface {
        Surface::Cylinder { axis, origin, .. } => (axis, origin, false),
        Surface::Cone { axis, apex, .. } => (axis, apex, true),
        _ => return None,
    };
    if !face.concave || face.triangles.is_empty() {
        return None;
    }
    let axis = axis.try_normalize()?;
    let heights = corner_points(solid, index).map(|p| (p - point).dot(axis));
    let (low, high) = heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), t| {
        (l.min(t), h.max(t))
    });
    Some(Piece {
        face: index,
        axis,
        middle: point + axis * ((low + high) / 2.0),
        radius: [0.0; 2],
        span: [0.0; 2],
        arcs: Vec::new(),
        cone,
        area: face.area_mm2,
    })
}

fn corner_points<'a>(
    solid: &'a SolidFaces<'_>,
    face: u32,
) -> impl Iterator<Item = DVec3> + use<'a> {
    solid.faces[face as usize]
        .triangles
        .iter()
        .flat_map(|&t| solid.mesh.corners(t as usize))
}

/// Measures heights, radii and arcs of a line's pieces about the common axis.
fn place_on(solid: &SolidFaces<'_>, line: &mut AxisLine) {
    let (u, v) = line.axis.any_orthonormal_pair();
    for piece in &mut line.pieces {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        let mut radii = (f64::INFINITY, 0.0f64);
        for &t in &solid.faces[piece.face as usize].triangles {
            let corners = solid.mesh.corners(t as usize);
            let middle = (corners[0] + corners[1] + corners[2]) / 3.0 - line.point;
            let at = libm::atan2(middle.dot(v), middle.dot(u));
            let (mut from, mut to) = (0.0f64, 0.0f64);
            for p in corners {
                let d = p - line.point;
                let t = d.dot(line.axis);
                (low, high) = (low.min(t), high.max(t));
                let q = DVec3::new(d.dot(u), d.dot(v), 0.0);
                radii = (radii.0.min(q.length()), radii.1.max(q.length()));
                if q.length() > 1e-6 {
                    let turn = libm::atan2(q.y, q.x) - at;
                    let turn = (turn + PI).rem_euclid(TAU) - PI;
                    (from, to) = (from.min(turn), to.max(turn));
                }
            }
            // Neighbouring arcs share their ends; the slack keeps rounding from parting them.
            piece
                .arcs
                .push((at + (from + to) / 2.0, (to - from) / 2.0 + 1e-6));
        }
        piece.span = [low, high];
        piece.radius = match solid.faces[piece.face as usize].surface {
            Surface::Cylinder { radius_mm, .. } => [radius_mm; 2],
            Surface::Cone { axis, .. } if axis.dot(line.axis) > 0.0 => [radii.0, radii.1],
            _ => [radii.1, radii.0],
        };
    }
    line.pieces
        .sort_by(|a, b| a.span[0].total_cmp(&b.span[0]).then(a.face.cmp(&b.face)));
}
