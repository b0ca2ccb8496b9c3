//! ISO 10303-21 files to exact boundary representations and watertight meshes.
//!
//! The path of a file: [`part21`] indexes its instances, [`read`] makes them a typed boundary
//! representation ([`brep`]) in millimetres and radians, [`tessellate`] splits edges once and
//! meshes the faces, [`mass`] integrates them exactly, and [`model`] gathers all of it with what
//! there is to be careful about. [`load`] does everything:
//!
//! ```
//! let text = b"ISO-10303-21; HEADER; ENDSEC; DATA; #1=CARTESIAN_POINT('',(0.,0.,0.)); ENDSEC; END-ISO-10303-21;";
//! let model = step::load(text, &step::TessellationOptions::default(), None)?;
//! assert_eq!(model.solid_count(), 0);
//! // Nothing is passed over in silence: a file without a solid says so.
//! assert!(model.reservations.iter().any(|r| r.text.contains("no solid")));
//! # Ok::<(), step::StepError>(())
//! ```
//!
//! Solids built in memory go the same way; here a ball of radius 1:
//!
//! ```
//! use glam::{DMat4, DVec3};
//! use step::brep::{Brep, Face, Frame, Solid, StatedProperties, Surface};
//!
//! let frame = Frame { origin: DVec3::ZERO, x: DVec3::X, y: DVec3::Y, z: DVec3::Z };
//! let surface = Surface::Sphere { frame, radius: 1.0 };
//! let ball = Solid {
//!     id: 1,
//!     name: "ball".into(),
//!     vertices: vec![],
//!     edges: vec![],
//!     faces: vec![Face { id: 2, surface, same_sense: true, loops: vec![], outer: None }],
//!     placements: vec![DMat4::IDENTITY],
//!     closed: true,
//!     uncertainty_mm: None,
//!     stated: StatedProperties::default(),
//! };
//! let brep = Brep { solids: vec![ball], ..Brep::default() };
//! let model = step::Model::build(brep, &step::TessellationOptions::default(), &|| false).unwrap();
//! assert!(model.watertight());
//! // Exact, whatever the mesh.
//! assert!((model.volume_mm3() - 4.0 / 3.0 * std::f64::consts::PI).abs() < 1e-12);
//! ```
#![allow(
    clippy::needless_range_loop,
    reason = "formulas over matrices, knots and parameter pairs read best by index"
)]

pub mod brep;
pub mod curves;
pub mod mass;
pub mod model;
pub mod numeric;
pub mod part21;
pub mod read;
pub mod stl;
pub mod surfaces;
pub mod tessellate;
pub mod trim;

pub use model::{Model, SolidModel};
pub use read::StepError;
pub use tessellate::{FaceInfo, Mesh, SurfaceKind, TessellationOptions};

use std::sync::atomic::{AtomicBool, Ordering};

/// Reads, meshes and measures a file; setting `cancel` from elsewhere makes it give up soon.
///
/// # Errors
/// When the bytes are no STEP file, or on cancellation. Anything less is a reservation.
pub fn load(
    bytes: &[u8],
    options: &TessellationOptions,
    cancel: Option<&AtomicBool>,
) -> Result<Model, StepError> {
    let brep = read::read(bytes, &read::ReadOptions { cancel })?;
    let cancelled = || cancel.is_some_and(|c| c.load(Ordering::Relaxed));
    Model::build(brep, options, &cancelled).ok_or(StepError::Cancelled)
}
