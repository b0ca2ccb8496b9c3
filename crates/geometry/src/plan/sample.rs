//! The surface as points, each standing for a known area of one face.

use super::Shape;
use super::prism::stray_mm;
use crate::features::face::{Face, SolidFaces, Surface};
use glam::DVec3;
use std::ops::Range;

/// A point of a face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FaceSample {
    /// Where, on the mesh, part frame.
    pub point: DVec3,
    /// Out of the material, of the surface behind the mesh.
    pub normal: DVec3,
    /// Area it stands for, mm2.
    pub area_mm2: f64,
    /// Face.
    pub face: u32,
    /// Triangle.
    pub triangle: u32,
}

/// Samples of the whole surface, face by face.
#[derive(Clone, Debug, Default)]
pub struct Samples {
    /// All of them.
    pub all: Vec<FaceSample>,
    /// Those of each face.
    pub of_face: Vec<Range<usize>>,
}

/// Fewest points on a face, so that a small face is still seen as a whole.
const LEAST_PER_FACE: f64 = 12.0;
/// Most points on one face.
const MOST_PER_FACE: f64 = 4000.0;

/// About `count` points spread evenly over the surface and at least a dozen on every face. Points
/// follow the mesh, not the axes, so a turned model has the same ones. `walls` are the axes of
/// free-form walls ([`super::prism::wall_axes`]).
pub fn face_samples(shape: &Shape<'_>, walls: &[Option<DVec3>], count: usize) -> Samples {
    let total: f64 = shape.solid.faces.iter().map(|f| f.area_mm2).sum();
    let mut out = Samples::default();
    for (index, face) in shape.solid.faces.iter().enumerate() {
        let first = out.all.len();
        if face.area_mm2 > 0.0 && total > 0.0 {
            let wanted = (count as f64 * face.area_mm2 / total)
                .ceil()
                .clamp(LEAST_PER_FACE, MOST_PER_FACE);
            spread(shape, face, index as u32, wanted, &mut out.all);
            for s in out.all[first..]
                .iter_mut()
                .filter(|_| walls[index].is_some())
            {
                let axis = walls[index].unwrap_or_default();
                s.normal = s.normal.reject_from_normalized(axis).normalize_or_zero();
            }
        }
        out.of_face.push(first..out.all.len());
    }
    out
}

/// Points at equal steps of area through the face's triangles; inside a triangle at places of a
/// two-dimensional golden sequence (M. Roberts, The unreasonable effectiveness of quasirandom
/// sequences, 2018), folded into the triangle.
fn spread(shape: &Shape<'_>, face: &Face, index: u32, wanted: f64, out: &mut Vec<FaceSample>) {
    const PLASTIC: f64 = 1.324_717_957_244_746;
    let each = face.area_mm2 / wanted;
    let mut passed = 0.0;
    let mut k = 0.0;
    for &t in &face.triangles {
        let [a, b, c] = shape.solid.mesh.corners(t as usize);
        let doubled = (b - a).cross(c - a);
        passed += doubled.length() / 2.0;
        while (k + 0.5) * each <= passed && k < wanted {
            let (mut u, mut v) = (
                (0.5 + (k + 1.0) / PLASTIC).fract(),
                (0.5 + (k + 1.0) / (PLASTIC * PLASTIC)).fract(),
            );
            if u + v > 1.0 {
                (u, v) = (1.0 - u, 1.0 - v);
            }
            let point = a + (b - a) * u + (c - a) * v;
            let flat = doubled.normalize_or_zero();
            out.push(FaceSample {
                point,
                normal: normal(face, point, flat),
                area_mm2: each,
                face: index,
                triangle: t,
            });
            k += 1.0;
        }
    }
}

/// Normal of the surface at a point of its mesh: chords of a wall are not quite parallel to it, and
/// thin triangles carry rounding.
fn normal(face: &Face, p: DVec3, of_triangle: DVec3) -> DVec3 {
    let out = match face.surface {
        Surface::Plane { normal, .. } => return normal,
        Surface::Cylinder { axis, origin, .. } => (p - origin).reject_from_normalized(axis),
        Surface::Cone {
            axis,
            apex,
            half_angle_rad,
        } => {
            let radial = (p - apex).reject_from_normalized(axis).normalize_or_zero();
            radial * libm::cos(half_angle_rad) - axis * libm::sin(half_angle_rad)
        }
        Surface::Sphere { centre, .. } => p - centre,
        Surface::Torus {
            axis,
            centre,
            major_mm,
            ..
        } => {
            let radial = (p - centre)
                .reject_from_normalized(axis)
                .normalize_or_zero();
            p - centre - radial * major_mm
        }
        Surface::Other => return of_triangle,
    };
    let out = out.normalize_or_zero() * if face.concave { -1.0 } else { 1.0 };
    // A surface that does not agree with its own triangles is no help.
    if out.dot(of_triangle) > 0.8 {
        out
    } else {
        of_triangle
    }
}

/// Farthest the mesh lies from the round surfaces behind it, mm: how much material a tool of the
/// true size meets where there is none.
pub fn chord_error_mm(shape: &Shape<'_>, walls: &[Option<DVec3>]) -> f64 {
    let faces = shape.solid.faces.iter().zip(walls);
    faces
        .map(|(face, wall)| match wall {
            Some(axis) => stray_mm(shape.solid, face, *axis),
            None => chord_error_of(shape.solid, face),
        })
        .fold(0.0, f64::max)
}

/// Farthest one face's triangles bulge away from the surface behind them, mm: the middle of a side
/// against its ends. A poor fit to a few tiny triangles of a free form lies off all three alike,
/// and says nothing of chords.
fn chord_error_of(solid: &SolidFaces<'_>, face: &Face) -> f64 {
    let off = |p: DVec3| match face.surface {
        Surface::Cylinder {
            axis,
            origin,
            radius_mm,
        } => (p - origin).reject_from_normalized(axis).length() - radius_mm,
        Surface::Sphere { centre, radius_mm } => p.distance(centre) - radius_mm,
        Surface::Torus {
            axis,
            centre,
            major_mm,
            minor_mm,
        } => {
            let radial = (p - centre)
                .reject_from_normalized(axis)
                .normalize_or_zero();
            (p - centre - radial * major_mm).length() - minor_mm
        }
        _ => 0.0,
    };
    let mut worst = 0.0f64;
    for &t in &face.triangles {
        let [a, b, c] = solid.mesh.corners(t as usize);
        for (p, q) in [(a, b), (b, c), (c, a)] {
            let ends = (off(p) + off(q)) / 2.0;
            worst = worst.max((off((p + q) / 2.0) - ends).abs());
        }
    }
    worst
}
