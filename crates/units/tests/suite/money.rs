//! Prices.

use units::{Currency, Money, Spread, parse_entered_price, parse_price};

#[test]
fn prices_as_people_write_them() {
    let (usd, eur, gbp) = (Some("USD"), Some("EUR"), Some("GBP"));
    for (text, amount, code) in [
        ("$18,900", 18_900.0, usd),
        ("$18900", 18_900.0, usd),
        ("$ 18,900.00", 18_900.0, usd),
        ("$18,900.50", 18_900.5, usd),
        ("US$ 18.9k", 18_900.0, usd),
        ("US$18,900", 18_900.0, usd),
        ("18.9k USD", 18_900.0, usd),
        ("18.9K usd", 18_900.0, usd),
        ("18,9k USD", 18_900.0, usd),
        ("USD 18,900", 18_900.0, usd),
        ("18,900 dollars", 18_900.0, usd),
        ("$18,900 USD", 18_900.0, usd),
        ("$18,900 CAD", 18_900.0, Some("CAD")),
        ("C$18,900", 18_900.0, Some("CAD")),
        ("A$ 1.2M", 1_200_000.0, Some("AUD")),
        ("€ 8.900,-", 8900.0, eur),
        ("€8.900,–", 8900.0, eur),
        ("8.900 EUR", 8900.0, eur),
        ("8.900,- €", 8900.0, eur),
        ("8900.- EUR", 8900.0, eur),
        ("8.900,00 €", 8900.0, eur),
        ("1.250,50 EUR", 1250.5, eur),
        ("1,250.50 EUR", 1250.5, eur),
        ("1250,50 €", 1250.5, eur),
        ("1.250.000 EUR", 1_250_000.0, eur),
        ("0,125 EUR", 0.125, eur),
        ("12.50 €", 12.5, eur),
        ("12,5 €", 12.5, eur),
        ("8 900 €", 8900.0, eur),
        ("9k€", 9000.0, eur),
        ("9 kEUR", 9000.0, eur),
        ("9 thousand euros", 9000.0, eur),
        ("1.2 million EUR", 1_200_000.0, eur),
        ("£12 500", 12_500.0, gbp),
        ("£12\u{2009}500", 12_500.0, gbp),
        ("£12\u{a0}500", 12_500.0, gbp),
        ("£12,500", 12_500.0, gbp),
        ("12500 gbp", 12_500.0, gbp),
        ("CHF 12'500.-", 12_500.0, Some("CHF")),
        ("CHF 12’500.50", 12_500.5, Some("CHF")),
        ("150 000 SEK", 150_000.0, Some("SEK")),
        ("2 000 000 JPY", 2_000_000.0, Some("JPY")),
        ("18,900", 18_900.0, None),
        ("18900", 18_900.0, None),
        ("-$500", -500.0, usd),
        ("$-500", -500.0, usd),
        ("0 EUR", 0.0, eur),
        ("$1,000.", 1000.0, usd),
    ] {
        let got = parse_price(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(
            (got.amount - amount).abs() <= 2.0 * f64::EPSILON * amount.abs(),
            "{text}: {got:?}"
        );
        assert_eq!(
            got.currency.map(|c| c.to_string()).as_deref(),
            code,
            "{text}"
        );
    }
}

#[test]
fn prices_with_a_spread() {
    for (text, low, likely, high, code) in [
        ("$10,000-14,000", 10e3, 12e3, 14e3, "USD"),
        ("$10,000 - $14,000", 10e3, 12e3, 14e3, "USD"),
        ("10.000 - 14.000 EUR", 10e3, 12e3, 14e3, "EUR"),
        ("8.900,- to 9.500,- EUR", 8900.0, 9200.0, 9500.0, "EUR"),
        ("$10-14k", 10e3, 12e3, 14e3, "USD"),
        ("$10k-14k", 10e3, 12e3, 14e3, "USD"),
        ("$500-2k", 500.0, 1250.0, 2e3, "USD"),
        ("about $19,000", 17.1e3, 19e3, 20.9e3, "USD"),
        ("~19k EUR", 17.1e3, 19e3, 20.9e3, "EUR"),
        ("€ 8.900 ± 500", 8400.0, 8900.0, 9400.0, "EUR"),
        ("€ 8.900 ± 10 %", 8010.0, 8900.0, 9790.0, "EUR"),
        ("low 8k, likely 9k, high 12k USD", 8e3, 9e3, 12e3, "USD"),
        ("$8k | $9k | $12k", 8e3, 9e3, 12e3, "USD"),
        ("$9,000 (8,000-12,000)", 8e3, 9e3, 12e3, "USD"),
        ("$18,900", 18.9e3, 18.9e3, 18.9e3, "USD"),
    ] {
        let got = parse_entered_price(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        let (l, h) = got.amount.ends();
        for (a, b) in [(l, low), (got.amount.likely, likely), (h, high)] {
            assert!((a.to_amount() - b).abs() < 1e-9 * b, "{text}: {got:?}");
        }
        assert_eq!(
            got.currency.map(|c| c.to_string()).as_deref(),
            Some(code),
            "{text}"
        );
    }
}

#[test]
fn doubtful_readings_are_remarked_upon() {
    let remarks = |text: &str| -> Vec<String> {
        let read = parse_entered_price(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        read.amount
            .remarks
            .iter()
            .map(ToString::to_string)
            .collect()
    };
    assert_eq!(
        remarks("8.900 EUR"),
        [
            "'8.900' is read as 8900: a point in an amount of money before exactly three digits parts thousands"
        ]
    );
    assert_eq!(remarks("8900 EUR"), [""; 0]);
    assert_eq!(remarks("$8,900"), [""; 0]);
    let certain = |text: &str| parse_entered_price(text).map(|p| p.currency_certain);
    assert_eq!(certain("$8900"), Ok(false));
    assert_eq!(certain("US$ 8900"), Ok(true));
    assert_eq!(certain("$8900 - $9500 CAD"), Ok(true));
    assert_eq!(certain("8900"), Ok(true));
    assert_eq!(
        remarks("€10-14k"),
        ["'€10' is read as 10000, like the number after it"]
    );
}

#[test]
fn unclear_prices_are_refused() {
    let message = |t: &str| parse_price(t).unwrap_err().to_string();
    assert_eq!(
        message("500 kr"),
        "expected an amount of money such as $18,900 or 18.900 EUR, found 'kr', which several \
         currencies share; write SEK, NOK or DKK"
    );
    assert_eq!(
        message("500 EUT"),
        "expected an amount of money such as $18,900 or 18.900 EUR, found the unknown currency \
         'EUT'; did you mean EUR?"
    );
    assert_eq!(
        message("$500 EUR"),
        "expected one currency, found USD and EUR in '$500 EUR'"
    );
    for bad in [
        "",
        "$",
        "EUR",
        "ten dollars",
        "$1e400",
        "inf",
        "NaN EUR",
        "$1,2,3",
        "$12.34.56",
        "10 kg",
        "$5 obo",
        "18.900k EUR",
        "¥500",
        "$5-",
    ] {
        assert!(parse_price(bad).is_err(), "{bad}: {:?}", parse_price(bad));
    }
    assert!(parse_entered_price("$10k - 12k EUR").is_err());
    assert!(parse_entered_price("$14k - $10k").is_err());
}

#[test]
fn a_folder_currency_is_left_open() {
    let got = parse_entered_price("10-14k").unwrap();
    assert_eq!(got.currency, None::<Currency>);
    assert_eq!(
        got.amount.spread,
        Spread::Range {
            low: Money::amount(10e3),
            high: Money::amount(14e3)
        }
    );
}
