//! Answers as a buyer reads them in a terminal.

mod cost;
pub mod cut;
mod fit;
mod flip;
mod needs;
mod next;
pub mod study;
mod table;
mod verdict;
