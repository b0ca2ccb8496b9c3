//! What passes of a tool leave standing between them, measured square to the face. All of it is
//! plain geometry of circles and steps; the formulas hold for passes side by side on a face of
//! constant curvature.

use crate::reach::Reach;
use crate::tool_shape::ToolShape;

/// Height of the steps a flat tool leaves on a slanted face when it goes down by `step_down_mm`:
/// of the right triangle between face and step, the height over its long side. `normal_z` is the
/// cosine between face normal and axis.
pub fn steps_mm(step_down_mm: f64, normal_z: f64) -> f64 {
    (step_down_mm * normal_z.abs()).max(0.0)
}

/// Curvature of a face across the passes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Across {
    /// A plane, or a cylinder along its axis.
    Straight,
    /// Bulging out, radius in mm.
    Convex(f64),
    /// Hollow, radius in mm.
    Concave(f64),
}

/// Height of the ridges a ball leaves with passes `stepover_mm` apart along the face. A hollow
/// narrower than the ball, or passes so far apart that they do not meet, leave all there is:
/// infinite.
pub fn ball_mm(ball_radius_mm: f64, stepover_mm: f64, across: Across) -> f64 {
    let (c, w) = (ball_radius_mm, stepover_mm.max(0.0));
    // The ridge stands midway: on the circle of the ball, over or under the line of its centres.
    let ridge = |sideways: f64| {
        let under = c * c - sideways * sideways;
        (under >= 0.0).then(|| under.sqrt())
    };
    let height = match across {
        Across::Straight => ridge(0.5 * w).map(|u| c - u),
        Across::Convex(radius) => {
            let (sin, cos) = libm::sincos(0.5 * w / radius);
            ridge((radius + c) * sin).map(|u| (radius + c) * cos - u - radius)
        }
        Across::Concave(radius) if radius >= c => {
            let (sin, cos) = libm::sincos(0.5 * w / radius);
            ridge((radius - c) * sin).map(|u| radius - (radius - c) * cos - u)
        }
        Across::Concave(_) => None,
    };
    height.map_or(f64::INFINITY, |h| h.max(0.0))
}

/// Height of ridges on a level face: none while flats overlap, else those of the rounded corner.
/// A flat tool whose passes do not overlap leaves all there is.
pub fn level_mm(tool: &ToolShape, stepover_mm: f64) -> f64 {
    let beyond = stepover_mm - 2.0 * tool.flat_mm();
    if beyond <= 0.0 {
        0.0
    } else {
        ball_mm(tool.corner_mm(), beyond, Across::Straight)
    }
}

/// Widest stepover of a ball on a straight face with ridges no higher than `ridge_mm`.
pub fn ball_stepover_mm(ball_radius_mm: f64, ridge_mm: f64) -> f64 {
    let h = ridge_mm.clamp(0.0, ball_radius_mm);
    2.0 * (h * (2.0 * ball_radius_mm - h)).sqrt()
}

impl Reach {
    /// A face stepped with steps no higher than `tolerance_mm` counts as finished.
    pub fn with_steps(self, step_down_mm: f64, normal_z: f64, tolerance_mm: f64) -> Reach {
        match self {
            Reach::Stepped(tip) if steps_mm(step_down_mm, normal_z) <= tolerance_mm => {
                Reach::Finished(tip)
            }
            other => other,
        }
    }
}
