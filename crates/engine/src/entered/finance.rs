//! How a purchase is paid for and what income tax does to it, as entered.

use crate::machine::PartOf;
use jiff::civil::Date;
use serde::Serialize;
use units::{Money, Number, Value};

/// How the machine is paid for.
#[derive(Clone, Debug, PartialEq, Default)]
pub enum Way {
    /// From the shop's own money.
    #[default]
    Cash,
    /// Owned from the start, paid off month by month.
    Loan(Box<Loan>),
    /// Used against a payment a month, bought or handed back at the end.
    Lease(Box<LeaseTerms>),
}

impl Way {
    /// One word.
    pub fn word(&self) -> &'static str {
        match self {
            Way::Cash => "cash",
            Way::Loan(_) => "loan",
            Way::Lease(_) => "lease",
        }
    }
}

/// A loan with level payments at the end of each month.
#[derive(Clone, Debug, PartialEq)]
pub struct Loan {
    /// Nominal rate a year, compounded monthly.
    pub rate: Value<Number>,
    /// Number of payments.
    pub months: u32,
    /// What is paid from the shop's own money.
    pub down: Option<PartOf>,
}

/// A lease with level payments at the beginning of each month.
#[derive(Clone, Debug, PartialEq)]
pub struct LeaseTerms {
    /// What is paid each month.
    pub price: LeasePrice,
    /// Number of payments.
    pub months: u32,
    /// What is paid at the start.
    pub down: Option<PartOf>,
    /// What the machine can be bought for at the end, or the lessor counts it as worth then; decides
    /// the payment where a rate is stated.
    pub residual: PartOf,
    /// How it ends.
    pub end: LeaseEnd,
}

/// How a lease ends. A machine handed back earns no more, so under the last two the years end with the
/// lease where it is the shorter.
#[derive(Clone, Debug, PartialEq)]
pub enum LeaseEnd {
    /// The machine is bought for the residual.
    Buy,
    /// It is handed back, for a fee.
    HandBack(Value<Money>),
    /// Whichever of the two turns out to cost less.
    Cheaper(Value<Money>),
}

/// How a lease states what it costs.
#[derive(Clone, Debug, PartialEq)]
pub enum LeasePrice {
    /// By the payment a month.
    Payment(Value<Money>),
    /// By the nominal rate a year, compounded monthly.
    Rate(Value<Number>),
}

/// Terms of the purchase.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Finance {
    /// How it is paid.
    pub way: Way,
    /// What else the machine brings a year, beside the parts with an outside price.
    pub income_per_year: Option<Value<Money>>,
}

/// A tax table, named by country, life and convention.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TaxTable {
    /// United States, MACRS, 5-year property, half-year convention.
    UsMacrs5HalfYear,
    /// United States, MACRS, 7-year property, half-year convention.
    UsMacrs7HalfYear,
    /// United States, MACRS, 7-year property, mid-quarter convention, first quarter.
    UsMacrs7FirstQuarter,
    /// Likewise, last quarter.
    UsMacrs7LastQuarter,
}

/// How a purchase is written off.
#[derive(Clone, Debug, PartialEq)]
pub enum WritingOff {
    /// By a table.
    Table(TaxTable),
    /// The same each year.
    StraightLine {
        /// So many years.
        years: u32,
    },
    /// A share of what is left each year, as with writing-down allowances.
    Declining {
        /// The share.
        share: Value<Number>,
    },
}

/// Income tax as the shop, or who advises it, chose on a day.
#[derive(Clone, Debug, PartialEq)]
pub struct IncomeTax {
    /// On one more unit of profit.
    pub rate: Value<Number>,
    /// How the machine is written off.
    pub writing_off: WritingOff,
    /// Share of the cost written off in the first year before that.
    pub at_once: Value<Number>,
    /// The day of the choice.
    pub on: Date,
    /// True when other profits of the shop take up a loss in its year; otherwise a loss waits for
    /// later profits.
    pub losses_offset: bool,
}
