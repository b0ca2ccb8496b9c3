//! Time of a move from rest to rest.

use units::{Acceleration, Length, Speed, Time};

/// Time of a move with unlimited jerk: trapezoid of speed, or triangle when the move is too short to
/// reach the rapid rate (linearmotiontips.com, move profiles).
pub fn move_time(distance: Length, rapid: Speed, acceleration: Acceleration) -> Time {
    let d = distance.to_m().max(0.0);
    let v = rapid.to_m_s();
    let a = acceleration.to_m_s2();
    if d >= v * v / a {
        Time::s(d / v + v / a)
    } else {
        Time::s(2.0 * (d / a).sqrt())
    }
}

/// The same where the control builds the acceleration up over `ramp` (jerk = acceleration / ramp):
/// the double-S profile (Biagiotti and Melchiorri, Trajectory Planning for Automatic Machines and
/// Robots, Springer 2008, section 3.4; from memory). Symmetrical, so it has four cases: whether the
/// full speed and whether the full acceleration is reached.
pub fn smooth_move_time(
    distance: Length,
    rapid: Speed,
    acceleration: Acceleration,
    ramp: Time,
) -> Time {
    if ramp <= Time::ZERO {
        return move_time(distance, rapid, acceleration);
    }
    let d = distance.to_m().max(0.0);
    let v = rapid.to_m_s();
    let a = acceleration.to_m_s2();
    let ramp = ramp.to_s();
    let jerk = a / ramp;
    // Time from rest to a speed, and the way of speeding up and slowing down again together.
    let to_speed = |v: f64| {
        if v >= a * ramp {
            v / a + ramp
        } else {
            2.0 * (v / jerk).sqrt()
        }
    };
    if d >= v * to_speed(v) {
        return Time::s(d / v + to_speed(v));
    }
    // The peak speed is not the rapid rate: v (v / a + ramp) = d, or 2 v sqrt(v / jerk) = d.
    let peak = 0.5 * a * ((ramp * ramp + 4.0 * d / a).sqrt() - ramp);
    if peak >= a * ramp {
        Time::s(2.0 * to_speed(peak))
    } else {
        Time::s(4.0 * (d / (2.0 * jerk)).cbrt())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn t6_06_trapezoid_and_triangle() {
        // linearmotiontips.com, our evaluation: 25.4 m/min and 0.5 g: 300 mm 0.795 s, crossover 36.5 mm, 20 mm 0.128 s.
        let (v, a) = (Speed::m_min(25.4), Acceleration::g(0.5));
        let t = |mm| move_time(Length::mm(mm), v, a).to_s();
        assert!((t(300.0) - 0.795).abs() < 5e-4);
        assert!((t(20.0) - 0.128).abs() < 5e-4);
        // Both forms agree where the one becomes the other.
        let crossover_mm = v.to_m_s() * v.to_m_s() / a.to_m_s2() * 1000.0;
        assert!((crossover_mm - 36.5).abs() < 0.05);
        assert!((t(crossover_mm * (1.0 + 1e-12)) - t(crossover_mm * (1.0 - 1e-12))).abs() < 1e-9);
    }

    /// The double-S profile integrated in small steps: jerk, none, minus jerk, cruise, and back.
    fn integrated(d: f64, v: f64, a: f64, ramp: f64) -> f64 {
        let jerk = a / ramp;
        let way = |v: f64| {
            let t = if v >= a * ramp {
                v / a + ramp
            } else {
                2.0 * (v / jerk).sqrt()
            };
            // Speed is symmetrical about the middle of the ramp, so the mean is half the peak.
            let n = 20_000;
            let held = if v >= a * ramp { ramp } else { t / 2.0 };
            let accel = |x: f64| jerk * x.min(held).min(t - x).max(0.0);
            let (mut speed, mut path) = (0.0, 0.0);
            for i in 0..n {
                let dt = t / f64::from(n);
                speed += accel((f64::from(i) + 0.5) * dt) * dt;
                path += speed * dt;
            }
            (t, path)
        };
        // The greatest peak speed whose ramps fit into the distance.
        let (mut low, mut high) = (0.0, v);
        if 2.0 * way(v).1 <= d {
            low = v;
        } else {
            for _ in 0..40 {
                let middle = 0.5 * (low + high);
                if 2.0 * way(middle).1 <= d {
                    low = middle
                } else {
                    high = middle
                }
            }
        }
        let (t, path) = way(low);
        2.0 * t + (d - 2.0 * path).max(0.0) / low
    }

    #[test]
    fn the_smooth_profile_is_what_integration_gives() {
        for (d, v, a, ramp) in [
            (0.3, 0.4233, 4.9, 0.05),
            (0.02, 0.4233, 4.9, 0.05),
            (0.002, 0.4233, 4.9, 0.05),
            (0.05, 0.05, 4.9, 0.05),
            (0.0005, 0.8, 10.0, 0.1),
        ] {
            let ours = smooth_move_time(
                Length::m(d),
                Speed::m_s(v),
                Acceleration::m_s2(a),
                Time::s(ramp),
            )
            .to_s();
            let steps = integrated(d, v, a, ramp);
            // 20 000 steps of the midpoint rule lose about a ten-thousandth.
            assert!((ours / steps - 1.0).abs() < 2e-3, "{d} {v}: {ours} {steps}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn farther_takes_longer_and_a_quicker_machine_does_not(
            d in 0.0..2.0f64, v in 0.01..1.5f64, a in 0.2..20.0f64, ramp in 0.001..0.2f64, more in 1.0..3.0f64,
        ) {
            let t = |d: f64, v: f64, a: f64, ramp: f64| smooth_move_time(Length::m(d), Speed::m_s(v), Acceleration::m_s2(a), Time::s(ramp)).to_s();
            let base = t(d, v, a, ramp);
            let hair = base * 1e-9 + 1e-12;
            prop_assert!(t(d * more, v, a, ramp) >= base - hair);
            prop_assert!(t(d, v * more, a, ramp) <= base + hair);
            prop_assert!(t(d, v, a * more, ramp) <= base + hair);
            // Smooth is never quicker than abrupt, and at most the two ramps slower.
            let abrupt = move_time(Length::m(d), Speed::m_s(v), Acceleration::m_s2(a)).to_s();
            prop_assert!(base >= abrupt - hair && base <= abrupt + 2.0 * ramp + hair);
        }
    }
}
