//! What a tax office lets a buyer write off each year. Tax law changes: every choice carries its
//! date, and an accountant decides.

/// A way of writing off the price, as a dated choice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Depreciation {
    /// Nothing is written off.
    None,
    /// All of it in the first year. United States: section 179 up to $2.5 M, reduced from $4 M of
    /// purchases, and 100 % bonus for property acquired after 19 January 2025 (pnlcpa.com, 4 July
    /// 2025; avizogroup.com; kelleher-ford.com).
    FirstYear,
    /// United States, general system, by the tables of IRS Publication 946.
    Macrs(Macrs),
    /// Equal parts over so many years.
    StraightLine(u32),
    /// A share of what is left each year, the rest in the last of so many years.
    Declining {
        /// Share a year.
        share: f64,
        /// Years.
        years: u32,
    },
}

/// A table of IRS Publication 946.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Macrs {
    /// Five-year property, half-year convention (table A-1).
    FiveYear,
    /// Seven-year property, half-year convention (table A-1): manufacturing machines.
    SevenYear,
    /// Seven-year property placed in service in the first quarter (mid-quarter, table A-2).
    SevenYearFirstQuarter,
    /// Seven-year property placed in service in the fourth quarter (mid-quarter, table A-5).
    SevenYearFourthQuarter,
}

impl Macrs {
    /// Per cent of the price, year by year. The printed table, not the formula: it alternates
    /// 8.92 and 8.93 to reach 100.
    pub fn percent(self) -> &'static [f64] {
        match self {
            Macrs::FiveYear => &[20.0, 32.0, 19.2, 11.52, 11.52, 5.76],
            Macrs::SevenYear => &[14.29, 24.49, 17.49, 12.49, 8.93, 8.92, 8.93, 4.46],
            Macrs::SevenYearFirstQuarter => &[25.00, 21.43, 15.31, 10.93, 8.75, 8.74, 8.75, 1.09],
            Macrs::SevenYearFourthQuarter => &[3.57, 27.55, 19.68, 14.06, 10.04, 8.73, 8.73, 7.64],
        }
    }
}

/// What is written off each year, from the year of purchase on.
pub fn schedule(how: Depreciation, price: f64) -> Vec<f64> {
    match how {
        Depreciation::None => Vec::new(),
        Depreciation::FirstYear => vec![price],
        Depreciation::Macrs(table) => table.percent().iter().map(|p| price * p / 100.0).collect(),
        Depreciation::StraightLine(years) => straight_line(price, 0.0, years),
        Depreciation::Declining { share, years } => declining_balance(price, 0.0, share, years),
    }
}

/// Equal parts of price less residual.
pub fn straight_line(price: f64, residual: f64, years: u32) -> Vec<f64> {
    vec![(price - residual) / f64::from(years.max(1)); years.max(1) as usize]
}

/// A share of the book value each year, never below the residual; the last year takes the rest.
pub fn declining_balance(price: f64, residual: f64, share: f64, years: u32) -> Vec<f64> {
    let mut book = price;
    (1..=years.max(1))
        .map(|year| {
            let most = (book - residual).max(0.0);
            let off = if year == years.max(1) {
                most
            } else {
                (book * share).min(most)
            };
            book -= off;
            off
        })
        .collect()
}

/// Declining balance at twice the straight-line share.
pub fn double_declining(price: f64, residual: f64, years: u32) -> Vec<f64> {
    declining_balance(price, residual, 2.0 / f64::from(years.max(1)), years)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_write_off_everything() {
        for table in [
            Macrs::FiveYear,
            Macrs::SevenYear,
            Macrs::SevenYearFirstQuarter,
            Macrs::SevenYearFourthQuarter,
        ] {
            let sum: f64 = table.percent().iter().sum();
            assert!((sum - 100.0).abs() < 1e-9, "{table:?}: {sum}");
        }
        for how in [
            Depreciation::FirstYear,
            Depreciation::StraightLine(7),
            Depreciation::Declining {
                share: 0.18,
                years: 9,
            },
            Depreciation::Macrs(Macrs::SevenYear),
        ] {
            let sum: f64 = schedule(how, 12_345.0).iter().sum();
            assert!((sum - 12_345.0).abs() < 1e-6, "{how:?}");
        }
    }

    #[test]
    fn published_declining_balances() {
        // 85,000, residual 5,000, 5 years (userz.net): 34,000; 20,400; 12,240; 7,344. The printed
        // fifth year, 13,360, would end below the residual: book value is 11,016, so 6,016.
        let off = double_declining(85e3, 5e3, 5);
        for (found, printed) in off
            .iter()
            .zip([34_000.0, 20_400.0, 12_240.0, 7_344.0, 6_016.0])
        {
            assert!((found - printed).abs() < 1e-6, "{off:?}");
        }
        // 100,000 at 25 % a year (slidepub.com): 31,641 left after year 4 (printed 31,461, digits
        // swapped: the next row is right).
        let off = declining_balance(100e3, 0.0, 0.25, 10);
        assert_eq!((100e3 - off[..4].iter().sum::<f64>()).round(), 31_641.0);
    }
}
