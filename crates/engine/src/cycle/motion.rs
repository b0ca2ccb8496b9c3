//! Time of a rapid move.

use units::{Acceleration, Length, Speed, Time};

/// Time of a move from rest to rest: trapezoid of speed, or triangle when the move is too short to
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

#[cfg(test)]
mod tests {
    use super::*;

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
}
