//! A surface made ready for trimming: recognised, with periods, limits, poles and step lengths.

use super::bspline::samples;
use super::invert::Seeds;
use super::recognise::recognise;
use crate::brep::{Frame, Surface};
use glam::{DVec2, DVec3};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// A line of constant v that is a single point in space.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pole {
    /// Parameter of the line.
    pub v: f64,
    /// The point.
    pub point: DVec3,
}

/// A surface with what trimming needs to know about it.
#[derive(Clone, Debug)]
pub struct Chart {
    /// The surface, simplified where it is really an elementary one.
    pub surface: Surface,
    /// True when the outward normal of the face is du x dv.
    pub outward: bool,
    /// Period along u and v where the surface closes on itself.
    pub period: [Option<f64>; 2],
    /// Limits along u and v where it ends.
    pub range: [Option<[f64; 2]>; 2],
    /// Pole at the low and at the high end of v.
    pub poles: [Option<Pole>; 2],
    pub(super) seeds: Seeds,
    /// Distance at which a local search is taken as having succeeded, mm.
    pub accept_mm: f64,
}

impl Chart {
    /// Prepares the surface of a face whose boundary has the given points.
    pub fn new(
        surface: &Surface,
        same_sense: bool,
        boundary: &[DVec3],
        accept_mm: f64,
    ) -> Result<Self, String> {
        if let Some(problem) = surface.problem() {
            return Err(problem);
        }
        let (surface, flip) = simplify(surface, boundary);
        let mut chart = Self {
            surface,
            outward: same_sense != flip,
            period: [None, None],
            range: [None, None],
            poles: [None, None],
            seeds: Seeds::default(),
            accept_mm,
        };
        chart.prepare(boundary);
        Ok(chart)
    }

    fn prepare(&mut self, boundary: &[DVec3]) {
        match &mut self.surface {
            Surface::Plane { .. } => {}
            Surface::Cylinder { .. } => self.period = [Some(TAU), None],
            Surface::Cone {
                frame,
                radius,
                half_angle,
            } => {
                self.period = [Some(TAU), None];
                let apex = -*radius / half_angle.tan();
                let point = frame.origin + apex * frame.z;
                let mean = boundary
                    .iter()
                    .map(|p| (*p - point).dot(frame.z))
                    .sum::<f64>();
                let pole = Some(Pole { v: apex, point });
                self.poles = if mean >= 0.0 {
                    [pole, None]
                } else {
                    [None, pole]
                };
            }
            Surface::Sphere { frame, radius } => {
                let turned = quiet_axis(frame, *radius, boundary);
                *frame = turned;
                self.period = [Some(TAU), None];
                self.poles = [-1.0, 1.0].map(|s| {
                    Some(Pole {
                        v: s * FRAC_PI_2,
                        point: frame.origin + s * *radius * frame.z,
                    })
                });
            }
            Surface::Torus {
                frame,
                major,
                minor,
                select_outer,
            } => {
                if *minor < *major * (1.0 - 1e-12) {
                    self.period = [Some(TAU), Some(TAU)];
                } else {
                    self.period = [Some(TAU), None];
                    let turn = (-*major / *minor).max(-1.0).acos();
                    let ends = if *select_outer {
                        [-turn, turn]
                    } else {
                        [turn, TAU - turn]
                    };
                    self.poles = ends.map(|v| {
                        Some(Pole {
                            v,
                            point: frame.origin + *minor * v.sin() * frame.z,
                        })
                    });
                }
            }
            Surface::BSpline(s) => {
                let [ua, ub] = s.u_range();
                let u_degenerate = {
                    let t = s.transposed();
                    t.pole_at_v(ua).is_some() || t.pole_at_v(ub).is_some()
                };
                let [va, vb] = s.v_range();
                if u_degenerate && s.pole_at_v(va).is_none() && s.pole_at_v(vb).is_none() {
                    **s = s.transposed();
                    self.outward = !self.outward;
                }
                let (u, v) = (s.u_range(), s.v_range());
                self.poles = v.map(|v| s.pole_at_v(v).map(|point| Pole { v, point }));
                self.period = [
                    s.closed_u().then_some(u[1] - u[0]),
                    (s.closed_v() && self.poles == [None, None]).then_some(v[1] - v[0]),
                ];
                self.range = [Some(u), Some(v)];
                let list = |b: Vec<f64>| -> Vec<f64> {
                    let all: Vec<f64> = samples(&b).collect();
                    let step = all.len().div_ceil(64);
                    all.iter()
                        .copied()
                        .step_by(step)
                        .chain(all.last().copied())
                        .collect()
                };
                let (us, vs) = (list(s.u_breaks()), list(s.v_breaks()));
                self.seeds = Seeds::grid(&self.surface, &us, &vs);
            }
            Surface::Extrusion { curve, .. } => {
                self.period = [curve.period(), None];
                self.range = [curve.range().filter(|_| curve.period().is_none()), None];
            }
            Surface::Revolution {
                curve,
                origin,
                axis,
            } => {
                self.period = [Some(TAU), curve.period()];
                if let (Some(range), None) = (curve.range(), curve.period()) {
                    self.range = [None, Some(range)];
                    let a = axis.normalize_or(DVec3::Z);
                    let size = curve
                        .point(0.5 * (range[0] + range[1]))
                        .distance(curve.point(range[0]));
                    self.poles = range.map(|v| {
                        let arm = curve.point(v) - *origin;
                        let off = (arm - a * arm.dot(a)).length();
                        (off <= 1e-8 * size).then(|| Pole {
                            v,
                            point: *origin + a * arm.dot(a),
                        })
                    });
                }
            }
            Surface::Offset { basis, distance } => {
                let distance = *distance;
                if let Ok(inner) = Chart::new(basis, true, boundary, self.accept_mm) {
                    if !inner.outward {
                        self.outward = !self.outward;
                    }
                    let signed = if inner.outward { distance } else { -distance };
                    self.period = inner.period;
                    self.range = inner.range;
                    self.seeds = inner.seeds.clone();
                    self.surface = Surface::Offset {
                        basis: Box::new(inner.surface),
                        distance: signed,
                    };
                    if self.seeds.is_empty() {
                        self.seed_offset(&inner.range, &inner.period);
                    }
                }
            }
            Surface::RectangularTrimmed { .. } => {}
        }
        for k in 0..2 {
            if self.period[k].is_some() && !matches!(self.surface, Surface::BSpline(_)) {
                self.range[k] = None;
            }
        }
    }

    fn seed_offset(&mut self, range: &[Option<[f64; 2]>; 2], period: &[Option<f64>; 2]) {
        let list = |k: usize| -> Vec<f64> {
            let [a, b] = range[k].unwrap_or([0.0, period[k].unwrap_or(1.0)]);
            (0..=24)
                .map(|i| a + (b - a) * f64::from(i) / 24.0)
                .collect()
        };
        self.seeds = Seeds::grid(&self.surface, &list(0), &list(1));
    }

    /// Points spread over a surface that is bounded or closed in both directions, else none.
    pub fn samples(&self) -> Vec<DVec3> {
        let ends = |k: usize| -> Option<[f64; 2]> {
            let poles = match (k, self.poles) {
                (1, [Some(a), Some(b)]) => Some([a.v, b.v]),
                _ => None,
            };
            self.range[k].or(self.period[k].map(|p| [0.0, p])).or(poles)
        };
        let (Some(u), Some(v)) = (ends(0), ends(1)) else {
            return Vec::new();
        };
        let at = |[a, b]: [f64; 2], i: u32| a + (b - a) * f64::from(i) / 8.0;
        (0..=8)
            .flat_map(|i| (0..=8).map(move |j| (i, j)))
            .map(|(i, j)| self.surface.point(at(u, i), at(v, j)))
            .collect()
    }

    /// Keeps parameters inside the limits of directions that do not close.
    pub fn clamped(&self, uv: DVec2) -> DVec2 {
        let mut out = uv.to_array();
        for (k, x) in out.iter_mut().enumerate() {
            if let (Some([a, b]), None) = (self.range[k], self.period[k]) {
                *x = x.clamp(a, b);
            }
        }
        DVec2::from_array(out)
    }

    /// The copy of `uv`, by whole periods, nearest to `hint`.
    pub fn near(&self, uv: DVec2, hint: DVec2) -> DVec2 {
        let mut out = uv.to_array();
        for (k, period) in self.period.iter().enumerate() {
            if let Some(p) = period {
                out[k] += p * ((hint[k] - out[k]) / p).round();
            }
        }
        DVec2::from_array(out)
    }

    /// Point at (u, v).
    pub fn point(&self, uv: DVec2) -> DVec3 {
        self.surface.point(uv.x, uv.y)
    }

    /// Outward unit normal of the face at (u, v).
    pub fn outward_normal(&self, uv: DVec2) -> DVec3 {
        let n = self.surface.normal(uv.x, uv.y);
        if self.outward { n } else { -n }
    }

    /// The pole that `p` lies on, if any.
    pub fn pole_at(&self, p: DVec3, tolerance_mm: f64) -> Option<usize> {
        (0..2).find(|&k| self.poles[k].is_some_and(|pole| pole.point.distance(p) <= tolerance_mm))
    }

    /// True when the whole surface is a closed one, needing no boundary.
    pub fn closed(&self) -> bool {
        let ends = |k: usize| self.period[k].is_some();
        ends(0) && (ends(1) || self.poles.iter().all(Option::is_some))
    }

    /// Values of u and v in a box where the surface may change its nature (knots, bends).
    pub fn breaks(&self, lo: DVec2, hi: DVec2) -> [Vec<f64>; 2] {
        let turn = |a: f64, b: f64| -> Vec<f64> {
            let n = ((b - a) / (PI / 4.0)).ceil().clamp(1.0, 32.0) as usize;
            (0..=n).map(|i| a + (b - a) * i as f64 / n as f64).collect()
        };
        let clip = |mut list: Vec<f64>, a: f64, b: f64, period: Option<f64>| -> Vec<f64> {
            if let Some(p) = period {
                let own = list.clone();
                for k in [-2.0, -1.0, 1.0, 2.0] {
                    list.extend(own.iter().map(|t| t + k * p));
                }
            }
            list.retain(|&t| t > a && t < b);
            list.push(a);
            list.push(b);
            list.sort_by(f64::total_cmp);
            list.dedup_by(|x, y| (*x - *y).abs() <= 1e-12 * (b - a).abs());
            list
        };
        match &self.surface {
            Surface::Plane { .. } => [vec![lo.x, hi.x], vec![lo.y, hi.y]],
            Surface::Cylinder { .. } | Surface::Cone { .. } => [turn(lo.x, hi.x), vec![lo.y, hi.y]],
            Surface::Sphere { .. } | Surface::Torus { .. } => [turn(lo.x, hi.x), turn(lo.y, hi.y)],
            Surface::BSpline(s) => [
                clip(s.u_breaks(), lo.x, hi.x, self.period[0]),
                clip(s.v_breaks(), lo.y, hi.y, self.period[1]),
            ],
            Surface::Extrusion { curve, .. } => [curve.breaks(lo.x, hi.x), vec![lo.y, hi.y]],
            Surface::Revolution { curve, .. } => [turn(lo.x, hi.x), curve.breaks(lo.y, hi.y)],
            Surface::Offset { basis, .. } => {
                let inner = Chart {
                    surface: (**basis).clone(),
                    seeds: Seeds::default(),
                    ..self.clone()
                };
                inner.breaks(lo, hi)
            }
            Surface::RectangularTrimmed { .. } => [turn(lo.x, hi.x), turn(lo.y, hi.y)],
        }
    }

    /// Largest steps along u and v at (u, v) that keep chord and angle tolerance; infinite where
    /// the surface is straight.
    pub fn steps_at(&self, uv: DVec2, chord_mm: f64, angle_rad: f64) -> DVec2 {
        let j = self.surface.eval(uv.x, uv.y, 2);
        let normal = j.u.cross(j.v);
        let length = normal.length();
        if length <= 1e-12 * (j.u.length_squared() + j.v.length_squared()) {
            return DVec2::splat(f64::INFINITY);
        }
        let n = normal / length;
        let step = |d: DVec3, dd: DVec3| {
            let bend = dd.dot(n).abs();
            let speed = d.length();
            if bend <= 1e-12 * speed {
                return f64::INFINITY;
            }
            (8.0 * chord_mm / bend).sqrt().min(angle_rad * speed / bend)
        };
        DVec2::new(step(j.u, j.uu), step(j.v, j.vv))
    }
}

/// Strips wrappers and recognises elementary surfaces; true when the normal turned over.
fn simplify(surface: &Surface, boundary: &[DVec3]) -> (Surface, bool) {
    match surface {
        Surface::RectangularTrimmed {
            basis,
            u_sense,
            v_sense,
            ..
        } => {
            let (inner, flip) = simplify(basis, boundary);
            (inner, flip != (u_sense != v_sense))
        }
        Surface::Offset { basis, distance } => {
            let (inner, flip) = simplify(basis, boundary);
            let d = if flip { -distance } else { *distance };
            match offset_elementary(&inner, d) {
                Some(s) => (s, flip),
                None => (
                    Surface::Offset {
                        basis: Box::new(inner),
                        distance: d,
                    },
                    flip,
                ),
            }
        }
        Surface::BSpline(_) | Surface::Extrusion { .. } | Surface::Revolution { .. } => {
            recognise(surface, boundary).unwrap_or_else(|| (surface.clone(), false))
        }
        // ISO 10303-42 gives the torus its normal as pointing from the tube's centre outwards. On
        // the inner part of a spindle torus, beyond the axis, du x dv points the other way.
        Surface::Torus {
            major,
            minor,
            select_outer: false,
            ..
        } if minor >= major => (surface.clone(), true),
        _ => (surface.clone(), false),
    }
}

fn offset_elementary(surface: &Surface, d: f64) -> Option<Surface> {
    match surface {
        Surface::Plane { frame } => Some(Surface::Plane {
            frame: Frame {
                origin: frame.origin + d * frame.z,
                ..*frame
            },
        }),
        Surface::Cylinder { frame, radius } if radius + d > 0.0 => Some(Surface::Cylinder {
            frame: *frame,
            radius: radius + d,
        }),
        Surface::Sphere { frame, radius } if radius + d > 0.0 => Some(Surface::Sphere {
            frame: *frame,
            radius: radius + d,
        }),
        Surface::Torus {
            frame,
            major,
            minor,
            select_outer,
        } if minor + d > 0.0 => Some(Surface::Torus {
            frame: *frame,
            major: *major,
            minor: minor + d,
            select_outer: *select_outer,
        }),
        Surface::Cone {
            frame,
            radius,
            half_angle,
        } => {
            let (s, c) = half_angle.sin_cos();
            // The offset cone has the same axis; slide its origin along the normal.
            let moved = radius + d * c;
            let origin = frame.origin - d * s * frame.z;
            (moved >= 0.0).then_some(Surface::Cone {
                frame: Frame { origin, ..*frame },
                radius: moved,
                half_angle: *half_angle,
            })
        }
        _ => None,
    }
}

/// A sphere may be parametrised about any axis: take the one whose poles are farthest from the
/// boundary, so that no edge runs through a pole.
fn quiet_axis(frame: &Frame, radius: f64, boundary: &[DVec3]) -> Frame {
    if boundary.is_empty() {
        return *frame;
    }
    let mut candidates = Vec::new();
    for (x, y, z) in [
        (0, 0, 1),
        (1, 0, 0),
        (0, 1, 0),
        (1, 1, 0),
        (1, -1, 0),
        (1, 0, 1),
        (1, 0, -1),
        (0, 1, 1),
        (0, 1, -1),
        (1, 1, 1),
        (1, 1, -1),
        (1, -1, 1),
        (-1, 1, 1),
        (1, 2, 3),
        (3, -1, 2),
        (-2, 3, 1),
    ] {
        let d = f64::from(x) * frame.x + f64::from(y) * frame.y + f64::from(z) * frame.z;
        candidates.push(d.normalize_or(DVec3::Z));
    }
    let clearance = |d: DVec3| {
        boundary
            .iter()
            .map(|p| {
                let q = (*p - frame.origin) / radius;
                (q - d).length().min((q + d).length())
            })
            .fold(f64::INFINITY, f64::min)
    };
    let mut best = (clearance(frame.z) + 0.05, frame.z);
    for d in candidates {
        let room = clearance(d);
        if room > best.0 + 1e-9 {
            best = (room, d);
        }
    }
    if best.1 == frame.z {
        *frame
    } else {
        Surface::frame_about(frame.origin, best.1)
    }
}
