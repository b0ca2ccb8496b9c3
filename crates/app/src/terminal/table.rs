//! Tables and headings in the house's plain style.

use comfy_table::{Cell, CellAlignment, ContentArrangement, Table, presets};

/// Width tables are laid out for when the terminal's is not known.
pub const WIDTH: u16 = 100;

/// A table with a heading row; columns named in `right` are numbers.
pub fn table(headings: &[&str], right: &[usize], rows: Vec<Vec<String>>) -> String {
    let mut table = Table::new();
    table
        .load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(WIDTH)
        .set_header(headings.iter().map(Cell::new));
    for row in rows {
        table.add_row(row);
    }
    for (index, column) in table.column_iter_mut().enumerate() {
        column.set_padding(if index == 0 { (2, 1) } else { (1, 1) });
        if right.contains(&index) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    let mut text: String = table
        .lines()
        .map(|line| format!("{}\n", line.trim_end()))
        .collect();
    text.push('\n');
    text
}

/// A heading.
pub fn heading(text: &str) -> String {
    format!("{}\n", text.to_uppercase())
}

/// A paragraph wrapped to the page, indented by two.
pub fn paragraph(text: &str) -> String {
    bullet("", text)
}

/// A list item wrapped to the page, `mark` hanging in the indent.
pub fn bullet(mark: &str, text: &str) -> String {
    let indent = 2 + if mark.is_empty() {
        0
    } else {
        mark.chars().count() + 1
    };
    let room = WIDTH as usize - indent;
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    // A percentage stays in one piece.
    let text = text.replace(" %", "\u{a0}%");
    for word in text.split([' ', '\n']).filter(|w| !w.is_empty()) {
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > room {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(&word.replace('\u{a0}', " "));
    }
    lines.push(line);
    let mut out = String::new();
    for (number, line) in lines.iter().enumerate() {
        if number == 0 && !mark.is_empty() {
            out.push_str(&format!("  {mark} {line}\n"));
        } else {
            out.push_str(&format!("{}{line}\n", " ".repeat(indent)));
        }
    }
    out
}

/// A share as a percentage that never rounds to certainty.
pub fn percent(share: f64) -> String {
    if share <= 0.0 {
        "0 %".to_owned()
    } else if share >= 1.0 {
        "100 %".to_owned()
    } else if share < 0.01 {
        "under 1 %".to_owned()
    } else if share > 0.99 {
        "over 99 %".to_owned()
    } else {
        format!("{:.0} %", share * 100.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_wraps_within_the_page() {
        let text = bullet("1.", &"seven letters ".repeat(40));
        assert!(text.lines().all(|l| l.chars().count() <= WIDTH as usize));
        assert!(text.lines().skip(1).all(|l| l.starts_with("     ")));
        assert_eq!(text.split_whitespace().count(), 81);
    }

    #[test]
    fn a_share_never_rounds_to_certainty() {
        assert_eq!(percent(0.999), "over 99 %");
        assert_eq!(percent(0.001), "under 1 %");
        assert_eq!(percent(1.0), "100 %");
        assert_eq!(percent(0.5), "50 %");
    }
}
