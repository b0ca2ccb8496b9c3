//! Points spread over a surface, each standing for a known piece of its area.

use crate::mesh::Mesh;
use glam::DVec3;

/// A point of the surface and the area it stands for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Middle of the piece.
    pub point: DVec3,
    /// Outward unit normal.
    pub normal: DVec3,
    /// Area of the piece.
    pub area: f64,
    /// Triangle of the mesh it is on.
    pub triangle: u32,
}

/// Samples no farther apart than `spacing` along any triangle side: each triangle cut into n x n
/// equal ones. Areas add up to the surface; triangles without area have none.
pub fn surface_samples(mesh: &Mesh, spacing: f64) -> Vec<Sample> {
    /// Pieces along a side at most, so that a wrong unit cannot exhaust memory.
    const MAX_PIECES: f64 = 2000.0;
    let mut out = Vec::new();
    for (t, [a, b, c]) in mesh.iter_corners().enumerate() {
        let cross = (b - a).cross(c - a);
        let twice = cross.length();
        if twice == 0.0 {
            continue;
        }
        let longest = a.distance(b).max(b.distance(c)).max(c.distance(a));
        let n = (longest / spacing).ceil().clamp(1.0, MAX_PIECES) as u32;
        let (u, v) = ((b - a) / f64::from(n), (c - a) / f64::from(n));
        let area = twice / 2.0 / f64::from(n * n);
        let mut add = |i: f64, j: f64| {
            let point = a + u * i + v * j;
            out.push(Sample {
                point,
                normal: cross / twice,
                area,
                triangle: t as u32,
            });
        };
        for i in 0..n {
            for j in 0..n - i {
                add(f64::from(i) + 1.0 / 3.0, f64::from(j) + 1.0 / 3.0);
                if i + j + 1 < n {
                    add(f64::from(i) + 2.0 / 3.0, f64::from(j) + 2.0 / 3.0);
                }
            }
        }
    }
    out
}
