//! The decision: rules, reasons and laws.

use crate::shop::stated;
use engine::choice::{
    Beliefs, Candidate, Change, Decision, Question, Situation, Status, Wish, WorthUnit, decide,
    learn, option_sets, questions, ways_out,
};
use engine::entered::Aim;
use engine::fit::{Ask, Asked, Capability, Fit, Limit, Margin, Verdict};
use engine::ids::{OfferId, PartId};
use engine::machine::{Field, Machine, Properties};
use engine::money::{AllIn, Line, Payback, Percentiles, Worth, draw};
use engine::site::{Room, SiteAnswer, SiteVerdict, UsdRate, check};
use proptest::prelude::*;
use std::collections::BTreeMap;
use units::{Currency, DRAW_BLOCK, Length, Money, Number, Place, Spread, Time, Value};

const PARTS: [(&str, bool); 4] = [
    ("plate", true),
    ("housing", true),
    ("ring", false),
    ("bracket", false),
];

/// Everything a candidate borrows.
#[derive(Clone, Debug)]
struct Case {
    offer: OfferId,
    options: Vec<String>,
    fits: Vec<Fit>,
    site: SiteAnswer,
    all_in: AllIn,
    price_stated: bool,
    hours: f64,
    worth: Option<Worth>,
}

impl Case {
    fn new(name: &str, verdicts: [Verdict; 4], cost: f64) -> Self {
        let offer = OfferId::new(name);
        let cost = crate::shop::band(
            &format!("offers/{name}/all"),
            [0.9 * cost, cost, 1.2 * cost],
        );
        let lines = [Line::fixed(Line::PRICE, cost, "")];
        let fits = PARTS
            .iter()
            .zip(verdicts)
            .map(|((part, _), verdict)| fit(&offer, part, verdict))
            .collect();
        Self {
            site: site(&offer),
            offer,
            options: Vec::new(),
            fits,
            all_in: draw(&lines, &stated("budget", 20e3), 3, 200),
            price_stated: true,
            hours: 300.0,
            worth: None,
        }
    }

    fn candidate(&self) -> Candidate<'_> {
        Candidate {
            offer: &self.offer,
            options: &self.options,
            fits: &self.fits,
            site: &self.site,
            all_in: &self.all_in,
            price_stated: self.price_stated,
            highest_price: Some(Money::amount(12e3)),
            hours_per_year: Time::h(self.hours),
            worth: self.worth.as_ref(),
        }
    }

    fn worth(mut self, npv: f64) -> Self {
        let m = Money::amount(npv);
        self.worth = Some(Worth {
            npv: Percentiles {
                p10: m,
                p50: m,
                p80: m,
                p90: m,
                mean: m,
            },
            payback: Payback {
                p10: None,
                p50: None,
                p90: None,
                never_chance: 0.0,
            },
            gain_chance: if npv > 0.0 { 1.0 } else { 0.0 },
            draws: vec![npv; 200],
            ..Worth::default()
        });
        self
    }
}

fn site(offer: &OfferId) -> SiteAnswer {
    let machine = Machine {
        offer: offer.clone(),
        properties: Properties::default(),
        taper: None,
        taper_default: None,
    };
    let usd = UsdRate {
        rate: 1.0,
        stated: true,
    };
    let mut answer = check(&machine, &Room::default(), usd);
    answer.goes_in = SiteVerdict::Yes;
    answer.ask.clear();
    answer
}

fn fit(offer: &OfferId, part: &str, verdict: Verdict) -> Fit {
    let limits = if verdict == Verdict::DoesNotFit {
        vec![Limit {
            capability: Capability::NoseHigh,
            short_by: 152.4,
            mend: "a lower vise".into(),
            costs: None,
            rules_out: true,
        }]
    } else {
        Vec::new()
    };
    let ask = if verdict == Verdict::CannotSay {
        vec![Ask {
            about: Asked::Property(Field::nose_to_table_max),
            input: format!("offers/{offer}/nose_to_table_max"),
            flips_at: 406.4,
            at_least: true,
            likely: None,
        }]
    } else {
        Vec::new()
    };
    Fit {
        part: PartId::new(part),
        offer: offer.clone(),
        verdict,
        setups: 2,
        clampings: if verdict == Verdict::FitsWithMoreClampings {
            3
        } else {
            2
        },
        margins: vec![Margin {
            capability: Capability::TravelX,
            value: 50.0,
        }],
        limits,
        ask,
        setups_on: Vec::new(),
        hand_changes: 0,
        tools: 5,
        stands_for: Vec::new(),
    }
}

fn wishes() -> Vec<Wish> {
    PARTS
        .iter()
        .map(|(part, must_make)| Wish {
            part: PartId::new(*part),
            must_make: *must_make,
        })
        .collect()
}

fn run(aim: Aim, cases: &[Case]) -> Decision {
    let wishes = wishes();
    let candidates: Vec<_> = cases.iter().map(Case::candidate).collect();
    decide(&situation(aim, &wishes), &candidates)
}

fn situation(aim: Aim, wishes: &[Wish]) -> Situation<'_> {
    Situation {
        aim,
        keep_chance: 0.8,
        over_budget_rate: 0.25,
        wishes,
        currency: Currency::USD,
        us_units: true,
    }
}

const YES: Verdict = Verdict::Fits;
const NO: Verdict = Verdict::DoesNotFit;
const ASK: Verdict = Verdict::CannotSay;
const MORE: Verdict = Verdict::FitsWithMoreClampings;

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
fn the_money_of_a_way_out_is_enough_and_no_more() {
    let dear = Case::new("dear", [YES, NO, YES, YES], 22e3);
    let wishes = wishes();
    let ways = ways_out(&situation(Aim::Capability, &wishes), &[dear.candidate()]);
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
    assert!(ways_out(&situation(Aim::Capability, &wishes), &[useless.candidate()]).is_empty());
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

fn verdict() -> impl Strategy<Value = Verdict> {
    prop_oneof![4 => Just(YES), 2 => Just(MORE), 1 => Just(ASK), 1 => Just(NO)]
}

prop_compose! {
    fn case(name: usize)(
        verdicts in prop::array::uniform4(verdict()),
        cost in 8e3..26e3f64, hours in 50.0..900.0f64, room in -5.0..200.0f64,
        npv in prop::option::of(-9e3..9e3f64), stated in prop::bool::weighted(0.9),
    ) -> Case {
        let mut case = Case::new(&format!("offer-{name}"), verdicts, cost);
        case.hours = hours;
        case.price_stated = stated;
        for fit in &mut case.fits {
            fit.margins[0].value = Length::mm(room).to_mm();
        }
        match npv {
            Some(npv) => case.worth(npv),
            None => case,
        }
    }
}

fn cases() -> impl Strategy<Value = Vec<Case>> {
    (1usize..6).prop_flat_map(|n| (0..n).map(case).collect::<Vec<_>>())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn adding_an_offer_never_makes_the_decision_worse(
        cases in cases(), capability: bool,
    ) {
        let aim = if capability { Aim::Capability } else { Aim::Value };
        let before = run(aim, &cases[1..]);
        let after = run(aim, &cases);
        // Either the choice stays, or it is the added one, which is then preferred to the old.
        if after.offer != before.offer {
            prop_assert_eq!(after.offer.as_ref(), Some(&cases[0].offer));
            if let Some(old) = &before.offer {
                let old = cases.iter().find(|c| c.offer == *old).unwrap().clone();
                let pair = run(aim, &[old, cases[0].clone()]);
                prop_assert_eq!(pair.offer, after.offer);
            }
        }
    }

    #[test]
    fn order_does_not_matter_and_chances_are_shares(cases in cases(), capability: bool) {
        let aim = if capability { Aim::Capability } else { Aim::Value };
        let decision = run(aim, &cases);
        let mut turned = cases.clone();
        turned.reverse();
        prop_assert_eq!(&decision, &run(aim, &turned));
        let of_offers: f64 = decision.alternatives.iter().map(|a| a.chance_best).sum();
        prop_assert!((0.0..=1.0).contains(&decision.chance_best));
        prop_assert!(of_offers + decision.chance_best <= 1.0 + 1e-9);
        if let Some(chosen) = &decision.offer {
            let case = cases.iter().find(|c| c.offer == *chosen).unwrap();
            prop_assert!(case.all_in.over_budget_chance <= 0.2 + 1e-9);
            prop_assert!(case.fits[..2].iter().all(|f| matches!(f.verdict, YES | MORE)));
        }
    }
}

/// The worths of all questions, with what is believed of the answers.
fn learned(aim: Aim, cases: &[Case], priors: &BTreeMap<String, Value<Number>>) -> Vec<Question> {
    let wishes = wishes();
    let situation = situation(aim, &wishes);
    let candidates: Vec<_> = cases.iter().map(Case::candidate).collect();
    let mut list = questions(&situation, &candidates);
    let beliefs = Beliefs {
        priors,
        costs: &[],
        seed: 3,
    };
    learn(&situation, &candidates, &beliefs, &mut list);
    list
}

/// A case with enough draws, all within the budget.
fn drawn(name: &str, verdicts: [Verdict; 4]) -> Case {
    let mut case = Case::new(name, verdicts, 9e3);
    let draws = 4 * DRAW_BLOCK as usize;
    case.all_in.totals = vec![9e3; draws];
    case.all_in.budgets = vec![20e3; draws];
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
