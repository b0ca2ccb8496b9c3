//! Which triangles of a part can be the highest of it anywhere.
//!
//! Of a body with a closed skin these are the ones that face up: straight up from any point inside
//! it the skin is left through one of them, and a point of a wall or an edge is the limit of
//! points inside. So walls and undersides never hold a tool higher than what faces up, whose
//! borders they share. Skins that are open, face inward or pass through themselves keep all their
//! triangles.

use crate::contact::uphill;
use crate::mesh::Mesh;
use glam::{DVec3, Vec3Swizzles};
use rayon::prelude::*;

/// With fewer triangles all are kept: leaving some out saves little.
const FEW: usize = 4096;

/// The triangles of a mesh, turned, that may be highest somewhere. Those that stand upright up to rounding (see [`uphill`]) count as walls. `handedness` is that of the turn: below
/// 0 it mirrors, and what looks clockwise faces up.
pub(super) fn that_may_top(
    mesh: &Mesh,
    turned: Vec<[DVec3; 3]>,
    handedness: f64,
) -> Vec<[DVec3; 3]> {
    if turned.len() < FEW {
        return turned;
    }
    turned
        .par_iter()
        .zip(mesh.of_bodies())
        .filter(|(corners, of_body)| !**of_body || faces_up(corners, handedness))
        .map(|(corners, _)| *corners)
        .collect()
}

fn faces_up(corners: &[DVec3; 3], handedness: f64) -> bool {
    let [a, b, c] = corners.map(|p| p.xy());
    (b - a).perp_dot(c - a) * handedness > 0.0 && uphill(corners).is_some()
}
