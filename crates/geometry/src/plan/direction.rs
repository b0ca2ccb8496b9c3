//! From where a tool could come: few directions worth trying, in a fixed order.

use super::Shape;
use crate::features::face::Surface;
use glam::{DMat3, DVec3};

/// Directions this near are one, rad: below it a wall still counts as parallel to the axis
/// ([`crate::reach::Tolerance::square`]).
const SAME_RAD: f64 = 1e-3;
/// Axes fitted to short bores on meshes stray this far, rad (see `features::piece`).
const SAME_AXIS_RAD: f64 = 0.01;
/// Flat faces below this share of the surface ask for no direction of their own: they are served
/// as walls or by ball tools, or told as unreached.
const LEAST_SHARE: f64 = 2e-4;
/// Bound on directions from flat faces and round faces; parts seen have 10 to 60. Holes and box
/// axes always keep theirs, up to the bits of a row.
const MOST_FROM_FACES: usize = 48;
const MOST: usize = 120;

/// What makes a direction worth trying, best first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Source {
    /// An axis of the box the part's flat faces lie along.
    Box,
    /// An axis of a hole or another round face.
    Axis,
    /// The normal of flat faces.
    Normal,
}

/// A direction to try.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// Unit vector from the part to the spindle.
    pub toward: DVec3,
    /// Why it is here.
    pub source: Source,
}

impl Candidate {
    /// Rotation into the setup's frame: Z towards the spindle, X along the box axis that lies
    /// flattest, the longer of two.
    pub fn setup_from_part(&self, shape: &Shape<'_>) -> DMat3 {
        setup_rotation(self.toward, &shape.smallest_box.part_from_box)
    }
}

/// Rotation with `toward` up. `part_from_box` has its longest extent first.
pub(super) fn setup_rotation(toward: DVec3, part_from_box: &DMat3) -> DMat3 {
    let axes = [
        part_from_box.x_axis,
        part_from_box.y_axis,
        part_from_box.z_axis,
    ];
    // The longest of the axes that lie flat enough.
    let along = axes
        .into_iter()
        .find(|a| a.dot(toward).abs() < 0.5)
        .unwrap_or(axes[0]);
    let x = along
        .reject_from_normalized(toward)
        .try_normalize()
        .unwrap_or_else(|| toward.any_orthonormal_vector());
    DMat3::from_cols(x, toward.cross(x), toward).transpose()
}

/// Directions to try: box axes first, then axes of holes (both ends), of other round faces, and
/// normals of flat faces by area.
pub fn candidates(shape: &Shape<'_>) -> Vec<Candidate> {
    let normals = clustered_normals(shape);
    let mut out: Vec<Candidate> = Vec::new();
    for axis in box_axes(shape, &normals) {
        for toward in [axis, -axis] {
            add(&mut out, toward, Source::Box, SAME_RAD);
        }
    }
    for hole in shape.holes {
        for toward in [hole.toward, -hole.toward] {
            add(&mut out, toward, Source::Axis, SAME_AXIS_RAD);
        }
    }
    let faces = out.len() + MOST_FROM_FACES;
    for (normal, _) in &normals {
        if out.len() < faces {
            add(&mut out, *normal, Source::Normal, SAME_RAD);
        }
    }
    for axis in round_axes(shape) {
        for toward in [axis, -axis] {
            if out.len() < faces {
                add(&mut out, toward, Source::Axis, SAME_AXIS_RAD);
            }
        }
    }
    out.truncate(MOST);
    out
}

fn add(out: &mut Vec<Candidate>, toward: DVec3, source: Source, same_rad: f64) {
    let Some(toward) = toward.try_normalize() else {
        return;
    };
    // Exact axes stay exact: f32 meshes leave dust on them.
    let toward = DVec3::from_array(toward.to_array().map(|c| {
        let near = c.round();
        if (c - near).abs() < 1e-6 { near } else { c }
    }))
    .normalize();
    if !out.iter().any(|c| c.toward.distance(toward) < same_rad) {
        out.push(Candidate { toward, source });
    }
}

/// The axes of the smallest box, or the model's own when more of the flat area lies square to
/// those; the others follow only where faces or holes ask for them.
fn box_axes(shape: &Shape<'_>, normals: &[(DVec3, f64)]) -> [DVec3; 3] {
    let own = DMat3::IDENTITY;
    let around = shape.smallest_box.part_from_box;
    let square = |frame: &DMat3| -> f64 {
        let along = |n: DVec3| {
            [frame.x_axis, frame.y_axis, frame.z_axis]
                .iter()
                .any(|a| a.cross(n).length() < SAME_RAD)
        };
        normals
            .iter()
            .filter(|(n, _)| along(*n))
            .map(|(_, area)| area)
            .sum()
    };
    let frame = if square(&own) > square(&around) * (1.0 + 1e-9) {
        own
    } else {
        around
    };
    [frame.z_axis, frame.y_axis, frame.x_axis]
}

/// Normals of flat faces with their areas, nearly equal ones together, largest first.
fn clustered_normals(shape: &Shape<'_>) -> Vec<(DVec3, f64)> {
    let total: f64 = shape.solid.faces.iter().map(|f| f.area_mm2).sum();
    let mut planes: Vec<(DVec3, f64, usize)> = shape
        .solid
        .faces
        .iter()
        .enumerate()
        .filter_map(|(i, f)| match f.surface {
            Surface::Plane { normal, .. } => Some((normal.try_normalize()?, f.area_mm2, i)),
            _ => None,
        })
        .collect();
    planes.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.2.cmp(&b.2)));
    let mut out: Vec<(DVec3, f64)> = Vec::new();
    for (normal, area, _) in planes {
        match out.iter_mut().find(|(n, _)| n.distance(normal) < SAME_RAD) {
            Some(cluster) => cluster.1 += area,
            None => out.push((normal, area)),
        }
    }
    out.sort_by(|a, b| b.1.total_cmp(&a.1));
    out.retain(|(_, area)| *area >= LEAST_SHARE * total);
    out
}

/// Axes of cylinders and cones that are no holes, by area.
fn round_axes(shape: &Shape<'_>) -> Vec<DVec3> {
    let total: f64 = shape.solid.faces.iter().map(|f| f.area_mm2).sum();
    let mut axes: Vec<(DVec3, f64, usize)> = shape
        .solid
        .faces
        .iter()
        .enumerate()
        .filter_map(|(i, f)| match f.surface {
            Surface::Cylinder { axis, .. } | Surface::Cone { axis, .. } => {
                Some((axis.try_normalize()?, f.area_mm2, i))
            }
            _ => None,
        })
        .filter(|(_, area, _)| *area >= LEAST_SHARE * total)
        .collect();
    axes.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.2.cmp(&b.2)));
    axes.into_iter().map(|(axis, ..)| axis).collect()
}
