//! The set of directions, among all smallest ones.

use super::cover::{Covers, smallest_covers};
use super::direction::{Candidate, Source};

/// Steps of the search; a few seconds at most. Parts seen take under a thousand.
const MOST_NODES: u64 = 2_000_000;

/// Sets whose worth differs by less are alike: more than the spread of points and the difference
/// between a mesh and its exact model make.
const SAME_WORTH: f64 = 0.02;

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

/// Chooses among the smallest sets: most box axes, then most opposite pairs, then no less worth
/// (share of the area served) than the best, then the earliest candidates.
pub fn choose(rows: &[u128], candidates: &[Candidate], worth: impl Fn(u128) -> f64) -> Chosen {
    let Covers { sets, proven } = smallest_covers(rows, MOST_NODES);
    let members = |set: u128| -> Vec<usize> {
        (0..candidates.len())
            .filter(|c| set >> c & 1 == 1)
            .collect()
    };
    let key = |set: &u128| {
        let m = members(*set);
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
        (boxes, pairs)
    };
    let shape = sets.iter().map(key).max();
    let alike: Vec<u128> = sets
        .iter()
        .copied()
        .filter(|s| Some(key(s)) == shape)
        .collect();
    let most = alike.iter().map(|s| worth(*s)).fold(f64::MIN, f64::max);
    let best = alike
        .into_iter()
        .filter(|s| worth(*s) >= most - SAME_WORTH)
        .min_by_key(|s| members(*s))
        .unwrap_or(0);
    Chosen {
        directions: members(best),
        sets: sets.iter().take(64).map(|s| members(*s)).collect(),
        proven,
    }
}
