//! What a solid's faces say to a machinist: holes, inside corners, and whether it is a milling job.
//!
//! [`of`] answers for a model. [`face`] holds faces with their surfaces, exact from a STEP file or
//! fitted to a plain triangle mesh by [`fit`]. [`hole`], [`corner`] and [`job`] read them;
//! [`thread`] knows tap drills.

pub mod corner;
pub mod directions;
pub(crate) mod exact;
pub mod face;
mod facet;
pub mod fit;
pub mod hole;
pub mod job;
mod line;
mod piece;
mod round;
pub mod thread;

use crate::model::Model;
use corner::{InsideCorner, SharpCorner};
use face::SolidFaces;
use glam::DVec3;
use hole::Hole;
use job::MillingJob;

/// Holes above this are milled or bored (common practice, no source).
pub const LARGEST_DRILL_MM: f64 = 20.0;

/// What the faces of one body say, in the frame of its mesh, millimetres.
#[derive(Clone, Debug)]
pub struct Features<'m> {
    /// Faces with their surfaces.
    pub solid: SolidFaces<'m>,
    /// Directions the faces suggest, from the part to the spindle.
    pub directions: Vec<DVec3>,
    /// Holes.
    pub holes: Vec<Hole>,
    /// Rounded inside corners along [`Features::directions`], smallest first.
    pub corners: Vec<InsideCorner>,
    /// Inside corners without radius along them.
    pub sharp: Vec<SharpCorner>,
    /// Whether it is a milling job.
    pub job: MillingJob,
}

impl Features<'_> {
    /// Smallest inside corner that is no engraved mark, mm.
    pub fn smallest_inside_radius(&self) -> Option<f64> {
        corner::smallest_inside_radius(&self.corners)
    }
}

/// Features of one body; for a model of several call it with each body's model.
pub fn of(model: &Model) -> Features<'_> {
    let solid = faces(model);
    let holes = hole::holes(&solid, LARGEST_DRILL_MM);
    let directions = directions::candidate_directions(&solid, &holes);
    Features {
        corners: corner::inside_corners(&solid, &directions, &holes),
        sharp: corner::sharp_inside_corners(&solid, &directions),
        job: job::milling_job(&solid),
        directions,
        holes,
        solid,
    }
}

/// The faces of a model: exact where the file has them, fitted to its triangles otherwise.
pub fn faces(model: &Model) -> SolidFaces<'_> {
    match model.mesh.face_of_triangle() {
        Some(of_triangle) if !model.surfaces.is_empty() => {
            SolidFaces::new(&model.mesh, &model.surfaces, of_triangle)
        }
        _ => fit::fit_faces(&model.mesh),
    }
}
