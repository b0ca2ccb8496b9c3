//! What the mean benefit given an input is made of.

/// Smooth functions of the input's share: a cubic spline, and a step at each break.
pub(super) struct Basis {
    breaks: Vec<f64>,
}

/// Inner knots of the spline: with 10,000 draws six inner knots follow any benefit that is smooth
/// in the input, and cost little noise.
const KNOTS: usize = 6;

impl Basis {
    /// Most steps taken: more would leave too few draws between two.
    const MOST_BREAKS: usize = 8;

    pub(super) fn new(breaks: &[f64]) -> Self {
        let mut breaks: Vec<f64> = breaks
            .iter()
            .copied()
            .filter(|b| *b > 0.0 && *b < 1.0)
            .collect();
        breaks.sort_by(f64::total_cmp);
        breaks.dedup();
        breaks.truncate(Self::MOST_BREAKS);
        Self { breaks }
    }

    pub(super) fn terms(&self) -> usize {
        4 + KNOTS + self.breaks.len()
    }

    pub(super) fn at(&self, share: f64, term: usize) -> f64 {
        let x = 2.0 * share - 1.0;
        match term {
            // Legendre polynomials: nearly orthogonal over evenly spread draws.
            0 => 1.0,
            1 => x,
            2 => 1.5 * x * x - 0.5,
            3 => 2.5 * x * x * x - 1.5 * x,
            _ if term < 4 + KNOTS => {
                let knot = (term - 3) as f64 / (KNOTS + 1) as f64;
                8.0 * (share - knot).max(0.0).powi(3)
            }
            _ => f64::from(u8::from(share >= self.breaks[term - 4 - KNOTS])),
        }
    }
}
