//! The decision by value.

use super::case::{Case, NO, YES, at_once, run, situation, wishes};
use engine::choice::{Decision, Joint, Searched, decide};
use engine::entered::Aim;
use engine::ids::{OfferId, PartId};
use engine::site::SiteVerdict;
use units::Money;

#[test]
fn value_needs_prices_and_beats_buying_nothing() {
    let none = run(Aim::Value, &[Case::new("x", [YES; 4], 9e3)]);
    assert_eq!(none.offer, None);
    assert!(none.why[0].contains("outside price"));
    let loss = Case::new("loss", [YES; 4], 9e3).worth(-500.0);
    assert_eq!(run(Aim::Value, std::slice::from_ref(&loss)).offer, None);
    let gain = Case::new("gain", [YES, YES, NO, NO], 9e3).worth(800.0);
    let decision = run(Aim::Value, &[loss, gain.clone()]);
    assert_eq!(decision.offer, Some(gain.offer));
    assert_eq!(
        decision.farm_out,
        [PartId::new("ring"), PartId::new("bracket")]
    );
}

#[test]
fn the_over_run_has_its_price_and_the_promise_is_shown_beside() {
    // Over the budget of 20,000 by about 3,300 in the mean, which costs about 830 at 25 %.
    let dear = Case::new("dear", [YES; 4], 22e3).worth(3000.0);
    let cheap = Case::new("cheap", [YES; 4], 9e3).worth(1500.0);
    let decision = run(Aim::Value, &[cheap.clone(), dear.clone()]);
    assert_eq!(decision.offer, Some(dear.offer.clone()));
    let over: Vec<f64> = dear
        .all_in
        .totals
        .iter()
        .map(|t| (t - 20e3).max(0.0))
        .collect();
    let cost = 0.25 * over.iter().sum::<f64>() / over.len() as f64;
    assert!(cost > 500.0);
    let own = decision.over_budget_cost.unwrap().to_amount();
    assert!((own - cost).abs() < 1e-6);
    assert!((decision.value.unwrap().to_amount() - (3000.0 - cost)).abs() < 1e-6);
    let kept = decision.keeping_budget.unwrap();
    assert_eq!((kept.offers, kept.same), (vec![cheap.offer.clone()], false));
    // A worth that the over-run eats up is not chosen.
    let thin = Case::new("dear", [YES; 4], 22e3).worth(1500.0 + 0.5 * cost);
    let decision = run(Aim::Value, &[cheap.clone(), thin]);
    assert_eq!(decision.offer, Some(cheap.offer));
    assert!(decision.keeping_budget.unwrap().same);
}

#[test]
fn buying_nothing_is_an_answer_when_every_need_has_a_price() {
    let loss = Case::new("loss", [YES; 4], 9e3).worth(-500.0);
    let candidates = [loss.candidate()];
    let mut wishes = wishes();
    let searched = Searched {
        among: 1,
        proven: true,
        gap: None,
        stopped: false,
    };
    let open = decide(&situation(Aim::Value, &wishes), &candidates, &[], searched);
    assert!(!open.buy_nothing && open.offer.is_none() && open.farm_out.is_empty());
    assert!(
        open.why
            .iter()
            .any(|w| w.contains("no outside price is stated for plate, housing")),
        "{:?}",
        open.why
    );
    for wish in &mut wishes {
        wish.outside_per_year = Some(Money::amount(900.0));
    }
    let all = decide(&situation(Aim::Value, &wishes), &candidates, &[], searched);
    assert!(all.buy_nothing && all.offer.is_none());
    assert_eq!((all.farm_out.len(), all.chance_best), (4, 1.0));
    assert!(all.why[0].contains("500"), "{:?}", all.why);
}

#[test]
fn equals_share_the_draws_and_are_called_a_tie() {
    let a = Case::new("a", [YES; 4], 9e3).worth(800.0);
    let b = Case::new("b", [YES; 4], 9e3).worth(800.0);
    let c = Case::new("c", [YES; 4], 9e3).worth(700.0);
    let decision = run(Aim::Value, &[c, b.clone(), a.clone()]);
    assert_eq!(decision.offer, Some(a.offer));
    assert_eq!(decision.ties, vec![b.offer.clone()]);
    assert_eq!(decision.chance_best, 0.5);
    let other = decision
        .alternatives
        .iter()
        .find(|x| x.offer == b.offer)
        .unwrap();
    assert_eq!(other.chance_best, 0.5);
}

/// Two machines that together are worth more than the first alone, and what became of them.
fn two_machines(verdict: SiteVerdict) -> Decision {
    let a = Case::new("a", [YES, YES, YES, YES], 8e3).worth(1000.0);
    let b = Case::new("b", [NO, YES, NO, NO], 5e3);
    let both: Vec<f64> = a
        .all_in
        .totals
        .iter()
        .zip(b.all_in.totals.iter())
        .map(|(a, b)| a + b)
        .collect();
    let npv = vec![2500.0; both.len()];
    let together = at_once(&[&a, &b], verdict);
    let joint = Joint {
        members: vec![0, 1],
        made_on: vec![Some(0), Some(1), Some(0), None],
        totals: &both,
        budgets: &a.all_in.budgets,
        npv: &npv,
        together: &together,
    };
    let wishes = wishes();
    let searched = Searched {
        among: 2,
        proven: true,
        gap: None,
        stopped: false,
    };
    let candidates = [a.candidate(), b.candidate()];
    decide(
        &situation(Aim::Value, &wishes),
        &candidates,
        &[joint],
        searched,
    )
}

fn told(decision: &Decision, words: &[&str]) -> bool {
    let all = |why: &&String| words.iter().all(|word| why.contains(word));
    decision.why.iter().any(|why| all(&why))
}

#[test]
fn several_machines_may_share_the_budget() {
    let decision = two_machines(SiteVerdict::Yes);
    let bought: Vec<(&str, usize)> = decision
        .machines
        .iter()
        .map(|m| (m.offer.0.as_str(), m.make.len()))
        .collect();
    assert_eq!(bought, [("a", 2), ("b", 1)]);
    assert_eq!(decision.offer, Some(OfferId::new("a")));
    assert_eq!(decision.farm_out, [PartId::new("bracket")]);
    // What was compared stands behind their names, with its caution.
    assert!(decision.why[0].contains("a and b together"));
    assert!(decision.why[1].contains("they want 70 A of 60 A"));
    assert!(told(&decision, &["licensed electrician"]));
    let [set] = &decision.together[..] else {
        panic!("{:?}", decision.together);
    };
    assert!(set.chosen && set.together.verdict == SiteVerdict::Yes);
    assert!(decision.ask_first.is_empty());
}

#[test]
fn machines_that_do_not_run_at_once_are_not_named() {
    let alone = two_machines(SiteVerdict::No);
    assert_eq!(alone.machines.len(), 1);
    assert_eq!(alone.offer, Some(OfferId::new("a")));
    assert!((alone.value.unwrap().to_amount() - 1000.0).abs() < 1e-6);
    assert!(
        told(&alone, &["a and b", "1,500 more", "do not stand", "70 A"]),
        "{:?}",
        alone.why
    );
    let [set] = &alone.together[..] else {
        panic!("{:?}", alone.together);
    };
    assert!(!set.chosen && (set.more.to_amount() - 1500.0).abs() < 1e-6);
    assert!(alone.ask_first.is_empty());
}

#[test]
fn machines_of_which_it_cannot_be_said_are_asked_about_first() {
    let open = two_machines(SiteVerdict::CannotSay);
    assert_eq!(open.machines.len(), 1);
    assert!(
        told(&open, &["a and b", "cannot be said", "What current"]),
        "{:?}",
        open.why
    );
    let [first] = &open.ask_first[..] else {
        panic!("{:?}", open.ask_first);
    };
    assert_eq!(
        (&first.offer.0[..], &first.with[..]),
        ("a", &[OfferId::new("b")][..])
    );
    assert_eq!(first.questions, ["site/supply_amps"]);
    assert!(first.would_be_best);
}
