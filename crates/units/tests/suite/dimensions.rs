//! Sizes in several directions.

use units::{Length, parse_dimensions};

#[test]
fn the_unit_is_shared_or_each_has_its_own() {
    let inch = |n: &[f64]| n.iter().map(|n| Length::inch(*n)).collect::<Vec<_>>();
    let mm = |n: &[f64]| n.iter().map(|n| Length::mm(*n)).collect::<Vec<_>>();
    for (text, expected) in [
        ("12 x 8 x 3 in", inch(&[12.0, 8.0, 3.0])),
        ("12x8x3in", inch(&[12.0, 8.0, 3.0])),
        ("12\" x 8\" x 3\"", inch(&[12.0, 8.0, 3.0])),
        ("12\"x8\"x3\"", inch(&[12.0, 8.0, 3.0])),
        ("12 X 8 X 3 IN.", inch(&[12.0, 8.0, 3.0])),
        ("12 by 8 by 3 inches", inch(&[12.0, 8.0, 3.0])),
        ("12 * 8 in", inch(&[12.0, 8.0])),
        ("1-1/2 x 2 1/4 x 3/4 in", inch(&[1.5, 2.25, 0.75])),
        ("300×200×75 mm", mm(&[300.0, 200.0, 75.0])),
        ("300mmx200mm", mm(&[300.0, 200.0])),
        ("300 mm × 200 mm", mm(&[300.0, 200.0])),
        ("1,250 x 320,5 mm", mm(&[1250.0, 320.5])),
        (
            "12 in x 200 mm",
            vec![Length::inch(12.0), Length::mm(200.0)],
        ),
        ("1 ft 4 in x 2 ft", inch(&[16.0, 24.0])),
        ("5' 3\" x 2'", inch(&[63.0, 24.0])),
        ("16 in", inch(&[16.0])),
    ] {
        let got = parse_dimensions(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert_eq!(got.len(), expected.len(), "{text}");
        for (a, b) in got.iter().zip(&expected) {
            assert!((*a - *b).abs().to_mm() < 1e-9, "{text}: {got:?}");
        }
    }
}

#[test]
fn a_missing_unit_is_named() {
    let message = |text: &str| parse_dimensions(text).unwrap_err().to_string();
    assert_eq!(
        message("12 x 8 x 3"),
        "expected a length with its unit (mm, cm, m, in, ft, yd, um, thou), found '12' without one; \
         write it like 16 in or 406 mm"
    );
    assert_eq!(
        message("12 in x 8 x 3 in"),
        "expected a unit with every length, or one unit after the last, found '8' without one"
    );
    assert_eq!(
        message("12 in x 8"),
        "expected a length with its unit (mm, cm, m, in, ft, yd, um, thou), found '8' without one; \
         write it like 16 in or 406 mm"
    );
    for bad in [
        "",
        "x",
        "12 x",
        "12 x 8 kg",
        "12 x 8 in deep",
        "12 8 in",
        "x 12 in",
    ] {
        assert!(parse_dimensions(bad).is_err(), "{bad}");
    }
}
