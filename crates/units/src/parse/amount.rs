//! One amount: a number with its unit, or a compound such as feet and inches; the unit may be
//! missing where another amount beside it lends its own ("12 x 8 x 3 in").

use super::Parse;
use super::cursor::Cursor;
use super::error::{ParseError, Remark, with_article};
use super::number::{Number, Style, number};
use super::shape::plus_minus;
use super::unit::{self, Found, Point, Unit, expected, main_names};

/// An amount as written.
#[derive(Clone, Debug)]
pub(crate) struct Amount<Q: 'static> {
    pub(crate) start: usize,
    pub(crate) end: usize,
    number: Number,
    /// What it comes to, when it carries a unit.
    pub(crate) total: Option<Q>,
    /// The unit it can lend, its own or a borrowed one; none for a compound.
    pub(crate) lends: Option<&'static Unit<Q>>,
    pub(crate) remarks: Vec<Remark>,
}

impl<Q> std::fmt::Debug for Unit<Q> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name())
    }
}

impl<Q: Parse> Amount<Q> {
    /// Lends a bare number the unit of another amount.
    pub(crate) fn borrow(&mut self, unit: &'static Unit<Q>, cursor: &Cursor<'_>) {
        if self.total.is_none() {
            let value = self
                .number
                .in_unit(unit, cursor, self.end, &mut self.remarks);
            self.total = Some((unit.of)(value));
            self.lends = Some(unit);
        }
    }

    /// Gives a bare number a default unit.
    pub(crate) fn lend(&mut self, of: fn(f64) -> Q) {
        if self.total.is_none() {
            self.total = Some(of(self.number.value));
        }
    }

    /// The amount, or the message that its unit is missing.
    pub(crate) fn settled(&self, cursor: &Cursor<'_>) -> Result<Q, ParseError> {
        let total = self.total.ok_or_else(|| self.without_unit(cursor))?;
        if total.base().is_finite() {
            Ok(total)
        } else {
            Err(ParseError::new(
                expected::<Q>(),
                format!("{}, which is too large", cursor.quote(self.start, self.end)),
                self.start,
            ))
        }
    }

    fn without_unit(&self, cursor: &Cursor<'_>) -> ParseError {
        ParseError::new(
            format!(
                "{} with its unit ({})",
                with_article(Q::NAME),
                main_names::<Q>().join(", ")
            ),
            format!("{} without one", cursor.quote(self.start, self.end)),
            self.start,
        )
        .hint(format!("write it like {}", Q::EXAMPLE))
    }
}

impl Number {
    /// Its value before this unit: a lone point may part thousands there.
    fn in_unit<Q>(
        &self,
        unit: &Unit<Q>,
        cursor: &Cursor<'_>,
        end: usize,
        remarks: &mut Vec<Remark>,
    ) -> f64 {
        let Some(grouped) = self.grouped else {
            return self.value;
        };
        let (value, reason) = match unit.point {
            Point::Decimal => return self.value,
            Point::Doubtful => (self.value, "the point is taken for a decimal point"),
            Point::Thousands => (
                grouped,
                "a point before exactly three digits parts thousands here",
            ),
        };
        remarks.push(Remark {
            position: self.start,
            text: format!(
                "{} is read as {value}: {reason}",
                cursor.quote(self.start, end)
            ),
        });
        value
    }
}

/// Reads an amount, with or without a unit.
pub(crate) fn amount<Q: Parse>(cursor: &mut Cursor<'_>) -> Result<Amount<Q>, ParseError> {
    amount_in_style(cursor, Style::Plain)
}

/// Reads an amount whose number may or may not be a fraction.
pub(crate) fn amount_in_style<Q: Parse>(
    cursor: &mut Cursor<'_>,
    style: Style,
) -> Result<Amount<Q>, ParseError> {
    let mut begin = cursor.past_space();
    let both_ways = plus_minus(&mut begin);
    let mut at = begin;
    let mut read = number(&mut at, style, &expected::<Q>())?;
    let mut after = at;
    let mut found = unit::unit::<Q>(&mut after, read.start);
    if let Some(fraction) = read.bare_fraction
        && let Ok(Some(unit)) = &found
        && !unit.fractions.allow(fraction)
    {
        at = begin;
        read = number(&mut at, Style::NoFraction, &expected::<Q>())?;
        after = at;
        found = unit::unit::<Q>(&mut after, read.start);
    }
    let mut remarks: Vec<Remark> = read.remark.iter().cloned().collect();
    if both_ways {
        remarks.push(Remark {
            position: cursor.past_space().at(),
            text: "plus or minus an amount is read as the amount".to_owned(),
        });
    }
    let Some(unit) = found? else {
        *cursor = at;
        return Ok(Amount {
            start: read.start,
            end: at.at(),
            number: read,
            total: None,
            lends: None,
            remarks,
        });
    };
    note(unit, read.start, &mut remarks);
    // The sign belongs to the whole compound: -1 ft 4 in is minus sixteen inches.
    let sign = if read.value.is_sign_negative() {
        -1.0
    } else {
        1.0
    };
    let value = read.in_unit(unit, &at, at.at(), &mut remarks);
    let mut size = (unit.of)(value.abs()).base();
    let mut last = unit;
    while let Some((part, part_unit)) = later_part(&mut after, last)? {
        size += (part_unit.of)(part.value).base();
        remarks.extend(part.remark);
        last = part_unit;
    }
    *cursor = after;
    Ok(Amount {
        start: read.start,
        end: after.at(),
        number: read,
        total: Some(Q::from_base(sign * size)),
        lends: std::ptr::eq(last, unit).then_some(unit),
        remarks,
    })
}

/// The next smaller part of a compound, when one follows.
fn later_part<Q: Parse>(
    cursor: &mut Cursor<'_>,
    last: &'static Unit<Q>,
) -> Result<Option<(Number, &'static Unit<Q>)>, ParseError> {
    let mut at = *cursor;
    let mut joined = last.joins_by_dash() && at.eat('-');
    at.skip_space();
    if !joined {
        joined = at.eat(',') || at.eat_word("and");
        at.skip_space();
    }
    if !at.peek().is_some_and(|c| c.is_numeric() || c == '.') {
        return Ok(None);
    }
    let Ok(part) = number(&mut at, Style::Plain, &expected::<Q>()) else {
        return Ok(None);
    };
    at.skip_space();
    let Found::One(unit, end) = unit::find::<Q>(at, true) else {
        return Ok(None);
    };
    // 5'-3" joins; 2'-18" is a range written backwards, and 'between 1 h and 90 min' has two ends.
    let small_enough = !joined || (unit.of)(part.value).base() < (last.of)(1.0).base();
    if !last.continues_with(unit) || !small_enough {
        return Ok(None);
    }
    *cursor = end;
    Ok(Some((part, unit)))
}

fn note<Q>(unit: &Unit<Q>, position: usize, remarks: &mut Vec<Remark>) {
    if !unit.note.is_empty() {
        remarks.push(Remark {
            position,
            text: unit.note.to_owned(),
        });
    }
}

/// Gives bare amounts the unit of the nearest amount to their right, then the default if one is
/// set; fails at the first that still has none.
pub(crate) fn share_units<Q: Parse>(
    amounts: &mut [&mut Amount<Q>],
    default: Option<fn(f64) -> Q>,
    cursor: &Cursor<'_>,
) -> Result<(), ParseError> {
    let any = amounts.iter().any(|a| a.total.is_some());
    let mut lender = None;
    for amount in amounts.iter_mut().rev() {
        if amount.total.is_some() {
            lender = amount.lends;
        } else if let Some(unit) = lender {
            amount.borrow(unit, cursor);
        } else if let Some(of) = default
            && !any
        {
            amount.lend(of);
        }
    }
    for amount in amounts.iter() {
        amount.settled(cursor)?;
    }
    Ok(())
}
