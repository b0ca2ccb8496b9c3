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

/// The published bands put hours in doubt on either side; without them only what the machine holds does,
/// and the likely hours are the same.
#[test]
fn hours_are_in_doubt_by_the_bands_of_the_materials() {
    let study = demo();
    let banded = ask(&study, &Memo::default());
    let mut sharp = study.clone();
    sharp.materials = engine::resolve::materials(&study.materials, units::Draw::Likely);
    let plain = ask(&sharp, &Memo::default());
    for (with, without) in banded.offers().zip(plain.offers()) {
        assert_eq!(with.hours_per_year, without.hours_per_year);
        for (with, without) in with.times.iter().zip(&without.times) {
            let (Some(with), Some(without)) = (with, without) else {
                continue;
            };
            assert_eq!(without.doubt.common, [0.0; 2], "{}", without.part);
            assert!(with.doubt.common[0] > 0.0 && with.doubt.common[1] > 0.0);
            assert!(with.doubt.common[0] < with.per_year.to_h());
            assert_eq!(with.doubt.own, without.doubt.own);
            // A quarter less to six tenths more at the hands, materials or no.
            let attended = with.attended_per_year.to_h();
            for (side, share) in [(0, 0.25), (1, 0.6)] {
                assert!((with.doubt.hands[side] - share * attended).abs() < 1e-9);
            }
            assert_eq!(with.doubt.hands, without.doubt.hands);
        }
        // What the hours at the hands cost is in the same doubt, one draw for all offers; what nobody
        // stands beside is in none of it.
        let labour = with
            .running
            .lines
            .iter()
            .find(|l| l.name == "labour")
            .unwrap();
        let hour = &study.shop.hour_cost;
        let mean = labour.likely.to_amount() / hour.likely.to_amount() * hour.mean().to_amount();
        let expected = mean * (0.75 + 1.0 + 1.6) / 3.0;
        assert!(
            (labour.mean.to_amount() / expected - 1.0).abs() < 0.01,
            "{labour:?}"
        );
        assert!(labour.low < labour.likely && labour.likely < labour.high);
    }
    let chosen = banded.chosen().unwrap();
    assert!(chosen.hours_doubt[0] > 0.0 && chosen.hours_doubt[1] > 0.0);
}

/// Where losses wait, the answer says by how much anything else may be worth more at most. Refunded at
/// once they are never worth less, and nothing that can be had by leaving a part out passes the gap.
#[test]
fn with_income_tax_the_gap_bounds_what_else_there_is() {
    let mut study = priced(300.0);
    for part in &mut study.parts {
        part.must_make = false;
    }
    let number = |id: &str, n: f64| Value::stated(id, units::Number::of(n), Place::default());
    study.shop.income_tax = Some(engine::entered::IncomeTax {
        rate: number("shop/tax_rate", 0.3),
        writing_off: engine::entered::WritingOff::StraightLine { years: 5 },
        at_once: number("shop/at_once", 0.5),
        on: "2026-11-02".parse().unwrap(),
        losses_offset: false,
    });
    let memo = Memo::default();
    let waiting = ask(&study, &memo);
    let gap = waiting.decision.gap;
    assert_eq!(waiting.decision.proven, gap.is_none());
    let most = value(&waiting) + gap.map_or(0.5, Money::to_amount);
    let mut refunded = study.clone();
    refunded.shop.income_tax.as_mut().unwrap().losses_offset = true;
    let refunded = ask(&refunded, &memo);
    assert!(refunded.decision.proven && refunded.decision.gap.is_none());
    assert!(value(&refunded) >= value(&waiting) - 1e-6);
    for part in (0..study.parts.len()).step_by(4) {
        let mut fewer = study.clone();
        // Made outside: nothing is saved by making it.
        fewer.parts[part].outside_price = None;
        let other = ask(&fewer, &memo);
        // A thousandth for means of products against products of means.
        assert!(
            value(&other) <= most * 1.001,
            "{part}: {most} {}",
            value(&other)
        );
    }
}
