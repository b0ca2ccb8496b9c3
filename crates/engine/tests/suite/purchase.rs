//! The exact purchase against a general-purpose solver given the whole problem at once, and laws.

use engine::choice::purchase::{MachineChoice, Making, PartNeeds, Purchase, add_up, most_valuable};
use proptest::prelude::*;
use serde_json::Value as Json;

fn purchase(json: &Json) -> Purchase {
    let of = |json: &Json, key: &str| json[key].as_f64().unwrap();
    let list = |key: &str| json[key].as_array().unwrap().iter();
    Purchase {
        machines: list("machines")
            .map(|m| MachineChoice {
                offer: of(m, "offer") as usize,
                cost: of(m, "cost"),
                spent: of(m, "spent"),
                makes: m["makes"]
                    .as_array()
                    .unwrap()
                    .iter()
                    .map(|making| {
                        (!making.is_null()).then(|| Making {
                            worth: of(making, "worth"),
                            hours: of(making, "hours"),
                        })
                    })
                    .collect(),
            })
            .collect(),
        parts: list("parts")
            .map(|p| PartNeeds {
                must: p["must"].as_bool().unwrap(),
                tools: p["tools"]
                    .as_array()
                    .unwrap()
                    .iter()
                    .map(|t| t.as_u64().unwrap() as usize)
                    .collect(),
            })
            .collect(),
        tools: list("tools").map(|t| t.as_f64().unwrap()).collect(),
        hours: of(json, "hours"),
        budget: of(json, "budget"),
        over_rate: of(json, "over_rate"),
        most_machines: of(json, "most_machines") as usize,
    }
}

fn recorded() -> Vec<(Purchase, Option<f64>)> {
    let cases: Json = serde_json::from_str(include_str!("../data/purchases.json")).unwrap();
    let cases = cases.as_array().unwrap();
    cases
        .iter()
        .map(|case| (purchase(case), case["optimum"].as_f64()))
        .collect()
}

#[test]
fn two_hundred_purchases_have_the_recorded_optimum() {
    let cases = recorded();
    assert_eq!(cases.len(), 200);
    for (at, (purchase, optimum)) in cases.iter().enumerate() {
        let found = most_valuable(purchase);
        match (found, optimum) {
            (None, None) => {}
            (Some(found), Some(optimum)) => {
                // The recorded solver's own feasibility tolerance is 1e-6 of sums up to 1e5.
                assert!(
                    (found.worth - optimum).abs() < 0.2,
                    "case {at}: {} instead of {optimum}",
                    found.worth
                );
                assert!(found.proven, "case {at}");
                assert!((add_up(purchase, &found).unwrap() - found.worth).abs() < 1e-9);
            }
            other => panic!("case {at}: {other:?}"),
        }
    }
}

#[test]
fn published_choices_of_projects() {
    // Projects as offers of one part each, any number of them, a hard budget: a budget that may be
    // exceeded at a price far above any worth. Data of D. Trick's lecture (mat.tepper.cmu.edu,
    // orclass/integer/node4): worths 8, 11, 6, 4, costs 5, 7, 4, 3, budget 14: 21 with items 2, 3, 4.
    // Here tools carry the costs and one machine makes everything.
    let item = |worth| Some(Making { worth, hours: 0.0 });
    let choose = |worths: &[f64], costs: &[f64], budget| {
        let purchase = Purchase {
            machines: vec![MachineChoice {
                offer: 0,
                cost: 0.0,
                spent: 0.0,
                makes: worths.iter().zip(costs).map(|(w, c)| item(w + c)).collect(),
            }],
            parts: (0..costs.len())
                .map(|tool| PartNeeds {
                    must: false,
                    tools: vec![tool],
                })
                .collect(),
            tools: costs.to_vec(),
            hours: 1.0,
            budget,
            over_rate: 100.0,
            most_machines: 1,
        };
        most_valuable(&purchase).unwrap()
    };
    let found = choose(&[8.0, 11.0, 6.0, 4.0], &[5.0, 7.0, 4.0, 3.0], 14.0);
    assert!((found.worth - 21.0).abs() < 1e-9);
    let made: Vec<bool> = found.made_on.iter().map(Option::is_some).collect();
    assert_eq!(made, [false, true, true, true]);
    // Winston and Venkataramanan 2003: worths 16, 22, 12, 8, same costs: 42.
    assert!(
        (choose(&[16.0, 22.0, 12.0, 8.0], &[5.0, 7.0, 4.0, 3.0], 14.0).worth - 42.0).abs() < 1e-9
    );
    // solutionspile.com pa871: costs 4, 5, 3, 1, 4, worths 2, 3, 4, 1, 3, budget 11: 9 by
    // enumeration, with 1, 3 and 5.
    let found = choose(&[2.0, 3.0, 4.0, 1.0, 3.0], &[4.0, 5.0, 3.0, 1.0, 4.0], 11.0);
    assert!((found.worth - 9.0).abs() < 1e-9);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn more_budget_hours_or_offers_never_lower_the_worth(
        case in 0usize..200, budget in 0.0..3e4f64, hours in 0.0..500.0f64, left in 0usize..8,
    ) {
        let (purchase, _) = &recorded()[case];
        let worth = |p: &Purchase| most_valuable(p).map_or(f64::NEG_INFINITY, |b| b.worth);
        let mut fewer = purchase.clone();
        if fewer.machines.len() > 1 {
            fewer.machines.remove(left % purchase.machines.len());
        }
        let mut richer = purchase.clone();
        richer.budget += budget;
        let mut longer = purchase.clone();
        longer.hours += hours;
        let own = worth(purchase);
        prop_assert!(worth(&fewer) <= own + 1e-6);
        prop_assert!(own <= worth(&richer) + 1e-6);
        prop_assert!(own <= worth(&longer) + 1e-6);
    }
}
