//! Cones in a row about one axis joined into tori and spheres.

use super::super::face::Surface;
use super::super::round::Round;
use super::{FREE, Fit};

impl Fit<'_> {
    /// Joins cones in a row about one axis into tori and spheres.
    pub(super) fn join_rims(&mut self) {
        let mut faces_at: Vec<Vec<u32>> = vec![Vec::new(); self.surfaces.len()];
        for (f, &face) in self.face.iter().enumerate() {
            if face != FREE {
                faces_at[face as usize].push(f as u32);
            }
        }
        let mut group: Vec<usize> = (0..self.surfaces.len()).collect();
        let mut seen = vec![false; self.surfaces.len()];
        for first in 0..self.surfaces.len() {
            let Surface::Cone { axis, apex, .. } = self.surfaces[first] else {
                continue;
            };
            if seen[first] {
                continue;
            }
            let line = Round {
                origin: apex,
                axis,
                radius: 1.0,
                slope: 0.0,
            };
            let mut row = vec![first];
            seen[first] = true;
            let mut at = 0;
            while at < row.len() {
                for &f in &faces_at[row[at]] {
                    for link in self.facets.links(f) {
                        let other = self.face[link.other as usize];
                        if other == FREE || seen[other as usize] || link.turn.abs() > 0.6 {
                            continue;
                        }
                        if let Surface::Cone {
                            axis: near, apex, ..
                        } = self.surfaces[other as usize]
                            && axis.cross(near).length() < 2e-2
                            && {
                                let middle = self.facets.centre[link.other as usize];
                                let on_axis = apex + near * (middle - apex).dot(near);
                                line.polar(on_axis).1 < 2e-2
                            }
                        {
                            seen[other as usize] = true;
                            row.push(other as usize);
                        }
                    }
                }
                at += 1;
            }
            if row.len() >= 3
                && let Some(surface) = self.rim(&line, &row, &faces_at)
            {
                row.iter().for_each(|&r| group[r] = first);
                self.surfaces[first] = surface;
            }
        }
        for face in self.face.iter_mut().filter(|f| **f != FREE) {
            *face = group[*face as usize] as u32;
        }
        self.pack();
    }

    /// The torus or sphere whose outline passes through the corners of all faces in `row`.
    pub(super) fn rim(
        &self,
        line: &Round,
        row: &[usize],
        faces_at: &[Vec<u32>],
    ) -> Option<Surface> {
        let strips: Vec<u32> = row.iter().flat_map(|&r| faces_at[r].clone()).collect();
        let outline: Vec<(f64, f64)> = self
            .corner_points(&strips)
            .into_iter()
            .map(|p| {
                let (t, rho, _) = line.polar(p);
                (t, rho)
            })
            .collect();
        let (t, rho, radius) = circle(&outline)?;
        let tolerance = (0.02 * radius).min(5e-3) + 4.0 * self.facets.noise;
        let off = |&(a, b): &(f64, f64)| (libm::hypot(a - t, b - rho) - radius).abs();
        if outline.iter().any(|p| off(p) > tolerance) {
            return None;
        }
        let centre = line.origin + t * line.axis;
        Some(if rho.abs() <= tolerance {
            Surface::Sphere {
                centre,
                radius_mm: radius,
            }
        } else {
            Surface::Torus {
                axis: line.axis,
                centre,
                major_mm: rho,
                minor_mm: radius,
            }
        })
    }
}

/// Circle through points by algebraic least squares (I. Kasa, IEEE Trans. Instrum. Meas. 25,
/// 1976), which has no bias on points that lie on a circle.
pub(super) fn circle(points: &[(f64, f64)]) -> Option<(f64, f64, f64)> {
    let n = points.len() as f64;
    let (mx, my) = points
        .iter()
        .fold((0.0, 0.0), |(x, y), p| (x + p.0 / n, y + p.1 / n));
    let (mut xx, mut xy, mut yy, mut xz, mut yz) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for p in points {
        let (x, y) = (p.0 - mx, p.1 - my);
        let z = x * x + y * y;
        xx += x * x;
        xy += x * y;
        yy += y * y;
        xz += x * z;
        yz += y * z;
    }
    let det = xx * yy - xy * xy;
    if det <= 1e-12 * (xx + yy) * (xx + yy) {
        return None;
    }
    let x = (xz * yy - yz * xy) / (2.0 * det);
    let y = (yz * xx - xz * xy) / (2.0 * det);
    let radius = (x * x + y * y + (xx + yy) / n).sqrt();
    Some((x + mx, y + my, radius))
}
