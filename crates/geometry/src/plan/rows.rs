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

/// Pieces by face, and what of them must be covered. `slivers_mm2` is the area that was left out as
/// below the stated error.
pub fn pieces(samples: &Samples, served: &[u128], exempt: &[Exempt]) -> (Vec<Piece>, f64) {
    let mut out = Vec::new();
    let mut slivers_mm2 = 0.0;
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
        let total: usize = groups.values().map(|g| g.1).sum();
        for (served, (area_mm2, count)) in groups {
            // A few points of a face whose others fare otherwise: smaller than the spacing of points
            // can tell from its rim.
            if count <= SLIVER_POINTS && total >= 4 * count {
                slivers_mm2 += area_mm2;
            } else {
                out.push(Piece {
                    face: face as u32,
                    served,
                    area_mm2,
                });
            }
        }
    }
    (out, slivers_mm2)
}

/// Points a piece of a face may have and still be a sliver: of 6000 in all, a two thousandth of the
/// surface.
const SLIVER_POINTS: usize = 3;
