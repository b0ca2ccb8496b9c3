//! Sums that do not lose small terms beside large ones.

/// Running sum with a correction term (Neumaier's variant of Kahan summation; A. Neumaier,
/// "Rundungsfehleranalyse einiger Verfahren zur Summation endlicher Summen", ZAMM 54, 1974).
#[derive(Clone, Copy, Debug, Default)]
pub struct Sum {
    sum: f64,
    correction: f64,
}

impl Sum {
    /// Adds one term.
    pub fn add(&mut self, term: f64) {
        let next = self.sum + term;
        if self.sum.abs() >= term.abs() {
            self.correction += (self.sum - next) + term;
        } else {
            self.correction += (term - next) + self.sum;
        }
        self.sum = next;
    }

    /// The sum so far.
    pub fn value(&self) -> f64 {
        self.sum + self.correction
    }
}

impl FromIterator<f64> for Sum {
    fn from_iter<I: IntoIterator<Item = f64>>(terms: I) -> Sum {
        let mut sum = Sum::default();
        terms.into_iter().for_each(|t| sum.add(t));
        sum
    }
}
