//! What cutting takes: materials, power, torque, and the best feasible cut of a task on a machine.

mod material;

pub use material::{IsoGroup, Material, Materials};
