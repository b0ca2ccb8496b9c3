//! Area, volume and centroid by integrating faces exactly, whatever the mesh.
//!
//! By the divergence theorem a solid's volume is the sum over its faces of the integral of
//! `p . n / 3`, and its first moments of `x^2 n_x / 2` and so on. Each is an integral over the
//! face's domain in (u, v) of a function f, and by Green's theorem
//! `integral f du dv = - contour integral of G du` with `G(u, v) = integral of f dv` from a fixed
//! v. Both integrals are Gauss-Legendre sums over pieces on which everything is smooth; the
//! contour follows the exact edges, not their chords.

pub mod bounds;

use crate::brep::{Curve, Surface};
use crate::numeric::Gauss;
use crate::surfaces::chart::Chart;
use crate::tessellate::prepare::Prepared;
use crate::trim::domain::Domain;
use crate::trim::unroll::{Path, Run};
use glam::{DVec2, DVec3};
use std::ops::{Add, AddAssign, Mul};
use std::sync::OnceLock;

/// Area, volume and first moments about an origin.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Integrals {
    /// mm^2.
    pub area: f64,
    /// mm^3.
    pub volume: f64,
    /// mm^4.
    pub moment: DVec3,
}

impl Add for Integrals {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self {
            area: self.area + o.area,
            volume: self.volume + o.volume,
            moment: self.moment + o.moment,
        }
    }
}

impl AddAssign for Integrals {
    fn add_assign(&mut self, o: Self) {
        *self = *self + o;
    }
}

impl Mul<f64> for Integrals {
    type Output = Self;
    fn mul(self, k: f64) -> Self {
        Self {
            area: self.area * k,
            volume: self.volume * k,
            moment: self.moment * k,
        }
    }
}

/// Gauss rules by number of nodes, made once.
fn rule(n: usize) -> &'static Gauss {
    static RULES: OnceLock<Vec<Gauss>> = OnceLock::new();
    &RULES.get_or_init(|| (0..=16).map(Gauss::new).collect())[n.min(16)]
}

struct Face<'a> {
    chart: &'a Chart,
    origin: DVec3,
    v0: f64,
    v_breaks: Vec<f64>,
    inner_nodes: usize,
}

/// Integrals over one face; moments and volume count material on the inner side.
pub fn integrate(chart: &Chart, domain: &Domain, solid: &Prepared, origin: DVec3) -> Integrals {
    let on_pole = |v: f64| domain.polygons.iter().flatten().any(|n| n.uv.y == v);
    let v0 = chart
        .poles
        .iter()
        .flatten()
        .map(|p| p.v)
        .find(|&v| on_pole(v))
        .unwrap_or(0.5 * (domain.lo.y + domain.hi.y));
    // Smooth closed forms need few nodes: polynomials in v on ruled surfaces, eighth turns on
    // round ones (error below 1e-13 of the value).
    let inner_nodes = match &chart.surface {
        Surface::Plane { .. } | Surface::Extrusion { .. } => 2,
        Surface::Cylinder { .. } | Surface::Cone { .. } => 3,
        Surface::BSpline(s) if s.weights.is_none() => (2 * s.v_degree + 2).min(12),
        Surface::BSpline(_) => 12,
        _ => 8,
    };
    let margin = 1e-6 * (domain.hi - domain.lo).abs() + DVec2::splat(1e-9);
    let face = Face {
        chart,
        origin,
        v0,
        v_breaks: chart.breaks(domain.lo - margin, domain.hi + margin)[1].clone(),
        inner_nodes,
    };
    let mut sum = Integrals::default();
    for path in &domain.paths {
        for run in &path.runs {
            sum += match run.edge {
                Some((edge, forward)) => face.edge_run(path, run, edge, forward, solid),
                None => (run.first..run.first + run.count)
                    .map(|i| face.straight(path.uv(i), path.uv(i + 1)))
                    .fold(Integrals::default(), Add::add),
            };
        }
    }
    for [a, b] in &domain.cuts {
        sum += face.straight(*a, *b);
    }
    let sign = if chart.outward { 1.0 } else { -1.0 };
    Integrals {
        area: sum.area,
        volume: sign * sum.volume,
        moment: sign * sum.moment,
    }
}

impl Face<'_> {
    /// The integrand f at (u, v).
    fn density(&self, u: f64, v: f64) -> Integrals {
        let j = self.chart.surface.eval(u, v, 1);
        let n = j.u.cross(j.v);
        let p = j.p - self.origin;
        Integrals {
            area: n.length(),
            volume: p.dot(n) / 3.0,
            moment: 0.5 * p * p * n,
        }
    }

    /// G(u, v).
    fn antiderivative(&self, u: f64, v: f64) -> Integrals {
        let (a, b, sign) = if v >= self.v0 {
            (self.v0, v, 1.0)
        } else {
            (v, self.v0, -1.0)
        };
        let mut sum = Integrals::default();
        let mut from = a;
        let ends = self
            .v_breaks
            .iter()
            .copied()
            .filter(|&k| k > a && k < b)
            .chain([b]);
        for to in ends {
            for (at, w) in rule(self.inner_nodes).on(from, to) {
                sum += self.density(u, at) * w;
            }
            from = to;
        }
        sum * sign
    }

    /// Contribution of a straight line in (u, v).
    fn straight(&self, a: DVec2, b: DVec2) -> Integrals {
        let du = b.x - a.x;
        if du == 0.0 || (a.y == self.v0 && b.y == self.v0) {
            return Integrals::default();
        }
        let mut ends = self.chart.breaks(a.min(b), a.max(b))[0].clone();
        ends.retain(|u| u.is_finite());
        let mut sum = Integrals::default();
        for w in ends.windows(2) {
            for (u, weight) in rule(self.inner_nodes.max(8)).on(w[0], w[1]) {
                let v = a.y + (b.y - a.y) * (u - a.x) / du;
                sum += self.antiderivative(u, v) * weight;
            }
        }
        sum * -du.signum()
    }

    /// Contribution of an edge, along its exact curve.
    fn edge_run(
        &self,
        path: &Path,
        run: &Run,
        edge: usize,
        forward: bool,
        solid: &Prepared,
    ) -> Integrals {
        let curve = &solid.edges[edge].curve;
        let samples = &solid.samples[edge].params;
        if run.skip + run.count >= samples.len() {
            return Integrals::default();
        }
        let params: Vec<f64> = (0..=run.count)
            .map(|i| samples[run.sample(i, forward, samples.len())])
            .collect();
        let (t0, t1) = (params[0], params[run.count]);
        let same_v = |v: f64| (run.first..=run.first + run.count).all(|i| path.uv(i).y == v);
        if t0 == t1 || same_v(self.v0) {
            return Integrals::default();
        }
        let flat = matches!(self.chart.surface, Surface::Plane { .. });
        let straight = matches!(curve, Curve::Line { .. });
        let nodes = if flat && straight {
            3
        } else {
            self.inner_nodes.max(8)
        };
        let mut breaks = curve.breaks(t0, t1);
        let elementary =
            crate::surfaces::invert::elementary(&self.chart.surface, self.origin).is_some();
        if !elementary && breaks.len() < 5 {
            let (lo, hi) = (breaks[0], breaks[breaks.len() - 1]);
            breaks = (0..=4)
                .map(|i| lo + (hi - lo) * f64::from(i) / 4.0)
                .collect();
        }
        if t1 < t0 {
            breaks.reverse();
        }
        let mut sum = Integrals::default();
        let mut piece = 0;
        for w in breaks.windows(2) {
            let mut nodes_here: Vec<(f64, f64)> = rule(nodes).on(w[0], w[1]).collect();
            nodes_here.sort_by(|a, b| {
                if t1 > t0 {
                    a.0.total_cmp(&b.0)
                } else {
                    b.0.total_cmp(&a.0)
                }
            });
            for (t, weight) in nodes_here {
                // The chords know which copy of a periodic surface the edge runs on.
                while piece + 1 < run.count && (t - params[piece + 1]) * (t1 - t0) > 0.0 {
                    piece += 1;
                }
                let s = (t - params[piece]) / (params[piece + 1] - params[piece]);
                let guess = path
                    .uv(run.first + piece)
                    .lerp(path.uv(run.first + piece + 1), s);
                let [p, d, _] = curve.eval(t, 1);
                let uv = self.chart.invert(p, Some(guess));
                let j = self.chart.surface.eval(uv.x, uv.y, 1);
                let (a, b, c) = (j.u.length_squared(), j.u.dot(j.v), j.v.length_squared());
                let det = a * c - b * b;
                if det <= 0.0 {
                    continue;
                }
                let du = (c * d.dot(j.u) - b * d.dot(j.v)) / det;
                sum += self.antiderivative(uv.x, uv.y) * (-du * weight);
            }
        }
        sum
    }
}
