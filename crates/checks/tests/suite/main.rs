//! Checks of the house itself.

mod direction;
mod tips;
