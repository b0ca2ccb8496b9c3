//! How uncertain a number is, and the quantile that turns a uniform draw into a value.

use crate::{Number, Quantity};

/// How far a number may be off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spread<Q> {
    /// Taken as exact.
    None,
    /// Anywhere between two values, none more likely than another.
    Range {
        /// Least.
        low: Q,
        /// Greatest.
        high: Q,
    },
    /// Triangular: least, most likely, greatest.
    LowLikelyHigh {
        /// Least.
        low: Q,
        /// Most likely.
        likely: Q,
        /// Greatest.
        high: Q,
    },
}

impl<Q: Quantity> Spread<Q> {
    /// The value below which a share `u` (0..1) of the draws lies; `central` when there is none.
    pub fn quantile(&self, u: f64, central: Q) -> Q {
        match *self {
            Spread::None => central,
            Spread::Range { low, high } => {
                Q::from_base(low.base() + u * (high.base() - low.base()))
            }
            Spread::LowLikelyHigh { low, likely, high } => Q::from_base(triangular_quantile(
                u,
                low.base(),
                likely.base(),
                high.base(),
            )),
        }
    }

    /// Mean of the spread; `central` when there is none.
    pub fn mean(&self, central: Q) -> Q {
        match *self {
            Spread::None => central,
            Spread::Range { low, high } => Q::from_base(0.5 * (low.base() + high.base())),
            Spread::LowLikelyHigh { low, likely, high } => {
                Q::from_base((low.base() + likely.base() + high.base()) / 3.0)
            }
        }
    }

    /// Least and greatest; twice `central` when there is no spread.
    pub fn ends(&self, central: Q) -> (Q, Q) {
        match *self {
            Spread::None => (central, central),
            Spread::Range { low, high } | Spread::LowLikelyHigh { low, high, .. } => (low, high),
        }
    }
}

impl<Q: Quantity> Spread<Q> {
    /// The same spread of plain numbers of base units.
    pub fn in_base_units(&self) -> Spread<Number> {
        let plain = |q: Q| Number::from_base(q.base());
        match *self {
            Spread::None => Spread::None,
            Spread::Range { low, high } => Spread::Range {
                low: plain(low),
                high: plain(high),
            },
            Spread::LowLikelyHigh { low, likely, high } => Spread::LowLikelyHigh {
                low: plain(low),
                likely: plain(likely),
                high: plain(high),
            },
        }
    }
}

/// Inverse of the triangular distribution function (low <= likely <= high).
fn triangular_quantile(u: f64, low: f64, likely: f64, high: f64) -> f64 {
    let span = high - low;
    if span <= 0.0 {
        return likely;
    }
    let turn = (likely - low) / span;
    if u < turn {
        low + (u * span * (likely - low)).sqrt()
    } else {
        high - ((1.0 - u) * span * (high - likely)).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Length;

    #[test]
    fn quantiles_meet_the_closed_form() {
        let s = Spread::LowLikelyHigh {
            low: Length::mm(0.0),
            likely: Length::mm(1.0),
            high: Length::mm(4.0),
        };
        // F(likely) = (likely - low) / (high - low) = 1/4.
        assert!((s.quantile(0.25, Length::ZERO).to_mm() - 1.0).abs() < 1e-12);
        assert_eq!(s.quantile(0.0, Length::ZERO), Length::mm(0.0));
        assert_eq!(s.quantile(1.0, Length::ZERO), Length::mm(4.0));
        assert!((s.mean(Length::ZERO).to_mm() - 5.0 / 3.0).abs() < 1e-12);
    }

    #[test]
    fn quantile_mean_agrees_with_mean() {
        let s = Spread::LowLikelyHigh {
            low: Length::mm(2.0),
            likely: Length::mm(3.0),
            high: Length::mm(9.0),
        };
        let n = 20_000;
        let sum: f64 = (0..n)
            .map(|i| {
                s.quantile((i as f64 + 0.5) / n as f64, Length::ZERO)
                    .to_mm()
            })
            .sum();
        // Midpoint rule on a bounded quantile: error below the span over n.
        assert!((sum / n as f64 - 14.0 / 3.0).abs() < 7.0 / n as f64);
    }
}
