//! Parameters of the point of a surface closest to a given point.

use super::chart::Chart;
use crate::brep::{Curve, Surface};
use glam::{DVec2, DVec3};

/// Closed forms on elementary surfaces.
pub fn elementary(surface: &Surface, p: DVec3) -> Option<DVec2> {
    let local = |f: &crate::brep::Frame| {
        let d = p - f.origin;
        (d.dot(f.x), d.dot(f.y), d.dot(f.z))
    };
    Some(match surface {
        Surface::Plane { frame } => {
            let (x, y, _) = local(frame);
            DVec2::new(x, y)
        }
        Surface::Cylinder { frame, .. } => {
            let (x, y, z) = local(frame);
            DVec2::new(y.atan2(x), z)
        }
        Surface::Cone {
            frame,
            radius,
            half_angle,
        } => {
            let (x, y, z) = local(frame);
            let k = half_angle.tan();
            // On the far nappe the radius is negative and the angle half a turn off.
            let far = radius + z * k < 0.0;
            let (x, y) = if far { (-x, -y) } else { (x, y) };
            // Foot of the perpendicular on the generator, so that gaps do not bend the result.
            let v = (z + k * (x.hypot(y) - radius)) / (1.0 + k * k);
            DVec2::new(y.atan2(x), v)
        }
        Surface::Sphere { frame, .. } => {
            let (x, y, z) = local(frame);
            DVec2::new(y.atan2(x), z.atan2(x.hypot(y)))
        }
        Surface::Torus {
            frame,
            major,
            minor,
            select_outer,
        } => {
            let (x, y, z) = local(frame);
            let q = x.hypot(y);
            if *minor > *major && !*select_outer {
                DVec2::new(
                    (-y).atan2(-x),
                    z.atan2(-q - major).rem_euclid(std::f64::consts::TAU),
                )
            } else {
                DVec2::new(y.atan2(x), z.atan2(q - major))
            }
        }
        _ => return None,
    })
}

/// Sampled parameters to start Newton from, with their points.
#[derive(Clone, Debug, Default)]
pub struct Seeds {
    points: Vec<(DVec2, DVec3)>,
}

impl Seeds {
    /// Seeds on the grid of two parameter lists.
    pub fn grid(surface: &Surface, us: &[f64], vs: &[f64]) -> Self {
        let mut points = Vec::with_capacity(us.len() * vs.len());
        for &u in us {
            for &v in vs {
                points.push((DVec2::new(u, v), surface.point(u, v)));
            }
        }
        Self { points }
    }

    /// True when there are none.
    pub fn is_empty(&self) -> bool {
        self.points.is_empty()
    }

    /// The nearest few seeds, at most one per direction of approach.
    fn nearest(&self, p: DVec3, count: usize) -> Vec<DVec2> {
        let mut best: Vec<(f64, DVec2)> = Vec::with_capacity(count + 1);
        for &(uv, q) in &self.points {
            let d = q.distance_squared(p);
            if best.len() < count || d < best[best.len() - 1].0 {
                let at = best.partition_point(|b| b.0 <= d);
                best.insert(at, (d, uv));
                best.truncate(count);
            }
        }
        best.into_iter().map(|b| b.1).collect()
    }
}

/// Planar profile of an extrusion or a revolution: two coordinates of curve and point in which the
/// distance is independent of the other parameter.
fn profile_residual(surface: &Surface, p: DVec3, t: f64) -> (DVec2, DVec2) {
    match surface {
        Surface::Extrusion { curve, direction } => {
            let f = Surface::frame_about(DVec3::ZERO, *direction);
            let [c, d, _] = curve.eval(t, 1);
            let gap = c - p;
            (
                DVec2::new(gap.dot(f.x), gap.dot(f.y)),
                DVec2::new(d.dot(f.x), d.dot(f.y)),
            )
        }
        Surface::Revolution {
            curve,
            origin,
            axis,
        } => {
            let a = axis.normalize_or(DVec3::Z);
            let polar = |q: DVec3| {
                let arm = q - *origin;
                let z = arm.dot(a);
                (arm - a * z, z)
            };
            let [c, d, _] = curve.eval(t, 1);
            let (out, z) = polar(c);
            let (wanted, wanted_z) = polar(p);
            let r = out.length();
            let slope = if r > 0.0 {
                out.dot(d) / r
            } else {
                (d - a * d.dot(a)).length()
            };
            (
                DVec2::new(r - wanted.length(), z - wanted_z),
                DVec2::new(slope, d.dot(a)),
            )
        }
        _ => (DVec2::ZERO, DVec2::ZERO),
    }
}

fn profile_curve(surface: &Surface) -> Option<&Curve> {
    match surface {
        Surface::Extrusion { curve, .. } | Surface::Revolution { curve, .. } => Some(curve),
        _ => None,
    }
}

/// Gauss-Newton on the profile distance from `start`.
fn profile_newton(surface: &Surface, p: DVec3, start: f64, limits: Option<[f64; 2]>) -> (f64, f64) {
    let mut t = start;
    let (mut r, mut d) = profile_residual(surface, p, t);
    let mut gap = r.length_squared();
    for _ in 0..40 {
        let speed = d.length_squared();
        if speed == 0.0 {
            break;
        }
        let mut step = -r.dot(d) / speed;
        let mut improved = false;
        for _ in 0..12 {
            let mut next = t + step;
            if let Some([lo, hi]) = limits {
                next = next.clamp(lo, hi);
            }
            let (r2, d2) = profile_residual(surface, p, next);
            if r2.length_squared() < gap {
                (t, r, d, gap, improved) = (next, r2, d2, r2.length_squared(), true);
                break;
            }
            step *= 0.5;
            if step.abs() <= 1e-16 * (1.0 + t.abs()) {
                break;
            }
        }
        if !improved {
            break;
        }
    }
    (gap, t)
}

fn profile_parameter(surface: &Surface, p: DVec3, hint: Option<f64>, accept_mm: f64) -> f64 {
    let Some(curve) = profile_curve(surface) else {
        return 0.0;
    };
    let period = curve.period();
    let limits = if period.is_some() {
        None
    } else {
        curve.range()
    };
    let mut best = (f64::INFINITY, 0.0);
    if let Some(h) = hint {
        best = profile_newton(surface, p, h, limits);
        if best.0 <= accept_mm * accept_mm {
            return best.1;
        }
    }
    let seeds: Vec<f64> = match curve.range() {
        Some([a, b]) => {
            let breaks = curve.breaks(a, b);
            let per = (64 / breaks.len()).clamp(4, 16);
            breaks
                .windows(2)
                .flat_map(|w| (0..per).map(move |i| w[0] + (w[1] - w[0]) * i as f64 / per as f64))
                .chain([b])
                .collect()
        }
        None => vec![curve.closest(p), 0.0, 1.0, -1.0],
    };
    let mut ranked: Vec<(f64, f64)> = seeds
        .iter()
        .map(|&t| (profile_residual(surface, p, t).0.length_squared(), t))
        .collect();
    ranked.sort_by(|a, b| a.0.total_cmp(&b.0));
    for &(_, t) in ranked.iter().take(5) {
        let found = profile_newton(surface, p, t, limits);
        if found.0 < best.0 {
            best = found;
        }
    }
    best.1
}

impl Chart {
    /// Parameters of the point of the surface closest to `p`; `hint` makes the search local and
    /// picks the copy nearest to it on periodic surfaces.
    pub fn invert(&self, p: DVec3, hint: Option<DVec2>) -> DVec2 {
        let raw = self.snapped(self.invert_raw(p, hint));
        match hint {
            Some(h) => self.near(raw, h),
            None => raw,
        }
    }

    fn invert_raw(&self, p: DVec3, hint: Option<DVec2>) -> DVec2 {
        if let Some(uv) = elementary(&self.surface, p) {
            return uv;
        }
        match &self.surface {
            Surface::Extrusion { curve, direction } => {
                let u = profile_parameter(&self.surface, p, hint.map(|h| h.x), self.accept_mm);
                let v = (p - curve.point(u)).dot(*direction) / direction.length_squared();
                DVec2::new(u, v)
            }
            Surface::Revolution {
                curve,
                origin,
                axis,
            } => {
                let v = profile_parameter(&self.surface, p, hint.map(|h| h.y), self.accept_mm);
                let a = axis.normalize_or(DVec3::Z);
                let flat = |q: DVec3| {
                    let arm = q - *origin;
                    arm - a * arm.dot(a)
                };
                let (from, to) = (flat(curve.point(v)), flat(p));
                DVec2::new(a.dot(from.cross(to)).atan2(from.dot(to)), v)
            }
            _ => self.invert_seeded(p, hint),
        }
    }

    fn invert_seeded(&self, p: DVec3, hint: Option<DVec2>) -> DVec2 {
        let mut best = (f64::INFINITY, DVec2::ZERO);
        if let Some(h) = hint {
            best = self.newton(p, h);
            if best.0 <= self.accept_mm {
                return best.1;
            }
        }
        for seed in self.seeds.nearest(p, 6) {
            let found = self.newton(p, seed);
            if found.0 < best.0 - 1e-12 {
                best = found;
            }
            if best.0 <= 1e-3 * self.accept_mm {
                break;
            }
        }
        best.1
    }

    /// Limits reached but for rounding count as reached: boundaries of a patch come out straight.
    fn snapped(&self, uv: DVec2) -> DVec2 {
        let mut out = uv.to_array();
        for (k, x) in out.iter_mut().enumerate() {
            if let (Some([a, b]), None) = (self.range[k], self.period[k]) {
                for end in [a, b] {
                    if (*x - end).abs() <= 1e-11 * (b - a) {
                        *x = end;
                    }
                }
            }
        }
        DVec2::from_array(out)
    }

    /// Damped Gauss-Newton in (u, v); returns distance and parameters.
    fn newton(&self, p: DVec3, start: DVec2) -> (f64, DVec2) {
        let mut uv = self.clamped(start);
        let mut jet = self.surface.eval(uv.x, uv.y, 1);
        let mut gap = jet.p - p;
        for _ in 0..40 {
            let (a, b, c) = (
                jet.u.length_squared(),
                jet.u.dot(jet.v),
                jet.v.length_squared(),
            );
            let (gu, gv) = (gap.dot(jet.u), gap.dot(jet.v));
            // A little damping keeps collapsed directions harmless.
            let damp = 1e-13 * (a + c);
            let det = (a + damp) * (c + damp) - b * b;
            if det <= 0.0 {
                break;
            }
            let mut step = DVec2::new(b * gv - (c + damp) * gu, b * gu - (a + damp) * gv) / det;
            // At a limit, slide along it instead of pushing through.
            let trial = self.clamped(uv + step);
            let blocked = (trial - (uv + step)).abs();
            if blocked.x > 0.0 && c > 0.0 {
                step = DVec2::new(trial.x - uv.x, -(gv + b * (trial.x - uv.x)) / c);
            } else if blocked.y > 0.0 && a > 0.0 {
                step = DVec2::new(-(gu + b * (trial.y - uv.y)) / a, trial.y - uv.y);
            }
            let now = gap.length_squared();
            let mut improved = false;
            for _ in 0..10 {
                let next = self.clamped(uv + step);
                let j = self.surface.eval(next.x, next.y, 1);
                let g = j.p - p;
                if g.length_squared() < now {
                    improved = (next - uv).abs().max_element() > 0.0;
                    (uv, jet, gap) = (next, j, g);
                    break;
                }
                step *= 0.5;
            }
            if !improved || gap.length_squared() > now * (1.0 - 1e-12) {
                break;
            }
        }
        (gap.length(), uv)
    }
}
