//! Tests of the geometry crate against closed forms, reference libraries and laws.

mod box_search;
mod bulk;
mod features;
mod measures;
mod plan;
mod reach_cases;
mod read_files;
mod shapes;
mod tips;
mod units_of_models;
