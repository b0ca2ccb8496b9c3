//! The study of the demo asked again: with a memory, with more money, with parts that have prices.

use engine::entered::Aim;
use engine::study::{Answer, Memo, Settings, run_again};
use folder::Study;
use units::{Money, Place, Value, Watch};

fn ask(study: &Study, memo: &Memo) -> Answer {
    let inputs = study.inputs();
    let mut settings = Settings::new(2026);
    settings.draws = 2 * units::DRAW_BLOCK;
    run_again(&inputs, &settings, memo, Watch::NOBODY).unwrap()
}

fn demo() -> Study {
    folder::demo(Watch::NOBODY).unwrap()
}

#[test]
fn a_memory_changes_no_answer() {
    let memo = Memo::default();
    let before = demo();
    ask(&before, &memo);
    let mut after = before.clone();
    let price = after.offers[1].properties.price.as_mut().unwrap();
    price.likely = price.likely * 1.2;
    after.offers[2].properties.nose_to_table_max = None;
    after.parts[0].per_year.likely = after.parts[0].per_year.likely * 2.0;
    after.shop.budget.likely = after.shop.budget.likely * 0.7;
    let (with, without) = (ask(&after, &memo), ask(&after, &Memo::default()));
    assert_eq!(with.decision, without.decision);
    assert_eq!(with.ways_out, without.ways_out);
    assert_eq!(with.questions, without.questions);
    assert_eq!(with.question_groups, without.question_groups);
    assert_eq!(with.ceilings, without.ceilings);
    assert_eq!(with.specification, without.specification);
    // The change is one that shows.
    assert_ne!(with.decision, ask(&before, &memo).decision);
}

/// The demo with the aim "value" and a price on every part.
fn priced(price: f64) -> Study {
    let mut study = demo();
    study.shop.aim = Aim::Value;
    for part in &mut study.parts {
        let id = format!("parts/{}/price", part.id);
        part.outside_price = Some(Value::stated(id, Money::amount(price), Place::default()));
    }
    study
}

fn value(answer: &Answer) -> f64 {
    answer.decision.value.map_or(0.0, Money::to_amount)
}

#[test]
fn by_value_a_study_says_what_to_make_and_when_to_buy_nothing() {
    let memo = Memo::default();
    let cheap = ask(&priced(1.0), &memo);
    assert!(cheap.decision.buy_nothing, "{:?}", cheap.decision.why);
    assert_eq!(cheap.decision.farm_out.len(), cheap.demands.len());
    let dear = priced(300.0);
    let answer = ask(&dear, &memo);
    let decision = &answer.decision;
    assert!(decision.proven && decision.offer.is_some());
    assert_eq!(
        decision.make.len() + decision.farm_out.len(),
        dear.parts.len()
    );
    // The highest price worth paying is above what is asked, and dearer parts are worth more.
    let chosen = answer.chosen().unwrap();
    let paying = chosen.worth_paying.as_ref().unwrap();
    assert!(paying.against_nothing.unwrap() >= chosen.all_in.price().unwrap());
    assert!(paying.against_nothing >= paying.against_others);
    assert!(value(&ask(&priced(400.0), &memo)) > value(&answer));
    // A bigger budget, a second machine and fewer things that must be made never lower the value.
    let mut richer = dear.clone();
    richer.shop.budget.likely = richer.shop.budget.likely * 1.5;
    assert!(value(&ask(&richer, &memo)) >= value(&answer));
    let mut two = dear.clone();
    two.shop.machines = 2;
    assert!(value(&ask(&two, &memo)) >= value(&answer));
    let mut free = dear;
    for part in &mut free.parts {
        part.must_make = false;
    }
    assert!(value(&ask(&free, &memo)) >= value(&answer) - 1.0);
}
