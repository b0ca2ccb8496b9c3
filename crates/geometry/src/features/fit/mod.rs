//! Faces of a plain triangle mesh: planes, cylinders, cones, and rounded rims found again.
//!
//! 1. Triangles are joined to flat patches ([`super::facet`]).
//! 2. From every patch, largest first, a walk over neighbours that turn by like angles gives a few
//!    strips of one round surface. Axis from their normals, then least squares on the points where
//!    three patches meet: a tessellator puts those on the true surface, so radii come out exact
//!    rather than a chord height too small.
//! 3. The surface grows over all patches whose corners lie on it and is refitted as it grows.
//! 4. Cones in a row about one axis whose edges lie on one circle are a torus or a sphere.
//! 5. What is left is flat where it meets its neighbours at edges, otherwise freeform.
//!
//! Limits: surfaces must come from a tessellator, not a scanner. A circle needs eight chords. A
//! fillet needs three strips. Two chamfers side by side are two planes, not a coarse fillet.

mod grow;
mod guess;
mod rest;
mod rim;
mod walk;

use super::face::{SolidFaces, Surface};
use super::facet::{Facets, facets};
use super::round::Round;
use crate::mesh::Mesh;
use glam::DVec3;

/// Largest turn from strip to strip, rad: a circle of eight chords, and rounding.
const MOST_TURN: f64 = 0.82;
/// Least turn from strip to strip, rad; below it the patches were joined already.
const LEAST_TURN: f64 = 5e-4;
/// Chord heights above this are taken for flats that somebody drew, not for tessellation, mm;
/// meshes for print or review are seldom coarser (common practice, no source). Circles of 24
/// chords and more pass at any size.
const MOST_CHORD_HEIGHT: f64 = 0.6;
/// Widest chord against the second widest: tessellators cut arcs evenly. Two equal fillets beside
/// a narrow wall also lie on one circle, but their wall is one wide chord.
const UNEVEN: f64 = 2.2;

/// A failed surface of this many patches bars them from starting another: growing over freeform
/// would cost its size again from every seed.
const MANY: usize = 24;
/// Rounding of a text file with four decimals, mm.
const TEXT_ROUNDING_MM: f64 = 3e-5;

/// Finds the faces of a mesh in millimetres.
pub fn fit_faces(mesh: &Mesh) -> SolidFaces<'_> {
    let welded = mesh.welded();
    let facets = facets(&welded);
    let mut fit = Fit {
        points: welded.points(),
        facets: &facets,
        face: vec![FREE; facets.len()],
        surfaces: Vec::new(),
    };
    fit.find_round();
    fit.join_rims();
    fit.name_the_rest();
    fit.give_back_freeform();
    let face_of_triangle: Vec<u32> = facets
        .of_triangle
        .iter()
        .map(|&f| fit.face[f as usize])
        .collect();
    let surfaces = fit.surfaces;
    SolidFaces::with_welded(mesh, welded, &surfaces, &face_of_triangle)
}

const FREE: u32 = u32::MAX;

struct Fit<'a> {
    points: &'a [DVec3],
    facets: &'a Facets,
    /// Face of every patch.
    face: Vec<u32>,
    surfaces: Vec<Surface>,
}

/// A round surface with the patches on it.
struct Grown {
    round: Round,
    facets: Vec<u32>,
    area: f64,
}

impl Fit<'_> {
    pub(super) fn find_round(&mut self) {
        let mut order: Vec<u32> = (0..self.facets.len() as u32).collect();
        order.sort_by(|&a, &b| {
            let area = |f: u32| self.facets.area[f as usize];
            area(b).total_cmp(&area(a)).then(a.cmp(&b))
        });
        let mut stamp = vec![0u32; self.facets.len()];
        let mut tried = vec![false; self.facets.len()];
        let mut turn = 0;
        for seed in order {
            if self.face[seed as usize] != FREE || tried[seed as usize] {
                continue;
            }
            let mut best: Option<Grown> = None;
            for strips in self.walks(seed) {
                let starts = self.guesses(&strips);
                if starts.is_empty() && strips.len() >= MANY {
                    // A long row through freeform; its ends may lie on something round.
                    let quarter = strips.len() / 4;
                    for &f in &strips[quarter..strips.len() - quarter] {
                        tried[f as usize] = true;
                    }
                }
                for start in starts {
                    turn += 1;
                    if let Some(grown) = self.grow(start, &strips, &mut stamp, &mut tried, turn)
                        && best.as_ref().is_none_or(|b| grown.area > 1.001 * b.area)
                    {
                        best = Some(grown);
                    }
                }
            }
            if let Some(grown) = best {
                let face = self.surfaces.len() as u32;
                grown
                    .facets
                    .iter()
                    .for_each(|&f| self.face[f as usize] = face);
                self.surfaces.push(self.surface_of(&grown));
            }
        }
    }

    pub(super) fn corner_points(&self, strips: &[u32]) -> Vec<DVec3> {
        let mut corners: Vec<u32> = strips
            .iter()
            .flat_map(|&f| self.facets.corners(f))
            .copied()
            .collect();
        corners.sort_unstable();
        corners.dedup();
        corners
            .into_iter()
            .map(|c| self.points[c as usize])
            .collect()
    }

    /// Renumbers faces without gaps.
    pub(super) fn pack(&mut self) {
        let mut number = vec![FREE; self.surfaces.len()];
        let mut kept = Vec::new();
        for face in self.face.iter_mut().filter(|f| **f != FREE) {
            let slot = &mut number[*face as usize];
            if *slot == FREE {
                *slot = kept.len() as u32;
                kept.push(self.surfaces[*face as usize]);
            }
            *face = *slot;
        }
        self.surfaces = kept;
    }
}
