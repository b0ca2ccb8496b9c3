//! How densely a face needs points of its own, and where they go.

use crate::brep::Surface;
use crate::surfaces::chart::Chart;
use crate::trim::domain::Domain;
use glam::DVec2;

/// Step lengths and the scaling that makes them of one size.
#[derive(Clone, Copy, Debug)]
pub struct Spacing {
    /// Largest steps along u and v; infinite where the surface is straight.
    pub steps: DVec2,
    /// Factors from parameters to scaled parameters.
    pub metric: DVec2,
    /// Tolerances that the steps are for: chord in mm (less its share on doubly curved surfaces).
    pub chord_mm: f64,
    /// Angle, rad.
    pub angle_rad: f64,
}

/// Fraction of the chord tolerance that a step in one direction may use on doubly curved surfaces,
/// where the deviations of both directions add up.
const DOUBLE_CURVED: f64 = 0.6;

/// Steps over a box of parameters.
pub fn spacing(chart: &Chart, lo: DVec2, hi: DVec2, chord_mm: f64, angle_rad: f64) -> Spacing {
    let size = (hi - lo).max(DVec2::splat(1e-12));
    let middle = 0.5 * (lo + hi);
    let mut steps = DVec2::INFINITY;
    match &chart.surface {
        Surface::Plane { .. } => {
            return Spacing {
                steps,
                metric: DVec2::ONE,
                chord_mm,
                angle_rad,
            };
        }
        Surface::Cylinder { .. } => steps = chart.steps_at(middle, chord_mm, angle_rad),
        Surface::Cone { .. } => {
            for v in [lo.y, hi.y] {
                steps = steps.min(chart.steps_at(DVec2::new(middle.x, v), chord_mm, angle_rad));
            }
        }
        Surface::Sphere { .. } | Surface::Torus { .. } => {
            for i in 0..=8 {
                let v = lo.y + size.y * f64::from(i) / 8.0;
                let at = DVec2::new(middle.x, v);
                steps = steps.min(chart.steps_at(at, DOUBLE_CURVED * chord_mm, angle_rad));
            }
        }
        _ => {
            let (mut us, mut vs) = (Vec::new(), Vec::new());
            for i in 0..9 {
                for j in 0..9 {
                    let at = lo + size * DVec2::new(f64::from(i) + 0.5, f64::from(j) + 0.5) / 9.0;
                    let s = chart.steps_at(at, DOUBLE_CURVED * chord_mm, angle_rad);
                    us.push(s.x);
                    vs.push(s.y);
                }
            }
            us.sort_by(f64::total_cmp);
            vs.sort_by(f64::total_cmp);
            // Single tight spots are left to refinement.
            steps = DVec2::new(us[8], vs[8]);
        }
    }
    // Nothing is gained by steps beyond the face.
    let jet = chart.surface.eval(middle.x, middle.y, 1);
    let speed = DVec2::new(jet.u.length(), jet.v.length()).max(DVec2::splat(1e-12));
    let length = size * speed;
    // Where one direction is straight it is shrunk to about a step: triangles then reach along it
    // and stay narrow across, as the bend asks.
    let metric = match (steps.x < size.x, steps.y < size.y) {
        (true, true) => DVec2::ONE / steps,
        (true, false) => DVec2::new(1.0 / steps.x, speed.y / (steps.x * speed.x).max(length.y)),
        (false, true) => DVec2::new(speed.x / (steps.y * speed.y).max(length.x), 1.0 / steps.y),
        (false, false) => speed,
    };
    let double = matches!(
        chart.surface,
        Surface::Sphere { .. } | Surface::Torus { .. }
    );
    let share = if double { DOUBLE_CURVED } else { 1.0 };
    Spacing {
        steps,
        metric,
        chord_mm: share * chord_mm,
        angle_rad,
    }
}

/// Most points put into one face ahead of refinement.
const MOST_POINTS: f64 = 60_000.0;

/// Rows of points inside the domain, clear of its boundary.
pub fn interior_points(chart: &Chart, domain: &Domain, spacing: &Spacing) -> Vec<DVec2> {
    let size = domain.hi - domain.lo;
    let mut steps = spacing.steps;
    if !(steps.x < size.x || steps.y < size.y) || !(steps.x.is_finite() && steps.y.is_finite()) {
        return Vec::new();
    }
    let expected = (size.x / steps.x).max(1.0) * (size.y / steps.y).max(1.0);
    if expected > MOST_POINTS {
        steps *= (expected / MOST_POINTS).sqrt();
    }
    let rows = (size.y / steps.y).ceil().max(1.0) as usize;
    let scale = DVec2::ONE / steps;
    let pieces: Vec<[DVec2; 2]> = domain
        .polygons
        .iter()
        .flat_map(|p| (0..p.len()).map(move |i| [p[i].uv, p[(i + 1) % p.len()].uv]))
        .collect();
    let round = matches!(
        chart.surface,
        Surface::Sphere { .. } | Surface::Torus { .. }
    );
    let mut out = Vec::new();
    for row in 1..rows {
        let v = domain.lo.y + size.y * row as f64 / rows as f64;
        let mut crossings: Vec<f64> = Vec::new();
        let mut near: Vec<[DVec2; 2]> = Vec::new();
        for &[a, b] in &pieces {
            if (a.y > v) != (b.y > v) {
                crossings.push(a.x + (b.x - a.x) * (v - a.y) / (b.y - a.y));
            }
            if a.y.min(b.y) < v + 0.5 * steps.y && a.y.max(b.y) > v - 0.5 * steps.y {
                near.push([a, b]);
            }
        }
        crossings.sort_by(f64::total_cmp);
        // Rows near the poles of a sphere or the inside of a torus need fewer points.
        let mut step = steps.x;
        if round {
            let here = chart.surface.eval(domain.lo.x, v, 1).u.length();
            let widest = widest_row(chart, domain);
            step = steps.x * (widest / here.max(1e-9 * widest)).min(1e3);
        }
        for pair in crossings.chunks_exact(2) {
            let width = pair[1] - pair[0];
            let count = (width / step).ceil().max(1.0) as usize;
            for i in 1..count {
                let at = DVec2::new(pair[0] + width * i as f64 / count as f64, v);
                let clear = near
                    .iter()
                    .all(|[a, b]| distance(at * scale, *a * scale, *b * scale) > 0.4);
                if clear {
                    out.push(at);
                }
            }
        }
    }
    out
}

fn widest_row(chart: &Chart, domain: &Domain) -> f64 {
    (0..=8)
        .map(|i| {
            let v = domain.lo.y + (domain.hi.y - domain.lo.y) * f64::from(i) / 8.0;
            chart.surface.eval(domain.lo.x, v, 1).u.length()
        })
        .fold(0.0, f64::max)
}

fn distance(p: DVec2, a: DVec2, b: DVec2) -> f64 {
    let d = b - a;
    let l2 = d.length_squared();
    let t = if l2 > 0.0 {
        ((p - a).dot(d) / l2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    p.distance(a + t * d)
}
