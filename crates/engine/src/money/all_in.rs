//! The all-in cost by seeded draws. Every number is addressed by seed, input and draw, so the
//! result does not depend on the number of threads or the order of the lines.

use super::line::{Line, Percentiles};
use super::sums::{At, Sums};
use rayon::prelude::*;
use serde::Serialize;
use units::{DRAW_BLOCK, Draw, Money, Quantity, Value};

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
    /// How far these have converged; `None` with too few draws to tell.
    pub errors: Option<Errors>,
    /// Line by line.
    pub lines: Vec<LineSummary>,
    /// The sum draw by draw, for comparisons on common draws.
    #[serde(skip)]
    pub totals: Vec<f64>,
    /// The budget draw by draw.
    #[serde(skip)]
    pub budgets: Vec<f64>,
}

impl AllIn {
    /// The machine's own price, where the lines hold it.
    pub fn price(&self) -> Option<Money> {
        let line = self.lines.iter().find(|l| l.name == Line::PRICE)?;
        Some(line.likely)
    }
}

/// Standard errors, from the scatter of the blocks of draws, which are scrambled independently.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Errors {
    /// Of the median.
    pub p50: Money,
    /// Of the eightieth percentile.
    pub p80: Money,
    /// Of the mean.
    pub mean: Money,
    /// Of the chance over the budget.
    pub over_budget_chance: f64,
}

/// Standard errors of what whole blocks of draws give, when there are at least four.
fn errors(totals: &[f64], budgets: &[f64]) -> Option<Errors> {
    let block = DRAW_BLOCK as usize;
    let sums = totals.chunks_exact(block);
    if sums.len() < 4 {
        return None;
    }
    let blocks: Vec<(Percentiles, f64)> = sums
        .zip(budgets.chunks_exact(block))
        .map(|(t, b)| (percentiles(t), over_share(t, b)))
        .collect();
    let error = |of: &dyn Fn(&(Percentiles, f64)) -> f64| {
        let n = blocks.len() as f64;
        let mean = blocks.iter().map(of).sum::<f64>() / n;
        let squares: f64 = blocks.iter().map(|b| (of(b) - mean).powi(2)).sum();
        (squares / (n - 1.0) / n).sqrt()
    };
    Some(Errors {
        p50: Money::amount(error(&|b| b.0.p50.to_amount())),
        p80: Money::amount(error(&|b| b.0.p80.to_amount())),
        mean: Money::amount(error(&|b| b.0.mean.to_amount())),
        over_budget_chance: error(&|b| b.1),
    })
}

/// Share of the draws whose sum exceeds their budget.
fn over_share(totals: &[f64], budgets: &[f64]) -> f64 {
    let over = totals.iter().zip(budgets).filter(|(t, b)| t > b).count();
    over as f64 / totals.len().max(1) as f64
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

/// Runs `each(first, count)` over the draws, a block at a time, in order.
pub(super) fn in_blocks<T: Send>(draws: u64, each: impl Fn(u64, usize) -> T + Sync) -> Vec<T> {
    let starts: Vec<u64> = (0..draws).step_by(DRAW_BLOCK as usize).collect();
    starts
        .into_par_iter()
        .map(|first| each(first, (draws - first).min(DRAW_BLOCK) as usize))
        .collect()
}

/// One number a line, draw by draw: `columns[line][draw]`.
pub(super) fn columns(lines: &[Line], seed: u64, draws: u64) -> Vec<Vec<f64>> {
    let sums = Sums::new(lines);
    let blocks = in_blocks(draws, |first, count| {
        let uniforms = sums.uniforms(seed, first, count);
        sums.block(At::Uniform(&uniforms), count)
    });
    (0..lines.len())
        .map(|line| blocks.iter().flat_map(|block| block.line(line)).collect())
        .collect()
}

/// Sum of lines, draw by draw.
pub(super) fn totals(lines: &[Line], seed: u64, draws: u64) -> Vec<f64> {
    let mut totals = vec![0.0; draws as usize];
    for group in lines.chunks(LINES_AT_A_TIME) {
        for column in columns(group, seed, draws) {
            add(&mut totals, &column);
        }
    }
    totals
}

/// Lines drawn together.
const LINES_AT_A_TIME: usize = 32;

fn add(totals: &mut [f64], column: &[f64]) {
    for (total, amount) in totals.iter_mut().zip(column) {
        *total += amount;
    }
}

/// An input draw by draw.
pub(super) fn series<Q: Quantity>(value: &Value<Q>, seed: u64, draws: u64) -> Vec<f64> {
    (0..draws)
        .map(|index| Draw::Random { seed, index }.take(value).base())
        .collect()
}

/// Draws the sum of the lines and compares it with the budget.
pub fn draw(lines: &[Line], budget: &Value<Money>, seed: u64, draws: u64) -> AllIn {
    // So many lines at a time, so that a line a part of a thousand parts is no hundred megabytes. Every
    // number is addressed by its input, so groups change none.
    let mut totals = vec![0.0; draws as usize];
    let mut summaries = Vec::with_capacity(lines.len());
    let mut sum = 0.0;
    for group in lines.chunks(LINES_AT_A_TIME) {
        let columns = columns(group, seed, draws);
        for column in &columns {
            add(&mut totals, column);
        }
        let block = Sums::new(group).block(At::Likely, 1);
        let likely: Vec<f64> = (0..group.len()).flat_map(|line| block.line(line)).collect();
        for each in &likely {
            sum += each;
        }
        let of_group: Vec<LineSummary> = group
            .par_iter()
            .zip(&columns)
            .zip(&likely)
            .map(|((line, column), likely)| summary(line, column, *likely))
            .collect();
        summaries.extend(of_group);
    }
    let budgets = series(budget, seed, draws);
    AllIn {
        percentiles: percentiles(&totals),
        likely: Money::amount(sum),
        over_budget_chance: over_share(&totals, &budgets),
        errors: errors(&totals, &budgets),
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
