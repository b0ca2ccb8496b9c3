//! Printing. Numbers in the right-hand column are worked by hand from the exact unit sizes.

use units::System::{Metric, Us};
use units::{
    Acceleration, Angle, Area, Currency, Flow, Force, Length, Mass, Money, Power, Price,
    RemovalRate, Rounding, Rpm, Speed, Stress, Time, Torque, Volume, number_text, show,
    show_about_money, show_coolant_flow, show_cutting_speed, show_fluid_pressure, show_liquid,
    show_money, show_money_range, show_price, show_range, show_room,
};

#[test]
fn lengths() {
    for (mm, metric, us) in [
        (406.4, "406 mm", "16 in"),
        (6.4, "6.4 mm", "0.252 in"),
        (0.02, "0.02 mm", "0.0008 in"),
        (2450.0, "2.45 m", "96.46 in"),
        (209.55, "210 mm", "8.25 in"),
        (1016.0, "1016 mm", "40 in"),
        (63.5, "63.5 mm", "2.5 in"),
        (0.0254, "0.0254 mm", "0.001 in"),
        (0.00127, "0.00127 mm", "0.00005 in"),
        (99.96, "100 mm", "3.94 in"),
        (25.4, "25.4 mm", "1 in"),
        (12_192.0, "12.19 m", "40 ft"),
        (0.0, "0 mm", "0 in"),
        (-0.5, "-0.5 mm", "-0.02 in"),
    ] {
        assert_eq!(show(Length::mm(mm), Metric), metric, "{mm} mm");
        assert_eq!(show(Length::mm(mm), Us), us, "{mm} mm");
    }
    assert_eq!(show_room(Length::mm(2387.6), Us), "7 ft 10 in");
    assert_eq!(show_room(Length::mm(2387.6), Metric), "2.39 m");
    assert_eq!(show_room(Length::inch(95.7), Us), "8 ft");
    assert_eq!(show_room(Length::inch(7.0), Us), "7 in");
    assert_eq!(show_room(Length::inch(-30.0), Us), "-2 ft 6 in");
    assert_eq!(show_room(Length::ZERO, Us), "0 in");
}

#[test]
fn other_quantities() {
    let both = |metric: String, us: String| format!("{metric} | {us}");
    macro_rules! row {
        ($q:expr, $text:literal) => {
            assert_eq!(both(show($q, Metric), show($q, Us)), $text);
        };
    }
    row!(Mass::kg(3401.943), "3400 kg | 7500 lb");
    row!(Mass::kg(12_345.0), "12.3 t | 27,200 lb");
    row!(Mass::kg(0.25), "250 g | 8.82 oz");
    row!(Power::kw(11.0), "11 kW | 14.8 hp");
    row!(Power::w(370.0), "370 W | 0.496 hp");
    row!(Torque::nm(101.686), "102 N m | 75 ft-lb");
    row!(Torque::nm(0.5), "0.5 N m | 4.43 in-lb");
    row!(Speed::m_min(30.48), "30.5 m/min | 1200 in/min");
    row!(Speed::mm_min(254.0), "254 mm/min | 10 in/min");
    row!(Force::n(4448.2216), "4.45 kN | 1000 lbf");
    row!(Force::n(50.0), "50 N | 11.2 lbf");
    row!(Stress::psi(90.0), "0.621 MPa | 90 psi");
    row!(Stress::kpa(2.0), "2 kPa | 0.29 psi");
    row!(Acceleration::g(0.5), "4.9 m/s² | 0.5 g");
    row!(RemovalRate::inch3_min(7.0), "115 cm³/min | 7 in³/min");
    row!(Flow::cfm(30.0), "850 l/min | 30 cfm");
    row!(Area::foot2(20.0), "1.86 m² | 20 ft²");
    row!(Area::mm2(50.0), "50 mm² | 0.0775 in²");
    row!(Volume::litre(2.5), "2.5 l | 153 in³");
    row!(Angle::deg(22.5), "22.5° | 22.5°");
    row!(Rpm::rpm(8100.0), "8100 rpm | 8100 rpm");
    row!(Rpm::rpm(12_000.0), "12,000 rpm | 12,000 rpm");
    assert_eq!(show_cutting_speed(Speed::foot_min(600.0), Us), "600 ft/min");
    assert_eq!(show_fluid_pressure(Stress::bar(6.0), Metric), "6 bar");
    assert_eq!(show_fluid_pressure(Stress::bar(6.0), Us), "87 psi");
    assert_eq!(show_liquid(Volume::us_gallon(50.0), Us), "50 gal");
    assert_eq!(show_liquid(Volume::us_gallon(50.0), Metric), "189 l");
    assert_eq!(show_coolant_flow(Flow::us_gpm(10.0), Us), "10 gpm");
}

#[test]
fn times() {
    for (seconds, text) in [
        (4.53, "4.5 s"),
        (45.0, "45 s"),
        (90.0, "90 s"),
        (150.0, "2.5 min"),
        (720.0, "12 min"),
        (8640.0, "2.4 h"),
        (172_800.0, "2 days"),
        (1_814_400.0, "3 weeks"),
    ] {
        assert_eq!(show(Time::s(seconds), Metric), text);
        assert_eq!(show(Time::s(seconds), Us), text);
    }
}

#[test]
fn ranges_say_the_unit_once() {
    let range = |a, b, s| show_range(Length::mm(a), Length::mm(b), s);
    assert_eq!(range(254.0, 355.6, Us), "10 to 14 in");
    assert_eq!(range(254.0, 355.6, Metric), "254 to 356 mm");
    assert_eq!(range(254.0, 254.0, Metric), "254 mm");
    assert_eq!(range(900.0, 2450.0, Metric), "0.9 to 2.45 m");
    assert_eq!(range(0.0, 254.0, Us), "0 to 10 in");
    assert_eq!(range(-10.0, 5.0, Metric), "-10 to 5 mm");
    assert_eq!(
        show_range(Time::minutes(50.0), Time::h(3.0), Metric),
        "0.833 to 3 h"
    );
}

#[test]
fn money() {
    let usd = Some(Currency::USD);
    let m = Money::amount;
    assert_eq!(show_money(m(18_900.0), usd, 5), "$18,900");
    assert_eq!(show_money(m(18_943.2), usd, 3), "$18,900");
    assert_eq!(
        show_money(m(1_234_567.0), Some(Currency::EUR), 4),
        "€1,235,000"
    );
    assert_eq!(show_money(m(12_500.0), Some(Currency::GBP), 3), "£12,500");
    assert_eq!(
        show_money(m(12_500.0), Some(Currency::CHF), 3),
        "CHF 12,500"
    );
    assert_eq!(show_money(m(12_500.0), None, 3), "12,500");
    assert_eq!(show_money(m(-1200.0), usd, 3), "-$1,200");
    assert_eq!(show_money(m(12.5), usd, 3), "$12.50");
    assert_eq!(show_money(m(12.53), usd, 4), "$12.53");
    assert_eq!(show_money(m(999.6), usd, 3), "$1,000");
    assert_eq!(show_money(m(0.0), usd, 3), "$0");
    assert_eq!(show_money(m(-0.001), usd, 3), "$0");
    assert_eq!(show_about_money(m(18_962.0), usd), "about $19,000");
    assert_eq!(
        show_money_range(m(10_000.0), m(14_000.0), usd, 3),
        "$10,000 to 14,000"
    );
    assert_eq!(
        show_money_range(m(10_001.0), m(10_002.0), usd, 3),
        "$10,000"
    );
    let price = Price {
        amount: 8900.0,
        currency: Some(Currency::EUR),
    };
    assert_eq!(show_price(price, 4), "€8,900");
}

#[test]
fn numbers() {
    let text = |n, d| number_text(n, Rounding::Significant(d));
    assert_eq!(text(999.6, 3), "1000");
    assert_eq!(text(99_960.0, 3), "100,000");
    assert_eq!(text(0.000_123_4, 3), "0.000123");
    assert_eq!(text(-0.0, 3), "0");
    assert_eq!(text(f64::NAN, 3), "unknown");
    assert_eq!(text(f64::INFINITY, 3), "infinite");
    assert_eq!(number_text(-0.004, Rounding::Decimals(2)), "0");
    assert_eq!(
        number_text(1_234_567.25, Rounding::Decimals(1)),
        "1,234,567.2"
    );
}
