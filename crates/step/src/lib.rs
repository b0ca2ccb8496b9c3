//! ISO 10303-21 files to exact boundary representations and watertight meshes.
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
