//! Small numerical tools shared by curves, surfaces and integrals.

#![allow(
    clippy::needless_range_loop,
    reason = "matrix formulas read better with the indices they are published with"
)]

use glam::DVec3;

/// Nodes and weights of Gauss-Legendre quadrature on [-1, 1], by Newton iteration on the Legendre
/// polynomial (Press et al., Numerical Recipes, section 4.6).
#[derive(Clone, Debug)]
pub struct Gauss {
    /// (node, weight) pairs.
    pub nodes: Vec<(f64, f64)>,
}

impl Gauss {
    /// Rule with `n` nodes, exact for polynomials up to degree `2 n - 1`.
    pub fn new(n: usize) -> Self {
        let count = n.max(1);
        let mut nodes = Vec::with_capacity(count);
        for i in 0..count {
            let mut x = (std::f64::consts::PI * (i as f64 + 0.75) / (count as f64 + 0.5)).cos();
            let mut slope = 1.0;
            for _ in 0..60 {
                let (mut p, mut q) = (1.0, 0.0);
                for j in 0..count {
                    let r = q;
                    q = p;
                    p = ((2.0 * j as f64 + 1.0) * x * q - j as f64 * r) / (j as f64 + 1.0);
                }
                slope = count as f64 * (x * p - q) / (x * x - 1.0);
                let step = p / slope;
                x -= step;
                if step.abs() < 1e-15 {
                    break;
                }
            }
            nodes.push((x, 2.0 / ((1.0 - x * x) * slope * slope)));
        }
        Self { nodes }
    }

    /// The rule mapped to [a, b].
    pub fn on(&self, a: f64, b: f64) -> impl Iterator<Item = (f64, f64)> + '_ {
        let (middle, half) = (0.5 * (a + b), 0.5 * (b - a));
        self.nodes
            .iter()
            .map(move |&(x, w)| (middle + half * x, w * half))
    }
}

/// Any unit vector square to `v`.
pub fn any_perpendicular(v: DVec3) -> DVec3 {
    let a = v.abs();
    let helper = if a.x <= a.y && a.x <= a.z {
        DVec3::X
    } else if a.y <= a.z {
        DVec3::Y
    } else {
        DVec3::Z
    };
    v.cross(helper).normalize_or(DVec3::X)
}

/// Eigenvalues (ascending) and unit eigenvectors of a symmetric 3x3 matrix given by its rows, by
/// cyclic Jacobi rotations (Golub and Van Loan, Matrix Computations, section 8.5).
pub fn symmetric_eigen(rows: [DVec3; 3]) -> [(f64, DVec3); 3] {
    let mut a = rows.map(|r| r.to_array());
    let mut v = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    for _ in 0..50 {
        let off = a[0][1].abs() + a[0][2].abs() + a[1][2].abs();
        if off <= 1e-300 || off <= 1e-17 * (a[0][0].abs() + a[1][1].abs() + a[2][2].abs()) {
            break;
        }
        for (p, q) in [(0, 1), (0, 2), (1, 2)] {
            if a[p][q] == 0.0 {
                continue;
            }
            let theta = (a[q][q] - a[p][p]) / (2.0 * a[p][q]);
            let t = theta.signum() / (theta.abs() + (theta * theta + 1.0).sqrt());
            let c = 1.0 / (t * t + 1.0).sqrt();
            let s = t * c;
            for k in 0..3 {
                let (kp, kq) = (a[k][p], a[k][q]);
                a[k][p] = c * kp - s * kq;
                a[k][q] = s * kp + c * kq;
            }
            for k in 0..3 {
                let (pk, qk) = (a[p][k], a[q][k]);
                a[p][k] = c * pk - s * qk;
                a[q][k] = s * pk + c * qk;
            }
            for row in &mut v {
                let (kp, kq) = (row[p], row[q]);
                row[p] = c * kp - s * kq;
                row[q] = s * kp + c * kq;
            }
        }
    }
    let mut pairs = [0, 1, 2].map(|i| (a[i][i], DVec3::new(v[0][i], v[1][i], v[2][i])));
    pairs.sort_by(|x, y| x.0.total_cmp(&y.0));
    pairs
}

/// Solves a small dense linear system by Gaussian elimination with partial pivoting; `None` when
/// it is singular to working precision.
pub fn solve<const N: usize>(mut a: [[f64; N]; N], mut b: [f64; N]) -> Option<[f64; N]> {
    let size = a.iter().flatten().fold(0.0_f64, |m, x| m.max(x.abs()));
    for col in 0..N {
        let pivot = (col..N).max_by(|&i, &j| a[i][col].abs().total_cmp(&a[j][col].abs()))?;
        if a[pivot][col].abs() <= 1e-14 * size {
            return None;
        }
        a.swap(col, pivot);
        b.swap(col, pivot);
        for row in col + 1..N {
            let factor = a[row][col] / a[col][col];
            for k in col..N {
                a[row][k] -= factor * a[col][k];
            }
            b[row] -= factor * b[col];
        }
    }
    for row in (0..N).rev() {
        for k in row + 1..N {
            b[row] -= a[row][k] * b[k];
        }
        b[row] /= a[row][row];
    }
    b.iter().all(|x| x.is_finite()).then_some(b)
}
