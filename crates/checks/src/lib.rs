//! Development only: checks that belong to no single crate, such as the direction in which crates
//! and modules may use each other.

pub mod brute;
pub mod brute_route;
pub mod direction;
