//! ISO 10303-21 clear text (editions 1 to 3): bytes in, an index of instances out.
//!
//! Reading is lazy. [`Part21::index`] finds where every instance begins and ends; parameters are
//! looked at when somebody asks ([`Entity::args`]), straight from the bytes and without allocating
//! a token. Most of a file (styles, annotations, dates, people) is therefore never parsed.
//!
//! Why an own scanner rather than a parser toolkit: Part 21 has one context-free rule that matters
//! for finding instances (a `;` ends a statement unless it stands in a string or a comment), which
//! a table-driven byte loop checks at memory speed. The ready-made Part 21 crate was measured at
//! 12 MB/s on 53 real files because it builds a tree of every parameter; a combinator library
//! would build the same tree a little faster, and neither recovers at the next statement after
//! damage. `benches/part21.rs` holds the numbers for this one.
//!
//! Nothing here panics on any input, recursion is absent (nesting is counted), and time is linear
//! in the size of the file.

mod code_pages;
mod entity;
mod header;
mod lex;
mod scan;
mod text;
mod value;

use std::sync::OnceLock;

pub use entity::{Entity, Leaf};
pub use header::Header;
pub use text::decode_string;
pub use value::{Args, Fault, Value};

use crate::brep::EntityId;

/// Where one instance stands in the bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Entry {
    id: EntityId,
    /// Offset of the keyword, or of the bracket that opens a complex instance.
    body: usize,
    /// Offset just past the last byte of the instance (its `;`, or where it broke off).
    end: usize,
}

/// Something wrong with the syntax; the rest of the file was read all the same.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SyntaxProblem {
    /// Offset in the file.
    pub offset: usize,
    /// What was found where.
    pub text: String,
}

/// Why a file cannot be read at all.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Part21Error {
    /// The first statement is missing.
    #[error("not a STEP file: it should begin with `ISO-10303-21;`")]
    NotPart21,
    /// There is no data section, or none with an instance in it.
    #[error("the STEP file holds no data: no instance such as `#1=...;` was found")]
    NoInstances,
}

/// Problems beyond this many are counted, not kept: a damaged file of a million statements should
/// not answer with a million messages.
const MAX_PROBLEMS: usize = 100;

/// An indexed file.
#[derive(Debug)]
pub struct Part21<'a> {
    bytes: &'a [u8],
    header: Header,
    entries: Vec<Entry>,
    lookup: Lookup,
    external: Vec<EntityId>,
    problems: Vec<SyntaxProblem>,
    problem_count: usize,
    line_starts: OnceLock<Vec<usize>>,
}

/// From instance name to place in `entries`.
#[derive(Debug)]
enum Lookup {
    /// Names are nearly consecutive: one slot a name, `u32::MAX` where there is none.
    Dense(Vec<u32>),
    /// Names are far apart: sorted pairs.
    Sparse(Vec<(EntityId, u32)>),
}

impl<'a> Part21<'a> {
    /// Finds all instances.
    ///
    /// # Errors
    /// When the bytes are no Part 21 file, or hold no instance at all. Lesser damage is kept in
    /// [`Part21::problems`].
    pub fn index(bytes: &'a [u8]) -> Result<Self, Part21Error> {
        let found = scan::scan_file(bytes)?;
        if found.entries.is_empty() {
            return Err(Part21Error::NoInstances);
        }
        let mut file = Part21 {
            bytes,
            header: found.header,
            entries: found.entries,
            lookup: Lookup::Dense(Vec::new()),
            external: found.external,
            problems: found.problems.kept,
            problem_count: found.problems.count,
            line_starts: OnceLock::new(),
        };
        file.build_lookup();
        file.external.sort_unstable();
        Ok(file)
    }

    fn build_lookup(&mut self) {
        let count = self.entries.len();
        let largest = self.entries.iter().map(|e| e.id).max().unwrap_or(0);
        // Eight slots an instance keep the table below the size of the text it indexes.
        let mut duplicates = Vec::new();
        if largest <= 8 * count as u64 + 1024 {
            let mut slots = vec![u32::MAX; largest as usize + 1];
            for (place, entry) in self.entries.iter().enumerate() {
                let slot = &mut slots[entry.id as usize];
                if *slot == u32::MAX {
                    *slot = place as u32;
                } else {
                    duplicates.push((entry.body, entry.id));
                }
            }
            self.lookup = Lookup::Dense(slots);
        } else {
            let mut pairs: Vec<_> = self
                .entries
                .iter()
                .enumerate()
                .map(|(place, e)| (e.id, place as u32))
                .collect();
            pairs.sort_unstable();
            for pair in pairs.windows(2).filter(|p| p[0].0 == p[1].0) {
                duplicates.push((self.entries[pair[1].1 as usize].body, pair[1].0));
            }
            pairs.dedup_by_key(|p| p.0);
            self.lookup = Lookup::Sparse(pairs);
        }
        for (offset, id) in duplicates {
            self.problem_count += 1;
            if self.problems.len() < MAX_PROBLEMS {
                let text = format!("#{id} is defined twice; the first definition counts");
                self.problems.push(SyntaxProblem { offset, text });
            }
        }
    }

    /// What the header says.
    pub fn header(&self) -> &Header {
        &self.header
    }

    /// Number of instances.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// True when there is no instance; never for an indexed file.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// Size of the file in bytes.
    pub fn size(&self) -> usize {
        self.bytes.len()
    }

    /// Syntax problems met on the way, the first hundred.
    pub fn problems(&self) -> &[SyntaxProblem] {
        &self.problems
    }

    /// Number of all syntax problems, kept or not.
    pub fn problem_count(&self) -> usize {
        self.problem_count
    }

    /// True when the reference section says that this instance lives in another file.
    pub fn is_external(&self, id: EntityId) -> bool {
        self.external.binary_search(&id).is_ok()
    }

    /// Place of an instance among all, usable as an array index.
    pub fn place(&self, id: EntityId) -> Option<usize> {
        match &self.lookup {
            Lookup::Dense(slots) => {
                let slot = *slots.get(usize::try_from(id).ok()?)?;
                (slot != u32::MAX).then_some(slot as usize)
            }
            Lookup::Sparse(pairs) => {
                let at = pairs.binary_search_by_key(&id, |p| p.0).ok()?;
                Some(pairs[at].1 as usize)
            }
        }
    }

    /// The instance of this name.
    pub fn get(&self, id: EntityId) -> Option<Entity<'a>> {
        self.place(id).map(|place| self.at(place))
    }

    /// All instances in the order of the file.
    pub fn iter(&self) -> impl Iterator<Item = Entity<'a>> + '_ {
        (0..self.entries.len()).map(|place| self.at(place))
    }

    fn at(&self, place: usize) -> Entity<'a> {
        let entry = self.entries[place];
        Entity::new(entry.id, &self.bytes[..entry.end], entry.body)
    }

    /// Line (from 1) of an offset, for messages.
    pub fn line(&self, offset: usize) -> usize {
        let starts = self.line_starts.get_or_init(|| {
            let newline = |(at, byte): (usize, &u8)| (*byte == b'\n').then_some(at + 1);
            std::iter::once(0)
                .chain(self.bytes.iter().enumerate().filter_map(newline))
                .collect()
        });
        starts.partition_point(|start| *start <= offset).max(1)
    }
}
