//! What a purchase costs, what it brings, and the highest price one may look at. Knows no page.

mod all_in;
mod ceiling;
mod default;
mod drivers;
pub mod finance;
mod flows;
mod line;
pub mod lines;
mod names;
mod over_time;
mod resale;
mod running;
mod select;
mod stated;
mod sums;
mod texts;
mod tooling;
mod value;

pub use all_in::{AllIn, Errors, LineSummary, draw, draw_against, percentile, series, totals_of};
pub use ceiling::{Ceiling, PriceRoom, by_class, highest_price};
pub(crate) use default::WATCHING;
pub use drivers::{Driver, drivers};
pub use line::{Amount, Line, Percentiles, ShareOf};
pub use over_time::{OverYears, mean_npv, over_years, saved};
pub(crate) use running::of_each_machine;
pub use running::{PartMoney, Running, drawn_kwh, first_year, per_year};
pub use sums::{Kept, Uncertain, uncertain};
pub use value::{BreakEven, CashYear, Financing, Payback, RateKind, Rates, Worth};
