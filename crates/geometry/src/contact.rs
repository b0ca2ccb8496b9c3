//! How high one triangle holds the tip of a tool, exactly.
//!
//! With the tool's axis at `x`, a point q of the part holds the tip at `q.z - profile(|q - x|)`.
//! Over a triangle q.z is linear and the profile convex, so this is concave: its maximum is in the
//! inside of the triangle where the slopes agree, or else on an edge.

use crate::tool_shape::ToolShape;
use glam::{DVec2, DVec3, Vec3Swizzles};

/// Height of the tip, and the point that holds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contact {
    /// Tip height, mm.
    pub tip_z: f64,
    /// Point of the part that touches.
    pub point: DVec3,
}

/// Where `triangle` holds the tip of `tool` with its axis at `axis`; `None` beyond its radius.
pub fn contact(tool: &ToolShape, axis: DVec2, triangle: &[DVec3; 3]) -> Option<Contact> {
    let [a, b, c] = *triangle;
    if let Some(gradient) = uphill(triangle) {
        let slope = gradient.length();
        let at = if slope > 0.0 {
            axis + gradient * (tool.distance_at_slope_mm(slope) / slope)
        } else {
            axis
        };
        if inside(at, triangle) {
            let z = a.z + gradient.dot(at - a.xy());
            let tip_z = z - tool.profile_mm(at.distance(axis).min(tool.radius_mm()));
            return Some(Contact {
                tip_z,
                point: at.extend(z),
            });
        }
    }
    [(a, b), (b, c), (c, a)]
        .into_iter()
        .filter_map(|(from, to)| edge_contact(tool, axis, from, to))
        .max_by(|p, q| p.tip_z.total_cmp(&q.tip_z))
}

/// Gradient of the triangle's plane; `None` for one that stands upright, or nearly: then its upper
/// edges alone decide, to within 1e-7 of its height sideways, far inside any tolerance.
pub(crate) fn uphill([a, b, c]: &[DVec3; 3]) -> Option<DVec2> {
    let normal = (*b - *a).cross(*c - *a);
    (normal.z.abs() > 1e-7 * normal.length())
        .then(|| DVec2::new(-normal.x / normal.z, -normal.y / normal.z))
}

fn inside(p: DVec2, [a, b, c]: &[DVec3; 3]) -> bool {
    let turn = |u: DVec3, v: DVec3| (v.xy() - u.xy()).perp_dot(p - u.xy());
    let (s, t, u) = (turn(*a, *b), turn(*b, *c), turn(*c, *a));
    (s >= 0.0 && t >= 0.0 && u >= 0.0) || (s <= 0.0 && t <= 0.0 && u <= 0.0)
}

fn edge_contact(tool: &ToolShape, axis: DVec2, from: DVec3, to: DVec3) -> Option<Contact> {
    let run = to.xy() - from.xy();
    let length = run.length();
    let r = tool.radius_mm();
    // Upright, or so nearly that its slope is rounding: the upper end decides.
    if length <= 1e-7 * (to.z - from.z).abs() {
        let point = if from.z >= to.z { from } else { to };
        let distance = point.xy().distance(axis);
        return (distance <= r).then(|| Contact {
            tip_z: point.z - tool.profile_mm(distance),
            point,
        });
    }
    let along = run / length;
    let off = from.xy() - axis;
    let across = off.perp_dot(along).abs();
    if across > r {
        return None;
    }
    // Position along the edge, from the foot of the axis on it.
    let start = off.dot(along);
    let half = (r * r - across * across).sqrt();
    let (low, high) = (start.max(-half), (start + length).min(half));
    if low > high {
        return None;
    }
    let slope = (to.z - from.z) / length;
    let w = best_along_edge(tool, across, slope, low, high);
    let z = (from.z + slope * (w - start)).clamp(from.z.min(to.z), from.z.max(to.z));
    let distance = across.hypot(w).min(r);
    Some(Contact {
        tip_z: z - tool.profile_mm(distance),
        point: (from.xy() + along * (w - start)).extend(z),
    })
}

/// Position w in `low..=high` with the largest `slope * w - profile(hypot(across, w))`.
fn best_along_edge(tool: &ToolShape, across: f64, slope: f64, low: f64, high: f64) -> f64 {
    let (c, flat) = (tool.corner_mm(), tool.flat_mm());
    if slope == 0.0 {
        // Nearest to the axis.
        return 0f64.clamp(low, high);
    }
    if c == 0.0 {
        return if slope > 0.0 { high } else { low };
    }
    if flat == 0.0 {
        // Ball: w / sqrt(r^2 - across^2 - w^2) = slope.
        let half = (c * c - across * across).max(0.0).sqrt();
        return (half * slope / (1.0 + slope * slope).sqrt()).clamp(low, high);
    }
    // Bull-nose: the slope of the profile along the edge grows with w; halve towards the place
    // where it equals the edge's. 52 halvings exhaust an f64.
    let profile_slope = |w: f64| {
        let d = across.hypot(w);
        let out = d - flat;
        if out <= 0.0 {
            0.0
        } else {
            let rise = (c * c - out * out).max(0.0).sqrt();
            if rise == 0.0 {
                f64::INFINITY * w.signum()
            } else {
                out / rise * w / d
            }
        }
    };
    let (mut left, mut right) = (low, high);
    for _ in 0..52 {
        let middle = 0.5 * (left + right);
        if profile_slope(middle) < slope {
            left = middle;
        } else {
            right = middle;
        }
    }
    0.5 * (left + right)
}
