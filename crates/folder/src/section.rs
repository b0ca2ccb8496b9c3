//! One table of a file, read key by key. What is asked for is what is known: at the end every other
//! key is reported, with the nearest of those asked for.

use crate::document::{Located, Node, Table};
use crate::quantity::{self, Least, MOST_MONEY};
use crate::rates::Rates;
use crate::suggest::nearest;
use crate::texts::{self, Wrong};
use std::cell::RefCell;
use units::{Entered, Length, Money, Place, Problem, Problems, Quantity, Value, parse_dimensions};

/// Where problems gather while several tables are open.
#[derive(Debug, Default)]
pub(crate) struct Sink(RefCell<Problems>);

impl Sink {
    pub(crate) fn push(&self, problem: Problem) {
        self.0.borrow_mut().push(problem);
    }

    pub(crate) fn into_problems(self) -> Problems {
        self.0.into_inner()
    }
}

/// A table being read.
pub(crate) struct Section<'a> {
    file: &'a str,
    table: &'a Table,
    sink: &'a Sink,
    asked: RefCell<Vec<&'static str>>,
}

impl<'a> Section<'a> {
    pub(crate) fn new(file: &'a str, table: &'a Table, sink: &'a Sink) -> Self {
        Self {
            file,
            table,
            sink,
            asked: RefCell::default(),
        }
    }

    /// Where the table itself stands.
    pub(crate) fn place(&self) -> Place {
        Place {
            file: self.file.to_owned(),
            line: self.table.line,
            entity: String::new(),
        }
    }

    /// Where a key stands; the table's place when it is not there.
    pub(crate) fn place_of(&self, key: &str) -> Place {
        Place {
            file: self.file.to_owned(),
            line: self.table.get(key).map_or(self.table.line, |l| l.line),
            entity: key.to_owned(),
        }
    }

    pub(crate) fn push(&self, problem: Problem) {
        self.sink.push(problem);
    }

    /// Reports what is wrong with a key.
    pub(crate) fn wrong(&self, key: &str, wrong: Wrong) {
        self.push(wrong.at(self.place_of(key)));
    }

    /// True when the key is there.
    pub(crate) fn has(&self, key: &'static str) -> bool {
        self.get(key).is_some()
    }

    pub(crate) fn get(&self, key: &'static str) -> Option<&'a Located> {
        let mut asked = self.asked.borrow_mut();
        if !asked.contains(&key) {
            asked.push(key);
        }
        self.table.get(key)
    }

    /// The value, or what is wrong with it reported.
    fn read<T>(
        &self,
        key: &'static str,
        read: impl FnOnce(&'a Node) -> Result<T, Wrong>,
    ) -> Option<T> {
        match read(&self.get(key)?.node) {
            Ok(value) => Some(value),
            Err(wrong) => {
                self.wrong(key, wrong);
                None
            }
        }
    }

    /// Reports a key that must be there and is not.
    pub(crate) fn require(&self, key: &'static str, example: &str) {
        if !self.has(key) {
            self.push(texts::missing_key(self.place(), key, example));
        }
    }

    pub(crate) fn text(&self, key: &'static str) -> Option<String> {
        self.read(key, |node| match node {
            Node::Text(text) if text.trim().is_empty() => {
                Err(texts::expected("a text", "an empty one"))
            }
            Node::Text(text) => Ok(text.trim().to_owned()),
            other => Err(texts::expected("a text in quotes", &other.describe())),
        })
    }

    pub(crate) fn flag(&self, key: &'static str) -> Option<bool> {
        self.read(key, |node| match node {
            Node::Flag(flag) => Ok(*flag),
            other => Err(texts::expected("true or false", &other.describe())),
        })
    }

    pub(crate) fn texts(&self, key: &'static str) -> Vec<String> {
        self.read(key, |node| match node {
            Node::List(list) => list
                .iter()
                .map(|each| match &each.node {
                    Node::Text(text) => Ok(text.trim().to_owned()),
                    other => Err(texts::expected("texts in quotes", &other.describe())),
                })
                .collect(),
            other => Err(texts::expected_hint(
                "a list of texts",
                &other.describe(),
                "write it like [\"vise\", \"toolholders\"]",
            )),
        })
        .unwrap_or_default()
    }

    /// One of a few words.
    pub(crate) fn choice<T: Copy>(&self, key: &'static str, words: &[(&str, T)]) -> Option<T> {
        let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
        self.read(key, |node| {
            let text = match node {
                Node::Text(text) => text.trim(),
                other => {
                    let what = format!("one of {}", known.join(", "));
                    return Err(texts::expected(&what, &other.describe()));
                }
            };
            words
                .iter()
                .find(|(word, _)| word.eq_ignore_ascii_case(text))
                .map(|(_, value)| *value)
                .ok_or_else(|| {
                    let near = nearest(text, known.iter().copied());
                    texts::choice(&crate::document::shortened(text), &known, near)
                })
        })
    }

    /// A quantity with its spread, and how doubtful places were read as remarks.
    pub(crate) fn entered<Q: Quantity>(
        &self,
        key: &'static str,
        least: Least,
    ) -> Option<Entered<Q>> {
        let read = self.read(key, |node| quantity::quantity(node, least))?;
        self.remark(key, &read);
        Some(read)
    }

    fn remark<Q>(&self, key: &str, read: &Entered<Q>) {
        for remark in &read.remarks {
            self.push(texts::remark(self.place_of(key), &remark.text));
        }
    }

    /// A quantity as a named input.
    pub(crate) fn value<Q: Quantity>(
        &self,
        key: &'static str,
        id: &str,
        least: Least,
    ) -> Option<Value<Q>> {
        let read = self.entered(key, least)?;
        Some(read.value(format!("{id}/{key}"), self.place_of(key)))
    }

    /// A plain quantity, of whose spread only the middle counts.
    pub(crate) fn plain<Q: Quantity>(&self, key: &'static str, least: Least) -> Option<Q> {
        self.entered(key, least).map(|read| read.likely)
    }

    /// An amount of money in the folder's currency.
    pub(crate) fn money(
        &self,
        key: &'static str,
        id: &str,
        least: Least,
        rates: &Rates,
    ) -> Option<Value<Money>> {
        let read = self.read(key, |node| money(node, least, rates))?;
        self.remark(key, &read);
        Some(read.value(format!("{id}/{key}"), self.place_of(key)))
    }

    /// `N` lengths in one text ("16 x 12 x 1 in").
    pub(crate) fn lengths<const N: usize>(
        &self,
        key: &'static str,
        what: &str,
    ) -> Option<[Length; N]> {
        self.read(key, |node| match node {
            Node::Text(text) => lengths(text, what),
            other => Err(texts::expected_hint(
                &format!("{N} lengths in quotes ({what})"),
                &other.describe(),
                "write them as in '16 x 12 x 1 in'",
            )),
        })
    }

    /// Anything else, read from its node.
    pub(crate) fn with<T>(
        &self,
        key: &'static str,
        read: impl FnOnce(&'a Node) -> Result<T, Wrong>,
    ) -> Option<T> {
        self.read(key, read)
    }

    /// A table within this one.
    pub(crate) fn section(&self, key: &'static str) -> Option<Section<'a>> {
        self.read(key, |node| match node {
            Node::Table(table) => Ok(Section::new(self.file, table, self.sink)),
            other => Err(texts::expected_hint(
                "a table",
                &other.describe(),
                &format!("write [{key}] and its keys below"),
            )),
        })
    }

    /// Several tables under one key ([[part]]).
    pub(crate) fn sections(&self, key: &'static str) -> Vec<Section<'a>> {
        let wanted = |found: &Node| {
            texts::expected_hint(
                "tables",
                &found.describe(),
                &format!("write [[{key}]] and its keys below, once for each"),
            )
        };
        self.read(key, |node| match node {
            Node::List(list) => list
                .iter()
                .map(|each| match &each.node {
                    Node::Table(table) => Ok(Section::new(self.file, table, self.sink)),
                    other => Err(wanted(other)),
                })
                .collect(),
            other => Err(wanted(other)),
        })
        .unwrap_or_default()
    }

    /// Every key with its node, for tables whose keys are names the user chose.
    pub(crate) fn every(&self) -> impl Iterator<Item = (&'a str, &'a Located)> {
        self.table
            .entries
            .iter()
            .map(|(key, located)| (key.as_str(), located))
    }

    /// A table below a key the user chose.
    pub(crate) fn below(&self, table: &'a Table) -> Section<'a> {
        Section::new(self.file, table, self.sink)
    }

    /// Reports every key that was not asked for.
    pub(crate) fn finish(self) {
        let asked = self.asked.borrow();
        let mut known: Vec<&str> = asked.clone();
        known.sort_unstable();
        for (key, located) in &self.table.entries {
            if asked.contains(&key.as_str()) {
                continue;
            }
            let place = Place {
                file: self.file.to_owned(),
                line: located.line,
                entity: key.clone(),
            };
            let near = nearest(key, asked.iter().copied());
            self.sink.push(texts::unknown_key(place, key, near, &known));
        }
    }
}

/// Lengths in one text, each greater than zero and of a size that can be meant.
pub(crate) fn lengths<const N: usize>(text: &str, what: &str) -> Result<[Length; N], Wrong> {
    let read = parse_dimensions(text)?;
    for length in &read {
        let node = length.to_mm();
        quantity::range(node, node, Least::AboveZero, 1.0e6, Length::NAME, "mm")?;
    }
    let found = read.len();
    read.try_into()
        .map_err(|_| texts::short_list(what, N, found))
}

/// Money from a node: a bare number is in the folder's currency.
pub(crate) fn money(node: &Node, least: Least, rates: &Rates) -> Result<Entered<Money>, Wrong> {
    let read = match node {
        Node::Number(n) => Entered::exact(Money::amount(*n)),
        Node::Text(text) => rates.convert(text, units::parse_entered_price(text)?)?,
        other => {
            return Err(texts::expected(
                "a sum such as \"$18,900\"",
                &other.describe(),
            ));
        }
    };
    let (low, high) = read.ends();
    quantity::range(
        low.to_amount(),
        high.to_amount(),
        least,
        MOST_MONEY,
        "sum of money",
        "",
    )?;
    Ok(read)
}
