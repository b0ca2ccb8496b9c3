//! When a study should stop: the time given for its search, and Ctrl-C. The clock is read here.

use engine::study::SEARCH;
use std::sync::atomic::{AtomicBool, Ordering::SeqCst};
use std::sync::{Arc, OnceLock};
use std::time::{Duration, Instant};

/// Exit code after Ctrl-C, as shells tell it: 128 and the number of the signal.
pub const CANCELLED: u8 = 130;

/// What has been asked for so far.
#[derive(Debug, Default)]
pub struct Stopping {
    limit: Option<Duration>,
    began: OnceLock<Instant>,
    searching: AtomicBool,
    enough: AtomicBool,
    cancel: AtomicBool,
}

/// What a Ctrl-C does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Press {
    /// The search ends with the best found so far.
    Enough,
    /// The work ends without an answer.
    Cancel,
    /// The program ends now, wherever it is.
    Leave,
}

impl Stopping {
    /// With a time for the search, or none. Until [`Self::on_ctrl_c`] nobody else stops it.
    pub fn new(limit: Option<Duration>) -> Arc<Self> {
        Arc::new(Self {
            limit,
            ..Self::default()
        })
    }

    /// From now on Ctrl-C is told here. Where that cannot be had it ends the program, as it does anyway.
    pub fn on_ctrl_c(self: &Arc<Self>) {
        let own = Arc::clone(self);
        let _ = ctrlc::set_handler(move || match own.press() {
            Press::Enough => {
                eprintln!("the search ends with the best found so far; Ctrl-C again cancels");
            }
            Press::Cancel => eprintln!("cancelling; Ctrl-C again ends at once"),
            Press::Leave => std::process::exit(i32::from(CANCELLED)),
        });
    }

    /// Follows what is being done.
    pub fn doing(&self, stage: &str) {
        if stage == SEARCH {
            self.began.get_or_init(Instant::now);
        }
        self.searching.store(stage == SEARCH, SeqCst);
    }

    /// The flag that cancels.
    pub fn cancel(&self) -> &AtomicBool {
        &self.cancel
    }

    /// True once it was cancelled.
    pub fn cancelled(&self) -> bool {
        self.cancel.load(SeqCst)
    }

    /// True when the search should end with the best found so far.
    pub fn enough(&self) -> bool {
        let over = |(limit, began): (Duration, &Instant)| began.elapsed() >= limit;
        self.enough.load(SeqCst) || self.limit.zip(self.began.get()).is_some_and(over)
    }

    fn press(&self) -> Press {
        if self.searching.load(SeqCst) && !self.enough.swap(true, SeqCst) {
            Press::Enough
        } else if !self.cancel.swap(true, SeqCst) {
            Press::Cancel
        } else {
            Press::Leave
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_press_before_or_after_the_search_cancels_and_one_within_ends_the_search() {
        let before = Stopping::new(None);
        before.doing("demands");
        assert_eq!(before.press(), Press::Cancel);
        assert!(before.cancelled() && !before.enough());
        assert_eq!(before.press(), Press::Leave);

        let within = Stopping::new(None);
        within.doing("demands");
        within.doing(SEARCH);
        assert!(!within.enough());
        assert_eq!(within.press(), Press::Enough);
        assert!(within.enough() && !within.cancelled());
        assert_eq!(within.press(), Press::Cancel);
        assert!(within.cancelled());
        assert_eq!(within.press(), Press::Leave);

        let after = Stopping::new(None);
        after.doing(SEARCH);
        after.doing("ways out");
        assert_eq!(after.press(), Press::Cancel);
    }

    #[test]
    fn the_time_begins_with_the_search() {
        let none = Stopping::new(Some(Duration::ZERO));
        none.doing("demands");
        assert!(!none.enough());
        none.doing(SEARCH);
        assert!(none.enough());
        none.doing("ways out");
        assert!(none.enough() && !none.cancelled());
        let long = Stopping::new(Some(Duration::MAX));
        long.doing(SEARCH);
        assert!(!long.enough());
    }
}
