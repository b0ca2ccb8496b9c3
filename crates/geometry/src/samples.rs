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

/// Pieces no longer than `spacing`, by halving triangles across their longest side: slender ones
/// are cut along their length only.
fn halved_samples(mesh: &Mesh, spacing: f64, mut visit: impl FnMut(Sample)) {
    /// Halvings at most, so that a wrong unit cannot exhaust memory.
    const MAX_DEPTH: u32 = 20;
    let mut open: Vec<([DVec3; 3], u32)> = Vec::new();
    for (t, corners) in mesh.iter_corners().enumerate() {
        let [a, b, c] = corners;
        let cross = (b - a).cross(c - a);
        let twice = cross.length();
        if twice == 0.0 {
            continue;
        }
        open.push((corners, 0));
        while let Some(([a, b, c], depth)) = open.pop() {
            let sides = [a.distance(b), b.distance(c), c.distance(a)];
            let longest = sides[0].max(sides[1]).max(sides[2]);
            if longest <= spacing || depth == MAX_DEPTH {
                visit(Sample {
                    point: (a + b + c) / 3.0,
                    normal: cross / twice,
                    // Every halving halves the area exactly.
                    area: twice * 0.5f64.powi(depth as i32 + 1),
                    triangle: t as u32,
                });
                continue;
            }
            let [a, b, c] = if longest == sides[0] {
                [a, b, c]
            } else if longest == sides[1] {
                [b, c, a]
            } else {
                [c, a, b]
            };
            let middle = (a + b) / 2.0;
            open.push(([middle, b, c], depth + 1));
            open.push(([a, middle, c], depth + 1));
        }
    }
}

/// Samples of known area for large or finely meshed parts: pieces no longer than `spacing`, and
/// where pieces are smaller, those within one cube of that side share one sample: of one face,
/// normals within 0.1 rad of the first one's and middles near its plane. Areas add up to the
/// surface, face by face.
pub fn spread_samples(mesh: &Mesh, spacing: f64) -> Vec<Sample> {
    /// Distance from the plane, in spacings: a step deeper than that is another surface, and a
    /// surface turning by 0.1 rad across the cube stays within it.
    const OFF_PLANE: f64 = 0.1;
    let mut pieces: Vec<Sample> = Vec::new();
    halved_samples(mesh, spacing, |sample| pieces.push(sample));
    let face = |t: u32| mesh.face_of_triangle().map_or(0, |f| f[t as usize]);
    let mut order: Vec<(u32, [i64; 3], u32)> = pieces
        .iter()
        .enumerate()
        .map(|(k, s)| {
            let cube = (s.point / spacing).floor().to_array().map(|c| c as i64);
            (face(s.triangle), cube, k as u32)
        })
        .collect();
    order.sort_unstable();
    let mut out: Vec<(u32, Sample)> = Vec::new();
    let mut groups: Vec<Vec<u32>> = Vec::new();
    for near in order.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
        groups.clear();
        for &(.., k) in near {
            let piece = &pieces[k as usize];
            let group = groups.iter_mut().find(|group| {
                let first = &pieces[group[0] as usize];
                let off = (piece.point - first.point).dot(first.normal).abs();
                first.normal.dot(piece.normal) > 0.995 && off <= OFF_PLANE * spacing
            });
            match group {
                Some(group) => group.push(k),
                None => groups.push(vec![k]),
            }
        }
        out.extend(groups.iter().map(|g| (g[0], middlemost(&pieces, g))));
    }
    out.sort_unstable_by_key(|(first, _)| *first);
    out.into_iter().map(|(_, sample)| sample).collect()
}

/// The piece nearest to the middle of a group, standing for all of it.
fn middlemost(pieces: &[Sample], group: &[u32]) -> Sample {
    let all = || group.iter().map(|&k| &pieces[k as usize]);
    let area: f64 = all().map(|s| s.area).sum();
    let middle = all().map(|s| s.point * s.area).sum::<DVec3>() / area;
    let off = |s: &Sample| s.point.distance_squared(middle);
    let first = pieces[group[0] as usize];
    let nearest = all().fold(first, |best, s| if off(s) < off(&best) { *s } else { best });
    Sample { area, ..nearest }
}
