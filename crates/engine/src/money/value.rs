//! What the years of a purchase come to: worth, payback, rates of return, break-even, how it is paid.

use super::all_in::percentiles;
use super::finance::cash_flow::{Irr, irr};
use super::finance::effective;
use super::line::Percentiles;
use serde::Serialize;
use units::Money;

/// Years until the purchase is paid back, or times of anything else that may never come.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Payback {
    /// In one draw of ten it takes no longer; `None` for not within the horizon.
    pub p10: Option<f64>,
    /// In half of them.
    pub p50: Option<f64>,
    /// In nine of ten.
    pub p90: Option<f64>,
    /// Share of the draws in which it does not come within the horizon.
    pub never_chance: f64,
}

/// Value of a purchase over the horizon.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Worth {
    /// Net present value.
    pub npv: Percentiles,
    /// Payback, plainly.
    pub payback: Payback,
    /// Payback with each sum at its worth now.
    pub discounted: Payback,
    /// Share of the draws with a value above zero.
    pub gain_chance: f64,
    /// Rates of return a year.
    pub irr: Rates,
    /// Pieces that make up for the cost; `None` where no piece has a price.
    pub break_even: Option<BreakEven>,
    /// Net present value draw by draw.
    #[serde(skip)]
    pub draws: Vec<f64>,
}

impl Worth {
    /// The same with other values draw by draw; payback and rates of return stay those of the years as
    /// planned.
    #[must_use]
    pub fn with_draws(self, draws: Vec<f64>) -> Self {
        let gains = draws.iter().filter(|v| **v > 0.0).count();
        Self {
            npv: percentiles(&draws),
            gain_chance: gains as f64 / draws.len().max(1) as f64,
            draws,
            ..self
        }
    }
}

/// Whether there is a rate of return.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RateKind {
    /// No rate makes the flows worth nothing.
    #[default]
    None,
    /// One does.
    One,
    /// Several do: none of them tells anything, the net present value does.
    Several,
    /// Too long a row to look at.
    Undecided,
}

/// Internal rates of return a year.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Rates {
    /// At the best single values.
    pub kind: RateKind,
    /// The rates there, ascending.
    pub likely: Vec<f64>,
    /// Of the draws with one rate: in one of ten it is no higher.
    pub p10: Option<f64>,
    /// In half of them.
    pub p50: Option<f64>,
    /// In nine of ten.
    pub p90: Option<f64>,
    /// Share of the draws with none.
    pub none_chance: f64,
    /// Share of the draws with several, or too many to tell.
    pub several_chance: f64,
}

/// Rates of return of monthly flows, as rates a year. With more than one change of sign the flows are
/// put together by year first, so that all rates can be looked for.
pub(super) fn rates_of(months: &[f64]) -> Irr {
    let mut signs = months.iter().filter(|f| **f != 0.0).map(|f| *f > 0.0);
    let first = signs.next();
    let changes = signs
        .fold((0, first), |(n, before), now| {
            (n + u32::from(before != Some(now)), Some(now))
        })
        .0;
    if changes > 1 {
        let mut years = vec![months[0]];
        years.extend(months[1..].chunks(12).map(|year| year.iter().sum::<f64>()));
        return irr(&years);
    }
    match irr(months) {
        Irr::One(month) => Irr::One(effective(12.0 * month, 12.0)),
        other => other,
    }
}

impl Rates {
    /// From the rates at the best single values and those of draws.
    pub(super) fn of(likely: Irr, draws: impl Iterator<Item = Irr>) -> Self {
        let (mut one, mut none, mut several) = (Vec::new(), 0u32, 0u32);
        for rate in draws {
            match rate {
                Irr::One(rate) => one.push(rate),
                Irr::None => none += 1,
                Irr::Several(_) | Irr::Undecided => several += 1,
            }
        }
        let all = (one.len() as f64 + f64::from(none) + f64::from(several)).max(1.0);
        one.sort_by(f64::total_cmp);
        let at = |share| super::all_in::percentile(&one, share);
        let (kind, likely) = match likely {
            Irr::None => (RateKind::None, Vec::new()),
            Irr::One(rate) => (RateKind::One, vec![rate]),
            Irr::Several(rates) => (RateKind::Several, rates),
            Irr::Undecided => (RateKind::Undecided, Vec::new()),
        };
        Self {
            kind,
            likely,
            p10: at(0.1),
            p50: at(0.5),
            p90: at(0.9),
            none_chance: f64::from(none) / all,
            several_chance: f64::from(several) / all,
        }
    }
}

/// How much must be made for the purchase to be worth nothing more and nothing less.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct BreakEven {
    /// Times the pieces entered.
    pub share: Payback,
    /// Pieces a year of those with a price, in the mix entered.
    pub pieces_per_year: [Option<f64>; 3],
}

impl BreakEven {
    pub(super) fn of(share: Payback, pieces: f64) -> Self {
        Self {
            pieces_per_year: [share.p10, share.p50, share.p90].map(|s| s.map(|s| s * pieces)),
            share,
        }
    }
}

/// Money in and out since the order, at a time.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct CashYear {
    /// Years since delivery.
    pub year: f64,
    /// True once the machine is sold and what is owed on it paid.
    pub sold: bool,
    /// In one draw of ten it is no more.
    pub low: Money,
    /// In half of them.
    pub likely: Money,
    /// In nine of ten.
    pub high: Money,
}

/// How a purchase is paid and what goes out over the years.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Financing {
    /// cash, loan, lease.
    pub way: &'static str,
    /// Number of payments to a lender or lessor.
    pub payments: u32,
    /// From the shop's own money up to the first good part.
    pub own_money: Percentiles,
    /// From a lender or lessor.
    pub borrowed: Option<Percentiles>,
    /// To them, a month.
    pub payment_a_month: Option<Percentiles>,
    /// To them in all, less what they lent.
    pub charges: Option<Percentiles>,
    /// For the machine at the end of the horizon.
    pub resale: Percentiles,
    /// Share of the draws in which a leased machine is handed back; `None` unless leased.
    pub handed_back_chance: Option<f64>,
    /// Worth now of all that goes out over the horizon, less the resale; before tax.
    pub cost: Percentiles,
    /// True where nothing comes in, so that there is cost alone to tell.
    pub cost_alone: bool,
    /// How income tax was counted, in words.
    pub written_off: Option<String>,
    /// Cash year by year to the likely horizon, and after the sale.
    pub cash: Vec<CashYear>,
    /// Cash month by month to the longest horizon.
    #[serde(skip)]
    pub cash_months: Vec<CashYear>,
    /// After the sale at the shortest, the likely and the longest horizon, each once.
    pub horizons: Vec<CashYear>,
}

pub(super) fn payback_of(mut years: Vec<f64>) -> Payback {
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
    fn payback_beyond_all_draws_is_never() {
        let p = payback_of(vec![2.0, f64::INFINITY, 3.0, f64::INFINITY]);
        assert_eq!((p.p10, p.p90, p.never_chance), (Some(3.0), None, 0.5));
    }

    #[test]
    fn monthly_rates_become_yearly_ones() {
        // 1 % a month is 12.6825 % a year (tables of engineering economy).
        let mut row = vec![0.0; 25];
        (row[0], row[24]) = (-1000.0, 1000.0 * 1.01_f64.powi(24));
        let Irr::One(rate) = rates_of(&row) else {
            panic!("one")
        };
        assert!((rate - 0.126_825).abs() < 1e-6);
        // -1,000, 2,300, -1,320 year by year: 10 and 20 %, both told.
        let mut row = vec![0.0; 25];
        (row[0], row[12], row[24]) = (-1000.0, 2300.0, -1320.0);
        let Irr::Several(rates) = rates_of(&row) else {
            panic!("several")
        };
        assert!((rates[0] - 0.10).abs() < 1e-9 && (rates[1] - 0.20).abs() < 1e-9);
        let all = Rates::of(Irr::None, [Irr::One(0.2), Irr::None].into_iter());
        assert_eq!(
            (all.kind, all.p50, all.none_chance),
            (RateKind::None, Some(0.2), 0.5)
        );
    }
}
