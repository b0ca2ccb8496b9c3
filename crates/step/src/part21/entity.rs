//! One instance: its keyword or keywords, and their parameters.

use super::lex::skip_blank;
use super::value::{Args, Fault};
use crate::brep::EntityId;

/// A simple instance has one leaf; a complex one has one for each of its types.
#[derive(Clone, Copy, Debug)]
pub struct Leaf<'a> {
    /// Type name, upper case in every file seen.
    pub keyword: &'a [u8],
    /// Its own parameters (a simple instance: inherited ones too).
    pub args: Args<'a>,
}

/// One instance.
#[derive(Clone, Copy, Debug)]
pub struct Entity<'a> {
    /// Its name, the number behind `#`.
    pub id: EntityId,
    /// The file up to the end of the instance, so that offsets stay those of the file.
    bytes: &'a [u8],
    body: usize,
}

impl<'a> Entity<'a> {
    pub(super) fn new(id: EntityId, bytes: &'a [u8], body: usize) -> Self {
        Entity { id, bytes, body }
    }

    /// Offset of the instance in the file.
    pub fn offset(&self) -> usize {
        self.body
    }

    /// Length of its text in bytes.
    pub fn size(&self) -> usize {
        self.bytes.len() - self.body
    }

    /// True for an instance of several leaves, `(A(...)B(...))`.
    pub fn is_complex(&self) -> bool {
        self.bytes.get(self.body) == Some(&b'(')
    }

    /// All leaves.
    pub fn leaves(&self) -> Leaves<'a> {
        let complex = self.is_complex();
        Leaves {
            bytes: self.bytes,
            at: self.body + usize::from(complex),
            complex,
            done: false,
        }
    }

    /// The keyword of a simple instance, empty for a complex one.
    pub fn keyword(&self) -> &'a [u8] {
        keyword_at(self.bytes, self.body)
    }

    /// Type name for messages; a complex instance gives all of its names.
    pub fn kind(&self) -> String {
        if !self.is_complex() {
            return String::from_utf8_lossy(self.keyword()).into_owned();
        }
        let names: Vec<_> = self
            .leaves()
            .take(12)
            .map(|leaf| String::from_utf8_lossy(leaf.keyword))
            .collect();
        names.join("+")
    }

    /// True when the instance is of this type by name (supertypes of a simple instance do not
    /// stand in the file).
    pub fn is(&self, keyword: &str) -> bool {
        if self.is_complex() {
            self.leaves().any(|leaf| leaf.keyword == keyword.as_bytes())
        } else {
            self.keyword() == keyword.as_bytes()
        }
    }

    /// Parameters of the simple instance, or of one leaf of a complex one.
    pub fn leaf(&self, keyword: &str) -> Option<Args<'a>> {
        self.leaves()
            .find(|leaf| leaf.keyword == keyword.as_bytes())
            .map(|leaf| leaf.args)
    }

    /// Parameters of a simple instance.
    ///
    /// # Errors
    /// When it is complex or has no bracket.
    pub fn args(&self) -> Result<Args<'a>, Fault> {
        match self.leaves().next() {
            Some(leaf) if !self.is_complex() => Ok(leaf.args),
            _ => Err(Fault {
                offset: self.body,
                text: "expected `KEYWORD(...)`".into(),
            }),
        }
    }

    /// Parameters from the given leaf on. A simple instance states what it inherits first, so
    /// that many parameters are passed over; a complex one has them in leaves of their own.
    ///
    /// # Errors
    /// When the leaf, or a parameter, is missing.
    pub fn own_args(&self, keyword: &str, inherited: usize) -> Result<Args<'a>, Fault> {
        if self.is_complex() {
            return self.leaf(keyword).ok_or_else(|| Fault {
                offset: self.body,
                text: format!("a complex instance lacks its leaf {keyword}"),
            });
        }
        let mut args = self.args()?;
        args.skip(inherited)?;
        Ok(args)
    }
}

fn keyword_at(bytes: &[u8], at: usize) -> &[u8] {
    let rest = bytes.get(at..).unwrap_or_default();
    let length = rest
        .iter()
        .take_while(|b| b.is_ascii_alphanumeric() || matches!(b, b'_' | b'!'))
        .count();
    &rest[..length]
}

/// Iterator over the leaves of an instance; it ends early where the text is damaged.
#[derive(Clone, Debug)]
pub struct Leaves<'a> {
    bytes: &'a [u8],
    at: usize,
    complex: bool,
    done: bool,
}

impl<'a> Iterator for Leaves<'a> {
    type Item = Leaf<'a>;

    fn next(&mut self) -> Option<Leaf<'a>> {
        if self.done {
            return None;
        }
        self.at = skip_blank(self.bytes, self.at);
        let keyword = keyword_at(self.bytes, self.at);
        let open = skip_blank(self.bytes, self.at + keyword.len());
        if keyword.is_empty() || self.bytes.get(open) != Some(&b'(') {
            self.done = true;
            return None;
        }
        let args = Args::open(self.bytes, open);
        self.at = args.end() + 1;
        self.done = !self.complex;
        Some(Leaf { keyword, args })
    }
}
