//! Reading and printing of quantities, from outside.

mod dimensions;
mod entered;
mod errors;
mod laws;
mod money;
mod rated;
mod showing;
mod single;
mod supply;
