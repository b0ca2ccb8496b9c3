//! The set of directions, among all smallest ones.

use super::cover::{Covers, smallest_covers};
use super::direction::{Candidate, Source};

/// Steps of the search; a few seconds at most. Parts seen take under a thousand.
const MOST_NODES: u64 = 2_000_000;

/// Directions chosen, and whether no smaller set exists.
#[derive(Clone, Debug, PartialEq)]
pub struct Chosen {
    /// Numbers of candidates, ascending.
    pub directions: Vec<usize>,
    /// All smallest sets, ascending, for those who would choose otherwise.
    pub sets: Vec<Vec<usize>>,
    /// True when no smaller set exists.
    pub proven: bool,
}

/// Chooses among the smallest sets: most box axes, then most opposite pairs, then the greatest
/// worth (share of the area served, say), then the earliest candidates.
pub fn choose(rows: &[u128], candidates: &[Candidate], worth: impl Fn(u128) -> f64) -> Chosen {
    let Covers { sets, proven } = smallest_covers(rows, MOST_NODES);
    let members = |set: u128| -> Vec<usize> {
        (0..candidates.len()).filter(|c| set >> c & 1 == 1).collect()
    };
    let key = |set: u128| {
        let m = members(set);
        let boxes = m
            .iter()
            .filter(|c| candidates[**c].source == Source::Box)
            .count();
        let pairs = m
            .iter()
            .flat_map(|a| m.iter().map(move |b| (*a, *b)))
            .filter(|(a, b)| a < b)
            .filter(|(a, b)| candidates[*a].toward.distance(-candidates[*b].toward) < 1e-3)
            .count();
        // In hundredths of the whole, so that neither rounding nor the spread of points decides.
        (boxes, pairs, (worth(set) * 100.0).round() as i64)
    };
    let best = sets
        .iter()
        .copied()
        .max_by(|a, b| key(*a).cmp(&key(*b)).then(members(*b).cmp(&members(*a))))
        .unwrap_or(0);
    Chosen {
        directions: members(best),
        sets: sets.iter().take(64).map(|s| members(*s)).collect(),
        proven,
    }
}
