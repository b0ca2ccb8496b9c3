//! What is said when a text is not the quantity that was asked for.

use crate::{Place, Problem};
use std::fmt;

/// A text that could not be read: what was wanted, what stood there, where, and what to try.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ParseError {
    /// What was expected ("a length such as 16 in or 406 mm").
    pub expected: String,
    /// What stood there instead ("a mass, '10 kg'").
    pub found: String,
    /// Byte offset in the text, always on a character boundary.
    pub position: usize,
    /// What to try; empty when there is nothing to add.
    pub hint: String,
}

impl ParseError {
    /// An error without a hint.
    pub(crate) fn new(
        expected: impl Into<String>,
        found: impl Into<String>,
        position: usize,
    ) -> Self {
        Self {
            expected: expected.into(),
            found: found.into(),
            position,
            hint: String::new(),
        }
    }

    /// The same error with something to try.
    pub(crate) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }

    /// The message as a problem of a file.
    pub fn problem(&self, place: Place) -> Problem {
        Problem::stop(
            place,
            format!("expected {}, found {}", self.expected, self.found),
            self.hint.clone(),
        )
    }
}

impl fmt::Display for ParseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "expected {}, found {}", self.expected, self.found)?;
        if !self.hint.is_empty() {
            write!(f, "; {}", self.hint)?;
        }
        Ok(())
    }
}

impl std::error::Error for ParseError {}

/// How a text was read where it could have been read otherwise; worth showing to who wrote it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// Byte offset in the text.
    pub position: usize,
    /// The reading, in one sentence.
    pub text: String,
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// "a length", "an angle".
pub(crate) fn with_article(noun: &str) -> String {
    let article = if noun.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {noun}")
}
