//! Points spread over a surface, each standing for a known piece of its area.

use crate::mesh::Mesh;
use glam::{DMat3, DVec3};

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

impl Sample {
    /// The sample as seen in a setup.
    pub fn turned(&self, setup_from_part: &DMat3) -> Sample {
        Sample {
            point: *setup_from_part * self.point,
            normal: *setup_from_part * self.normal,
            ..*self
        }
    }
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

/// As [`surface_samples`], but where triangles are smaller than `spacing` neighbours share one
/// sample: of one face, normals within 0.1 rad and corners within `spacing` of the first one's.
/// Areas still add up to the surface, face by face.
pub fn spread_samples(mesh: &Mesh, spacing: f64) -> Vec<Sample> {
    let mut out: Vec<Sample> = Vec::new();
    let mut group: Vec<Sample> = Vec::new();
    let face = |t: u32| mesh.face_of_triangle().map(|f| f[t as usize]);
    let mut flush = |group: &mut Vec<Sample>| {
        let area: f64 = group.iter().map(|s| s.area).sum();
        let middle = group.iter().map(|s| s.point * s.area).sum::<DVec3>() / area;
        let nearest = group.iter().min_by(|a, b| {
            let off = |s: &Sample| s.point.distance_squared(middle);
            off(a).total_cmp(&off(b))
        });
        out.extend(nearest.map(|s| Sample { area, ..*s }));
        group.clear();
    };
    for sample in surface_samples(mesh, spacing) {
        if let Some(first) = group.first() {
            let corners = mesh.corners(sample.triangle as usize);
            let joins = face(first.triangle) == face(sample.triangle)
                && first.normal.dot(sample.normal) > 0.995
                && corners.iter().all(|c| c.distance(first.point) <= spacing)
                && group.iter().map(|s| s.area).sum::<f64>() + sample.area <= spacing * spacing;
            if !joins {
                flush(&mut group);
            }
        }
        group.push(sample);
    }
    if !group.is_empty() {
        flush(&mut group);
    }
    out
}
