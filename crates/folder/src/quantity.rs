//! Any quantity from a node of a file, whichever it is, checked to be possible.

use crate::document::Node;
use crate::texts::{self, Wrong};
use units::{
    Acceleration, ApparentPower, Area, Current, Entered, Flow, Force, Length, Mass, Number, Parse,
    Power, Quantity, Rpm, Speed, Spread, Stress, SubgradeModulus, Time, Torque, Voltage, Volume,
    parse_entered,
};

/// The least a quantity may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Least {
    /// Anything makes sense (a dew point).
    Any,
    /// Zero makes sense (an allowance, a pocket count).
    Zero,
    /// Zero makes none (a travel, a weight).
    AboveZero,
}

/// Most of each quantity that can be meant in a small shop, in base units: what is beyond is a slip
/// of the unit or of the point. Each is at least ten times the largest machine or hall there is;
/// common practice, no source.
const MOST: &[(&str, f64)] = &[
    (Length::NAME, 1.0e6),
    (Area::NAME, 1.0e12),
    (Mass::NAME, 1.0e6),
    (Power::NAME, 1.0e4),
    (Torque::NAME, 1.0e6),
    (Rpm::NAME, 1.0e6),
    (Force::NAME, 1.0e7),
    (Speed::NAME, 1.0e5),
    (Acceleration::NAME, 1.0e3),
    (Stress::NAME, 1.0e5),
    (Flow::NAME, 1.0e6),
    (Voltage::NAME, 1.0e5),
    (Current::NAME, 1.0e5),
    (ApparentPower::NAME, 1.0e5),
    (Time::NAME, 4.0e9),
    (Volume::NAME, 1.0e12),
    (SubgradeModulus::NAME, 1.0e4),
    (Number::NAME, 1.0e8),
];

/// Largest sum of money that is believed. Common practice, no source.
pub(crate) const MOST_MONEY: f64 = 1.0e9;

/// Reads a quantity.
pub(crate) fn quantity<Q: Quantity>(node: &Node, least: Least) -> Result<Entered<Q>, Wrong> {
    let read = if Q::NAME == Number::NAME {
        recast(number(node)?)
    } else {
        let text = match node {
            Node::Text(text) => text,
            Node::Number(n) => return Err(texts::unit_missing(Q::NAME, *n, example(Q::NAME))),
            other => {
                return Err(texts::expected(
                    &texts::quantity_in_quotes(Q::NAME, example(Q::NAME)),
                    &other.describe(),
                ));
            }
        };
        recast(by_name(Q::NAME, text)?)
    };
    check(&read, least, Q::NAME)?;
    Ok(read)
}

/// Refuses what cannot be: not finite, negative, zero where that makes no sense, absurdly large.
fn check<Q: Quantity>(read: &Entered<Q>, least: Least, name: &str) -> Result<(), Wrong> {
    let (low, high) = read.ends();
    let most = MOST
        .iter()
        .find(|(quantity, _)| *quantity == name)
        .map_or(f64::MAX, |(_, most)| *most);
    range(low.base(), high.base(), least, most, name, Q::BASE_UNIT)
}

/// The same checks on plain numbers.
pub(crate) fn range(
    low: f64,
    high: f64,
    least: Least,
    most: f64,
    name: &str,
    unit: &str,
) -> Result<(), Wrong> {
    if !low.is_finite() || !high.is_finite() {
        return Err(texts::not_finite(name));
    }
    match least {
        Least::Any => {}
        _ if low < 0.0 => return Err(texts::negative(name)),
        Least::AboveZero if low <= 0.0 => return Err(texts::zero(name)),
        _ => {}
    }
    if high > most {
        return Err(texts::absurd(name, high, most, unit));
    }
    Ok(())
}

/// From one quantity to the one of the same name.
pub(crate) fn recast<A: Quantity, B: Quantity>(read: Entered<A>) -> Entered<B> {
    let to = |a: A| B::from_base(a.base());
    Entered {
        likely: to(read.likely),
        spread: read.spread.map(to),
        remarks: read.remarks,
    }
}

macro_rules! by_name {
    ($($quantity:ident),+) => {
        /// Reads the quantity of a name. The table of machine properties is generic over
        /// quantities of which it only knows the name.
        fn by_name(name: &str, text: &str) -> Result<Entered<Number>, Wrong> {
            match name {
                $(n if n == $quantity::NAME => entered::<$quantity>(text).map(recast),)+
                _ => Err(texts::unreadable_quantity(name)),
            }
        }

        /// How a quantity of a name may be written.
        fn example(name: &str) -> &'static str {
            match name {
                $(n if n == $quantity::NAME => $quantity::EXAMPLE,)+
                _ => "",
            }
        }
    };
}

by_name!(
    Length,
    Force,
    Area,
    Mass,
    Torque,
    Stress,
    Rpm,
    Speed,
    Acceleration,
    Flow,
    Time,
    ApparentPower,
    Voltage,
    Current,
    Power,
    Volume,
    SubgradeModulus
);

fn entered<Q: Parse>(text: &str) -> Result<Entered<Q>, Wrong> {
    parse_entered(text).map_err(Wrong::from)
}

/// A plain number or share: 10, "10", "10-14", "8 | 10 | 14", "about 20", "7 %".
fn number(node: &Node) -> Result<Entered<Number>, Wrong> {
    let text = match node {
        Node::Number(n) => {
            return Ok(Entered {
                likely: Number::of(*n),
                spread: Spread::None,
                remarks: Vec::new(),
            });
        }
        Node::Text(text) => text.trim(),
        other => return Err(texts::expected("a number", &other.describe())),
    };
    let wrong = || {
        texts::expected(
            "a number such as 10, 10-14 or 7 %",
            &format!("'{}'", crate::document::shortened(text)),
        )
    };
    let (body, scale) = match text.strip_suffix('%') {
        Some(body) => (body.trim(), 0.01),
        None => (text, 1.0),
    };
    let about = body.strip_prefix("about ");
    let body = about.unwrap_or(body);
    let parts: Vec<&str> = if body.contains('|') {
        body.split('|').collect()
    } else if let Some((a, b)) = body.split_once(" to ") {
        vec![a, b]
    } else {
        // A leading dash is a sign, not a range.
        match body
            .char_indices()
            .skip(1)
            .find(|(_, c)| matches!(c, '-' | '\u{2013}'))
        {
            Some((at, dash)) => vec![&body[..at], &body[at + dash.len_utf8()..]],
            None => vec![body],
        }
    };
    let values: Vec<f64> = parts
        .iter()
        .map(|part| plain_number(part.trim().trim_end_matches('%').trim()).map(|n| n * scale))
        .collect::<Option<_>>()
        .ok_or_else(wrong)?;
    if values.windows(2).any(|pair| pair[0] > pair[1]) {
        return Err(texts::falling(text));
    }
    let of = Number::of;
    let (likely, spread) = match (about, values.as_slice()) {
        (None, [a]) => (of(*a), Spread::None),
        (Some(_), [a]) => {
            let by = units::ABOUT_SHARE * a.abs();
            (
                of(*a),
                Spread::LowLikelyHigh {
                    low: of(a - by),
                    likely: of(*a),
                    high: of(a + by),
                },
            )
        }
        (_, [low, high]) => (
            of(0.5 * (low + high)),
            Spread::Range {
                low: of(*low),
                high: of(*high),
            },
        ),
        (_, [low, likely, high]) => (
            of(*likely),
            Spread::LowLikelyHigh {
                low: of(*low),
                likely: of(*likely),
                high: of(*high),
            },
        ),
        _ => return Err(wrong()),
    };
    Ok(Entered {
        likely,
        spread,
        remarks: Vec::new(),
    })
}

/// Digits with a point, a decimal comma, or commas that part thousands ("1,200").
fn plain_number(text: &str) -> Option<f64> {
    let digits_only = text
        .chars()
        .all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+'));
    if !digits_only || text.is_empty() {
        return None;
    }
    let groups: Vec<&str> = text.split(',').collect();
    let thousands = groups.len() > 1 && groups[1..].iter().all(|g| g.len() == 3);
    let plain = if thousands {
        text.replace(',', "")
    } else {
        text.replace(',', ".")
    };
    plain.parse().ok()
}
