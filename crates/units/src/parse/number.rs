//! Numbers as people write them: decimal points and commas, thousands in groups, fractions, mixed
//! numbers, powers of ten.
//!
//! Rules where a text could be read two ways:
//! * a comma before exactly three last digits parts thousands ("1,250" is 1250), unless the number
//!   starts with 0 ("0,125" is an eighth); any other comma is a decimal comma ("406,4");
//! * a point before exactly three last digits is a decimal point ("1.250" is 1 1/4), except in
//!   money, where it parts thousands ("8.900 EUR" is 8900) unless the number starts with 0;
//! * when both stand in one number the last one is the decimal sign;
//! * a space (any kind) before exactly three digits parts thousands;
//! * "1-1/2" and "1 1/2" are one and a half: a dash without spaces before a proper fraction joins.
//!
//! The comma rule leaves a [`Remark`], since it may be wrong; so does the point rule in money, and
//! outside money where thousands are as likely as thousandths (see `Point` in `unit.rs`).

use super::cursor::Cursor;
use super::error::{ParseError, Remark};

/// What kind of number is looked for.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Style {
    /// A measured number, fractions allowed.
    Plain,
    /// A measured number; a slash ends it.
    NoFraction,
    /// An amount of money.
    Money,
}

/// A number and how it was written.
#[derive(Clone, Debug)]
pub(crate) struct Number {
    pub(crate) value: f64,
    pub(crate) start: usize,
    pub(crate) remark: Option<Remark>,
    /// Its value if its point parted thousands ("1.250" as 1250), where that is thinkable.
    pub(crate) grouped: Option<f64>,
    /// Numerator and denominator of a fraction written without a whole part.
    pub(crate) bare_fraction: Option<(u64, u64)>,
}

/// Denominators on rulers, in recipes and on motor plates. Others ("11/15") are two numbers.
const DENOMINATORS: [u64; 13] = [2, 3, 4, 5, 6, 8, 10, 16, 32, 64, 100, 128, 1000];

/// Reads a number at the cursor, which must stand on it.
pub(crate) fn number(
    cursor: &mut Cursor<'_>,
    style: Style,
    wanted: &str,
) -> Result<Number, ParseError> {
    cursor.skip_space();
    let start = cursor.at();
    let mut ahead = *cursor;
    let negative = match ahead.eat_any(&['-', '+']) {
        Some(sign) => {
            ahead.skip_space();
            sign == '-'
        }
        None => false,
    };
    let mut read = magnitude(&mut ahead, style, wanted, start)?;
    if negative {
        read.value = -read.value;
        read.grouped = read.grouped.map(|g| -g);
    }
    *cursor = ahead;
    Ok(read)
}

fn magnitude(
    cursor: &mut Cursor<'_>,
    style: Style,
    wanted: &str,
    start: usize,
) -> Result<Number, ParseError> {
    let plain = |value| Number {
        value,
        start,
        remark: None,
        grouped: None,
        bare_fraction: None,
    };
    if style == Style::Plain
        && let Some((n, d)) = glyph_fraction(cursor)
    {
        return Ok(plain(n as f64 / d as f64));
    }
    let Body {
        text,
        remark,
        grouped,
        whole,
    } = body(cursor, style, wanted, start)?;
    let value = finite(&text, cursor, wanted, start)?;
    let mut read = plain(value);
    read.remark = remark;
    read.grouped = grouped;
    if whole && style == Style::Plain {
        if let Some((n, d)) = slash_fraction(cursor, &text) {
            read.value = n as f64 / d as f64;
            read.bare_fraction = Some((n, d));
        } else if let Some((n, d)) = mixed_fraction(cursor) {
            // One rounding only: exact integers over an exact denominator.
            read.value = (value * d as f64 + n as f64) / d as f64;
        }
    }
    Ok(read)
}

/// The decimal digits of a number, cleaned for conversion.
struct Body {
    text: String,
    remark: Option<Remark>,
    grouped: Option<f64>,
    /// Neither a decimal sign nor a power of ten.
    whole: bool,
}

/// One separator and the digits after it.
struct Group<'a> {
    sign: char,
    digits: &'a str,
}

fn body(
    cursor: &mut Cursor<'_>,
    style: Style,
    wanted: &str,
    start: usize,
) -> Result<Body, ParseError> {
    let lead = cursor.digits();
    let groups = groups(cursor, style, lead);
    if lead.is_empty() && groups.is_empty() {
        let found = match cursor.quote(start, cursor.word_end()) {
            empty if empty == "''" => "nothing".to_owned(),
            quoted => quoted,
        };
        return Err(ParseError::new(wanted, found, start));
    }
    let end = cursor.at();
    let Some(fraction_from) = decimal_sign(lead, &groups, style) else {
        return Err(
            ParseError::new(wanted, cursor.quote(start, end), start).hint(
                "points, commas and spaces in a number must part groups of three digits, with at \
                 most one decimal sign at the end, as in 1,250.5",
            ),
        );
    };
    let mut text = String::from(if lead.is_empty() { "0" } else { lead });
    for (i, group) in groups.iter().enumerate() {
        if i == fraction_from {
            text.push('.');
        }
        text.push_str(group.digits);
    }
    let remark = doubtful(&groups, fraction_from, style).then(|| Remark {
        position: start,
        text: format!(
            "{} is read as {text}: a {} before exactly three digits parts thousands",
            cursor.quote(start, end),
            if groups[0].sign == ',' {
                "comma"
            } else {
                "point in an amount of money"
            },
        ),
    });
    let mut whole = fraction_from == groups.len();
    if whole
        && cursor.peek() == Some('.')
        && !cursor
            .peek_nth(1)
            .is_some_and(|c| c == '.' || c == '-' || c == ',')
    {
        cursor.bump();
        whole = false;
    }
    let mut grouped = match groups[..] {
        [Group { sign: '.', digits }] if can_group(lead) && digits.len() == 3 => {
            format!("{lead}{digits}").parse().ok()
        }
        _ => None,
    };
    if let Some(exponent) = exponent(cursor) {
        text.push_str(&exponent);
        whole = false;
        grouped = None;
    }
    Ok(Body {
        text,
        remark,
        grouped,
        whole,
    })
}

/// Separators with digits behind them, as far as they belong to one number.
fn groups<'a>(cursor: &mut Cursor<'a>, style: Style, lead: &str) -> Vec<Group<'a>> {
    let mut groups: Vec<Group<'a>> = Vec::new();
    let mut decimal_seen = false;
    loop {
        let mut ahead = *cursor;
        let Some(sign) = ahead.bump() else {
            return groups;
        };
        let digits = ahead.digits();
        let three = digits.len() == 3;
        let joins = match sign {
            '.' | ',' => !digits.is_empty(),
            // A space joins only groups of three behind one to three digits, and never the
            // numerator of a fraction.
            ' ' => three && !decimal_seen && can_group(lead) && ahead.peek() != Some('/'),
            '\'' => three && style == Style::Money && !decimal_seen && !lead.is_empty(),
            _ => false,
        };
        if !joins {
            return groups;
        }
        decimal_seen |= matches!(sign, '.' | ',');
        groups.push(Group { sign, digits });
        *cursor = ahead;
    }
}

/// Index of the group that holds the decimals (`groups.len()` when none does); `None` when the
/// separators make no number.
fn decimal_sign(lead: &str, groups: &[Group<'_>], style: Style) -> Option<usize> {
    let Some(last) = groups.last() else {
        return Some(0);
    };
    let before = &groups[..groups.len() - 1];
    let thousands = |gs: &[Group<'_>]| {
        can_group(lead)
            && gs
                .iter()
                .all(|g| g.digits.len() == 3 && g.sign == gs[0].sign)
    };
    if matches!(last.sign, ' ' | '\'') {
        return thousands(groups).then_some(groups.len());
    }
    match before.first() {
        None => {
            let parts_thousands = thousands(groups) && (last.sign == ',' || style == Style::Money);
            Some(usize::from(parts_thousands))
        }
        Some(first) if first.sign == last.sign => thousands(groups).then_some(groups.len()),
        Some(_) => thousands(before).then_some(before.len()),
    }
}

/// True for digits that groups of three may follow.
fn can_group(lead: &str) -> bool {
    (1..=3).contains(&lead.len()) && !lead.starts_with('0')
}

/// True for the readings that could be wrong: one comma or point taken for a thousands sign. Money
/// with a comma is left out: nobody writes thousandths of a dollar so.
fn doubtful(groups: &[Group<'_>], fraction_from: usize, style: Style) -> bool {
    match groups {
        [only] => {
            fraction_from == 1 && (only.sign == '.' || only.sign == ',' && style != Style::Money)
        }
        _ => false,
    }
}

fn exponent(cursor: &mut Cursor<'_>) -> Option<String> {
    let mut ahead = *cursor;
    ahead.eat_any(&['e', 'E'])?;
    let sign = ahead.eat_any(&['-', '+']).unwrap_or('+');
    let digits = ahead.digits();
    if digits.is_empty() {
        return None;
    }
    *cursor = ahead;
    Some(format!("e{sign}{digits}"))
}

/// Converts cleaned digits; refuses what an f64 cannot hold.
fn finite(text: &str, cursor: &Cursor<'_>, wanted: &str, start: usize) -> Result<f64, ParseError> {
    let mantissa = text.split('e').next().unwrap_or(text);
    let is_zero = mantissa.chars().all(|c| matches!(c, '0' | '.'));
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() && (value != 0.0 || is_zero) => Ok(value),
        Ok(value) => Err(ParseError::new(
            wanted,
            format!(
                "{}, which is too {}",
                cursor.quote(start, cursor.at()),
                if value == 0.0 { "small" } else { "large" }
            ),
            start,
        )),
        Err(_) => Err(ParseError::new(
            wanted,
            cursor.quote(start, cursor.at()),
            start,
        )),
    }
}

/// "/8" behind "3".
fn slash_fraction(cursor: &mut Cursor<'_>, numerator: &str) -> Option<(u64, u64)> {
    let numerator: u64 = numerator.parse().ok()?;
    let mut ahead = *cursor;
    let denominator = denominator(&mut ahead)?;
    *cursor = ahead;
    Some((numerator, denominator))
}

/// The proper fraction of a mixed number: " 1/2", "-1/2", "½", " ½", "-½".
fn mixed_fraction(cursor: &mut Cursor<'_>) -> Option<(u64, u64)> {
    let mut ahead = *cursor;
    if !ahead.eat('-') {
        ahead.skip_space();
    }
    let fraction = glyph_fraction(&mut ahead).or_else(|| {
        let numerator: u64 = ahead.digits().parse().ok()?;
        let denominator = denominator(&mut ahead)?;
        (ahead.at() > cursor.at() && numerator < denominator).then_some((numerator, denominator))
    })?;
    *cursor = ahead;
    Some(fraction)
}

/// "/8", unless more slashes or decimals follow (then the slash parts numbers).
fn denominator(cursor: &mut Cursor<'_>) -> Option<u64> {
    if !cursor.eat('/') {
        return None;
    }
    let value: u64 = cursor.digits().parse().ok()?;
    let goes_on = match cursor.peek() {
        Some('/' | '.' | ',') => cursor.peek_nth(1).is_some_and(|c| c.is_ascii_digit()),
        _ => false,
    };
    (DENOMINATORS.contains(&value) && !goes_on).then_some(value)
}

/// A fraction that is one character.
fn glyph_fraction(cursor: &mut Cursor<'_>) -> Option<(u64, u64)> {
    let fraction = match cursor.peek()? {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '⅒' => (1, 10),
        _ => return None,
    };
    cursor.bump();
    Some(fraction)
}
