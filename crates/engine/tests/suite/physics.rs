//! Demand, cutting, fit, time and specification.

mod build;
mod clamping;
mod classes;
mod demand;
mod facts;
mod laws;
mod specification;
mod times;
