//! What a purchase brings where parts have an outside price: net present value and payback, draw
//! by draw. Without any outside price there is nothing to say, and nothing is said.

use super::all_in::{columns, percentiles, series, totals};
use super::finance::loan::annuity;
use super::line::{Amount, Line, Percentiles};
use super::running::{PartMoney, scaled};
use super::texts;
use crate::entered::Shop;
use serde::Serialize;

/// Years and the rate money is discounted at, with the value left at the end.
#[derive(Clone, Copy, Debug)]
pub struct Horizon<'a> {
    /// Shop, for horizon, discount and seed.
    pub shop: &'a Shop,
    /// Number of draws.
    pub draws: u64,
}

/// Years until the purchase is paid back, undiscounted.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Payback {
    /// In one draw of ten it takes no longer; `None` for never.
    pub p10: Option<f64>,
    /// In half of them.
    pub p50: Option<f64>,
    /// In nine of ten.
    pub p90: Option<f64>,
    /// Share of the draws in which it never pays back.
    pub never_chance: f64,
}

/// Value of a purchase over the horizon.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Worth {
    /// Net present value.
    pub npv: Percentiles,
    /// Payback.
    pub payback: Payback,
    /// Share of the draws with a value above zero.
    pub gain_chance: f64,
    /// Net present value draw by draw.
    #[serde(skip)]
    pub draws: Vec<f64>,
}

/// What a year of making saves or earns: pieces times outside price, of the parts that have one
/// and can be made. `capacity` is the share of the parts' yearly hours the shop can give (1 when
/// all). `None` when none has a price.
pub fn saved(parts: &[PartMoney<'_>], capacity: f64) -> Option<Vec<Line>> {
    let lines: Vec<Line> = parts
        .iter()
        .filter(|p| p.time.is_some())
        .filter_map(|p| {
            Some(Line {
                name: p.part.name.clone(),
                amount: Amount::Times {
                    count: scaled(&p.part.per_year, capacity),
                    each: p.part.outside_price.clone()?,
                },
                why: texts::SAVED.to_owned(),
            })
        })
        .collect();
    (!lines.is_empty()).then_some(lines)
}

/// Share of the price left after so many years: 15 to 20 % lost in the first year, 8 to 12 % a
/// year after (lukesappraisals.com, 1 June 2026); mid-values 82.5, 66.8, 54.1, 43.8 % after
/// 1, 3, 5, 7 years.
fn left_after(years: f64) -> f64 {
    if years <= 1.0 {
        1.0 - 0.175 * years.max(0.0)
    } else {
        0.825 * 0.9_f64.powf(years - 1.0)
    }
}

/// Present worth of one unit a year, paid at the end of each year, the last part of a year in
/// proportion.
fn over_years(rate: f64, years: f64) -> f64 {
    let whole = years.floor().max(0.0);
    annuity(rate, whole as u32) + (years - whole) * (1.0 + rate).powf(-years)
}

/// Net present value and payback draw by draw. A yearly line among the one-off ones (the first
/// year's insurance and software) is counted once, with the years.
pub fn worth(one_off: &[Line], running: &[Line], saved: &[Line], horizon: Horizon<'_>) -> Worth {
    let Horizon { shop, draws } = horizon;
    let sum = |lines: &[Line]| totals(lines, shop.seed, draws);
    let yearly = |line: &&Line| {
        ["insurance", "software"].contains(&line.name.as_str())
            && running.iter().any(|r| r.name == line.name)
    };
    let once: Vec<Line> = one_off.iter().filter(|l| !yearly(l)).cloned().collect();
    let (spent, cost, income) = (sum(&once), sum(running), sum(saved));
    let price = one_off
        .iter()
        .position(|l| l.name == Line::PRICE)
        .map(|at| columns(&one_off[at..=at], shop.seed, draws).swap_remove(0));
    let years = series(&shop.horizon_years, shop.seed, draws);
    let rates = series(&shop.discount, shop.seed, draws);
    let mut npv = Vec::with_capacity(draws as usize);
    let mut payback = Vec::with_capacity(draws as usize);
    for i in 0..draws as usize {
        let net = income[i] - cost[i];
        let resale = price.as_ref().map_or(0.0, |p| p[i] * left_after(years[i]));
        npv.push(
            net * over_years(rates[i], years[i]) + resale * (1.0 + rates[i]).powf(-years[i])
                - spent[i],
        );
        payback.push(if net > 0.0 {
            spent[i] / net
        } else {
            f64::INFINITY
        });
    }
    let gain = npv.iter().filter(|v| **v > 0.0).count() as f64 / draws.max(1) as f64;
    Worth {
        npv: percentiles(&npv),
        payback: payback_of(payback),
        gain_chance: gain,
        draws: npv,
    }
}

fn payback_of(mut years: Vec<f64>) -> Payback {
    years.sort_by(f64::total_cmp);
    let count = years.len();
    // Order statistics, not interpolation: between a number and never there is nothing.
    let at = |share: f64| {
        let index = (share * count.saturating_sub(1) as f64).ceil() as usize;
        years.get(index).copied().filter(|y| y.is_finite())
    };
    let never = years.iter().filter(|y| !y.is_finite()).count();
    Payback {
        p10: at(0.1),
        p50: at(0.5),
        p90: at(0.9),
        never_chance: never as f64 / count.max(1) as f64,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn resale_follows_the_published_mid_values() {
        // lukesappraisals.com mid-values: 82.5, 66.8, 54.1, 43.8 % after 1, 3, 5, 7 years.
        for (years, left) in [(1.0, 0.825), (3.0, 0.668), (5.0, 0.541), (7.0, 0.438)] {
            assert!((left_after(years) - left).abs() <= 5e-4, "{years}");
        }
        assert_eq!(left_after(0.0), 1.0);
    }

    #[test]
    fn a_part_of_a_year_counts_in_proportion() {
        // Half a year after four, without interest; and at 10 % half a unit after 4.5 years on top of
        // the four whole ones' 3.1699 (capital recovery of 4 years at 10 %: 0.31547, tables of
        // engineering economy).
        assert!((over_years(0.0, 4.5) - 4.5).abs() < 1e-12);
        let half = 0.5 * 1.1_f64.powf(-4.5);
        assert!((over_years(0.10, 4.5) - half - 1.0 / 0.31547).abs() < 1e-4);
    }

    #[test]
    fn payback_beyond_all_draws_is_never() {
        let p = payback_of(vec![2.0, f64::INFINITY, 3.0, f64::INFINITY]);
        assert_eq!((p.p10, p.p90, p.never_chance), (Some(3.0), None, 0.5));
    }
}
