//! Meshes of solids.
pub mod clip;
pub mod edges;
pub mod face;
pub mod grid;
pub mod mesh;
pub mod prepare;
pub mod refine;
