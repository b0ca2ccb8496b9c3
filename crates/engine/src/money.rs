//! What a purchase costs, what it brings, and the highest price one may look at. Knows no page.

mod all_in;
mod ceiling;
mod default;
mod drivers;
pub mod finance;
mod line;
pub mod lines;
mod running;
mod sums;
mod texts;
mod value;

pub use all_in::{AllIn, Errors, LineSummary, draw, percentile};
pub use ceiling::{Ceiling, PriceRoom, by_class, highest_price};
pub use drivers::{Driver, drivers};
pub use line::{Amount, Line, Percentiles, ShareOf};
pub use running::{PartMoney, Running, per_year};
pub use sums::{Uncertain, uncertain};
pub use value::{Horizon, Payback, Worth, saved, worth};
