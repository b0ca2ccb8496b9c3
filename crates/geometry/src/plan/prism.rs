//! Free-form faces of meshes that are walls along one direction.
//!
//! The facets of a free-form wall lean a little from its direction wherever a tessellator put
//! points at different places along the wall's curve above one another. A facet alone then looks
//! like a slanted face, which no flat tool finishes from there. The face as a whole tells: how far
//! facets lean on average depends on its outline alone, and is zero when the outline runs along
//! the wall's ends.

use super::Shape;
use crate::features::face::{Face, SMOOTH_RAD, SolidFaces, Surface};
use crate::reach::Tolerance;
use glam::{DVec2, DVec3, dvec2};

/// Facets a face needs to tell anything, a dozen in each of its quarters: fewer lean to either side
/// by chance. The smallest wall seen on a real mesh that asked for it has 82.
const LEAST_FACETS: usize = 48;
/// Pieces a face is looked at in, so that a wall leaning one way here and the other way there is
/// none.
const PIECES: usize = 4;
/// How far the lean of facets in a piece may lack to cancel out. Quarters of walls on real meshes
/// have up to 0.3, a wall twisted by as much as the mesh blurs 1.
const LOPSIDED: f64 = 0.5;

/// Share of a face whose facets may lean by more than they turn: where a wall turns from hollow to
/// bulging its facets turn by nothing and still lean.
const ASTRAY: f64 = 0.05;

/// For every free-form face the axis it is a wall along, if any.
pub fn wall_axes(shape: &Shape<'_>, axes: &[DVec3]) -> Vec<Option<DVec3>> {
    let faces = &shape.solid.faces;
    let along = |face: &Face| {
        let able = face.surface == Surface::Other && face.triangles.len() >= LEAST_FACETS;
        let mut axes = axes.iter().filter(|_| able);
        axes.find(|a| is_wall(shape.solid, face, **a)).copied()
    };
    faces.iter().map(along).collect()
}

/// Whether a face's facets lean from `axis` to either side alike, on the whole and in each quarter,
/// and hardly any by more than it turns against a neighbour: what the mesh cannot tell from lying along
/// it.
fn is_wall(solid: &SolidFaces<'_>, face: &Face, axis: DVec3) -> bool {
    let square = Tolerance::default().square;
    let (u, v) = axis.any_orthonormal_pair();
    let mut astray = 0.0;
    let mut facets = Vec::with_capacity(face.triangles.len());
    let mut ends = [DVec2::INFINITY, DVec2::NEG_INFINITY];
    for &t in &face.triangles {
        let [a, b, c] = solid.mesh.corners(t as usize);
        let doubled = (b - a).cross(c - a);
        let lean = doubled.dot(axis);
        if lean.abs() > doubled.length() * (square + turn(solid, t)) {
            astray += doubled.length() / 2.0;
        }
        let middle = (a + b + c) / 3.0;
        let place = dvec2(middle.dot(u), middle.dot(v));
        ends = [ends[0].min(place), ends[1].max(place)];
        facets.push((place, lean / 2.0));
    }
    if astray > ASTRAY * face.area_mm2 {
        return false;
    }
    let across = ends[1] - ends[0];
    let along = if across.x > across.y {
        DVec2::X
    } else {
        DVec2::Y
    };
    facets.sort_by(|a, b| a.0.dot(along).total_cmp(&b.0.dot(along)));
    let sum = |facets: &[(DVec2, f64)]| facets.iter().map(|f| f.1).sum::<f64>();
    let slack = square * face.area_mm2;
    let balanced = |piece: &[(DVec2, f64)]| {
        let either_way: f64 = piece.iter().map(|f| f.1.abs()).sum();
        sum(piece).abs() <= slack / PIECES as f64 + LOPSIDED * either_way
    };
    let mut pieces = facets.chunks(facets.len().div_ceil(PIECES));
    sum(&facets).abs() <= slack && pieces.all(balanced)
}

/// Largest turn of a triangle against neighbours it runs smoothly into, rad. Those of other faces
/// count: fits to a few facets take pieces out of a free form.
fn turn(solid: &SolidFaces<'_>, triangle: u32) -> f64 {
    let normal = |t: u32| {
        let [a, b, c] = solid.mesh.corners(t as usize);
        (b - a).cross(c - a).normalize_or_zero()
    };
    let own = normal(triangle);
    let around = solid.neighbours[triangle as usize];
    around
        .into_iter()
        .filter(|&t| t != u32::MAX)
        .map(|t| own.cross(normal(t)).length().atan2(own.dot(normal(t))))
        .filter(|turn| *turn <= SMOOTH_RAD)
        .fold(0.0, f64::max)
}

/// Farthest the facets of a wall stray from lying along it, mm: by how much the two ends of a
/// facet lie side by side, seen along the axis.
pub(super) fn stray_mm(solid: &SolidFaces<'_>, face: &Face, axis: DVec3) -> f64 {
    let stray = |t: &u32| {
        let [a, b, c] = solid.mesh.corners(*t as usize);
        let flat = [b - a, c - b, a - c].map(|e| e.reject_from_normalized(axis).length());
        let longest = flat.into_iter().fold(f64::MIN_POSITIVE, f64::max);
        (b - a).cross(c - a).dot(axis).abs() / longest
    };
    face.triangles.iter().map(stray).fold(0.0, f64::max)
}
