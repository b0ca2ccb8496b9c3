//! Which directions make which steps of a hole.
//!
//! A step is made from a direction when a tool of its diameter comes down its axis to its far end
//! through nothing but air: then a step behind a narrower one asks for the other side by itself,
//! and so does a cone that opens there.

use super::Shape;
use super::view::View;
use crate::features::hole::{Hole, Step};
use glam::DVec3;

/// Axis and direction agree within this, rad (fits to short bores stray so far).
const PARALLEL_RAD: f64 = 0.012;

/// One step of one hole as something to be made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoleStep {
    /// Hole.
    pub hole: usize,
    /// Step of it.
    pub step: usize,
    /// Ends of its axis, entry first, part frame.
    pub ends: [DVec3; 2],
    /// Narrow diameter, mm.
    pub diameter_mm: f64,
    /// Diameters at the ends, mm.
    pub diameters_mm: [f64; 2],
    /// For a cone the end it opens to: 0 the entry, 1 the far end.
    pub opens: Option<usize>,
}

impl HoleStep {
    /// Diameter half way, mm.
    pub fn mean_mm(&self) -> f64 {
        (self.diameters_mm[0] + self.diameters_mm[1]) / 2.0
    }

    /// Radius at a share of the way from the entry end, mm.
    pub fn radius_at(&self, share: f64) -> f64 {
        let [a, b] = self.diameters_mm;
        (a + (b - a) * share) / 2.0
    }
}

/// All steps of all holes.
pub fn hole_steps(shape: &Shape<'_>) -> Vec<HoleStep> {
    let of_hole = |(h, hole): (usize, &Hole)| -> Vec<HoleStep> {
        let at = |depth: f64| hole.at - hole.toward * depth;
        let step = |(s, step): (usize, &Step)| HoleStep {
            hole: h,
            step: s,
            ends: [at(step.from_mm), at(step.to_mm)],
            diameter_mm: step.diameter_mm.min(step.far_diameter_mm),
            diameters_mm: [step.diameter_mm, step.far_diameter_mm],
            opens: step
                .is_cone()
                .then_some(usize::from(step.far_diameter_mm > step.diameter_mm)),
        };
        hole.steps.iter().enumerate().map(step).collect()
    };
    shape.holes.iter().enumerate().flat_map(of_hole).collect()
}

/// Whether the step is made from the view's direction; `toward` is its hole's.
pub fn is_made(view: &View, step: &HoleStep, toward: DVec3) -> bool {
    let along = view.toward.dot(toward);
    if view.toward.cross(toward).length() > PARALLEL_RAD {
        return false;
    }
    let (far, entry) = if along > 0.0 { (1, 0) } else { (0, 1) };
    if step.opens.is_some_and(|end| end != entry) {
        return false;
    }
    if step.diameter_mm <= 0.0 {
        return true;
    }
    view.drill_passes(step.diameter_mm, step.ends[far])
}
