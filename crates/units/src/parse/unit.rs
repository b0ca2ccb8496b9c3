//! Units by their names: the longest name that fits at a place, told apart from the units of other
//! quantities.

use super::Parse;
use super::cursor::{Cursor, same_letter};
use super::error::{ParseError, with_article};
use super::suggest::nearest;
use super::tables::{KINDS, Kind};

/// Which fractions may stand before a unit; the others are two numbers parted by a slash.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Fractions {
    /// Any ("10/16 in").
    Any,
    /// In lowest terms over 3 or a power of two ("1/3 hp", but 5/10 hp is two ratings).
    Reduced,
    /// None: nobody writes 3/4 kW for 750 W.
    Never,
}

impl Fractions {
    /// True when this fraction may stand before the unit.
    pub(crate) fn allow(self, (n, d): (u64, u64)) -> bool {
        match self {
            Fractions::Any => true,
            Fractions::Never => false,
            Fractions::Reduced => n < d && (d == 3 && n > 0 || d.is_power_of_two() && n % 2 == 1),
        }
    }
}

/// What a lone point before exactly three digits does in numbers of a unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Point {
    /// It is a decimal point, beyond doubt: thousandths of it are written, or thousands are not.
    Decimal,
    /// It is taken for a decimal point, with a remark.
    Doubtful,
    /// It parts thousands, with a remark: nobody writes thousandths of it ("12.000 rpm").
    Thousands,
}

/// A unit: its names and the constructor of its quantity. In a name a space matches any joint or
/// none ("ft lb" is also ft-lb, ft·lb, ftlb), a slash also " per ", 2 and 3 also their superscripts.
pub struct Unit<Q: 'static> {
    names: &'static [&'static str],
    /// From a number of this unit.
    pub(crate) of: fn(f64) -> Q,
    /// Place in a compound such as feet and inches: which compound, and how large within it.
    chain: Option<(u8, u8)>,
    /// Only understood as the later part of a compound.
    only_in_chain: bool,
    exact: bool,
    pub(crate) fractions: Fractions,
    pub(crate) point: Point,
    /// How a name that has several meanings was read.
    pub(crate) note: &'static str,
}

impl<Q> Unit<Q> {
    pub(crate) const fn new(names: &'static [&'static str], of: fn(f64) -> Q) -> Self {
        Self {
            names,
            of,
            chain: None,
            only_in_chain: false,
            exact: false,
            fractions: Fractions::Any,
            point: Point::Decimal,
            note: "",
        }
    }

    pub(crate) const fn chained(mut self, compound: u8, size: u8) -> Self {
        self.chain = Some((compound, size));
        self
    }

    pub(crate) const fn later_part(mut self) -> Self {
        self.only_in_chain = true;
        self
    }

    /// Case matters: another unit differs by case alone.
    pub(crate) const fn exact(mut self) -> Self {
        self.exact = true;
        self
    }

    pub(crate) const fn fractions(mut self, fractions: Fractions) -> Self {
        self.fractions = fractions;
        self
    }

    pub(crate) const fn point(mut self, point: Point) -> Self {
        self.point = point;
        self
    }

    pub(crate) const fn noted(mut self, note: &'static str) -> Self {
        self.note = note;
        self
    }

    /// The name shown in messages.
    pub fn name(&self) -> &'static str {
        self.names.first().copied().unwrap_or("")
    }

    /// True when `later` may follow this unit in a compound.
    pub(crate) fn continues_with(&self, later: &Self) -> bool {
        matches!((self.chain, later.chain), (Some((a, big)), Some((b, small))) if a == b && small < big)
    }

    /// True for the compound of feet and inches, where a dash may join the parts (5'-3").
    pub(crate) fn joins_by_dash(&self) -> bool {
        self.chain
            .is_some_and(|(compound, _)| compound == FEET_AND_INCHES)
    }
}

/// The compound whose parts a dash may join.
pub(crate) const FEET_AND_INCHES: u8 = 1;

/// A name that fits at a place.
#[derive(Clone, Copy)]
struct Hit<'a> {
    end: Cursor<'a>,
    same_case: bool,
}

fn fit<'a>(mut at: Cursor<'a>, name: &str, exact: bool) -> Option<Hit<'a>> {
    let mut same_case = true;
    let mut last = ' ';
    for wanted in name.chars() {
        last = wanted;
        match wanted {
            ' ' => while at.eat_any(&[' ', '-', '\u{b7}', '*', '.']).is_some() {},
            '/' => {
                at.eat_abbreviation_stop();
                at.skip_space();
                if !at.eat('/') && !at.eat_word("per") {
                    return None;
                }
                at.skip_space();
            }
            '1' | '2' | '3' | '-' => {
                let raised = match wanted {
                    '1' => '¹',
                    '2' => '²',
                    '3' => '³',
                    _ => '⁻',
                };
                if at.eat_any(&[wanted, raised]).is_none() {
                    at.eat('^').then_some(())?;
                    at.eat(wanted).then_some(())?;
                }
            }
            _ => {
                let c = at.bump().filter(|c| same_letter(*c, wanted))?;
                same_case &= c == wanted;
            }
        }
    }
    if exact && !same_case {
        return None;
    }
    if last.is_ascii_digit() && at.peek().is_some_and(char::is_alphanumeric) && !times_follows(at) {
        return None;
    }
    if last.is_alphabetic() {
        if at.peek().is_some_and(|c| "²³¹⁻^".contains(c)) {
            return None;
        }
        if at.peek().is_some_and(char::is_alphabetic) && !times_follows(at) {
            return None;
        }
        at.eat_abbreviation_stop();
    }
    Some(Hit { end: at, same_case })
}

/// True before an x that multiplies ("300mmx200mm").
pub(crate) fn times_follows(mut at: Cursor<'_>) -> bool {
    at.eat_any(&['x', 'X']).is_some()
        && at
            .past_space()
            .peek()
            .is_some_and(|c| c.is_ascii_digit() || c == '.' || c == ' ')
}

/// What was found where a unit should stand.
pub(crate) enum Found<'a, Q: 'static> {
    One(&'static Unit<Q>, Cursor<'a>),
    /// Two units differ by case alone and neither is written as it should be.
    Unclear(&'static Unit<Q>, &'static Unit<Q>),
    Nothing,
}

/// The unit of this quantity with the longest name at this place.
pub(crate) fn find<'a, Q: Parse>(at: Cursor<'a>, in_chain: bool) -> Found<'a, Q> {
    let mut best: Option<(&'static Unit<Q>, Hit<'a>)> = None;
    let mut rival: Option<&'static Unit<Q>> = None;
    for unit in Q::units() {
        if unit.only_in_chain && !in_chain {
            continue;
        }
        for name in unit.names {
            let Some(hit) = fit(at, name, unit.exact) else {
                continue;
            };
            match &best {
                Some((_, b)) if (hit.end.at(), hit.same_case) < (b.end.at(), b.same_case) => {}
                Some((u, b)) if (hit.end.at(), hit.same_case) == (b.end.at(), b.same_case) => {
                    if !std::ptr::eq(*u, unit) {
                        rival = Some(unit);
                    }
                }
                _ => {
                    best = Some((unit, hit));
                    rival = None;
                }
            }
        }
    }
    match (best, rival) {
        (None, _) => Found::Nothing,
        (Some((unit, _)), Some(other)) => Found::Unclear(unit, other),
        (Some((unit, hit)), None) => Found::One(unit, hit.end),
    }
}

/// End of the longest unit name of a quantity at this place, as other quantities see it: "min-1"
/// is left out, since "10 min-1 h" is a range of times.
pub(crate) fn reach<Q: Parse>(at: Cursor<'_>) -> Option<usize> {
    Q::units()
        .iter()
        .flat_map(|u| u.names.iter().map(move |n| (u.exact, n)))
        .filter(|(_, name)| !name.ends_with("-1"))
        .filter_map(|(exact, name)| fit(at, name, exact))
        .map(|hit| hit.end.at())
        .max()
}

/// The names of a quantity's units, one each.
pub(crate) fn main_names<Q: Parse>() -> Vec<&'static str> {
    Q::units()
        .iter()
        .filter(|u| !u.only_in_chain && u.note.is_empty())
        .map(Unit::name)
        .collect()
}

/// All names of a quantity's units.
pub(crate) fn all_names<Q: Parse>() -> Vec<&'static str> {
    Q::units()
        .iter()
        .filter(|u| !u.only_in_chain)
        .flat_map(|u| u.names.iter().copied())
        .collect()
}

/// Reads the unit at the cursor; `None` when nothing that looks like one stands there.
pub(crate) fn unit<Q: Parse>(
    cursor: &mut Cursor<'_>,
    number_start: usize,
) -> Result<Option<&'static Unit<Q>>, ParseError> {
    let at = cursor.past_space();
    let found = find::<Q>(at, false);
    let own_end = match &found {
        Found::One(_, end) => end.at(),
        _ => at.at(),
    };
    for (word, hint) in Q::AMBIGUOUS {
        if let Some(hit) = fit(at, word, false)
            && hit.end.at() > own_end
        {
            return Err(ParseError::new(
                expected::<Q>(),
                format!(
                    "{}, which can mean several units",
                    at.quote(number_start, hit.end.at())
                ),
                at.at(),
            )
            .hint(*hint));
        }
    }
    let other: Option<(&Kind, usize)> = KINDS
        .iter()
        .filter(|kind| kind.name != Q::NAME)
        .filter_map(|kind| (kind.reach)(at).map(|end| (kind, end)))
        .filter(|(_, end)| *end > own_end)
        .fold(None, |best, (kind, end)| match best {
            Some((_, most)) if most >= end => best,
            _ => Some((kind, end)),
        });
    if let Some((kind, end)) = other
        && !(matches!(found, Found::Unclear(..)))
    {
        return Err(ParseError::new(
            expected::<Q>(),
            format!(
                "{}, {}",
                with_article(kind.name),
                at.quote(number_start, end)
            ),
            at.at(),
        ));
    }
    match found {
        Found::One(unit, end) => {
            *cursor = end;
            Ok(Some(unit))
        }
        Found::Unclear(a, b) => Err(ParseError::new(
            expected::<Q>(),
            at.quote(number_start, at.word_end()),
            at.at(),
        )
        .hint(format!(
            "capitals matter here: write {} or {}",
            a.name(),
            b.name()
        ))),
        Found::Nothing if looks_like_unit(at) => Err(unknown::<Q>(at)),
        Found::Nothing => Ok(None),
    }
}

/// What a text of this quantity should look like.
pub(crate) fn expected<Q: Parse>() -> String {
    format!("{} such as {}", with_article(Q::NAME), Q::EXAMPLE)
}

fn unknown<Q: Parse>(at: Cursor<'_>) -> ParseError {
    let end = at.word_end();
    let word = at.slice(at.at(), end);
    let hint = match nearest(word, &all_names::<Q>()) {
        Some(name) => format!("did you mean {name}?"),
        None => format!("units understood here: {}", main_names::<Q>().join(", ")),
    };
    ParseError::new(
        expected::<Q>(),
        format!("the unknown unit {}", at.quote(at.at(), end)),
        at.at(),
    )
    .hint(hint)
}

/// Words that may follow a number without being its unit.
const JOINTS: [&str; 15] = [
    "to", "and", "by", "through", "thru", "at", "x", "low", "likely", "high", "min", "typ",
    "typical", "max", "or",
];

fn looks_like_unit(at: Cursor<'_>) -> bool {
    let starts = at
        .peek()
        .is_some_and(|c| c.is_alphabetic() || "\"'\u{b0}%$".contains(c));
    starts && !times_follows(at) && !JOINTS.iter().any(|word| at.has_word(word))
}
