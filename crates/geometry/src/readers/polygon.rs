//! A flat polygon cut into triangles, by cutting off ears.

use glam::{DVec2, DVec3};
use robust::{Coord, orient2d};

/// Triangles (corner numbers) covering the polygon, in its own winding. Always `n - 2` of them,
/// so that no edge of the outline is lost even when it is degenerate or crosses itself.
pub(super) fn triangulate(outline: &[DVec3]) -> Vec<[usize; 3]> {
    let n = outline.len();
    if n < 3 {
        return Vec::new();
    }
    let flat = flattened(outline);
    let mut left: Vec<usize> = (0..n).collect();
    let mut triangles = Vec::with_capacity(n - 2);
    while left.len() > 3 {
        let m = left.len();
        let ear = (0..m).find(|&i| is_ear(&flat, &left, i));
        // No ear: crossing or degenerate outline; any cut keeps the edges, and the damage shows
        // in the soundness check of the mesh.
        let i = ear.unwrap_or(0);
        triangles.push([left[(i + m - 1) % m], left[i], left[(i + 1) % m]]);
        left.remove(i);
    }
    triangles.push([left[0], left[1], left[2]]);
    triangles
}

/// The outline in the coordinate plane it faces most, so that it turns counter-clockwise.
fn flattened(outline: &[DVec3]) -> Vec<DVec2> {
    // Newell's normal: twice the area vector, whatever the shape.
    let normal = (0..outline.len())
        .map(|i| outline[i] - outline[0])
        .zip((0..outline.len()).map(|i| outline[(i + 1) % outline.len()] - outline[0]))
        .fold(DVec3::ZERO, |sum, (a, b)| sum + a.cross(b));
    let size = normal.abs();
    let (axis, sign) = if size.x >= size.y && size.x >= size.z {
        (0, normal.x)
    } else if size.y >= size.z {
        (1, normal.y)
    } else {
        (2, normal.z)
    };
    outline
        .iter()
        .map(|p| {
            let (u, v) = match axis {
                0 => (p.y, p.z),
                1 => (p.z, p.x),
                _ => (p.x, p.y),
            };
            if sign >= 0.0 {
                DVec2::new(u, v)
            } else {
                DVec2::new(v, u)
            }
        })
        .collect()
}

fn is_ear(flat: &[DVec2], left: &[usize], i: usize) -> bool {
    let m = left.len();
    let (ia, ib, ic) = (left[(i + m - 1) % m], left[i], left[(i + 1) % m]);
    let (a, b, c) = (flat[ia], flat[ib], flat[ic]);
    if turn(a, b, c) <= 0.0 {
        return false;
    }
    left.iter()
        .filter(|&&k| k != ia && k != ib && k != ic)
        .all(|&k| {
            let p = flat[k];
            let inside = turn(a, b, p) >= 0.0 && turn(b, c, p) >= 0.0 && turn(c, a, p) >= 0.0;
            !inside || p == a || p == b || p == c
        })
}

fn turn(a: DVec2, b: DVec2, c: DVec2) -> f64 {
    let coord = |p: DVec2| Coord { x: p.x, y: p.y };
    orient2d(coord(a), coord(b), coord(c))
}
