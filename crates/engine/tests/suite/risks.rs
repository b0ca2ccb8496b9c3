//! Costs that come with a chance, warranties, and what a contingency is taken of.

use crate::shop::{class, number, offer, shop};
use engine::entered::{Paid, Risk};
use engine::machine::{Offer, SaleOption};
use engine::money::lines::{Bill, Demanded, of_offer};
use engine::money::{AllIn, Amount, Line, draw, drivers, uncertain};
use proptest::prelude::*;
use units::{DRAW_BLOCK, InputId, Money, Place, Spread, Value};

const DRAWS: u64 = 20 * DRAW_BLOCK;

fn money(id: &str, low: f64, high: f64) -> Value<Money> {
    let [low, high] = [low, high].map(Money::amount);
    Value {
        likely: (low + high) * 0.5,
        spread: Spread::Range { low, high },
        ..Value::stated(id, Money::ZERO, Place::default())
    }
}

fn risk(name: &str, chance: f64, [low, high]: [f64; 2], repair: bool) -> Risk {
    let id = format!("offers/used/risk/{name}");
    Risk {
        name: name.into(),
        chance: number(&format!("{id}/chance"), chance),
        cost: money(&format!("{id}/cost"), low, high),
        repair,
        months: 12.0,
        place: Place::default(),
        id: InputId(id),
    }
}

fn lines(offer: &Offer, shop: &engine::entered::Shop) -> Vec<Line> {
    let bill = Bill {
        shop,
        demanded: &Demanded::default(),
        works: &[],
        year: 2026,
    };
    of_offer(&bill, offer, &class()).lines
}

fn all_in(lines: &[Line]) -> AllIn {
    draw(lines, &number_budget(), 3, DRAWS)
}

fn number_budget() -> Value<Money> {
    Value::stated("budget", Money::amount(87_000.0), Place::default())
}

fn used() -> Offer {
    offer(Some(20_000.0))
}

#[test]
fn two_items_one_sure_and_one_with_a_chance() {
    // Melchiors, Estimating Risk-Based Cost and Contingency, Pharma Manufacturing, 5 September 2012: A costs
    // 70 to 85 thousand, B 10 to 15 with a chance of 80 %: mean 77.5 + 0.8 * 12.5 = 87.5 (uniform; U07).
    let mut offer = used();
    offer.risks = vec![risk("b", 0.8, [10e3, 15e3], false)];
    let with_chance = lines(&offer, &shop(1.0));
    let b = with_chance.iter().find(|l| l.name == "risk: b").unwrap();
    let both = [Line::fixed("a", money("a", 70e3, 85e3), ""), b.clone()];
    let sum = all_in(&both);
    let sd = {
        // Var = 15^2/12 + E[B^2] - E[B]^2, E[B^2] = 0.8 (12.5^2 + 5^2/12), in thousands.
        let a = 15.0_f64.powi(2) / 12.0;
        let b = 0.8 * (12.5_f64.powi(2) + 25.0 / 12.0) - 100.0;
        1e3 * (a + b).sqrt()
    };
    let error = sd / (DRAWS as f64).sqrt();
    assert!((sum.percentiles.mean.to_amount() - 87_500.0).abs() < 3.0 * error);
    // P(sum > 87) = 0.8 P(A + B > 87) + 0: A alone never is; A + B is above 87 unless
    // B < 87 - A, for A below 77: P = 1 - E[(77 - A)+ clipped to 5]/5 = 1 - (2 * 5 + 5 * 2.5)/15/5.
    let chance = 0.8 * (1.0 - (2.0 * 5.0 + 5.0 * 2.5) / 15.0 / 5.0);
    let scatter = (chance * (1.0 - chance) / DRAWS as f64).sqrt();
    assert!(
        (sum.over_budget_chance - chance).abs() < 3.0 * scatter,
        "{} {chance}",
        sum.over_budget_chance
    );
    // The share of the doubt by the thing happening alone: (E[B | happens])^2 p (1 - p) of the variance.
    let found = drivers(&both, 3, DRAWS);
    let happens = found
        .iter()
        .find(|d| d.input.0.ends_with("/happens"))
        .unwrap();
    let share = 1e6 * 12.5_f64.powi(2) * 0.16 / (sd * sd);
    // One class of 32 holds both cases; the rest is the error of a first-order index.
    assert!(
        (happens.variance_share - share).abs() < 0.04,
        "{} {share}",
        happens.variance_share
    );
    assert_eq!(happens.at_high - happens.at_low, Money::amount(12_500.0));
    assert!(uncertain(&both).iter().any(|u| u.value.id == happens.input));
    let line = sum.lines.iter().find(|l| l.name == "risk: b").unwrap();
    assert_eq!((line.chance, line.origin), (Some(0.8), "stated"));
}

#[test]
fn a_small_chance_moves_the_upper_end_and_not_the_middle() {
    let mut offer = used();
    let before = all_in(&lines(&offer, &shop(1.0)));
    offer.risks = vec![risk("spindle rebuild", 0.05, [40e3, 40e3 + 1.0], true)];
    let after = all_in(&lines(&offer, &shop(1.0)));
    let more = |of: fn(&AllIn) -> Money| (of(&after) - of(&before)).to_amount();
    assert!(more(|a| a.percentiles.p50) < 400.0);
    // 5 % of 40,000 and what a contingency of about 5.7 % takes of it.
    assert!((more(|a| a.percentiles.mean) - 2000.0 * 1.0567).abs() < 60.0);
    let found = drivers(&lines(&offer, &shop(1.0)), 3, DRAWS);
    assert!(
        found[0].input.0.contains("spindle rebuild"),
        "{:?}",
        found[0]
    );
}

#[test]
fn a_warranty_takes_what_falls_within_its_months() {
    let left =
        |months: Option<f64>, repair: bool| risk("x", 0.3, [1.0, 2.0], repair).chance_left(months);
    assert_eq!(left(None, true), 0.3);
    assert!((left(Some(3.0), true) - 0.225).abs() < 1e-12);
    assert_eq!(left(Some(24.0), true), 0.0);
    assert_eq!(left(Some(24.0), false), 0.3);

    let mut offer = used();
    offer.risks = vec![risk("spindle rebuild", 0.3, [4e3, 7e3], true)];
    let named = |offer: &Offer, name: &str| {
        lines(offer, &shop(1.0))
            .into_iter()
            .find(|l| l.name == name)
    };
    let chance = |offer: &Offer| {
        named(offer, "risk: spindle rebuild")
            .unwrap()
            .chance()
            .unwrap()
    };
    // Nobody says anything of a warranty: there is no line.
    assert!(
        !lines(&offer, &shop(1.0))
            .iter()
            .any(|l| l.name.starts_with("warranty"))
    );
    assert_eq!(chance(&offer), 0.3);
    // In the price: a line of nothing that says whose word it is.
    offer.terms.warranty_months = Some(number("offers/used/warranty", 6.0));
    let own = named(&offer, "warranty").unwrap();
    assert!(matches!(&own.amount, Amount::Fixed(v) if v.likely == Money::ZERO));
    assert_eq!(own.origin_word(), "stated");
    assert!((chance(&offer) - 0.15).abs() < 1e-12);
    // Bought: a line at its price, taxed with the purchase, worth nothing to the next owner.
    offer.options = vec![SaleOption {
        name: "a year".into(),
        price: Value::stated(
            "offers/used/option/a year",
            Money::amount(900.0),
            Place::default(),
        ),
        gives: Vec::new(),
        warranty_months: Some(number("offers/used/option/a year/warranty", 12.0)),
        taken: false,
    }];
    assert!((chance(&offer) - 0.15).abs() < 1e-12);
    assert!(named(&offer, "warranty: a year").is_none());
    offer.options[0].taken = true;
    assert_eq!(chance(&offer), 0.0);
    let reserve = named(&offer, "repair reserve").unwrap();
    let sum = all_in(&[reserve, Line::fixed(Line::PRICE, number_budget(), "")]);
    assert_eq!(sum.lines[0].mean, Money::ZERO);
    let with = all_in(&lines(&offer, &shop(1.0)));
    let tax = |a: &AllIn| a.lines.iter().find(|l| l.name == "tax").unwrap().likely;
    offer.options.clear();
    let without = all_in(&lines(&offer, &shop(1.0)));
    assert!(((tax(&with) - tax(&without)).to_amount() - 0.07 * 900.0).abs() < 1e-9);
}

#[test]
fn a_contingency_is_a_share_of_what_is_still_an_estimate() {
    let share = 0.1;
    let contingency = Line::share(
        "contingency",
        engine::money::ShareOf::Uncertain,
        number("c", share),
        "",
    );
    let price = Line::fixed(Line::PRICE, money("p", 20e3, 30e3), "");
    let quoted = Line::fixed(
        "freight",
        Value::stated("f", Money::amount(1500.0), Place::default()),
        "",
    );
    let open = Line::fixed("tooling", money("t", 1000.0, 3000.0), "");
    let tax = Line::share(
        "tax",
        engine::money::ShareOf::Purchase,
        number("tax", 0.07),
        "",
    );
    let all = all_in(&[price, quoted, open, tax, contingency]);
    let line = all.lines.iter().find(|l| l.name == "contingency").unwrap();
    assert!(
        (line.likely.to_amount() - share * 2000.0).abs() < 1e-9,
        "{line:?}"
    );

    // What the ledger says is paid takes its share with it.
    let offer = used();
    let mut shop = shop(1.0);
    let likely = |shop: &engine::entered::Shop, name: &str| {
        let all = all_in(&lines(&offer, shop));
        all.lines
            .iter()
            .filter(|l| l.name.starts_with(name))
            .map(|l| l.likely.to_amount())
            .sum::<f64>()
    };
    let (before, freight) = (likely(&shop, "contingency"), likely(&shop, "freight"));
    shop.paid = vec![Paid {
        on: jiff::civil::date(2026, 11, 20),
        line: "freight".into(),
        amount: Money::amount(freight),
        offer: None,
        place: Place::default(),
    }];
    let after = likely(&shop, "contingency");
    assert!(
        (before - after - 0.05 * freight).abs() < 1e-6,
        "{before} {after} {freight}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_likelier_or_a_further_risk_never_lowers_a_cost(
        chance in 0.01..0.98_f64, more in 0.0..0.02_f64, cost in 10.0..20_000.0_f64, months in 0.0..30.0_f64,
    ) {
        let mut offer = used();
        offer.terms.warranty_months = Some(number("offers/used/warranty", months));
        let none = all_in(&lines(&offer, &shop(1.0)));
        offer.risks = vec![risk("x", chance, [cost, 2.0 * cost], true)];
        let one = all_in(&lines(&offer, &shop(1.0)));
        offer.risks = vec![risk("x", chance + more, [cost, 2.0 * cost], true)];
        let likelier = all_in(&lines(&offer, &shop(1.0)));
        let mut longer = offer.clone();
        longer.terms.warranty_months = Some(number("offers/used/warranty", months + 2.0));
        let longer = all_in(&lines(&longer, &shop(1.0)));
        for i in 0..none.totals.len() {
            prop_assert!(none.totals[i] <= one.totals[i] + 1e-9);
            prop_assert!(one.totals[i] <= likelier.totals[i] + 1e-9);
            prop_assert!(longer.totals[i] <= likelier.totals[i] + 1e-9);
        }
    }
}
