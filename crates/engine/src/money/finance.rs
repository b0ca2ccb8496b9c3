//! Money over time: present values, rates of return, loans and leases, tax depreciation, break-even
//! volumes. Plain arithmetic on plain numbers; rates are shares per period, flows are paid at the
//! end of their period, flow 0 today.

mod break_even;
mod depreciation;
mod flows;
mod loan;

pub use break_even::{BreakEven, break_even};
pub use depreciation::{
    Depreciation, Macrs, declining_balance, double_declining, schedule, straight_line,
};
pub use flows::{RateOfReturn, discounted_payback, npv, rate_of_return};
pub use loan::{Loan, annuity, capital_recovery, effective_rate, loan_rate};
