//! One part on one machine: travel, height, table, load, tools, power, torque. Knows no money.

mod compare;
mod practice;
mod spindle;
mod stack;
mod table;
mod tally;
mod tools;
mod travel;
mod verdict;

pub(crate) use compare::CLAMPING;
pub use compare::fit;
pub use practice::{HoldingHeights, Practice};
pub use stack::stack_up;
pub use tools::distinct_tools;
pub use travel::tool_centre_travel;
pub(crate) use travel::{MOST_ALONG_X, MOST_ALONG_Y, least_travel};
pub use verdict::{Ask, Asked, Capability, Fit, Limit, Margin, SetupFit, StackUp, Verdict};
