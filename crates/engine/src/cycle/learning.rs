//! Learning curves, both models by name: they differ by a quarter over fifteen units.

/// Exponent of a curve that falls to `rate` with every doubling.
fn exponent(rate: f64) -> f64 {
    rate.clamp(0.01, 1.0).log2()
}

/// Wright's model: mean of the first `units`, the first taking `first`.
pub fn cumulative_average(first: f64, rate: f64, units: f64) -> f64 {
    first * units.max(1.0).powf(exponent(rate))
}

/// Crawford's model: the unit numbered `unit`, the first taking `first`.
pub fn unit_time(first: f64, rate: f64, unit: f64) -> f64 {
    first * unit.max(1.0).powf(exponent(rate))
}

/// How many times the practised time the first `units` take on average, when the mean is the
/// practised time from `practised_after` units on (Wright's model up to there).
pub fn first_year_factor(rate: f64, practised_after: f64, units: f64) -> f64 {
    let practised_after = practised_after.max(1.0);
    let units = units.max(1.0);
    let early = units.min(practised_after);
    let mean_of_early = (early / practised_after).powf(exponent(rate));
    (mean_of_early * early + (units - early)) / units
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn t10_12_wright_at_eighty_per_cent() {
        // Training text p.324 (flipbuilder): averages 80, 64, 51.2, 40.96; totals 160, 256, 409.6,
        // 655.36; blocks 60, 96, 153.6. Its last block, 254.76, is a digit swap: 655.36 - 409.6 is
        // 245.76, as its own 30.72 each says.
        let mean = |n: f64| cumulative_average(100.0, 0.8, n);
        for (n, average, total) in [
            (2.0, 80.0, 160.0),
            (4.0, 64.0, 256.0),
            (8.0, 51.2, 409.6),
            (16.0, 40.96, 655.36),
        ] {
            assert!((mean(n) - average).abs() < 1e-9);
            assert!((mean(n) * n - total).abs() < 1e-9);
        }
        for (from, to, block) in [
            (1.0, 2.0, 60.0),
            (2.0, 4.0, 96.0),
            (4.0, 8.0, 153.6),
            (8.0, 16.0, 245.76),
        ] {
            assert!((mean(to) * to - mean(from) * from - block).abs() < 1e-9);
        }
    }

    #[test]
    fn t10_14_the_two_models_differ() {
        // solutioninn.com 1496212, our evaluation: 85 %, first 250 h, 15 units: cumulative average
        // 132.5 h and 1987 h in all; unit time 132.5 h for the 15th and 2465 h in all.
        let average = cumulative_average(250.0, 0.85, 15.0);
        assert!((average - 132.49).abs() < 5e-3 && (average * 15.0 - 1987.4).abs() < 0.05);
        let total: f64 = (1..=15).map(|n| unit_time(250.0, 0.85, f64::from(n))).sum();
        assert!((unit_time(250.0, 0.85, 15.0) - 132.49).abs() < 5e-3);
        assert!((total - 2465.3).abs() < 0.05);
    }

    #[test]
    fn the_first_year_is_never_quicker_than_practice_and_fades() {
        assert_eq!(first_year_factor(0.9, 30.0, 30.0), 1.0);
        let few = first_year_factor(0.9, 30.0, 4.0);
        // 30 is 2.9 doublings of 4.
        assert!((few - 0.9f64.powf(-(30.0f64 / 4.0).log2())).abs() < 1e-12);
        assert!(first_year_factor(0.9, 30.0, 1.0) > few);
        assert_eq!(first_year_factor(0.9, 30.0, 500.0), 1.0);
    }
}
