//! What it is worth to learn an uncertain input before choosing.
//!
//! With perfect knowledge of input x one would take, for each x, the choice with the best mean
//! benefit given x; without it, the choice with the best mean over all x. The difference of the
//! means is the (partial) value of perfect information. The mean given x is estimated from the
//! common draws by regression (Strong, Oakley and Brennan, Estimating multiparameter partial
//! expected value of perfect information from a probabilistic sensitivity analysis sample,
//! Medical Decision Making 34(3), 2014), its standard error and bias from the sampling error of
//! the regression's coefficients, as there.

mod basis;
mod noise;

use basis::Basis;
use nalgebra::{Cholesky, DMatrix};
use noise::Noise;
use std::sync::Arc;

/// Value of learning one input.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Information {
    /// Value, in the unit of the benefits, less the estimated bias; below zero only by the error.
    pub worth: f64,
    /// Standard error.
    pub error: f64,
}

/// Value of learning the input whose uniform numbers are `uniforms`, for choosing among rows of
/// `benefits` (one row a choice, one column a draw). At `breaks` (shares of the input's draws) the
/// benefits may jump. `None` when there is nothing to choose or too little to regress on.
pub fn information(
    uniforms: &[f64],
    breaks: &[f64],
    benefits: &[Vec<f64>],
    seed: u64,
) -> Option<Information> {
    Choices::of(benefits, seed)?.learning(uniforms, breaks, Told::Always)
}

/// Value of learning several inputs at once, of which `columns` holds functions draw by draw: the
/// mean given all of them is a sum of multiples of these and a constant. The draws of the first
/// blocks stand for all. `None` as above.
pub fn information_of(
    columns: &[Vec<f64>],
    benefits: &[Vec<f64>],
    seed: u64,
) -> Option<Information> {
    Choices::of(benefits, seed)?.learning_all(columns)
}

/// Which worths are wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Told {
    /// All, with their errors.
    Always,
    /// Only those above zero. Where one choice is the best whatever the input, the worth is at most
    /// zero: it is twice the gain found less the mean gain of the samples, and no gain is below zero.
    WhenWorth,
}

/// What the worths of many inputs share: the benefits of the choices, and the noise of the samples.
pub(super) struct Choices {
    /// A row a draw, a column a choice.
    benefits: DMatrix<f64>,
    noise: Noise,
}

impl Choices {
    /// Rows of benefits as above; `None` when there is nothing to choose, or they differ in length.
    pub(super) fn of(benefits: &[Vec<f64>], seed: u64) -> Option<Self> {
        let draws = benefits.first()?.len();
        if benefits.len() < 2 || benefits.iter().any(|row| row.len() != draws) {
            return None;
        }
        Some(Self {
            benefits: DMatrix::from_fn(draws, benefits.len(), |i, d| benefits[d][i]),
            noise: Noise::of(benefits.len(), seed),
        })
    }

    /// [`information`].
    pub(super) fn learning(
        &self,
        uniforms: &[f64],
        breaks: &[f64],
        told: Told,
    ) -> Option<Information> {
        let basis = Basis::new(breaks);
        let (draws, terms) = (uniforms.len(), basis.terms());
        if draws < 10 * terms || self.benefits.nrows() != draws {
            return None;
        }
        let design = DMatrix::from_fn(draws, terms, |i, k| basis.at(uniforms[i], k));
        // The input's share is uniform: a fine even grid stands for all draws.
        let grid = DMatrix::from_fn(GRID, terms, |i, k| {
            basis.at((i as f64 + 0.5) / GRID as f64, k)
        });
        self.estimate(&design, &grid, told)
    }

    /// [`information_of`].
    pub(super) fn learning_all(&self, columns: &[Vec<f64>]) -> Option<Information> {
        let (draws, terms) = (columns.first()?.len(), columns.len() + 1);
        let fits = columns.iter().all(|row| row.len() == draws);
        if draws < 10 * terms || !fits || self.benefits.nrows() != draws {
            return None;
        }
        let at = |i: usize, k: usize| match k {
            0 => 1.0,
            _ => columns[k - 1][i],
        };
        let design = DMatrix::from_fn(draws, terms, at);
        let grid = DMatrix::from_fn(draws.min(2 * GRID), terms, at);
        self.estimate(&design, &grid, Told::Always)
    }

    /// The estimate from a regression on `design` (a row a draw), the means compared over `grid`.
    fn estimate(
        &self,
        design: &DMatrix<f64>,
        grid: &DMatrix<f64>,
        told: Told,
    ) -> Option<Information> {
        let benefit = &self.benefits;
        let (draws, terms, choices) = (design.nrows(), design.ncols(), benefit.ncols());
        let normal = ridged(design.tr_mul(design));
        let factor = Cholesky::new(normal)?;
        let coefficients = factor.solve(&design.tr_mul(benefit));
        let residual = benefit - design * &coefficients;
        let scatter = residual.tr_mul(&residual) / (draws - terms) as f64;
        let mut room = Vec::new();
        let found = gain((grid * &coefficients).as_slice(), grid.nrows(), &mut room);
        if told == Told::WhenWorth && found <= 0.0 {
            return None;
        }

        // Coefficients scatter with covariance scatter (x) inverse(normal).
        let across = root(&scatter).transpose();
        let within = factor.l().transpose();
        let noise: Vec<Arc<[f64]>> = (0..terms).map(|term| self.noise.of_term(term)).collect();
        let mut sums = (0.0, 0.0);
        let mut sample = 0;
        while sample < SAMPLES {
            let count = side_by_side(choices).min(SAMPLES - sample);
            let mut others = DMatrix::zeros(terms, choices * count);
            for k in 0..count {
                let scores = DMatrix::from_fn(terms, choices, |term, choice| {
                    noise[term][choice * SAMPLES + sample + k]
                });
                let step = within.solve_upper_triangular(&scores)? * &across;
                others
                    .columns_mut(k * choices, choices)
                    .copy_from(&(&coefficients + step));
            }
            let means = grid * others;
            for means in means.as_slice().chunks(grid.nrows() * choices) {
                let other = gain(means, grid.nrows(), &mut room);
                sums = (sums.0 + other, sums.1 + other * other);
            }
            sample += count;
        }
        let n = SAMPLES as f64;
        let mean = sums.0 / n;
        let variance = (sums.1 - n * mean * mean).max(0.0) / (n - 1.0);
        // Noise makes the best of several look better than it is: the samples, one noise more than
        // the estimate, show by how much.
        Some(Information {
            worth: found - (mean - found),
            error: variance.sqrt(),
        })
    }
}

/// Samples whose means are worked out in one product. With few choices one at a time: products with
/// five columns or fewer are summed another way by the library, and one more choice must not change
/// how the others are rounded.
fn side_by_side(choices: usize) -> usize {
    if choices > 5 { 8 } else { 1 }
}

/// Places of the input at which the means are compared.
const GRID: usize = 512;

/// Samples of the coefficients: the standard error is then good to 1/sqrt(2 * 200) = 5 %.
const SAMPLES: usize = 200;

/// Mean of the best less best of the means, over the rows of a table, which is given column by column:
/// a column a choice.
fn gain(means: &[f64], rows: usize, best: &mut Vec<f64>) -> f64 {
    best.clear();
    best.resize(rows, f64::NEG_INFINITY);
    for column in means.chunks(rows) {
        for (best, mean) in best.iter_mut().zip(column) {
            *best = if *mean > *best { *mean } else { *best };
        }
    }
    let mut columns: Vec<&[f64]> = means.chunks(rows).collect();
    columns.push(best);
    let mut sums = Vec::with_capacity(columns.len() + 3);
    for four in columns.chunks(4) {
        let column = |k: usize| *four.get(k).unwrap_or(&four[0]);
        sums.extend(add_up([0, 1, 2, 3].map(column)));
    }
    let mean = |sum: &f64| sum / rows as f64;
    let (single, best) = sums[..columns.len()].split_at(columns.len() - 1);
    let single = single.iter().map(mean).fold(f64::NEG_INFINITY, f64::max);
    mean(&best[0]) - single
}

/// Sums of four columns, each added from its first number to its last: an addition waits for the one
/// before it, so four are done side by side.
fn add_up([a, b, c, d]: [&[f64]; 4]) -> [f64; 4] {
    let mut sums = [0.0; 4];
    for (((a, b), c), d) in a.iter().zip(b).zip(c).zip(d) {
        sums = [sums[0] + a, sums[1] + b, sums[2] + c, sums[3] + d];
    }
    sums
}

/// A hair on the diagonal, so that classes without draws do not stop the regression.
fn ridged(mut normal: DMatrix<f64>) -> DMatrix<f64> {
    let hair = 1e-9 * normal.trace().max(f64::MIN_POSITIVE) / normal.nrows() as f64;
    for k in 0..normal.nrows() {
        normal[(k, k)] += hair;
    }
    normal
}

/// Any square root of a covariance matrix, which need not have full rank.
fn root(covariance: &DMatrix<f64>) -> DMatrix<f64> {
    let eigen = covariance.clone().symmetric_eigen();
    let roots = eigen.eigenvalues.map(|v| v.max(0.0).sqrt());
    &eigen.eigenvectors * DMatrix::from_diagonal(&roots)
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::{Stream, normal_score, normal_share};

    fn stream(name: &str, seed: u64, draws: u64) -> Vec<f64> {
        let stream = Stream::named(name);
        (0..draws).map(|i| stream.uniform(seed, i)).collect()
    }

    /// Mean of max(0, m + s Z) less max(0, m) in closed form (Raiffa and Schlaifer, Applied
    /// Statistical Decision Theory, 1961: the unit normal loss).
    fn closed_form(mean: f64, sd: f64) -> f64 {
        let z = mean / sd;
        let density = (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt();
        mean * normal_share(z) + sd * density - mean.max(0.0)
    }

    #[test]
    fn two_choices_with_normal_benefit_meet_the_closed_form() {
        for (seed, mean, sd, noise) in [
            (1, 0.0, 1.0, 1.0),
            (2, -0.5, 1.0, 2.0),
            (3, 1.0, 0.7, 0.5),
            (4, -2.0, 1.0, 1.0),
            (5, 0.3, 5.0, 20.0),
        ] {
            let draws = 10_240;
            let known = stream("known", seed, draws);
            let rest = stream("rest", seed, draws);
            let benefit: Vec<f64> = known
                .iter()
                .zip(&rest)
                .map(|(k, r)| mean + sd * normal_score(*k) + noise * normal_score(*r))
                .collect();
            let benefits = vec![vec![0.0; draws as usize], benefit];
            let found = information(&known, &[], &benefits, seed).unwrap();
            let expected = closed_form(mean, sd);
            // Three standard errors, and what a spline cannot follow of the normal's far tails.
            let allowed = 3.0 * found.error + 2e-3 * sd;
            assert!(
                (found.worth - expected).abs() <= allowed,
                "{found:?} {expected}"
            );
            // What does not matter is worth nothing beyond its error.
            let other = stream("unrelated", seed, draws);
            let none = information(&other, &[], &benefits, seed).unwrap();
            assert!(none.worth.abs() <= 4.0 * none.error + 1e-9, "{none:?}");
        }
    }

    #[test]
    fn an_answer_that_flips_is_worth_what_enumeration_says() {
        // Choice 1 pays 10 when the input lies above 0.7, else -5; choice 0 pays nothing; choice 2
        // pays 1 less noise. Knowing the input: 0.3 * 10 + 0.7 * 1; not knowing: 1 (choice 1 means
        // 0.3 * 10 - 0.7 * 5 = -0.5). Worth 2.7.
        let draws = 10_240;
        let known = stream("flip", 9, draws);
        let noise = stream("noise", 9, draws);
        let one: Vec<f64> = known
            .iter()
            .map(|u| if *u >= 0.7 { 10.0 } else { -5.0 })
            .collect();
        let two: Vec<f64> = noise.iter().map(|u| 1.0 + (u - 0.5)).collect();
        let benefits = vec![vec![0.0; draws as usize], one, two];
        let found = information(&known, &[0.7], &benefits, 9).unwrap();
        assert!(
            (found.worth - 2.7).abs() <= 3.0 * found.error + 15.0 / GRID as f64,
            "{found:?}"
        );
    }

    #[test]
    fn three_choices_agree_with_nested_simulation() {
        // Benefits curved in the known input x and an unknown y: 0; x^2 - 0.6 + y; 0.8 x - 0.3 - y^2 / 2.
        let means = |x: f64, y: f64| [0.0, x * x - 0.6 + y, 0.8 * x - 0.3 - 0.5 * y * y];
        let draws = 10_240;
        let known = stream("x", 5, draws);
        let y = stream("y", 5, draws);
        let value = |u: f64| 2.0 * u - 1.0;
        let benefits: Vec<Vec<f64>> = (0..3)
            .map(|d| {
                let pairs = known.iter().zip(&y);
                pairs.map(|(x, y)| means(value(*x), value(*y))[d]).collect()
            })
            .collect();
        let found = information(&known, &[], &benefits, 5).unwrap();
        // Nested: for each x of a fine grid, the means over a fine grid of y.
        let n = 400;
        let grid = |i: i32| value((f64::from(i) + 0.5) / f64::from(n));
        let (mut best, mut all) = (0.0, [0.0; 3]);
        for i in 0..n {
            let mut mean = [0.0; 3];
            for j in 0..n {
                for (sum, b) in mean.iter_mut().zip(means(grid(i), grid(j))) {
                    *sum += b / f64::from(n);
                }
            }
            best += mean.iter().copied().fold(f64::MIN, f64::max) / f64::from(n);
            for (sum, b) in all.iter_mut().zip(mean) {
                *sum += b / f64::from(n);
            }
        }
        let nested = best - all.iter().copied().fold(f64::MIN, f64::max);
        assert!(
            (found.worth - nested).abs() <= 3.0 * found.error + 1e-3,
            "{found:?} {nested}"
        );
    }

    #[test]
    fn two_answers_at_once_are_worth_what_enumeration_says() {
        // Choice 1 pays 10 when both answers are good (0.6 * 0.5 = 0.3 of the draws), else -5; choice
        // 0 pays nothing. Knowing both: 0.3 * 10 = 3; knowing neither: 0 (choice 1 means -0.5). Worth
        // 3. The first alone: given a good one choice 1 means 0.5 * 10 - 0.5 * 5 = 2.5 in 0.6 of the
        // draws: worth 1.5.
        let draws = 10_240;
        let good = |name: &str, share: f64| -> Vec<f64> {
            let us = stream(name, 3, draws);
            us.iter().map(|u| f64::from(u8::from(*u < share))).collect()
        };
        let (a, b) = (good("a", 0.6), good("b", 0.5));
        let both: Vec<f64> = a.iter().zip(&b).map(|(a, b)| a * b).collect();
        let one: Vec<f64> = both.iter().map(|g| 15.0 * g - 5.0).collect();
        let benefits = vec![vec![0.0; draws as usize], one];
        let found = information_of(&[both], &benefits, 3).unwrap();
        assert!(
            (found.worth - 3.0).abs() <= 3.0 * found.error + 0.1,
            "{found:?}"
        );
        let found = information_of(&[a], &benefits, 3).unwrap();
        assert!(
            (found.worth - 1.5).abs() <= 3.0 * found.error + 0.1,
            "{found:?}"
        );
        assert_eq!(information_of(&[], &benefits, 3), None);
    }

    #[test]
    fn nothing_to_choose_is_no_answer() {
        let us = stream("x", 1, 1000);
        assert_eq!(information(&us, &[], &[vec![0.0; 1000]], 1), None);
        assert_eq!(
            information(&us[..20], &[], &vec![vec![0.0; 20]; 2], 1),
            None
        );
    }
}
