//! Topics 2 and 8: tapping and tap drills.

use super::printed;
use engine::cutting::{
    TapKind, engagement, forming_torque, hole_for_engagement, tap_drill, tapping_torque,
    tapping_torque_by_section,
};
use units::{Length, Number, Rpm, Stress, Torque};

fn mm(x: f64) -> Length {
    Length::mm(x)
}

#[test]
fn t2_14_and_t2_16_two_tapping_formulas_as_a_band() {
    // M10 x 1.5 in carbon steel. Yamawa 2021 p.639: kc 3900, spiral point, hole 8.5: 5.4 N m (ours);
    // LUBERO: kc 2500: 7.0 N m (ours), 30 % above.
    let section =
        tapping_torque_by_section(mm(10.0), mm(8.5), Stress::mpa(3900.0), TapKind::SpiralPoint);
    printed(section.to_nm(), 5.4, 1);
    let pitch = tapping_torque(mm(10.0), mm(1.5), Stress::mpa(2500.0));
    printed(pitch.to_nm(), 7.0, 1);
    printed(pitch / section, 1.3, 1);
    // LUBERO divides by 9500 for power where it should be 9549.
    let power = pitch.power_at(Rpm::rpm(500.0)).to_kw();
    printed(pitch.to_nm() * 500.0 / power, 9549.3, 1);
}

#[test]
fn t2_15_the_maker_s_factors_and_his_measurements_differ() {
    // Yamawa 2022-23 technical p.7: measured 100 : 70-75 : 60-65; by its K 100 : 85 : 70.
    let hand = TapKind::HandPlug.factor();
    let flute = TapKind::SpiralFlute.factor() / hand;
    let point = TapKind::SpiralPoint.factor() / hand;
    printed(flute, 0.85, 2);
    printed(point, 0.70, 2);
    assert!(flute > TapKind::SpiralFlute.measured()[1]);
    assert!(point > TapKind::SpiralPoint.measured()[1]);
    // Roll taps two to three times.
    let [low, high] = forming_torque(Torque::nm(5.0));
    assert_eq!((low, high), (Torque::nm(10.0), Torque::nm(15.0)));
}

#[test]
fn t8_01_and_t8_03_tap_drills() {
    // fmcarbide.com: D - P % / 76.98: M10 x 1.5 at 75 %: 8.54 (ours).
    let hole = hole_for_engagement(mm(10.0), mm(1.5), Number::percent(75.0));
    printed(hole.to_mm(), 8.54, 2);
    // Shop chart (doublevision.company): D - P: 5.0, 6.8, 10.2, 17.5; the chart prints the nearest
    // stock drill, within 0.05 mm.
    for (d, p, shown) in [
        (6.0, 1.0, 5.0),
        (8.0, 1.25, 6.8),
        (12.0, 1.75, 10.2),
        (20.0, 2.5, 17.5),
    ] {
        assert!((tap_drill(mm(d), mm(p)).to_mm() - shown).abs() <= 0.05 + 1e-9);
    }
}

#[test]
fn t8_05_to_t8_08_share_of_the_thread() {
    // Machinery's Handbook 31st ed. p.2155 table 2: 0-80 and 1-64, per cent of the thread, allowed two
    // points as its own rounding of drills asks; 0.0492 in is 66.5, printed 68; 0.0571 in 78.3,
    // printed 77.
    const NATIONAL: f64 = 1.299_04;
    let of = |major: f64, hole: f64, n: f64| {
        100.0
            * engagement(
                Length::inch(major),
                Length::inch(hole),
                Length::inch(1.0 / n),
                NATIONAL,
            )
    };
    for (hole, shown) in [(0.0512, 54.0), (0.0492, 68.0), (0.0472, 79.0)] {
        assert!((of(0.060, hole, 80.0) - shown).abs() < 2.0, "{hole}");
    }
    for (hole, shown) in [
        (0.0625, 51.0),
        (0.0610, 59.0),
        (0.0595, 66.0),
        (0.0590, 69.0),
        (0.0571, 77.0),
    ] {
        assert!((of(0.073, hole, 64.0) - shown).abs() < 2.0, "{hole}");
    }
    printed(of(0.060, 0.0492, 80.0), 66.5, 1);
    printed(of(0.073, 0.0571, 64.0), 78.3, 1);
    // p.2168 table 4: root = D - 1.29904 / n: 1/4-20 0.1850, 1/2-13 0.4001 in. A hole at the root is
    // the full thread; the unified basis is 1.08253 (piclist note).
    printed(of(0.25, 0.1850, 20.0), 100.0, 0);
    printed(of(0.5, 0.4001, 13.0), 100.0, 0);
    let full = 0.25 - 1.082_53 / 20.0;
    let unified = engagement(
        Length::inch(0.25),
        Length::inch(full),
        Length::inch(0.05),
        1.082_53,
    );
    assert!((unified - 1.0).abs() < 1e-9);
}
