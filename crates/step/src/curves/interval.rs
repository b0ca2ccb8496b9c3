//! Which piece of its curve an edge covers, from its end vertices and sense alone.

use crate::brep::{Curve, Edge};
use glam::DVec3;

/// Parameters of an edge's curve at its start and end vertex (the second is smaller for edges that
/// run against their curve).
pub fn edge_interval(edge: &Edge, vertices: &[DVec3], tolerance_mm: f64) -> [f64; 2] {
    let (start, end) = (vertices[edge.start], vertices[edge.end]);
    let curve = &edge.curve;
    let sign = if edge.same_sense { 1.0 } else { -1.0 };
    let period = curve.period();
    if edge.start == edge.end {
        if let Some(p) = period {
            let seam = curve
                .range()
                .map(|[a, b]| if edge.same_sense { a } else { b });
            let t = match seam {
                Some(t) if curve.point(t).distance(start) <= tolerance_mm => t,
                _ => curve.closest(start),
            };
            return [t, t + sign * p];
        }
        // Closed within the file's own gap only.
        if let Some([a, b]) = curve.range() {
            let size = curve.point(0.5 * (a + b)).distance(start);
            let near = (1e-3 * size).max(tolerance_mm);
            if size > tolerance_mm
                && curve.point(a).distance(start) <= near
                && curve.point(b).distance(start) <= near
            {
                return if edge.same_sense { [a, b] } else { [b, a] };
            }
        }
        let t = curve.closest(start);
        return [t, t];
    }
    let (mut t0, mut t1) = (closest_end(curve, start), closest_end(curve, end));
    let Some(p) = period else { return [t0, t1] };
    // At the seam of a closed curve both ends of the range are the same point.
    if let Some([a, b]) = curve.range() {
        let seam = curve.point(a);
        let close = 1e-9 * p;
        let at_seam = |t: f64, q: DVec3| {
            t - a <= close || b - t <= close || seam.distance(q) <= tolerance_mm.min(1e-6)
        };
        if at_seam(t0, start) {
            t0 = if edge.same_sense { a } else { b };
        }
        if at_seam(t1, end) {
            t1 = if edge.same_sense { b } else { a };
        }
    }
    let mut along = (sign * (t1 - t0)).rem_euclid(p);
    // Two vertices a hair apart are a tiny edge, unless the sense clearly asks for the long way.
    if along > p * (1.0 - 1e-9) && start.distance(end) <= tolerance_mm {
        along -= p;
    } else if along == 0.0 {
        along = if start.distance(end) <= tolerance_mm {
            0.0
        } else {
            p
        };
    }
    [t0, t0 + sign * along]
}

/// Closest parameter, preferring the ends of the natural range when the vertex lies there.
fn closest_end(curve: &Curve, p: DVec3) -> f64 {
    let may_end = matches!(
        curve,
        Curve::BSpline(_) | Curve::Trimmed { .. } | Curve::Composite { .. } | Curve::OnSurface(_)
    );
    if let (true, Some([a, b])) = (may_end, curve.range()) {
        for t in [a, b] {
            if curve.point(t).distance(p) <= 1e-9 {
                return t;
            }
        }
    }
    curve.closest(p)
}
