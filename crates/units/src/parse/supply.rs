//! An electrical supply or connection in one line, its pieces in any order: "208-240 V / 3PH / 40 A",
//! "230V 1~ 16A", "3x400 V 32A 50Hz".

use super::cursor::Cursor;
use super::error::{ParseError, Remark};
use super::number::{Style, number};
use super::shape::plus_minus;
use super::unit::{Found, find};
use crate::{ApparentPower, Current, Power, Quantity, Voltage};

/// What a line says about a supply; pieces it does not mention are `None`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Supply {
    /// Least and greatest voltage; equal when one is stated.
    pub volts: Option<(Voltage, Voltage)>,
    /// Number of phases, 1 or 3.
    pub phases: Option<u8>,
    /// Current; the greatest when several are stated.
    pub amps: Option<Current>,
    /// Least and greatest frequency in hertz.
    pub hertz: Option<(f64, f64)>,
    /// Apparent power.
    pub kva: Option<ApparentPower>,
    /// Real power.
    pub power: Option<Power>,
    /// How the line was read.
    pub remarks: Vec<Remark>,
}

const EXPECTED: &str = "a supply such as 230 V 1 phase 16 A or 3x400 V 32 A";

/// Words that add nothing a number says.
const NOISE: [&str; 16] = [
    "AC",
    "FLA",
    "full load",
    "service",
    "supply",
    "input",
    "main",
    "mains",
    "power",
    "volts",
    "rated",
    "at",
    "with",
    "and",
    "N",
    "PE",
];

/// Words that make the current that of a protection.
const PROTECTION: [&str; 6] = [
    "breaker",
    "breakers",
    "circuit breaker",
    "fuse",
    "fuses",
    "fused",
];

/// What a number in the line counts.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Counts {
    Volts,
    Amps,
    Hertz,
    ApparentPower,
    Power,
}

/// A number of the line, in base units once it has its unit.
#[derive(Clone, Copy, Debug)]
struct Piece {
    start: usize,
    low: f64,
    high: f64,
    counts: Option<Counts>,
}

/// Reads a supply line.
pub fn parse_supply(text: &str) -> Result<Supply, ParseError> {
    let mut cursor = Cursor::new(text);
    let mut read = Supply::default();
    let mut pieces: Vec<Piece> = Vec::new();
    loop {
        while cursor
            .eat_any(&[
                ' ', '/', ',', ';', '|', '@', '(', ')', '-', '~', ':', '=', '.', '\u{2026}',
            ])
            .is_some()
        {}
        if cursor.peek().is_none() {
            break;
        }
        let start = cursor;
        if let Some(phases) = phases(&mut cursor) {
            no_bare(&pieces, &cursor, start.at())?;
            set(&mut read.phases, phases, "number of phases", &start)?;
        } else if cursor.eat_words(&["DC", "VDC"]) {
            return Err(ParseError::new(EXPECTED, "direct current", start.at())
                .hint("machines connect to alternating current: give its voltage and phases"));
        } else if plus_minus(&mut cursor) {
            tolerance(&mut cursor, &mut pieces)?;
        } else if cursor.eat_words(&PROTECTION) {
            read.remarks.push(Remark {
                position: start.at(),
                text: "the current stated may be the breaker's or fuse's, not the load's"
                    .to_owned(),
            });
        } else if !wires(&mut cursor) && !cursor.eat('+') && !cursor.eat_words(&NOISE) {
            let piece = piece(&mut cursor)?;
            give_unit(&mut pieces, &piece);
            pieces.push(piece);
        }
    }
    no_bare(&pieces, &cursor, text.len())?;
    gather(&pieces, &mut read, text)?;
    let said = read.volts.is_some()
        || read.phases.is_some()
        || read.amps.is_some()
        || read.kva.is_some()
        || read.power.is_some();
    if said {
        return Ok(read);
    }
    let found = match text.trim() {
        "" => "nothing".to_owned(),
        trimmed => format!("'{trimmed}'"),
    };
    Err(ParseError::new(EXPECTED, found, 0))
}

/// A number with or without its unit.
fn piece(cursor: &mut Cursor<'_>) -> Result<Piece, ParseError> {
    let read = number(cursor, Style::NoFraction, EXPECTED)
        .map_err(|e| e.hint("only V, A, Hz, kVA, kW, hp and phases (1~, 3PH) are read here"))?;
    let mut piece = Piece {
        start: read.start,
        low: read.value,
        high: read.value,
        counts: None,
    };
    let mut at = cursor.past_space();
    let mut scaled = |counts, value: f64| {
        piece.counts = Some(counts);
        piece.low = value;
        piece.high = value;
    };
    let n = read.value;
    if let Some(of) = unit::<Voltage>(&mut at) {
        scaled(Counts::Volts, of(n).base());
    } else if let Some(of) = unit::<ApparentPower>(&mut at) {
        scaled(Counts::ApparentPower, of(n).base());
    } else if let Some(of) = unit::<Power>(&mut at) {
        scaled(Counts::Power, of(n).base());
    } else if let Some(of) = unit::<Current>(&mut at) {
        scaled(Counts::Amps, of(n).base());
    } else if at.eat_words(&["FLA", "MCA"]) {
        scaled(Counts::Amps, n);
    } else if at.eat_words(&["Hz", "cps", "cycles", "hertz"]) {
        scaled(Counts::Hertz, n);
    } else if at.peek().is_some_and(char::is_alphabetic) && !at.eat_words(&["to"]) {
        return Err(ParseError::new(
            EXPECTED,
            cursor.quote(read.start, at.word_end()),
            read.start,
        )
        .hint(NEEDS_UNIT));
    }
    *cursor = at;
    let fine = piece.low.is_finite() && piece.low >= 0.0;
    if fine {
        return Ok(piece);
    }
    Err(ParseError::new(
        EXPECTED,
        cursor.quote(read.start, cursor.at()),
        read.start,
    ))
}

const NEEDS_UNIT: &str = "each number needs its unit: V, A, Hz, kVA, kW, hp or phases (1~, 3PH)";

fn unit<Q: super::Parse>(cursor: &mut Cursor<'_>) -> Option<fn(f64) -> Q> {
    match find::<Q>(*cursor, false) {
        Found::One(unit, end) => {
            *cursor = end;
            Some(unit.of)
        }
        _ => None,
    }
}

/// Bare numbers take the unit of the number after them: "208/230/460 V".
fn give_unit(pieces: &mut [Piece], last: &Piece) {
    let Some(counts) = last.counts else { return };
    // Kilovolts and the like are never shared: bare numbers are in the base unit.
    for piece in pieces.iter_mut().rev().take_while(|p| p.counts.is_none()) {
        piece.counts = Some(counts);
    }
}

fn no_bare(pieces: &[Piece], cursor: &Cursor<'_>, end: usize) -> Result<(), ParseError> {
    match pieces.last() {
        Some(piece) if piece.counts.is_none() => Err(ParseError::new(
            EXPECTED,
            format!("{} without a unit", cursor.quote(piece.start, end)),
            piece.start,
        )
        .hint(NEEDS_UNIT)),
        _ => Ok(()),
    }
}

/// "+-10 %" behind a number widens it.
fn tolerance(cursor: &mut Cursor<'_>, pieces: &mut [Piece]) -> Result<(), ParseError> {
    let by = number(cursor, Style::NoFraction, "a tolerance such as +-10 %")?;
    cursor.skip_space();
    let share = by.value / 100.0;
    match pieces.last_mut() {
        Some(piece) if cursor.eat('%') && (0.0..1.0).contains(&share) => {
            piece.low *= 1.0 - share;
            piece.high *= 1.0 + share;
            Ok(())
        }
        _ => Err(ParseError::new(
            "a tolerance such as 400 V +-10 %",
            cursor.quote(by.start, cursor.word_end()),
            by.start,
        )),
    }
}

/// Puts the numbers into the supply, each kind's least and greatest.
fn gather(pieces: &[Piece], read: &mut Supply, text: &str) -> Result<(), ParseError> {
    let span = |wanted: Counts| {
        let found = pieces.iter().filter(|p| p.counts == Some(wanted));
        found.fold(None, |span: Option<(f64, f64)>, p| {
            let (low, high) = span.unwrap_or((p.low, p.high));
            Some((low.min(p.low), high.max(p.high)))
        })
    };
    let count = |wanted: Counts| pieces.iter().filter(|p| p.counts == Some(wanted)).count();
    read.volts = span(Counts::Volts).map(|(l, h)| (Voltage::v(l), Voltage::v(h)));
    read.amps = span(Counts::Amps).map(|(_, high)| Current::a(high));
    read.hertz = span(Counts::Hertz);
    read.kva = span(Counts::ApparentPower).map(|(_, high)| ApparentPower::kva(high));
    read.power = span(Counts::Power).map(|(_, high)| Power::kw(high));
    if count(Counts::Volts) > 2 {
        read.remarks.push(Remark {
            position: 0,
            text: "several voltages are stated; ask which of them the machine is wired for"
                .to_owned(),
        });
    }
    if count(Counts::Amps) > 1 {
        read.remarks.push(Remark {
            position: 0,
            text: format!("the greatest current of '{}' is taken", text.trim()),
        });
    }
    Ok(())
}

/// Takes a count of wires ("4W", "4-wire"), which is no power.
fn wires(cursor: &mut Cursor<'_>) -> bool {
    let mut at = *cursor;
    if !matches!(at.digits(), "2" | "3" | "4" | "5") {
        return false;
    }
    while at.eat_any(&[' ', '-']).is_some() {}
    let found = at.eat_words(&["wires", "wire", "W"]);
    if found {
        *cursor = at;
    }
    found
}

/// Sets what was not yet said; saying it twice alike is fine.
fn set<T: PartialEq + Copy>(
    slot: &mut Option<T>,
    value: T,
    name: &str,
    at: &Cursor<'_>,
) -> Result<(), ParseError> {
    match slot.replace(value) {
        Some(before) if before != value => Err(ParseError::new(
            format!("one {name}"),
            format!("another, {}", at.quote_rest()),
            at.at(),
        )
        .hint("describe one connection; a second way of wiring goes into a line of its own")),
        _ => Ok(()),
    }
}

/// "1~", "3PH", "3 phase", "three-phase", "single phase", "1ph", "3ø", "3x400" (before the volts),
/// "3N~", "3/N/PE".
fn phases(cursor: &mut Cursor<'_>) -> Option<u8> {
    let mut at = *cursor;
    for (word, count) in [("single", 1), ("one", 1), ("three", 3)] {
        let mut named = at;
        if named.eat_words(&[word]) {
            while named.eat_any(&[' ', '-']).is_some() {}
            if named.eat_words(&PHASE) {
                *cursor = named;
                return Some(count);
            }
        }
    }
    let count = match at.digits() {
        "1" => 1,
        "3" => 3,
        _ => return None,
    };
    let digit_end = at;
    while at.eat_any(&[' ', '-']).is_some() {}
    let marked = at.eat('~')
        || at
            .eat_any(&['\u{f8}', '\u{d8}', '\u{3c6}', '\u{3a6}', '\u{2300}'])
            .is_some();
    if marked || at.eat_words(&PHASE) {
        *cursor = at;
        return Some(count);
    }
    if at.eat_any(&['x', 'X']).is_some() && at.past_space().peek()?.is_ascii_digit() {
        *cursor = at;
        return Some(count);
    }
    // Conductors: 3N~, 3/N/PE, 1/PE. The digit alone is the count.
    let mut wires = digit_end;
    wires.eat_any(&['/', '+']);
    if wires.eat_any(&['N', 'n']).is_some() || wires.eat_text("PE") {
        while wires.eat_any(&['/', '+']).is_some() && wires.eat_words(&["N", "PE", "E"]) {}
        if !wires.peek().is_some_and(char::is_alphanumeric) {
            *cursor = wires;
            return Some(count);
        }
    }
    None
}

const PHASE: [&str; 5] = ["phase", "phases", "ph", "PH", "P"];
