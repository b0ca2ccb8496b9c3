//! Money over time: rates, loans and leases, present value and rates of return, payback, break-even,
//! tax depreciation. Plain arithmetic on plain numbers; a period is whatever the rate is for.

pub mod cash_flow;
pub mod depreciation;
pub mod loan;

/// Rate a year with compounding, from a nominal yearly rate compounded so many times a year.
pub fn effective(nominal: f64, times_a_year: f64) -> f64 {
    (1.0 + nominal / times_a_year).powf(times_a_year) - 1.0
}

/// Volume at which two ways cost the same: one dearer to set up and cheaper a piece than the other.
/// `None` when one of them is never dearer.
pub fn break_even((fixed_a, each_a): (f64, f64), (fixed_b, each_b): (f64, f64)) -> Option<f64> {
    let volume = (fixed_a - fixed_b) / (each_b - each_a);
    (volume.is_finite() && volume > 0.0).then_some(volume)
}

/// Cost of an hour of a machine: what it loses and what it takes to keep a year, over the hours a
/// year, and what only its running takes an hour.
pub fn hour_rate(
    loss_over_life: f64,
    life_hours: f64,
    standing: &[(f64, f64)],
    running_each_hour: f64,
) -> f64 {
    let kept: f64 = standing.iter().map(|(cost, hours)| cost / hours).sum();
    loss_over_life / life_hours + kept + running_each_hour
}
