//! Progress and cancellation, passed into long work as a value.

use std::sync::atomic::{AtomicBool, Ordering};

/// The work was cancelled; nothing of it was kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("cancelled")]
pub struct Cancelled;

/// How far a piece of work is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress<'a> {
    /// What is being done ("reading models").
    pub stage: &'a str,
    /// Finished pieces.
    pub done: usize,
    /// All pieces; 0 when not known.
    pub total: usize,
}

/// What long work is given to say how far it is and to learn whether it should stop.
#[derive(Clone, Copy)]
pub struct Watch<'a> {
    cancel: Option<&'a AtomicBool>,
    report: Option<&'a (dyn Fn(Progress<'_>) + Sync)>,
    enough: Option<&'a (dyn Fn() -> bool + Sync)>,
}

impl<'a> Watch<'a> {
    /// Nobody watches.
    pub const NOBODY: Watch<'static> = Watch {
        cancel: None,
        report: None,
        enough: None,
    };

    /// Watched by a cancel flag, a report function, or both.
    pub fn new(
        cancel: Option<&'a AtomicBool>,
        report: Option<&'a (dyn Fn(Progress<'_>) + Sync)>,
    ) -> Self {
        Self {
            cancel,
            report,
            enough: None,
        }
    }

    /// The same, told by `enough` when the best found so far must do. Once it says so it must keep
    /// saying so. What is found then may depend on when that was.
    pub fn until(self, enough: &'a (dyn Fn() -> bool + Sync)) -> Self {
        Self {
            enough: Some(enough),
            ..self
        }
    }

    /// True when work that has a best so far should end with it; true too when it was cancelled.
    pub fn enough(&self) -> bool {
        self.enough.is_some_and(|enough| enough()) || self.check().is_err()
    }

    /// Says how far the work is; fails when it should stop.
    pub fn tick(&self, stage: &str, done: usize, total: usize) -> Result<(), Cancelled> {
        if let Some(report) = self.report {
            report(Progress { stage, done, total });
        }
        self.check()
    }

    /// Fails when the work should stop.
    pub fn check(&self) -> Result<(), Cancelled> {
        match self.cancel {
            Some(flag) if flag.load(Ordering::Relaxed) => Err(Cancelled),
            _ => Ok(()),
        }
    }
}
