//! Answers as a buyer reads them in a terminal.

pub mod ask;
mod bids;
mod cost;
pub mod cut;
mod fit;
mod flip;
mod holes;
mod needs;
mod next;
pub mod part;
pub mod route;
mod services;
pub mod study;
pub mod supply;
pub mod table;
mod verdict;
mod years;
