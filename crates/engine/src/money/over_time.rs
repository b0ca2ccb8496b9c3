//! A purchase over its years, draw by draw: how it is paid, what it brings, when it has paid back.
//! Where no part has an outside price and the machine brings no other income, there is no value to
//! tell; what goes out is told all the same.

mod cash;
mod drawn;

use self::drawn::Drawn;
use super::all_in::percentiles;
use super::flows::{Amounts, Flows, Terms, flows};
use super::line::{Amount, Line};
use super::running::{PartMoney, scaled};
use super::texts;
use super::value::{BreakEven, Financing, Rates, Worth, payback_of};
use crate::entered::{Shop, Way};
use crate::machine::{Condition, SaleTerms};
use units::{DRAW_BLOCK, Number, Value};

/// What a purchase over its years is made from.
#[derive(Clone, Copy, Debug)]
pub struct OverYears<'a> {
    /// Shop.
    pub shop: &'a Shop,
    /// Name of the offer, for its inputs.
    pub offer: &'a str,
    /// The seller's terms.
    pub terms: &'a SaleTerms,
    /// Bought new or used.
    pub condition: Condition,
    /// One-off lines.
    pub one_off: &'a [Line],
    /// Yearly lines.
    pub running: &'a [Line],
    /// What the first year costs on top.
    pub first_year: &'a [Line],
    /// What a year brings from pieces; `None` when no part has an outside price.
    pub income: Option<&'a [Line]>,
    /// Pieces a year that income comes from.
    pub pieces: f64,
    /// Factor of the machine hours the pieces take, and how many times those there are hours a year;
    /// `None` where they are not in doubt. In draws that take more, fewer pieces are made.
    pub hours: Option<(&'a Value<Number>, f64)>,
    /// Number of draws.
    pub draws: u64,
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

/// Draws looked at where each takes a search of its own (rates of return, break-even) or a whole row
/// of years (cash over time): one block.
const FEW: usize = DRAW_BLOCK as usize;

/// A purchase over its years.
pub fn over_years(p: &OverYears<'_>) -> (Financing, Option<Worth>) {
    let inputs = Drawn::new(p);
    let earns = p.income.is_some() || p.shop.finance.income_per_year.is_some();
    let n = p.draws as usize;
    let mut all = Gathered::default();
    for i in 0..n {
        let (amounts, mut terms) = inputs.at(i);
        if !earns {
            // Nothing is earned that could be taxed.
            terms.tax = None;
        }
        let month = month_worth(inputs.discount[i]);
        let pieces = inputs.pieces(i);
        let row = flows(&amounts, &terms, pieces);
        if earns {
            all.npv.push(row.npv(month));
            let (plain, discounted) = paid_back(&row, month);
            all.payback.push(plain);
            all.discounted.push(discounted);
        }
        all.own.push(amounts.spent - row.borrowed);
        all.borrowed.push(row.borrowed);
        all.payment.push(row.payment);
        all.charges.push(row.charges);
        all.resale.push(row.resale);
        all.handed_back += usize::from(row.handed_back);
        let out = if earns && terms.tax.is_some() {
            let outgoing = Amounts {
                income: 0.0,
                other_income: 0.0,
                ..amounts
            };
            flows(&outgoing, &Terms { tax: None, ..terms }, pieces).npv(month)
        } else {
            let each = (pieces * amounts.income + amounts.other_income) / 12.0;
            row.npv(month) - each * worth_of_months(month, terms.wait, terms.months)
        };
        all.cost.push(-out);
    }
    let financing = financing(p, &inputs, &all, earns);
    let worth = earns.then(|| Worth {
        npv: percentiles(&all.npv),
        gain_chance: all.npv.iter().filter(|v| **v > 0.0).count() as f64 / n.max(1) as f64,
        payback: payback_of(all.payback),
        discounted: payback_of(all.discounted),
        irr: rates(&inputs, n.min(FEW)),
        break_even: p.income.map(|_| break_even(&inputs, n.min(FEW), p.pieces)),
        draws: all.npv,
    });
    (financing, worth)
}

/// The mean net present value of [`over_years`] alone, at a fraction of its work; 0 where nothing is earned.
pub fn mean_npv(p: &OverYears<'_>) -> f64 {
    if p.income.is_none() && p.shop.finance.income_per_year.is_none() {
        return 0.0;
    }
    let inputs = Drawn::new(p);
    let npv = |i: usize| {
        let (amounts, terms) = inputs.at(i);
        flows(&amounts, &terms, inputs.pieces(i)).npv(month_worth(inputs.discount[i]))
    };
    let all: Vec<f64> = (0..p.draws as usize).map(npv).collect();
    percentiles(&all).mean.to_amount()
}

/// Figures draw by draw.
#[derive(Default)]
struct Gathered {
    npv: Vec<f64>,
    payback: Vec<f64>,
    discounted: Vec<f64>,
    own: Vec<f64>,
    borrowed: Vec<f64>,
    payment: Vec<f64>,
    charges: Vec<f64>,
    resale: Vec<f64>,
    cost: Vec<f64>,
    handed_back: usize,
}

/// Worth now of one unit in a month, at a rate a year.
fn month_worth(rate: f64) -> f64 {
    (1.0 + rate).powf(-1.0 / 12.0)
}

/// Worth now of one unit in each of some months after a wait.
fn worth_of_months(month: f64, wait: u32, months: u32) -> f64 {
    let after = month.powi(wait as i32);
    if (1.0 - month).abs() < 1e-12 {
        return after * f64::from(months);
    }
    after * month * (1.0 - month.powi(months as i32)) / (1.0 - month)
}

fn financing(p: &OverYears<'_>, inputs: &Drawn, all: &Gathered, earns: bool) -> Financing {
    let way = &p.shop.finance.way;
    let cash = cash::cash(inputs, all.own.len().min(FEW), earns);
    let lent = !matches!(way, Way::Cash);
    let of = |numbers: &[f64]| lent.then(|| percentiles(numbers));
    Financing {
        way: way.word(),
        payments: match way {
            Way::Cash => 0,
            Way::Loan(loan) => loan.months,
            Way::Lease(lease) => lease.months,
        },
        own_money: percentiles(&all.own),
        borrowed: of(&all.borrowed),
        payment_a_month: of(&all.payment),
        charges: of(&all.charges),
        resale: percentiles(&all.resale),
        handed_back_chance: match way {
            Way::Lease(_) => Some(all.handed_back as f64 / all.own.len().max(1) as f64),
            _ => None,
        },
        cost: percentiles(&all.cost),
        cost_alone: !earns,
        written_off: earns
            .then_some(p.shop.income_tax.as_ref())
            .flatten()
            .map(texts::written_off),
        cash: cash.years,
        cash_months: cash.months,
        horizons: cash.horizons,
    }
}

/// Years until the sums of a row are back, plainly and each at its worth now; infinity for not
/// within the horizon. What the sale brings does not count.
fn paid_back(row: &Flows, month: f64) -> (f64, f64) {
    let (mut plain, mut discounted) = (Back::default(), Back::default());
    let mut worth = 1.0;
    for (k, flow) in row.months.iter().enumerate() {
        plain.add(k, *flow);
        discounted.add(k, flow * worth);
        worth *= month;
    }
    (plain.years(), discounted.years())
}

/// When a running sum is back at nothing for good.
#[derive(Default)]
struct Back {
    sum: f64,
    at: Option<f64>,
}

impl Back {
    fn add(&mut self, month: usize, flow: f64) {
        let before = self.sum;
        self.sum += flow;
        if self.sum < 0.0 {
            self.at = None;
        } else if self.at.is_none() {
            let share = if flow > 0.0 { -before / flow } else { 1.0 };
            self.at = Some((month as f64 - 1.0 + share).max(0.0));
        }
    }

    fn years(&self) -> f64 {
        self.at.map_or(f64::INFINITY, |months| months / 12.0)
    }
}

/// Rates of return at the best single values and over the first draws.
fn rates(inputs: &Drawn, draws: usize) -> Rates {
    let of = |(amounts, terms): (Amounts, Terms<'_>), pieces: f64| {
        super::value::rates_of(&flows(&amounts, &terms, pieces).with_end())
    };
    let drawn = (0..draws).map(|i| of(inputs.at(i), inputs.pieces(i)));
    Rates::of(of(inputs.likely(), 1.0), drawn)
}

/// How many times the pieces entered make up for what the machine costs.
fn break_even(inputs: &Drawn, draws: usize, pieces: f64) -> BreakEven {
    let of = |(amounts, terms): (Amounts, Terms<'_>), rate: f64| {
        let month = month_worth(rate);
        let npv = |k: f64| flows(&amounts, &terms, k).npv(month);
        level(npv).unwrap_or(f64::INFINITY)
    };
    let shares = (0..draws).map(|i| of(inputs.at(i), inputs.discount[i]));
    BreakEven::of(payback_of(shares.collect()), pieces)
}

/// Where a rising function, straight but for tax, passes nothing: 0 when it is never below; `None`
/// when it does not rise.
fn level(f: impl Fn(f64) -> f64) -> Option<f64> {
    let (mut a, mut b) = (0.0, 1.0);
    let (mut fa, mut fb) = (f(a), f(b));
    if fa >= 0.0 {
        return Some(0.0);
    }
    while fb < 0.0 {
        if fb <= fa || b > 1e6 {
            return None;
        }
        (a, fa) = (b, fb);
        b *= 2.0;
        fb = f(b);
    }
    // Regula falsi, Illinois rule (Dowell and Jarratt, BIT 11, 1971): one step where f is straight.
    for _ in 0..60 {
        let c = b - fb * (b - a) / (fb - fa);
        let fc = f(c);
        if fc.abs() <= 1e-9 * (fa.abs() + fb.abs()) || (b - a).abs() <= 1e-12 * b.abs() {
            return Some(c);
        }
        if (fc < 0.0) == (fb < 0.0) {
            fa *= 0.5;
        } else {
            (a, fa) = (b, fb);
        }
        (b, fb) = (c, fc);
    }
    Some(b)
}
