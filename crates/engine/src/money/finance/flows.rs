//! Present value and what follows from it.

/// Net present value of flows at a rate per period.
pub fn npv(rate: f64, flows: &[f64]) -> f64 {
    let factor = 1.0 / (1.0 + rate);
    flows
        .iter()
        .rev()
        .fold(0.0, |sum, flow| sum * factor + flow)
}

/// Rates at which the net present value is zero.
#[derive(Clone, Debug, PartialEq)]
pub enum RateOfReturn {
    /// No rate above -99 % does it: the flows never change sign, or not enough.
    None,
    /// Exactly one.
    One(f64),
    /// Several, ascending: none of them may be compared with a rate of interest.
    Several(Vec<f64>),
}

/// Every internal rate of return above -99 % a period.
///
/// The net present value is a polynomial in x = 1 / (1 + rate). Between neighbouring roots of its
/// derivative it is monotone, so each of its roots is bracketed by them; the derivative's are found
/// the same way.
pub fn rate_of_return(flows: &[f64]) -> RateOfReturn {
    /// Largest x looked at: a rate of -99 %.
    const MOST: f64 = 100.0;
    let last = flows.iter().rposition(|f| *f != 0.0);
    let flows = last.map_or(&[][..], |last| &flows[..=last]);
    let mut rates: Vec<f64> = roots(flows, MOST)
        .into_iter()
        .filter(|x| *x > 0.0)
        .map(|x| 1.0 / x - 1.0)
        .collect();
    rates.reverse();
    match rates.as_slice() {
        [] => RateOfReturn::None,
        [rate] => RateOfReturn::One(*rate),
        _ => RateOfReturn::Several(rates),
    }
}

/// Roots in (0, most] of the polynomial with coefficients from the constant up, ascending. A root
/// at which it only touches zero is given when rounding does not hide it.
fn roots(coefficients: &[f64], most: f64) -> Vec<f64> {
    let Some(scale) = coefficients
        .iter()
        .map(|c| c.abs())
        .reduce(f64::max)
        .filter(|s| *s > 0.0 && s.is_finite())
    else {
        return Vec::new();
    };
    if coefficients.len() < 2 {
        return Vec::new();
    }
    let at = |x: f64| {
        coefficients
            .iter()
            .rev()
            .fold(0.0, |sum, c| sum * x + c / scale)
    };
    let derivative: Vec<f64> = coefficients
        .iter()
        .enumerate()
        .skip(1)
        .map(|(k, c)| k as f64 * (c / scale))
        .collect();
    let mut turns = roots(&derivative, most);
    turns.push(most);
    let mut found = Vec::new();
    let mut low = 0.0;
    for high in turns {
        let (below, above) = (at(low), at(high));
        if above == 0.0 {
            found.push(high);
        } else if below != 0.0 && (below < 0.0) != (above < 0.0) {
            found.push(bisect(low, high, at));
        }
        low = high;
    }
    found.dedup();
    found
}

/// The root of a function with a change of sign between two places, to the last bit.
pub(super) fn bisect(mut low: f64, mut high: f64, at: impl Fn(f64) -> f64) -> f64 {
    let negative_below = at(low) < 0.0;
    loop {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            return middle;
        }
        if (at(middle) < 0.0) == negative_below {
            low = middle;
        } else {
            high = middle;
        }
    }
}

/// Periods until the discounted flows have paid back what was spent, in proportion within the
/// period that does it; `None` when they never stay paid back. At rate 0 the plain payback.
pub fn discounted_payback(rate: f64, flows: &[f64]) -> Option<f64> {
    let mut factor = 1.0;
    let mut sum = 0.0;
    let mut paid: Option<f64> = None;
    for (period, flow) in flows.iter().enumerate() {
        let before = sum;
        sum += flow * factor;
        factor /= 1.0 + rate;
        if sum < 0.0 {
            paid = None;
        } else if paid.is_none() {
            paid = Some(if before < 0.0 {
                period as f64 - sum / (sum - before)
            } else {
                period as f64
            });
        }
    }
    paid
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn flows_with_two_rates_say_so() {
        // (1 - 1.1 x)(1 - 1.5 x) = 1 - 2.6 x + 1.65 x^2: rates 10 % and 50 %.
        let found = rate_of_return(&[-1000.0, 2600.0, -1650.0]);
        let RateOfReturn::Several(rates) = found else {
            panic!("{found:?}")
        };
        assert!(
            (rates[0] - 0.1).abs() < 1e-9 && (rates[1] - 0.5).abs() < 1e-9,
            "{rates:?}"
        );
        assert_eq!(rate_of_return(&[-1.0, -2.0, -3.0]), RateOfReturn::None);
        assert_eq!(rate_of_return(&[]), RateOfReturn::None);
        assert_eq!(rate_of_return(&[-5.0, 0.0, 0.0]), RateOfReturn::None);
    }

    proptest! {
        #[test]
        fn one_outlay_then_income_has_one_rate_and_no_worth_at_it(
            spent in 1.0..1e6f64,
            income in proptest::collection::vec(0.0..1e5f64, 1..40),
        ) {
            prop_assume!(income.iter().sum::<f64>() > 0.02 * spent);
            let flows: Vec<f64> = std::iter::once(-spent).chain(income).collect();
            match rate_of_return(&flows) {
                RateOfReturn::One(rate) => {
                    let size: f64 = flows
                        .iter()
                        .enumerate()
                        .map(|(k, f)| (f / (1.0 + rate).powi(k as i32)).abs())
                        .sum();
                    prop_assert!(npv(rate, &flows).abs() <= 1e-9 * size);
                }
                other => prop_assert!(false, "{other:?}"),
            }
        }

        #[test]
        fn a_higher_rate_never_pays_back_sooner(
            spent in 1.0..1e4f64,
            income in proptest::collection::vec(0.0..1e4f64, 1..20),
            low in 0.0..0.5f64,
            more in 0.0..0.5f64,
        ) {
            let flows: Vec<f64> = std::iter::once(-spent).chain(income).collect();
            let years = |rate| discounted_payback(rate, &flows).unwrap_or(f64::INFINITY);
            prop_assert!(years(low) <= years(low + more) + 1e-9);
        }
    }
}
