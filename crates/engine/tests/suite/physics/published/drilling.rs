//! Topic 2: drilling and boring.

use super::{printed, truncated};
use engine::cutting::{
    HandbookDrill, boring_torque, by_handbook, by_material_factor, by_specific_force,
    drilling_power, drilling_thrust, drilling_torque, feed_time, handbook_factors, point_length,
    power_by_material_factor, rpm_of, unit_power,
};
use units::{Angle, Length, RemovalRate, Rpm, Speed, Stress};

fn mm(x: f64) -> Length {
    Length::mm(x)
}

#[test]
fn t2_01_drilling() {
    // ISCAR rotating tools 2017 p.601: D 22, vc 200, f 0.15, kc 2200, efficiency 0.75, L 25, h 10: n
    // 2894, vf 434, Q 165, Pc 8.06 kW (cut off), Mc 20 N m, Ff 2286 N (cut off), Tc 0.08 min.
    let (d, f, kc) = (mm(22.0), mm(0.15), Stress::mpa(2200.0));
    let n = rpm_of(Speed::m_min(200.0), d);
    printed(n.to_rpm(), 2894.0, 0);
    let feed = Speed::mm_min(0.15 * n.to_rpm());
    printed(feed.to_mm_min(), 434.0, 0);
    let area_mm2 = std::f64::consts::FRAC_PI_4 * 22.0 * 22.0;
    let q = RemovalRate::mm3_min(area_mm2 * feed.to_mm_min());
    printed(q.to_cm3_min(), 165.0, 0);
    truncated(drilling_power(d, f, kc, n).to_kw() / 0.75, 8.06, 2);
    printed(drilling_torque(d, f, kc).to_nm(), 20.0, 0);
    truncated(drilling_thrust(d, f, kc).to_n(), 2286.0, 0);
    printed(feed_time(mm(35.0), feed).to_minutes(), 0.08, 2);
}

#[test]
fn t2_02_machine_cost_of_a_hole() {
    // Same job at 50 $/h: 0.067 $ a piece, with the printed 0.08 min.
    printed(50.0 / 60.0 * 0.08, 0.067, 3);
}

#[test]
fn t2_04_and_t2_06_handbook_factors() {
    // Machinery's Handbook 31st ed. p.1153 tables 8 and 9: D 7/8 in FT 0.899, FM 0.786; 0.008 in Ff
    // 0.021; the tables follow D^0.8, D^1.8 and f^0.8.
    let [ff, ft, fm] = handbook_factors(Length::inch(0.875), Length::inch(0.008));
    printed(ff, 0.021, 3);
    printed(ft, 0.899, 3);
    printed(fm, 0.786, 3);
    let [half_f, half_t, half_m] = handbook_factors(Length::inch(0.5), Length::inch(0.010));
    let [one_f, one_t, one_m] = handbook_factors(Length::inch(1.0), Length::inch(0.020));
    printed(half_t / one_t, 0.574, 3);
    printed(half_m / one_m, 0.287, 3);
    printed(half_f, 0.025, 3);
    printed(one_f, 0.044, 3);
}

#[test]
fn t2_05_drilling_by_the_handbook() {
    // Machinery's Handbook 31st ed. p.1152, example (statement read; Kd 24 000, W 1.30 and answers
    // from memory): 7/8 in, steel 200 HB, 350 rpm, 0.008 in: 2313 lbf, 559 lbf in, 3.1 hp, motor 3.9.
    let load = by_handbook(
        Length::inch(0.875),
        Length::inch(0.008),
        &HandbookDrill::usual(24_000.0),
    );
    // The print goes through factors of three digits; ours does not round between: 1 in 1000.
    assert!((load.thrust.to_lbf() / 2313.0 - 1.0).abs() < 1e-3);
    assert!((load.torque.to_in_lb() / 559.0 - 1.0).abs() < 1e-3);
    let power = load.torque.power_at(Rpm::rpm(350.0));
    printed(power.to_hp(), 3.1, 1);
    printed(power.to_hp() / 0.80, 3.9, 1);
}

#[test]
fn t2_08_two_printed_forms_differ_by_two_per_cent() {
    // Tungaloy 2020-21 p.L068: its torque form gives 2.0 % more power than its power form.
    for (d, f) in [(10.0, 0.2), (20.0, 0.3)] {
        let n = Rpm::rpm(1000.0);
        let torque = by_material_factor(mm(d), mm(f), 2.22).torque;
        let ratio = torque.power_at(n) / power_by_material_factor(mm(d), mm(f), 2.22, n);
        printed(ratio, 1.02, 2);
    }
}

#[test]
fn t2_10_methods_for_one_drill_span_nearly_two_to_one() {
    // Toolmaker training course: 10 mm, 0.3 mm/rev, unnamed steel: 15 N m, 2500 N. The others: 12.6
    // N m (Tungaloy, S20C), 8.3 N m and 2079 N (ISCAR, kc 2200).
    let (d, f) = (mm(10.0), mm(0.3));
    let a = by_material_factor(d, f, 2.22);
    let b = by_specific_force(d, f, Stress::mpa(2200.0));
    printed(a.torque.to_nm(), 12.6, 1);
    printed(b.torque.to_nm(), 8.25, 2);
    printed(b.thrust.to_n(), 2079.0, 0);
    printed(15.0 / b.torque.to_nm(), 1.8, 1);
    let c = by_handbook(d, f, &HandbookDrill::usual(24_000.0));
    // The handbook, worn as it assumes, goes higher still: the spread is kept.
    printed(c.torque.to_nm(), 20.5, 1);
}

#[test]
fn t2_12_and_t2_13_by_unit_power() {
    // Kalpakjian and Schmid, chapter 23 (from memory): magnesium, 10 mm, 0.2 mm/rev, 800 rpm, 0.5
    // W s/mm3: 210 mm3/s (209.4 rounded to two digits), 105 W, 1.25 N m.
    let removal =
        |d: f64, f: f64, n: f64| RemovalRate::mm3_min(std::f64::consts::FRAC_PI_4 * d * d * f * n);
    let q = removal(10.0, 0.2, 800.0);
    printed(q.to_mm3_min() / 600.0, 21.0, 0);
    let p = unit_power(q, 0.5);
    printed(p.to_w(), 105.0, 0);
    printed(p.torque_at(Rpm::rpm(800.0)).to_nm(), 1.25, 2);
    // tutorsglobe.com, 5740502: 12.7 mm, 0.3 mm/rev, 700 rpm: 26 602 mm3/min; at 4 W s/mm3 1.77 kW,
    // 24.2 N m (ours).
    let q = removal(12.7, 0.3, 700.0);
    printed(q.to_mm3_min(), 26_602.0, 0);
    let p = unit_power(q, 4.0);
    printed(p.to_kw(), 1.77, 2);
    printed(p.torque_at(Rpm::rpm(700.0)).to_nm(), 24.2, 1);
}

#[test]
fn t2_17_boring() {
    // BIG Daishowa p.5: Dc 50, Di 44, f 0.1, kc 2000: 14.1 N m (ours).
    let t = boring_torque(mm(50.0), mm(44.0), mm(0.1), Stress::mpa(2000.0));
    printed(t.to_nm(), 14.1, 1);
}

#[test]
fn t2_18_t2_19_t2_20_drill_points() {
    // Lecture on drilling time (expertsmind.com): D 20, 118 degrees: 6.0 mm (ours). Its own form with
    // alpha = 59 degrees would be 16.6 mm; it needs 31.
    printed(point_length(mm(20.0), Angle::deg(118.0)).to_mm(), 6.0, 1);
    // GATE PI 2014: 20 mm with a cone of 5 mm, plate 50 mm, 10 m/min, 0.3 mm/rev: 69.1 s with the
    // cone (ours).
    let n = rpm_of(Speed::m_min(10.0), mm(20.0));
    let feed = Speed::mm_min(0.3 * n.to_rpm());
    printed(feed_time(mm(55.0), feed).to_s(), 69.1, 1);
    // GATE PI 2015: 30 mm, 118 degrees, 40 mm of full diameter: Z -49.01 (ours).
    let z = mm(40.0) + point_length(mm(30.0), Angle::deg(118.0));
    printed(z.to_mm(), 49.01, 2);
}

#[test]
fn t2_07_the_metric_constants_of_the_handbook() {
    // Machinery's Handbook 31st ed. p.1152, SI form: M = 0.000025 Kd Ff FM A W and Pc = M N / 9550:
    // 1 / 0.000025 is the 40 000 of the inch form, and 9550 a rounded 9549.3.
    printed(1.0 / 0.000025, 40_000.0, 6);
    let torque = units::Torque::nm(1.0);
    printed(1.0 / torque.power_at(Rpm::rpm(1.0)).to_kw(), 9549.3, 1);
    // A given load doubles with Kd, whatever the units.
    let of = |kd: f64| by_handbook(mm(22.225), mm(0.2032), &HandbookDrill::usual(kd));
    let (one, two) = (of(24_000.0), of(48_000.0));
    printed(two.torque / one.torque, 2.0, 9);
    printed(two.thrust / one.thrust, 2.0, 9);
}
