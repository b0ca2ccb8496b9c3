//! One kind of message for everything the user should know: what, where, what to try.

use crate::Place;
use serde::Serialize;
use std::fmt;

/// How much a message matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Good to know.
    Info,
    /// The answer stands but should be read with care.
    Warning,
    /// The answer does not stand until this is mended.
    Problem,
}

/// A message with its place and a hint.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Problem {
    /// How much it matters.
    pub severity: Severity,
    /// Where it is; an empty file name when it is about no file.
    pub place: Place,
    /// What is the matter, in one sentence.
    pub message: String,
    /// What was expected or what to try; empty when there is nothing to add.
    pub hint: String,
}

impl Problem {
    /// A message that stops the answer.
    pub fn stop(place: Place, message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self {
            severity: Severity::Problem,
            place,
            message: message.into(),
            hint: hint.into(),
        }
    }

    /// A message beside the answer.
    pub fn warning(place: Place, message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self {
            severity: Severity::Warning,
            place,
            message: message.into(),
            hint: hint.into(),
        }
    }

    /// A remark.
    pub fn info(place: Place, message: impl Into<String>) -> Self {
        Self {
            severity: Severity::Info,
            place,
            message: message.into(),
            hint: String::new(),
        }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.place.file.is_empty() {
            write!(f, "{}: ", self.place)?;
        }
        f.write_str(&self.message)?;
        if !self.hint.is_empty() {
            write!(f, "\n    {}", self.hint)?;
        }
        Ok(())
    }
}

/// Messages gathered while reading; nothing stops at the first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Problems(pub Vec<Problem>);

impl Problems {
    /// Adds one.
    pub fn push(&mut self, problem: Problem) {
        self.0.push(problem);
    }

    /// True when any of them stops the answer.
    pub fn stop(&self) -> bool {
        self.0.iter().any(|p| p.severity == Severity::Problem)
    }

    /// In the order of file and line, worst first within a line.
    pub fn sort(&mut self) {
        self.0.sort_by(|a, b| {
            (&a.place, std::cmp::Reverse(a.severity), &a.message).cmp(&(
                &b.place,
                std::cmp::Reverse(b.severity),
                &b.message,
            ))
        });
    }
}

impl Extend<Problem> for Problems {
    fn extend<T: IntoIterator<Item = Problem>>(&mut self, iter: T) {
        self.0.extend(iter);
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for problem in &self.0 {
            writeln!(f, "{problem}")?;
        }
        Ok(())
    }
}
