//! All tests of the crate that look at it from outside.

mod analytic;
mod build;
mod curves_on_surfaces;
mod damage;
mod damaged;
mod freeform;
mod mutation;
mod part21;
mod read_assembly;
mod read_files;
mod read_geometry;
mod read_tessellated;
mod read_units;
mod rewritten;
mod shapes;
mod swept;
mod text;
mod truth;
