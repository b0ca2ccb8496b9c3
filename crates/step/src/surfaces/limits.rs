//! Where a surface closes, ends, or shrinks to a point.

use super::bspline::samples;
use super::chart::{Chart, Pole};
use super::invert::Seeds;
use crate::brep::{Frame, Surface};
use glam::DVec3;
use std::f64::consts::{FRAC_PI_2, TAU};

impl Chart {
    /// Finds periods, limits, poles and seeds for a face whose boundary has the given points.
    pub(super) fn prepare(&mut self, boundary: &[DVec3]) {
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
