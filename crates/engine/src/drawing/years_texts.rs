//! What the drawings of cash over time and of capability against money say.

use crate::fit::Capability;

// Cash over time.

pub const CASH_NOTE: &str = "Everything paid and earned since the order, summed up.";
pub const CASH_COST_ALONE: &str =
    "Cost alone: no part has an outside price, so nothing comes in until the machine is sold.";
pub const CASH_AXIS: &str = "years since delivery";
pub const CASH_LEGEND: &str = "diamond: half of the draws are lower; band and whisker: one in ten is lower than it begins, one in ten higher than it ends; dashed: where the years may end";
pub const SOLD: &str = "and sold after years";

/// Under a sale: the years it comes after.
pub fn sold_after(years: f64) -> String {
    let tenths = (10.0 * years).round() / 10.0;
    format!("{tenths}")
}

pub fn cash(name: &str, cost_alone: bool) -> String {
    let what = if cost_alone { "Money out" } else { "Cash" };
    format!("{what} over time: {name}")
}

pub fn cash_words(financing: &crate::money::Financing, money: &dyn Fn(f64) -> String) -> String {
    let of = |y: &crate::money::CashYear| money(y.likely.to_amount());
    let years = financing.cash.iter().filter(|y| !y.sold);
    let years = years.map(|y| format!("year {:.0} {}", y.year, of(y)));
    let sold = financing.horizons.iter();
    let sold = sold.map(|y| format!("sold after {} years {}", sold_after(y.year), of(y)));
    let each: Vec<String> = years.chain(sold).collect();
    format!("In half of the draws: {}.", each.join(", "))
}

// Capability against money.

pub const CAPABILITY_MONEY: &str = "What the money buys";
pub const CAPABILITY_LEGEND: &str = "diamond: half of the draws cost less (filled: chosen); ticks: one, eight and nine in ten; red: not kept in eight of ten; parts of which it cannot be said are not counted";
pub const HEADROOM: &str = "Room left beyond the most demanding part (below nothing: turned, more clampings, slower, or not at all)";
pub const NOT_SAID: &str = "?";

pub fn makes(count: usize, of: usize) -> String {
    format!("makes {count} of {of}")
}

pub fn headroom_column(capability: Capability, us_units: bool) -> [&'static str; 2] {
    let name = match capability {
        Capability::TravelX => "travel X",
        Capability::TravelY => "travel Y",
        Capability::NoseHigh => "nose up",
        Capability::NoseLow => "nose down",
        Capability::TableLoad => "load",
        Capability::Power => "power",
        Capability::Torque => "torque",
        Capability::Pockets => "pockets",
        _ => "",
    };
    let unit = match (capability.unit(), us_units) {
        ("mm", true) => "in",
        ("kg", true) => "lb",
        ("kW", true) => "hp",
        ("N m", true) => "ft lb",
        (unit, _) => unit,
    };
    [name, unit]
}
