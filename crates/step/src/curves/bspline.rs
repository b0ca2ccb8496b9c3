//! B-spline basis functions and curves (Piegl and Tiller, The NURBS Book, algorithms A2.1 to A4.2).

use crate::brep::BSplineCurve;
use glam::{DVec3, DVec4};

/// Highest degree handled; files in the field stay below 15.
pub const MAX_DEGREE: usize = 24;

/// Values of the non-zero basis functions and their first two derivatives at one parameter. `M` is
/// room for the functions, more than the degree.
#[derive(Clone, Copy, Debug)]
pub struct Basis<const M: usize> {
    /// Index of the first control point that counts.
    pub first: usize,
    /// `values[k][j]`: k-th derivative of function `first + j`.
    pub values: [[f64; M]; 3],
}

/// Room for the degrees met in practice; clearing room for [`MAX_DEGREE`] took longer than the
/// arithmetic itself.
pub const USUAL: usize = 6;
/// Room for any degree.
pub const ANY: usize = MAX_DEGREE + 1;

/// Span index i with `knots[i] <= t < knots[i + 1]`, clamped to the valid range.
pub fn find_span(knots: &[f64], degree: usize, count: usize, t: f64) -> usize {
    if t >= knots[count] {
        // Last non-empty span.
        let mut i = count - 1;
        while i > degree && knots[i] >= knots[i + 1] {
            i -= 1;
        }
        return i;
    }
    if t <= knots[degree] {
        let mut i = degree;
        while i + 1 < count && knots[i + 1] <= knots[i] {
            i += 1;
        }
        return i;
    }
    knots[degree..=count].partition_point(|&k| k <= t) + degree - 1
}

/// Basis functions at `t` with derivatives up to `order` (0 to 2).
pub fn basis<const M: usize>(
    knots: &[f64],
    degree: usize,
    count: usize,
    t: f64,
    order: usize,
) -> Basis<M> {
    let p = degree;
    let span = find_span(knots, p, count, t);
    let mut values = [[0.0; M]; 3];
    let mut left = [0.0; M];
    let mut right = [0.0; M];
    // Basis of degree p, p-1 and p-2 are kept: derivatives follow from them directly.
    let (mut lower1, mut lower2) = ([0.0; M], [0.0; M]);
    let n = &mut values[0];
    n[0] = 1.0;
    for j in 1..=p {
        if j == p {
            lower1[..p].copy_from_slice(&n[..p]);
        }
        if j + 1 == p {
            lower2[..j].copy_from_slice(&n[..j]);
        }
        left[j] = t - knots[span + 1 - j];
        right[j] = knots[span + j] - t;
        let mut saved = 0.0;
        for r in 0..j {
            let width = right[r + 1] + left[j - r];
            let temp = if width != 0.0 { n[r] / width } else { 0.0 };
            n[r] = saved + right[r + 1] * temp;
            saved = left[j - r] * temp;
        }
        n[j] = saved;
    }
    // N'_{i,p} = p (N_{i,p-1} / (u_{i+p}-u_i) - N_{i+1,p-1} / (u_{i+p+1}-u_{i+1}))
    let raise = |lower: &[f64; M], q: usize, out: &mut [f64; M]| {
        // `lower` holds degree q-1 functions of indices span-q+1 ..= span.
        for j in 0..=q {
            let i = span + j - q;
            let mut d = 0.0;
            if j > 0 {
                let w = knots[i + q] - knots[i];
                if w > 0.0 {
                    d += lower[j - 1] / w;
                }
            }
            if j < q {
                let w = knots[i + q + 1] - knots[i + 1];
                if w > 0.0 {
                    d -= lower[j] / w;
                }
            }
            out[j] = q as f64 * d;
        }
    };
    if order >= 1 && p >= 1 {
        let mut first = [0.0; M];
        raise(&lower1, p, &mut first);
        values[1] = first;
        if order >= 2 && p >= 2 {
            let (mut lower_slope, mut second) = ([0.0; M], [0.0; M]);
            raise(&lower2, p - 1, &mut lower_slope);
            raise(&lower_slope, p, &mut second);
            values[2] = second;
        }
    }
    Basis {
        first: span - p,
        values,
    }
}

/// Turns homogeneous derivatives into those of the projected point.
pub fn project_homogeneous(h: [DVec4; 3]) -> [DVec3; 3] {
    let w = h[0].w;
    let p = h[0].truncate() / w;
    let d1 = (h[1].truncate() - h[1].w * p) / w;
    let d2 = (h[2].truncate() - 2.0 * h[1].w * d1 - h[2].w * p) / w;
    [p, d1, d2]
}

/// Why a knot vector cannot be used, if so.
pub fn knot_problem(knots: &[f64], degree: usize, count: usize) -> Option<String> {
    if !(1..=MAX_DEGREE).contains(&degree) {
        return Some(format!("degree {degree} is outside 1 to {MAX_DEGREE}"));
    }
    if count < degree + 1 {
        return Some(format!(
            "{count} control points are too few for degree {degree}"
        ));
    }
    if knots.len() != count + degree + 1 {
        return Some(format!(
            "{} knots, expected {}",
            knots.len(),
            count + degree + 1
        ));
    }
    if knots.iter().any(|k| !k.is_finite()) || knots.windows(2).any(|w| w[1] < w[0]) {
        return Some("knots are not in order".into());
    }
    if knots[count] - knots[degree] <= 0.0 {
        return Some("the knot range is empty".into());
    }
    None
}

impl BSplineCurve {
    /// Why it cannot be evaluated, if so.
    pub fn problem(&self) -> Option<String> {
        if self.points.iter().any(|p| !p.is_finite()) {
            return Some("a control point is not finite".into());
        }
        if let Some(w) = &self.weights
            && (w.len() != self.points.len() || w.iter().any(|w| !(w.is_finite() && *w > 0.0)))
        {
            return Some("weights are missing or not positive".into());
        }
        knot_problem(&self.knots, self.degree, self.points.len())
    }

    /// Valid parameter range.
    pub fn range(&self) -> [f64; 2] {
        [self.knots[self.degree], self.knots[self.points.len()]]
    }

    /// True when start and end meet, by flag or geometry.
    pub fn is_closed(&self) -> bool {
        let [a, b] = self.range();
        let size = crate::curves::extent(&self.points);
        self.eval(a, 0)[0].distance(self.eval(b, 0)[0]) <= 1e-7 * size
    }

    /// Point and derivatives up to `order`; outside the range the parameter is wrapped, which only
    /// closed curves ask for.
    pub fn eval(&self, t: f64, order: usize) -> [DVec3; 3] {
        if self.degree < USUAL {
            self.eval_in::<USUAL>(t, order)
        } else {
            self.eval_in::<ANY>(t, order)
        }
    }

    fn eval_in<const M: usize>(&self, t: f64, order: usize) -> [DVec3; 3] {
        let t = crate::curves::wrap(t, self.range());
        let b = basis::<M>(&self.knots, self.degree, self.points.len(), t, order);
        match &self.weights {
            None => {
                let mut out = [DVec3::ZERO; 3];
                for j in 0..=self.degree {
                    let p = self.points[b.first + j];
                    for (k, o) in out.iter_mut().enumerate().take(order + 1) {
                        *o += b.values[k][j] * p;
                    }
                }
                out
            }
            Some(weights) => {
                let mut out = [DVec4::ZERO; 3];
                for j in 0..=self.degree {
                    let w = weights[b.first + j];
                    let p = (self.points[b.first + j] * w).extend(w);
                    for (k, o) in out.iter_mut().enumerate().take(order + 1) {
                        *o += b.values[k][j] * p;
                    }
                }
                project_homogeneous(out)
            }
        }
    }
}

/// Distinct knots inside and at the ends of the valid range.
pub fn distinct_knots(knots: &[f64], degree: usize, count: usize) -> Vec<f64> {
    let mut out: Vec<f64> = Vec::new();
    let width = knots[count] - knots[degree];
    for &k in &knots[degree..=count] {
        if out.last().is_none_or(|&last| k - last > 1e-12 * width) {
            out.push(k);
        }
    }
    out
}
