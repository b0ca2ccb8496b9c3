//! Cylinders and cones as one shape, a straight line turned about an axis, fitted to points.

use glam::DVec3;

/// A cylinder (slope 0) or cone.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Round {
    /// Point on the axis.
    pub origin: DVec3,
    /// Unit axis.
    pub axis: DVec3,
    /// Radius at the origin.
    pub radius: f64,
    /// Growth of the radius along the axis.
    pub slope: f64,
}

impl Round {
    /// Height along the axis, radius and radial direction of a point.
    pub fn polar(&self, p: DVec3) -> (f64, f64, DVec3) {
        let d = p - self.origin;
        let t = d.dot(self.axis);
        let q = d - t * self.axis;
        let rho = q.length();
        (t, rho, if rho > 0.0 { q / rho } else { DVec3::ZERO })
    }

    /// Signed distance of a point from the surface, outside positive.
    pub fn distance(&self, p: DVec3) -> f64 {
        let (t, rho, _) = self.polar(p);
        (rho - self.radius - self.slope * t) * self.cosine()
    }

    /// Unit normal of the surface near a point, away from the axis.
    pub fn normal(&self, p: DVec3) -> DVec3 {
        let (_, _, out) = self.polar(p);
        (out - self.slope * self.axis) * self.cosine()
    }

    fn cosine(&self) -> f64 {
        1.0 / (1.0 + self.slope * self.slope).sqrt()
    }

    /// Least squares by Gauss-Newton from this start; the slope stays when `slope_free` is false.
    /// `None` when the points do not lead to a proper surface.
    pub fn fitted(&self, points: &[DVec3], slope_free: bool) -> Option<Round> {
        let n = if slope_free { 6 } else { 5 };
        let centroid = points.iter().sum::<DVec3>() / points.len() as f64;
        let mut round = *self;
        round.move_origin(centroid);
        let mut last = f64::INFINITY;
        for _ in 0..12 {
            let (u, v) = round.axis.any_orthonormal_pair();
            let mut m = [[0.0; 7]; 6];
            let mut total = 0.0;
            for &p in points {
                let (t, rho, out) = round.polar(p);
                let off = rho - round.radius - round.slope * t;
                total += off * off;
                let (a, b) = (out.dot(u), out.dot(v));
                let lever = t + round.slope * rho;
                let row = [-a, -b, -lever * a, -lever * b, -1.0, -t];
                for i in 0..n {
                    for j in 0..n {
                        m[i][j] += row[i] * row[j];
                    }
                    m[i][6] -= row[i] * off;
                }
            }
            let step = solve(&mut m, n)?;
            round.origin += step[0] * u + step[1] * v;
            round.axis = (round.axis + step[2] * u + step[3] * v).try_normalize()?;
            round.radius += step[4];
            round.slope += step[5];
            if !(round.origin.is_finite() && round.radius.is_finite() && round.slope.is_finite()) {
                return None;
            }
            round.move_origin(centroid);
            if (last - total).abs() <= 1e-9 * total || total == 0.0 {
                break;
            }
            last = total;
        }
        (round.radius > 0.0).then_some(round)
    }

    /// Moves the reference point along the axis to the height of `p`.
    fn move_origin(&mut self, p: DVec3) {
        let t = (p - self.origin).dot(self.axis);
        self.origin += t * self.axis;
        self.radius += self.slope * t;
    }
}

/// Gaussian elimination with pivoting on the leading `n` columns and the last one, lightly damped
/// so that directions the points do not tell (tilt of one ring) stay as they are.
fn solve(m: &mut [[f64; 7]; 6], n: usize) -> Option<[f64; 6]> {
    let largest = (0..n).fold(0.0f64, |l, i| l.max(m[i][i]));
    if largest <= 0.0 {
        return None;
    }
    for (i, row) in m.iter_mut().enumerate().take(n) {
        row[i] += 1e-10 * row[i] + 1e-14 * largest;
    }
    for c in 0..n {
        let pivot = (c..n).max_by(|&a, &b| m[a][c].abs().total_cmp(&m[b][c].abs()))?;
        m.swap(c, pivot);
        if m[c][c] == 0.0 {
            return None;
        }
        let top = m[c];
        for row in m.iter_mut().take(n).skip(c + 1) {
            let factor = row[c] / top[c];
            for (cell, above) in row.iter_mut().zip(top) {
                *cell -= factor * above;
            }
        }
    }
    let mut x = [0.0; 6];
    for c in (0..n).rev() {
        let known: f64 = (c + 1..n).map(|k| m[c][k] * x[k]).sum();
        x[c] = (m[c][6] - known) / m[c][c];
    }
    Some(x)
}
