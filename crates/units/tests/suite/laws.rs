//! Laws that hold for every text and every quantity.

use proptest::prelude::*;
use units::System::{self, Metric, Us};
use units::{
    Acceleration, Angle, ApparentPower, Area, Currency, Current, Flow, Force, Length, Mass, Money,
    Parse, Power, RemovalRate, Rpm, Show, Speed, Spread, Stress, Time, Torque, Voltage, Volume,
    parse_dimensions, parse_entered, parse_entered_price, parse_price, parse_rated, parse_supply,
    parse_torque_at, show, show_money, show_range, show_room,
};

/// Half of the last place a printed number shows, in its own unit.
fn half_step(printed: &str) -> f64 {
    let number: String = printed
        .chars()
        .filter(|c| !matches!(c, ',' | '-'))
        .collect();
    let end = number
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(number.len());
    let number = &number[..end];
    match number.split_once('.') {
        Some((_, decimals)) => 0.5 * 10f64.powi(-(decimals.len() as i32)),
        None => {
            let zeros = number.len() - number.trim_end_matches('0').len();
            // "0" hides nothing; "100" may hide two digits, but three are significant.
            let hidden = 0.5 * 10f64.powi(if number == "0" { 0 } else { zeros as i32 });
            let size: f64 = number.parse().unwrap_or(0.0);
            hidden.min((0.005 * size).max(0.5))
        }
    }
}

/// Print and read back: off by no more than half the last printed place.
fn round_trip<Q: Parse + Show>(base: f64, system: System) -> Result<(), TestCaseError> {
    let q = Q::from_base(base);
    let printed = show(q, system);
    let back = Q::parse(&printed).map_err(|e| TestCaseError::fail(format!("{printed}: {e}")))?;
    // Size of the printed unit: what the printed text with the number 1 reads as.
    let unit_text = printed.trim_start_matches(|c: char| c.is_ascii_digit() || "-.,".contains(c));
    let unit = Q::parse(&format!("1{unit_text}"))
        .map_err(|e| TestCaseError::fail(format!("1{unit_text}: {e}")))?;
    let allowed = half_step(&printed) * unit.base() * (1.0 + 1e-9) + 1e-12 * base.abs();
    prop_assert!(
        (back.base() - base).abs() <= allowed,
        "{base} printed {printed} read {} allowed {allowed}",
        back.base()
    );
    // Printing what was read loses nothing more.
    let again = show(back, system);
    let back_again = Q::parse(&again).map_err(|e| TestCaseError::fail(e.to_string()))?;
    prop_assert!(
        (back_again.base() - back.base()).abs() <= 1e-9 * back.base().abs(),
        "{printed} then {again}"
    );
    Ok(())
}

/// Numbers over many sizes, both signs.
fn sizes() -> impl Strategy<Value = f64> {
    (prop::bool::ANY, -4.0..7.0f64).prop_map(|(neg, e)| {
        let x = 10f64.powf(e);
        if neg { -x } else { x }
    })
}

macro_rules! round_trips {
    ($($name:ident $q:ty),+ $(,)?) => {
        proptest! { $(
            #[test]
            fn $name(base in sizes(), us in prop::bool::ANY) {
                round_trip::<$q>(base, if us { Us } else { Metric })?;
            }
        )+ }
    };
}

round_trips!(
    length Length, area Area, volume Volume, angle Angle, mass Mass, force Force, torque Torque,
    stress Stress, time Time, rpm Rpm, speed Speed, acceleration Acceleration,
    removal RemovalRate, flow Flow, power Power, apparent ApparentPower, voltage Voltage,
    current Current,
);

/// Reads a text in every way there is.
fn read_all(text: &str) -> Vec<units::ParseError> {
    let mut errors = Vec::new();
    macro_rules! each {
        ($($q:ty),+) => { $(
            errors.extend(<$q>::parse(text).err());
            errors.extend(parse_entered::<$q>(text).err());
            errors.extend(<$q>::parse_with_default(text, |n| <$q as units::Quantity>::from_base(n)).err());
        )+ };
    }
    each!(
        Length,
        Area,
        Volume,
        Angle,
        Mass,
        Force,
        Torque,
        Stress,
        Time,
        Rpm,
        Speed,
        Acceleration,
        RemovalRate,
        Flow,
        Power,
        ApparentPower,
        Voltage,
        Current
    );
    errors.extend(parse_price(text).err());
    errors.extend(parse_entered_price(text).err());
    errors.extend(parse_dimensions(text).err());
    errors.extend(parse_supply(text).err());
    errors.extend(parse_rated(text).err());
    errors.extend(parse_torque_at(text).err());
    errors
}

/// Texts made of the pieces people use, to get past the first character.
fn near_misses() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "1", "12", "250", "000", "0", "1e9", "1e400", ".", ",", " ", "-", "–", "/", "|", "..", "…",
        "±", "+-", "½", "⅜", "⁄", "'", "\"", "″", "’", "°", "x", "×", "(", ")", "%", "@", "~",
        "mm", "in", "ft", "kg", "lb", "h", "min", "kW", "hp", "V", "A", "3~", "ph", "S6", "S1",
        "40%", "$", "€", "EUR", "k", "kr", "to", "low", "likely", "high", "about", "and",
        "between", "ton", "mw", "\u{a0}", "\u{202f}", "µ", "²", "^2", "per", "NaN", "inf", "N",
        "·", "m", "e", "E5",
    ]);
    prop::collection::vec(piece, 0..10).prop_map(|pieces| pieces.concat())
}

fn check_errors(text: &str) -> Result<(), TestCaseError> {
    for error in read_all(text) {
        prop_assert!(text.is_char_boundary(error.position), "{text:?}: {error:?}");
        prop_assert!(
            !error.expected.is_empty() && !error.found.is_empty(),
            "{text:?}: {error:?}"
        );
    }
    Ok(())
}

/// A number as the plainest writing of it.
fn plain(whole: u32, decimals: u32) -> (String, f64) {
    let text = format!("{whole}.{decimals:02}");
    // One correctly rounded division of exact integers is the nearest f64 to the decimal.
    let value = f64::from(whole * 100 + decimals) / 100.0;
    (text, value)
}

proptest! {
    #[test]
    fn nothing_panics_on_any_text(text in any::<String>()) {
        check_errors(&text)?;
    }

    #[test]
    fn nothing_panics_on_near_misses(text in near_misses()) {
        check_errors(&text)?;
    }

    #[test]
    fn what_is_read_is_finite(text in near_misses()) {
        if let Ok(q) = Length::parse(&text) {
            prop_assert!(q.is_finite());
        }
        if let Ok(e) = parse_entered::<Power>(&text) {
            let (low, high) = e.ends();
            prop_assert!(low.is_finite() && high.is_finite() && low <= e.likely && e.likely <= high);
        }
        if let Ok(p) = parse_price(&text) {
            prop_assert!(p.amount.is_finite());
        }
    }

    #[test]
    fn case_and_spaces_change_nothing(
        whole in 0u32..5000, decimals in 0u32..100,
        unit in prop::sample::select(vec!["mm", "cm", "m", "in", "inches", "ft", "yd", "thou"]),
        flips in any::<u32>(), before in "[ \u{a0}\u{2009}\u{202f}\t]{0,3}",
        between in "[ \u{a0}\u{2009}\u{202f}]{0,3}", after in "[ \n]{0,2}",
    ) {
        let (number, _) = plain(whole, decimals);
        let flipped: String = unit.chars().enumerate()
            .map(|(i, c)| if flips >> i & 1 == 1 { c.to_ascii_uppercase() } else { c })
            .collect();
        let reference = Length::parse(&format!("{number} {unit}"));
        prop_assert!(reference.is_ok());
        prop_assert_eq!(Length::parse(&format!("{before}{number}{between}{flipped}{after}")), reference);
    }

    #[test]
    fn point_and_comma_say_the_same(whole in 0u32..5000, decimals in 0u32..100) {
        let (point, value) = plain(whole, decimals);
        let comma = point.replace('.', ",");
        prop_assert_eq!(Length::parse(&format!("{point} mm")), Ok(Length::mm(value)));
        prop_assert_eq!(Length::parse(&format!("{comma} mm")), Ok(Length::mm(value)));
    }

    #[test]
    fn thousands_group_in_every_style(n in 1000u32..1_000_000_000) {
        let digits = n.to_string();
        let grouped = |sign: &str| {
            let mut out = String::new();
            for (i, c) in digits.chars().enumerate() {
                if i > 0 && (digits.len() - i).is_multiple_of(3) {
                    out.push_str(sign);
                }
                out.push(c);
            }
            out
        };
        for sign in [",", " ", "\u{a0}", "\u{202f}", "\u{2009}"] {
            prop_assert_eq!(Mass::parse(&format!("{} kg", grouped(sign))), Ok(Mass::kg(f64::from(n))));
        }
        for sign in [",", ".", " ", "'", "’", ""] {
            prop_assert_eq!(parse_price(&format!("{} EUR", grouped(sign))).map(|p| p.amount), Ok(f64::from(n)));
        }
    }

    #[test]
    fn mixed_fractions_are_exact(whole in 1u32..400, log in 1u32..8, pick in any::<u32>()) {
        let d = 1u32 << log;
        let n = pick % (d - 1).max(1) + u32::from(d == 2);
        let n = n.max(1);
        // Dyadic fractions are exact in binary.
        let inches = f64::from(whole) + f64::from(n) / f64::from(d);
        let expected = Length::inch(inches);
        for text in [
            format!("{whole} {n}/{d} in"), format!("{whole}-{n}/{d}\""), format!("{whole}–{n}⁄{d} inches"),
        ] {
            prop_assert_eq!(Length::parse(&text), Ok(expected), "{}", text);
            prop_assert_eq!(parse_entered::<Length>(&text).map(|e| e.spread), Ok(Spread::None), "{}", text);
        }
    }

    #[test]
    fn a_range_reads_back(low in 1u32..9000, more in 1u32..900, us in prop::bool::ANY) {
        let system = if us { Us } else { Metric };
        let (a, b) = (Mass::kg(f64::from(low)), Mass::kg(f64::from(low + more)));
        let printed = show_range(a, b, system);
        let read = parse_entered::<Mass>(&printed)
            .map_err(|e| TestCaseError::fail(format!("{printed}: {e}")))?;
        let (low, high) = read.ends();
        // Three significant digits: half a percent of either end.
        prop_assert!((low - a).abs().to_kg() <= 0.005 * a.to_kg(), "{}", printed);
        prop_assert!((high - b).abs().to_kg() <= 0.005 * b.to_kg(), "{}", printed);
    }

    #[test]
    fn a_room_reads_back(mm in -20_000.0..20_000.0f64, us in prop::bool::ANY) {
        let system = if us { Us } else { Metric };
        let printed = show_room(Length::mm(mm), system);
        let read = Length::parse(&printed).map_err(|e| TestCaseError::fail(format!("{printed}: {e}")))?;
        let half = if us { 12.7 } else { 5.0 };
        prop_assert!((read.to_mm() - mm).abs() <= half + 1e-9, "{mm} printed {printed}");
    }

    #[test]
    fn money_reads_back(
        amount in -1.0e7..1.0e7f64, digits in 1u8..7,
        code in prop::sample::select(vec![Some(Currency::USD), Some(Currency::EUR), Some(Currency::CHF), None]),
    ) {
        let printed = show_money(Money::amount(amount), code, digits);
        let read = parse_price(&printed).map_err(|e| TestCaseError::fail(format!("{printed}: {e}")))?;
        prop_assert_eq!(read.currency, code);
        // Half a step of the last significant digit, or half a cent.
        let step = 10f64.powi(amount.abs().log10().floor() as i32 + 1 - i32::from(digits));
        prop_assert!((read.amount - amount).abs() <= 0.5 * step.max(0.01) * (1.0 + 1e-9), "{amount} printed {printed}");
    }
}
