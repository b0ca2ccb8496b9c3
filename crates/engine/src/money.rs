//! What a purchase costs. Knows no page.

mod line;

pub use line::{Line, Percentiles};
