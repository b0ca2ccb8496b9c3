//! A number as somebody entered it: its best value, how far off it may be, and how it was read.
//!
//! * "8 ± 1 in" and "10 to 14 in" become a range without a favoured value: limits alone say no more
//!   (JCGM 100:2008, 4.3.7).
//! * "about 12 in" becomes low/likely/high at 90, 100 and 110 %: a favoured value between limits
//!   (JCGM 100:2008, 4.3.9). The tenth is our convention for 'about'; no source.
//! * three points become low/likely/high.

use super::Parse;
use super::amount::{Amount, amount, amount_in_style, share_units};
use super::cursor::Cursor;
use super::error::{ParseError, Remark};
use super::number::Style;
use super::shape::{Leaf, Shape, shape};
use super::unit::expected;
use crate::{InputId, Origin, Place, Quantity, Spread, Value};

/// Half-width of 'about', as a share of the value. Our convention; no source.
pub const ABOUT_SHARE: f64 = 0.1;

/// A quantity as entered.
#[derive(Clone, Debug, PartialEq)]
pub struct Entered<Q> {
    /// Best single value: the likely one, or the middle of a range.
    pub likely: Q,
    /// How far it may be off.
    pub spread: Spread<Q>,
    /// How doubtful places of the text were read.
    pub remarks: Vec<Remark>,
}

impl<Q: Quantity> Entered<Q> {
    /// Without spread or remark.
    pub fn exact(likely: Q) -> Self {
        Self {
            likely,
            spread: Spread::None,
            remarks: Vec::new(),
        }
    }

    /// Least and greatest.
    pub fn ends(&self) -> (Q, Q) {
        self.spread.ends(self.likely)
    }

    /// As a named input that somebody stated.
    pub fn value(&self, id: impl Into<String>, place: Place) -> Value<Q> {
        Value {
            id: InputId(id.into()),
            likely: self.likely,
            spread: self.spread,
            origin: Origin::Stated { place },
            group: None,
        }
    }
}

impl<Q: Parse> Leaf for Amount<Q> {
    fn read(cursor: &mut Cursor<'_>) -> Result<Self, ParseError> {
        amount(cursor)
    }
    fn read_whole(cursor: &mut Cursor<'_>) -> Result<Self, ParseError> {
        amount_in_style(cursor, Style::NoFraction)
    }
    fn lend_to(&self, other: &mut Self, cursor: &Cursor<'_>) {
        if let Some(unit) = self.lends {
            other.borrow(unit, cursor);
        }
    }
    fn has_unit(&self) -> bool {
        self.total.is_some()
    }
    fn expected() -> String {
        expected::<Q>()
    }
}

/// Reads an entered quantity; bare numbers get the default unit when there is one.
pub(crate) fn read<Q: Parse>(
    text: &str,
    default: Option<fn(f64) -> Q>,
) -> Result<Entered<Q>, ParseError> {
    let mut cursor = Cursor::new(text);
    let mut form: Shape<Amount<Q>> = shape(&mut cursor)?;
    let mut amounts = form.amounts();
    share_units(&mut amounts, default, &cursor)?;
    let remarks = amounts.iter().flat_map(|a| a.remarks.clone()).collect();
    let settled = settle(form, |a| a.settled(&cursor))?;
    resolve(settled, remarks, text)
}

/// The same form with other amounts.
pub(crate) fn settle<A, B>(
    form: Shape<A>,
    each: impl Fn(&A) -> Result<B, ParseError>,
) -> Result<Shape<B>, ParseError> {
    Ok(match &form {
        Shape::One(a) => Shape::One(each(a)?),
        Shape::About(a) => Shape::About(each(a)?),
        Shape::Range(a, b) => Shape::Range(each(a)?, each(b)?),
        Shape::PlusMinus(a, b) => Shape::PlusMinus(each(a)?, each(b)?),
        Shape::PlusMinusShare(a, share) => Shape::PlusMinusShare(each(a)?, *share),
        Shape::Three { low, likely, high } => Shape::Three {
            low: each(low)?,
            likely: each(likely)?,
            high: each(high)?,
        },
        Shape::Twice(a, b) => Shape::Twice(each(a)?, each(b)?),
    })
}

/// Two statements of one amount may differ by this share: dual labels round either number
/// ("20 hp (15 kW)" is 14.9 kW, "3 hp (2.2 kW)" 2.24 kW). Common practice, no source.
pub(crate) const SAME_SHARE: f64 = 0.03;

/// From a form to value and spread.
pub(crate) fn resolve<Q: Quantity>(
    form: Shape<Q>,
    mut remarks: Vec<Remark>,
    text: &str,
) -> Result<Entered<Q>, ParseError> {
    let q = Q::from_base;
    let around = |centre: Q, by: f64| (q(centre.base() - by.abs()), q(centre.base() + by.abs()));
    let (likely, spread) = match form {
        Shape::One(a) => (a, Spread::None),
        Shape::About(a) => {
            let (low, high) = around(a, ABOUT_SHARE * a.base());
            remarks.push(Remark {
                position: 0,
                text: format!(
                    "'about' is taken as plus or minus {:.0} %",
                    ABOUT_SHARE * 100.0
                ),
            });
            (a, three_points(low, a, high))
        }
        Shape::Range(low, high) => {
            in_order(&[low, high], text)?;
            (
                q(low.base() + 0.5 * (high.base() - low.base())),
                range(low, high),
            )
        }
        Shape::PlusMinus(a, by) => {
            let (low, high) = around(a, by.base());
            (a, range(low, high))
        }
        Shape::PlusMinusShare(a, share) => {
            let (low, high) = around(a, share * a.base());
            (a, range(low, high))
        }
        Shape::Three { low, likely, high } => {
            in_order(&[low, likely, high], text)?;
            (likely, three_points(low, likely, high))
        }
        Shape::Twice(a, b) => {
            let apart = (a.base() - b.base()).abs();
            if apart > SAME_SHARE * a.base().abs().max(b.base().abs()) {
                return Err(ParseError::new(
                    format!("one {} in two units", Q::NAME),
                    format!("two that differ, '{}'", text.trim()),
                    0,
                )
                .hint("keep the one that is right, or write a range"));
            }
            (a, Spread::None)
        }
    };
    let (low, high) = spread.ends(likely);
    if !low.base().is_finite() || !high.base().is_finite() {
        return Err(ParseError::new(
            format!("a finite {}", Q::NAME),
            format!("'{}', which is too large", text.trim()),
            0,
        ));
    }
    Ok(Entered {
        likely,
        spread,
        remarks,
    })
}

fn range<Q: Quantity>(low: Q, high: Q) -> Spread<Q> {
    if low == high {
        Spread::None
    } else {
        Spread::Range { low, high }
    }
}

fn three_points<Q: Quantity>(low: Q, likely: Q, high: Q) -> Spread<Q> {
    if low == high {
        Spread::None
    } else {
        Spread::LowLikelyHigh { low, likely, high }
    }
}

fn in_order<Q: Quantity>(values: &[Q], text: &str) -> Result<(), ParseError> {
    if values.windows(2).all(|pair| pair[0] <= pair[1]) {
        return Ok(());
    }
    Err(ParseError::new(
        "values that rise from low to high",
        format!("'{}'", text.trim()),
        0,
    )
    .hint("put the smaller one first; a mixed fraction is written 1-3/4 without spaces"))
}
