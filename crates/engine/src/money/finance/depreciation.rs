//! Depreciation: schedules by formula, and tax tables as they stood on a date. A tax adviser decides
//! which of them applies.

pub use crate::entered::TaxTable;
use jiff::civil::{Date, date};
use serde::Serialize;

impl TaxTable {
    /// Per cent of the cost, year by year: IRS Publication 946, tables A-1 to A-5 (data copies
    /// taxprotesttx.com, fkco.com). The IRS alternates 8.92 and 8.93 to reach 100 where the formula
    /// would give 8.925 each time: the table counts.
    pub fn percent(self) -> &'static [f64] {
        match self {
            Self::UsMacrs5HalfYear => &[20.0, 32.0, 19.2, 11.52, 11.52, 5.76],
            Self::UsMacrs7HalfYear => &[14.29, 24.49, 17.49, 12.49, 8.93, 8.92, 8.93, 4.46],
            Self::UsMacrs7FirstQuarter => &[25.0, 21.43, 15.31, 10.93, 8.75, 8.74, 8.75, 1.09],
            Self::UsMacrs7LastQuarter => &[3.57, 27.55, 19.68, 14.06, 10.04, 8.73, 8.73, 7.64],
        }
    }

    /// Day on which the table was read.
    pub fn read_on(self) -> Date {
        date(2026, 11, 25)
    }

    /// Write-off of a cost, year by year.
    pub fn schedule(self, cost: f64) -> Vec<f64> {
        self.percent().iter().map(|p| cost * p / 100.0).collect()
    }
}

/// The same write-off every year.
pub fn straight_line(cost: f64, residual: f64, years: u32) -> Vec<f64> {
    vec![(cost - residual) / f64::from(years.max(1)); years as usize]
}

/// A share of what is left, year by year, never below the residual; the last year takes what still
/// stands above it when `to_the_end`.
pub fn declining(cost: f64, residual: f64, share: f64, years: u32, to_the_end: bool) -> Vec<f64> {
    let mut book = cost;
    (1..=years)
        .map(|year| {
            let room = (book - residual).max(0.0);
            let off = if to_the_end && year == years {
                room
            } else {
                (book * share).min(room)
            };
            book -= off;
            off
        })
        .collect()
}

/// What may be written off in the United States in the tax year 2025 beside the tables.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Expensing {
    /// At most so much under section 179.
    pub section_179: f64,
    /// Share of the rest as bonus depreciation.
    pub bonus_share: f64,
}

/// Rules of the tax year 2025 as published in July 2025 (pnlcpa.com, avizogroup.com,
/// kelleher-ford.com): section 179 up to 2.5 million dollars, less what all purchases together exceed
/// 4 million by; bonus 100 % for property acquired after 19 January 2025, 40 % before.
pub fn us_2025(all_purchases: f64, acquired: Date) -> Expensing {
    Expensing {
        section_179: (2.5e6 - (all_purchases - 4.0e6).max(0.0)).max(0.0),
        bonus_share: if acquired > date(2025, 1, 19) {
            1.0
        } else {
            0.4
        },
    }
}
