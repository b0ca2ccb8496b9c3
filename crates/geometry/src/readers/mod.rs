//! Bytes of a model file to a mesh in file units.
//!
//! Readers never panic and never repair: what cannot be read is an error that says what, where,
//! what was expected and what to try.

pub mod obj;
mod polygon;
pub mod step;
pub mod stl;
pub mod threemf;

use crate::format::{self, Format};
use crate::mesh::Mesh;
use crate::unit::UnitFound;
use std::fmt;

/// A model as read: still in the unit of its file.
#[derive(Clone, Debug)]
pub struct Read {
    /// Format it was read as.
    pub format: Format,
    /// All bodies together, in file units.
    pub mesh: Mesh,
    /// What the file says about its unit.
    pub unit: UnitFound,
    /// Things read with a reservation, each a full sentence.
    pub reservations: Vec<String>,
}

/// Where in a file something is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Place {
    /// Line, counted from 1.
    Line(usize),
    /// Byte, counted from 0.
    Byte(usize),
    /// Triangle, counted from 1.
    Triangle(usize),
    /// A named piece of a package ("object 4, triangle 12").
    Piece(String),
    /// The file as a whole.
    File,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Place::Line(n) => write!(f, "line {n}"),
            Place::Byte(n) => write!(f, "byte {n}"),
            Place::Triangle(n) => write!(f, "triangle {n}"),
            Place::Piece(name) => f.write_str(name),
            Place::File => f.write_str("the file"),
        }
    }
}

/// Why a model file could not be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ReadError {
    /// The bytes are of no format we know.
    #[error("not a model file we know: expected STEP, STL, 3MF or OBJ; {hint}")]
    UnknownFormat {
        /// What to try.
        hint: String,
    },
    /// The file holds no triangles.
    #[error("the {format} file holds no triangles; export the part again as a solid body")]
    Empty {
        /// Format name.
        format: &'static str,
    },
    /// Something in the file is not as its format demands.
    #[error("{place}: found {found}, expected {expected}; {hint}")]
    Malformed {
        /// Where.
        place: Place,
        /// What stands there.
        found: String,
        /// What should.
        expected: String,
        /// What to try.
        hint: String,
    },
    /// The format is known but read elsewhere.
    #[error("{format} files are not read here")]
    OtherReader {
        /// Format name.
        format: &'static str,
    },
}

/// Reads any mesh format, told by content first and by file name second.
pub fn read(bytes: &[u8], file_name: &str) -> Result<Read, ReadError> {
    match format::detect(bytes, file_name) {
        Some(Format::StlBinary) => stl::read_binary(bytes),
        Some(Format::StlText) => stl::read_text(bytes),
        Some(Format::ThreeMf) => threemf::read(bytes),
        Some(Format::Obj) => obj::read(bytes),
        Some(format @ Format::Step) => Err(ReadError::OtherReader {
            format: format.name(),
        }),
        None if bytes.is_empty() => Err(ReadError::UnknownFormat {
            hint: "this file is empty".into(),
        }),
        None => Err(ReadError::UnknownFormat {
            hint: "export the part from the drawing program in one of these".into(),
        }),
    }
}

/// What was found, short enough for a message and with control characters out of the way.
pub(crate) fn quoted(text: &str) -> String {
    let clean: String = text
        .chars()
        .take(40)
        .map(|c| if c.is_control() { '?' } else { c })
        .collect();
    let more = if text.chars().count() > 40 { "..." } else { "" };
    format!("\"{clean}{more}\"")
}
