//! What questions are worth.

use super::case::{ASK, Case, NO, YES, situation, wishes};
use engine::choice::{Beliefs, Question, QuestionGroup, Whom, WorthUnit, learn, questions};
use engine::entered::Aim;
use engine::fit::Verdict;
use engine::ids::OfferId;
use engine::machine::Field;
use engine::site::{SiteAsk, SiteVerdict};
use std::collections::BTreeMap;
use units::{DRAW_BLOCK, Money, Number, Place, Spread, Value};

/// The worths of all questions, with what is believed of the answers.
fn learned(aim: Aim, cases: &[Case], priors: &BTreeMap<String, Value<Number>>) -> Vec<Question> {
    learned_together(aim, cases, priors).0
}

/// The same with the groups.
fn learned_together(
    aim: Aim,
    cases: &[Case],
    priors: &BTreeMap<String, Value<Number>>,
) -> (Vec<Question>, Vec<QuestionGroup>) {
    let wishes = wishes();
    let situation = situation(aim, &wishes);
    let candidates: Vec<_> = cases.iter().map(Case::candidate).collect();
    let mut list = questions(&situation, &candidates);
    let beliefs = Beliefs {
        priors,
        costs: &[],
        trouble: Money::amount(20.0),
        seed: 3,
    };
    let watch = units::Watch::NOBODY;
    let groups = learn(&situation, &candidates, &[], &beliefs, &mut list, watch).unwrap();
    (list, groups)
}

/// A case with enough draws, all within the budget.
fn drawn(name: &str, verdicts: [Verdict; 4]) -> Case {
    let mut case = Case::new(name, verdicts, 9e3);
    let draws = 4 * DRAW_BLOCK as usize;
    case.all_in.totals = vec![9e3; draws].into();
    case.all_in.budgets = vec![20e3; draws].into();
    case
}

/// A nose height anywhere between two ends.
fn nose(low: f64, high: f64) -> BTreeMap<String, Value<Number>> {
    let id = "offers/open/nose_to_table_max";
    let [low, high] = [low, high].map(Number::of);
    let mut value = Value::stated(id, low, Place::default());
    value.spread = Spread::Range { low, high };
    BTreeMap::from([(id.to_owned(), value)])
}

#[test]
fn a_question_is_worth_the_chance_it_turns() {
    // The open one is better by its wanted parts when its nose rises to 406.4 mm. Anywhere from 306.4
    // to 506.4 mm, half of the machines do: half of the draws inside the band, and half of the tenth
    // outside. Not knowing, either choice is the best in half of the draws; knowing, always.
    let cases = [
        drawn("sure", [YES, YES, NO, NO]),
        drawn("open", [ASK, YES, YES, YES]),
    ];
    let list = learned(Aim::Capability, &cases, &nose(306.4, 506.4));
    assert_eq!(list.len(), 1);
    let (worth, error) = (list[0].worth.unwrap(), list[0].error.unwrap());
    assert_eq!(list[0].unit, WorthUnit::Chance);
    assert!(list[0].worth_asking);
    assert!((worth - 0.5).abs() <= 3.0 * error + 0.01, "{worth} {error}");
    // A band that never reaches leaves the twentieth above it, and does not rule the answer out.
    let list = learned(Aim::Capability, &cases, &nose(206.4, 306.4));
    let (worth, error) = (list[0].worth.unwrap(), list[0].error.unwrap());
    assert!(
        (worth - 0.05).abs() <= 3.0 * error + 0.01,
        "{worth} {error}"
    );
    // Nothing known: as likely good as bad.
    let list = learned(Aim::Capability, &cases, &BTreeMap::new());
    assert!(
        (list[0].worth.unwrap() - 0.5).abs() < 0.02,
        "{:?}",
        list[0].worth
    );
}

/// The open one does in half of the draws. If it then always needs fewer hours, asking is worth that
/// half; if its hours are fewer in one draw of `n`, the sure one is the best in all but one of 2 n draws,
/// and of those in which the open one does, in all but one of n: asking changes nothing from n = 2 on.
#[test]
fn what_hours_leave_open_no_question_about_the_nose_decides() {
    let with = |factors: &dyn Fn(usize) -> f64| {
        let mut open = drawn("open", [ASK, YES, YES, YES]);
        open.hours = 100.0;
        let draws = open.all_in.totals.len();
        open.hour_factors = (0..draws).map(factors).collect();
        let list = learned(
            Aim::Capability,
            &[drawn("sure", [YES; 4]), open],
            &nose(306.4, 506.4),
        );
        (list[0].worth.unwrap(), list[0].error.unwrap())
    };
    let (worth, error) = with(&|_| 1.0);
    assert!((worth - 0.5).abs() <= 3.0 * error + 0.01, "{worth} {error}");
    for n in [2, 4] {
        let (worth, error) = with(&|draw| if draw % n == 0 { 1.0 } else { 10.0 });
        assert!(worth <= 3.0 * error + 0.01, "{n}: {worth} {error}");
    }
}

#[test]
fn under_the_aim_of_value_a_question_is_worth_money() {
    // The open one brings 5,000 when it does; when not, 9,000 is spent and 0.8 of the price returned.
    // Half of the draws each: buying it unasked is worth 2,500 - 900 = 1,600, less than the sure
    // one's 2,000; asking first 0.5 * 5,000 + 0.5 * 2,000 = 3,500: worth 1,500.
    let mut sure = drawn("sure", [YES; 4]).worth(2000.0);
    let mut open = drawn("open", [ASK, YES, YES, YES]).worth(5000.0);
    for case in [&mut sure, &mut open] {
        let draws = case.all_in.totals.len();
        let worth = case.worth.as_mut().unwrap();
        worth.draws = vec![worth.npv.mean.to_amount(); draws];
        assert_eq!(case.all_in.price().unwrap(), Money::amount(9e3));
    }
    let list = learned(Aim::Value, &[sure, open], &nose(306.4, 506.4));
    let (worth, error) = (list[0].worth.unwrap(), list[0].error.unwrap());
    assert_eq!(list[0].unit, WorthUnit::Money);
    assert!(
        (worth - 1500.0).abs() <= 3.0 * error + 0.01 * 5000.0,
        "{worth} {error}"
    );
}

#[test]
fn one_call_is_worth_what_all_its_answers_are() {
    // Two numbers of one seller, each as likely good as bad: both are good in a quarter of the draws.
    // Knowing both lets the better one be taken there and only there: the sure one is the best in
    // three quarters, so the call is worth a quarter. Either alone changes nothing: given one good
    // answer the open one is the best in half of the draws, no more than the sure one.
    let mut open = drawn("open", [ASK, YES, YES, YES]);
    let mut second = open.fits[0].ask[0].clone();
    second.about = engine::fit::Asked::Property(Field::table_load);
    second.input = "offers/open/table_load".into();
    open.fits[0].ask.push(second);
    let cases = [drawn("sure", [YES, YES, NO, NO]), open];
    let (list, groups) = learned_together(Aim::Capability, &cases, &BTreeMap::new());
    assert_eq!(groups.len(), 1);
    let group = &groups[0];
    assert_eq!(group.whom, Whom::Seller(OfferId::new("open")));
    assert_eq!(group.inputs.len(), 2);
    let (worth, error) = (group.worth.unwrap(), group.error.unwrap());
    assert!(
        (worth - 0.25).abs() <= 3.0 * error + 0.01,
        "{worth} {error}"
    );
    assert!(group.worth_asking);
    for question in &list {
        let (worth, error) = (question.worth.unwrap(), question.error.unwrap());
        assert!(worth <= 3.0 * error + 0.02, "{worth} {error}");
    }
    // What turns nothing is not worth the trouble: the sure one is better whatever is answered.
    let mut better = drawn("sure", [YES; 4]);
    better.hours = 100.0;
    let (_, groups) = learned_together(
        Aim::Capability,
        &[better, drawn("open", [ASK, YES, NO, NO])],
        &BTreeMap::new(),
    );
    assert!(groups.iter().all(|g| !g.worth_asking), "{groups:?}");
    // A question about the place is in a group of its own.
    let mut outside = drawn("open", [YES; 4]);
    outside.site.goes_in = SiteVerdict::CannotSay;
    outside.site.ask.push(SiteAsk {
        input: "site/door_width".into(),
        question: "How wide is the door?".into(),
        flips_at: Some(1500.0),
        unit: "mm",
        at_least: true,
        likely: None,
    });
    let (_, groups) = learned_together(
        Aim::Capability,
        &[drawn("sure", [YES, YES, NO, NO]), outside],
        &BTreeMap::new(),
    );
    assert_eq!(groups[0].whom, Whom::Site);
    assert!((groups[0].worth.unwrap() - 0.5).abs() < 0.03, "{groups:?}");
}
