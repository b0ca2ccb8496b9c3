//! A surface made ready for trimming: recognised, with periods, limits, poles and step lengths.

use super::invert::Seeds;
use super::simplify::simplify;
use crate::brep::Surface;
use glam::{DVec2, DVec3};
use std::f64::consts::PI;

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
