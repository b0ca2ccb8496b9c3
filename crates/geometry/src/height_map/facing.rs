//! Which triangles of a part can be the highest of it anywhere.
//!
//! Of a body with a closed skin these are the ones that face up: straight up from any point inside
//! it the skin is left through one of them, and a point of a wall or an edge is the limit of
//! points inside. So walls and undersides never hold a tool higher than what faces up, whose
//! borders they share. Skins that are open or face inward keep all their triangles.

use super::HeightMap;
use crate::contact::uphill;
use glam::{DVec3, Vec3Swizzles};
use rayon::prelude::*;

/// With fewer triangles all are kept: leaving some out saves little, and large triangles tell too
/// little about where a skin passes through itself (see [`shows`]).
const FEW: usize = 4096;

/// The triangles that may be highest somewhere, given which are of sound bodies. Those that stand
/// upright up to rounding (see [`uphill`]) count as walls. `handedness` is that of the turn: below
/// 0 it mirrors, and what looks clockwise faces up.
pub(super) fn that_may_top(
    all: &[[DVec3; 3]],
    of_bodies: &[bool],
    handedness: f64,
) -> Vec<[DVec3; 3]> {
    if all.len() < FEW {
        return all.to_vec();
    }
    all.par_iter()
        .zip(of_bodies)
        .filter(|(corners, of_body)| !**of_body || faces_up(corners, handedness))
        .map(|(corners, _)| *corners)
        .collect()
}

fn faces_up(corners: &[DVec3; 3], handedness: f64) -> bool {
    let [a, b, c] = corners.map(|p| p.xy());
    (b - a).perp_dot(c - a) * handedness > 0.0 && uphill(corners).is_some()
}

/// Whether a corner of the part stands above the map. A skin that passes through itself so that a
/// piece of it is turned inside out may do that although it is closed and encloses a volume. What
/// shows of it between corners is not noticed, hence [`FEW`].
pub(super) fn shows(map: &HeightMap, all: &[[DVec3; 3]]) -> bool {
    let above = |p: &DVec3| p.z > map.cell_top(p.xy()) + 1e-9 * (1.0 + p.z.abs());
    map.triangles.len() < all.len() && all.par_iter().flatten_iter().any(above)
}
