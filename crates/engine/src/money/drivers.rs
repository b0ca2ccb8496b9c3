//! Which inputs move a sum of lines, and by how much: the tornado, and each input's share of the
//! variance.

use super::line::Line;
use super::sums::{At, Scratch, Sums, Want};
use rayon::prelude::*;
use serde::Serialize;
use units::{DRAW_BLOCK, InputId, Money};

/// What one input does to a sum.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Driver {
    /// Name of the input.
    pub input: InputId,
    /// The sum with this input at its tenth percentile, all others at their best single values;
    /// without it, where it happens or does not.
    pub at_low: Money,
    /// The same at its ninetieth; with it.
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
    let mut scratch = Scratch::default();
    let mut at = |at: At| {
        sums.run(at, Want::All, &mut scratch, |_, _| {});
        scratch.total[0]
    };
    let likely = at(At::Likely);
    let moving: Vec<(usize, InputId, [f64; 2])> = sums
        .inputs()
        .enumerate()
        .filter_map(|(input, id)| {
            // What happens or does not is looked at both ways, however small its chance.
            let shares = if sums.happens(input) {
                [0.0, 1.0]
            } else {
                [0.1, 0.9]
            };
            let ends = shares.map(|share| at(At::LikelyBut { input, share }));
            (ends[0] != ends[1]).then(|| (input, id.clone(), ends))
        })
        .collect();
    let starts: Vec<u64> = (0..draws).step_by(DRAW_BLOCK as usize).collect();
    let blocks: Vec<Vec<Classes>> = starts
        .into_par_iter()
        .map_init(Scratch::default, |scratch, first| {
            let count = (draws - first).min(DRAW_BLOCK) as usize;
            sums.draw(seed, first, count, scratch);
            sums.run(At::Drawn, Want::All, scratch, |_, _| {});
            let of = |(input, _, _): &(usize, InputId, [f64; 2])| {
                Classes::of(&scratch.uniforms[*input], &scratch.total, likely)
            };
            moving.iter().map(of).collect()
        })
        .collect();
    let mut drivers: Vec<Driver> = moving
        .into_iter()
        .enumerate()
        .map(|(k, (_, input, [at_low, at_high]))| Driver {
            input,
            at_low: Money::amount(at_low),
            at_high: Money::amount(at_high),
            variance_share: Classes::joined(blocks.iter().map(|b| &b[k])).variance_share(),
        })
        .collect();
    drivers.sort_by(|a, b| {
        b.variance_share
            .total_cmp(&a.variance_share)
            .then_with(|| a.input.cmp(&b.input))
    });
    drivers
}

/// Sums over the draws, by the class of the input's uniform number, less a constant near the mean so
/// that no digits are lost.
#[derive(Clone, Copy)]
struct Classes {
    count: [f64; CLASSES],
    sum: [f64; CLASSES],
    squares: f64,
}

impl Classes {
    const NONE: Self = Self {
        count: [0.0; CLASSES],
        sum: [0.0; CLASSES],
        squares: 0.0,
    };

    fn of(uniforms: &[f64], totals: &[f64], near: f64) -> Self {
        let mut classes = Self::NONE;
        for (u, total) in uniforms.iter().zip(totals) {
            let class = ((u * CLASSES as f64) as usize).min(CLASSES - 1);
            let off = total - near;
            classes.count[class] += 1.0;
            classes.sum[class] += off;
            classes.squares += off * off;
        }
        classes
    }

    /// All blocks together, in their order.
    fn joined<'a>(blocks: impl Iterator<Item = &'a Self>) -> Self {
        blocks.fold(Self::NONE, |mut all, block| {
            for (sum, more) in all.count.iter_mut().zip(&block.count) {
                *sum += more;
            }
            for (sum, more) in all.sum.iter_mut().zip(&block.sum) {
                *sum += more;
            }
            all.squares += block.squares;
            all
        })
    }

    /// Share of the variance between classes of the input, less what chance alone would put there
    /// (analysis of variance of one factor with random effects: epsilon squared, Kelley 1935).
    fn variance_share(&self) -> f64 {
        let n: f64 = self.count.iter().sum();
        let mean = self.sum.iter().sum::<f64>() / n.max(1.0);
        let all = self.squares - n * mean * mean;
        let used = self.count.iter().filter(|n| **n > 0.0).count() as f64;
        let between: f64 = self
            .count
            .iter()
            .zip(&self.sum)
            .filter(|(n, _)| **n > 0.0)
            .map(|(n, s)| (s - n * mean).powi(2) / n)
            .sum();
        if all <= 0.0 || n <= used {
            return 0.0;
        }
        let within = (all - between) / (n - used);
        ((between - (used - 1.0) * within) / all).clamp(0.0, 1.0)
    }
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
        let unrelated: Vec<f64> = (0..4096).map(|i| (f64::from(i) + 0.5) / 4096.0).collect();
        let share = |us: &[f64], totals: &[f64]| Classes::of(us, totals, 500.0).variance_share();
        assert!(share(&unrelated, &totals) < 4.0 / 64.0 / 8.0);
        assert_eq!(share(&[0.5], &[1.0]), 0.0);
    }
}
