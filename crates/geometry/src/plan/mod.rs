//! From where a part must be cut, with which cutters, in which order. Knows no machine.
//!
//! 1. [`direction`] lists directions worth trying; [`sample`] spreads points over the faces;
//!    [`exempt`] tells marks and broken edges apart.
//! 2. [`view`] asks, for each direction, which points some allowed cutter finishes, reach
//!    included, and [`drilled`] which steps of holes come from there.
//! 3. [`rows`] gathers points to pieces, [`cover`] finds all smallest sets of directions that
//!    serve every piece and every step, and [`choose`] takes one.
//! 4. [`setups`] orders them, gives every point a cutter, and counts what is left.
//!
//! Limits: a piece of a face smaller than the spacing of points can be missed; one that is met by
//! one or two points of a larger face, or is a fragment of a smooth surface, is left out and its
//! area told. Nothing is ever called
//! finished that a tool does not reach ([`crate::reach`]).

mod assign;
pub mod choose;
pub mod clamp;
pub mod cover;
pub mod direction;
pub mod drilled;
pub mod exempt;
pub mod finish;
mod hole_tasks;
pub mod prism;
pub mod rows;
pub mod sample;
pub mod setups;
mod stock_left;
pub mod tasks;
pub mod tools;
pub mod view;

use crate::features::Features;
use crate::features::corner::{InsideCorner, inside_corners, sharp_inside_corners};
use crate::features::face::SolidFaces;
use crate::features::hole::Hole;
use crate::model::Model;
use crate::oriented_box::OrientedBox;
pub use setups::{ALGORITHM, Fate, Plan, PlannedSetup, plan};

use choose::{Chosen, choose};
use direction::{Candidate, candidates};
use drilled::{HoleStep, hole_steps};
use exempt::{Exempt, SharpEdge};
use finish::HoleFinish;
use glam::DVec3;
use rayon::prelude::*;
use sample::{Samples, face_samples};
use tools::{Cutter, standard_cutters};
use units::{Cancelled, Watch};
use view::View;

/// A part's shape as the plan reads it.
#[derive(Clone, Copy)]
pub struct Shape<'a> {
    /// Faces on their mesh, millimetres.
    pub solid: &'a SolidFaces<'a>,
    /// Holes.
    pub holes: &'a [Hole],
    /// Smallest box.
    pub smallest_box: &'a OrientedBox,
    /// Volume, mm3.
    pub volume_mm3: f64,
}

impl<'a> Shape<'a> {
    /// A model's shape with what was found of it.
    pub fn of(model: &'a Model, features: &'a Features<'a>) -> Shape<'a> {
        Shape {
            solid: &features.solid,
            holes: &features.holes,
            smallest_box: &model.smallest_box,
            volume_mm3: model.volume_mm3().abs(),
        }
    }
}

/// What the plan may assume.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// End mills allowed.
    pub cutters: Vec<Cutter>,
    /// Stock on every side, mm.
    pub allowance_mm: f64,
    /// True when engraved marks must be cut too.
    pub must_reach_marks: bool,
    /// True when faces that lie on the outside of the part's box may stay as the stock is.
    pub leave_stock_faces: bool,
    /// Points spread over the surface.
    pub samples: usize,
    /// Widest opening of the vise, mm.
    pub vise_opening_mm: f64,
    /// Threads and fits of holes that the model does not show.
    pub finish: Vec<HoleFinish>,
}

impl Default for Options {
    /// A 6 in machine vise with its jaws in the standard place (common practice, no source),
    /// standard cutters, stock 2.5 mm larger on every side (common practice, no source: a tenth of
    /// an inch to clean up), marks as they come.
    fn default() -> Options {
        Options {
            cutters: standard_cutters(),
            allowance_mm: 2.5,
            must_reach_marks: false,
            leave_stock_faces: false,
            samples: 6000,
            vise_opening_mm: 200.0,
            finish: Vec::new(),
        }
    }
}

impl Options {
    /// The same with faces on the outside left as the stock is: the stock is then bought to size,
    /// without an allowance.
    pub fn with_stock_faces_left(self) -> Options {
        Options {
            leave_stock_faces: true,
            allowance_mm: 0.0,
            ..self
        }
    }
}

/// Directions and what they serve.
pub struct Directions {
    /// Those tried.
    pub candidates: Vec<Candidate>,
    /// Those taken.
    pub chosen: Chosen,
    /// Points on the surface.
    pub samples: Samples,
    /// For every point the candidates that serve it.
    pub served: Vec<u128>,
    /// For every face why it need not be reached.
    pub exempt: Vec<Exempt>,
    /// Steps of holes.
    pub steps: Vec<HoleStep>,
    /// For every step the candidates it can be made from.
    pub steps_served: Vec<u128>,
    /// Area left out as below what the points can tell, mm2.
    pub slivers_mm2: f64,
    /// Sharp inside edges.
    pub edges: Vec<SharpEdge>,
    /// For every point the edges whose left radius it lies in.
    pub near: Vec<Vec<u32>>,
    /// Rounded inside corners along any candidate.
    pub corners: Vec<InsideCorner>,
    /// Distance of the mesh from the round surfaces behind it, mm.
    pub chord_mm: f64,
}

/// Finds the smallest set of directions.
pub fn directions(
    shape: &Shape<'_>,
    options: &Options,
    watch: Watch<'_>,
) -> Result<Directions, Cancelled> {
    let candidates = candidates(shape);
    let axes: Vec<DVec3> = candidates.iter().map(|c| c.toward).collect();
    let corners = inside_corners(shape.solid, &axes, shape.holes);
    let sharp = sharp_inside_corners(shape.solid, &axes);
    let mut exempt = exempt::exempt_faces(shape, &corners, &sharp);
    if options.must_reach_marks {
        for e in exempt.iter_mut().filter(|e| **e == Exempt::Mark) {
            *e = Exempt::No;
        }
    }
    if options.leave_stock_faces {
        exempt::leave_stock_faces(shape, &mut exempt);
    }
    let walls = prism::wall_axes(shape, &axes);
    let samples = face_samples(shape, &walls, options.samples);
    let edges = exempt::sharp_edges(shape);
    let near = exempt::near_edges(&samples, &edges);
    let chord_mm = sample::chord_error_mm(shape, &walls);
    let steps = hole_steps(shape);
    let mut in_hole = vec![false; shape.solid.faces.len()];
    for &f in shape.holes.iter().flat_map(|h| &h.faces) {
        in_hole[f as usize] = true;
    }
    let cutters = view::search_order(&options.cutters);
    let mut served = vec![0u128; samples.all.len()];
    let mut steps_served = vec![0u128; steps.len()];
    for (c, candidate) in candidates.iter().enumerate() {
        watch.tick("directions", c, candidates.len())?;
        let rotation = candidate.setup_from_part(shape);
        let Some(view) = View::new(
            shape,
            candidate.toward,
            rotation,
            options.allowance_mm,
            chord_mm,
        ) else {
            break;
        };
        served.par_iter_mut().enumerate().for_each(|(i, mask)| {
            let sample = &samples.all[i];
            if !in_hole[sample.face as usize] && view.is_served(&cutters, sample, &near[i], &edges)
            {
                *mask |= 1 << c;
            }
        });
        for (step, mask) in steps.iter().zip(&mut steps_served) {
            if drilled::is_made(&view, step, shape.holes[step.hole].toward) {
                *mask |= 1 << c;
            }
        }
    }
    watch.check()?;
    let mut must: Vec<Exempt> = exempt.clone();
    for (f, e) in must.iter_mut().enumerate() {
        // Holes count by their steps.
        if in_hole[f] {
            *e = Exempt::Mark;
        }
    }
    let mut rows_for = must.clone();
    for (e, fragment) in rows_for.iter_mut().zip(rows::fragments(shape)) {
        if fragment && *e == Exempt::No {
            *e = Exempt::Break;
        }
    }
    let pieces = rows::pieces(&samples, &served, &rows_for);
    let rows: Vec<u128> = pieces
        .iter()
        .map(|p| p.served)
        .chain(steps_served.iter().copied())
        .collect();
    let total: f64 = samples.all.iter().map(|s| s.area_mm2).sum();
    let worth = |set: u128| -> f64 {
        let all = served.iter().zip(&samples.all);
        let area: f64 = all
            .filter(|(mask, _)| *mask & set != 0)
            .map(|(_, s)| s.area_mm2)
            .sum();
        area / total.max(f64::MIN_POSITIVE)
    };
    let chosen = choose(&rows, &candidates, worth);
    let taken: u128 = chosen.directions.iter().map(|c| 1u128 << c).sum();
    let slivers_mm2 = samples
        .all
        .iter()
        .zip(&served)
        .filter(|(s, m)| **m != 0 && *m & taken == 0 && must[s.face as usize] == Exempt::No)
        .map(|(s, _)| s.area_mm2)
        .sum();
    Ok(Directions {
        candidates,
        chosen,
        samples,
        served,
        exempt,
        steps,
        steps_served,
        slivers_mm2,
        edges,
        near,
        corners,
        chord_mm,
    })
}
