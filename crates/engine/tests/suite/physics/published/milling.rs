//! Topics 3, 4 and 10: geometry of milling, speeds, the spindle's curve, times of a pass.

use super::{PI_OF_THE_PAGE, printed, truncated};
use engine::cutting::{
    Spindle, Thinning, continuous_by_heating, cutting_speed, engaged_angle, face_approach,
    feed_time, largest_chip, mean_chip, mean_chip_of_light_cut, milling_power, milling_removal,
    rpm_of, side_approach, table_feed, tangential_force,
};
use engine::machine::{Known, Properties};
use units::{Angle, Length, Power, Rpm, Speed, Stress, Torque};

fn mm(x: f64) -> Length {
    Length::mm(x)
}

const SQUARE: Angle = Angle::deg(90.0);

#[test]
fn t3_01_engagement() {
    // Palbit catalogue p.A-252 and 253: 5 % 26 degrees, 10 % 37 degrees, slot 180.
    for (share, shown) in [(0.05, 26.0), (0.10, 37.0), (1.0, 180.0)] {
        let angle = engaged_angle(mm(20.0 * share), mm(20.0), false);
        printed(angle.to_deg(), shown, 0);
    }
}

#[test]
fn t3_03_and_t3_04_mean_chip() {
    // Dijet p.F007, ISCAR milling guide p.230: fz sqrt(ae / D): D 20, ae 2, fz 0.1: 0.0316; exactly
    // 0.0311 (ours).
    let (fz, ae, d) = (mm(0.1), mm(2.0), mm(20.0));
    printed(mean_chip_of_light_cut(fz, ae, d).to_mm(), 0.0316, 4);
    printed(mean_chip(fz, ae, d, SQUARE, false).to_mm(), 0.0311, 4);
    // Palbit: ae = D / 2: fz 2 / pi = 0.0637 (ours).
    printed(mean_chip(fz, mm(10.0), d, SQUARE, false).to_mm(), 0.0637, 4);
    // A lead angle thins it by its sine.
    let lead = mean_chip(fz, mm(10.0), d, Angle::deg(45.0), false);
    printed(lead.to_mm(), 0.0637 * 45.0f64.to_radians().sin(), 4);
}

#[test]
fn t3_05_two_conventions_of_thinning() {
    // Geometry, and Stellram p.87: at a tenth of the diameter the largest chip is 0.60 of the feed,
    // compensated 1.667 times; the mean-chip form compensates 3.16 times. The two differ by design.
    let (ae, d) = (mm(2.0), mm(20.0));
    printed(largest_chip(mm(1.0), ae, d, SQUARE).to_mm(), 0.60, 2);
    printed(Thinning::Largest.compensation(ae, d), 1.667, 3);
    printed(Thinning::Mean.compensation(ae, d), 3.1623, 4);
}

#[test]
fn t3_07_t3_08_t3_09_t3_10_t3_12_speeds_and_feeds() {
    // Tungaloy p.L062, pi 3.14, cut off: 100 m/min on 10, 16, 20, 25 mm.
    for (d, shown) in [(10.0, 3184.0), (16.0, 1990.0), (20.0, 1592.0)] {
        let n = rpm_of(Speed::m_min(100.0), mm(d)) * PI_OF_THE_PAGE;
        truncated(n.to_rpm(), shown, 0);
    }
    let n = rpm_of(Speed::m_min(100.0), mm(25.0)) * PI_OF_THE_PAGE;
    printed(n.to_rpm(), 1274.0, 0);
    // Mitsubishi 'Formulas for milling', pi 3.14: D 125, 350 rpm: 137.4 m/min; 5 in: 457.9 ft/min.
    let v = cutting_speed(Rpm::rpm(350.0), mm(125.0)) / PI_OF_THE_PAGE;
    printed(v.to_m_min(), 137.4, 1);
    let v = cutting_speed(Rpm::rpm(350.0), Length::inch(5.0)) / PI_OF_THE_PAGE;
    printed(v.to_foot_min(), 457.9, 1);
    // Same: 500 mm/min, 10 teeth, 500 rpm: 0.1 mm; 20 in/min: 0.004 in.
    let n = Rpm::rpm(500.0);
    printed(table_feed(mm(0.1), 10.0, n).to_mm_min(), 500.0, 0);
    printed(
        table_feed(Length::inch(0.004), 10.0, n).to_inch_min(),
        20.0,
        0,
    );
    // Lavallee and Ide table 4: V = 0.262 d N, N = 3.82 V / d.
    let v = cutting_speed(Rpm::rpm(1.0), Length::inch(1.0));
    printed(v.to_foot_min(), 0.262, 3);
    printed(
        rpm_of(Speed::foot_min(1.0), Length::inch(1.0)).to_rpm(),
        3.82,
        2,
    );
}

#[test]
fn t3_13_torque_and_power() {
    // Siemens manual 2008 p.55 prints 9550, exactly 9549; drilling formula sheet: 5252.
    printed(
        Power::kw(1.0).torque_at(Rpm::rpm(1.0)).to_nm() / 10.0,
        955.0,
        0,
    );
    printed(
        Power::hp(1.0).torque_at(Rpm::rpm(1.0)).to_ft_lb(),
        5252.0,
        0,
    );
}

fn spindle(power_kw: f64, base: f64, fastest: f64) -> Spindle {
    Spindle::of(&Properties {
        spindle_power: Known::Yes(Power::kw(power_kw)),
        spindle_torque_rpm: Known::Yes(Rpm::rpm(base)),
        spindle_rpm_max: Known::Yes(Rpm::rpm(fastest)),
        ..Properties::default()
    })
    .expect("power is stated")
}

#[test]
fn t3_14_and_t3_15_constant_torque_then_constant_power() {
    // Spindle-drive text: base 1500, fastest 5250: constant power over 3.5 to one.
    let drive = spindle(7.5, 1500.0, 5250.0);
    printed(drive.fastest() / drive.base_speed(), 3.5, 1);
    // Siemens manual p.55: 11 kW, base 1500: 70 N m to 1500, 8.75 N m at 12 000 (ours).
    let s = spindle(11.0, 1500.0, 12_000.0);
    printed(s.torque_at(Rpm::rpm(300.0)).to_nm(), 70.0, 0);
    printed(s.torque_at(Rpm::rpm(12_000.0)).to_nm(), 8.75, 2);
    printed(s.power_at(Rpm::rpm(750.0)).to_kw(), 5.5, 1);
    assert_eq!(s.power_at(Rpm::rpm(9000.0)), Power::kw(11.0));
    assert_eq!(s.torque_at(Rpm::rpm(12_001.0)), Torque::ZERO);
}

#[test]
fn t3_17_duty() {
    // Rms heating (from memory): S1 = S6-40 % x sqrt(0.40) = 0.632 (ours); drives quote 1.2 to 1.5.
    printed(
        continuous_by_heating(Power::kw(1.0), 0.40).to_kw(),
        0.632,
        3,
    );
}

#[test]
fn t4_08_plastics() {
    // Mechanical Engineer's Data Handbook p.194: nylon, PTFE, PVC 5 m/s: 300 m/min (ours).
    printed(Speed::m_s(5.0).to_m_min(), 300.0, 0);
}

#[test]
fn t10_01_t10_02_face_milling_time() {
    // Mitsubishi 'Formulas for milling': l 300, D 200, fz 0.25, z 16, n 200: 800 mm/min, L 500, 0.625
    // min, 37.5 s. (Kyocera p.R42 has the same form with two idle lengths.)
    let feed = table_feed(mm(0.25), 16.0, Rpm::rpm(200.0));
    printed(feed.to_mm_min(), 800.0, 0);
    let time = feed_time(mm(300.0 + 200.0), feed);
    printed(time.to_minutes(), 0.625, 3);
    printed(time.to_s(), 37.5, 1);
}

#[test]
fn t10_05_t10_16_slab_milling_power() {
    // Same example in El-Hofy: kc 1000, t 4, b 30, f 120: Nc 0.24 kW; 0.27 with an efficiency of 0.9
    // (not visible in the text, it reproduces the print). Sz 0.1, 8 teeth, d 30: N 150, V 14.13 (pi
    // 3.14), mean force 1019 N.
    let feed = Speed::mm_min(120.0);
    let power = milling_power(
        milling_removal(mm(4.0), mm(30.0), feed),
        Stress::mpa(1000.0),
    );
    printed(power.to_kw(), 0.24, 2);
    printed(power.to_kw() / 0.9, 0.27, 2);
    let n = Rpm::rpm(feed / table_feed(mm(0.1), 8.0, Rpm::rpm(1.0)));
    printed(n.to_rpm(), 150.0, 0);
    let v = cutting_speed(n, mm(30.0)) / PI_OF_THE_PAGE;
    printed(v.to_m_min(), 14.13, 2);
    printed(tangential_force(power, v).to_n(), 1019.0, 0);
}

#[test]
fn t10_06_t10_07_t10_10_t10_11_slab_times() {
    // GATE PI: d 5, D 75: approach 18.71, travel 218.7 over 200 (ours).
    printed(side_approach(mm(5.0), mm(75.0)).to_mm(), 18.71, 2);
    printed(200.0 + side_approach(mm(5.0), mm(75.0)).to_mm(), 218.7, 1);
    // tutorsglobe.com 5754020: 650 x 50, D 60, 5 teeth, 55 m/min, 0.30, d 9: 437.7 mm/min, 21.4, 1.53
    // min, 196 950 mm3/min (ours).
    let feed = table_feed(mm(0.30), 5.0, rpm_of(Speed::m_min(55.0), mm(60.0)));
    printed(feed.to_mm_min(), 437.7, 1);
    let a = side_approach(mm(9.0), mm(60.0));
    printed(a.to_mm(), 21.4, 1);
    printed(feed_time(mm(650.0) + a, feed).to_minutes(), 1.53, 2);
    printed(
        milling_removal(mm(9.0), mm(50.0), feed).to_mm3_min() / 10.0,
        19_695.0,
        0,
    );
    // tutorsglobe.com 51582885: 275 x 75, D 75, 10 teeth, 0.10, 40 m/min, d 5: 169.8 mm/min, 63 660,
    // 293.7 mm, 1.73 min (ours).
    let feed = table_feed(mm(0.10), 10.0, rpm_of(Speed::m_min(40.0), mm(75.0)));
    printed(feed.to_mm_min(), 169.8, 1);
    printed(
        milling_removal(mm(5.0), mm(75.0), feed).to_mm3_min() / 10.0,
        6366.0,
        0,
    );
    let travel = mm(275.0) + side_approach(mm(5.0), mm(75.0));
    printed(travel.to_mm(), 293.7, 1);
    printed(feed_time(travel, feed).to_minutes(), 1.73, 2);
    // Groover (from memory): 400 x 60, D 80, 5 teeth, 70 m/min, 0.25, d 5: N 279, fr 348 (of the
    // unrounded 278.5), A 19.4, 1.20 min, 104 400 mm3/min.
    let n = rpm_of(Speed::m_min(70.0), mm(80.0));
    printed(n.to_rpm(), 279.0, 0);
    let feed = table_feed(mm(0.25), 5.0, n);
    printed(feed.to_mm_min(), 348.0, 0);
    let a = side_approach(mm(5.0), mm(80.0));
    printed(a.to_mm(), 19.4, 1);
    printed(feed_time(mm(400.0) + a, feed).to_minutes(), 1.20, 2);
    printed(5.0 * 60.0 * feed.to_mm_min().round(), 104_400.0, 0);
}

#[test]
fn t10_09_face_milling_centred() {
    // Groover problem: 12 x 2 in, D 3, 5 teeth, 250 ft/min, 0.006, d 0.150: approach 0.382 in, 1.30
    // min, 2.86 in3/min; with 0.5 in of approach and 2 in of overtravel 1.56 min (ours).
    let inch = Length::inch;
    let a = face_approach(inch(2.0), inch(3.0));
    printed(a.to_inch(), 0.382, 3);
    let n = rpm_of(Speed::foot_min(250.0), inch(3.0));
    let feed = table_feed(inch(0.006), 5.0, n);
    printed(feed_time(inch(12.0) + a, feed).to_minutes(), 1.30, 2);
    let q = milling_removal(inch(0.150), inch(2.0), feed);
    printed(q.to_inch3_min(), 2.86, 2);
    printed(
        feed_time(inch(12.0 + 0.382 + 2.5), feed).to_minutes(),
        1.56,
        2,
    );
}
