//! Progress on standard error, only when that is a terminal.

use std::io::{IsTerminal, Write, stderr};
use std::sync::Mutex;
use std::time::{Duration, Instant};
use units::Progress;

/// One line that is rewritten; work shorter than a second shows nothing.
pub struct Bar {
    on: bool,
    since: Instant,
    shown: Mutex<bool>,
}

/// Work shorter than this shows no progress.
const PATIENCE: Duration = Duration::from_millis(700);

impl Bar {
    /// For the standard error this program was given.
    pub fn new() -> Self {
        Self {
            on: stderr().is_terminal(),
            since: Instant::now(),
            shown: Mutex::new(false),
        }
    }

    /// Shows how far the work is.
    pub fn show(&self, progress: Progress<'_>) {
        if !self.on || self.since.elapsed() < PATIENCE {
            return;
        }
        if let Ok(mut shown) = self.shown.lock() {
            *shown = true;
            let _ = write!(
                stderr(),
                "\r{} {} of {}\x1b[K",
                progress.stage,
                progress.done,
                progress.total
            );
        }
    }

    /// Clears the line.
    pub fn finish(&self) {
        if let Ok(mut shown) = self.shown.lock()
            && std::mem::take(&mut *shown)
        {
            let _ = write!(stderr(), "\r\x1b[K");
        }
    }
}
