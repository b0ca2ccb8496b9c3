//! Closest point on a curve: closed forms on elementary curves, seeded Newton elsewhere.

use crate::brep::Curve;
use glam::DVec3;
use std::f64::consts::TAU;

impl Curve {
    /// Parameter of the point of the curve closest to `p`.
    pub fn closest(&self, p: DVec3) -> f64 {
        match self {
            Curve::Line { origin, direction } => {
                (p - *origin).dot(*direction) / direction.length_squared()
            }
            Curve::Circle { frame: f, .. } => {
                let d = p - f.origin;
                d.dot(f.y).atan2(d.dot(f.x)).rem_euclid(TAU)
            }
            Curve::Ellipse { frame: f, rx, ry } => {
                let d = p - f.origin;
                let guess = (d.dot(f.y) / ry).atan2(d.dot(f.x) / rx);
                let best = [0.0, 0.4, -0.4, 1.2, -1.2]
                    .map(|o| self.newton(p, guess + o, None))
                    .into_iter()
                    .min_by(|a, b| self.distance2(p, *a).total_cmp(&self.distance2(p, *b)));
                best.unwrap_or(guess).rem_euclid(TAU)
            }
            Curve::Parabola { frame: f, focal } => {
                self.newton(p, (p - f.origin).dot(f.y) / (2.0 * focal), None)
            }
            Curve::Hyperbola { frame: f, ry, .. } => {
                self.newton(p, ((p - f.origin).dot(f.y) / ry).asinh(), None)
            }
            Curve::Polyline { points } => {
                let mut best = (f64::INFINITY, 0.0);
                for (i, w) in points.windows(2).enumerate() {
                    let d = w[1] - w[0];
                    let l2 = d.length_squared();
                    let s = if l2 > 0.0 {
                        ((p - w[0]).dot(d) / l2).clamp(0.0, 1.0)
                    } else {
                        0.0
                    };
                    let gap = (w[0] + s * d - p).length_squared();
                    if gap < best.0 {
                        best = (gap, i as f64 + s);
                    }
                }
                best.1
            }
            _ => self.closest_sampled(p),
        }
    }

    /// Squared distance from `p` to the point at `t`.
    fn distance2(&self, p: DVec3, t: f64) -> f64 {
        (self.point(t) - p).length_squared()
    }

    fn closest_sampled(&self, p: DVec3) -> f64 {
        let range = match self.range() {
            Some(r) => r,
            None => {
                let start = match self {
                    // The basis is close enough to start from.
                    Curve::Offset { basis, .. } => basis.closest(p),
                    Curve::OnSurface(c) => c.first_guess(p),
                    _ => return 0.0,
                };
                return self.newton(p, start, None);
            }
        };
        let breaks = self.breaks(range[0], range[1]);
        let per_span = (64 / breaks.len()).clamp(4, 16);
        let mut samples = Vec::with_capacity(breaks.len() * per_span);
        for w in breaks.windows(2) {
            for i in 0..per_span {
                samples.push(w[0] + (w[1] - w[0]) * i as f64 / per_span as f64);
            }
        }
        samples.push(range[1]);
        let gaps: Vec<f64> = samples.iter().map(|&t| self.distance2(p, t)).collect();
        let mut minima: Vec<usize> = (0..samples.len())
            .filter(|&i| {
                (i == 0 || gaps[i] <= gaps[i - 1])
                    && (i + 1 == gaps.len() || gaps[i] <= gaps[i + 1])
            })
            .collect();
        minima.sort_by(|&a, &b| gaps[a].total_cmp(&gaps[b]));
        let mut best = (f64::INFINITY, range[0]);
        for &i in minima.iter().take(6) {
            let lo = samples[i.saturating_sub(1)];
            let hi = samples[(i + 1).min(samples.len() - 1)];
            let t = self.newton(p, samples[i], Some([lo, hi]));
            for t in [t, samples[i]] {
                let gap = self.distance2(p, t);
                if gap < best.0 {
                    best = (gap, t);
                }
            }
        }
        best.1
    }

    /// Newton on the slope of the squared distance, Gauss-Newton where the curvature term would
    /// make it climb, kept inside `limits`.
    pub fn newton(&self, p: DVec3, start: f64, limits: Option<[f64; 2]>) -> f64 {
        let mut t = start;
        let mut best = (self.distance2(p, t), t);
        for _ in 0..30 {
            let [c, d1, d2] = self.eval(t, 2);
            let gap = c - p;
            let slope = gap.dot(d1);
            let speed2 = d1.length_squared();
            if speed2 == 0.0 {
                break;
            }
            let full = speed2 + gap.dot(d2);
            let step = -slope / if full > 0.1 * speed2 { full } else { speed2 };
            let mut next = t + step;
            if let Some([lo, hi]) = limits {
                next = next.clamp(lo, hi);
            }
            let moved = (next - t).abs();
            t = next;
            let gap2 = self.distance2(p, t);
            if gap2 <= best.0 {
                best = (gap2, t);
            }
            if moved <= 1e-15 * (1.0 + t.abs()) {
                break;
            }
        }
        best.1
    }
}
