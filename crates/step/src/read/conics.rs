//! Parameters of points on lines, conics and polylines, for trimmed curves given by points.

use glam::DVec3;

use crate::brep::{Curve, Frame};

fn local(frame: &Frame, p: DVec3) -> (f64, f64) {
    let d = p - frame.origin;
    (d.dot(frame.x), d.dot(frame.y))
}

/// Parameter of the point of the curve nearest to `p`, where the curve has a closed form.
pub(super) fn parameter_of_point(curve: &Curve, p: DVec3) -> Option<f64> {
    let t = match curve {
        Curve::Line { origin, direction } => {
            (p - *origin).dot(*direction) / direction.length_squared()
        }
        Curve::Circle { frame, .. } => {
            let (x, y) = local(frame, p);
            y.atan2(x)
        }
        Curve::Ellipse { frame, rx, ry } => {
            let (x, y) = local(frame, p);
            (y / ry).atan2(x / rx)
        }
        Curve::Parabola { frame, focal } => local(frame, p).1 / (2.0 * focal),
        Curve::Hyperbola { frame, ry, .. } => (local(frame, p).1 / ry).asinh(),
        Curve::Polyline { points } => return nearest_on_polyline(points, p),
        Curve::BSpline(spline) => {
            // Only the ends: trimming a spline by inner points is left to its parameters.
            let first = *spline.points.first()?;
            let last = *spline.points.last()?;
            let start = *spline.knots.get(spline.degree)?;
            let end = *spline.knots.get(spline.points.len())?;
            return Some(if p.distance(first) <= p.distance(last) {
                start
            } else {
                end
            });
        }
        Curve::Trimmed { .. }
        | Curve::Composite { .. }
        | Curve::Offset { .. }
        | Curve::OnSurface(_) => return None,
    };
    t.is_finite().then_some(t)
}

fn nearest_on_polyline(points: &[DVec3], p: DVec3) -> Option<f64> {
    let mut best: Option<(f64, f64)> = None;
    for (index, pair) in points.windows(2).enumerate() {
        let along = pair[1] - pair[0];
        let t = ((p - pair[0]).dot(along) / along.length_squared()).clamp(0.0, 1.0);
        let t = if t.is_nan() { 0.0 } else { t };
        let distance = (pair[0] + along * t).distance(p);
        if best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, index as f64 + t));
        }
    }
    best.map(|(_, t)| t)
}

/// Point of a line or conic.
pub(super) fn point_at(curve: &Curve, t: f64) -> Option<DVec3> {
    let on = |frame: &Frame, x: f64, y: f64| Some(frame.origin + frame.x * x + frame.y * y);
    match curve {
        Curve::Line { origin, direction } => Some(*origin + *direction * t),
        Curve::Circle { frame, radius } => on(frame, radius * t.cos(), radius * t.sin()),
        Curve::Ellipse { frame, rx, ry } => on(frame, rx * t.cos(), ry * t.sin()),
        Curve::Parabola { frame, focal } => on(frame, focal * t * t, 2.0 * focal * t),
        Curve::Hyperbola { frame, rx, ry } => on(frame, rx * t.cosh(), ry * t.sinh()),
        _ => None,
    }
}
