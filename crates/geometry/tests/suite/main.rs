//! Tests of the geometry crate against closed forms, reference libraries and laws.

mod box_search;
mod features;
mod measures;
mod read_files;
mod shapes;
mod units_of_models;
