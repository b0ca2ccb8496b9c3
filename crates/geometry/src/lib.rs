//! Part geometry: what a model file says about shape, and where a tool gets at it.
//!
//! The path through the crate: [`format`] tells what kind of file some bytes are, [`readers`] turn
//! them into a [`mesh::Mesh`] in file units, [`unit`] settles the unit or says which one is likely,
//! [`measure`] gives size and soundness, [`oriented_box`] the smallest box and the stock.
//!
//! For a tool from one direction, [`height_map`] holds the part seen from there,
//! [`height_map::HeightMap::tip`] the exact lowest tip at any place, [`tip_map`] all places,
//! [`tip_bounds`] bounds of it for all places at once (by [`dilation`]), and [`reach`] what the
//! tool can touch ([`samples`]) and how far it must stick out. [`visibility`] tells beforehand what
//! a direction shows, [`machined`] and [`scallop`] what a tool leaves, [`dexel`] the stock as it
//! stands between tasks.
//!
//! Nothing here opens a file or knows a machine; readers take bytes.

pub mod contact;
pub mod dexel;
pub mod dilation;
pub mod features;
pub mod format;
pub mod height_map;
pub mod hull;
pub mod machined;
pub mod measure;
pub mod mesh;
pub mod model;
pub mod oriented_box;
pub mod plan;
pub mod reach;
pub mod readers;
pub mod rectangle;
pub mod samples;
pub mod scallop;
mod self_crossing;
pub mod shells;
pub mod stock;
pub mod sum;
pub mod tip_bounds;
pub mod tip_map;
pub mod tool_shape;
pub mod unit;
pub mod visibility;
