//! What cutting takes: materials, power, torque, and the best feasible cut of a task on a machine.

mod best;
mod chip;
mod engage;
mod force;
mod hole;
mod spindle;

pub use crate::material::{IsoGroup, Material, Materials};
pub use best::{Binding, Cut, Refusal, best_cut, possible_cut};
pub use chip::{mean_chip, specific_force};
pub use force::{
    drilling_power, drilling_thrust, drilling_torque, milling_power, tapping_torque, unit_power,
};
pub use spindle::{EFFICIENCY, Spindle};
