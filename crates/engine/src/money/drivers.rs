//! Which inputs move a sum of lines, and by how much: the tornado, and each input's share of the
//! variance.

use super::all_in::in_blocks;
use super::line::Line;
use super::sums::{At, Sums};
use rayon::prelude::*;
use serde::Serialize;
use units::{InputId, Money};

/// What one input does to a sum.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Driver {
    /// Name of the input.
    pub input: InputId,
    /// The sum with this input at its tenth percentile, all others at their best single values.
    pub at_low: Money,
    /// The same at its ninetieth.
    pub at_high: Money,
    /// Share of the sum's variance the input accounts for alone, 0 to 1: the first-order index
    /// Var(E(sum | input)) / Var(sum). Inputs that move together each carry what they share, so
    /// shares may add to more than 1.
    pub variance_share: f64,
}

/// Classes an input's draws are sorted into to estimate the mean given the input. The bias of few
/// classes falls with their square and is below 0.1 % of the variance at 32 for a straight line;
/// the noise of many is taken off below.
const CLASSES: usize = 32;

/// Drivers of a sum, the one with the greatest share first. Inputs that do not move it are left
/// out.
pub fn drivers(lines: &[Line], seed: u64, draws: u64) -> Vec<Driver> {
    let sums = Sums::new(lines);
    let blocks = in_blocks(draws, |first, count| {
        let uniforms = sums.uniforms(seed, first, count);
        let totals = sums.block(At::Uniform(&uniforms), count).totals();
        (uniforms, totals)
    });
    let totals: Vec<f64> = blocks.iter().flat_map(|(_, t)| t).copied().collect();
    let inputs: Vec<&InputId> = sums.inputs().collect();
    let mut drivers: Vec<Driver> = inputs
        .par_iter()
        .enumerate()
        .filter_map(|(input, id)| {
            let at = |share| {
                let block = sums.block(At::LikelyBut { input, share }, 1);
                block.totals().iter().sum::<f64>()
            };
            let (at_low, at_high) = (at(0.1), at(0.9));
            if at_low == at_high {
                return None;
            }
            let uniforms = blocks.iter().flat_map(|(u, _)| &u[input]).copied();
            Some(Driver {
                input: (*id).clone(),
                at_low: Money::amount(at_low),
                at_high: Money::amount(at_high),
                variance_share: variance_share(uniforms, &totals),
            })
        })
        .collect();
    drivers.sort_by(|a, b| {
        b.variance_share
            .total_cmp(&a.variance_share)
            .then_with(|| a.input.cmp(&b.input))
    });
    drivers
}

/// Share of the variance between classes of the input, less what chance alone would put there
/// (analysis of variance of one factor with random effects: epsilon squared, Kelley 1935).
fn variance_share(uniforms: impl Iterator<Item = f64>, totals: &[f64]) -> f64 {
    let (mut count, mut sum) = ([0.0; CLASSES], [0.0; CLASSES]);
    let mean = totals.iter().sum::<f64>() / totals.len().max(1) as f64;
    let mut all = 0.0;
    for (u, total) in uniforms.zip(totals) {
        let class = ((u * CLASSES as f64) as usize).min(CLASSES - 1);
        count[class] += 1.0;
        sum[class] += total - mean;
        all += (total - mean).powi(2);
    }
    let used = count.iter().filter(|n| **n > 0.0).count();
    let between: f64 = count
        .iter()
        .zip(&sum)
        .filter(|(n, _)| **n > 0.0)
        .map(|(n, s)| s * s / n)
        .sum();
    if all <= 0.0 || totals.len() <= used {
        return 0.0;
    }
    let within = (all - between) / (totals.len() - used) as f64;
    ((between - (used - 1) as f64 * within) / all).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::Value;

    fn triangle(id: &str, low: f64, likely: f64, high: f64) -> Line {
        let [low, likely, high] = [low, likely, high].map(Money::amount);
        Line::fixed(id, Value::assumed(id, low, likely, high, "test"), "")
    }

    #[test]
    fn shares_of_a_sum_of_independent_triangles_are_those_of_their_variances() {
        // Variance of a triangle: (a^2 + m^2 + b^2 - am - ab - mb) / 18.
        let rows = [(0.0, 10.0, 40.0), (5.0, 6.0, 9.0), (100.0, 120.0, 125.0)];
        let variance = rows.map(|(a, m, b)| (a * a + m * m + b * b - a * m - a * b - m * b) / 18.0);
        let all: f64 = variance.iter().sum();
        let lines: Vec<Line> = rows
            .iter()
            .enumerate()
            .map(|(i, (a, m, b))| triangle(&format!("row {i}"), *a, *m, *b))
            .collect();
        let draws = 10_240;
        let found = drivers(&lines, 4, draws);
        for (i, variance) in variance.iter().enumerate() {
            let id = format!("row {i}");
            let driver = found.iter().find(|d| d.input.0 == id).unwrap();
            // Standard error of a first-order index: about 1/sqrt(n); four of them.
            let error = 4.0 / (draws as f64).sqrt();
            assert!(
                (driver.variance_share - variance / all).abs() < error,
                "{driver:?}"
            );
        }
        assert_eq!(found[0].input.0, "row 0");
        // Quantiles of the triangle 0, 10, 40: sqrt(0.1 * 40 * 10), 40 - sqrt(0.1 * 40 * 30).
        let first = &found[0];
        let rest = 6.0 + 120.0;
        assert!((first.at_low.to_amount() - rest - 40.0f64.sqrt()).abs() < 1e-9);
        assert!((first.at_high.to_amount() - rest - (40.0 - 120.0f64.sqrt())).abs() < 1e-9);
    }

    #[test]
    fn an_input_without_effect_has_no_share() {
        let totals: Vec<f64> = (0..4096)
            .map(|i| f64::from((i64::from(i) * 2_654_435 % 1009) as i32))
            .collect();
        let unrelated = (0..4096).map(|i| (f64::from(i) + 0.5) / 4096.0);
        assert!(variance_share(unrelated, &totals) < 4.0 / 64.0 / 8.0);
        assert_eq!(variance_share([0.5].into_iter(), &[1.0]), 0.0);
    }
}
