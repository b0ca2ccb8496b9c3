//! The all-in cost by seeded draws. Every number is addressed by seed, input and draw, so the
//! result does not depend on the number of threads or the order of the lines.

use super::line::{Line, Percentiles, affine};
use crate::money::line::{Affine, Amount};
use rayon::prelude::*;
use serde::Serialize;
use units::{Draw, Money, Quantity, Value};

/// A cost line in few numbers.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LineSummary {
    /// Name.
    pub name: String,
    /// 10th percentile of the draws.
    pub low: Money,
    /// At every input's best single value.
    pub likely: Money,
    /// 90th percentile of the draws.
    pub high: Money,
    /// Mean of the draws.
    pub mean: Money,
    /// measured, stated or assumed.
    pub origin: &'static str,
    /// Source of an assumed number; empty otherwise.
    pub source: String,
    /// Why it is there.
    pub why: String,
}

/// All lines together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AllIn {
    /// Of the sum.
    #[serde(flatten)]
    pub percentiles: Percentiles,
    /// At every input's best single value.
    pub likely: Money,
    /// Share of the draws in which the sum exceeds the budget of that draw.
    pub over_budget_chance: f64,
    /// Line by line.
    pub lines: Vec<LineSummary>,
    /// The sum draw by draw, for comparisons on common draws.
    #[serde(skip)]
    pub totals: Vec<f64>,
    /// The budget draw by draw.
    #[serde(skip)]
    pub budgets: Vec<f64>,
}

/// Percentile by linear interpolation between order statistics (Hyndman and Fan 1996, type 7) of
/// sorted numbers; `None` for none.
pub fn percentile(sorted: &[f64], share: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    let at = share.clamp(0.0, 1.0) * last as f64;
    let below = (at.floor() as usize).min(last);
    let above = (below + 1).min(last);
    Some(sorted[below] + (at - below as f64) * (sorted[above] - sorted[below]))
}

/// The same of unsorted numbers, which are put partly in order.
fn percentile_of(numbers: &mut [f64], share: f64) -> Option<f64> {
    let last = numbers.len().checked_sub(1)?;
    let at = share.clamp(0.0, 1.0) * last as f64;
    let below = (at.floor() as usize).min(last);
    let (_, low, above) = numbers.select_nth_unstable_by(below, f64::total_cmp);
    let next = above.iter().copied().min_by(f64::total_cmp).unwrap_or(*low);
    Some(*low + (at - below as f64) * (next - *low))
}

/// Percentiles and mean of unsorted numbers; zeros for none.
pub(super) fn percentiles(numbers: &[f64]) -> Percentiles {
    let mut sorted = numbers.to_vec();
    sorted.sort_by(f64::total_cmp);
    let at = |share| Money::amount(percentile(&sorted, share).unwrap_or(0.0));
    Percentiles {
        p10: at(0.1),
        p50: at(0.5),
        p80: at(0.8),
        p90: at(0.9),
        mean: Money::amount(mean(&sorted)),
    }
}

fn mean(numbers: &[f64]) -> f64 {
    numbers.iter().sum::<f64>() / numbers.len().max(1) as f64
}

/// Draws worked on in one go.
const CHUNK: u64 = 512;

/// One number a line, draw by draw: `columns[line][draw]`.
pub(super) fn columns(lines: &[Line], seed: u64, draws: u64) -> Vec<Vec<f64>> {
    let starts: Vec<u64> = (0..draws).step_by(CHUNK as usize).collect();
    let chunks: Vec<Vec<f64>> = starts
        .into_par_iter()
        .map(|start| {
            let (mut scratch, mut flat) = (Vec::new(), Vec::new());
            for index in start..draws.min(start + CHUNK) {
                amounts(lines, Draw::Random { seed, index }, &mut scratch, &mut flat);
            }
            flat
        })
        .collect();
    let width = lines.len();
    (0..width)
        .map(|line| {
            chunks
                .iter()
                .flat_map(|flat| flat.iter().skip(line).step_by(width).copied())
                .collect()
        })
        .collect()
}

/// Amounts of all lines in a draw, added to `out`.
fn amounts(lines: &[Line], draw: Draw, scratch: &mut Vec<Affine>, out: &mut Vec<f64>) {
    affine(lines, draw, scratch);
    let price = price_of(lines, draw);
    out.extend(scratch.iter().map(|a| a.at(price)));
}

fn price_of(lines: &[Line], draw: Draw) -> f64 {
    lines
        .iter()
        .find(|l| l.name == Line::PRICE)
        .map_or(0.0, |l| match &l.amount {
            Amount::Fixed(v) => draw.take(v).base(),
            Amount::Times { count, each } => draw.take(count).base() * draw.take(each).base(),
            Amount::Share { .. } => 0.0,
        })
}

/// Sum of lines, draw by draw.
pub(super) fn totals(columns: &[Vec<f64>], draws: u64) -> Vec<f64> {
    let mut totals = vec![0.0; draws as usize];
    for column in columns {
        for (total, amount) in totals.iter_mut().zip(column) {
            *total += amount;
        }
    }
    totals
}

/// An input draw by draw.
pub(super) fn series<Q: Quantity>(value: &Value<Q>, seed: u64, draws: u64) -> Vec<f64> {
    (0..draws)
        .map(|index| Draw::Random { seed, index }.take(value).base())
        .collect()
}

/// Draws the sum of the lines and compares it with the budget.
pub fn draw(lines: &[Line], budget: &Value<Money>, seed: u64, draws: u64) -> AllIn {
    let columns = columns(lines, seed, draws);
    let totals = totals(&columns, draws);
    let budgets = series(budget, seed, draws);
    let over = totals.iter().zip(&budgets).filter(|(t, b)| t > b).count();
    let mut likely = Vec::new();
    amounts(lines, Draw::Likely, &mut Vec::new(), &mut likely);
    let summaries = lines
        .par_iter()
        .zip(&columns)
        .zip(&likely)
        .map(|((line, column), likely)| summary(line, column, *likely))
        .collect();
    AllIn {
        percentiles: percentiles(&totals),
        likely: Money::amount(likely.iter().sum()),
        over_budget_chance: over as f64 / draws.max(1) as f64,
        lines: summaries,
        totals,
        budgets,
    }
}

fn summary(line: &Line, column: &[f64], likely: f64) -> LineSummary {
    let mut numbers = column.to_vec();
    let mut at = |share| Money::amount(percentile_of(&mut numbers, share).unwrap_or(0.0));
    LineSummary {
        name: line.name.clone(),
        low: at(0.1),
        likely: Money::amount(likely),
        high: at(0.9),
        mean: Money::amount(mean(column)),
        origin: line.origin_word(),
        source: match line.origin() {
            units::Origin::Assumed { source } => source.clone(),
            _ => String::new(),
        },
        why: line.why.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_percentiles_agree() {
        let mut numbers: Vec<f64> = (0..101).map(|i| f64::from((i * 37) % 101) * 0.7).collect();
        let mut sorted = numbers.clone();
        sorted.sort_by(f64::total_cmp);
        for share in [0.0, 0.013, 0.1, 0.5, 0.977, 1.0] {
            assert_eq!(
                percentile_of(&mut numbers, share),
                percentile(&sorted, share)
            );
        }
        assert_eq!(percentile_of(&mut [], 0.5), None);
    }
}
