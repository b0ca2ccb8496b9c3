//! Evaluation of every [`Curve`]: points, derivatives, ranges, periods.

pub mod bspline;
pub mod closest;
pub mod interval;
pub mod on_surface;

use crate::brep::Curve;
use glam::DVec3;
use std::f64::consts::TAU;

/// Brings `t` into the range by whole periods when it lies outside.
pub fn wrap(t: f64, [a, b]: [f64; 2]) -> f64 {
    if t >= a && t <= b {
        t
    } else {
        let width = b - a;
        let wrapped = a + (t - a).rem_euclid(width);
        if wrapped.is_finite() {
            wrapped.min(b)
        } else {
            a
        }
    }
}

/// Diagonal of the box around some points.
pub fn extent(points: &[DVec3]) -> f64 {
    let (mut lo, mut hi) = (DVec3::INFINITY, DVec3::NEG_INFINITY);
    for &p in points {
        lo = lo.min(p);
        hi = hi.max(p);
    }
    if points.is_empty() {
        0.0
    } else {
        (hi - lo).length()
    }
}

impl Curve {
    /// Why it cannot be evaluated, if so.
    pub fn problem(&self) -> Option<String> {
        let positive = |x: f64| x.is_finite() && x > 0.0;
        match self {
            Curve::Line { origin, direction } => {
                (!origin.is_finite() || !direction.is_finite() || direction.length() == 0.0)
                    .then(|| "line without a direction".into())
            }
            Curve::Circle { radius, .. } => {
                (!positive(*radius)).then(|| format!("circle of radius {radius}"))
            }
            Curve::Ellipse { rx, ry, .. } | Curve::Hyperbola { rx, ry, .. } => {
                (!positive(*rx) || !positive(*ry)).then(|| format!("conic with axes {rx}, {ry}"))
            }
            Curve::Parabola { focal, .. } => {
                (!positive(*focal)).then(|| format!("parabola of focal distance {focal}"))
            }
            Curve::Polyline { points } => (points.len() < 2
                || points.iter().any(|p| !p.is_finite()))
            .then(|| "polyline of fewer than two points".into()),
            Curve::BSpline(c) => c.problem(),
            Curve::Trimmed { basis, t0, t1, .. } => basis.problem().or_else(|| {
                (!t0.is_finite() || !t1.is_finite() || t0 == t1).then(|| "empty trim".into())
            }),
            Curve::Composite { segments } => {
                if segments.is_empty() {
                    return Some("composite curve without segments".into());
                }
                segments.iter().find_map(|(c, _)| {
                    c.problem().or_else(|| {
                        c.range()
                            .is_none()
                            .then(|| "unbounded segment in a composite curve".into())
                    })
                })
            }
            Curve::Offset { basis, .. } => basis.problem(),
            Curve::OnSurface(c) => c.problem(),
        }
    }

    /// Natural parameter range; `None` for unbounded curves.
    pub fn range(&self) -> Option<[f64; 2]> {
        match self {
            Curve::Line { .. } | Curve::Parabola { .. } | Curve::Hyperbola { .. } => None,
            Curve::Circle { .. } | Curve::Ellipse { .. } => Some([0.0, TAU]),
            Curve::Polyline { points } => Some([0.0, points.len() as f64 - 1.0]),
            Curve::BSpline(c) => Some(c.range()),
            Curve::Trimmed { .. } => Some([0.0, self.trim_length()]),
            Curve::Composite { segments } => Some([0.0, segments.len() as f64]),
            Curve::Offset { basis, .. } => basis.range(),
            Curve::OnSurface(c) => c.range,
        }
    }

    /// Length in parameter of a trimmed curve: its own parameter runs from 0 to this.
    fn trim_length(&self) -> f64 {
        let Curve::Trimmed {
            basis,
            t0,
            t1,
            same_sense,
        } = self
        else {
            return 0.0;
        };
        let span = if *same_sense { t1 - t0 } else { t0 - t1 };
        match basis.period() {
            Some(p) if span <= 0.0 => {
                span.rem_euclid(p) + if span.rem_euclid(p) > 0.0 { 0.0 } else { p }
            }
            _ => span.abs(),
        }
    }

    /// Period when the curve closes on itself.
    pub fn period(&self) -> Option<f64> {
        match self {
            Curve::Circle { .. } | Curve::Ellipse { .. } => Some(TAU),
            Curve::BSpline(c) => c.is_closed().then(|| {
                let [a, b] = c.range();
                b - a
            }),
            Curve::Polyline { points } => {
                let closed = points.len() > 3 && points[0] == points[points.len() - 1];
                closed.then_some(points.len() as f64 - 1.0)
            }
            Curve::Offset { basis, .. } => basis.period(),
            Curve::OnSurface(c) => c.period(),
            Curve::Trimmed { .. } | Curve::Composite { .. } => {
                let [a, b] = self.range()?;
                let (p, q) = (self.point(a), self.point(b));
                let size = (self.point(0.5 * (a + b)) - p).length();
                (p.distance(q) <= 1e-7 * size).then_some(b - a)
            }
            Curve::Line { .. } | Curve::Parabola { .. } | Curve::Hyperbola { .. } => None,
        }
    }

    /// Point at a parameter.
    pub fn point(&self, t: f64) -> DVec3 {
        self.eval(t, 0)[0]
    }

    /// Point, first and second derivative; entries above `order` are not meaningful.
    pub fn eval(&self, t: f64, order: usize) -> [DVec3; 3] {
        match self {
            Curve::Line { origin, direction } => {
                [*origin + t * *direction, *direction, DVec3::ZERO]
            }
            Curve::Circle {
                frame: f,
                radius: r,
            } => {
                let (s, c) = t.sin_cos();
                let out = *r * (c * f.x + s * f.y);
                [f.origin + out, *r * (c * f.y - s * f.x), -out]
            }
            Curve::Ellipse { frame: f, rx, ry } => {
                let (s, c) = t.sin_cos();
                let out = rx * c * f.x + ry * s * f.y;
                [f.origin + out, ry * c * f.y - rx * s * f.x, -out]
            }
            Curve::Parabola { frame: f, focal } => [
                f.origin + *focal * (t * t * f.x + 2.0 * t * f.y),
                2.0 * *focal * (t * f.x + f.y),
                2.0 * *focal * f.x,
            ],
            Curve::Hyperbola { frame: f, rx, ry } => {
                let (s, c) = (t.sinh(), t.cosh());
                let out = *rx * c * f.x + *ry * s * f.y;
                [f.origin + out, *rx * s * f.x + *ry * c * f.y, out]
            }
            Curve::Polyline { points } => {
                let t = wrap(t, [0.0, points.len() as f64 - 1.0]);
                let i = (t.floor() as usize).min(points.len() - 2);
                let d = points[i + 1] - points[i];
                [points[i] + (t - i as f64) * d, d, DVec3::ZERO]
            }
            Curve::BSpline(c) => c.eval(t, order),
            Curve::Trimmed {
                basis,
                t0,
                same_sense,
                ..
            } => {
                let t = if t < 0.0 || t > self.trim_length() {
                    wrap(t, [0.0, self.trim_length()])
                } else {
                    t
                };
                if *same_sense {
                    basis.eval(t0 + t, order)
                } else {
                    let [p, d1, d2] = basis.eval(t0 - t, order);
                    [p, -d1, d2]
                }
            }
            Curve::Composite { segments } => {
                let t = wrap(t, [0.0, segments.len() as f64]);
                let i = (t.floor() as usize).min(segments.len() - 1);
                let (curve, forward) = &segments[i];
                let [a, b] = curve.range().unwrap_or([0.0, 1.0]);
                let local = t - i as f64;
                let (at, rate) = if *forward {
                    (a + local * (b - a), b - a)
                } else {
                    (b - local * (b - a), a - b)
                };
                let [p, d1, d2] = curve.eval(at, order);
                [p, rate * d1, rate * rate * d2]
            }
            Curve::Offset {
                basis,
                distance,
                reference,
            } => offset_eval(basis, *distance, *reference, t, order),
            Curve::OnSurface(c) => c.eval(t, order),
        }
    }

    /// Parameters between `a` and `b` where smoothness may drop, ends included, ascending.
    pub fn breaks(&self, a: f64, b: f64) -> Vec<f64> {
        let (lo, hi) = (a.min(b), a.max(b));
        let mut own: Vec<f64> = match self {
            Curve::Line { .. } => Vec::new(),
            Curve::Circle { .. } | Curve::Ellipse { .. } => {
                // Quarter turns keep Gauss panels short enough for 1e-12.
                let quarter = TAU / 8.0;
                let n = ((hi - lo) / quarter).ceil().clamp(1.0, 64.0) as usize;
                (1..n)
                    .map(|i| lo + (hi - lo) * i as f64 / n as f64)
                    .collect()
            }
            Curve::Parabola { .. } | Curve::Hyperbola { .. } => (1..4)
                .map(|i| lo + (hi - lo) * f64::from(i) / 4.0)
                .collect(),
            Curve::Offset { basis, .. } => basis.breaks(lo, hi),
            Curve::OnSurface(c) => c.breaks(lo, hi),
            Curve::BSpline(c) => repeat_breaks(
                &bspline::distinct_knots(&c.knots, c.degree, c.points.len()),
                c.range(),
                lo,
                hi,
            ),
            Curve::Polyline { points } => {
                let all: Vec<f64> = (0..points.len()).map(|i| i as f64).collect();
                repeat_breaks(&all, [0.0, points.len() as f64 - 1.0], lo, hi)
            }
            Curve::Trimmed {
                basis,
                t0,
                same_sense,
                ..
            } => {
                let sign = if *same_sense { 1.0 } else { -1.0 };
                let inner = basis.breaks(t0 + sign * lo, t0 + sign * hi);
                inner.iter().map(|t| sign * (t - t0)).collect()
            }
            Curve::Composite { segments } => {
                let mut all = Vec::new();
                for (i, (curve, forward)) in segments.iter().enumerate() {
                    let [a, b] = curve.range().unwrap_or([0.0, 1.0]);
                    for t in curve.breaks(a, b) {
                        let local = if *forward {
                            (t - a) / (b - a)
                        } else {
                            (b - t) / (b - a)
                        };
                        all.push(i as f64 + local);
                    }
                }
                all.sort_by(f64::total_cmp);
                repeat_breaks(&all, [0.0, segments.len() as f64], lo, hi)
            }
        };
        let width = hi - lo;
        own.retain(|&t| t > lo + 1e-9 * width && t < hi - 1e-9 * width);
        own.push(lo);
        own.push(hi);
        own.sort_by(f64::total_cmp);
        own.dedup_by(|x, y| (*x - *y).abs() <= 1e-12 * width);
        own
    }
}

/// Repeats the breaks of a closed curve so that they cover [lo, hi].
fn repeat_breaks(breaks: &[f64], [a, b]: [f64; 2], lo: f64, hi: f64) -> Vec<f64> {
    let width = b - a;
    let first = ((lo - b) / width).floor().max(-4.0) as i32;
    let last = ((hi - a) / width).ceil().min(4.0) as i32;
    (first..=last)
        .flat_map(|k| breaks.iter().map(move |t| t + f64::from(k) * width))
        .filter(|t| *t > lo && *t < hi)
        .collect()
}

/// ISO 10303-42 `offset_curve_3d`: the offset runs along reference x tangent.
fn offset_eval(basis: &Curve, distance: f64, reference: DVec3, t: f64, order: usize) -> [DVec3; 3] {
    let at = |t: f64| {
        let [p, d1, d2] = basis.eval(t, 2);
        let side = reference.cross(d1);
        let length = side.length();
        if length == 0.0 {
            return (p, d1);
        }
        let n = side / length;
        let slope = reference.cross(d2);
        let dn = (slope - n * n.dot(slope)) / length;
        (p + distance * n, d1 + distance * dn)
    };
    let (p, d1) = at(t);
    let d2 = if order >= 2 {
        let width = basis.range().map_or(1.0, |[a, b]| b - a);
        let h = 1e-5 * width;
        (at(t + h).1 - at(t - h).1) / (2.0 * h)
    } else {
        DVec3::ZERO
    };
    [p, d1, d2]
}
