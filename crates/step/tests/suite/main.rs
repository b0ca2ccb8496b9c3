//! All tests of the crate that look at it from outside.

mod analytic;
mod build;
mod freeform;
