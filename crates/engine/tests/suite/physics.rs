//! Demand, cutting, fit, time and specification.

mod build;
mod demand;
mod facts;
mod laws;
mod specification;
