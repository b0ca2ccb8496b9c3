//! Offers that do in some draws and not in others.

use super::case::{ASK, Case, NO, YES, run, situation, wishes};
use engine::choice::{Beliefs, InDraws, Outcome, PartIn, Question, Status, Turn, learn, questions};
use engine::entered::Aim;
use engine::fit::Verdict;
use engine::ids::PartId;
use engine::site::SiteVerdict;
use std::collections::BTreeMap;
use units::{DRAW_BLOCK, Draw, Money, Number, Place, Spread, Value};

/// What turns on one part, in the draws given: not made where true.
fn fails(part: usize, failing: &[bool]) -> InDraws {
    let with = |verdict: Verdict| {
        let mut parts = vec![
            PartIn {
                verdict: YES,
                clampings: 2
            };
            4
        ];
        parts[part].verdict = verdict;
        Outcome {
            parts,
            goes_in: SiteVerdict::Yes,
        }
    };
    InDraws {
        outcomes: vec![with(YES), with(NO)],
        of: failing.iter().map(|fails| u32::from(*fails)).collect(),
        turns: vec![Turn {
            input: "offers/open/nose_to_table_max".into(),
            about: "How high?".into(),
            flips_at: vec![406.4],
            at_least: true,
            parts: vec![PartId::new("plate")],
            site: false,
        }],
    }
}

fn every(nth: usize) -> Vec<bool> {
    (0..200).map(|i| i % nth == 0).collect()
}

#[test]
fn the_best_of_a_draw_is_the_best_of_those_that_do_in_it() {
    let mut quick = Case::new("quick", [YES; 4], 12e3);
    let slow = Case::new("slow", [YES; 4], 9e3);
    quick.hours = 100.0;
    let sure = run(Aim::Capability, &[quick.clone(), slow.clone()]);
    assert_eq!(sure.offer.as_ref(), Some(&quick.offer));
    assert_eq!((sure.chance_best, sure.does_chance), (1.0, Some(1.0)));
    // A need that fails in a tenth of the draws: named all the same, the best in the others.
    quick.in_draws = Some(fails(0, &every(10)));
    let often = run(Aim::Capability, &[quick.clone(), slow.clone()]);
    assert_eq!(often.offer.as_ref(), Some(&quick.offer));
    assert!((often.chance_best - 0.9).abs() < 1e-12);
    assert_eq!(often.does_chance, Some(0.9));
    let other = &often.alternatives[0];
    assert!((other.chance_best - 0.1).abs() < 1e-12);
    // In a quarter: more than the chance asked allows, so it is to be asked about first.
    quick.in_draws = Some(fails(0, &every(4)));
    let seldom = run(Aim::Capability, &[quick.clone(), slow.clone()]);
    assert_eq!(seldom.offer.as_ref(), Some(&slow.offer));
    assert_eq!(seldom.alternatives[0].status, Status::AskFirst);
    assert!(seldom.ask_first[0].would_be_best);
    assert_eq!(
        seldom.ask_first[0].questions,
        ["offers/open/nose_to_table_max"]
    );
    // In all: it does not do, and nothing needs to be asked.
    quick.in_draws = Some(fails(0, &[true; 200]));
    let never = run(Aim::Capability, &[quick.clone(), slow.clone()]);
    assert_eq!(never.alternatives[0].status, Status::No);
    assert!(never.ask_first.is_empty());
    // A wish that fails leaves the others to be compared first.
    quick.in_draws = Some(fails(2, &every(4)));
    let wish = run(Aim::Capability, &[quick.clone(), slow.clone()]);
    assert_eq!(wish.offer.as_ref(), Some(&quick.offer));
    assert!((wish.chance_best - 0.75).abs() < 1e-12);
}

#[test]
fn a_likely_no_that_may_be_a_yes_is_a_question() {
    let mut open = Case::new("open", [NO, YES, YES, YES], 9e3);
    assert_eq!(
        run(Aim::Capability, &[open.clone()]).alternatives[0].status,
        Status::No
    );
    let mostly: Vec<bool> = every(10).iter().map(|f| !f).collect();
    for failing in [mostly, every(10)] {
        open.in_draws = Some(fails(0, &failing));
        let decision = run(Aim::Capability, &[open.clone()]);
        assert_eq!(decision.alternatives[0].status, Status::AskFirst);
        assert_eq!(decision.offer, None);
    }
}

/// A number nobody stated is a question of its own: the ranges beside it do not count as failing for it.
#[test]
fn what_nobody_stated_does_not_count_against_the_ranges() {
    let mut open = Case::new("open", [YES, ASK, YES, YES], 9e3);
    let mut drawn = fails(0, &every(10));
    for outcome in &mut drawn.outcomes {
        outcome.parts[1].verdict = ASK;
        outcome.goes_in = SiteVerdict::CannotSay;
    }
    open.in_draws = Some(drawn);
    open.site.goes_in = SiteVerdict::CannotSay;
    let decision = run(Aim::Capability, &[open]);
    assert_eq!(decision.alternatives[0].status, Status::AskFirst);
    // The ranges let it do in nine draws of ten, which is enough: nothing is held against them.
    assert_eq!(decision.ask_first[0].does_chance, None);
    let reasons = &decision.alternatives[0].reasons;
    assert!(!reasons.iter().any(|r| r.contains("ranges")), "{reasons:?}");
}

/// The nose of the open offer: anywhere between two heights; what is below 406.4 mm fails.
fn believed(low: f64, high: f64) -> Value<Number> {
    let [low, high] = [low, high].map(Number::of);
    let mut value = Value::stated("offers/open/nose_to_table_max", low, Place::default());
    value.spread = Spread::Range { low, high };
    value
}

/// Means are compared at 512 places of an input.
const PLACES: f64 = 1.0 / 512.0;

/// The question about it, learned beside a plain offer that always does.
fn learned(value: &Value<Number>) -> Question {
    let draws = 4 * DRAW_BLOCK;
    let below = |index| {
        let height = Draw::Random { seed: 3, index }.take(value);
        height.to_number() < 406.4
    };
    let failing: Vec<bool> = (0..draws).map(below).collect();
    let mut open = Case::new("open", [YES; 4], 9e3);
    open.hours = 100.0;
    open.in_draws = Some(fails(0, &failing));
    let mut cases = [open, Case::new("plain", [YES; 4], 9e3)];
    for case in &mut cases {
        case.all_in.totals = vec![9e3; draws as usize].into();
        case.all_in.budgets = vec![20e3; draws as usize].into();
    }
    let wishes = wishes();
    let situation = situation(Aim::Capability, &wishes);
    let candidates: Vec<_> = cases.iter().map(Case::candidate).collect();
    let mut list = questions(&situation, &candidates);
    let priors = BTreeMap::from([(value.id.0.clone(), value.clone())]);
    let beliefs = Beliefs {
        priors: &priors,
        costs: &[],
        trouble: Money::amount(20.0),
        seed: 3,
    };
    let watch = units::Watch::NOBODY;
    let groups = learn(&situation, &candidates, &[], &beliefs, &mut list, watch).unwrap();
    assert_eq!((list.len(), groups.len()), (1, 1));
    // One call answers what it alone answers.
    let (one, all) = (list[0].worth.unwrap(), groups[0].worth.unwrap());
    let error = list[0].error.unwrap().hypot(groups[0].error.unwrap());
    assert!((one - all).abs() <= 3.0 * error + PLACES, "{one} {all}");
    list.remove(0)
}

/// Not knowing, one takes whichever is more often the best: right with the greater of both chances;
/// knowing, always.
#[test]
fn knowing_a_range_is_worth_the_lesser_of_both_chances() {
    for (low, high) in [(390.4, 490.4), (356.4, 456.4), (336.4, 436.4)] {
        let question = learned(&believed(low, high));
        let fails = (406.4 - low) / (high - low);
        let (worth, error) = (question.worth.unwrap(), question.error.unwrap());
        let exact = f64::min(fails, 1.0 - fails);
        assert!(
            (worth - exact).abs() <= 3.0 * error + PLACES,
            "{low}: {worth} +- {error}, exactly {exact}"
        );
        // It must be asked where it fails too often.
        assert_eq!(question.decisive, fails > 0.2 + 1e-6);
        assert!(question.worth_asking);
    }
    let sure = learned(&believed(406.5, 506.5));
    assert!(sure.worth.unwrap() <= 3.0 * sure.error.unwrap() && !sure.worth_asking);
}
