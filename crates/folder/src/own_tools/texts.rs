//! What is said of `tools.csv`.

use crate::texts::Wrong;
use units::{Place, Problem};

pub(super) fn not_text(place: Place) -> Problem {
    Problem::stop(
        place,
        "expected text in UTF-8, found bytes that are none",
        "save the sheet as 'CSV UTF-8'",
    )
}

pub(super) fn no_header(place: Place) -> Problem {
    Problem::warning(
        place,
        "there is no header, so no tool is read",
        "begin with a line of column names: name,type,DC (mm),LU (mm),DCON (mm),OAL (mm)",
    )
}

pub(super) fn unknown_column(
    place: Place,
    header: &str,
    number: usize,
    near: Option<&str>,
) -> Problem {
    let hint = near.map_or_else(String::new, |near| format!("did you mean {near}?"));
    Problem::warning(
        place,
        format!("column {number}, '{header}', is not used"),
        hint,
    )
}

pub(super) fn column_twice(place: Place, header: &str, first: &str) -> Problem {
    Problem::warning(
        place,
        format!("'{header}' says the same as '{first}' before it; the first counts"),
        "",
    )
}

pub(super) fn no_diameters(place: Place) -> Problem {
    Problem::stop(
        place,
        "there is no column of diameters",
        "name one DC (cutting diameter of tools), BD (nose of holders) or TDZ (thread of taps)",
    )
}

pub(super) fn too_many_cells(place: Place, found: usize, columns: usize) -> Problem {
    Problem::stop(
        place,
        format!("{found} cells under {columns} columns"),
        "put a cell that holds the separator in quotes: \"6,5 mm\"",
    )
}

pub(super) fn missing(place: Place, symbol: &str, example: &str) -> Problem {
    Problem::stop(
        Place {
            entity: symbol.to_owned(),
            ..place
        },
        format!("{symbol}: it is missing"),
        example,
    )
}

pub(super) fn no_unit(number: &str) -> Wrong {
    crate::texts::expected_hint(
        "a length with its unit",
        &format!("the bare number {number}"),
        "write the unit in the header, DC (mm), in the cell, 1/4 in, or in a column named unit",
    )
}

pub(super) fn not_above_zero(found: &str) -> Wrong {
    crate::texts::expected_hint(
        "something above zero",
        &format!("'{found}'"),
        "leave the cell empty if it is not known",
    )
}

pub(super) fn too_long(found: &str) -> Wrong {
    crate::texts::expected_hint(
        "a length of a tool, at most 2 m",
        &format!("'{found}'"),
        "check the unit",
    )
}

pub(super) fn larger(symbol: &str, than: &str, found: String, most: String) -> Wrong {
    crate::texts::expected_hint(
        &format!("{symbol} no larger than {than}, {most}"),
        &found,
        "",
    )
}

pub(super) fn unknown_kind(found: &str, near: Option<&str>, known: &str) -> Wrong {
    let hint = match near {
        Some(near) => format!("did you mean '{near}'? Known are {known}"),
        None => format!("known are {known}"),
    };
    crate::texts::expected_hint("a type of tool", &format!("'{found}'"), &hint)
}

pub(super) fn cannot_tell(place: Place) -> Problem {
    Problem::stop(
        place,
        "what kind of tool this is cannot be told from its columns",
        "add a column named type: end mill, ball, bull, face mill, drill, reamer, tap, chamfer, \
         boring, holder",
    )
}

pub(super) fn kind_is_kept_only(place: Place, found: &str) -> Problem {
    Problem::warning(
        place,
        format!("no task asks for a {found}, so this row is not used"),
        "",
    )
}

pub(super) fn unknown_holder(found: &str, near: Option<&str>) -> Wrong {
    let hint = match near {
        Some(near) => format!("did you mean '{near}'?"),
        None => "give the holder a row of its own with that name, or write its nose diameter with \
                 its unit"
            .to_owned(),
    };
    crate::texts::expected_hint("a holder of this file", &format!("'{found}'"), &hint)
}

pub(super) fn holder_twice(place: Place, name: &str, first: u32) -> Problem {
    Problem::stop(
        place,
        format!("the holder '{name}' has a row already, in line {first}"),
        "give each its own name, or say how many there are in a column named count",
    )
}

pub(super) fn lengths_assumed(place: Place, lines: &[u32]) -> Problem {
    let all: Vec<String> = lines.iter().take(12).map(u32::to_string).collect();
    let more = if lines.len() > all.len() { ", ..." } else { "" };
    Problem::warning(
        place,
        format!(
            "no usable length is stated for {} tool(s), lines {}{more}: each is taken for the \
             shortest of its kind, so it may reach farther than is said",
            lines.len(),
            all.join(", ")
        ),
        "state LU, or LCF (APMX), and OAL",
    )
}
