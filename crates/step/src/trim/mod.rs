//! The part of a surface that a face covers, as polygons in its parameters.
//!
//! 1. [`boundary`]: loops without seams. An edge that a face uses twice, once each way, has the
//!    face on both sides: it bounds nothing and is dropped, so seams need no rules of their own.
//! 2. [`unroll`]: every remaining cycle is followed through (u, v) without jumps; what is left at
//!    its end is a whole number of periods: its winding.
//! 3. [`domain`]: cycles that wind are rings; two rings make a band that is cut open once, a single
//!    ring runs up to a pole, no ring at all on a closed surface means all of it.

pub mod boundary;
pub mod domain;
pub mod polygon;
pub mod rings;
mod route;
pub mod unroll;

pub use domain::Domain;
