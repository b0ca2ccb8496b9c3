//! Splines, extrusions and revolutions that are really planes, cylinders, cones, spheres or tori.
//!
//! Points and normals are sampled over the surface, the elementary surface is fitted in closed
//! form, and kept only if every sample lies within [`RECOGNITION_RELATIVE`] of the surface's size.

use super::bspline::samples;
use crate::brep::{Curve, Frame, Surface};
use crate::numeric::{solve, symmetric_eigen};
use glam::DVec3;

/// Largest deviation of a recognised surface, as a fraction of its size. Exact rational forms
/// leave 1e-15; the least squares below lose some digits on narrow patches; approximations made by
/// converters start at about 1e-5 and must stay splines for volumes to be right to 1e-6.
pub const RECOGNITION_RELATIVE: f64 = 1e-7;

/// The elementary surface that `surface` is, and whether its normal points the other way.
/// Points of the face's boundary tell where to look on surfaces without bounds of their own, and
/// which part of a spindle torus is meant.
pub fn recognise(surface: &Surface, boundary: &[DVec3]) -> Option<(Surface, bool)> {
    let reach = crate::curves::extent(boundary).max(1e-6);
    let near = boundary.iter().sum::<DVec3>() / boundary.len().max(1) as f64;
    if let Surface::Revolution {
        curve,
        origin,
        axis,
    } = surface
    {
        let axis = axis.normalize_or(DVec3::Z);
        if let Some(found) = torus_of_revolution(curve, *origin, axis, boundary) {
            return Some(with_sense(found, surface, &grid(surface, near, reach)?));
        }
    }
    let grid = grid(surface, near, reach)?;
    let points: Vec<(DVec3, DVec3)> = grid
        .iter()
        .map(|&(u, v)| (surface.point(u, v), surface.normal(u, v)))
        .collect();
    if points.iter().any(|(p, n)| !p.is_finite() || !n.is_finite()) {
        return None;
    }
    let only: Vec<DVec3> = points.iter().map(|p| p.0).collect();
    let tolerance = RECOGNITION_RELATIVE * crate::curves::extent(&only);
    let found = plane(&only, tolerance)
        .or_else(|| round(&points, tolerance))
        .or_else(|| sphere(&only, tolerance))?;
    Some(with_sense(found, surface, &grid))
}

fn with_sense(found: Surface, original: &Surface, grid: &[(f64, f64)]) -> (Surface, bool) {
    let mut vote = 0.0;
    for &(u, v) in grid {
        let p = original.point(u, v);
        let [a, b] = super::invert::elementary(&found, p)
            .unwrap_or_default()
            .to_array();
        // A turned circle covers both parts of a spindle torus, of which one was taken.
        if found.point(a, b).distance(p) > 1e-6 * (1.0 + p.length()) {
            continue;
        }
        vote += original.normal(u, v).dot(found.normal(a, b));
    }
    (found, vote < 0.0)
}

/// Parameters to sample at.
fn grid(surface: &Surface, near: DVec3, reach: f64) -> Option<Vec<(f64, f64)>> {
    let along = |c: &Curve| -> Option<Vec<f64>> {
        match c.range() {
            Some([a, b]) => Some(samples(&c.breaks(a, b)).collect()),
            None => {
                let middle = c.closest(near);
                let speed = c.eval(middle, 1)[1].length();
                let half = reach / speed;
                (half.is_finite() && half > 0.0).then(|| {
                    (-4..=4)
                        .map(|i| middle + half * f64::from(i) / 4.0)
                        .collect()
                })
            }
        }
    };
    let (us, vs): (Vec<f64>, Vec<f64>) = match surface {
        Surface::BSpline(s) => (
            samples(&s.u_breaks()).collect(),
            samples(&s.v_breaks()).collect(),
        ),
        Surface::Extrusion { curve, direction } => {
            let h = reach / direction.length();
            (along(curve)?, vec![-h, 0.0, h])
        }
        Surface::Revolution { curve, .. } => {
            ((0..12).map(|i| f64::from(i) * 0.5).collect(), along(curve)?)
        }
        _ => return None,
    };
    // A cheap first look: few samples decide against most free-form surfaces.
    let thin = |list: &[f64]| -> Vec<f64> {
        let step = list.len().div_ceil(40);
        list.iter()
            .copied()
            .step_by(step)
            .chain(list.last().copied())
            .collect()
    };
    let (us, vs) = (thin(&us), thin(&vs));
    Some(
        us.iter()
            .flat_map(|&u| vs.iter().map(move |&v| (u, v)))
            .collect(),
    )
}

fn centroid(points: &[DVec3]) -> DVec3 {
    points.iter().sum::<DVec3>() / points.len() as f64
}

fn scatter(points: &[DVec3], about: DVec3) -> [(f64, DVec3); 3] {
    let mut rows = [DVec3::ZERO; 3];
    for &p in points {
        let d = p - about;
        for (k, row) in rows.iter_mut().enumerate() {
            *row += d[k] * d;
        }
    }
    symmetric_eigen(rows)
}

fn plane(points: &[DVec3], tolerance: f64) -> Option<Surface> {
    let c = centroid(points);
    let normal = scatter(points, c)[0].1;
    points
        .iter()
        .all(|p| (*p - c).dot(normal).abs() <= tolerance)
        .then(|| Surface::Plane {
            frame: Surface::frame_about(c, normal),
        })
}

fn sphere(points: &[DVec3], tolerance: f64) -> Option<Surface> {
    let c = centroid(points);
    let mut a = [[0.0; 4]; 4];
    let mut b = [0.0; 4];
    for p in points {
        let d = *p - c;
        let row = [d.x, d.y, d.z, 1.0];
        for i in 0..4 {
            for j in 0..4 {
                a[i][j] += row[i] * row[j];
            }
            b[i] += row[i] * d.length_squared();
        }
    }
    let s = solve(a, b)?;
    let half = DVec3::new(s[0], s[1], s[2]) * 0.5;
    let radius = (s[3] + half.length_squared()).sqrt();
    let centre = c + half;
    (radius.is_finite()
        && points
            .iter()
            .all(|p| (p.distance(centre) - radius).abs() <= tolerance))
    .then(|| Surface::Sphere {
        frame: Surface::frame_about(centre, DVec3::Z),
        radius,
    })
}

/// Cylinder or cone: all normals make the same angle with the axis.
fn round(points: &[(DVec3, DVec3)], tolerance: f64) -> Option<Surface> {
    let normals: Vec<DVec3> = points
        .iter()
        .map(|p| p.1)
        .filter(|n| *n != DVec3::ZERO)
        .collect();
    if normals.len() < 6 {
        return None;
    }
    let mean = centroid(&normals);
    let eigen = scatter(&normals, mean);
    let axis = eigen[0].1;
    if eigen[1].0 <= 1e-9 * normals.len() as f64 || eigen[0].0 > 1e-9 * normals.len() as f64 {
        return None;
    }
    let lean = axis.dot(mean);
    let only: Vec<DVec3> = points.iter().map(|p| p.0).collect();
    if lean.abs() < 1e-6 {
        cylinder(&only, axis, tolerance)
    } else {
        cone(points, axis, lean, tolerance)
    }
}

fn cylinder(points: &[DVec3], axis: DVec3, tolerance: f64) -> Option<Surface> {
    let c = centroid(points);
    let f = Surface::frame_about(c, axis);
    let (mut a, mut b) = ([[0.0; 3]; 3], [0.0; 3]);
    for p in points {
        let d = *p - c;
        let row = [d.dot(f.x), d.dot(f.y), 1.0];
        let square = row[0] * row[0] + row[1] * row[1];
        for i in 0..3 {
            for j in 0..3 {
                a[i][j] += row[i] * row[j];
            }
            b[i] += row[i] * square;
        }
    }
    let s = solve(a, b)?;
    let radius = (s[2] + 0.25 * (s[0] * s[0] + s[1] * s[1])).sqrt();
    let origin = c + 0.5 * (s[0] * f.x + s[1] * f.y);
    let fits = radius.is_finite()
        && points.iter().all(|p| {
            let d = *p - origin;
            ((d - f.z * f.z.dot(d)).length() - radius).abs() <= tolerance
        });
    fits.then_some(Surface::Cylinder {
        frame: Frame { origin, ..f },
        radius,
    })
}

fn cone(points: &[(DVec3, DVec3)], axis: DVec3, lean: f64, tolerance: f64) -> Option<Surface> {
    // Every tangent plane passes through the apex.
    let c = centroid(&points.iter().map(|p| p.0).collect::<Vec<_>>());
    let (mut a, mut b) = ([[0.0; 3]; 3], [0.0; 3]);
    for (p, n) in points {
        let n = n.to_array();
        let at = DVec3::from_array(n).dot(*p - c);
        for i in 0..3 {
            for j in 0..3 {
                a[i][j] += n[i] * n[j];
            }
            b[i] += n[i] * at;
        }
    }
    let apex = c + DVec3::from_array(solve(a, b)?);
    let axis = if (c - apex).dot(axis) < 0.0 {
        -axis
    } else {
        axis
    };
    let half_angle = lean.abs().asin();
    let (s, k) = half_angle.sin_cos();
    let fits = points.iter().all(|(p, _)| {
        let d = *p - apex;
        let z = d.dot(axis);
        let r = (d - axis * z).length();
        z >= -tolerance && (r * k - z * s).abs() <= tolerance
    });
    fits.then(|| Surface::Cone {
        frame: Surface::frame_about(apex, axis),
        radius: 0.0,
        half_angle,
    })
}

/// A circle in a plane through the axis turns to a torus or a sphere.
fn torus_of_revolution(
    curve: &Curve,
    origin: DVec3,
    axis: DVec3,
    boundary: &[DVec3],
) -> Option<Surface> {
    let circle = match curve {
        Curve::Trimmed { basis, .. } => basis,
        other => other,
    };
    let Curve::Circle { frame, radius } = circle else {
        return None;
    };
    let arm = frame.origin - origin;
    let out = arm - axis * axis.dot(arm);
    let close = RECOGNITION_RELATIVE * radius;
    if frame.z.dot(axis).abs() > 1e-9 || frame.z.dot(out).abs() > close {
        return None;
    }
    let major = out.length();
    let centre = frame.origin - out;
    if major <= close {
        return Some(Surface::Sphere {
            frame: Surface::frame_about(centre, axis),
            radius: *radius,
        });
    }
    let x = out / major;
    let frame = Frame {
        origin: centre,
        x,
        y: axis.cross(x),
        z: axis,
    };
    let mut select_outer = true;
    if major <= *radius {
        // The part is told by the points off the axis; a trimmed arc without any by its middle.
        let mut vote = 0.0;
        let mut points = boundary.to_vec();
        if let (Curve::Trimmed { .. }, Some([a, b])) = (curve, curve.range()) {
            points.push(curve.point(0.5 * (a + b)));
        }
        for p in points {
            let d = p - centre;
            let z = d.dot(axis);
            let q = (d - axis * z).length();
            let gap = |side: f64| ((q - side * major).hypot(z) - radius).abs();
            vote += gap(-1.0) - gap(1.0);
        }
        select_outer = vote >= 0.0;
    }
    Some(Surface::Torus {
        frame,
        major,
        minor: *radius,
        select_outer,
    })
}
