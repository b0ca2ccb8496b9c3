//! A purchase over its years, draw by draw: how it is paid, what it brings, when it has paid back.
//! Where no part has an outside price and the machine brings no other income, there is no value to
//! tell; what goes out is told all the same.

use super::all_in::{percentiles, series, totals};
use super::flows::{Amounts, Flows, Paying, Schedule, Taxed, Terms, flows};
use super::line::{Amount, Line};
use super::resale::{self, Resale};
use super::running::{PartMoney, follows_pieces, scaled};
use super::select::percentiles_of;
use super::sums::{At, Scratch, Sums, Want};
use super::texts;
use super::value::{BreakEven, CashYear, Financing, Rates, Worth, payback_of};
use crate::entered::{LeasePrice, Shop, Way, WritingOff};
use crate::machine::{Condition, PartOf, SaleTerms};
use units::{DRAW_BLOCK, Money, Number, Quantity, Value};

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
        let row = flows(&amounts, &terms, 1.0);
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
        all.resale.push(amounts.resale);
        let out = if earns && terms.tax.is_some() {
            let outgoing = Amounts {
                income: 0.0,
                other_income: 0.0,
                ..amounts
            };
            flows(&outgoing, &Terms { tax: None, ..terms }, 1.0).npv(month)
        } else {
            let each = (amounts.income + amounts.other_income) / 12.0;
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
        cost: percentiles(&all.cost),
        cost_alone: !earns,
        written_off: earns
            .then_some(p.shop.income_tax.as_ref())
            .flatten()
            .map(texts::written_off),
        cash: cash(inputs, all.own.len().min(FEW), earns),
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
    let of = |(amounts, terms): (Amounts, Terms<'_>)| {
        super::value::rates_of(&flows(&amounts, &terms, 1.0).with_end())
    };
    Rates::of(of(inputs.likely()), (0..draws).map(|i| of(inputs.at(i))))
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

/// Money in and out since the order, year by year to the likely horizon, and after the sale.
fn cash(inputs: &Drawn, draws: usize, earns: bool) -> Vec<CashYear> {
    let (_, likely) = inputs.likely();
    let years = likely.months.div_ceil(12) as usize;
    let mut columns = vec![Vec::with_capacity(draws); years + 2];
    for i in 0..draws {
        let (amounts, terms) = inputs.at(i);
        let row = flows(
            &amounts,
            &Terms {
                months: likely.months,
                tax: terms.tax.filter(|_| earns),
                ..terms
            },
            1.0,
        );
        let mut sum = 0.0;
        for (k, flow) in row.months.iter().enumerate() {
            sum += flow;
            let since = k as i64 - i64::from(terms.wait);
            let last = since == i64::from(likely.months);
            if since >= 0 && (since % 12 == 0 || last) {
                columns[(since as usize).div_ceil(12)].push(sum);
            }
        }
        columns[years + 1].push(sum + row.end);
    }
    columns
        .iter()
        .enumerate()
        .map(|(year, sums)| {
            let [low, likely, high] = percentiles_of(&[sums], [0.1, 0.5, 0.9]).map(Money::amount);
            CashYear {
                year: year.min(years) as f64,
                sold: year > years,
                low,
                likely,
                high,
            }
        })
        .collect()
}

/// Every input of the purchase draw by draw, and at its best single value in the last place.
struct Drawn<'a> {
    once: [Vec<f64>; 3],
    worth_of: Vec<f64>,
    running: [Vec<f64>; 2],
    first_year: Vec<f64>,
    income: Vec<f64>,
    other_income: Vec<f64>,
    years: Vec<f64>,
    discount: Vec<f64>,
    resale: Resale,
    way: DrawnWay,
    deposit: Option<DrawnPart>,
    wait: Vec<f64>,
    tax: Option<DrawnTax<'a>>,
}

enum DrawnWay {
    Cash,
    Loan(u32, Vec<f64>, Option<DrawnPart>),
    Lease(
        u32,
        Result<Vec<f64>, Vec<f64>>,
        Option<DrawnPart>,
        DrawnPart,
    ),
}

struct DrawnTax<'a> {
    rate: Vec<f64>,
    at_once: Vec<f64>,
    schedule: DrawnSchedule<'a>,
    losses_offset: bool,
}

enum DrawnSchedule<'a> {
    Fixed(Schedule<'a>),
    Declining(Vec<f64>),
}

enum DrawnPart {
    Share(Vec<f64>),
    Amount(Vec<f64>),
}

impl DrawnPart {
    fn at(&self, i: usize, of: f64) -> f64 {
        match self {
            DrawnPart::Share(share) => share[i] * of,
            DrawnPart::Amount(amount) => amount[i],
        }
    }
}

impl<'a> Drawn<'a> {
    fn new(p: &OverYears<'a>) -> Self {
        let (shop, draws) = (p.shop, p.draws);
        let seed = shop.seed;
        // Draws first, the best single value after them.
        fn input<Q: Quantity>(value: &Value<Q>, seed: u64, draws: u64) -> Vec<f64> {
            let mut all = series(value, seed, draws);
            all.push(value.likely.base());
            all
        }
        let number = |v: &Value<Number>| input(v, seed, draws);
        let part = |p: &PartOf| match p {
            PartOf::Share(v) => DrawnPart::Share(number(v)),
            PartOf::Amount(v) => DrawnPart::Amount(input(v, seed, draws)),
        };
        let nothing = || vec![0.0; draws as usize + 1];
        let sum = |lines: &[Line]| {
            let mut all = totals(lines, seed, draws);
            let [likely] = at_likely(lines, |_| [true]);
            all.push(likely);
            all
        };
        // A yearly line among the one-off ones (the first year's insurance and software) is counted
        // once, with the years.
        let yearly = |line: &&Line| {
            ["insurance", "software"].contains(&line.name.as_str())
                && p.running.iter().any(|r| r.name == line.name)
        };
        let one_off: Vec<Line> = p.one_off.iter().filter(|l| !yearly(l)).cloned().collect();
        let once = grouped(&one_off, seed, draws, |line| {
            let purchase = line.is_purchase();
            [true, purchase, purchase || line.is_capital()]
        });
        let [worth_of] = grouped(&one_off, seed, draws, |line| [line.keeps_value()]);
        let running = grouped(p.running, seed, draws, |line| {
            let follows = follows_pieces(&line.name);
            [follows, !follows]
        });
        Drawn {
            once,
            worth_of,
            running,
            first_year: sum(p.first_year),
            income: p.income.map_or_else(nothing, sum),
            other_income: shop
                .finance
                .income_per_year
                .as_ref()
                .map_or_else(nothing, |v| input(v, seed, draws)),
            years: number(&shop.horizon_years),
            discount: number(&shop.discount),
            resale: match &p.terms.resale {
                Some(stated) => Resale::Stated(input(stated, seed, draws)),
                None => {
                    let [first, each] = resale::losses(p.offer);
                    Resale::Path {
                        first: (p.condition == Condition::New).then(|| number(&first)),
                        each: number(&each),
                    }
                }
            },
            way: match &shop.finance.way {
                Way::Cash => DrawnWay::Cash,
                Way::Loan(loan) => DrawnWay::Loan(
                    loan.months,
                    number(&loan.rate),
                    loan.down.as_ref().map(part),
                ),
                Way::Lease(lease) => DrawnWay::Lease(
                    lease.months,
                    match &lease.price {
                        LeasePrice::Payment(v) => Ok(input(v, seed, draws)),
                        LeasePrice::Rate(v) => Err(number(v)),
                    },
                    lease.down.as_ref().map(part),
                    part(&lease.residual),
                ),
            },
            deposit: p.terms.deposit.as_ref().map(part),
            wait: p
                .terms
                .delivery_months
                .as_ref()
                .map_or_else(nothing, number),
            tax: shop.income_tax.as_ref().map(|tax| DrawnTax {
                rate: number(&tax.rate),
                at_once: number(&tax.at_once),
                schedule: match &tax.writing_off {
                    WritingOff::Table(table) => {
                        DrawnSchedule::Fixed(Schedule::Percent(table.percent()))
                    }
                    WritingOff::StraightLine { years } => {
                        DrawnSchedule::Fixed(Schedule::Straight(*years))
                    }
                    WritingOff::Declining { share } => DrawnSchedule::Declining(number(share)),
                },
                losses_offset: tax.losses_offset,
            }),
        }
    }

    /// At the best single values.
    fn likely(&self) -> (Amounts, Terms<'_>) {
        self.at(self.years.len() - 1)
    }

    fn at(&self, i: usize) -> (Amounts, Terms<'_>) {
        let purchase = self.once[1][i];
        let down = |part: &Option<DrawnPart>| part.as_ref().map_or(0.0, |p| p.at(i, purchase));
        let years = self.years[i];
        let amounts = Amounts {
            spent: self.once[0][i],
            purchase,
            basis: self.once[2][i],
            income: self.income[i],
            other_income: self.other_income[i],
            follows: self.running[0][i],
            stands: self.running[1][i],
            first_year: self.first_year[i],
            resale: self.resale.at(i, self.worth_of[i], years),
        };
        let terms = Terms {
            paying: match &self.way {
                DrawnWay::Cash => Paying::Cash,
                DrawnWay::Loan(months, rate, part) => Paying::Loan {
                    rate: rate[i] / 12.0,
                    months: *months,
                    down: down(part),
                },
                DrawnWay::Lease(months, price, part, residual) => Paying::Lease {
                    payment: match price {
                        Ok(payment) => Ok(payment[i]),
                        Err(rate) => Err(rate[i] / 12.0),
                    },
                    months: *months,
                    down: down(part),
                    residual: residual.at(i, purchase),
                },
            },
            deposit: down(&self.deposit),
            wait: self.wait[i].round().clamp(0.0, 120.0) as u32,
            months: (12.0 * years).round().clamp(1.0, 1200.0) as u32,
            tax: self.tax.as_ref().map(|tax| Taxed {
                rate: tax.rate[i],
                at_once: tax.at_once[i],
                schedule: match &tax.schedule {
                    DrawnSchedule::Fixed(schedule) => *schedule,
                    DrawnSchedule::Declining(share) => Schedule::Declining(share[i]),
                },
                losses_offset: tax.losses_offset,
            }),
        };
        (amounts, terms)
    }
}

/// Sums of groups of lines, draw by draw, and at the best single values after them; a line may be in
/// several groups.
fn grouped<const N: usize>(
    lines: &[Line],
    seed: u64,
    draws: u64,
    member: impl Fn(&Line) -> [bool; N],
) -> [Vec<f64>; N] {
    let members: Vec<[bool; N]> = lines.iter().map(&member).collect();
    let sums = Sums::new(lines);
    let mut scratch = Scratch::default();
    let mut all = [(); N].map(|()| vec![0.0; draws as usize]);
    for first in (0..draws).step_by(DRAW_BLOCK as usize) {
        let count = (draws - first).min(DRAW_BLOCK) as usize;
        sums.draw(seed, first, count, &mut scratch);
        sums.run(At::Drawn, Want::All, &mut scratch, |line, column| {
            for (group, is_in) in all.iter_mut().zip(members[line]) {
                if is_in {
                    let group = &mut group[first as usize..first as usize + count];
                    for (sum, amount) in group.iter_mut().zip(column) {
                        *sum += amount;
                    }
                }
            }
        });
    }
    for (group, likely) in all.iter_mut().zip(at_likely(lines, member)) {
        group.push(likely);
    }
    all
}

fn at_likely<const N: usize>(lines: &[Line], member: impl Fn(&Line) -> [bool; N]) -> [f64; N] {
    let mut sums = [0.0; N];
    Sums::new(lines).run(
        At::Likely,
        Want::All,
        &mut Scratch::default(),
        |line, column| {
            for (sum, is_in) in sums.iter_mut().zip(member(&lines[line])) {
                if is_in {
                    *sum += column[0];
                }
            }
        },
    );
    sums
}
