//! Columns of `tools.csv`: which symbol a header names, and the unit it states.
//!
//! Symbols are those of ISO 13399 as tool makers print them, from memory: DC cutting diameter, DCX
//! its largest, RE corner radius, LU usable length, LCF and APMX cutting length, DCON (DCONMS) and
//! DMM shank, OAL overall length, LF functional length, LPR protruding length, NOF and ZEFP edges,
//! SIG point angle, KAPR cutting edge angle, TCDC tolerance class, TP pitch, TPI threads an inch,
//! TDZ thread size, BD body diameter, CZC connection. Plain words stand beside them for what the
//! standard leaves to classes: name, type, holder, unit, count.

use super::texts;
use crate::section::Sink;
use crate::suggest::nearest;
use csv::StringRecord;
use geometry::unit::LengthUnit;
use units::Place;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Symbol {
    Name,
    Type,
    Holder,
    Unit,
    Count,
    Dc,
    Dcx,
    Re,
    Lu,
    Lcf,
    Dcon,
    Oal,
    Lf,
    Lpr,
    Nof,
    Sig,
    Kapr,
    Tcdc,
    Tp,
    Tpi,
    Tdz,
    Bd,
    Czc,
}

/// Headers by what they are called, in capitals without spaces.
const NAMES: &[(&str, Symbol)] = &[
    ("NAME", Symbol::Name),
    ("ID", Symbol::Name),
    ("TOOL", Symbol::Name),
    ("DESCRIPTION", Symbol::Name),
    ("TYPE", Symbol::Type),
    ("KIND", Symbol::Type),
    ("SHAPE", Symbol::Type),
    ("HOLDER", Symbol::Holder),
    ("UNIT", Symbol::Unit),
    ("UNITS", Symbol::Unit),
    ("COUNT", Symbol::Count),
    ("QTY", Symbol::Count),
    ("QUANTITY", Symbol::Count),
    ("DC", Symbol::Dc),
    ("DCX", Symbol::Dcx),
    ("RE", Symbol::Re),
    ("LU", Symbol::Lu),
    ("LUX", Symbol::Lu),
    ("LCF", Symbol::Lcf),
    ("APMX", Symbol::Lcf),
    ("DCON", Symbol::Dcon),
    ("DCONMS", Symbol::Dcon),
    ("DMM", Symbol::Dcon),
    ("OAL", Symbol::Oal),
    ("LF", Symbol::Lf),
    ("LPR", Symbol::Lpr),
    ("NOF", Symbol::Nof),
    ("ZEFP", Symbol::Nof),
    ("ZEFF", Symbol::Nof),
    ("SIG", Symbol::Sig),
    ("KAPR", Symbol::Kapr),
    ("TCDC", Symbol::Tcdc),
    ("TCHA", Symbol::Tcdc),
    ("TP", Symbol::Tp),
    ("TPI", Symbol::Tpi),
    ("TDZ", Symbol::Tdz),
    ("THREAD", Symbol::Tdz),
    ("BD", Symbol::Bd),
    ("CZC", Symbol::Czc),
    ("CZCMS", Symbol::Czc),
    ("TAPER", Symbol::Czc),
];

/// A column that is read.
#[derive(Clone, Debug)]
pub(super) struct Column {
    pub symbol: Symbol,
    pub unit: Option<LengthUnit>,
    /// As the file has it, and its number from 1.
    pub header: String,
    pub number: usize,
}

/// The header of a file.
#[derive(Clone, Debug, Default)]
pub(super) struct Columns {
    pub known: Vec<Column>,
    pub width: usize,
}

impl Columns {
    /// Reads the header; columns nobody knows are told and passed over.
    pub(super) fn read(record: &StringRecord, place: &Place, sink: &Sink) -> Columns {
        let mut out = Columns {
            known: Vec::new(),
            width: record.len(),
        };
        for (number, header) in record.iter().enumerate() {
            if header.is_empty() {
                continue;
            }
            let at = Place {
                entity: header.to_owned(),
                ..place.clone()
            };
            let (name, unit) = parted(header);
            let plain: String = name.chars().filter(|c| c.is_alphanumeric()).collect();
            let plain = plain.to_ascii_uppercase();
            let Some((_, symbol)) = NAMES.iter().find(|(known, _)| *known == plain) else {
                let near = nearest(&plain, NAMES.iter().map(|n| n.0));
                sink.push(texts::unknown_column(at, header, number + 1, near));
                continue;
            };
            if let Some(first) = out.known.iter().find(|c| c.symbol == *symbol) {
                // Two lengths of the cutting part are common; the first counts.
                sink.push(texts::column_twice(at, header, &first.header));
                continue;
            }
            out.known.push(Column {
                symbol: *symbol,
                unit,
                header: header.to_owned(),
                number: number + 1,
            });
        }
        let has = |symbol| out.known.iter().any(|c| c.symbol == symbol);
        if !has(Symbol::Dc) && !has(Symbol::Tdz) && !has(Symbol::Bd) {
            sink.push(texts::no_diameters(place.clone()));
        }
        out
    }

    pub(super) fn of(&self, symbol: Symbol) -> Option<&Column> {
        self.known.iter().find(|c| c.symbol == symbol)
    }
}

/// A header's name and the unit behind it: `DC (mm)`, `DC [in]`, `DC mm`, `DC_mm`.
fn parted(header: &str) -> (&str, Option<LengthUnit>) {
    let end = header.trim_end_matches([')', ']']);
    let at = end.rfind(['(', '[', ' ', '_', '/']);
    let parts = at.map(|at| (&end[..at], LengthUnit::from_name(&end[at + 1..])));
    match parts {
        Some((name, Some(unit))) => (name.trim(), Some(unit)),
        _ => (header, None),
    }
}
