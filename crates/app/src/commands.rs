//! One file a command.

pub mod new;
pub mod part;
pub mod route;
pub mod step;
pub mod study;
