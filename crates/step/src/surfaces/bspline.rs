//! B-spline surfaces: points, derivatives, closure, collapsed rows.

use crate::brep::BSplineSurface;
use crate::curves::bspline::{
    ANY, USUAL, basis, distinct_knots, knot_problem, project_homogeneous,
};
use crate::curves::{extent, wrap};
use glam::{DVec3, DVec4};

/// Point, first and second derivatives of a surface.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Jet {
    /// Point.
    pub p: DVec3,
    /// d/du.
    pub u: DVec3,
    /// d/dv.
    pub v: DVec3,
    /// d2/du2.
    pub uu: DVec3,
    /// d2/dudv.
    pub uv: DVec3,
    /// d2/dv2.
    pub vv: DVec3,
}

/// Gap, as a fraction of the surface's size, below which it counts as closed: writers round
/// coordinates to six or more digits.
const CLOSED: f64 = 1e-6;

impl BSplineSurface {
    /// Why it cannot be evaluated, if so.
    pub fn problem(&self) -> Option<String> {
        if self.points.len() != self.u_count * self.v_count {
            return Some("the control net is not rectangular".into());
        }
        if self.points.iter().any(|p| !p.is_finite()) {
            return Some("a control point is not finite".into());
        }
        if let Some(w) = &self.weights
            && (w.len() != self.points.len() || w.iter().any(|w| !(w.is_finite() && *w > 0.0)))
        {
            return Some("weights are missing or not positive".into());
        }
        knot_problem(&self.u_knots, self.u_degree, self.u_count)
            .or_else(|| knot_problem(&self.v_knots, self.v_degree, self.v_count))
    }

    /// Valid range of u.
    pub fn u_range(&self) -> [f64; 2] {
        [self.u_knots[self.u_degree], self.u_knots[self.u_count]]
    }

    /// Valid range of v.
    pub fn v_range(&self) -> [f64; 2] {
        [self.v_knots[self.v_degree], self.v_knots[self.v_count]]
    }

    /// Distinct knots along u.
    pub fn u_breaks(&self) -> Vec<f64> {
        distinct_knots(&self.u_knots, self.u_degree, self.u_count)
    }

    /// Distinct knots along v.
    pub fn v_breaks(&self) -> Vec<f64> {
        distinct_knots(&self.v_knots, self.v_degree, self.v_count)
    }

    /// Size of the control net, mm.
    pub fn size(&self) -> f64 {
        extent(&self.points)
    }

    /// Point and derivatives up to `order`; outside the range parameters are wrapped, which only
    /// closed surfaces ask for.
    pub fn eval(&self, u: f64, v: f64, order: usize) -> Jet {
        if self.u_degree.max(self.v_degree) < USUAL {
            self.eval_in::<USUAL>(u, v, order)
        } else {
            self.eval_in::<ANY>(u, v, order)
        }
    }

    fn eval_in<const M: usize>(&self, u: f64, v: f64, order: usize) -> Jet {
        let u = wrap(u, self.u_range());
        let v = wrap(v, self.v_range());
        let bu = basis::<M>(&self.u_knots, self.u_degree, self.u_count, u, order);
        let bv = basis::<M>(&self.v_knots, self.v_degree, self.v_count, v, order);
        // rows[k][l]: k-th derivative in u, l-th in v, homogeneous.
        let mut h = [[DVec4::ZERO; 3]; 3];
        for i in 0..=self.u_degree {
            let row = (bu.first + i) * self.v_count + bv.first;
            let mut along = [DVec4::ZERO; 3];
            for j in 0..=self.v_degree {
                let w = self.weights.as_ref().map_or(1.0, |w| w[row + j]);
                let p = (self.points[row + j] * w).extend(w);
                for (l, a) in along.iter_mut().enumerate().take(order + 1) {
                    *a += bv.values[l][j] * p;
                }
            }
            for (k, row) in h.iter_mut().enumerate().take(order + 1) {
                for (entry, a) in row.iter_mut().zip(along).take(order + 1 - k) {
                    *entry += bu.values[k][i] * a;
                }
            }
        }
        if self.weights.is_none() {
            return Jet {
                p: h[0][0].truncate(),
                u: h[1][0].truncate(),
                v: h[0][1].truncate(),
                uu: h[2][0].truncate(),
                uv: h[1][1].truncate(),
                vv: h[0][2].truncate(),
            };
        }
        let [p, du, duu] = project_homogeneous([h[0][0], h[1][0], h[2][0]]);
        let [_, dv, dvv] = project_homogeneous([h[0][0], h[0][1], h[0][2]]);
        let w = h[0][0].w;
        let duv = (h[1][1].truncate() - h[1][1].w * p - h[1][0].w * dv - h[0][1].w * du) / w;
        Jet {
            p,
            u: du,
            v: dv,
            uu: duu,
            uv: duv,
            vv: dvv,
        }
    }

    /// True when the two ends in u are the same curve.
    pub fn closed_u(&self) -> bool {
        let [a, b] = self.u_range();
        let size = self.size();
        let v = self.v_breaks();
        samples(&v).all(|v| self.eval(a, v, 0).p.distance(self.eval(b, v, 0).p) <= CLOSED * size)
            && !self.collapsed_everywhere(true)
    }

    /// True when the two ends in v are the same curve.
    pub fn closed_v(&self) -> bool {
        let [a, b] = self.v_range();
        let size = self.size();
        let u = self.u_breaks();
        samples(&u).all(|u| self.eval(u, a, 0).p.distance(self.eval(u, b, 0).p) <= CLOSED * size)
            && !self.collapsed_everywhere(false)
    }

    /// A closed surface must leave its seam in between; a merely degenerate one does not.
    fn collapsed_everywhere(&self, along_u: bool) -> bool {
        let ([ua, ub], [va, vb]) = (self.u_range(), self.v_range());
        let size = self.size();
        let (from, to) = if along_u {
            let v = 0.5 * (va + vb);
            (self.eval(ua, v, 0).p, self.eval(0.5 * (ua + ub), v, 0).p)
        } else {
            let u = 0.5 * (ua + ub);
            (self.eval(u, va, 0).p, self.eval(u, 0.5 * (va + vb), 0).p)
        };
        from.distance(to) <= 1e-8 * size
    }

    /// The single point that the line v = `v` collapses to, if it does.
    pub fn pole_at_v(&self, v: f64) -> Option<DVec3> {
        let breaks = self.u_breaks();
        let first = self.eval(breaks[0], v, 0).p;
        let size = self.size();
        samples(&breaks)
            .all(|u| self.eval(u, v, 0).p.distance(first) <= 1e-8 * size)
            .then_some(first)
    }

    /// The same surface with u and v exchanged; its normal points the other way.
    pub fn transposed(&self) -> BSplineSurface {
        let index = |j: usize, i: usize| i * self.v_count + j;
        let order: Vec<usize> = (0..self.v_count)
            .flat_map(|j| (0..self.u_count).map(move |i| (j, i)))
            .map(|(j, i)| index(j, i))
            .collect();
        BSplineSurface {
            u_degree: self.v_degree,
            v_degree: self.u_degree,
            u_count: self.v_count,
            v_count: self.u_count,
            points: order.iter().map(|&i| self.points[i]).collect(),
            weights: self
                .weights
                .as_ref()
                .map(|w| order.iter().map(|&i| w[i]).collect()),
            u_knots: self.v_knots.clone(),
            v_knots: self.u_knots.clone(),
        }
    }
}

/// Parameters spread over every knot span.
pub fn samples(breaks: &[f64]) -> impl Iterator<Item = f64> + '_ {
    breaks
        .windows(2)
        .flat_map(|w| (0..4).map(move |i| w[0] + (w[1] - w[0]) * f64::from(i) / 4.0))
        .chain(breaks.last().copied())
}
