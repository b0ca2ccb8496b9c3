//! Money over time, triangles and percentiles against general-purpose libraries.

use engine::money::finance::cash_flow::{Irr, irr, npv};
use engine::money::finance::loan::{Lease, balance, payment};
use engine::money::percentile;
use serde_json::Value as Json;
use units::{DRAW_BLOCK, Number, Quantity, Spread, Stream, Value};

fn numbers(json: &Json) -> Vec<f64> {
    let list = json.as_array().unwrap();
    list.iter().map(|v| v.as_f64().unwrap()).collect()
}

fn recorded() -> Json {
    serde_json::from_str(include_str!("../data/finance.json")).unwrap()
}

fn near(found: f64, expected: f64) {
    assert!(
        (found - expected).abs() <= 1e-9 * expected.abs().max(1.0),
        "{found} instead of {expected}"
    );
}

#[test]
fn present_values_and_rates_of_return_agree_with_the_recorded_library() {
    let recorded = recorded();
    let cases = recorded["flows"].as_array().unwrap();
    let mut with_rate = 0;
    for case in cases {
        let flows = numbers(&case["flows"]);
        near(
            npv(case["rate"].as_f64().unwrap(), &flows),
            case["npv"].as_f64().unwrap(),
        );
        // The library gives one rate, ours gives all: theirs must be among them.
        let Some(theirs) = case["irr"].as_f64() else {
            continue;
        };
        with_rate += 1;
        let rates = match irr(&flows) {
            Irr::None | Irr::Undecided => Vec::new(),
            Irr::One(rate) => vec![rate],
            Irr::Several(rates) => rates,
        };
        assert!(
            rates.iter().any(|r| (r - theirs).abs() < 1e-7),
            "{rates:?} without {theirs}"
        );
    }
    assert!(with_rate > cases.len() / 2);
}

#[test]
fn loans_agree_with_the_recorded_library() {
    let recorded = recorded();
    for case in recorded["loans"].as_array().unwrap() {
        let of = |key: &str| case[key].as_f64().unwrap();
        let periods = of("periods") as u32;
        let (principal, rate, residual) = (of("principal"), of("rate"), of("balloon"));
        let lease = Lease {
            financed: principal,
            residual,
            rate,
            periods,
            in_advance: false,
        };
        near(lease.payment(), of("payment"));
        // Without the residual, what is owed is the library's future value of the plain loan.
        let plain = payment(principal, rate, periods);
        let after = of("after") as u32;
        let owed = balance(principal, rate, periods, after);
        let kept = residual * (1.0 + rate).powi(-((periods - after) as i32));
        let spread = balance(
            principal - residual * (1.0 + rate).powi(-(periods as i32)),
            rate,
            periods,
            after,
        );
        near(spread + kept, of("owed"));
        assert!(owed >= -1e-6 && plain >= lease.payment() - 1e-9);
    }
}

#[test]
fn triangles_and_percentiles_agree_with_the_recorded_libraries() {
    let recorded = recorded();
    for case in recorded["triangles"].as_array().unwrap() {
        let of = |key: &str| case[key].as_f64().unwrap();
        let [low, likely, high] = ["low", "likely", "high"].map(|k| Number::of(of(k)));
        let spread = Spread::LowLikelyHigh { low, likely, high };
        near(spread.quantile(of("share"), likely).base(), of("quantile"));
        near(spread.mean(likely).base(), of("mean"));
    }
    for case in recorded["percentiles"].as_array().unwrap() {
        let mut sorted = numbers(&case["numbers"]);
        sorted.sort_by(f64::total_cmp);
        let found = percentile(&sorted, case["share"].as_f64().unwrap()).unwrap();
        near(found, case["value"].as_f64().unwrap());
    }
}

fn spreads() -> Json {
    serde_json::from_str(include_str!("../data/spreads.json")).unwrap()
}

#[test]
fn skewed_wide_narrow_and_one_sided_triangles_agree() {
    let recorded = spreads();
    let cases = recorded["triangles"].as_array().unwrap();
    assert_eq!(cases.len(), 300);
    for case in cases {
        let [low, likely, high] = numbers(&case["ends"])[..].try_into().unwrap();
        // Rounding of the ends themselves, and of their difference where they lie far from nothing.
        let error = 1e-9 * (high - low) + 4.0 * f64::EPSILON * f64::max(low.abs(), high.abs());
        let [l, m, h] = [low, likely, high].map(Number::of);
        let spread = Spread::LowLikelyHigh {
            low: l,
            likely: m,
            high: h,
        };
        let shares = numbers(&case["shares"]);
        let mut many = vec![0.0; shares.len()];
        spread.quantiles(&shares, likely, &mut many);
        for ((share, theirs), many) in shares.iter().zip(numbers(&case["quantiles"])).zip(many) {
            for ours in [spread.quantile(*share, m).base(), many] {
                assert!(
                    (ours - theirs).abs() <= error,
                    "{case}: {share} {ours} {theirs}"
                );
            }
        }
        let mean = spread.mean(m).base();
        assert!(
            (mean - case["mean"].as_f64().unwrap()).abs() <= error,
            "{case}: {mean}"
        );
    }
}

#[test]
fn percentiles_of_heavy_tails_ties_and_single_numbers_agree() {
    let recorded = spreads();
    let cases = recorded["percentiles"].as_array().unwrap();
    assert_eq!(cases.len(), 300);
    for case in cases {
        let mut sorted = numbers(&case["numbers"]);
        sorted.sort_by(f64::total_cmp);
        for (share, theirs) in numbers(&case["shares"])
            .iter()
            .zip(numbers(&case["values"]))
        {
            near(percentile(&sorted, *share).unwrap(), theirs);
        }
    }
}

#[test]
fn ranks_of_members_of_different_strength_go_together_as_recorded() {
    let recorded = spreads();
    for case in recorded["ranks"].as_array().unwrap() {
        let strengths = numbers(&case["strengths"]);
        let draws = 32 * DRAW_BLOCK;
        let ranks = |id: &str, strength: f64| -> Vec<f64> {
            let value = Value::stated(id, Number::of(1.0), units::Place::default());
            let stream = Stream::of(&value.in_group("g", strength));
            (0..draws).map(|i| stream.uniform(9, i) - 0.5).collect()
        };
        let (x, y) = (ranks("a", strengths[0]), ranks("b", strengths[1]));
        let found = 12.0 * x.iter().zip(&y).map(|(x, y)| x * y).sum::<f64>() / draws as f64;
        // Standard errors of both samples: theirs holds 400,000.
        let error = 4.0 * (1.0 / (draws as f64).sqrt() + 1.0 / 400_000.0_f64.sqrt());
        let theirs = case["spearman"].as_f64().unwrap();
        assert!(
            (found - theirs).abs() < error,
            "{strengths:?}: {found} {theirs}"
        );
    }
}

#[test]
fn several_rates_of_return_are_all_found() {
    let recorded = recorded();
    let cases = recorded["several"].as_array().unwrap();
    assert!(cases.len() >= 40);
    for case in cases {
        let flows = numbers(&case["flows"]);
        let theirs = numbers(&case["rates"]);
        let Irr::Several(ours) = irr(&flows) else {
            panic!("{flows:?}: {theirs:?}")
        };
        assert_eq!(ours.len(), theirs.len(), "{flows:?}");
        for (own, recorded) in ours.iter().zip(&theirs) {
            assert!(
                (own - recorded).abs() <= 1e-6 * (1.0 + recorded.abs()),
                "{flows:?}"
            );
        }
    }
}

#[test]
fn ranks_of_a_group_go_together_as_recorded() {
    let recorded = recorded();
    for case in recorded["ranks"].as_array().unwrap() {
        let strength = case["strength"].as_f64().unwrap();
        let [a, b] = ["a", "b"].map(|id| {
            let [low, likely, high] = [0.0, 20.0, 100.0].map(Number::of);
            Value::assumed(id, low, likely, high, "test").in_group("g", strength)
        });
        // Ranks do not see the triangles: those of the uniform numbers count.
        let draws = 32 * DRAW_BLOCK;
        let ranks = |value: &Value<Number>| -> Vec<f64> {
            let stream = Stream::of(value);
            (0..draws).map(|i| stream.uniform(9, i) - 0.5).collect()
        };
        let (x, y) = (ranks(&a), ranks(&b));
        let found = 12.0 * x.iter().zip(&y).map(|(x, y)| x * y).sum::<f64>() / draws as f64;
        let error = 4.0 * (case["error"].as_f64().unwrap() + 1.0 / (draws as f64).sqrt());
        assert!(
            (found - case["spearman"].as_f64().unwrap()).abs() < error,
            "{strength}: {found}"
        );
        // And in closed form.
        let closed = 6.0 / std::f64::consts::PI * (0.5 * strength).asin();
        assert!((found - closed).abs() < 4.0 / (draws as f64).sqrt());
    }
}
