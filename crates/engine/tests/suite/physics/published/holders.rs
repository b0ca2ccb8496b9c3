//! Tapers, and what a standard outlet feeds.

use super::{printed, truncated};
use engine::machine::{SteepTaper, Taper};
use engine::site::electrical::Rules;
use units::{Current, Voltage};

fn steep(taper: &str) -> SteepTaper {
    let taper: Taper = taper.parse().expect("a taper");
    taper.steep().expect("a steep taper")
}

#[test]
fn t8_09_cones_by_mas_403() {
    // A machine manual quoting MAS 403-1982 Table 1: gauge diameter, shank and flange, and the small end.
    for (taper, gauge, small, flange) in [
        ("BT30", 31.75, 17.633, 46.0),
        ("BT40", 44.45, 25.375, 63.0),
        ("BT50", 69.85, 40.158, 100.0),
    ] {
        let cone = steep(taper);
        printed(cone.gauge_diameter.to_mm(), gauge, 2);
        printed(cone.small_end().to_mm(), small, 3);
        printed(cone.flange.to_mm(), flange, 0);
    }
}

#[test]
fn t8_10_cones_by_ansi_b5_50() {
    // Ingersoll catalogue 2011 p.778, inches; the gauge lines are those of MAS 403.
    for (taper, metric, gauge, flange) in [
        ("CAT30", "BT30", 1.25, 1.812),
        ("CAT40", "BT40", 1.75, 2.5),
        ("CAT50", "BT50", 2.75, 3.875),
    ] {
        let cone = steep(taper);
        printed(cone.gauge_diameter.to_inch(), gauge, 3);
        printed(cone.flange.to_inch(), flange, 3);
        printed(
            cone.gauge_diameter.to_mm(),
            steep(metric).gauge_diameter.to_mm(),
            6,
        );
    }
}

#[test]
fn t8_11_half_angle_of_the_steep_taper() {
    // The same page: 8 degrees 17 minutes 50 seconds.
    let printed_deg = 8.0 + 17.0 / 60.0 + 50.0 / 3600.0;
    let half = SteepTaper::half_angle().to_deg();
    assert!((half - printed_deg).abs() < 0.5 / 3600.0, "{half}");
    truncated(half, 8.2971, 4);
}

#[test]
fn t6_12_what_a_standard_outlet_feeds() {
    // benzen-3.github.io, desktop mill notes: 15 A x 0.8 x 120 V, 12 A of it for good.
    let outlet = Rules::Nec.continuous_kva(Current::a(15.0), Voltage::v(120.0));
    printed(outlet.to_kva(), 1.44, 2);
}
