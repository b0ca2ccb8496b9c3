//! The forms in which one uncertain amount is written, whatever it measures: alone, about, a range,
//! plus or minus, three points.

use super::cursor::Cursor;
use super::error::ParseError;

/// A form with its amounts.
#[derive(Clone, Debug)]
pub(crate) enum Shape<L> {
    One(L),
    About(L),
    Range(L, L),
    PlusMinus(L, L),
    /// A share of the central amount, 0.1 for 10 %.
    PlusMinusShare(L, f64),
    Three {
        low: L,
        likely: L,
        high: L,
    },
    /// The same amount twice, in two units: "16 in (406 mm)".
    Twice(L, L),
}

impl<L> Shape<L> {
    /// Its amounts in the order in which units are shared.
    pub(crate) fn amounts(&mut self) -> Vec<&mut L> {
        match self {
            Shape::One(a) | Shape::About(a) | Shape::PlusMinusShare(a, _) => vec![a],
            Shape::Range(a, b) | Shape::PlusMinus(a, b) | Shape::Twice(a, b) => vec![a, b],
            Shape::Three { low, likely, high } => vec![low, likely, high],
        }
    }
}

/// How the amounts in a form are read.
pub(crate) trait Leaf: Sized {
    fn read(cursor: &mut Cursor<'_>) -> Result<Self, ParseError>;
    /// The same where a slash parts numbers and makes no fraction.
    fn read_whole(cursor: &mut Cursor<'_>) -> Result<Self, ParseError>;
    /// Lends this amount's unit to another that has none and follows it.
    fn lend_to(&self, other: &mut Self, cursor: &Cursor<'_>);
    fn has_unit(&self) -> bool;
    fn expected() -> String;
}

const ABOUT: [&str; 9] = [
    "about",
    "approx",
    "approximately",
    "ca",
    "circa",
    "around",
    "roughly",
    "some",
    "c",
];
const LOW: [&str; 7] = [
    "low",
    "lowest",
    "least",
    "min",
    "minimum",
    "best case",
    "best",
];
const LIKELY: [&str; 7] = [
    "most likely",
    "likely",
    "typical",
    "typ",
    "usual",
    "usually",
    "mode",
];
const HIGH: [&str; 7] = [
    "high",
    "highest",
    "most",
    "max",
    "maximum",
    "worst case",
    "worst",
];

/// Reads a form to the end of the text.
pub(crate) fn shape<L: Leaf>(cursor: &mut Cursor<'_>) -> Result<Shape<L>, ParseError> {
    cursor.skip_space();
    let read = form(cursor)?;
    match cursor.past_space().peek() {
        None => Ok(read),
        Some(_) => Err(left_over::<L>(cursor.past_space())),
    }
}

/// The message for what follows a complete amount.
pub(crate) fn left_over<L: Leaf>(at: Cursor<'_>) -> ParseError {
    let error = ParseError::new(
        format!("nothing after {}", L::expected()),
        at.quote_rest(),
        at.at(),
    );
    match at.peek() {
        Some('/') => error.hint("a range is written 10 to 14, three points low | likely | high"),
        _ if is_open(at) => error.hint(OPEN_HINT),
        _ => error,
    }
}

/// Words and signs of a bound without its other end.
const OPEN: [&str; 14] = [
    "up to",
    "at least",
    "at most",
    "more than",
    "less than",
    "over",
    "under",
    "max",
    "maximum",
    "min",
    "minimum",
    "or more",
    "or less",
    "below",
];
const OPEN_HINT: &str = "an open end is no number: write both ends, as in 0 to 10 with a unit";

/// True before a bound without its other end.
fn is_open(at: Cursor<'_>) -> bool {
    at.peek().is_some_and(|c| "<>\u{2264}\u{2265}".contains(c))
        || OPEN.iter().any(|word| at.has_word(word))
}

fn form<L: Leaf>(cursor: &mut Cursor<'_>) -> Result<Shape<L>, ParseError> {
    if cursor.eat_words(&["between"]) {
        return two_ends(cursor, &["and"]);
    }
    let mut ahead = *cursor;
    if ahead.eat_word("from")
        && let Ok(range) = two_ends(&mut ahead, &["to", "through", "thru"])
    {
        *cursor = ahead;
        return Ok(range);
    }
    if let Some(labelled) = labelled(cursor)? {
        return Ok(labelled);
    }
    if cursor.eat('~') || cursor.eat_words(&ABOUT) {
        let first = L::read(cursor)?;
        return match range_tail(cursor, &first)? {
            Some(high) => Ok(Shape::Range(first, high)),
            None => Ok(Shape::About(first)),
        };
    }
    if is_open(*cursor) {
        return Err(
            ParseError::new(L::expected(), cursor.quote_rest(), cursor.at()).hint(OPEN_HINT),
        );
    }
    let first = L::read(cursor)?;
    tail(cursor, first)
}

fn two_ends<L: Leaf>(cursor: &mut Cursor<'_>, joints: &[&str]) -> Result<Shape<L>, ParseError> {
    let low = L::read(cursor)?;
    cursor.skip_space();
    if !cursor.eat('-') && !cursor.eat_words(joints) {
        return Err(ParseError::new(
            format!("'{}' and the other end of the range", joints.join("' or '")),
            found(cursor),
            cursor.at(),
        ));
    }
    Ok(Shape::Range(low, L::read(cursor)?))
}

fn found(cursor: &Cursor<'_>) -> String {
    if cursor.is_done() {
        "the end".to_owned()
    } else {
        cursor.quote_rest()
    }
}

fn tail<L: Leaf>(cursor: &mut Cursor<'_>, first: L) -> Result<Shape<L>, ParseError> {
    if let Some(high) = range_tail(cursor, &first)? {
        return Ok(Shape::Range(first, high));
    }
    let mut at = cursor.past_space();
    if plus_minus(&mut at) {
        let read = deviation(&mut at, first)?;
        *cursor = at;
        return Ok(read);
    }
    if let Some(sign) = at.eat_any(&['|', '/', '=']) {
        return parted(cursor, at, sign, first);
    }
    if at.eat('(') {
        let mut inner = L::read(&mut at)?;
        let high = range_tail(&mut at, &inner)?;
        at.skip_space();
        if !at.eat(')') {
            return Err(ParseError::new("')'", found(&at), at.at()));
        }
        *cursor = at;
        return Ok(match high {
            None => Shape::Twice(first, inner),
            Some(mut high) => {
                if !high.has_unit() && !inner.has_unit() {
                    first.lend_to(&mut inner, &at);
                    first.lend_to(&mut high, &at);
                }
                Shape::Three {
                    low: inner,
                    likely: first,
                    high,
                }
            }
        });
    }
    Ok(Shape::One(first))
}

/// Amounts parted by bars or slashes: three points, or one amount in two units.
fn parted<L: Leaf>(
    cursor: &mut Cursor<'_>,
    mut at: Cursor<'_>,
    sign: char,
    first: L,
) -> Result<Shape<L>, ParseError> {
    let start = *cursor;
    let read = if sign != '|' { L::read_whole } else { L::read };
    let Ok(second) = read(&mut at) else {
        return Ok(Shape::One(first));
    };
    let mut more = at.past_space();
    if sign != '=' && more.eat(sign) {
        let third = read(&mut more)?;
        move_to(cursor, &more);
        return Ok(Shape::Three {
            low: first,
            likely: second,
            high: third,
        });
    }
    if sign != '|' && first.has_unit() && second.has_unit() {
        move_to(cursor, &at);
        return Ok(Shape::Twice(first, second));
    }
    Err(left_over::<L>(start.past_space()))
}

/// Moves a cursor to another place in the same text.
fn move_to(cursor: &mut Cursor<'_>, place: &Cursor<'_>) {
    while cursor.at() < place.at() && cursor.bump().is_some() {}
}

fn range_tail<L: Leaf>(cursor: &mut Cursor<'_>, first: &L) -> Result<Option<L>, ParseError> {
    let mut at = cursor.past_space();
    let dotted = {
        let mut dots = at;
        let hit = dots.eat('\u{2026}') || (dots.eat('.') && dots.eat('.'));
        if hit {
            dots.eat('.');
            at = dots;
        }
        hit
    };
    let mut after_dash = at;
    let dashed = !dotted
        // Some makers write a range with a tilde: 60~8000 rpm.
        && after_dash.eat_any(&['-', '~']).is_some()
        // "+-" and money's ",-" end differently; a dash at the very end joins nothing.
        && !after_dash.is_done();
    if dashed {
        at = after_dash;
    }
    if !dotted && !dashed && !at.eat_words(&["to", "through", "thru"]) {
        return Ok(None);
    }
    let high = L::read(&mut at)?;
    if first.has_unit() && !high.has_unit() {
        return Err(ParseError::new(
            "the unit behind the last number of a range",
            format!(
                "{} without one",
                at.quote(cursor.past_space().at(), at.at())
            ),
            cursor.past_space().at(),
        )
        .hint("write the unit once at the end, or with both ends"));
    }
    move_to(cursor, &at);
    Ok(Some(high))
}

/// Takes a plus-or-minus sign.
pub(crate) fn plus_minus(at: &mut Cursor<'_>) -> bool {
    at.eat('\u{b1}') || at.eat_text("+/-") || at.eat_text("+-") || at.eat_words(&["plus or minus"])
}

fn deviation<L: Leaf>(at: &mut Cursor<'_>, first: L) -> Result<Shape<L>, ParseError> {
    if let Some(share) = percent(at)? {
        return Ok(Shape::PlusMinusShare(first, share));
    }
    let mut by = L::read(at)?;
    if !by.has_unit() {
        first.lend_to(&mut by, at);
    }
    Ok(Shape::PlusMinus(first, by))
}

/// "10 %" as 0.1.
fn percent(cursor: &mut Cursor<'_>) -> Result<Option<f64>, ParseError> {
    let mut at = *cursor;
    let Ok(number) = super::number::number(&mut at, super::number::Style::Plain, "a number") else {
        return Ok(None);
    };
    at.skip_space();
    if !at.eat('%') && !at.eat_words(&["percent", "per cent"]) {
        return Ok(None);
    }
    if !(0.0..=100.0).contains(&number.value) {
        return Err(ParseError::new(
            "a spread of 0 to 100 %",
            at.quote(number.start, at.at()),
            number.start,
        ));
    }
    *cursor = at;
    Ok(Some(number.value / 100.0))
}

/// "low 3 h, likely 4 h, high 6 h", in any order; without the likely value a range.
fn labelled<L: Leaf>(cursor: &mut Cursor<'_>) -> Result<Option<Shape<L>>, ParseError> {
    let mut parts: [Option<L>; 3] = [None, None, None];
    let mut at = *cursor;
    let start = at.at();
    loop {
        at.skip_space();
        let label = at;
        // "most likely" before "most".
        let Some(which) = [(1, &LIKELY[..]), (0, &LOW[..]), (2, &HIGH[..])]
            .into_iter()
            .find_map(|(which, words)| at.eat_words(words).then_some(which))
        else {
            break;
        };
        at.eat_any(&[':', '=']);
        let part = L::read(&mut at)?;
        if parts[which].replace(part).is_some() {
            return Err(ParseError::new(
                "low, likely and high once each",
                label.quote(label.at(), at.at()),
                label.at(),
            ));
        }
        at.skip_space();
        if at.eat_any(&[',', ';', '/', '|']).is_none() {
            at.eat_words(&["and"]);
        }
    }
    if at.at() == cursor.past_space().at() {
        return Ok(None);
    }
    let read = match parts {
        [Some(low), Some(likely), Some(high)] => Shape::Three { low, likely, high },
        [Some(low), None, Some(high)] => Shape::Range(low, high),
        _ => {
            return Err(ParseError::new(
                "low, likely and high (or low and high)",
                at.quote(start, at.at()),
                start,
            )
            .hint(OPEN_HINT));
        }
    };
    move_to(cursor, &at);
    Ok(Some(read))
}
