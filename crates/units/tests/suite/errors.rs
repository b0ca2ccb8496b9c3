//! Error texts, word for word.

use units::{Area, Length, Mass, Parse, ParseError, Place, Power, Time, parse_entered};

fn length(text: &str) -> ParseError {
    Length::parse(text).expect_err(text)
}

#[test]
fn what_was_expected_and_what_was_found() {
    const LENGTH: &str = "expected a length such as 16 in or 406 mm, found";
    for (text, rest, position) in [
        ("", "nothing", 0),
        ("   ", "nothing", 3),
        ("10 kg", "a mass, '10 kg'", 3),
        ("10 lb", "a mass, '10 lb'", 3),
        ("3 h", "a time, '3 h'", 2),
        ("10 in-lb", "a torque, '10 in-lb'", 3),
        ("10 mm2", "an area, '10 mm2'", 3),
        ("10 mm²", "an area, '10 mm²'", 3),
        ("10 in/min", "a speed, '10 in/min'", 3),
        ("10 nm", "a torque, '10 nm'", 3),
        ("10 inn", "the unknown unit 'inn'; did you mean in?", 3),
        (
            "10 milimetres",
            "the unknown unit 'milimetres'; did you mean millimetres?",
            3,
        ),
        (
            "10 furlongs",
            "the unknown unit 'furlongs'; units understood here: mm, cm, m, in, ft, yd, um, thou",
            3,
        ),
        (
            "10 %",
            "the unknown unit '%'; units understood here: mm, cm, m, in, ft, yd, um, thou",
            3,
        ),
        (
            "10 mil",
            "'10 mil', which can mean several units; write thou for thousandths of an inch, or mm",
            3,
        ),
        ("nan mm", "'nan'", 0),
        ("inf", "'inf'", 0),
        ("-inf mm", "'-inf'", 0),
        ("infinity mm", "'infinity'", 0),
        ("1e400 mm", "'1e400', which is too large", 0),
        ("1e308 m", "'1e308 m', which is too large", 0),
        ("1e-400 mm", "'1e-400', which is too small", 0),
        ("ten mm", "'ten'", 0),
        ("mm", "'mm'", 0),
        ("-", "'-'", 0),
        (
            "1,2,3 mm",
            "'1,2,3'; points, commas and spaces in a number must part groups of three digits, with \
             at most one decimal sign at the end, as in 1,250.5",
            0,
        ),
        (
            "1.2.3 mm",
            "'1.2.3'; points, commas and spaces in a number must part groups of three digits, with \
             at most one decimal sign at the end, as in 1,250.5",
            0,
        ),
        (
            "1,250,00 mm",
            "'1,250,00'; points, commas and spaces in a number must part groups of three digits, \
             with at most one decimal sign at the end, as in 1,250.5",
            0,
        ),
    ] {
        let e = length(text);
        assert_eq!(e.to_string(), format!("{LENGTH} {rest}"), "{text}");
        assert_eq!(e.position, position, "{text}");
    }
}

#[test]
fn a_bare_number_names_the_units() {
    assert_eq!(
        length("16").to_string(),
        "expected a length with its unit (mm, cm, m, in, ft, yd, um, thou), found '16' without one; \
         write it like 16 in or 406 mm"
    );
    assert_eq!(
        Area::parse("0").unwrap_err().to_string(),
        "expected an area with its unit (mm2, cm2, m2, in2, ft2), found '0' without one; write it \
         like 2 m2 or 20 sq ft"
    );
    assert_eq!(
        parse_entered::<Length>("10-14").unwrap_err().to_string(),
        "expected a length with its unit (mm, cm, m, in, ft, yd, um, thou), found '10' without one; \
         write it like 16 in or 406 mm"
    );
}

#[test]
fn what_follows_an_amount_is_quoted() {
    let message = |text: &str| length(text).to_string();
    const NOTHING: &str = "expected nothing after a length such as 16 in or 406 mm, found";
    assert_eq!(message("16 in deep"), format!("{NOTHING} 'deep'"));
    assert_eq!(message("16 in 3"), format!("{NOTHING} '3'"));
    assert_eq!(message("8 in 12 in"), format!("{NOTHING} '12 in'"));
    assert_eq!(message("10-14 in"), format!("{NOTHING} '-14 in'"));
    assert_eq!(
        message("11/15 in"),
        format!(
            "{NOTHING} '/15 in'; a range is written 10 to 14, three points low | likely | high"
        )
    );
    assert_eq!(
        message("16 in\nand then a long story about the rest"),
        format!("{NOTHING} 'and then a long story about the ...'")
    );
}

#[test]
fn words_that_mean_several_units_are_refused() {
    assert_eq!(
        Mass::parse("3 tons").unwrap_err().to_string(),
        "expected a mass such as 3500 kg or 7500 lb, found '3 tons', which can mean several units; \
         write t (1000 kg), short tons (2000 lb), long tons (2240 lb), kg or lb"
    );
    assert!(Mass::parse("3 ton").is_err());
    assert_eq!(
        Power::parse("2 mw").unwrap_err().to_string(),
        "expected a power such as 7.5 kW or 10 hp, found '2 mw'; capitals matter here: write MW or mW"
    );
    assert_eq!(
        Time::parse("3 months").unwrap_err().to_string(),
        "expected a time such as 45 min or 2.5 h, found '3 months', which can mean several units; \
         months differ in length: write weeks or days"
    );
}

#[test]
fn spreads_that_make_no_sense_are_refused() {
    let message = |text: &str| parse_entered::<Length>(text).expect_err(text).to_string();
    assert_eq!(
        message("14-10 in"),
        "expected values that rise from low to high, found '14-10 in'; put the smaller one first; a \
         mixed fraction is written 1-3/4 without spaces"
    );
    assert_eq!(
        message("low 3 in, likely 8 in, high 6 in"),
        "expected values that rise from low to high, found 'low 3 in, likely 8 in, high 6 in'; put \
         the smaller one first; a mixed fraction is written 1-3/4 without spaces"
    );
    assert_eq!(
        message("10 in - 14"),
        "expected the unit behind the last number of a range, found '- 14' without one; write the \
         unit once at the end, or with both ends"
    );
    assert_eq!(
        message("low 3 in, likely 4 in"),
        "expected low, likely and high (or low and high), found 'low 3 in, likely 4 in'; an open \
         end is no number: write both ends, as in 0 to 10 with a unit"
    );
    assert_eq!(
        message("up to 10 in"),
        "expected a length such as 16 in or 406 mm, found 'up to 10 in'; an open end is no number: \
         write both ends, as in 0 to 10 with a unit"
    );
    assert_eq!(
        message("10 in max"),
        "expected nothing after a length such as 16 in or 406 mm, found 'max'; an open end is no \
         number: write both ends, as in 0 to 10 with a unit"
    );
    assert_eq!(
        message("16 in (460 mm)"),
        "expected one length in two units, found two that differ, '16 in (460 mm)'; keep the one \
         that is right, or write a range"
    );
    assert_eq!(
        message("8 in ± 120 %"),
        "expected a spread of 0 to 100 %, found '120 %'"
    );
    for bad in [
        "",
        "about",
        "~",
        "10 to",
        "10 in to",
        "10 in -",
        "10 in ±",
        "3 | 4",
        "3 h | 4 h | 6 h",
        "3|4|6",
        "low",
        "low 3 in low 4 in",
        "max 10 in",
        "10 in (",
        "10 in (8-12 in",
        "between 3 in",
        "<= 10 in",
        "10 in - 14 kg",
        "1e308 m to 1e308 m",
        "1 in ± 1e400 in",
    ] {
        assert!(parse_entered::<Length>(bad).is_err(), "{bad}");
    }
}

#[test]
fn an_error_becomes_a_problem_of_a_file() {
    let place = Place {
        file: "offers/a.toml".into(),
        line: 7,
        entity: "travel_x".into(),
    };
    assert_eq!(
        length("10 inn").problem(place).to_string(),
        "offers/a.toml:7: expected a length such as 16 in or 406 mm, found the unknown unit 'inn'\n    \
         did you mean in?"
    );
}
