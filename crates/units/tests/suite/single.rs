//! One amount each. Expected values are written out in base units: inch 25.4 mm, pound 0.45359237 kg
//! and the like from NIST SP 811 (2008) appendix B.

use units::{
    Acceleration, Angle, ApparentPower, Area, Current, Flow, Force, Length, Mass, Parse, Power,
    RemovalRate, Rpm, Speed, Stress, Time, Torque, Voltage, Volume,
};

/// Checks a table; two roundings of an f64 are allowed for (the factor and the sum).
fn table<Q: Parse>(rows: &[(&str, f64)]) {
    assert!(!rows.is_empty());
    for (text, expected) in rows {
        match Q::parse(text) {
            Ok(q) => assert!(
                (q.base() - expected).abs() <= 4.0 * f64::EPSILON * expected.abs(),
                "{text}: {} instead of {expected} {}",
                q.base(),
                Q::BASE_UNIT
            ),
            Err(e) => panic!("{text}: {e}"),
        }
    }
}

#[test]
fn lengths() {
    table::<Length>(&[
        ("16 in", 406.4),
        ("16in", 406.4),
        ("16\"", 406.4),
        ("16″", 406.4),
        ("16”", 406.4),
        ("16''", 406.4),
        ("16 inches", 406.4),
        ("16 IN", 406.4),
        ("16 In.", 406.4),
        ("16. in", 406.4),
        ("  16   in  ", 406.4),
        ("+16 in", 406.4),
        ("406,4 mm", 406.4),
        ("406.4 mm", 406.4),
        ("406.4MM", 406.4),
        ("406.4\u{a0}mm", 406.4),
        ("40.64 cm", 406.4),
        ("0.4064 m", 406.4),
        ("0,4064 Metres", 406.4),
        ("1,250 mm", 1250.0),
        ("1,250.5 mm", 1250.5),
        ("1.250,5 mm", 1250.5),
        ("1.250 mm", 1.25),
        ("1 250 mm", 1250.0),
        ("1\u{202f}250 mm", 1250.0),
        ("1\u{2009}250,5 mm", 1250.5),
        ("12,345,678 mm", 12_345_678.0),
        ("1.234.567 mm", 1_234_567.0),
        ("0,125 in", 3.175),
        ("0.125 in", 3.175),
        (".125 in", 3.175),
        (",125 in", 3.175),
        ("1,25 mm", 1.25),
        ("1250,500 mm", 1250.5),
        ("1,2500 mm", 1.25),
        ("3/8 in", 9.525),
        ("3⁄8 in", 9.525),
        ("⅜ in", 9.525),
        ("½\"", 12.7),
        ("1-1/2 in", 38.1),
        ("1 1/2 in", 38.1),
        ("1½ in", 38.1),
        ("1 ½ in", 38.1),
        ("1–1/2 in", 38.1),
        ("8-1/4\"", 209.55),
        ("8 1/4”", 209.55),
        ("5/4 in", 31.75),
        ("1/3 yd", 304.8),
        ("1 ft 4 in", 406.4),
        ("1ft4in", 406.4),
        ("1'4\"", 406.4),
        ("1' 4\"", 406.4),
        ("1′ 4″", 406.4),
        ("1’4”", 406.4),
        ("1'-4\"", 406.4),
        ("5'-3 1/2\"", 1612.9),
        ("5' 3-1/2\"", 1612.9),
        ("5'3½\"", 1612.9),
        ("5 feet 3.5 inches", 1612.9),
        ("7 ft 10 in", 2387.6),
        ("1 yd 1 ft 1 in", 1244.6),
        ("1 m 25 cm", 1250.0),
        ("-1 ft 4 in", -406.4),
        ("−0.5 mm", -0.5),
        ("- 0.5 mm", -0.5),
        ("25 µm", 0.025),
        ("25 μm", 0.025),
        ("25 um", 0.025),
        ("25 microns", 0.025),
        ("5 thou", 0.127),
        ("2 yards", 1828.8),
        ("1e3 mm", 1000.0),
        ("1.5E-3 m", 1.5),
        ("0 mm", 0.0),
        ("2 mtr", 2000.0),
        ("±0.005 mm", 0.005),
        ("+/- 0.005 mm", 0.005),
    ]);
}

#[test]
fn areas_and_volumes() {
    table::<Area>(&[
        ("2 m2", 2.0e6),
        ("2 m²", 2.0e6),
        ("2 m^2", 2.0e6),
        ("2 sq m", 2.0e6),
        ("10 cm2", 1000.0),
        ("10 in2", 6451.6),
        ("10 sq. in.", 6451.6),
        ("10 sq ft", 929_030.4),
        ("10 square feet", 929_030.4),
        ("5 mm²", 5.0),
    ]);
    table::<Volume>(&[
        ("2 l", 2.0e6),
        ("2 L", 2.0e6),
        ("2 litres", 2.0e6),
        ("500 ml", 5.0e5),
        ("10 in3", 163_870.64),
        ("10 cu in", 163_870.64),
        ("10 cu. in.", 163_870.64),
        ("10 cc", 1.0e4),
        ("1 ft³", 28_316_846.592),
        ("10 US gal", 37_854_117.84),
        ("10 gallons", 37_854_117.84),
        ("1.5 m3", 1.5e9),
    ]);
}

#[test]
fn angles() {
    let deg = std::f64::consts::PI / 180.0;
    table::<Angle>(&[
        ("30 deg", 30.0 * deg),
        ("30°", 30.0 * deg),
        ("30 º", 30.0 * deg),
        ("30 degrees", 30.0 * deg),
        ("30° 15'", 30.25 * deg),
        ("30°15′36″", 30.26 * deg),
        ("-30° 15'", -30.25 * deg),
        ("45'", 0.75 * deg),
        ("0.5 rad", 0.5),
        ("2 mrad", 0.002),
        ("22-1/2°", 22.5 * deg),
    ]);
}

#[test]
fn masses_and_forces() {
    table::<Mass>(&[
        ("7,500 lbs", 3_401.942_775),
        ("7500 lb.", 3_401.942_775),
        ("7500 LBS", 3_401.942_775),
        ("7500#", 3_401.942_775),
        ("3 500 kg", 3500.0),
        ("3.5 t", 3500.0),
        ("3,5 t", 3500.0),
        ("3 tonnes", 3000.0),
        ("3 metric tons", 3000.0),
        ("3 short tons", 2_721.554_22),
        ("3 US tons", 2_721.554_22),
        ("3 long tons", 3_048.140_726_4),
        ("250 g", 0.25),
        ("5 lb 8 oz", 2.494_758_035),
        ("8 oz", 0.226_796_185),
        ("12 Kgs", 12.0),
    ]);
    table::<Force>(&[
        ("500 N", 500.0),
        ("5 kN", 5000.0),
        ("5 KN", 5000.0),
        ("100 lbf", 444.822_161_526_05),
        ("100 lbs", 444.822_161_526_05),
        ("100 pounds force", 444.822_161_526_05),
        ("10 kgf", 98.0665),
        ("10 kp", 98.0665),
        ("100 daN", 1000.0),
    ]);
}

#[test]
fn torques() {
    let ft_lb = 75.0 * 1.355_817_948_331_400_4;
    table::<Torque>(&[
        ("102 Nm", 102.0),
        ("102 N·m", 102.0),
        ("102 N m", 102.0),
        ("102 N-m", 102.0),
        ("102 N*m", 102.0),
        ("102 N.m", 102.0),
        ("102 nm", 102.0),
        ("102 newton metres", 102.0),
        ("75 ft-lb", ft_lb),
        ("75 ft·lbs", ft_lb),
        ("75 ft lbs", ft_lb),
        ("75ftlb", ft_lb),
        ("75 lb-ft", ft_lb),
        ("75 lbf-ft", ft_lb),
        ("75 LBF·FT", ft_lb),
        ("75 ft.-lbs.", ft_lb),
        ("75 foot-pounds", ft_lb),
        ("900 in-lb", ft_lb),
        ("900 inch-pounds", ft_lb),
        ("10 kgf·m", 98.0665),
        ("10 kgm", 98.0665),
        ("50 N cm", 0.5),
        ("1.2 kNm", 1200.0),
        ("75 ft/lbs", ft_lb),
        ("75 lb/ft", ft_lb),
    ]);
}

#[test]
fn pressures() {
    table::<Stress>(&[
        ("90 psi", 0.620_528_156_385_12),
        ("90 PSI", 0.620_528_156_385_12),
        ("90 lb/in²", 0.620_528_156_385_12),
        ("90 pounds per square inch", 0.620_528_156_385_12),
        ("6 bar", 0.6),
        ("6 Bar", 0.6),
        ("0.6 MPa", 0.6),
        ("0.6 Mpa", 0.6),
        ("0,6 mpa", 0.6),
        ("600 kPa", 0.6),
        ("2 mPa", 2.0e-9),
        ("210 GPa", 210_000.0),
        ("1800 N/mm²", 1800.0),
        ("1800 N / mm2", 1800.0),
        ("100000 N/m2", 0.1),
        ("6 kg/cm2", 0.588_399),
        ("4 ksi", 27.579_029_172_672),
    ]);
}

#[test]
fn times() {
    table::<Time>(&[
        ("45 min", 2700.0),
        ("45 mins.", 2700.0),
        ("45 Minutes", 2700.0),
        ("1 h 30 min", 5400.0),
        ("1h30m", 5400.0),
        ("1 hr, 30 min", 5400.0),
        ("1 hour and 30 minutes", 5400.0),
        ("2 1/2 hours", 9000.0),
        ("2½ h", 9000.0),
        ("2,5 h", 9000.0),
        ("3 days", 259_200.0),
        ("4 weeks", 2_419_200.0),
        ("1 week 2 days", 777_600.0),
        ("20 s", 20.0),
        ("20 sec", 20.0),
        ("2 min 20 s", 140.0),
        ("250 ms", 0.25),
        ("3/4 h", 2700.0),
    ]);
}

#[test]
fn speeds() {
    table::<Rpm>(&[
        ("8100 rpm", 8100.0),
        ("8,100 RPM", 8100.0),
        ("8 100 1/min", 8100.0),
        ("8100 min-1", 8100.0),
        ("8100 min⁻¹", 8100.0),
        ("8100 min^-1", 8100.0),
        ("8100 r/min", 8100.0),
        ("8100 rev per min", 8100.0),
        ("8100 U/min", 8100.0),
        ("12k rpm", 12_000.0),
        ("12.000 rpm", 12_000.0),
        ("12.000 U/min", 12_000.0),
        ("12.5 rpm", 12.5),
        ("0.125 rpm", 0.125),
        ("50 rps", 3000.0),
        ("50 1/s", 3000.0),
    ]);
    table::<Speed>(&[
        ("300 ipm", 7.62),
        ("300 IPM", 7.62),
        ("300 in/min", 7.62),
        ("300 in / min", 7.62),
        ("300 inches per minute", 7.62),
        ("300 \"/min", 7.62),
        ("1181 IPM", 29.9974),
        ("48 m/min", 48.0),
        ("48m/min", 48.0),
        ("48 metres per minute", 48.0),
        ("1.2 m/s", 72.0),
        ("600 sfm", 182.88),
        ("600 SFM", 182.88),
        ("600 ft/min", 182.88),
        ("800 mm/min", 0.8),
        ("10 mm/s", 0.6),
        ("5 in/s", 7.62),
    ]);
    table::<Acceleration>(&[
        ("0.5 g", 4.903_325),
        ("0,5 G", 4.903_325),
        ("5 m/s2", 5.0),
        ("5 m/s²", 5.0),
        ("5 m/s^2", 5.0),
        ("5 m/s/s", 5.0),
        ("500 mm/s2", 0.5),
    ]);
}

#[test]
fn rates() {
    table::<RemovalRate>(&[
        ("120 cm3/min", 120_000.0),
        ("120 cm³/min", 120_000.0),
        ("120 cc/min", 120_000.0),
        ("120000 mm3/min", 120_000.0),
        ("7 in3/min", 114_709.448),
        ("7 cu in per min", 114_709.448),
        ("7 cu.in./min", 114_709.448),
    ]);
    table::<Flow>(&[
        ("10 gpm", 37.854_117_84),
        ("10 GPM", 37.854_117_84),
        ("10 US gal/min", 37.854_117_84),
        ("30 cfm", 849.505_397_76),
        ("30 SCFM", 849.505_397_76),
        ("200 l/min", 200.0),
        ("200 L/MIN", 200.0),
        ("200 lpm", 200.0),
        ("12 m3/h", 200.0),
        ("12 m³ / h", 200.0),
        ("0.2 m3/min", 200.0),
    ]);
}

#[test]
fn electricity_and_power() {
    table::<Power>(&[
        ("20 hp", 14.913_997_431_645_404),
        ("20 HP", 14.913_997_431_645_404),
        ("20HP", 14.913_997_431_645_404),
        ("20 h.p.", 14.913_997_431_645_404),
        ("20 horsepower", 14.913_997_431_645_404),
        ("20 PS", 14.709_975),
        ("20 CV", 14.709_975),
        ("20 ch", 14.709_975),
        ("20 metric hp", 14.709_975),
        ("1/2 hp", 0.372_849_935_791_135_1),
        ("1-1/2 hp", 1.118_549_807_373_405_3),
        ("7,5 kW", 7.5),
        ("7.5KW", 7.5),
        ("7.5 kw", 7.5),
        ("750 W", 0.75),
        ("2 MW", 2000.0),
        ("500 mW", 0.0005),
    ]);
    table::<ApparentPower>(&[
        ("30 kVA", 30.0),
        ("30 KVA", 30.0),
        ("500 VA", 0.5),
        ("1 MVA", 1000.0),
    ]);
    table::<Voltage>(&[
        ("230 V", 230.0),
        ("230V", 230.0),
        ("230 VAC", 230.0),
        ("230 V AC", 230.0),
        ("230 volts", 230.0),
        ("0.4 kV", 400.0),
        ("24 VDC", 24.0),
    ]);
    table::<Current>(&[
        ("40 A", 40.0),
        ("40a", 40.0),
        ("40 amps", 40.0),
        ("40 Amperes", 40.0),
        ("500 mA", 0.5),
    ]);
}

#[test]
fn a_default_unit_serves_bare_numbers_only() {
    assert_eq!(
        Length::parse_with_default("16", Length::inch),
        Ok(Length::inch(16.0))
    );
    assert_eq!(
        Length::parse_with_default("16 1/2", Length::inch),
        Ok(Length::inch(16.5))
    );
    assert_eq!(
        Length::parse_with_default("16 mm", Length::inch),
        Ok(Length::mm(16.0))
    );
    assert!(Length::parse_with_default("16 kg", Length::inch).is_err());
    assert!(Length::parse("16").is_err());
}

#[test]
fn signs_are_the_callers_choice() {
    assert!(Length::parse("-3 mm").is_ok());
    assert!(Length::parse_not_negative("-3 mm").is_err());
    assert!(Length::parse_not_negative("0 mm").is_ok());
    assert!(Length::parse_positive("0 mm").is_err());
    assert!(Length::parse_positive("3 mm").is_ok());
}
