//! Which ways out another beats in everything: each is held only against those whose changes are among
//! its own, looked up by their sets of changes.

use super::MOST_CHANGES;
use std::collections::BTreeMap;
use units::Money;

/// A set of changes, each by a number, ascending; what is not used is [`NONE`].
pub(super) type Set = [u32; MOST_CHANGES];

const NONE: u32 = u32::MAX;

/// A set of at most [`MOST_CHANGES`] changes.
pub(super) fn set(changes: impl Iterator<Item = u32>) -> Set {
    let mut set = [NONE; MOST_CHANGES];
    for change in changes {
        if let Some(slot) = set.iter_mut().find(|s| **s == NONE || **s == change) {
            *slot = change;
        }
    }
    set.sort_unstable();
    set
}

/// Every set of changes among those of a set.
fn among(set: Set) -> impl Iterator<Item = Set> {
    let count = set.iter().filter(|c| **c != NONE).count();
    (0..1_usize << count).map(move |mask| {
        let mut some = [NONE; MOST_CHANGES];
        let own = (0..count).filter(|k| mask >> k & 1 == 1);
        for (slot, k) in some.iter_mut().zip(own) {
            *slot = set[k];
        }
        some
    })
}

/// What ways out are compared in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Compared {
    /// Only ways of the same group are compared.
    pub group: u32,
    pub changes: Set,
    pub money: Money,
    pub ask_first: bool,
    /// How many of its changes nobody has priced.
    pub unpriced: usize,
}

impl Compared {
    /// No more money, and nothing more to ask or to price; of changes that are among the other's.
    fn beats(&self, other: &Self) -> bool {
        self.money <= other.money
            && self.ask_first <= other.ask_first
            && self.unpriced <= other.unpriced
    }
}

/// Ways out by their group and changes.
pub(super) struct Index<'a> {
    all: &'a [Compared],
    by_changes: BTreeMap<(u32, Set), Vec<usize>>,
}

impl<'a> Index<'a> {
    pub(super) fn of(all: &'a [Compared]) -> Self {
        let mut by_changes: BTreeMap<(u32, Set), Vec<usize>> = BTreeMap::new();
        for (at, way) in all.iter().enumerate() {
            by_changes
                .entry((way.group, way.changes))
                .or_default()
                .push(at);
        }
        Self { all, by_changes }
    }

    /// True when one before it beats it.
    pub(super) fn beaten_by_earlier(&self, at: usize) -> bool {
        self.beaten(at, |other| other < at)
    }

    /// True when another beats it; of two that beat each other, the later one only.
    pub(super) fn beaten_by_any(&self, at: usize) -> bool {
        self.beaten(at, |other| {
            let (own, other_way) = (&self.all[at], &self.all[other]);
            let back = own.changes == other_way.changes && own.beats(other_way);
            other < at || !back
        })
    }

    fn beaten(&self, at: usize, counts: impl Fn(usize) -> bool) -> bool {
        let own = &self.all[at];
        among(own.changes)
            .filter_map(|changes| self.by_changes.get(&(own.group, changes)))
            .flatten()
            .any(|other| *other != at && self.all[*other].beats(own) && counts(*other))
    }
}
