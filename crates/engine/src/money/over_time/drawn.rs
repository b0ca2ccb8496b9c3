//! Every input of a purchase over its years, draw by draw.

use super::OverYears;
use crate::entered::{LeaseEnd, LeasePrice, Way, WritingOff};
use crate::machine::{Condition, PartOf};
use crate::money::all_in::{series, totals};
use crate::money::flows::{Amounts, End, Paying, Schedule, Taxed, Terms};
use crate::money::line::Line;
use crate::money::resale::{self, Resale};
use crate::money::running::follows_pieces;
use crate::money::sums::{At, Scratch, Sums, Want};
use units::{DRAW_BLOCK, Number, Quantity, Value};

/// Every input of the purchase draw by draw, and at its best single value in the last place.
pub(super) struct Drawn<'a> {
    once: [Vec<f64>; 3],
    worth_of: Vec<f64>,
    running: [Vec<f64>; 2],
    first_year: Vec<f64>,
    income: Vec<f64>,
    other_income: Vec<f64>,
    years: Vec<f64>,
    /// Least, likely and greatest of them.
    horizon: [f64; 3],
    /// Rate a year at which later money counts less.
    pub discount: Vec<f64>,
    resale: Resale,
    way: DrawnWay,
    deposit: Option<DrawnPart>,
    wait: Vec<f64>,
    tax: Option<DrawnTax<'a>>,
    /// Share of the pieces made; empty where it is all of them in every draw.
    pieces: Vec<f64>,
}

enum DrawnWay {
    Cash,
    Loan(u32, Vec<f64>, Option<DrawnPart>),
    Lease(
        u32,
        Result<Vec<f64>, Vec<f64>>,
        Option<DrawnPart>,
        DrawnPart,
        DrawnEnd,
    ),
}

enum DrawnEnd {
    Buy,
    HandBack(Vec<f64>),
    Cheaper(Vec<f64>),
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
    /// Draws them.
    pub fn new(p: &OverYears<'a>) -> Self {
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
        // What is made at the likely hours is in the lines already.
        let pieces = p.hours.map_or(Vec::new(), |(factor, room)| {
            let given = |factor: f64| (room / factor.max(1e-9)).min(1.0);
            let likely = given(1.0);
            let drawn = series(factor, seed, draws).into_iter();
            drawn.map(|f| given(f) / likely.max(1e-9)).collect()
        });
        Drawn {
            pieces,
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
            horizon: {
                let (low, high) = shop.horizon_years.ends();
                [low, shop.horizon_years.likely, high].map(Number::to_number)
            },
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
                    match &lease.end {
                        LeaseEnd::Buy => DrawnEnd::Buy,
                        LeaseEnd::HandBack(fee) => DrawnEnd::HandBack(input(fee, seed, draws)),
                        LeaseEnd::Cheaper(fee) => DrawnEnd::Cheaper(input(fee, seed, draws)),
                    },
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

    /// Share of the pieces entered that there are hours for in a draw, against the likely hours.
    pub fn pieces(&self, i: usize) -> f64 {
        self.pieces.get(i).copied().unwrap_or(1.0)
    }

    /// At the best single values.
    pub fn likely(&self) -> (Amounts, Terms<'_>) {
        self.at(self.years.len() - 1)
    }

    /// Months to the shortest, the likely and the longest horizon.
    pub fn horizons(&self) -> [u32; 3] {
        self.horizon.map(|years| months_of(self.lasting(years)))
    }

    /// Years of a draw: to the horizon, but no longer than a lease whose machine may be handed back.
    fn lasting(&self, years: f64) -> f64 {
        match &self.way {
            DrawnWay::Lease(months, .., DrawnEnd::HandBack(_) | DrawnEnd::Cheaper(_)) => {
                years.min(f64::from(*months) / 12.0)
            }
            _ => years,
        }
    }

    /// Of a draw.
    pub fn at(&self, i: usize) -> (Amounts, Terms<'_>) {
        self.over(i, self.years[i])
    }

    /// Of a draw, with a horizon of so many years.
    pub fn over(&self, i: usize, years: f64) -> (Amounts, Terms<'_>) {
        let purchase = self.once[1][i];
        let down = |part: &Option<DrawnPart>| part.as_ref().map_or(0.0, |p| p.at(i, purchase));
        let years = self.lasting(years);
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
                DrawnWay::Lease(months, price, part, residual, end) => Paying::Lease {
                    payment: match price {
                        Ok(payment) => Ok(payment[i]),
                        Err(rate) => Err(rate[i] / 12.0),
                    },
                    months: *months,
                    down: down(part),
                    residual: residual.at(i, purchase),
                    end: match end {
                        DrawnEnd::Buy => End::Buy,
                        DrawnEnd::HandBack(fee) => End::HandBack(fee[i]),
                        DrawnEnd::Cheaper(fee) => End::Cheaper(fee[i]),
                    },
                },
            },
            deposit: down(&self.deposit),
            wait: self.wait[i].round().clamp(0.0, 120.0) as u32,
            months: months_of(years),
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

/// Whole months of so many years.
fn months_of(years: f64) -> u32 {
    (12.0 * years).round().clamp(1.0, 1200.0) as u32
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
