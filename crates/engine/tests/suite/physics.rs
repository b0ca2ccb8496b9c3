//! Demand, cutting, fit, time and specification.

mod best_cut;
mod build;
mod clamping;
mod classes;
mod demand;
mod facts;
mod laws;
mod published;
mod specification;
mod times;
mod uncut;
