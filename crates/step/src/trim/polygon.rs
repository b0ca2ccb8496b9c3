//! Plane geometry on boundary polygons, with exact orientation tests.

use glam::DVec2;
use robust::{Coord, orient2d};

fn side(a: DVec2, b: DVec2, c: DVec2) -> f64 {
    let coord = |p: DVec2| Coord { x: p.x, y: p.y };
    orient2d(coord(a), coord(b), coord(c))
}

/// True when the closed segments ab and cd share a point.
pub fn touch(a: DVec2, b: DVec2, c: DVec2, d: DVec2) -> bool {
    if a.max(b).cmplt(c.min(d)).any() || c.max(d).cmplt(a.min(b)).any() {
        return false;
    }
    let (s1, s2) = (side(a, b, c), side(a, b, d));
    let (s3, s4) = (side(c, d, a), side(c, d, b));
    s1 * s2 <= 0.0 && s3 * s4 <= 0.0
}

/// True when leaving `from` towards `to` runs along the segment `from`-`other`.
pub fn along(from: DVec2, to: DVec2, other: DVec2) -> bool {
    side(from, to, other) == 0.0 && (to - from).dot(other - from) > 0.0
}

/// True when `p` lies inside the polygon (crossing number).
pub fn inside(polygon: &[DVec2], p: DVec2) -> bool {
    let mut odd = false;
    let n = polygon.len();
    for i in 0..n {
        let (a, b) = (polygon[i], polygon[(i + 1) % n]);
        if (a.y > p.y) != (b.y > p.y) {
            let up = b.y > a.y;
            let s = side(a, b, p);
            if s != 0.0 && (s > 0.0) == up {
                odd = !odd;
            }
        }
    }
    odd
}

/// Signed area.
pub fn area(polygon: &[DVec2]) -> f64 {
    let n = polygon.len();
    let Some(&o) = polygon.first() else {
        return 0.0;
    };
    (0..n)
        .map(|i| 0.5 * (polygon[i] - o).perp_dot(polygon[(i + 1) % n] - o))
        .sum()
}
