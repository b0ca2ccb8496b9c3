//! ISO 10303-21 files to exact boundary representations and watertight meshes.
pub mod brep;
