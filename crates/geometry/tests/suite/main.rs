//! Tests of the geometry crate against closed forms, reference libraries and laws.

mod box_search;
mod bulk;
mod feature_shapes;
mod feature_truth;
mod features;
mod free_form_walls;
mod laws;
mod leftover;
mod measures;
mod plan;
mod plan_asked;
mod plan_held;
mod reach_cases;
mod read_files;
mod shapes;
mod tips;
mod units_of_models;
