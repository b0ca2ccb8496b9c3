//! Quantities as people write them, read exactly and with clear errors.
//!
//! ```
//! use units::{Length, Parse, Spread, parse_dimensions, parse_entered};
//! assert_eq!(Length::parse("8-1/4\"").unwrap(), Length::inch(8.25));
//! assert_eq!(Length::parse("406,4 mm").unwrap(), Length::mm(406.4));
//! let travel = parse_entered::<Length>("10-14 in").unwrap();
//! assert_eq!(travel.likely, Length::inch(12.0));
//! assert_eq!(parse_dimensions("300×200×75 mm").unwrap()[1], Length::mm(200.0));
//! let error = Length::parse("10 kg").unwrap_err().to_string();
//! assert_eq!(error, "expected a length such as 16 in or 406 mm, found a mass, '10 kg'");
//! ```
//!
//! A number without a unit is never guessed at. How doubtful numbers are read is stated in
//! `number.rs`, how spreads are in `entered.rs`.

mod amount;
mod currency;
mod cursor;
mod dimensions;
mod entered;
mod error;
mod money;
mod number;
mod rated;
mod shape;
mod suggest;
mod supply;
mod tables;
mod torque_at;
mod unit;

pub use dimensions::parse_dimensions;
pub use entered::{ABOUT_SHARE, Entered};
pub use error::{ParseError, Remark};
pub use money::{EnteredPrice, parse_entered_price, parse_price};
pub use rated::{Duty, Rated, Rating, parse_rated};
pub use suggest::slips;
pub use supply::{Supply, parse_supply};
pub use torque_at::parse_torque_at;
pub use unit::Unit;

use crate::Quantity;
use cursor::Cursor;

/// A quantity that can be read from text.
pub trait Parse: Quantity {
    /// How it may be written, for messages ("16 in or 406 mm").
    const EXAMPLE: &'static str;
    /// Unit words that could mean several units, each with what to write instead.
    const AMBIGUOUS: &'static [(&'static str, &'static str)];
    /// The units it understands.
    fn units() -> &'static [Unit<Self>];

    /// A way of stating it that holds more than an amount and its spread ("11/15 kW (S1/S6)"), cut
    /// down to the amount; tried when [`parse_entered`] finds no plain one.
    fn entered_otherwise(_text: &str) -> Option<Entered<Self>> {
        None
    }

    /// Reads one amount with its unit; the text holds nothing else.
    fn parse(text: &str) -> Result<Self, ParseError> {
        single(text, None)
    }

    /// Reads one amount; a bare number is in the unit whose constructor is given
    /// (`Length::parse_with_default("16", Length::inch)`).
    fn parse_with_default(text: &str, default: fn(f64) -> Self) -> Result<Self, ParseError> {
        single(text, Some(default))
    }

    /// Reads one amount that must be greater than zero.
    fn parse_positive(text: &str) -> Result<Self, ParseError> {
        let read = Self::parse(text)?;
        check_sign(read, read.base() > 0.0, "greater than zero", text)
    }

    /// Reads one amount that must not be less than zero.
    fn parse_not_negative(text: &str) -> Result<Self, ParseError> {
        let read = Self::parse(text)?;
        check_sign(read, read.base() >= 0.0, "not less than zero", text)
    }
}

/// Reads an amount with its spread: "10 in", "10-14 in", "8 ± 1 in", "about 12 in",
/// "low 3 h, likely 4 h, high 6 h", "3 | 4 | 6 h". Of several power ratings the continuous one is
/// taken, of a torque at a speed the torque; remarks tell the rest.
pub fn parse_entered<Q: Parse>(text: &str) -> Result<Entered<Q>, ParseError> {
    entered::read(text, None).or_else(|error| Q::entered_otherwise(text).ok_or(error))
}

/// Like [`parse_entered`]; bare numbers are in the unit whose constructor is given.
pub fn parse_entered_with_default<Q: Parse>(
    text: &str,
    default: fn(f64) -> Q,
) -> Result<Entered<Q>, ParseError> {
    entered::read(text, Some(default))
}

/// Like [`parse_entered`]; no part of the spread may be zero or less.
pub fn parse_entered_positive<Q: Parse>(text: &str) -> Result<Entered<Q>, ParseError> {
    let read = parse_entered::<Q>(text)?;
    let low = read.ends().0;
    check_sign(read, low.base() > 0.0, "greater than zero", text)
}

/// Like [`parse_entered`]; no part of the spread may be less than zero.
pub fn parse_entered_not_negative<Q: Parse>(text: &str) -> Result<Entered<Q>, ParseError> {
    let read = parse_entered::<Q>(text)?;
    let low = read.ends().0;
    check_sign(read, low.base() >= 0.0, "not less than zero", text)
}

fn check_sign<T>(read: T, fine: bool, wanted: &str, text: &str) -> Result<T, ParseError> {
    if fine {
        return Ok(read);
    }
    let cursor = Cursor::new(text).past_space();
    Err(ParseError::new(
        format!("a number {wanted}"),
        cursor.quote_rest(),
        cursor.at(),
    ))
}

fn single<Q: Parse>(text: &str, default: Option<fn(f64) -> Q>) -> Result<Q, ParseError> {
    let mut cursor = Cursor::new(text);
    let mut read = amount::amount::<Q>(&mut cursor)?;
    let rest = cursor.past_space();
    if rest.peek().is_some() {
        return Err(shape::left_over::<amount::Amount<Q>>(rest));
    }
    amount::share_units(&mut [&mut read], default, &cursor)?;
    read.settled(&cursor)
}
