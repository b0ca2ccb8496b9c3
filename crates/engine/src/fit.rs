//! One part on one machine: travel, height, table, load, tools, power, torque. Knows no money.

mod arrange;
mod budget;
mod compare;
mod control;
mod gathered;
mod habits;
mod held;
mod holder;
mod lie;
mod loading;
mod magazine;
mod places;
mod practice;
mod rotary;
mod spindle;
mod stack;
mod table;
mod tally;
mod tools;
mod travel;
mod turn;
mod verdict;

pub use budget::{Budget, Errors, budget};
pub use compare::{fit, fit_within};
pub use control::{block_feed, block_length, program_kb, split_programs};
pub use gathered::gathered;
pub use habits::Habits;
pub use held::Held;
pub use holder::{Holders, holders};
pub use magazine::{Magazine, magazine};
pub(crate) use places::{Places, batches, changer_time, each_loading};
pub use practice::{HoldingHeights, MendTimes, Practice, Rotary, Rows};
pub(crate) use stack::lowest as lowest_stack;
pub use stack::stack_up;
pub use tools::{changes, distinct_tools};
pub use travel::tool_centre_travel;
pub(crate) use travel::{MOST_ALONG_X, MOST_ALONG_Y, least_travel};
pub use verdict::{
    Ask, Asked, Assumed, Capability, Fit, Limit, Margin, SetupFit, StackUp, Verdict,
};
