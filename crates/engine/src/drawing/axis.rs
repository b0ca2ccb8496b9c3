//! A numbered axis: round steps, and where a value falls on the paper.

/// A straight scale from values to millimetres of paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Axis {
    from: f64,
    to: f64,
    start_mm: f64,
    end_mm: f64,
    step: f64,
}

/// Distance of ticks that leaves their numbers room.
const TICK_ROOM_MM: f64 = 22.0;

impl Axis {
    /// An axis that shows all values, from `start_mm` to `end_mm` on the paper, its ends on round
    /// numbers. Zero is shown when `with_zero`. Values that are no numbers are left out.
    pub fn new(
        values: impl IntoIterator<Item = f64>,
        with_zero: bool,
        [start_mm, end_mm]: [f64; 2],
    ) -> Self {
        let mut ends: Option<(f64, f64)> = with_zero.then_some((0.0, 0.0));
        for v in values.into_iter().filter(|v| v.is_finite()) {
            ends = Some(ends.map_or((v, v), |(low, high)| (low.min(v), high.max(v))));
        }
        let (low, mut high) = ends.unwrap_or((0.0, 1.0));
        if high - low <= 1e-9 * high.abs().max(low.abs()) {
            high = low + low.abs().max(1.0);
        }
        let most = ((end_mm - start_mm).abs() / TICK_ROOM_MM).floor().max(1.0);
        let step = round_up((high - low) / most);
        Self {
            from: (low / step).floor() * step,
            to: (high / step).ceil() * step,
            start_mm,
            end_mm,
            step,
        }
    }

    /// Place of a value, kept on the axis.
    pub fn at(&self, value: f64) -> f64 {
        let share = (value - self.from) / (self.to - self.from);
        self.start_mm + share.clamp(0.0, 1.0) * (self.end_mm - self.start_mm)
    }

    /// Values of the ticks.
    pub fn ticks(&self) -> impl Iterator<Item = f64> + '_ {
        let count = ((self.to - self.from) / self.step).round() as u32;
        (0..=count).map(|k| {
            let tick = self.from + self.step * f64::from(k);
            // 0.1 + 0.2 style crumbs would print.
            (tick / self.step).round() * self.step
        })
    }
}

/// The least of 1, 2, 2.5, 5 times a power of ten that is not smaller.
fn round_up(step: f64) -> f64 {
    let power = 10f64.powf(step.log10().floor());
    let steps = [1.0, 2.0, 2.5, 5.0, 10.0];
    let fitting = steps
        .iter()
        .map(|s| s * power)
        .find(|s| *s >= step * (1.0 - 1e-9));
    fitting.unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_enclose_the_values() {
        let axis = Axis::new([13_200.0, 48_100.0], true, [40.0, 180.0]);
        let ticks: Vec<f64> = axis.ticks().collect();
        assert_eq!(ticks, [0.0, 10e3, 20e3, 30e3, 40e3, 50e3]);
        assert_eq!((axis.at(0.0), axis.at(50e3)), (40.0, 180.0));
        assert!((axis.at(25e3) - 110.0).abs() < 1e-9);
        let axis = Axis::new([-3.0, 4.0], false, [0.0, 100.0]);
        let ticks: Vec<f64> = axis.ticks().collect();
        assert_eq!(ticks, [-4.0, -2.0, 0.0, 2.0, 4.0]);
    }

    #[test]
    fn nothing_or_one_value_still_has_an_axis() {
        for values in [
            vec![],
            vec![5.0],
            vec![0.0],
            vec![f64::NAN, 2.0],
            vec![-7.0],
        ] {
            let axis = Axis::new(values.clone(), false, [0.0, 100.0]);
            let ticks: Vec<f64> = axis.ticks().collect();
            assert!(
                ticks.len() >= 2 && ticks.iter().all(|t| t.is_finite()),
                "{values:?}"
            );
            for value in values.into_iter().filter(|v| v.is_finite()) {
                assert!((0.0..=100.0).contains(&axis.at(value)));
            }
        }
    }
}
