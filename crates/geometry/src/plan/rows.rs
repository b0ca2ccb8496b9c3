//! Samples gathered to rows for the cover: pieces of faces that the same directions serve.

use super::Shape;
use super::exempt::Exempt;
use super::sample::Samples;
use crate::features::face::{Border, Face};
use std::collections::BTreeMap;

/// A piece of a face with the directions that serve it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Face.
    pub face: u32,
    /// Directions, by number, that serve it.
    pub served: u128,
    /// Its area, mm2.
    pub area_mm2: f64,
}

/// Points a piece of a face may have and still be a sliver: of 6000 in all, a two thousandth of the
/// surface.
const SLIVER_POINTS: usize = 3;

/// A face below this share of the surface that runs smoothly into its neighbours for most of its
/// outline is a fragment: the facets of a free form on a mesh do not all fit one surface, and one
/// facet of the rest, seen alone, would ask for a direction no machinist turns the part to. An
/// exact model of the same part has no such faces. The share is a fifth of what a sliver may be.
const FRAGMENT_SHARE: f64 = 1e-4;

/// For every face whether it is a fragment of a smooth surface.
pub fn fragments(shape: &Shape<'_>) -> Vec<bool> {
    let faces = &shape.solid.faces;
    let total: f64 = faces.iter().map(|f| f.area_mm2).sum();
    let is_fragment = |(face, borders): (&Face, &Vec<Border>)| {
        let edges: f64 = borders.iter().map(|b| b.convex_mm + b.concave_mm).sum();
        let smooth: f64 = borders.iter().map(|b| b.smooth_mm).sum();
        face.area_mm2 < FRAGMENT_SHARE * total && smooth > edges
    };
    faces
        .iter()
        .zip(&shape.solid.borders)
        .map(is_fragment)
        .collect()
}

/// Pieces of all faces that must be covered. A piece is left out as a sliver when it and all pieces
/// of its face that ask for no other direction have a few points only, and the rest of the face
/// many: then it lies within the spacing of points of the rim.
pub fn pieces(samples: &Samples, served: &[u128], exempt: &[Exempt]) -> Vec<Piece> {
    let mut out = Vec::new();
    for (face, range) in samples.of_face.iter().enumerate() {
        if exempt[face] != Exempt::No {
            continue;
        }
        let mut groups: BTreeMap<u128, (f64, usize)> = BTreeMap::new();
        for i in range.clone() {
            let group = groups.entry(served[i]).or_default();
            group.0 += samples.all[i].area_mm2;
            group.1 += 1;
        }
        let as_strict = |mask: u128| -> usize {
            let within = groups.iter().filter(|(m, _)| **m != 0 && **m & !mask == 0);
            within.map(|(_, g)| g.1).sum()
        };
        for (&served, &(area_mm2, _)) in groups.iter().filter(|(m, _)| **m != 0) {
            let count = as_strict(served);
            if count > SLIVER_POINTS || range.len() < 4 * count {
                out.push(Piece {
                    face: face as u32,
                    served,
                    area_mm2,
                });
            }
        }
    }
    out
}
