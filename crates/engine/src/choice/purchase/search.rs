//! Sets of machines in the order of an upper bound of their worth.

use super::programme::{Solved, of_set};
use super::{Bought, Purchase};
use std::collections::BTreeSet;

/// Programmes solved at most; a folder of 60 offers needs some dozens.
const PROGRAMMES: usize = 2_000;

/// Sets of machines looked at, at most: 60 offers with 8 option sets make 115,000 pairs.
const SETS: usize = 300_000;

/// What a search found.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The best use of every set of machines that was solved, the most valuable first. The sets
    /// left out are worth less than the first, and than nothing where that is worth more.
    pub sets: Vec<Bought>,
    /// True when nothing better than the first can exist.
    pub proven: bool,
}

/// Searches all sets of machines. The machines in `also` are solved alone too, whether or not they
/// could be best.
pub fn search(purchase: &Purchase, also: &[usize]) -> Found {
    let (bounded, complete) = sets(purchase);
    let mut ordered = bounded;
    ordered.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    let mut proven = complete;
    let mut solved: Vec<Bought> = Vec::new();
    let mut looked: BTreeSet<Vec<usize>> = BTreeSet::new();
    let mut best = f64::NEG_INFINITY;
    if !purchase.parts.iter().any(|p| p.must) {
        best = purchase.least_worth;
    }
    for (bound, set) in ordered {
        if bound <= best {
            break;
        }
        if looked.len() == PROGRAMMES {
            proven = false;
            break;
        }
        match of_set(purchase, &set) {
            Solved::Best(found, exact) => {
                proven &= exact;
                best = best.max(found.worth);
                solved.push(found);
            }
            Solved::Impossible => {}
            Solved::Unknown => proven = false,
        }
        looked.insert(set);
    }
    for machine in also {
        let set = vec![*machine];
        if looked.insert(set.clone())
            && bound(purchase, &set).is_some()
            && let Solved::Best(found, _) = of_set(purchase, &set)
        {
            solved.push(found);
        }
    }
    solved.sort_by(|a, b| {
        b.worth
            .total_cmp(&a.worth)
            .then_with(|| a.machines.cmp(&b.machines))
    });
    Found {
        sets: solved,
        proven,
    }
}

/// Every set of machines of different offers, with an upper bound of its worth; false when there
/// were too many to look at.
fn sets(purchase: &Purchase) -> (Vec<(f64, Vec<usize>)>, bool) {
    let mut all: Vec<(f64, Vec<usize>)> = Vec::new();
    let mut level: Vec<Vec<usize>> = vec![Vec::new()];
    for _ in 0..purchase.most_machines.min(purchase.machines.len()) {
        let mut next = Vec::new();
        for set in &level {
            let from = set.last().map_or(0, |last| last + 1);
            for machine in from..purchase.machines.len() {
                let offer = purchase.machines[machine].offer;
                if set.iter().any(|m| purchase.machines[*m].offer == offer) {
                    continue;
                }
                let mut grown = set.clone();
                grown.push(machine);
                if let Some(bound) = bound(purchase, &grown) {
                    all.push((bound, grown.clone()));
                }
                next.push(grown);
                if next.len() >= SETS {
                    return (all, false);
                }
            }
        }
        level = next;
    }
    (all, true)
}

/// Every part made where it brings most, all at once and with tools for nothing. `None` when a part
/// that must be made cannot be.
fn bound(purchase: &Purchase, set: &[usize]) -> Option<f64> {
    let mut worth = 0.0;
    for (part, needs) in purchase.parts.iter().enumerate() {
        let best = set
            .iter()
            .filter_map(|m| purchase.machines[*m].makes[part])
            .map(|m| m.worth - m.once)
            .reduce(f64::max);
        match best {
            None if needs.must => return None,
            None => {}
            Some(most) if needs.must => worth += most,
            Some(most) => worth += most.max(0.0),
        }
    }
    Some(worth - purchase.cost(set) - purchase.over_rate * purchase.over(set, 0.0).0)
}
