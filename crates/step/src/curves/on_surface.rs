//! Curves given in the parameters of a surface (`PCURVE`): evaluation by the chain rule.

use super::wrap;
use crate::brep::{Curve, CurveOnSurface, Surface};
use glam::{DVec2, DVec3};
use std::f64::consts::{FRAC_PI_2, TAU};

/// How far one parameter of a surface reaches: without end, or between two values, and then
/// whether it closes there.
#[derive(Clone, Copy)]
struct Reach {
    ends: Option<[f64; 2]>,
    closed: bool,
}

impl Reach {
    const FREE: Self = Self {
        ends: None,
        closed: false,
    };
    const TURN: Self = Self {
        ends: Some([0.0, TAU]),
        closed: true,
    };

    fn between(ends: [f64; 2], closed: bool) -> Self {
        Self {
            ends: Some(ends),
            closed,
        }
    }

    fn of_curve(curve: &Curve) -> Self {
        Self {
            ends: curve.range(),
            closed: curve.period().is_some(),
        }
    }
}

fn reach(surface: &Surface) -> [Reach; 2] {
    match surface {
        Surface::Plane { .. } => [Reach::FREE; 2],
        Surface::Cylinder { .. } | Surface::Cone { .. } => [Reach::TURN, Reach::FREE],
        Surface::Sphere { .. } => [Reach::TURN, Reach::between([-FRAC_PI_2, FRAC_PI_2], false)],
        Surface::Torus { .. } => [Reach::TURN; 2],
        Surface::BSpline(s) => [
            Reach::between(s.u_range(), s.closed_u()),
            Reach::between(s.v_range(), s.closed_v()),
        ],
        Surface::Extrusion { curve, .. } => [Reach::of_curve(curve), Reach::FREE],
        Surface::Revolution { curve, .. } => [Reach::TURN, Reach::of_curve(curve)],
        Surface::Offset { basis, .. } | Surface::RectangularTrimmed { basis, .. } => reach(basis),
    }
}

/// Values of one parameter where the surface bends anew or its smoothness may drop.
fn bends(surface: &Surface, direction: usize, lo: f64, hi: f64) -> Vec<f64> {
    let turn = || {
        // Eighth turns, as on circles; the bound is on work, not on any thread seen.
        let n = ((hi - lo) / (TAU / 8.0)).ceil().clamp(1.0, 1024.0) as usize;
        (1..n)
            .map(|i| lo + (hi - lo) * i as f64 / n as f64)
            .collect()
    };
    match (surface, direction) {
        (Surface::Plane { .. }, _) | (Surface::Cylinder { .. } | Surface::Cone { .. }, 1) => {
            Vec::new()
        }
        (Surface::BSpline(s), 0) => s.u_breaks(),
        (Surface::BSpline(s), _) => s.v_breaks(),
        (Surface::Extrusion { .. }, 1) => Vec::new(),
        (Surface::Extrusion { curve, .. }, _) | (Surface::Revolution { curve, .. }, 1) => {
            curve.breaks(lo, hi)
        }
        (Surface::Offset { basis, .. } | Surface::RectangularTrimmed { basis, .. }, _) => {
            bends(basis, direction, lo, hi)
        }
        _ => turn(),
    }
}

impl CurveOnSurface {
    /// A curve `uv` (in the XY plane, in steps of `unit`) laid on a surface.
    pub fn new(surface: Surface, uv: Curve, unit: DVec2) -> Self {
        let mut out = Self {
            surface,
            uv,
            unit,
            limits: [None, None],
            range: None,
        };
        if out.surface.problem().is_none() && out.uv.problem().is_none() {
            let reach = reach(&out.surface);
            out.limits = reach.map(|r| r.ends.filter(|_| !r.closed));
            out.range = match &out.uv {
                Curve::Line { origin, direction } => {
                    line_range(reach, origin.truncate() * unit, direction.truncate() * unit)
                }
                uv => uv.range(),
            };
        }
        out
    }

    /// Why it cannot be evaluated, if so.
    pub fn problem(&self) -> Option<String> {
        self.surface.problem().or_else(|| self.uv.problem())
    }

    /// Period when it closes on itself.
    pub fn period(&self) -> Option<f64> {
        let [a, b] = self.range?;
        let (p, q) = (self.eval(a, 0)[0], self.eval(b, 0)[0]);
        let size = (self.eval(0.5 * (a + b), 0)[0] - p).length();
        (p.distance(q) <= 1e-7 * size).then_some(b - a)
    }

    /// Surface parameters and their derivatives.
    fn parameters(&self, t: f64, order: usize) -> [DVec2; 3] {
        let t = match (&self.uv, self.range) {
            (Curve::Line { .. }, _) | (_, None) => t,
            (_, Some(range)) => wrap(t, range),
        };
        let mut uv = self.uv.eval(t, order).map(|d| d.truncate() * self.unit);
        // Rounding may leave a surface by a hair, where a spline would wrap to its other side.
        for (k, limits) in self.limits.iter().enumerate() {
            if let Some([a, b]) = limits {
                uv[0][k] = uv[0][k].clamp(*a, *b);
            }
        }
        uv
    }

    /// Point, first and second derivative.
    pub fn eval(&self, t: f64, order: usize) -> [DVec3; 3] {
        let [at, d, dd] = self.parameters(t, order);
        let j = self.surface.eval(at.x, at.y, order);
        [
            j.p,
            j.u * d.x + j.v * d.y,
            j.uu * (d.x * d.x)
                + j.uv * (2.0 * d.x * d.y)
                + j.vv * (d.y * d.y)
                + j.u * dd.x
                + j.v * dd.y,
        ]
    }

    /// Parameters between `lo` and `hi` where smoothness may drop.
    pub fn breaks(&self, lo: f64, hi: f64) -> Vec<f64> {
        let mut out = Vec::new();
        if let Curve::Line { origin, direction } = &self.uv {
            let (o, d) = (
                origin.truncate() * self.unit,
                direction.truncate() * self.unit,
            );
            for k in 0..2 {
                if d[k] != 0.0 {
                    let (a, b) = (o[k] + lo * d[k], o[k] + hi * d[k]);
                    let all = bends(&self.surface, k, a.min(b), a.max(b));
                    out.extend(all.iter().map(|x| (x - o[k]) / d[k]));
                }
            }
            return out;
        }
        // Where it crosses the knots of the surface is not sought; pieces are halved instead.
        for pair in self.uv.breaks(lo, hi).windows(2) {
            out.extend((0..4).map(|i| pair[0] + (pair[1] - pair[0]) * f64::from(i) / 4.0));
        }
        out
    }

    /// Where to start looking for the point closest to `p` on a curve without ends, such as a
    /// helix.
    pub(super) fn first_guess(&self, p: DVec3) -> f64 {
        let (
            Curve::Line { origin, direction },
            Surface::Cylinder { frame, .. } | Surface::Cone { frame, .. },
        ) = (&self.uv, &self.surface)
        else {
            return 0.0;
        };
        let rise = direction.y * self.unit.y;
        if rise == 0.0 {
            return 0.0;
        }
        ((p - frame.origin).dot(frame.z) - origin.y * self.unit.y) / rise
    }
}

/// Piece of a straight line `o + t d` that lies on a surface; `None` where nothing ends it.
fn line_range(reach: [Reach; 2], o: DVec2, d: DVec2) -> Option<[f64; 2]> {
    let mut range: Option<[f64; 2]> = None;
    for k in 0..2 {
        let Some([a, b]) = reach[k].ends else {
            continue;
        };
        if d[k] == 0.0 {
            continue;
        }
        // Running across as well, it may go round any number of times: the other parameter says
        // where it is, unless that one goes round too.
        let across = d[1 - k] != 0.0;
        if reach[k].closed && across && !reach[1 - k].closed {
            continue;
        }
        let slack = if reach[k].closed && across {
            b - a
        } else {
            0.0
        };
        let ends = [(a - slack - o[k]) / d[k], (b + slack - o[k]) / d[k]];
        let (lo, hi) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        range = Some(range.map_or([lo, hi], |[x, y]| [x.max(lo), y.min(hi)]));
    }
    range.filter(|[a, b]| a < b && a.is_finite() && b.is_finite())
}
