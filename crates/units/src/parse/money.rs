//! Amounts of money: "$18,900", "18.9k USD", "€ 8.900,-", "£12 500", "10-14k EUR".

use super::currency::{self, EXPECTED, Named};
use super::cursor::Cursor;
use super::entered::{Entered, resolve, settle};
use super::error::{ParseError, Remark};
use super::number::{Number, Style, number};
use super::shape::{Leaf, Shape, left_over, shape};
use crate::{Currency, Money, Price, Quantity};

/// A price as entered, with its spread; in its own currency, which is the folder's when `None`.
#[derive(Clone, Debug, PartialEq)]
pub struct EnteredPrice {
    /// Amount in that currency.
    pub amount: Entered<Money>,
    /// The currency named.
    pub currency: Option<Currency>,
    /// False for a bare dollar or pound, which may be another country's; it is read as USD or GBP.
    pub currency_certain: bool,
}

/// One written sum.
#[derive(Clone, Debug)]
struct Sum {
    start: usize,
    end: usize,
    number: Number,
    times: Option<f64>,
    currency: Option<Named>,
}

impl Sum {
    fn amount(&self) -> f64 {
        self.number.value * self.times.unwrap_or(1.0)
    }
}

impl Leaf for Sum {
    fn read(cursor: &mut Cursor<'_>) -> Result<Self, ParseError> {
        sum(cursor)
    }
    fn read_whole(cursor: &mut Cursor<'_>) -> Result<Self, ParseError> {
        sum(cursor)
    }
    fn lend_to(&self, other: &mut Self, _: &Cursor<'_>) {
        other.currency = other.currency.or(self.currency);
    }
    // A number without a currency is complete: it is in the folder's own.
    fn has_unit(&self) -> bool {
        false
    }
    fn expected() -> String {
        EXPECTED.to_owned()
    }
}

/// Reads one price.
pub fn parse_price(text: &str) -> Result<Price, ParseError> {
    let mut cursor = Cursor::new(text);
    let read = sum(&mut cursor)?;
    if !cursor.is_done() {
        return Err(left_over::<Sum>(cursor.past_space()));
    }
    finite(&read, &cursor)?;
    Ok(Price {
        amount: read.amount(),
        currency: read.currency.map(|n| n.currency),
    })
}

/// Reads a price with its spread: "about $19,000", "10-14k EUR", "low 8k, likely 9k, high 12k".
pub fn parse_entered_price(text: &str) -> Result<EnteredPrice, ParseError> {
    let mut cursor = Cursor::new(text);
    let mut form: Shape<Sum> = shape(&mut cursor)?;
    let mut sums = form.amounts();
    let mut remarks: Vec<Remark> = sums
        .iter()
        .filter_map(|s| s.number.remark.clone())
        .collect();
    let currency = common_currency(&sums, &cursor)?;
    share_thousands(&mut sums, &cursor, &mut remarks);
    let settled = settle(form, |s| {
        finite(s, &cursor)?;
        Ok(Money::amount(s.amount()))
    })?;
    Ok(EnteredPrice {
        amount: resolve(settled, remarks, text)?,
        currency: currency.map(|n| n.currency),
        currency_certain: currency.is_none_or(|n| n.sure),
    })
}

fn finite(sum: &Sum, cursor: &Cursor<'_>) -> Result<(), ParseError> {
    if Money::amount(sum.amount()).base().is_finite() {
        return Ok(());
    }
    Err(ParseError::new(
        EXPECTED,
        format!("{}, which is too large", cursor.quote(sum.start, sum.end)),
        sum.start,
    ))
}

/// The currency of all sums; a bare dollar gives way to a code that says which.
fn common_currency(sums: &[&mut Sum], cursor: &Cursor<'_>) -> Result<Option<Named>, ParseError> {
    let mut common: Option<Named> = None;
    for sum in sums {
        let Some(named) = sum.currency else { continue };
        common = match common {
            None => Some(named),
            Some(before) => Some(agree(before, named).ok_or_else(|| {
                ParseError::new(
                    "one currency",
                    format!("{} beside {}", named.currency, before.currency),
                    sum.start,
                )
                .hint(format!(
                    "write {} in {}",
                    cursor.quote(sum.start, sum.end),
                    before.currency
                ))
            })?),
        };
    }
    Ok(common)
}

/// The surer of two names of one currency; `None` when they name two.
fn agree(a: Named, b: Named) -> Option<Named> {
    let dollars = |n: &Named| n.currency.code().ends_with('D');
    match (a.sure, b.sure) {
        _ if a.currency == b.currency => Some(if a.sure { a } else { b }),
        (false, true) if a.currency == Currency::USD && dollars(&b) => Some(b),
        (true, false) if b.currency == Currency::USD && dollars(&a) => Some(a),
        _ => None,
    }
}

/// "10-14k" means 10k to 14k, "500-2k" does not mean 500k: the k is shared where order allows.
fn share_thousands(sums: &mut [&mut Sum], cursor: &Cursor<'_>, remarks: &mut Vec<Remark>) {
    let Some(last) = sums.last() else { return };
    let (Some(times), most) = (last.times, last.number.value) else {
        return;
    };
    let shares = sums.len() > 1
        && sums[..sums.len() - 1]
            .iter()
            .all(|s| s.times.is_none() && s.number.value <= most);
    if !shares {
        return;
    }
    let count = sums.len() - 1;
    for sum in &mut sums[..count] {
        sum.times = Some(times);
        remarks.push(Remark {
            position: sum.start,
            text: format!(
                "{} is read as {}, like the number after it",
                cursor.quote(sum.start, sum.end),
                sum.amount()
            ),
        });
    }
}

fn sum(cursor: &mut Cursor<'_>) -> Result<Sum, ParseError> {
    let mut at = cursor.past_space();
    let start = at.at();
    // The sign of the number may stand before that of the currency.
    let negative = at.eat('-');
    at.skip_space();
    let before = currency::currency(&mut at)?;
    if before.is_none() && at.peek().is_some_and(char::is_alphabetic) {
        return Err(currency::unknown(at));
    }
    let mut read = number(&mut at, Style::Money, EXPECTED)?;
    if negative {
        read.value = -read.value;
    }
    let times = multiplier(&mut at);
    if times.is_some()
        && let Some(remark) = read.remark.take()
    {
        return Err(
            ParseError::new(EXPECTED, at.quote(start, at.at()), start).hint(format!(
                "{}, which leaves no sense in thousands of it",
                remark.text
            )),
        );
    }
    // A dash for the missing cents: 8.900,- or 8900.-
    let mut cents = at;
    if cents.eat_any(&[',', '.', '/']).is_some() && cents.eat('-') {
        cents.eat('-');
        at = cents;
    }
    let mut tail = at.past_space();
    let after = currency::currency(&mut tail)?;
    if after.is_some() {
        at = tail;
    } else if tail.peek().is_some_and(char::is_alphabetic) && !is_joint(tail) {
        return Err(currency::unknown(tail));
    }
    let currency = match (before, after) {
        (Some(a), Some(b)) => Some(agree(a, b).ok_or_else(|| {
            ParseError::new(
                "one currency",
                format!(
                    "{} and {} in {}",
                    a.currency,
                    b.currency,
                    at.quote(start, at.at())
                ),
                start,
            )
        })?),
        (a, b) => a.or(b),
    };
    *cursor = at;
    Ok(Sum {
        start,
        end: at.at(),
        number: read,
        times,
        currency,
    })
}

/// Words that may follow a sum in an entered price.
fn is_joint(mut at: Cursor<'_>) -> bool {
    at.eat_words(&[
        "to",
        "through",
        "thru",
        "and",
        "low",
        "likely",
        "high",
        "most",
        "max",
        "min",
        "typ",
        "plus or minus",
    ])
}

/// "k" and "M" behind a number, alone or glued to a currency.
fn multiplier(cursor: &mut Cursor<'_>) -> Option<f64> {
    let mut at = cursor.past_space();
    for (words, times) in [
        (&["thousand", "tsd"][..], 1.0e3),
        (&["million", "mio", "mln", "mn"][..], 1.0e6),
    ] {
        if at.eat_words(words) {
            *cursor = at;
            return Some(times);
        }
    }
    let times = match at.bump()? {
        'k' | 'K' => 1.0e3,
        'm' | 'M' => 1.0e6,
        _ => return None,
    };
    let ends = !at.peek().is_some_and(char::is_alphanumeric);
    if ends || matches!(currency::currency(&mut at.clone()), Ok(Some(_))) {
        *cursor = at;
        return Some(times);
    }
    None
}
