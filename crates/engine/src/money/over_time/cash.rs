//! Money in and out since the order, month by month to the longest horizon, and what the sale at each
//! end of it leaves.

use super::drawn::Drawn;
use crate::money::flows::{Terms, flows};
use crate::money::select::percentiles_of;
use crate::money::value::CashYear;
use units::Money;

/// Cash over time.
pub(super) struct Cash {
    /// Year by year to the likely horizon, and after the sale there.
    pub years: Vec<CashYear>,
    /// Month by month to the longest horizon.
    pub months: Vec<CashYear>,
    /// After the sale at the shortest, the likely and the longest horizon, each once.
    pub horizons: Vec<CashYear>,
}

/// Cash over the first draws.
pub(super) fn cash(inputs: &Drawn, draws: usize, earns: bool) -> Cash {
    let [short, likely, long] = inputs.horizons();
    let mut ends = vec![short, likely, long];
    ends.dedup();
    let mut out = Cash {
        years: Vec::new(),
        months: Vec::new(),
        horizons: Vec::new(),
    };
    for end in ends {
        let mut sold = Vec::with_capacity(draws);
        // Only the run to the likely horizon has years, only that to the longest has months.
        let kept = end == likely || end == long;
        let mut columns = vec![Vec::with_capacity(draws); if kept { end as usize + 1 } else { 0 }];
        for i in 0..draws {
            let (amounts, terms) = inputs.over(i, f64::from(end) / 12.0);
            let terms = Terms {
                tax: terms.tax.filter(|_| earns),
                ..terms
            };
            let row = flows(&amounts, &terms, inputs.pieces(i));
            let mut sum = 0.0;
            for (k, flow) in row.months.iter().enumerate() {
                sum += flow;
                let since = k.checked_sub(terms.wait as usize);
                if let Some(column) = since.and_then(|month| columns.get_mut(month)) {
                    column.push(sum);
                }
            }
            sold.push(sum + row.end);
        }
        let after = point(end, true, &sold);
        if end == likely {
            let months = (0..end).step_by(12).chain([end]);
            out.years = months
                .map(|m| CashYear {
                    year: f64::from(m.div_ceil(12)),
                    ..point(m, false, &columns[m as usize])
                })
                .collect();
            out.years.push(CashYear {
                year: f64::from(end.div_ceil(12)),
                ..after
            });
        }
        if end == long {
            let months = columns.iter().zip(0..);
            out.months = months.map(|(sums, m)| point(m, false, sums)).collect();
        }
        out.horizons.push(after);
    }
    out
}

fn point(month: u32, sold: bool, sums: &[f64]) -> CashYear {
    let [low, likely, high] = percentiles_of(&[sums], [0.1, 0.5, 0.9]).map(Money::amount);
    CashYear {
        year: f64::from(month) / 12.0,
        sold,
        low,
        likely,
        high,
    }
}
