//! Loans and what equal payments are worth.

use super::flows::bisect;

/// A loan paid back in equal payments at the end of each period.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loan {
    /// Money lent.
    pub principal: f64,
    /// Interest per period.
    pub rate: f64,
    /// Number of payments.
    pub periods: u32,
    /// Paid besides with the last payment (the residual of a lease).
    pub balloon: f64,
}

impl Loan {
    /// Each payment.
    pub fn payment(&self) -> f64 {
        let kept = self.balloon * (1.0 + self.rate).powi(-(self.periods as i32));
        (self.principal - kept) / annuity(self.rate, f64::from(self.periods))
    }

    /// What is still owed after so many payments.
    pub fn owed_after(&self, payments: u32) -> f64 {
        let n = payments.min(self.periods);
        let left = self.periods - n;
        let kept = self.balloon * (1.0 + self.rate).powi(-(left as i32));
        self.payment() * annuity(self.rate, f64::from(left)) + kept
    }

    /// Interest within payments `from..to` (counted from 0).
    pub fn interest(&self, from: u32, to: u32) -> f64 {
        let (from, to) = (from.min(self.periods), to.min(self.periods));
        let paid = self.payment() * f64::from(to.saturating_sub(from));
        paid - (self.owed_after(from) - self.owed_after(to))
    }
}

/// Present worth of one unit a period, paid at the end of each, the last part of a period in
/// proportion.
pub fn annuity(rate: f64, periods: f64) -> f64 {
    let whole = periods.floor().max(0.0);
    let full: f64 = if rate.abs() < 1e-9 {
        whole
    } else {
        -(-whole * rate.ln_1p()).exp_m1() / rate
    };
    full + (periods - whole) * (1.0 + rate).powf(-periods)
}

/// Equal payment a period that pays for what is bought now and sold after so many periods.
pub fn capital_recovery(bought: f64, salvage: f64, periods: f64, rate: f64) -> f64 {
    (bought - salvage) / annuity(rate, periods) + salvage * rate
}

/// Rate per year of a nominal yearly rate compounded so many times a year.
pub fn effective_rate(nominal: f64, times_a_year: f64) -> f64 {
    (times_a_year * (nominal / times_a_year).ln_1p()).exp_m1()
}

/// Rate per period at which a loan of `principal` is paid back by equal payments; `None` when they
/// do not even pay back the principal.
pub fn loan_rate(principal: f64, payment: f64, periods: u32) -> Option<f64> {
    let n = f64::from(periods);
    if !(principal > 0.0 && payment.is_finite()) || payment * n < principal {
        return None;
    }
    let gap = |rate: f64| payment * annuity(rate, n) - principal;
    // At a rate of payment over principal even endless payments are worth no more than the loan.
    Some(bisect(0.0, payment / principal, gap))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn payments_and_interest_add_up(
            principal in 1.0..1e6f64,
            rate in 0.0..0.05f64,
            periods in 1u32..360,
            kept in 0.0..0.5f64,
        ) {
            let loan = Loan { principal, rate, periods, balloon: kept * principal };
            prop_assert!((loan.owed_after(0) - principal).abs() < 1e-9 * principal);
            prop_assert!((loan.owed_after(periods) - loan.balloon).abs() < 1e-9 * principal);
            let paid = loan.payment() * f64::from(periods) + loan.balloon;
            prop_assert!((loan.interest(0, periods) - (paid - principal)).abs() < 1e-7 * principal);
            let half = periods / 2;
            let split = loan.interest(0, half) + loan.interest(half, periods);
            prop_assert!((split - loan.interest(0, periods)).abs() < 1e-7 * principal);
        }

        #[test]
        fn the_rate_of_a_loan_is_found_back(
            principal in 1.0..1e6f64, rate in 1e-4..0.05f64, periods in 2u32..200,
        ) {
            let loan = Loan { principal, rate, periods, balloon: 0.0 };
            let found = loan_rate(principal, loan.payment(), periods).unwrap();
            prop_assert!((found - rate).abs() < 1e-9);
        }
    }
}
