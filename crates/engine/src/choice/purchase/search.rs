//! Sets of machines in the order of an upper bound of their worth.

use super::greedy::greedy;
use super::programme::{Solved, of_set};
use super::{Bought, Purchase, Stop};
use std::collections::BTreeSet;

/// Programmes solved at most; a folder of 60 offers needs some dozens.
const PROGRAMMES: usize = 2_000;

/// Sets of machines looked at, at most: 60 offers with 8 option sets make 115,000 pairs.
const SETS: usize = 300_000;

/// Sets looked at by the cheap rule once the search was stopped, the most promising first.
const AFTER_STOP: usize = 200;

/// What a search found.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// A use of every set of machines that was looked at, the most valuable first: the best one,
    /// unless the search was cut short. The sets left out are worth no more than `most`.
    pub sets: Vec<Bought>,
    /// True when nothing better than the first, and than buying nothing where that is worth more,
    /// can exist.
    pub proven: bool,
    /// No purchase is worth more; when proven that is what the best is worth. Without end below when
    /// none is possible.
    pub most: f64,
    /// True when something was left undone because the search was told to stop.
    pub stopped: bool,
}

/// Searches all sets of machines. The machines in `also` are solved alone too, whether or not they
/// could be best.
pub fn search(purchase: &Purchase, also: &[usize]) -> Found {
    search_until(purchase, also, &|| false)
}

/// The same until told to stop: what is not solved by then, the machines in `also` and the most
/// promising sets, is used by a cheap rule.
pub fn search_until(purchase: &Purchase, also: &[usize], stop: Stop<'_>) -> Found {
    let all = sets(purchase, stop);
    let mut ordered = all.bounded;
    ordered.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    let mut stopped = all.beyond.is_some() && stop();
    // What anything not solved can be worth.
    let mut open = all.beyond.unwrap_or(f64::NEG_INFINITY);
    let mut solved: Vec<Bought> = Vec::new();
    let mut looked: BTreeSet<&[usize]> = BTreeSet::new();
    let mut best = f64::NEG_INFINITY;
    if !purchase.parts.iter().any(|p| p.must) {
        best = purchase.least_worth;
    }
    let mut left = ordered.iter();
    while let Some((bound, set)) = left.as_slice().first()
        && *bound > best
        && looked.len() < PROGRAMMES
    {
        if stop() {
            stopped = true;
            break;
        }
        left.next();
        looked.insert(set);
        match of_set(purchase, set, stop) {
            Solved::Best(found) => {
                best = best.max(found.worth);
                solved.push(found);
            }
            Solved::Impossible => {}
            Solved::Open { best: found, most } => {
                open = open.max(most.min(*bound));
                let (found, cut) = or_greedy(purchase, set, found, stop);
                stopped |= cut;
                best = found.iter().fold(best, |best, f| best.max(f.worth));
                solved.extend(found);
            }
        }
    }
    if let Some((bound, _)) = left.as_slice().first() {
        open = open.max(*bound);
    }
    if stopped {
        for (bound, set) in left.take(AFTER_STOP) {
            if *bound > best
                && let Some(found) = greedy(purchase, set)
            {
                looked.insert(set);
                best = best.max(found.worth);
                solved.push(found);
            }
        }
    }
    for machine in also.chunks(1) {
        if !looked.insert(machine) || bound(purchase, machine).is_none() {
            continue;
        }
        let found = match (!stopped).then(|| of_set(purchase, machine, stop)) {
            Some(Solved::Best(found)) => Some(found),
            Some(Solved::Impossible) => None,
            Some(Solved::Open { best, .. }) => {
                let (found, cut) = or_greedy(purchase, machine, best, stop);
                stopped |= cut;
                found
            }
            None => greedy(purchase, machine),
        };
        solved.extend(found);
    }
    solved.sort_by(|a, b| {
        b.worth
            .total_cmp(&a.worth)
            .then_with(|| a.machines.cmp(&b.machines))
    });
    Found {
        sets: solved,
        proven: open <= best,
        most: open.max(best),
        stopped,
    }
}

/// What was found of a set; when it was stopped at that, the better of this and of the cheap rule.
fn or_greedy(
    purchase: &Purchase,
    set: &[usize],
    found: Option<Bought>,
    stop: Stop<'_>,
) -> (Option<Bought>, bool) {
    let cut = stop();
    let cheap = cut.then(|| greedy(purchase, set)).flatten();
    let better = found.into_iter().chain(cheap);
    let better = better.reduce(|a, b| if b.worth > a.worth { b } else { a });
    (better, cut)
}

/// Sets of machines of different offers, with an upper bound of the worth of each.
struct Sets {
    bounded: Vec<(f64, Vec<usize>)>,
    /// An upper bound of what is not among them, where there were too many to look at.
    beyond: Option<f64>,
}

fn sets(purchase: &Purchase, stop: Stop<'_>) -> Sets {
    let mut bounded: Vec<(f64, Vec<usize>)> = Vec::new();
    let mut level: Vec<Vec<usize>> = vec![Vec::new()];
    for size in 1..=purchase.most_machines.min(purchase.machines.len()) {
        let mut next = Vec::new();
        for set in &level {
            if next.len() >= SETS || (size > 1 && stop()) {
                let beyond = Some(beyond(purchase, size));
                return Sets { bounded, beyond };
            }
            let from = set.last().map_or(0, |last| last + 1);
            for machine in from..purchase.machines.len() {
                let offer = purchase.machines[machine].offer;
                if set.iter().any(|m| purchase.machines[*m].offer == offer) {
                    continue;
                }
                let mut grown = set.clone();
                grown.push(machine);
                if let Some(bound) = bound(purchase, &grown) {
                    bounded.push((bound, grown.clone()));
                }
                next.push(grown);
            }
        }
        level = next;
    }
    let beyond = None;
    Sets { bounded, beyond }
}

/// What no set of so many machines or more exceeds: the cheapest of all, every part made where it
/// brings most, and no over-run.
fn beyond(purchase: &Purchase, least: usize) -> f64 {
    let mut brings = 0.0;
    for (part, needs) in purchase.parts.iter().enumerate() {
        let makes = purchase.machines.iter().filter_map(|m| m.makes[part]);
        match makes.map(|m| m.worth - m.once).reduce(f64::max) {
            None if needs.must => return f64::NEG_INFINITY,
            None => {}
            Some(most) if needs.must => brings += most,
            Some(most) => brings += most.max(0.0),
        }
    }
    let mut costs: Vec<f64> = purchase.machines.iter().map(|m| m.cost).collect();
    costs.sort_by(f64::total_cmp);
    let sizes = least..=purchase.most_machines.min(costs.len());
    let cost = |size: usize| {
        let shared = size.saturating_sub(1) as f64 * purchase.common.cost;
        costs[..size].iter().sum::<f64>() - shared
    };
    brings - sizes.map(cost).fold(f64::INFINITY, f64::min)
}

/// Every part made where it brings most, all at once and with tools for nothing. `None` when a part
/// that must be made cannot be, or the machines must not be bought together.
fn bound(purchase: &Purchase, set: &[usize]) -> Option<f64> {
    if !purchase.may_stand(set) {
        return None;
    }
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
