//! Amounts with their spread.

use units::Spread::{LowLikelyHigh, None as Exact, Range};
use units::{
    Entered, Length, Mass, Parse, Power, Rpm, Spread, Time, Torque, parse_entered,
    parse_entered_not_negative, parse_entered_positive, parse_entered_with_default,
};

fn read<Q: Parse>(text: &str) -> Entered<Q> {
    parse_entered::<Q>(text).unwrap_or_else(|e| panic!("{text}: {e}"))
}

/// Least, likely, greatest in base units, and which form of spread.
fn parts<Q: Parse>(text: &str) -> (f64, f64, f64, char) {
    let e = read::<Q>(text);
    let (low, high) = e.ends();
    let form = match e.spread {
        Spread::None => 'n',
        Spread::Range { .. } => 'r',
        Spread::LowLikelyHigh { .. } => 't',
        Spread::Either { .. } => 'e',
    };
    (low.base(), e.likely.base(), high.base(), form)
}

fn table<Q: Parse>(rows: &[(&str, f64, f64, f64, char)]) {
    for (text, low, likely, high, form) in rows {
        let got = parts::<Q>(text);
        let close = |a: f64, b: f64| (a - b).abs() <= 8.0 * f64::EPSILON * b.abs().max(high.abs());
        assert!(
            close(got.0, *low) && close(got.1, *likely) && close(got.2, *high) && got.3 == *form,
            "{text}: {got:?} instead of {:?}",
            (low, likely, high, form)
        );
    }
}

#[test]
fn lengths_with_a_spread() {
    table::<Length>(&[
        ("10 in", 254.0, 254.0, 254.0, 'n'),
        ("10-14 in", 254.0, 304.8, 355.6, 'r'),
        ("10 - 14 in", 254.0, 304.8, 355.6, 'r'),
        ("10–14 in", 254.0, 304.8, 355.6, 'r'),
        ("10 in to 14 in", 254.0, 304.8, 355.6, 'r'),
        ("10 to 14 in", 254.0, 304.8, 355.6, 'r'),
        ("10in-14in", 254.0, 304.8, 355.6, 'r'),
        ("10..14 in", 254.0, 304.8, 355.6, 'r'),
        ("10...14 in", 254.0, 304.8, 355.6, 'r'),
        ("10…14 in", 254.0, 304.8, 355.6, 'r'),
        ("10 in..14 in", 254.0, 304.8, 355.6, 'r'),
        ("from 10 to 14 in", 254.0, 304.8, 355.6, 'r'),
        ("between 10 and 14 in", 254.0, 304.8, 355.6, 'r'),
        ("0 to 10 in", 0.0, 127.0, 254.0, 'r'),
        ("254 mm to 14 in", 254.0, 304.8, 355.6, 'r'),
        ("10\" - 14\"", 254.0, 304.8, 355.6, 'r'),
        ("10-10 in", 254.0, 254.0, 254.0, 'n'),
        ("8 +- 1 in", 177.8, 203.2, 228.6, 'r'),
        ("8 ± 1 in", 177.8, 203.2, 228.6, 'r'),
        ("8±1in", 177.8, 203.2, 228.6, 'r'),
        ("8 in ± 1", 177.8, 203.2, 228.6, 'r'),
        ("8 in +/- 1 in", 177.8, 203.2, 228.6, 'r'),
        ("203.2 mm ± 1 in", 177.8, 203.2, 228.6, 'r'),
        ("8 in ± 12.5 %", 177.8, 203.2, 228.6, 'r'),
        ("8 in ± 12,5%", 177.8, 203.2, 228.6, 'r'),
        ("about 12 in", 274.32, 304.8, 335.28, 't'),
        ("~12 in", 274.32, 304.8, 335.28, 't'),
        ("≈ 12 in", 274.32, 304.8, 335.28, 't'),
        ("approx. 12 in", 274.32, 304.8, 335.28, 't'),
        ("ca. 12 in", 274.32, 304.8, 335.28, 't'),
        ("ABOUT 12 IN", 274.32, 304.8, 335.28, 't'),
        ("about 10-14 in", 254.0, 304.8, 355.6, 'r'),
        ("12 in (10-14 in)", 254.0, 304.8, 355.6, 't'),
        ("12 in (10 to 14)", 254.0, 304.8, 355.6, 't'),
        ("1-1/2 in", 38.1, 38.1, 38.1, 'n'),
        ("8-1/4\"", 209.55, 209.55, 209.55, 'n'),
        ("1-2 1/2 in", 25.4, 44.45, 63.5, 'r'),
        ("1-1/2-2 in", 38.1, 44.45, 50.8, 'r'),
        ("1-1/2 - 2-1/2 in", 38.1, 50.8, 63.5, 'r'),
        ("3/8-1/2 in", 9.525, 11.1125, 12.7, 'r'),
        ("5'-6'", 1524.0, 1676.4, 1828.8, 'r'),
        ("5'-3\" to 5'-6\"", 1600.2, 1638.3, 1676.4, 'r'),
        ("1,250-1,500 mm", 1250.0, 1375.0, 1500.0, 'r'),
        ("12,5-14,5 mm", 12.5, 13.5, 14.5, 'r'),
        ("-10 to 5 mm", -10.0, -2.5, 5.0, 'r'),
        ("-10 - -5 mm", -10.0, -7.5, -5.0, 'r'),
        ("10~14 in", 254.0, 304.8, 355.6, 'r'),
        ("16 in = 406 mm", 406.4, 406.4, 406.4, 'n'),
        ("16 in (406 mm)", 406.4, 406.4, 406.4, 'n'),
        ("406 mm / 16 in", 406.0, 406.0, 406.0, 'n'),
        ("low 10, likely 12, high 16 in", 254.0, 304.8, 406.4, 't'),
    ]);
}

#[test]
fn times_with_three_points() {
    let (l, m, h) = (10_800.0, 14_400.0, 21_600.0);
    table::<Time>(&[
        ("low 3 h, likely 4 h, high 6 h", l, m, h, 't'),
        ("low 3 h likely 4 h high 6 h", l, m, h, 't'),
        ("low: 3 h; most likely: 4 h; high: 6 h", l, m, h, 't'),
        ("min 3 h / typ 4 h / max 6 h", l, m, h, 't'),
        ("likely 4 h, low 180 min, high 6 h", l, m, h, 't'),
        ("3 h | 4 h | 6 h", l, m, h, 't'),
        ("3|4|6 h", l, m, h, 't'),
        ("3/4/6 h", l, m, h, 't'),
        ("3 / 4 / 6 h", l, m, h, 't'),
        ("4 h (3-6)", l, m, h, 't'),
        ("low 3 h, high 6 h", l, 16_200.0, h, 'r'),
        ("3-6 h", l, 16_200.0, h, 'r'),
        ("10 min-1 h", 600.0, 2100.0, 3600.0, 'r'),
        ("5 min", 300.0, 300.0, 300.0, 'n'),
        ("2 to 3 weeks", 1_209_600.0, 1_512_000.0, 1_814_400.0, 'r'),
    ]);
}

#[test]
fn a_thousands_comma_is_remarked_upon() {
    let remarks = |text: &str| -> Vec<String> {
        read::<Length>(text)
            .remarks
            .iter()
            .map(ToString::to_string)
            .collect()
    };
    assert_eq!(
        remarks("1,250 mm"),
        ["'1,250' is read as 1250: a comma before exactly three digits parts thousands"]
    );
    assert_eq!(remarks("1,250-1,500 mm").len(), 2);
    for plain in [
        "1250 mm",
        "406,4 mm",
        "0,125 in",
        "1,250.5 mm",
        "1 250 mm",
        "1,250,000 mm",
    ] {
        assert_eq!(remarks(plain), [""; 0], "{plain}");
    }
    assert_eq!(
        parse_entered::<Rpm>("8.000-12.000 rpm").map(|e| (e.ends(), e.remarks.len())),
        Ok(((Rpm::rpm(8000.0), Rpm::rpm(12_000.0)), 2))
    );
    assert_eq!(
        parse_entered::<Mass>("3.400 kg").map(|e| (e.likely, e.remarks[0].to_string())),
        Ok((
            Mass::kg(3.4),
            "'3.400' is read as 3.4: the point is taken for a decimal point".to_owned()
        ))
    );
    assert_eq!(remarks("1.250 in"), [""; 0]);
    assert_eq!(
        remarks("±0.005 mm"),
        ["plus or minus an amount is read as the amount"]
    );
    assert_eq!(
        remarks("about 12 in"),
        ["'about' is taken as plus or minus 10 %"]
    );
}

#[test]
fn powers_and_torques_are_cut_down_to_one_amount() {
    let p = read::<Power>("11/15 kW (S1/S6)");
    assert_eq!((p.likely, p.spread), (Power::kw(11.0), Exact));
    assert_eq!(p.remarks[0].text, "also stated, for a limited time: 15 kW");
    let p = read::<Power>("15 kW S6-40%");
    assert_eq!(p.likely, Power::kw(15.0));
    assert_eq!(
        p.remarks[0].text,
        "only a limited duty is stated; ask for the continuous (S1) power"
    );
    assert_eq!(read::<Power>("3/4 kW").likely, Power::kw(3.0));
    assert_eq!(read::<Power>("3/4 hp").likely, Power::hp(0.75));
    assert_eq!(
        read::<Power>("11-15 kW").spread,
        Range {
            low: Power::kw(11.0),
            high: Power::kw(15.0)
        }
    );
    let t = read::<Torque>("75 ft-lb @ 1400 rpm");
    assert_eq!(t.likely, Torque::ft_lb(75.0));
    assert_eq!(t.remarks[0].text, "stated at 1400 rpm");
}

#[test]
fn defaults_and_signs() {
    let of = |text| parse_entered_with_default::<Mass>(text, Mass::kg).map(|e| e.spread);
    assert_eq!(
        of("3-4"),
        Ok(Range {
            low: Mass::kg(3.0),
            high: Mass::kg(4.0)
        })
    );
    assert_eq!(
        of("3|4|6"),
        Ok(LowLikelyHigh {
            low: Mass::kg(3.0),
            likely: Mass::kg(4.0),
            high: Mass::kg(6.0)
        })
    );
    assert_eq!(
        of("3-4 lb"),
        Ok(Range {
            low: Mass::lb(3.0),
            high: Mass::lb(4.0)
        })
    );
    assert!(parse_entered::<Power>("14-10 kW").is_err());
    assert!(parse_entered_positive::<Length>("0 to 10 in").is_err());
    assert!(parse_entered_not_negative::<Length>("0 to 10 in").is_ok());
    assert!(parse_entered_not_negative::<Length>("1 ± 2 in").is_err());
}

#[test]
fn an_entered_number_becomes_a_stated_value() {
    let place = units::Place {
        file: "shop.toml".into(),
        line: 3,
        entity: "door".into(),
    };
    let value = read::<Length>("10-14 in").value("site/door", place.clone());
    assert_eq!(value.id.0, "site/door");
    assert_eq!(value.origin, units::Origin::Stated { place });
    assert_eq!(value.ends(), (Length::inch(10.0), Length::inch(14.0)));
}
