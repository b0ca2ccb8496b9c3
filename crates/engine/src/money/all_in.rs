//! The all-in cost by seeded draws. Every number is addressed by seed, input and draw, so the
//! result does not depend on the number of threads or the order of the lines.

use super::line::{Line, Percentiles};
use super::select::percentiles_of;
use super::sums::{At, Kept, Scratch, Sums, Want};
use rayon::prelude::*;
use serde::Serialize;
use std::sync::Arc;
use units::{DRAW_BLOCK, Money, Quantity, Spread, Stream, Value};

/// A cost line in few numbers.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LineSummary {
    /// Name.
    pub name: String,
    /// 10th percentile; in closed form where one uncertain number decides the line.
    pub low: Money,
    /// At every input's best single value.
    pub likely: Money,
    /// 90th percentile.
    pub high: Money,
    /// Mean.
    pub mean: Money,
    /// Chance that it comes at all; `None` for a line that does in any case.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chance: Option<f64>,
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
    pub totals: Arc<Vec<f64>>,
    /// The budget draw by draw, the same of all sums held against it.
    #[serde(skip)]
    pub budgets: Arc<Vec<f64>>,
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

/// What a block of draws gives by itself.
#[derive(Clone, Copy, Default)]
struct BlockFigures {
    p50: f64,
    p80: f64,
    mean: f64,
    over: f64,
}

impl BlockFigures {
    fn of(totals: &[f64], budgets: &[f64], room: &mut Vec<f64>) -> Self {
        room.clear();
        room.extend_from_slice(totals);
        Self {
            mean: mean(totals),
            over: over_share(totals, budgets),
            p50: percentile_of(room, 0.5).unwrap_or(0.0),
            p80: percentile_of(room, 0.8).unwrap_or(0.0),
        }
    }
}

/// Standard errors of what whole blocks of draws give, when there are at least four.
fn errors(blocks: &[BlockFigures]) -> Option<Errors> {
    if blocks.len() < 4 {
        return None;
    }
    let error = |of: &dyn Fn(&BlockFigures) -> f64| {
        let n = blocks.len() as f64;
        let mean = blocks.iter().map(of).sum::<f64>() / n;
        let squares: f64 = blocks.iter().map(|b| (of(b) - mean).powi(2)).sum();
        (squares / (n - 1.0) / n).sqrt()
    };
    Some(Errors {
        p50: Money::amount(error(&|b| b.p50)),
        p80: Money::amount(error(&|b| b.p80)),
        mean: Money::amount(error(&|b| b.mean)),
        over_budget_chance: error(&|b| b.over),
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
    let pieces: Vec<&[f64]> = numbers.chunks(BLOCK).collect();
    let [p10, p50, p80, p90] = percentiles_of(&pieces, [0.1, 0.5, 0.8, 0.9]).map(Money::amount);
    Percentiles {
        p10,
        p50,
        p80,
        p90,
        mean: Money::amount(mean_of(&pieces)),
    }
}

fn mean(numbers: &[f64]) -> f64 {
    numbers.iter().sum::<f64>() / numbers.len().max(1) as f64
}

/// Mean of numbers in pieces, added piece by piece.
fn mean_of(pieces: &[&[f64]]) -> f64 {
    let sum: f64 = pieces.iter().map(|p| p.iter().sum::<f64>()).sum();
    let count: usize = pieces.iter().map(|p| p.len()).sum();
    sum / count.max(1) as f64
}

const BLOCK: usize = DRAW_BLOCK as usize;

/// Fills `out` with something of each draw, a block at a time: `each` gets the ready-drawn room and
/// the block's piece of `out`.
pub(super) fn fill_blocks(
    sums: &Sums,
    seed: u64,
    out: &mut [f64],
    each: impl Fn(&mut Scratch, &mut [f64]) + Sync,
) {
    out.par_chunks_mut(BLOCK).enumerate().for_each_init(
        Scratch::default,
        |scratch, (block, out)| {
            sums.draw(seed, block as u64 * DRAW_BLOCK, out.len(), scratch);
            each(scratch, out);
        },
    );
}

/// Sum of lines, draw by draw.
pub(super) fn totals(lines: &[Line], seed: u64, draws: u64) -> Vec<f64> {
    let sums = Sums::new(lines);
    let mut totals = vec![0.0; draws as usize];
    fill_blocks(&sums, seed, &mut totals, |scratch, out| {
        sums.run(At::Drawn, Want::All, scratch, |_, _| {});
        out.copy_from_slice(&scratch.total);
    });
    totals
}

/// The same for one of many sums of lines that differ little; always with the same seed and number of
/// draws.
pub fn totals_of(lines: &[Line], seed: u64, draws: u64, kept: &mut Kept) -> Vec<f64> {
    let sums = Sums::new(lines);
    let mut scratch = Scratch::default();
    sums.draw_kept(seed, draws as usize, kept, &mut scratch);
    sums.run(At::Drawn, Want::All, &mut scratch, |_, _| {});
    scratch.total
}

/// An input draw by draw.
pub fn series<Q: Quantity>(value: &Value<Q>, seed: u64, draws: u64) -> Vec<f64> {
    if value.spread == Spread::None {
        return vec![value.likely.base(); draws as usize];
    }
    let plain = value.in_base_units();
    let (stream, group) = (Stream::of(value), Stream::of(value).common());
    let mut numbers = vec![0.0; draws as usize];
    let (mut common, mut uniforms) = (Vec::new(), [0.0; BLOCK]);
    for (block, out) in numbers.chunks_mut(BLOCK).enumerate() {
        let first = block as u64 * DRAW_BLOCK;
        if let Some(group) = group {
            common.resize(out.len(), 0.0);
            group.fill(seed, first, &mut common);
        }
        let us = &mut uniforms[..out.len()];
        stream.fill(seed, first, &common, us);
        plain.spread.quantiles(us, plain.likely.base(), out);
    }
    numbers
}

/// Draws the sum of the lines and compares it with the budget.
pub fn draw(lines: &[Line], budget: &Value<Money>, seed: u64, draws: u64) -> AllIn {
    draw_against(lines, Arc::new(series(budget, seed, draws)), seed)
}

/// The same with the budget drawn already.
pub fn draw_against(lines: &[Line], budgets: Arc<Vec<f64>>, seed: u64) -> AllIn {
    let draws = budgets.len() as u64;
    let sums = Sums::new(lines);
    let closed: Vec<Option<[f64; 3]>> = (0..lines.len()).map(|l| sums.closed_form(l)).collect();
    // Only lines in which several uncertain numbers play together are kept draw by draw.
    let mut kept = 0;
    let columns: Vec<Option<usize>> = closed
        .iter()
        .map(|figures| {
            let at = figures.is_none().then_some(kept);
            kept += usize::from(figures.is_none());
            at
        })
        .collect();
    let mut totals = vec![0.0; draws as usize];
    // One spare number a block stands where no line is kept.
    let mut amounts = vec![0.0; (draws as usize).div_ceil(BLOCK).max(kept * draws as usize)];
    let figures: Vec<BlockFigures> = totals
        .par_chunks_mut(BLOCK)
        .zip(budgets.par_chunks(BLOCK))
        .zip(amounts.par_chunks_mut((kept * BLOCK).max(1)))
        .enumerate()
        .map_init(
            || (Scratch::default(), Vec::new()),
            |(scratch, room), (block, ((totals, budgets), amounts))| {
                let count = totals.len();
                sums.draw(seed, block as u64 * DRAW_BLOCK, count, scratch);
                sums.run(At::Drawn, Want::All, scratch, |line, column| {
                    if let Some(at) = columns[line] {
                        amounts[at * count..(at + 1) * count].copy_from_slice(column);
                    }
                });
                totals.copy_from_slice(&scratch.total);
                BlockFigures::of(totals, budgets, room)
            },
        )
        .collect();
    let mut scratch = Scratch::default();
    let mut likely = vec![0.0; lines.len()];
    sums.run(At::Likely, Want::All, &mut scratch, |line, column| {
        likely[line] = column[0]
    });
    let summaries = (0..lines.len())
        .map(|line| {
            let figures = closed[line].unwrap_or_else(|| {
                let at = columns[line].unwrap_or(0);
                let pieces: Vec<&[f64]> = amounts
                    .chunks(kept * BLOCK)
                    .map(|block| {
                        let count = block.len() / kept;
                        &block[at * count..(at + 1) * count]
                    })
                    .collect();
                let [low, high] = percentiles_of(&pieces, [0.1, 0.9]);
                [low, high, mean_of(&pieces)]
            });
            summary(&lines[line], likely[line], figures)
        })
        .collect();
    let whole = (draws / DRAW_BLOCK) as usize;
    AllIn {
        percentiles: percentiles(&totals),
        likely: Money::amount(likely.iter().sum()),
        over_budget_chance: over_share(&totals, &budgets),
        errors: errors(&figures[..whole]),
        lines: summaries,
        totals: Arc::new(totals),
        budgets,
    }
}

fn summary(line: &Line, likely: f64, [low, high, mean]: [f64; 3]) -> LineSummary {
    LineSummary {
        name: line.name.clone(),
        low: Money::amount(low),
        likely: Money::amount(likely),
        high: Money::amount(high),
        mean: Money::amount(mean),
        chance: line.chance(),
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
