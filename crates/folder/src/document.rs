//! A TOML file as a plain tree in which everything knows its line.

use crate::texts;
use toml_edit::{Document, Item, TableLike, Value as TomlValue};
use units::{Place, Problem};

/// What stands at a place.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Node {
    /// A string.
    Text(String),
    /// An integer or a float, NaN and infinities included.
    Number(f64),
    /// True or false.
    Flag(bool),
    /// A date, as written.
    Date(String),
    /// A list.
    List(Vec<Located>),
    /// A table.
    Table(Table),
}

impl Node {
    /// What it is called in messages.
    pub(crate) fn describe(&self) -> String {
        match self {
            Node::Text(text) => format!("'{}'", shortened(text)),
            Node::Number(number) => format!("the number {number}"),
            Node::Flag(flag) => format!("{flag}"),
            Node::Date(date) => format!("the date {date}"),
            Node::List(_) => "a list".to_owned(),
            Node::Table(_) => "a table".to_owned(),
        }
    }
}

/// Keeps messages to a line, whatever stands in the file.
pub(crate) fn shortened(text: &str) -> String {
    let clean: String = text
        .chars()
        .take(60)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if text.chars().count() > 60 {
        format!("{clean}...")
    } else {
        clean
    }
}

/// A node with its line.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Located {
    pub(crate) line: u32,
    pub(crate) node: Node,
}

/// Keys in the order of the file.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Table {
    pub(crate) line: u32,
    pub(crate) entries: Vec<(String, Located)>,
}

impl Table {
    pub(crate) fn get(&self, key: &str) -> Option<&Located> {
        self.entries
            .iter()
            .find(|(name, _)| name == key)
            .map(|(_, located)| located)
    }
}

/// Reads a file into a tree; what is wrong with it as a file is one problem with its line.
pub(crate) fn parse(file: &str, bytes: &[u8]) -> Result<Table, Problem> {
    let place = |line: u32| Place {
        file: file.to_owned(),
        line,
        entity: String::new(),
    };
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let before = &bytes[..error.valid_up_to()];
        let line = 1 + before.iter().filter(|b| **b == b'\n').count() as u32;
        texts::not_utf8(place(line))
    })?;
    // A byte-order mark is harmless; editors on some systems write one.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let lines = Lines::of(text);
    let document = Document::parse(text).map_err(|error| {
        let line = error.span().map_or(0, |span| lines.at(span.start));
        texts::not_toml(place(line), error.message())
    })?;
    Ok(table(document.as_table(), 1, &lines))
}

/// Offsets at which lines begin.
struct Lines(Vec<usize>);

impl Lines {
    fn of(text: &str) -> Self {
        let after = text.bytes().enumerate().filter(|(_, b)| *b == b'\n');
        Lines(
            std::iter::once(0)
                .chain(after.map(|(i, _)| i + 1))
                .collect(),
        )
    }

    fn at(&self, offset: usize) -> u32 {
        self.0.partition_point(|start| *start <= offset) as u32
    }
}

fn table(from: &dyn TableLike, line: u32, lines: &Lines) -> Table {
    let entries = from
        .iter()
        .filter_map(|(name, item)| {
            let key_span = from.key(name).and_then(|key| key.span());
            let line = key_span.or(item.span()).map_or(line, |s| lines.at(s.start));
            Some((name.to_owned(), located(item, line, lines)?))
        })
        .collect();
    Table { line, entries }
}

fn located(item: &Item, line: u32, lines: &Lines) -> Option<Located> {
    let own = |span: Option<std::ops::Range<usize>>| span.map_or(line, |s| lines.at(s.start));
    let node = match item {
        Item::None => return None,
        Item::Value(value) => value_node(value, line, lines),
        Item::Table(inner) => Node::Table(table(inner, own(inner.span()), lines)),
        Item::ArrayOfTables(tables) => Node::List(
            tables
                .iter()
                .map(|inner| {
                    let line = own(inner.span());
                    Located {
                        line,
                        node: Node::Table(table(inner, line, lines)),
                    }
                })
                .collect(),
        ),
    };
    Some(Located { line, node })
}

fn value_node(value: &TomlValue, line: u32, lines: &Lines) -> Node {
    match value {
        TomlValue::String(text) => Node::Text(text.value().clone()),
        // Exact up to 2^53, far past any count or seed a person writes.
        TomlValue::Integer(number) => Node::Number(*number.value() as f64),
        TomlValue::Float(number) => Node::Number(*number.value()),
        TomlValue::Boolean(flag) => Node::Flag(*flag.value()),
        TomlValue::Datetime(date) => Node::Date(date.value().to_string()),
        TomlValue::Array(list) => Node::List(
            list.iter()
                .map(|inner| {
                    let line = inner.span().map_or(line, |s| lines.at(s.start));
                    Located {
                        line,
                        node: value_node(inner, line, lines),
                    }
                })
                .collect(),
        ),
        TomlValue::InlineTable(inner) => Node::Table(table(inner, line, lines)),
    }
}
