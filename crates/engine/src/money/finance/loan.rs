//! Loans, leases, and the yearly cost of money bound in a machine.

/// Growth of one unit over so many periods; exact for a rate of nothing and steady near it.
fn growth(rate: f64, periods: f64) -> f64 {
    (periods * rate.ln_1p()).exp()
}

/// Present value of one unit at the end of each of so many periods.
pub fn annuity(rate: f64, periods: u32) -> f64 {
    let n = f64::from(periods);
    if rate.abs() < 1e-12 {
        return n;
    }
    // expm1 keeps the digits that 1 - 1/growth loses at small rates.
    -(-n * rate.ln_1p()).exp_m1() / rate
}

/// Level payment at the end of each period that pays a loan off.
pub fn payment(loan: f64, rate: f64, periods: u32) -> f64 {
    loan / annuity(rate, periods)
}

/// What is still owed after so many level payments.
pub fn balance(loan: f64, rate: f64, periods: u32, paid: u32) -> f64 {
    let left = periods.saturating_sub(paid);
    payment(loan, rate, periods) * annuity(rate, left)
}

/// Rate a period at which a level payment pays a loan off; `None` when the payments together do not
/// reach the loan.
pub fn rate_of(loan: f64, each: f64, periods: u32) -> Option<f64> {
    let short = |rate: f64| payment(loan, rate, periods) < each;
    if !(loan > 0.0 && each.is_finite() && each * f64::from(periods) >= loan * (1.0 - 1e-12)) {
        return None;
    }
    let (mut low, mut high) = (0.0, 1.0);
    while short(high) && high < 1.0e9 {
        high *= 2.0;
    }
    // The payment rises with the rate, so halving ends within rounding.
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if short(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(0.5 * (low + high))
}

/// A lease: what is paid each period, at its beginning or end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lease {
    /// Price of the machine less what is paid down.
    pub financed: f64,
    /// What it can be bought for, or is worth to the lessor, at the end.
    pub residual: f64,
    /// Rate a period.
    pub rate: f64,
    /// Periods.
    pub periods: u32,
    /// True when the first payment is due at once.
    pub in_advance: bool,
}

impl Lease {
    /// The level payment: what is financed less the residual's present value, spread.
    pub fn payment(&self) -> f64 {
        let residual = self.residual / growth(self.rate, f64::from(self.periods));
        let at_end = (self.financed - residual) / annuity(self.rate, self.periods);
        if self.in_advance {
            at_end / (1.0 + self.rate)
        } else {
            at_end
        }
    }

    /// Cash flows of the one who leases and buys at the end: the machine's worth in, payments out.
    pub fn flows(&self) -> Vec<f64> {
        let each = self.payment();
        let last = self.periods as usize;
        let mut flows = vec![-each; last + 1];
        flows[if self.in_advance { last } else { 0 }] = 0.0;
        flows[0] += self.financed;
        flows[last] -= self.residual;
        flows
    }
}

/// Yearly cost of a machine bought, kept and sold: its loss spread with interest, and the interest on
/// what is left in it.
pub fn capital_recovery(price: f64, salvage: f64, rate: f64, years: u32) -> f64 {
    payment(price - salvage, rate, years) + salvage * rate
}
