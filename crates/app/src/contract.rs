//! The JSON documents outside programs read: shapes and key names, nothing computed.

pub mod ask;
pub mod cut;
pub mod features;
pub mod floor;
pub mod part;
pub mod remarks;
pub mod route;
pub mod setups;
pub mod study;
pub mod supply;

use serde::Serialize;
use units::{Problem, Severity};

/// A remark beside the answer.
#[derive(Clone, Debug, Serialize)]
pub struct Note {
    /// info, warning or problem.
    pub level: &'static str,
    /// What it is about.
    pub about: String,
    /// The remark.
    pub text: String,
}

impl Note {
    /// From its pieces.
    pub fn new(severity: Severity, about: impl Into<String>, text: impl Into<String>) -> Self {
        let level = match severity {
            Severity::Info => "info",
            Severity::Warning => "warning",
            Severity::Problem => "problem",
        };
        Self {
            level,
            about: about.into(),
            text: text.into(),
        }
    }

    /// True for what keeps an answer from standing.
    pub fn is_problem(&self) -> bool {
        self.level == "problem"
    }
}

impl From<&Problem> for Note {
    fn from(problem: &Problem) -> Self {
        let text = if problem.hint.is_empty() {
            problem.message.clone()
        } else {
            format!("{} ({})", problem.message, problem.hint)
        };
        Self::new(problem.severity, problem.place.to_string(), text)
    }
}
