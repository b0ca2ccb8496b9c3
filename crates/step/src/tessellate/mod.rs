//! Meshes of solids.
//!
//! Edges are split once and their samples shared by the faces on both sides, so that a valid solid
//! gives a watertight mesh by construction. Faces are independent of each other after that.

pub mod clip;
pub mod edges;
pub mod face;
mod face_work;
pub mod grid;
pub mod info;
pub mod mesh;
pub mod prepare;
pub mod refine;
pub mod solid;

pub use info::{FaceInfo, SurfaceKind};
pub use mesh::{Closure, Mesh};
pub use solid::{SolidMesh, tessellate};

/// How fine a mesh should be. Volumes, areas and bounds do not depend on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TessellationOptions {
    /// Largest distance between mesh and surface, mm; by default scaled to the part.
    pub chord_mm: Option<f64>,
    /// Chord tolerance as a fraction of the part's diagonal, used when `chord_mm` is not given.
    pub chord_of_diagonal: f64,
    /// Largest angle between neighbouring triangles on curved surfaces, rad.
    pub angle_rad: f64,
}

impl Default for TessellationOptions {
    fn default() -> Self {
        // 2e-4 of the diagonal is 0.03 mm on a 150 mm part, finer than most milling tolerances
        // ask; 0.25 rad gives a full hole 26 sides however small it is.
        Self {
            chord_mm: None,
            chord_of_diagonal: 2e-4,
            angle_rad: 0.25,
        }
    }
}

impl TessellationOptions {
    /// Chord tolerance for a part of the given diagonal, mm.
    pub fn chord_for(&self, diagonal_mm: f64) -> f64 {
        let wanted = self
            .chord_mm
            .unwrap_or(self.chord_of_diagonal * diagonal_mm);
        // Below 1e-7 of the part the mesh would only grow, not improve.
        let least = 1e-7 * diagonal_mm.max(1e-9);
        if wanted.is_finite() {
            wanted.max(least)
        } else {
            least.max(2e-4 * diagonal_mm)
        }
    }

    /// Angle tolerance kept within reason, rad.
    pub fn angle(&self) -> f64 {
        if self.angle_rad.is_finite() {
            self.angle_rad.clamp(0.01, 1.0)
        } else {
            0.25
        }
    }
}
