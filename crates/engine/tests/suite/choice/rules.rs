//! The rules of the decision and its reasons.

use super::case::{ASK, Case, MORE, NO, YES, run, situation, wishes};
use engine::choice::{Status, option_sets, questions};
use engine::entered::Aim;
use engine::fit::Verdict;
use engine::site::SiteVerdict;

#[test]
fn more_wanted_parts_then_fewer_clampings_then_hours_then_cost() {
    let cheap = Case::new("cheap", [YES, YES, NO, YES], 9e3);
    let able = Case::new("able", [YES, YES, YES, YES], 14e3);
    assert_eq!(
        run(Aim::Capability, &[cheap, able.clone()]).offer,
        Some(able.offer.clone())
    );
    let shifting = Case::new("shifting", [MORE, YES, YES, YES], 9e3);
    let decision = run(Aim::Capability, &[shifting, able.clone()]);
    assert_eq!(decision.offer, Some(able.offer.clone()));
    assert!(
        decision
            .why
            .iter()
            .any(|w| w.contains("8 against 9 clampings")),
        "{:?}",
        decision.why
    );
    let mut slow = Case::new("slow", [YES; 4], 9e3);
    slow.hours = 500.0;
    assert_eq!(
        run(Aim::Capability, &[slow, able.clone()]).offer,
        Some(able.offer.clone())
    );
    let same = Case::new("same", [YES; 4], 9e3);
    assert_eq!(
        run(Aim::Capability, &[same.clone(), able]).offer,
        Some(same.offer)
    );
}

/// Fits are looked up where the last one stood; another order must be found all the same.
#[test]
fn the_order_of_the_fits_does_not_matter() {
    use Verdict::{CannotSay, DoesNotFit, Fits};
    let mut cases = vec![
        Case::new("one", [Fits, CannotSay, Fits, DoesNotFit], 9e3),
        Case::new("two", [DoesNotFit, Fits, Fits, Fits], 8e3),
        Case::new("three", [Fits, Fits, DoesNotFit, Fits], 7e3),
    ];
    let before = run(Aim::Capability, &cases);
    for case in &mut cases {
        case.fits.rotate_left(1);
        case.fits.swap(0, 2);
    }
    assert_eq!(run(Aim::Capability, &cases), before);
}

#[test]
fn a_missing_number_is_never_chosen_outright() {
    let unknown = Case::new("unknown", [YES, ASK, YES, YES], 9e3);
    let decision = run(Aim::Capability, std::slice::from_ref(&unknown));
    assert_eq!(decision.offer, None);
    assert_eq!(
        decision.ask_first[0].questions,
        ["offers/unknown/nose_to_table_max"]
    );
    assert!(decision.ask_first[0].would_be_best);
    let plain = Case::new("plain", [MORE, YES, NO, NO], 9e3);
    let decision = run(Aim::Capability, &[unknown, plain.clone()]);
    assert_eq!(decision.offer, Some(plain.offer));
    assert!(decision.ask_first[0].would_be_best);
    let mut no_price = Case::new("no-price", [YES; 4], 9e3);
    no_price.price_stated = false;
    assert_eq!(run(Aim::Capability, &[no_price]).offer, None);
    let mut no_door = Case::new("no-door", [YES; 4], 9e3);
    no_door.site.goes_in = SiteVerdict::CannotSay;
    assert_eq!(run(Aim::Capability, &[no_door]).offer, None);
}

#[test]
fn every_no_has_its_reason_and_shortfall() {
    let dear = Case::new("dear", [YES; 4], 40e3);
    let low = Case::new("low", [YES, NO, YES, YES], 9e3);
    let decision = run(Aim::Capability, &[dear, low]);
    assert_eq!(decision.offer, None);
    assert_eq!(decision.chance_best, 1.0);
    for alternative in &decision.alternatives {
        assert_eq!(alternative.status, Status::No);
        assert_eq!(alternative.reasons.len(), 1);
        assert_eq!(alternative.shortfalls.len(), 1);
    }
    let low = decision
        .alternatives
        .iter()
        .find(|a| a.offer.0 == "low")
        .unwrap();
    assert_eq!(
        (low.shortfalls[0].of.as_str(), low.shortfalls[0].short_by),
        ("nose_high", 152.4)
    );
    let dear = decision
        .alternatives
        .iter()
        .find(|a| a.offer.0 == "dear")
        .unwrap();
    assert_eq!(dear.shortfalls[0].of, "budget");
}

#[test]
fn questions_carry_their_flips_and_come_decisive_first() {
    let mut a = Case::new("a", [YES, YES, ASK, YES], 9e3);
    a.price_stated = false;
    let b = Case::new("b", [ASK, ASK, YES, YES], 9e3);
    let wishes = wishes();
    let list = questions(
        &situation(Aim::Capability, &wishes),
        &[a.candidate(), b.candidate()],
    );
    assert_eq!(list[0].input, "offers/b/nose_to_table_max");
    assert_eq!(list[0].parts.len(), 2);
    assert_eq!(
        (list[1].input.as_str(), list[1].flips_at.as_slice()),
        ("offers/a/price", &[12e3][..])
    );
    assert!(!list[2].decisive);
}

#[test]
fn the_option_sets_of_an_offer_speak_as_one() {
    let bare = Case::new("a", [YES, YES, NO, YES], 12e3);
    let mut fitted = Case::new("a", [YES; 4], 14e3);
    fitted.options = vec!["riser".into()];
    let other = Case::new("b", [YES, YES, NO, NO], 9e3);
    let decision = run(Aim::Capability, &[bare, fitted, other]);
    assert_eq!(decision.options, ["riser"]);
    assert_eq!(decision.alternatives.len(), 1);
    assert_eq!(decision.chance_best, 1.0);
    let mut twice = Case::new("low", [YES, NO, YES, YES], 9e3);
    let mut again = twice.fits[1].limits[0].clone();
    again.short_by = 200.0;
    twice.fits[1].limits.push(again);
    let decision = run(Aim::Capability, &[twice]);
    assert_eq!(decision.alternatives[0].shortfalls.len(), 1);
    assert_eq!(decision.alternatives[0].shortfalls[0].short_by, 200.0);
}

#[test]
fn every_option_set_is_looked_at_once() {
    let mut offer = crate::shop::offer(Some(1.0));
    let option = offer.options[0].clone();
    offer.options = vec![option; 3];
    offer.options[1].taken = true;
    let sets = option_sets(&offer);
    assert_eq!(sets.len(), 4);
    assert_eq!(sets[0], offer);
    assert!(sets.iter().all(|o| o.options[1].taken));
}
