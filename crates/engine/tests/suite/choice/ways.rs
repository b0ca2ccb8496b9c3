//! Ways out, by hand and by brute force.

use super::case::{ASK, Case, MORE, NO, PARTS, YES, cases, situation, wishes};
use engine::choice::{Change, Rest, WayOut, ways_out};
use engine::entered::Aim;
use engine::ids::PartId;
use engine::money::{Line, draw};
use engine::site::{SiteLimit, SiteVerdict};
use proptest::prelude::*;

use crate::shop::stated;

#[test]
fn the_money_of_a_way_out_is_enough_and_no_more() {
    let dear = Case::new("dear", [YES, NO, YES, YES], 22e3);
    let wishes = wishes();
    let ways = ways_out(
        &situation(Aim::Capability, &wishes),
        &[dear.candidate()],
        &|_| Box::new(|_| None),
    )
    .ways;
    assert_eq!(ways[0].changes, [Change::FarmOut(PartId::new("housing"))]);
    let with = |budget: f64| {
        let lines = [Line::fixed(
            Line::PRICE,
            crate::shop::band("offers/dear/all", [0.9 * 22e3, 22e3, 1.2 * 22e3]),
            "",
        )];
        draw(&lines, &stated("budget", budget), 3, 200).over_budget_chance
    };
    let money = ways[0].money.to_amount();
    assert!(with(20e3 + money + 1e-6) <= 0.2);
    assert!(with(20e3 + money - 1.0) > 0.2);
}

#[test]
fn a_way_out_never_gives_up_every_need() {
    let useless = Case::new("useless", [NO, NO, YES, YES], 9e3);
    let wishes = wishes();
    let ways = ways_out(
        &situation(Aim::Capability, &wishes),
        &[useless.candidate()],
        &|_| Box::new(|_| None),
    );
    assert!(ways.ways.is_empty());
}

/// What giving up each of the four parts saves, whatever else is given up.
const SAVED: [f64; 4] = [1200.0, 900.0, 700.0, 0.0];

fn saved(case: &Case, given: &[usize]) -> Option<Rest> {
    let saved: f64 = given.iter().map(|at| SAVED[*at]).sum();
    (saved > 0.0).then(|| {
        let totals: Vec<f64> = case.all_in.totals.iter().map(|t| t - saved).collect();
        Rest::of(&totals, &case.all_in.budgets, 0.8)
    })
}

fn found(cases: &[Case]) -> Vec<WayOut> {
    let wishes = wishes();
    let candidates: Vec<_> = cases.iter().map(Case::candidate).collect();
    let all = ways_out(
        &situation(Aim::Capability, &wishes),
        &candidates,
        &|place| Box::new(move |given| saved(&cases[place], given)),
    );
    let many = |text: &String| text.contains("more than 3 changes");
    assert!(all.left_out.iter().all(many), "{:?}", all.left_out);
    all.ways
}

/// A way out as the brute force has it: offer, changes, money, asks.
type Plain = (String, Vec<Change>, f64, bool);

/// Every set of parts given up of every case, the changes it comes to, the money by sorting, and
/// what no other way of the same offer beats.
fn by_brute_force(cases: &[Case]) -> Vec<Plain> {
    let mut all: Vec<Plain> = Vec::new();
    for case in cases {
        let site = case.site.goes_in;
        for set in 0..16usize {
            let given: Vec<usize> = (0..4).filter(|at| set >> at & 1 == 1).collect();
            let has = |at: usize| !given.contains(&at);
            let verdict = |at: usize| case.fits[at].verdict;
            // The first two parts are needs: they are made or given up, and not both given up.
            if (0..2).any(|at| has(at) && verdict(at) == NO) || (!has(0) && !has(1)) {
                continue;
            }
            let mut changes: Vec<Change> = given
                .iter()
                .map(|at| {
                    let part = PartId::new(PARTS[*at].0);
                    match at {
                        0 | 1 => Change::FarmOut(part),
                        _ => Change::GiveUp(part),
                    }
                })
                .collect();
            if (0..2).any(|at| has(at) && verdict(at) == MORE) {
                changes.push(Change::ClampAgain);
            }
            if site == SiteVerdict::No {
                changes.push(Change::SiteWork("door_width"));
            }
            changes.extend(case.options.iter().cloned().map(Change::TakeOption));
            // A part that does not fit and is not needed need not be given up.
            if given.iter().any(|at| *at > 1 && verdict(*at) == NO) || changes.len() > 3 {
                continue;
            }
            changes.sort();
            let less: f64 = given.iter().map(|at| SAVED[*at]).sum();
            let money = &case.all_in;
            let mut over: Vec<f64> = money.totals.iter().map(|t| t - less - 20e3).collect();
            over.sort_by(f64::total_cmp);
            let extra = over[(0.8 * over.len() as f64).round() as usize - 1].max(0.0);
            let asks = !case.price_stated
                || site == SiteVerdict::CannotSay
                || (0..2).any(|at| has(at) && verdict(at) == ASK);
            all.push((case.offer.0.clone(), changes, extra, asks));
        }
        // What may be named as it stands needs no way out.
        let stands = (0..2).all(|at| [YES, MORE].contains(&case.fits[at].verdict))
            && site == SiteVerdict::Yes
            && case.options.is_empty()
            && case.price_stated
            && case.all_in.over_budget_chance <= 0.2;
        if stands {
            all.retain(|way| way.0 != case.offer.0);
        }
    }
    let beats = |a: &Plain, b: &Plain| {
        a.0 == b.0 && a.2 <= b.2 && a.3 <= b.3 && a.1.iter().all(|c| b.1.contains(c))
    };
    let kept = |at: &usize| {
        !(0..all.len()).any(|other| {
            other != *at
                && beats(&all[other], &all[*at])
                && (!beats(&all[*at], &all[other]) || other < *at)
        })
    };
    let mut kept: Vec<Plain> = (0..all.len())
        .filter(kept)
        .map(|at| all[at].clone())
        .collect();
    kept.sort_by(|a, b| (&a.0, &a.1).cmp(&(&b.0, &b.1)));
    kept
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn ways_out_are_those_of_brute_force(
        cases in cases(), closed in prop::collection::vec(prop::bool::weighted(0.2), 6),
        option in prop::collection::vec(any::<bool>(), 6),
    ) {
        let mut cases = cases;
        for (case, (closed, option)) in cases.iter_mut().zip(closed.iter().zip(&option)) {
            if *closed {
                case.site.goes_in = SiteVerdict::No;
                case.site.reasons.push(SiteLimit {
                    what: "door_width",
                    short_by: 50.0,
                    unit: "mm",
                    mend: "widen the door".into(),
                    rules_out: true,
                });
            }
            if *option {
                case.options = vec!["riser".into()];
            }
        }
        let mut found: Vec<Plain> = found(&cases)
            .into_iter()
            .map(|w| (w.offer.0, w.changes, w.money.to_amount(), w.ask_first))
            .collect();
        found.sort_by(|a, b| (&a.0, &a.1).cmp(&(&b.0, &b.1)));
        let brute = by_brute_force(&cases);
        prop_assert_eq!(found.len(), brute.len(), "{:?} {:?}", found, brute);
        for (a, b) in found.iter().zip(&brute) {
            prop_assert_eq!((&a.0, &a.1, a.3), (&b.0, &b.1, b.3));
            prop_assert!((a.2 - b.2).abs() < 1e-6);
        }
    }
}

#[test]
fn what_is_left_out_is_said() {
    let mut case = Case::new("dear", [YES; 4], 30e3);
    case.options = ["a", "b", "c", "d"].map(String::from).to_vec();
    let wishes = wishes();
    let situation = situation(Aim::Capability, &wishes);
    let all = ways_out(&situation, &[case.candidate()], &|_| Box::new(|_| None));
    assert!(all.ways.is_empty());
    assert_eq!(all.left_out.len(), 1);
    assert!(all.left_out[0].contains("dear"), "{:?}", all.left_out);
}
