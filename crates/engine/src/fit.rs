//! One part on one machine: travel, height, table, load, tools, power, torque. Knows no money.

mod verdict;

pub use verdict::{Ask, Capability, Fit, Limit, Margin, SetupFit, StackUp, Verdict};
