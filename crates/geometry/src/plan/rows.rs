//! Samples gathered to rows for the cover: pieces of faces that the same directions serve.

use super::exempt::Exempt;
use super::sample::Samples;
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
