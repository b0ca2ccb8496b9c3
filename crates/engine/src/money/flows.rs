//! The money of one draw month by month, from the order on: what is paid down, borrowed, paid back,
//! earned, spent, taxed and got back at the end. Income, costs and tax instalments fall due month by
//! month; a loan or lease that outlives the horizon is paid off with the sale.

use super::finance::loan::{Lease, balance, payment};

/// Sums of one draw.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Amounts {
    /// Everything one-off.
    pub spent: f64,
    /// Of it price, options and premium: what a loan or lease pays.
    pub purchase: f64,
    /// Of it what is written off over years: the purchase with its tax, freight and rigging.
    pub basis: f64,
    /// A year's income from pieces.
    pub income: f64,
    /// A year's income from anything else.
    pub other_income: f64,
    /// A year's costs that follow the pieces.
    pub follows: f64,
    /// A year's costs that stand whatever is made.
    pub stands: f64,
    /// What the first year costs on top.
    pub first_year: f64,
    /// What the machine is sold for at the end.
    pub resale: f64,
}

/// How it is paid, in plain numbers.
#[derive(Clone, Copy, Debug)]
pub(super) enum Paying {
    Cash,
    Loan {
        rate: f64,
        months: u32,
        down: f64,
    },
    Lease {
        /// `Err` for a rate a month, from which the payment follows.
        payment: Result<f64, f64>,
        months: u32,
        down: f64,
        residual: f64,
        end: End,
    },
}

/// How a lease ends, in plain numbers: fees of handing back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum End {
    Buy,
    HandBack(f64),
    Cheaper(f64),
}

/// Income tax in plain numbers.
#[derive(Clone, Copy, Debug)]
pub(super) struct Taxed<'a> {
    pub rate: f64,
    pub at_once: f64,
    pub schedule: Schedule<'a>,
    pub losses_offset: bool,
}

/// Share of the rest written off year by year.
#[derive(Clone, Copy, Debug)]
pub(super) enum Schedule<'a> {
    Percent(&'a [f64]),
    Straight(u32),
    Declining(f64),
}

impl Schedule<'_> {
    fn share(self, year: u32) -> f64 {
        match self {
            Schedule::Percent(table) => table
                .get(year as usize - 1)
                .map_or(0.0, |percent| percent / 100.0),
            Schedule::Straight(years) if year <= years => 1.0 / f64::from(years.max(1)),
            Schedule::Straight(_) => 0.0,
            Schedule::Declining(share) => share * (1.0 - share).powi(year as i32 - 1),
        }
    }
}

/// Terms of one draw.
#[derive(Clone, Copy, Debug)]
pub(super) struct Terms<'a> {
    pub paying: Paying,
    /// Paid with the order.
    pub deposit: f64,
    /// Months from order to delivery.
    pub wait: u32,
    /// Months from delivery to the sale.
    pub months: u32,
    pub tax: Option<Taxed<'a>>,
}

/// The flows.
#[derive(Clone, Debug, Default)]
pub(super) struct Flows {
    /// Month by month from the order, without what the end brings.
    pub months: Vec<f64>,
    /// What the last month brings beside: the sale, its tax, what is still owed.
    pub end: f64,
    /// What is lent.
    pub borrowed: f64,
    /// What is paid back a month.
    pub payment: f64,
    /// All that is paid back less what was lent.
    pub charges: f64,
    /// What the machine is sold for at the end; nothing where it is handed back.
    pub resale: f64,
    /// True where it is handed back.
    pub handed_back: bool,
}

impl Flows {
    /// Worth now, with what one unit in a month is worth now.
    pub fn npv(&self, month: f64) -> f64 {
        let mut backwards = self.months.iter().rev();
        let last = backwards.next().map_or(0.0, |flow| flow + self.end);
        backwards.fold(last, |sum, flow| sum * month + flow)
    }

    /// With the end in its month.
    pub fn with_end(&self) -> Vec<f64> {
        let mut all = self.months.clone();
        if let Some(last) = all.last_mut() {
            *last += self.end;
        }
        all
    }
}

/// The flows of a draw with so many times the pieces entered. Where a lease leaves the choice, they are
/// those of the end that costs less.
pub(super) fn flows(a: &Amounts, t: &Terms<'_>, pieces: f64) -> Flows {
    if let Paying::Lease {
        payment,
        months,
        down,
        residual,
        end: End::Cheaper(fee),
    } = t.paying
    {
        let ending = |end| {
            let paying = Paying::Lease {
                payment,
                months,
                down,
                residual,
                end,
            };
            flows(a, &Terms { paying, ..*t }, pieces)
        };
        let (bought, back) = (ending(End::Buy), ending(End::HandBack(fee)));
        // The years end with the lease or before it (see `Drawn`), so the two differ in their last
        // month alone, and what that brings is compared as it stands.
        let last = |row: &Flows| row.end + row.months.last().copied().unwrap_or(0.0);
        return if last(&back) > last(&bought) {
            back
        } else {
            bought
        };
    }
    let (start, months) = (t.wait as usize, t.months as usize);
    let end = start + months;
    let mut row = vec![0.0; end + 1];
    let deposit = t.deposit.clamp(0.0, a.purchase.max(0.0));
    row[0] -= deposit;
    row[start] -= a.spent - deposit;
    let net = pieces * (a.income - a.follows) + a.other_income - a.stands;
    for (k, flow) in row[start..].iter_mut().enumerate().skip(1) {
        let learning = if k <= 12 { a.first_year / 12.0 } else { 0.0 };
        *flow += net / 12.0 - learning;
    }
    let lent = |down: f64| (a.purchase - down.max(deposit)).max(0.0);
    let mut out = Flows {
        end: a.resale,
        resale: a.resale,
        ..Flows::default()
    };
    // What is owed to the lender or lessor at the horizon.
    let mut owed = 0.0;
    match t.paying {
        Paying::Cash => {}
        Paying::Loan { rate, months, down } => {
            out.borrowed = lent(down);
            out.payment = payment(out.borrowed, rate, months);
            out.charges = out.payment * f64::from(months) - out.borrowed;
            row[start] += out.borrowed;
            for flow in row[start + 1..].iter_mut().take(months as usize) {
                *flow -= out.payment;
            }
            owed = balance(out.borrowed, rate, months, t.months);
        }
        Paying::Lease {
            payment,
            months,
            down,
            residual,
            end: how,
        } => {
            let back = match how {
                End::HandBack(fee) => Some(fee),
                End::Buy | End::Cheaper(_) => None,
            };
            out.borrowed = lent(down);
            out.payment = payment.unwrap_or_else(|rate| {
                let lease = Lease {
                    financed: out.borrowed,
                    residual,
                    rate,
                    periods: months,
                    in_advance: true,
                };
                lease.payment().max(0.0)
            });
            let at_end = back.unwrap_or(residual);
            out.charges = out.payment * f64::from(months) + at_end - out.borrowed;
            row[start] += out.borrowed;
            for flow in row[start..].iter_mut().take(months as usize) {
                *flow -= out.payment;
            }
            let paid = (months as usize).min(end - start + 1);
            owed = out.payment * (months as usize - paid) as f64;
            match row.get_mut(start + months as usize) {
                Some(flow) => *flow -= at_end,
                None => owed += at_end,
            }
            if back.is_some() {
                (out.end, out.resale, out.handed_back) = (0.0, 0.0, true);
            }
        }
    }
    out.end -= owed;
    if let Some(tax) = &t.tax {
        let due = taxes(a, t, tax, net, &out);
        for (year, (operating, _)) in due.iter().enumerate() {
            let from = start + 12 * year;
            let to = (from + 12).min(end);
            for flow in &mut row[from + 1..=to] {
                *flow -= operating / (to - from) as f64;
            }
        }
        out.end -= due.last().map_or(0.0, |(_, sale)| *sale);
    }
    out.months = row;
    out
}

/// Tax of each year on what the machine earns, and what the sale adds to it in the last.
fn taxes(a: &Amounts, t: &Terms<'_>, tax: &Taxed<'_>, net: f64, paid: &Flows) -> Vec<(f64, f64)> {
    let leased = matches!(t.paying, Paying::Lease { .. });
    // A lessor writes off what he owns.
    let capital = if leased {
        (a.basis - paid.borrowed).max(0.0)
    } else {
        a.basis
    };
    let at_once = tax.at_once.clamp(0.0, 1.0) * capital;
    let mut book = capital;
    let mut waiting = 0.0;
    let years = t.months.div_ceil(12);
    let mut due = Vec::with_capacity(years as usize);
    for year in 1..=years {
        let (from, to) = (12 * (year - 1), (12 * year).min(t.months));
        let part = f64::from(to - from) / 12.0;
        let mut profit = net * part;
        let mut off = (capital - at_once) * tax.schedule.share(year);
        if year == 1 {
            profit -= a.first_year * part + a.spent - a.basis;
            off += at_once;
        }
        let off = off.min(book);
        book -= off;
        profit -= off;
        profit -= match t.paying {
            Paying::Cash => 0.0,
            Paying::Loan { rate, months, .. } => {
                let owed = |k: u32| balance(paid.borrowed, rate, months, k);
                let made = f64::from(to.min(months).saturating_sub(from));
                paid.payment * made - (owed(from) - owed(to))
            }
            // Payments fall due at the beginning of each month.
            Paying::Lease { months, .. } => {
                paid.payment * f64::from(to.min(months).saturating_sub(from))
            }
        };
        let mut on = |profit: f64| {
            if tax.losses_offset {
                return tax.rate * profit;
            }
            waiting += profit;
            let taxed = waiting.max(0.0);
            waiting = waiting.min(0.0);
            tax.rate * taxed
        };
        let operating = on(profit);
        let sale = if year == years {
            let (residual, rest) = match t.paying {
                Paying::Lease {
                    months,
                    residual,
                    end,
                    ..
                } => (
                    match end {
                        End::HandBack(fee) => fee,
                        End::Buy | End::Cheaper(_) => residual,
                    },
                    paid.payment * f64::from(months.saturating_sub(to)),
                ),
                _ => (0.0, 0.0),
            };
            on(paid.resale - book - residual - rest)
        } else {
            0.0
        };
        due.push((operating, sale));
    }
    due
}

#[cfg(test)]
mod tests;
