//! Evaluation of every [`Surface`], and [`chart::Chart`]: a surface made ready for trimming.

pub mod bspline;
pub mod chart;
pub mod invert;
mod limits;
pub mod recognise;
mod simplify;

use crate::brep::Surface;
use crate::numeric::any_perpendicular;
pub use bspline::Jet;
use glam::DVec3;

impl Surface {
    /// Why it cannot be evaluated, if so.
    pub fn problem(&self) -> Option<String> {
        let positive = |x: f64| x.is_finite() && x > 0.0;
        match self {
            Surface::Plane { frame } => {
                (!frame.origin.is_finite()).then(|| "plane without a position".into())
            }
            Surface::Cylinder { radius, .. } | Surface::Sphere { radius, .. } => {
                (!positive(*radius)).then(|| format!("radius {radius}"))
            }
            Surface::Cone {
                radius, half_angle, ..
            } => (!(radius.is_finite()
                && *radius >= 0.0
                && half_angle.abs() > 0.0
                && half_angle.abs() < std::f64::consts::FRAC_PI_2))
                .then(|| format!("cone of radius {radius} and half angle {half_angle}")),
            Surface::Torus { major, minor, .. } => (!(positive(*minor) && positive(*major)))
                .then(|| format!("torus of radii {major} and {minor}")),
            Surface::BSpline(s) => s.problem(),
            Surface::Extrusion { curve, direction } => curve.problem().or_else(|| {
                (!(direction.is_finite() && direction.length() > 0.0))
                    .then(|| "extrusion without a direction".into())
            }),
            Surface::Revolution { curve, axis, .. } => curve.problem().or_else(|| {
                (!(axis.is_finite() && axis.length() > 0.0))
                    .then(|| "revolution without axis".into())
            }),
            Surface::Offset { basis, distance } => basis
                .problem()
                .or_else(|| (!distance.is_finite()).then(|| "offset distance".into())),
            Surface::RectangularTrimmed { basis, .. } => basis.problem(),
        }
    }

    /// Point at (u, v).
    pub fn point(&self, u: f64, v: f64) -> DVec3 {
        self.eval(u, v, 0).p
    }

    /// Point and derivatives; second ones are meaningful only for `order` 2.
    pub fn eval(&self, u: f64, v: f64, order: usize) -> Jet {
        match self {
            Surface::Plane { frame: f } => Jet {
                p: f.origin + u * f.x + v * f.y,
                u: f.x,
                v: f.y,
                ..Jet::default()
            },
            Surface::Cylinder { frame: f, radius } => {
                let (s, c) = u.sin_cos();
                let out = *radius * (c * f.x + s * f.y);
                Jet {
                    p: f.origin + out + v * f.z,
                    u: *radius * (c * f.y - s * f.x),
                    v: f.z,
                    uu: -out,
                    ..Jet::default()
                }
            }
            Surface::Cone {
                frame: f,
                radius,
                half_angle,
            } => {
                let (s, c) = u.sin_cos();
                let k = half_angle.tan();
                let r = radius + v * k;
                let (out, side) = (c * f.x + s * f.y, c * f.y - s * f.x);
                Jet {
                    p: f.origin + r * out + v * f.z,
                    u: r * side,
                    v: k * out + f.z,
                    uu: -r * out,
                    uv: k * side,
                    vv: DVec3::ZERO,
                }
            }
            Surface::Sphere { frame, radius } => {
                let torus = TorusLike {
                    major: 0.0,
                    minor: *radius,
                };
                torus.eval(frame, u, v)
            }
            Surface::Torus {
                frame,
                major,
                minor,
                ..
            } => TorusLike {
                major: *major,
                minor: *minor,
            }
            .eval(frame, u, v),
            Surface::BSpline(s) => s.eval(u, v, order),
            Surface::Extrusion { curve, direction } => {
                let [p, d1, d2] = curve.eval(u, order.max(1));
                Jet {
                    p: p + v * *direction,
                    u: d1,
                    v: *direction,
                    uu: d2,
                    ..Jet::default()
                }
            }
            Surface::Revolution {
                curve,
                origin,
                axis,
            } => {
                let [p, d1, d2] = curve.eval(v, order.max(1));
                let a = axis.normalize_or(DVec3::Z);
                let turn = Turn::new(a, u);
                let arm = p - *origin;
                let q = turn.apply(arm);
                let du = a.cross(q);
                let dv = turn.apply(d1);
                Jet {
                    p: *origin + q,
                    u: du,
                    v: dv,
                    uu: a.cross(du),
                    uv: a.cross(dv),
                    vv: turn.apply(d2),
                }
            }
            Surface::Offset { basis, distance } => offset_eval(basis, *distance, u, v, order),
            Surface::RectangularTrimmed { basis, .. } => basis.eval(u, v, order),
        }
    }

    /// Unit normal du x dv; zero at poles.
    pub fn normal(&self, u: f64, v: f64) -> DVec3 {
        let j = self.eval(u, v, 1);
        j.u.cross(j.v).normalize_or_zero()
    }

    /// A direction square to `z` to complete frames with.
    pub(crate) fn frame_about(origin: DVec3, z: DVec3) -> crate::brep::Frame {
        let z = z.normalize_or(DVec3::Z);
        let x = any_perpendicular(z);
        crate::brep::Frame {
            origin,
            x,
            y: z.cross(x),
            z,
        }
    }
}

/// Sphere (major 0) and torus share their formulas.
struct TorusLike {
    major: f64,
    minor: f64,
}

impl TorusLike {
    fn eval(&self, f: &crate::brep::Frame, u: f64, v: f64) -> Jet {
        let ((s, c), (sv, cv)) = (u.sin_cos(), v.sin_cos());
        let r = self.major + self.minor * cv;
        let (out, side) = (c * f.x + s * f.y, c * f.y - s * f.x);
        let slope = -self.minor * sv;
        Jet {
            p: f.origin + r * out + self.minor * sv * f.z,
            u: r * side,
            v: slope * out + self.minor * cv * f.z,
            uu: -r * out,
            uv: slope * side,
            vv: -self.minor * cv * out - self.minor * sv * f.z,
        }
    }
}

/// Rotation about a unit axis (Rodrigues).
struct Turn {
    axis: DVec3,
    sin: f64,
    cos: f64,
}

impl Turn {
    fn new(axis: DVec3, angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        Self { axis, sin, cos }
    }

    fn apply(&self, p: DVec3) -> DVec3 {
        let along = self.axis * self.axis.dot(p);
        along + self.cos * (p - along) + self.sin * self.axis.cross(p)
    }
}

fn offset_eval(basis: &Surface, distance: f64, u: f64, v: f64, order: usize) -> Jet {
    let first = |u: f64, v: f64| {
        let j = basis.eval(u, v, 2);
        let n = j.u.cross(j.v);
        let length = n.length();
        if length == 0.0 {
            return (j.p, j.u, j.v);
        }
        let unit = n / length;
        let nu = j.uu.cross(j.v) + j.u.cross(j.uv);
        let nv = j.uv.cross(j.v) + j.u.cross(j.vv);
        let slope = |d: DVec3| (d - unit * unit.dot(d)) / length;
        (
            j.p + distance * unit,
            j.u + distance * slope(nu),
            j.v + distance * slope(nv),
        )
    };
    let (p, du, dv) = first(u, v);
    let mut jet = Jet {
        p,
        u: du,
        v: dv,
        ..Jet::default()
    };
    if order >= 2 {
        // Third derivatives of the basis would be needed: central differences steer Newton well
        // enough, and nothing exact depends on them.
        let base = basis.eval(u, v, 1);
        let scale = distance.abs().max(1e-3);
        let (hu, hv) = (
            1e-4 * scale / base.u.length().max(1e-9),
            1e-4 * scale / base.v.length().max(1e-9),
        );
        let (a, b) = (first(u + hu, v), first(u - hu, v));
        let (c, d) = (first(u, v + hv), first(u, v - hv));
        jet.uu = (a.1 - b.1) / (2.0 * hu);
        jet.uv = (c.1 - d.1) / (2.0 * hv);
        jet.vv = (c.2 - d.2) / (2.0 * hv);
    }
    jet
}
