//! `tools.csv`: the shop's own tools and holders, one a row, columns named by the symbols of
//! ISO 13399 (from memory; see [`columns`]).
//!
//! Commas, semicolons or tabs part the cells, as the header has it; lines that begin with `#` are
//! remarks. A length carries its unit in its cell (`1/4 in`), its column's header (`DC (mm)`) or the
//! row's `unit` cell, the first of these that is there; metric and US rows mix freely. What a file
//! does not say stays unknown: a tool without a stated length is taken for the shortest of its kind.

mod columns;
mod kinds;
mod rows;
mod texts;

use crate::section::Sink;
use columns::Columns;
use csv::{ReaderBuilder, StringRecord, Trim};
use engine::entered::OwnTools;
use rows::Row;
use units::{Place, Problem};

/// Largest file that is believed: a shop has hundreds of tools, not hundreds of thousands.
const MOST_BYTES: usize = 4_000_000;

/// Tools and holders of a file; everything wrong with it reported.
pub(crate) fn read(file: &str, bytes: &[u8], sink: &Sink) -> OwnTools {
    let place = |line: u32| Place {
        file: file.to_owned(),
        line,
        entity: String::new(),
    };
    if bytes.len() > MOST_BYTES {
        sink.push(crate::texts::too_large(place(0), bytes.len() as u64));
        return OwnTools::default();
    }
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text.trim_start_matches('\u{feff}'),
        Err(error) => {
            let before = &bytes[..error.valid_up_to()];
            let line = 1 + before.iter().filter(|b| **b == b'\n').count() as u32;
            sink.push(texts::not_text(place(line)));
            return OwnTools::default();
        }
    };
    let (text, skipped, stated) = without_separator_line(text);
    let mut reader = ReaderBuilder::new()
        .delimiter(stated.unwrap_or_else(|| separator(text)))
        .has_headers(false)
        .flexible(true)
        .trim(Trim::All)
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let mut columns: Option<Columns> = None;
    let mut found: Vec<Row> = Vec::new();
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                let line = error.position().map_or(0, |p| p.line() as u32 + skipped);
                sink.push(Problem::stop(place(line), error.to_string(), ""));
                break;
            }
        };
        if record.iter().all(str::is_empty) {
            continue;
        }
        let at = place(line_of(text, &record) + skipped);
        match &columns {
            None => columns = Some(Columns::read(&record, &at, sink)),
            Some(columns) => found.extend(Row::read(columns, &record, &at, sink)),
        }
    }
    if columns.is_none() {
        sink.push(texts::no_header(place(0)));
    }
    rows::gather(found, sink)
}

/// Line a record begins on: the reader counts from where the record before it ended, which lies
/// before any blank lines and remarks between them.
fn line_of(text: &str, record: &StringRecord) -> u32 {
    let Some(position) = record.position() else {
        return 0;
    };
    let mut line = position.line() as u32;
    let rest = text.get(position.byte() as usize..).unwrap_or("");
    for each in rest.lines() {
        if !each.trim().is_empty() && !each.starts_with('#') {
            break;
        }
        line += 1;
    }
    line
}

/// Spreadsheets write `sep=;` on a line of its own before everything else.
fn without_separator_line(text: &str) -> (&str, u32, Option<u8>) {
    let (first, rest) = text.split_once('\n').unwrap_or((text, ""));
    match first.trim_end().to_ascii_lowercase().strip_prefix("sep=") {
        Some(said) if said.len() == 1 => (rest, 1, Some(said.as_bytes()[0])),
        _ => (text, 0, None),
    }
}

/// What parts the cells: of comma, semicolon and tab the one the header has most of outside quotes.
fn separator(text: &str) -> u8 {
    let is_header = |line: &&str| !line.trim().is_empty() && !line.starts_with('#');
    let header = text.lines().find(is_header).unwrap_or("");
    let mut quoted = false;
    let mut counts = [(b',', 0usize), (b';', 0), (b'\t', 0)];
    for byte in header.bytes() {
        quoted ^= byte == b'"';
        for (separator, count) in &mut counts {
            *count += usize::from(!quoted && byte == *separator);
        }
    }
    let most = counts.iter().map(|c| c.1).max().unwrap_or(0);
    counts.iter().find(|c| c.1 == most).map_or(b',', |c| c.0)
}
