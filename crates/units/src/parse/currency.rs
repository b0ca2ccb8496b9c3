//! Currencies by sign, code and word.

use super::cursor::Cursor;
use super::error::ParseError;
use super::suggest::nearest;
use crate::Currency;
use std::str::FromStr;

/// How surely a currency was named.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Named {
    pub(crate) currency: Currency,
    /// False for a bare dollar or pound, which several countries use.
    pub(crate) sure: bool,
}

/// Codes of ISO 4217 met in machine trading; any other is refused rather than guessed.
const CODES: [&str; 33] = [
    "USD", "EUR", "GBP", "CAD", "CHF", "AUD", "NZD", "JPY", "CNY", "INR", "SEK", "NOK", "DKK",
    "PLN", "CZK", "HUF", "RON", "BGN", "TRY", "KRW", "TWD", "SGD", "HKD", "MXN", "BRL", "ZAR",
    "ILS", "AED", "SAR", "THB", "MYR", "PHP", "UAH",
];

/// Signs and words, longer before shorter; the flag says whether one country alone uses it.
const NAMES: [(&str, &str, bool); 36] = [
    ("US dollars", "USD", true),
    ("US dollar", "USD", true),
    ("U.S. $", "USD", true),
    ("US $", "USD", true),
    ("US$", "USD", true),
    ("CA$", "CAD", true),
    ("CAN$", "CAD", true),
    ("C$", "CAD", true),
    ("AU$", "AUD", true),
    ("A$", "AUD", true),
    ("NZ$", "NZD", true),
    ("HK$", "HKD", true),
    ("NT$", "TWD", true),
    ("S$", "SGD", true),
    ("R$", "BRL", true),
    ("$", "USD", false),
    ("dollars", "USD", false),
    ("dollar", "USD", false),
    ("€", "EUR", true),
    ("euros", "EUR", true),
    ("euro", "EUR", true),
    ("£", "GBP", true),
    ("pounds sterling", "GBP", true),
    ("pounds", "GBP", false),
    ("quid", "GBP", true),
    ("Swiss francs", "CHF", true),
    ("SFr.", "CHF", true),
    ("SFr", "CHF", true),
    ("Fr.", "CHF", true),
    ("zł", "PLN", true),
    ("zl", "PLN", true),
    ("Kč", "CZK", true),
    ("₹", "INR", true),
    ("₺", "TRY", true),
    ("₩", "KRW", true),
    ("₪", "ILS", true),
];

/// Signs several currencies share so widely that none is taken.
const SHARED: [(&str, &str); 4] = [
    ("kr.", "write SEK, NOK or DKK"),
    ("kr", "write SEK, NOK or DKK"),
    ("¥", "write JPY or CNY"),
    ("￥", "write JPY or CNY"),
];

pub(crate) const EXPECTED: &str = "an amount of money such as $18,900 or 18.900 EUR";

/// Reads a currency, when one stands here.
pub(crate) fn currency(cursor: &mut Cursor<'_>) -> Result<Option<Named>, ParseError> {
    for (name, hint) in SHARED {
        if eat(&mut { *cursor }, name) {
            return Err(ParseError::new(
                EXPECTED,
                format!("'{name}', which several currencies share"),
                cursor.at(),
            )
            .hint(hint));
        }
    }
    let signs = NAMES.iter().copied();
    let codes = CODES.iter().map(|code| (*code, *code, true));
    for (name, code, sure) in signs.chain(codes) {
        if eat(cursor, name)
            && let Ok(currency) = Currency::from_str(code)
        {
            // "USD$" says the same twice.
            if name.len() == 3 && sure {
                cursor.eat('$');
            }
            return Ok(Some(Named { currency, sure }));
        }
    }
    Ok(None)
}

/// Takes a name; letters end at a letter, signs anywhere.
fn eat(cursor: &mut Cursor<'_>, name: &str) -> bool {
    let mut at = *cursor;
    if !at.eat_text(name) {
        return false;
    }
    let lettered = name.ends_with(char::is_alphabetic);
    if lettered && at.peek().is_some_and(char::is_alphabetic) {
        return false;
    }
    *cursor = at;
    true
}

/// The message for a word that is no currency.
pub(crate) fn unknown(at: Cursor<'_>) -> ParseError {
    let end = at.word_end();
    let error = ParseError::new(
        EXPECTED,
        format!("the unknown currency {}", at.quote(at.at(), end)),
        at.at(),
    );
    match nearest(at.slice(at.at(), end), &CODES) {
        Some(code) => error.hint(format!("did you mean {code}?")),
        None => error.hint("write the sign ($, €, £) or the three-letter code"),
    }
}
