//! Hours that differ from draw to draw.

use super::case::{Case, YES, run};
use engine::entered::Aim;

/// Two offers alike but in hours and cost. In every draw hours are compared in steps of a quarter, then
/// room, then cost: counted draw by draw here.
#[test]
fn the_chance_to_be_best_follows_the_hours_of_each_draw() {
    let mut quick = Case::new("quick", [YES; 4], 12e3);
    let mut cheap = Case::new("cheap", [YES; 4], 9e3);
    (quick.hours, cheap.hours) = (300.0, 420.0);
    let decision = run(Aim::Capability, &[quick.clone(), cheap.clone()]);
    assert_eq!(decision.offer.as_ref(), Some(&quick.offer));
    let sure = decision.chance_best;

    let factors = |k: usize| -> Vec<f64> {
        (0..200)
            .map(|i| 0.5 + ((i * k) % 200) as f64 / 200.0)
            .collect()
    };
    (quick.hour_factors, cheap.hour_factors) = (factors(7), factors(11));
    let decision = run(Aim::Capability, &[quick.clone(), cheap.clone()]);
    let step = |hours: f64| (hours.ln() / 1.25_f64.ln()).floor();
    let keeps = |case: &Case, i: usize| case.all_in.totals[i] <= case.all_in.budgets[i];
    let wins = (0..200)
        .filter(|i| {
            let [own, other] = [&quick, &cheap].map(|c| step(c.hours * c.hour_factors[*i]));
            // Equal steps: the cheaper one.
            keeps(&quick, *i) && (!keeps(&cheap, *i) || own < other)
        })
        .count();
    assert_eq!(decision.offer.as_ref(), Some(&quick.offer));
    assert!((decision.chance_best - wins as f64 / 200.0).abs() < 1e-12);
    assert!(decision.chance_best < sure && wins > 50, "{wins}");

    // Factors of one are no factors.
    for case in [&mut quick, &mut cheap] {
        case.hour_factors = vec![1.0; 200];
    }
    assert_eq!(run(Aim::Capability, &[quick, cheap]).chance_best, sure);
}
