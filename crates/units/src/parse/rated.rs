//! Power ratings: a spindle carries one power for good and a larger one for a while
//! ("11/15 kW (S1/S6)", "15 kW S6-40% / 11 kW S1"). Duty types as in IEC 60034-1, clause 4.2.

use super::amount::{Amount, amount, share_units};
use super::cursor::Cursor;
use super::entered::{Entered, SAME_SHARE};
use super::error::{ParseError, Remark};
use super::number::{Style, number};
use super::unit::{Found, find};
use crate::{Power, System, Time, show};

/// How long a power may be drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Duty {
    /// For good: S1.
    Continuous,
    /// For a limited time or share of the time: S2 to S10, "peak", "30 min".
    Limited {
        /// Number of the duty type (6 for S6), when stated.
        kind: Option<u8>,
        /// Loaded share of a cycle, when stated (0.4 for 40 %).
        share: Option<f64>,
        /// Time under load, when stated.
        time: Option<Time>,
    },
}

/// One stated power.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rating {
    /// The power.
    pub power: Power,
    /// For how long; `None` when the text does not say.
    pub duty: Option<Duty>,
}

/// The powers a text states.
#[derive(Clone, Debug, PartialEq)]
pub struct Rated {
    /// From the smallest to the largest; at least one.
    pub ratings: Vec<Rating>,
    /// How the text was read.
    pub remarks: Vec<Remark>,
}

impl Rated {
    /// The power that can be drawn for good: the one marked so; of several unmarked ones the
    /// smallest; a single unmarked one. `None` when only limited ratings are stated.
    pub fn continuous(&self) -> Option<Power> {
        let marked = |r: &&Rating| r.duty == Some(Duty::Continuous);
        let unmarked = |r: &&Rating| r.duty.is_none();
        let best = self.ratings.iter().find(marked);
        best.or_else(|| self.ratings.iter().find(unmarked))
            .map(|r| r.power)
    }

    /// The largest rating above the continuous one, if any.
    pub fn short_time(&self) -> Option<Rating> {
        let continuous = self.continuous();
        self.ratings
            .last()
            .copied()
            .filter(|r| continuous.is_none_or(|c| r.power > c))
    }
}

/// Reads one power or several with their duties.
pub fn parse_rated(text: &str) -> Result<Rated, ParseError> {
    let mut cursor = Cursor::new(text);
    let mut powers: Vec<Amount<Power>> = Vec::new();
    // Each duty with the number of powers before it.
    let mut duties: Vec<(usize, Duty)> = Vec::new();
    loop {
        skip_joints(&mut cursor);
        if cursor.peek().is_none() && !powers.is_empty() {
            break;
        }
        if let Some(duty) = duty(&mut cursor) {
            duties.push((powers.len(), duty));
        } else if lend_back(&mut cursor, &mut powers) || cursor.eat_words(&NOISE) {
            // "11 (15) kW" has its unit now; other words say nothing.
        } else {
            powers.push(amount(&mut cursor)?);
        }
    }
    share_units(&mut powers.iter_mut().collect::<Vec<_>>(), None, &cursor)?;
    let mut remarks: Vec<Remark> = powers.iter().flat_map(|p| p.remarks.clone()).collect();
    let mut ratings: Vec<Rating> = Vec::new();
    // The unit each rating was stated in; another unit says the same once more.
    let mut units: Vec<&str> = Vec::new();
    // Where the power that stood at each place of the text went.
    let mut place: Vec<usize> = Vec::new();
    for power in &powers {
        let value = power.settled(&cursor)?;
        if value <= Power::ZERO {
            return Err(ParseError::new(
                "a power greater than zero",
                cursor.quote(power.start, power.end),
                power.start,
            )
            .hint("ratings are parted by a slash, as in 11/15 kW"));
        }
        let unit = power.lends.map_or("", |u| u.name());
        let same = ratings.iter().zip(&units).position(|(r, u)| {
            *u != unit && (r.power - value).abs().to_kw() <= SAME_SHARE * value.abs().to_kw()
        });
        place.push(same.unwrap_or(ratings.len()));
        if same.is_none() {
            units.push(unit);
            ratings.push(Rating {
                power: value,
                duty: None,
            });
        }
    }
    assign(&mut ratings, &place, &duties, text)?;
    ratings.sort_by(|a, b| a.power.total_cmp(&b.power));
    if ratings.len() > 1 && duties.is_empty() {
        remarks.push(Remark {
            position: 0,
            text: format!(
                "'{}' is read as several ratings, the smallest for continuous work",
                text.trim()
            ),
        });
    }
    Ok(Rated { ratings, remarks })
}

/// Words beside a rating that say nothing of its size.
const NOISE: [&str; 6] = ["rating", "duty", "motor", "spindle", "output", "power"];

/// Takes a unit that stands alone and lends it to the bare numbers before it.
fn lend_back(cursor: &mut Cursor<'_>, powers: &mut [Amount<Power>]) -> bool {
    let Found::One(unit, end) = find::<Power>(*cursor, false) else {
        return false;
    };
    let mut lent = false;
    for power in powers.iter_mut().rev().take_while(|p| p.total.is_none()) {
        power.borrow(unit, cursor);
        lent = true;
    }
    if lent {
        *cursor = end;
    }
    lent
}

fn skip_joints(cursor: &mut Cursor<'_>) {
    while cursor
        .eat_any(&[' ', '/', ',', ';', '|', '(', ')', '@', ':'])
        .is_some()
        || cursor.eat_words(&["and", "at"])
    {}
}

/// Gives each duty to its power.
fn assign(
    ratings: &mut [Rating],
    place: &[usize],
    duties: &[(usize, Duty)],
    text: &str,
) -> Result<(), ParseError> {
    let unclear = || {
        ParseError::new("one duty for each power", format!("'{}'", text.trim()), 0)
            .hint("write it like 11 kW S1 / 15 kW S6-40%")
    };
    let all_last = duties.iter().all(|(before, _)| *before == place.len());
    let leads = duties.first().is_some_and(|(before, _)| *before == 0);
    for (i, (before, duty)) in duties.iter().enumerate() {
        let target = if all_last && duties.len() == ratings.len() {
            Some(i)
        } else if all_last && duties.len() > 1 {
            None
        } else if leads {
            place.get(*before).copied()
        } else {
            before.checked_sub(1).and_then(|n| place.get(n).copied())
        };
        let rating = target
            .and_then(|t| ratings.get_mut(t))
            .ok_or_else(unclear)?;
        if rating.duty.replace(*duty).is_some() {
            return Err(unclear());
        }
    }
    Ok(())
}

/// "S6-40%", "S2 30 min", "continuous", "peak", "30 min".
fn duty(cursor: &mut Cursor<'_>) -> Option<Duty> {
    if cursor.eat_words(&["continuous", "cont", "rated", "nominal"]) {
        return Some(Duty::Continuous);
    }
    let limited = |kind, share, time| Duty::Limited { kind, share, time };
    if cursor.eat_words(&[
        "peak",
        "max",
        "maximum",
        "intermittent",
        "short time",
        "overload",
    ]) {
        return Some(limited(None, None, None));
    }
    let mut at = *cursor;
    if at.eat_any(&['S', 's']).is_some() {
        let kind: u8 = at.digits().parse().ok().filter(|k| (1..=10).contains(k))?;
        if kind == 1 {
            // "S1-100%" says no more than S1.
            limit(&mut at);
            *cursor = at;
            return Some(Duty::Continuous);
        }
        let (share, time) = limit(&mut at).unwrap_or((None, None));
        *cursor = at;
        return Some(limited(Some(kind), share, time));
    }
    let (share, time) = limit(&mut at)?;
    *cursor = at;
    Some(match share {
        Some(share) if share >= 1.0 => Duty::Continuous,
        _ => limited(None, share, time),
    })
}

/// A share of the time or a time: "40%", "-40 %", "30 min".
fn limit(cursor: &mut Cursor<'_>) -> Option<(Option<f64>, Option<Time>)> {
    let mut at = *cursor;
    while at.eat_any(&[' ', '-', '(']).is_some() {}
    let start = at;
    let read = number(&mut at, Style::NoFraction, "a number").ok()?;
    at.skip_space();
    if at.eat('%') {
        at.eat_words(&[" ED", "ED"]);
        *cursor = at;
        return (0.0..=100.0)
            .contains(&read.value)
            .then_some((Some(read.value / 100.0), None));
    }
    let mut at = start;
    let time: Amount<Time> = amount(&mut at).ok()?;
    let time = time.total?;
    *cursor = at;
    Some((None, Some(time)))
}

/// The continuous power alone (the smallest when none is marked so), the others in a remark.
pub(crate) fn entered(text: &str) -> Option<Entered<Power>> {
    let rated = parse_rated(text).ok()?;
    let continuous = rated.continuous();
    let taken = continuous.or_else(|| rated.ratings.first().map(|r| r.power))?;
    let mut read = Entered::exact(taken);
    read.remarks = rated.remarks;
    let others: Vec<String> = rated
        .ratings
        .iter()
        .filter(|r| r.power != taken)
        .map(|r| show(r.power, System::Metric))
        .collect();
    if !others.is_empty() {
        read.remarks.push(Remark {
            position: 0,
            text: format!("also stated, for a limited time: {}", others.join(", ")),
        });
    }
    if continuous.is_none() {
        read.remarks.push(Remark {
            position: 0,
            text: "only a limited duty is stated; ask for the continuous (S1) power".to_owned(),
        });
    }
    Some(read)
}
