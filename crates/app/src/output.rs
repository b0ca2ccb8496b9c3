//! What a command ends with: the exit codes of the contract, and printing that minds closed pipes.

use anyhow::Result;
use serde::Serialize;
use std::io::{self, Write};
use std::process::ExitCode;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Answered.
    Answered,
    /// The question has no answer that stands.
    NoAnswer,
    /// Wrong usage or unreadable input.
    Unreadable,
    /// Ended by Ctrl-C.
    Cancelled,
}

impl Outcome {
    /// Exit code: 0, 1, 2; 130 after Ctrl-C.
    pub fn code(self) -> ExitCode {
        ExitCode::from(match self {
            Outcome::Answered => 0,
            Outcome::NoAnswer => 1,
            Outcome::Unreadable => 2,
            Outcome::Cancelled => crate::stopping::CANCELLED,
        })
    }
}

/// Writes text to standard output. A reader that went away (a pipe closed by `head`) is no error.
pub fn print(text: &str) -> Result<()> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => Ok(other?),
    }
}

/// Writes one JSON document to standard output.
pub fn print_json(document: &impl Serialize) -> Result<()> {
    let mut text = serde_json::to_string_pretty(document)?;
    text.push('\n');
    print(&text)
}

/// Writes an error to standard error.
pub fn complain(error: &anyhow::Error) {
    eprintln!("firstchip: {error:#}");
}
