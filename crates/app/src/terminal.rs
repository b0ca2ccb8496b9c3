//! Answers as a buyer reads them in a terminal.

mod cost;
mod fit;
mod flip;
mod needs;
mod next;
pub mod part;
pub mod study;
mod table;
mod verdict;
