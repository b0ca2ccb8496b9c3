//! Power, torque and thrust of milling, drilling and tapping.

use units::{Force, Length, Power, RemovalRate, Rpm, Stress, Torque};

/// Power at the cutter: removal rate times specific force (Mitsubishi Materials, formulae
/// for cutting power, without its efficiency).
pub fn milling_power(removal: RemovalRate, force: Stress) -> Power {
    Power::w(removal.to_mm3_min() / 60.0 * force.to_mpa() / 1000.0)
}

/// Power by unit power, in joules per cubic millimetre (Kalpakjian and Schmid, example 24.1; from memory).
pub fn unit_power(removal: RemovalRate, joule_per_mm3: f64) -> Power {
    Power::w(removal.to_mm3_min() / 60.0 * joule_per_mm3)
}

/// Torque of a drill: f kc D^2 / 8000 N m (BIG Daishowa, important formulas p.5).
pub fn drilling_torque(diameter: Length, feed_per_rev: Length, force: Stress) -> Torque {
    Torque::nm(feed_per_rev.to_mm() * force.to_mpa() * diameter.to_mm() * diameter.to_mm() / 8000.0)
}

/// Thrust of a drill: 0.63 f D kc / 2 N (same page).
pub fn drilling_thrust(diameter: Length, feed_per_rev: Length, force: Stress) -> Force {
    Force::n(0.63 * feed_per_rev.to_mm() * diameter.to_mm() * force.to_mpa() / 2.0)
}

/// Power at the drill.
pub fn drilling_power(diameter: Length, feed_per_rev: Length, force: Stress, speed: Rpm) -> Power {
    drilling_torque(diameter, feed_per_rev, force).power_at(speed)
}

/// Torque of a cutting tap: kc P^2 d / 8000 N m (LUBERO thread-tool calculations).
pub fn tapping_torque(nominal: Length, pitch: Length, force: Stress) -> Torque {
    Torque::nm(force.to_mpa() * pitch.to_mm() * pitch.to_mm() * nominal.to_mm() / 8000.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cutting::best::tests::steel;
    use crate::cutting::{EFFICIENCY, mean_chip, specific_force};
    use units::Angle;

    /// Equal to a printed number of so many decimals: within half a unit of its last digit.
    fn printed(value: f64, shown: f64, decimals: i32) {
        let half = 0.5 * 10.0f64.powi(-decimals) * (1.0 + 1e-9);
        assert!((value - shown).abs() <= half, "{value} is not {shown}");
    }

    /// A printed number cut off instead of rounded.
    fn truncated(value: f64, shown: f64, decimals: i32) {
        let unit = 10.0f64.powi(-decimals);
        assert!(
            value >= shown && value < shown + unit,
            "{value} is not {shown}"
        );
    }

    #[test]
    fn t1_01_milling_power() {
        // Mitsubishi Materials, 'Formulae for cutting power': ap 2, ae 80, vf 280, kc 1800,
        // efficiency 0.8: 1.68 kW.
        let q = RemovalRate::mm3_min(2.0 * 80.0 * 280.0);
        printed(
            (milling_power(q, Stress::mpa(1800.0)) / EFFICIENCY).to_kw(),
            1.68,
            2,
        );
    }

    #[test]
    fn t1_03_turning_power() {
        // Same guide: ap 3, f 0.2, vc 120 m/min, kc 3100, efficiency 0.8: 4.65 kW.
        let q = RemovalRate::mm3_min(3.0 * 0.2 * 120_000.0);
        printed(
            (milling_power(q, Stress::mpa(3100.0)) / EFFICIENCY).to_kw(),
            4.65,
            2,
        );
    }

    #[test]
    fn t1_21_kienzle() {
        // ISCAR 2017 p.558: kc1.1 1500, mc 0.22; Dijet p.F007: kc = kc1.1 h^-mc. At 0.1 mm our own
        // evaluation of the two gives 2489.4 MPa.
        let kc = specific_force(&steel(), Length::mm(0.1));
        printed(kc.to_mpa(), 2489.4, 1);
    }

    #[test]
    fn t1_32_slab_milling_by_unit_power() {
        // Kalpakjian and Schmid, example 24.1 (from memory): f 0.25 mm a tooth, 20 teeth, 100 rpm,
        // d 3, w 100, 3 W s/mm3: 500 mm/min, 150 000 mm3/min, 7.5 kW, 716 N m.
        let feed_mm_min = 0.25 * 20.0 * 100.0;
        printed(feed_mm_min, 500.0, 0);
        let q = RemovalRate::mm3_min(feed_mm_min * 3.0 * 100.0);
        printed(q.to_mm3_min(), 150_000.0, 0);
        let p = unit_power(q, 3.0);
        printed(p.to_kw(), 7.5, 1);
        printed(p.torque_at(Rpm::rpm(100.0)).to_nm(), 716.0, 0);
    }

    #[test]
    fn t2_01_drilling() {
        // ISCAR rotating tools 2017 p.601: D 22, vc 200, f 0.15, kc 2200, efficiency 0.75: n 2894,
        // Pc 8.06 kW (cut off), Mc 20 N m, Ff 2286 N (cut off).
        let (d, f, kc) = (Length::mm(22.0), Length::mm(0.15), Stress::mpa(2200.0));
        let n = 200_000.0 / (std::f64::consts::PI * 22.0);
        printed(n, 2894.0, 0);
        printed(drilling_torque(d, f, kc).to_nm(), 20.0, 0);
        truncated(drilling_thrust(d, f, kc).to_n(), 2286.0, 0);
        truncated(
            drilling_power(d, f, kc, Rpm::rpm(n)).to_kw() / 0.75,
            8.06,
            2,
        );
    }

    #[test]
    fn t2_16_tapping() {
        // LUBERO: kc 2500, M10 x 1.5: 7.0 N m by our own evaluation.
        let t = tapping_torque(Length::mm(10.0), Length::mm(1.5), Stress::mpa(2500.0));
        printed(t.to_nm(), 7.0, 1);
    }

    #[test]
    fn t3_04_mean_chip_of_half_engagement() {
        // Palbit p.A-252: ae = D/2, 90 degree edge: fz 2/pi.
        let h = mean_chip(
            Length::mm(0.1),
            Length::mm(10.0),
            Length::mm(20.0),
            Angle::deg(90.0),
            false,
        );
        printed(h.to_mm(), 0.063662, 6);
    }
}
