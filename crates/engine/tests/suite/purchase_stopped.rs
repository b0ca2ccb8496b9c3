//! A search for a purchase that is told to stop: what it then says must be allowed, must not claim more
//! than it knows, and must get no worse with more time.

use crate::purchase::{by_brute_force, uncertain};
use engine::choice::purchase::{Found, Purchase, add_up, search, search_until};
use proptest::prelude::*;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Searches until asked so many times whether to stop.
fn after(purchase: &Purchase, asked: usize) -> Found {
    let also: Vec<usize> = (0..purchase.machines.len()).collect();
    let count = AtomicUsize::new(0);
    search_until(purchase, &also, &|| {
        count.fetch_add(1, Ordering::Relaxed) >= asked
    })
}

/// What a search would have bought: buying nothing is worth 0 where nothing must be made.
fn worth(purchase: &Purchase, found: &Found) -> f64 {
    let nothing = match purchase.parts.iter().any(|p| p.must) {
        true => f64::NEG_INFINITY,
        false => 0.0,
    };
    found.sets.first().map_or(nothing, |s| s.worth.max(nothing))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    /// Against every set and assignment counted out.
    #[test]
    fn a_stopped_search_is_allowed_and_bounds_the_best(
        purchase in uncertain(), asked in 0usize..12,
    ) {
        let found = after(&purchase, asked);
        let best = by_brute_force(&purchase);
        for set in &found.sets {
            prop_assert!((add_up(&purchase, set).unwrap() - set.worth).abs() < 1e-9);
            prop_assert!(set.worth <= best.unwrap() + 0.05, "{} {best:?}", set.worth);
        }
        match best {
            Some(best) => {
                prop_assert!(found.most >= best - 0.05, "{} {best}", found.most);
                let own = worth(&purchase, &found);
                if found.proven {
                    prop_assert!((own - best).abs() < 0.05, "{own} {best}");
                } else {
                    prop_assert!(found.stopped);
                }
            }
            None => prop_assert!(found.sets.is_empty()),
        }
        // One machine with everything that must be made is found however early the stop.
        for machine in 0..purchase.machines.len() {
            let alone = Purchase {
                machines: vec![purchase.machines[machine].clone()],
                most_machines: 1,
                ..purchase.clone()
            };
            let shown = found.sets.iter().any(|s| s.machines == [machine]);
            prop_assert_eq!(shown, !search(&alone, &[0]).sets.is_empty());
        }
    }

    /// Up to the stop that never comes, which is the search without any.
    #[test]
    fn more_time_never_finds_less(purchase in uncertain()) {
        let also: Vec<usize> = (0..purchase.machines.len()).collect();
        let whole = search(&purchase, &also);
        prop_assert!(!whole.stopped && whole.proven);
        prop_assert_eq!(&after(&purchase, usize::MAX), &whole);
        let mut last = after(&purchase, 0);
        for asked in 1.. {
            let found = after(&purchase, asked);
            let (now, before) = (worth(&purchase, &found), worth(&purchase, &last));
            prop_assert!(now >= before, "{asked}: {now} {before}");
            prop_assert!(found.most <= last.most + 0.05, "{asked}: {} {}", found.most, last.most);
            if !found.stopped {
                prop_assert_eq!(&found, &whole);
                break;
            }
            last = found;
        }
    }
}
