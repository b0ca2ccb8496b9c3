//! One file a command.

pub mod ask;
pub mod cut;
pub mod floor;
pub mod new;
pub mod part;
pub mod route;
pub mod step;
pub mod study;
pub mod supply;
