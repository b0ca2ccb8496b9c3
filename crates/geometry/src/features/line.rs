//! Where straight lines pass through the surface of a mesh.

use super::face::SolidFaces;
use glam::DVec3;

/// A line crossing the surface.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Crossing {
    /// Distance along the line from its point, mm.
    pub at_mm: f64,
    /// True where the line goes from air into material.
    pub enters: bool,
    /// Face crossed.
    pub face: u32,
}

/// All crossings of lines through `points` along `direction`, by ascending distance.
///
/// Triangles are met with their borders included, so a line through a corner (the tip of a drill
/// point) is told by every triangle there. Cost: triangles times the points in their width across
/// the lines.
pub(crate) fn crossings(
    solid: &SolidFaces<'_>,
    direction: DVec3,
    points: &[DVec3],
) -> Vec<Vec<Crossing>> {
    let (u, v) = direction.any_orthonormal_pair();
    let mut order: Vec<(f64, f64, usize)> = points
        .iter()
        .enumerate()
        .map(|(i, p)| (p.dot(u), p.dot(v), i))
        .collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.2.cmp(&b.2)));
    let mut out = vec![Vec::new(); points.len()];
    for (t, corners) in solid.mesh.iter_corners().enumerate() {
        let [a, b, c] = corners.map(|p| (p.dot(u), p.dot(v)));
        let doubled = (b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0);
        let size = (b.0 - a.0)
            .abs()
            .max((c.0 - a.0).abs())
            .max((b.1 - a.1).abs())
            .max((c.1 - a.1).abs());
        // Triangles along the line have no side to be crossed from.
        if doubled.abs() <= 1e-9 * size * size {
            continue;
        }
        let slack = 1e-6 * size;
        let (low, high) = (a.0.min(b.0).min(c.0) - slack, a.0.max(b.0).max(c.0) + slack);
        let first = order.partition_point(|o| o.0 < low);
        for &(x, y, i) in order[first..].iter().take_while(|o| o.0 <= high) {
            let weight = |p: (f64, f64), q: (f64, f64)| {
                ((q.0 - p.0) * (y - p.1) - (q.1 - p.1) * (x - p.0)) / doubled
            };
            let (wa, wb, wc) = (weight(b, c), weight(c, a), weight(a, b));
            if wa.min(wb).min(wc) < -1e-6 {
                continue;
            }
            let hit = corners[0] * wa + corners[1] * wb + corners[2] * wc;
            out[i].push(Crossing {
                at_mm: (hit - points[i]).dot(direction),
                enters: doubled < 0.0,
                face: solid.face_of_triangle[t],
            });
        }
    }
    for line in &mut out {
        line.sort_by(|a: &Crossing, b| a.at_mm.total_cmp(&b.at_mm).then(a.face.cmp(&b.face)));
    }
    out
}
