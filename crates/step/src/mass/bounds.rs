//! How far a solid reaches in a direction: the mesh says where to look, the exact curves and
//! surfaces say how far.

use crate::brep::Surface;
use crate::surfaces::chart::Chart;
use crate::tessellate::prepare::Prepared;
use crate::trim::domain::Domain;
use crate::trim::polygon::inside;
use glam::{DVec2, DVec3};

/// Largest `p . direction` over an edge.
pub fn edge_reach(solid: &Prepared, edge: usize, direction: DVec3) -> f64 {
    let s = &solid.samples[edge];
    let at = |i: usize| s.points[i].dot(direction);
    let Some(top) = (0..s.points.len()).max_by(|&i, &j| at(i).total_cmp(&at(j))) else {
        return f64::NEG_INFINITY;
    };
    let curve = &solid.edges[edge].curve;
    let (mut a, mut b) = (
        s.params[top.saturating_sub(1)],
        s.params[(top + 1).min(s.params.len() - 1)],
    );
    // Golden section: the curve is smooth and single-humped between neighbouring samples.
    let ratio = 0.5 * (5.0_f64.sqrt() - 1.0);
    let value = |t: f64| curve.point(t).dot(direction);
    for _ in 0..40 {
        let (c, d) = (b - ratio * (b - a), a + ratio * (b - a));
        if value(c) > value(d) {
            b = d;
        } else {
            a = c;
        }
    }
    at(top).max(value(0.5 * (a + b)))
}

/// `p . direction` at a summit inside the domain near (u, v), found by damped Newton ascent; `None`
/// when the ascent ends at the boundary, where the exact edges say more than this chord polygon.
pub fn face_reach(chart: &Chart, domain: &Domain, start: DVec2, direction: DVec3) -> Option<f64> {
    let mut uv = start;
    let mut best = chart.point(uv).dot(direction);
    if matches!(chart.surface, Surface::Plane { .. }) {
        return None;
    }
    let polygons: Vec<Vec<DVec2>> = domain
        .polygons
        .iter()
        .map(|p| p.iter().map(|n| n.uv).collect())
        .collect();
    let within = |q: DVec2| polygons.iter().filter(|p| inside(p, q)).count() % 2 == 1;
    for _ in 0..40 {
        let j = chart.surface.eval(uv.x, uv.y, 2);
        let g = DVec2::new(j.u.dot(direction), j.v.dot(direction));
        let (a, b, c) = (
            j.uu.dot(direction),
            j.uv.dot(direction),
            j.vv.dot(direction),
        );
        let scale = DVec2::new(j.u.length_squared(), j.v.length_squared()).max(DVec2::splat(1e-30));
        // Shift the Hessian until it is negative definite.
        let mut lambda = 1e-9 * (a.abs() + c.abs() + b.abs()) / scale.max_element();
        let mut improved = false;
        for _ in 0..30 {
            let (ha, hc) = (a - lambda * scale.x, c - lambda * scale.y);
            let det = ha * hc - b * b;
            if ha < 0.0 && det > 0.0 {
                let step = DVec2::new(-(hc * g.x - b * g.y), -(ha * g.y - b * g.x)) / det;
                let next = uv + step;
                if within(next) {
                    let value = chart.point(next).dot(direction);
                    if value > best {
                        improved = value > best + 1e-12 * (1.0 + best.abs());
                        (uv, best) = (next, value);
                        break;
                    }
                }
            }
            lambda = (lambda * 8.0).max(1e-12);
        }
        if !improved {
            break;
        }
    }
    let j = chart.surface.eval(uv.x, uv.y, 1);
    let slope = |d: DVec3| d.normalize_or_zero().dot(direction).abs();
    // On a summit both slopes vanish; 1e-5 of a radius of a metre is still below 0.1 micrometre.
    (slope(j.u) < 1e-5 && slope(j.v) < 1e-5).then_some(best)
}
