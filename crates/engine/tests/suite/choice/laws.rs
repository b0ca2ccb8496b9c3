//! Laws of the decision.

use super::case::{Case, MORE, YES, cases, run};
use engine::entered::Aim;
use proptest::prelude::*;
use units::Money;

/// What a decision under the aim "value" is worth; buying nothing is worth nothing.
fn value(cases: &[Case]) -> Money {
    run(Aim::Value, cases).value.unwrap_or(Money::ZERO)
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
            // Under the aim "value" the over-run has its price and rules nothing out.
            prop_assert!(!capability || case.all_in.over_budget_chance <= 0.2 + 1e-9);
            prop_assert!(case.fits[..2].iter().all(|f| matches!(f.verdict, YES | MORE)));
        }
    }

    #[test]
    fn a_bigger_budget_or_another_offer_never_lowers_the_value(
        cases in cases(), more in 0.0..20e3f64,
    ) {
        let own = value(&cases);
        let mut richer = cases.clone();
        for case in &mut richer {
            for budget in std::sync::Arc::make_mut(&mut case.all_in.budgets) {
                *budget += more;
            }
        }
        prop_assert!(value(&richer) >= own);
        prop_assert!(value(&cases[1..]) <= own);
    }
}
