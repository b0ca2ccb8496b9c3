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
    /// One of two values: what happens, or does not.
    Either {
        /// The value when it does not happen.
        less: Q,
        /// The value when it happens, no less.
        more: Q,
        /// Chance that it happens, 0..=1.
        chance: f64,
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
            Spread::Either { less, more, chance } => {
                if u >= 1.0 - chance {
                    more
                } else {
                    less
                }
            }
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
            Spread::Either { less, more, chance } => {
                Q::from_base(less.base() + chance * (more.base() - less.base()))
            }
        }
    }

    /// Least and greatest; twice `central` when there is no spread.
    pub fn ends(&self, central: Q) -> (Q, Q) {
        match *self {
            Spread::None => (central, central),
            Spread::Range { low, high } | Spread::LowLikelyHigh { low, high, .. } => (low, high),
            Spread::Either { less, more, .. } => (less, more),
        }
    }

    /// The same spread of plain numbers of base units.
    pub fn in_base_units(&self) -> Spread<Number> {
        self.map(|q| Number::from_base(q.base()))
    }
}

impl<Q: Copy> Spread<Q> {
    /// The spread of what each value becomes; `to` must not fall.
    pub fn map<R>(&self, to: impl Fn(Q) -> R) -> Spread<R> {
        match *self {
            Spread::None => Spread::None,
            Spread::Range { low, high } => Spread::Range {
                low: to(low),
                high: to(high),
            },
            Spread::LowLikelyHigh { low, likely, high } => Spread::LowLikelyHigh {
                low: to(low),
                likely: to(likely),
                high: to(high),
            },
            Spread::Either { less, more, chance } => Spread::Either {
                less: to(less),
                more: to(more),
                chance,
            },
        }
    }
}

impl Spread<Number> {
    /// [`Spread::quantile`] of many shares at once; `us` may be empty where there is no spread.
    pub fn quantiles(&self, us: &[f64], central: f64, out: &mut [f64]) {
        match *self {
            Spread::None => out.fill(central),
            Spread::Range { low, high } => {
                let (low, span) = (low.base(), high.base() - low.base());
                for (value, u) in out.iter_mut().zip(us) {
                    *value = low + u * span;
                }
            }
            Spread::LowLikelyHigh { low, likely, high } => {
                let (low, likely, high) = (low.base(), likely.base(), high.base());
                let span = high - low;
                if span <= 0.0 {
                    out.fill(likely);
                    return;
                }
                let turn = (likely - low) / span;
                let (rise, fall) = (span * (likely - low), span * (high - likely));
                // Both sides share one root, so that the loop has no branch.
                for (value, u) in out.iter_mut().zip(us) {
                    let below = *u < turn;
                    let (share, by) = if below { (*u, rise) } else { (1.0 - u, fall) };
                    let root = (share * by).sqrt();
                    *value = if below { low + root } else { high - root };
                }
            }
            Spread::Either { less, more, chance } => {
                let (less, more, from) = (less.base(), more.base(), 1.0 - chance);
                for (value, u) in out.iter_mut().zip(us) {
                    *value = if *u >= from { more } else { less };
                }
            }
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
        low + (u * (span * (likely - low))).sqrt()
    } else {
        high - ((1.0 - u) * (span * (high - likely))).sqrt()
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

    #[test]
    fn many_quantiles_are_each_of_them() {
        let number = Number::from_base;
        let [low, likely, high] = [2.0, 3.0, 9.0].map(number);
        let us: Vec<f64> = (0..=100).map(|i| f64::from(i) / 100.0).collect();
        for spread in [
            Spread::None,
            Spread::Range { low, high },
            Spread::LowLikelyHigh { low, likely, high },
            Spread::Either {
                less: low,
                more: high,
                chance: 0.3,
            },
        ] {
            let mut out = vec![0.0; us.len()];
            spread.quantiles(&us, 3.5, &mut out);
            for (u, value) in us.iter().zip(out) {
                assert_eq!(value, spread.quantile(*u, number(3.5)).base());
            }
        }
    }

    #[test]
    fn what_happens_does_so_in_its_share_of_the_draws() {
        let number = Number::from_base;
        for (chance, of_hundred) in [(0.0, 0), (0.3, 30), (1.0, 100)] {
            let spread = Spread::Either {
                less: number(0.0),
                more: number(1.0),
                chance,
            };
            let happens = |k: &i32| {
                let u = (f64::from(*k) + 0.5) / 100.0;
                spread.quantile(u, number(0.0)).base() == 1.0
            };
            assert_eq!((0..100).filter(happens).count(), of_hundred);
            assert_eq!(spread.mean(number(0.0)).base(), chance);
        }
    }
}
