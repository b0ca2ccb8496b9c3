//! Answers as a buyer reads them in a terminal.

mod cost;
mod fit;
mod flip;
mod needs;
pub mod part;
mod next;
pub mod study;
mod table;
mod verdict;
