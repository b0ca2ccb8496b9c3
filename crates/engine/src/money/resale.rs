//! What a machine is sold for when its years are over.

use units::{InputId, Number, Origin, Spread, Value};

const SOURCE: &str = "15 to 20 % lost in a new machine's first year, then 8 to 12 % a year (lukesappraisals.com, 1 June 2026); middles are ours";

/// Shares of its value a new machine loses in its first year, and any machine in each later year.
pub(super) fn losses(offer: &str) -> [Value<Number>; 2] {
    let of = |name: &str, [low, likely, high]: [f64; 3]| Value {
        id: InputId(format!("offers/{offer}/resale/{name}")),
        likely: Number::of(likely),
        spread: Spread::LowLikelyHigh {
            low: Number::of(low),
            likely: Number::of(likely),
            high: Number::of(high),
        },
        origin: Origin::Assumed {
            source: SOURCE.to_owned(),
        },
        group: None,
    };
    [
        of("first_year_loss", [0.15, 0.175, 0.20]),
        of("yearly_loss", [0.08, 0.10, 0.12]),
    ]
}

/// The path of a machine's value, draw by draw.
pub(super) enum Resale {
    /// As somebody states it, for the end of the horizon.
    Stated(Vec<f64>),
    /// By shares lost.
    Path {
        /// In the first year, of a machine bought new.
        first: Option<Vec<f64>>,
        /// In each other year.
        each: Vec<f64>,
    },
}

impl Resale {
    /// What is got after so many years for what cost so much.
    pub fn at(&self, draw: usize, price: f64, years: f64) -> f64 {
        match self {
            Resale::Stated(amount) => amount[draw],
            Resale::Path { first, each } => {
                let first = first.as_ref().map(|f| f[draw]);
                price * left_after(first, each[draw], years)
            }
        }
    }
}

/// Share of the price left after so many years.
fn left_after(first: Option<f64>, each: f64, years: f64) -> f64 {
    match first {
        Some(first) if years <= 1.0 => 1.0 - first * years.max(0.0),
        Some(first) => (1.0 - first) * (1.0 - each).powf(years - 1.0),
        None => (1.0 - each).powf(years.max(0.0)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_machine_follows_the_published_mid_values() {
        // lukesappraisals.com mid-values: 82.5, 66.8, 54.1, 43.8 % after 1, 3, 5, 7 years.
        for (years, left) in [(1.0, 0.825), (3.0, 0.668), (5.0, 0.541), (7.0, 0.438)] {
            let found = left_after(Some(0.175), 0.10, years);
            assert!((found - left).abs() <= 5e-4, "{years}");
        }
        assert_eq!(left_after(Some(0.175), 0.10, 0.0), 1.0);
        // Who buys used has not that first year to pay.
        assert!((left_after(None, 0.10, 2.0) - 0.81).abs() < 1e-12);
    }
}
