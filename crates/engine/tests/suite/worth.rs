//! Running cost and value.

use crate::shop::{band, class, number, offer, shop, stated};
use engine::cutting::Materials;
use engine::cycle::{Bound, PartTime, TimeParts};
use engine::entered::{Loan, Part, Shape, Shop, Way};
use engine::ids::{MaterialId, OfferId, PartId};
use engine::machine::{Condition, Machine, PartOf, Properties, SaleTerms};
use engine::money::finance::loan::rate_of;
use engine::money::{
    Financing, Line, OverYears, PartMoney, RateKind, Running, Worth, draw, over_years, per_year,
    saved,
};
use proptest::prelude::*;
use units::{Length, Money, Number, Place, Time, Value};

fn part(outside: Option<f64>) -> Part {
    Part {
        id: PartId::new("ring"),
        name: "adapter ring".into(),
        place: Place::default(),
        shape: Shape::Block([Length::mm(100.0); 3]),
        material: MaterialId::new("6061"),
        allowance: Value::stated("a", Length::mm(2.0), Place::default()),
        features: Vec::new(),
        holding: None,
        tolerance: None,
        per_year: number("parts/ring/per_year", 200.0),
        batch: number("parts/ring/batch", 20.0),
        outside_price: outside.map(|p| stated("parts/ring/outside", p)),
        stock_price: Some(stated("parts/ring/stock", 4.0)),
        must_make: true,
        want: false,
    }
}

fn time() -> PartTime {
    PartTime {
        part: PartId::new("ring"),
        offer: OfferId::new("used"),
        cycle: TimeParts {
            cut: Time::minutes(12.0),
            ..TimeParts::default()
        },
        attended: Time::minutes(15.0),
        preparation: Time::h(4.0),
        batch_setup: Time::h(1.0),
        first_part: Time::h(6.0),
        per_year: Time::h(80.0),
        first_year: Time::h(90.0),
        attended_per_year: Time::h(60.0),
        started_per_year: 200.0,
        batches_per_year: 10.0,
        tool_changes_per_year: 800.0,
        per_loading: vec![1],
        bound: Bound::Estimate,
        doubt: engine::cycle::HourDoubt::default(),
    }
}

fn running(outside: Option<f64>, capacity: f64) -> Vec<Line> {
    let (shop, offer, class, part, time) = (
        shop(30e3),
        offer(Some(15e3)),
        class(),
        part(outside),
        time(),
    );
    let machine = Machine {
        offer: offer.id.clone(),
        properties: Properties::default(),
        taper: None,
        taper_default: None,
    };
    let price = Line::fixed(Line::PRICE, stated("offers/used/price", 15e3), "");
    per_year(&Running {
        shop: &shop,
        offer: &offer,
        class: &class,
        machine: &machine,
        price: Some(&price),
        parts: &[PartMoney {
            part: &part,
            time: Some(&time),
            demand: None,
        }],
        materials: &Materials::default(),
        capacity,
        year: 2026,
    })
}

#[test]
fn labour_and_stock_follow_pieces_and_batches() {
    // 200 pieces at 15 min and 10 batches at 1 h: 60 h at 30 an hour; 200 pieces of stock at 4.
    let all = draw(&running(None, 1.0), &stated("b", 0.0), 1, 50);
    let of = |name: &str| {
        all.lines
            .iter()
            .find(|l| l.name == name)
            .unwrap()
            .mean
            .to_amount()
    };
    assert!((of("labour") - 1800.0).abs() < 1e-9);
    assert!((of("stock: adapter ring") - 800.0).abs() < 1e-9);
    let half = draw(&running(None, 0.5), &stated("b", 0.0), 1, 50);
    assert!((half.lines[0].mean.to_amount() - 900.0).abs() < 1e-9);
}

#[test]
fn without_an_outside_price_there_is_no_value() {
    let (time, plain, priced) = (time(), part(None), part(Some(40.0)));
    assert!(
        saved(
            &[PartMoney {
                part: &plain,
                time: Some(&time),
                demand: None,
            }],
            1.0
        )
        .is_none()
    );
    assert!(
        saved(
            &[PartMoney {
                part: &priced,
                time: None,
                demand: None,
            }],
            1.0
        )
        .is_none()
    );
    assert!(
        saved(
            &[PartMoney {
                part: &priced,
                time: Some(&time),
                demand: None,
            }],
            1.0
        )
        .is_some()
    );
}

/// A purchase over its years in a shop, of lines without other inputs.
fn over(
    shop: &Shop,
    once: &[Line],
    running: &[Line],
    income: Option<&[Line]>,
) -> (Financing, Option<Worth>) {
    over_years(&OverYears {
        shop,
        offer: "new",
        terms: &SaleTerms {
            resale: Some(stated("offers/new/resale", 0.0)),
            ..SaleTerms::default()
        },
        condition: Condition::New,
        one_off: once,
        running,
        first_year: &[],
        income,
        pieces: 100.0,
        hours: None,
        draws: 60,
    })
}

/// Twice the hours that there are make half of the pieces: half the income, half of what follows them,
/// whole what stands.
#[test]
fn draws_that_take_more_hours_make_fewer_pieces() {
    let shop = shop(30e3);
    let of = |income: f64, follows: f64, hours: Option<(&Value<Number>, f64)>| {
        let income = [line("income", income)];
        let running = [line("stock: ring", follows), line("coolant", 300.0)];
        let terms = SaleTerms {
            resale: Some(stated("offers/new/resale", 0.0)),
            ..SaleTerms::default()
        };
        let (financing, worth) = over_years(&OverYears {
            shop: &shop,
            offer: "new",
            terms: &terms,
            condition: Condition::New,
            one_off: &[line("kit", 9000.0)],
            running: &running,
            first_year: &[],
            income: Some(&income),
            pieces: 100.0,
            hours,
            draws: 2048,
        });
        (financing.cost.p50.to_amount(), worth.unwrap())
    };
    let twice = number("offers/new/hours", 2.0);
    let (cost, full) = of(4000.0, 1000.0, Some((&twice, 1.0)));
    let (half_cost, half) = of(2000.0, 500.0, None);
    assert!((full.draws[7] - half.draws[7]).abs() < 1e-9 && (cost - half_cost).abs() < 1e-9);
    // Hours enough, or no doubt: nothing changes.
    let (_, plain) = of(4000.0, 1000.0, None);
    assert_eq!(of(4000.0, 1000.0, Some((&twice, 2.0))).1.draws, plain.draws);
    // Uniform between 1 and 3 with hours for 1: the mean of 1/f is ln(3) / 2.
    let spread = Value {
        spread: units::Spread::Range {
            low: Number::of(1.0),
            high: Number::of(3.0),
        },
        ..twice
    };
    let (_, drawn) = of(4000.0, 1000.0, Some((&spread, 1.0)));
    let mean = |w: &Worth| w.draws.iter().sum::<f64>() / w.draws.len() as f64;
    let (_, none) = of(0.0, 0.0, None);
    let share = (mean(&drawn) - mean(&none)) / (mean(&plain) - mean(&none));
    // Two blocks with a draw in each of 1024 strata: the steepest stratum spans 2/1024 of the range.
    assert!((share - 3f64.ln() / 2.0).abs() < 2.0 / 1024.0, "{share}");
}

fn line(name: &str, amount: f64) -> Line {
    Line::fixed(name, stated(name, amount), "")
}

#[test]
fn a_certain_purchase_has_the_closed_form_value() {
    // 9,000 once, 2,000 a year in twelve parts, 5 years at 6 % a year compounded: the monthly rate is
    // 1.06^(1/12) - 1 and the present value 2,000 / 12 (1 - 1.06^-5) / that, less 9,000.
    let shop = shop(30e3);
    let month = 1.06_f64.powf(1.0 / 12.0) - 1.0;
    let closed = -9000.0 + 2000.0 / 12.0 * (1.0 - 1.06_f64.powi(-5)) / month;
    let income = [line("income", 2000.0)];
    let (financing, worth) = over(&shop, &[line("kit", 9000.0)], &[], Some(&income));
    let found = worth.unwrap();
    assert!((found.npv.p50.to_amount() - closed).abs() < 1e-8);
    assert!((found.payback.p50.unwrap() - 4.5).abs() < 1e-9 && found.payback.never_chance == 0.0);
    // Discounted it does not come back in five years, as the value says.
    assert_eq!((found.discounted.p50, found.gain_chance), (None, 0.0));
    // The rate at which 9,000 is worth 60 payments of 166.67.
    let rate = rate_of(9000.0, 2000.0 / 12.0, 60).unwrap();
    assert_eq!(found.irr.kind, RateKind::One);
    assert!((found.irr.likely[0] - ((1.0 + rate).powi(12) - 1.0)).abs() < 1e-9);
    // Break-even: what 9,000 spread over the months at that rate is of the income.
    let share = 9000.0 * month / (1.0 - 1.06_f64.powi(-5)) / (2000.0 / 12.0);
    let even = found.break_even.unwrap();
    assert!((even.share.p50.unwrap() - share).abs() < 1e-9);
    assert!((even.pieces_per_year[1].unwrap() - 100.0 * share).abs() < 1e-7);
    assert!(!financing.cost_alone && (financing.cost.p50.to_amount() - 9000.0).abs() < 1e-8);
    let cash: Vec<f64> = financing
        .cash
        .iter()
        .map(|y| y.likely.to_amount())
        .collect();
    for (found, by_hand) in cash
        .iter()
        .zip([-9000.0, -7000.0, -5000.0, -3000.0, -1000.0, 1000.0, 1000.0])
    {
        assert!((found - by_hand).abs() < 1e-8, "{cash:?}");
    }
    assert_eq!(cash.len(), 7);
}

#[test]
fn cash_goes_to_the_longest_horizon_and_is_sold_at_each_end() {
    let mut shop = shop(30e3);
    let [low, likely, high] = [3.0, 5.0, 8.0].map(units::Number::of);
    shop.horizon_years = units::Value::assumed("shop/horizon", low, likely, high, "test");
    let (financing, _) = over_years(&OverYears {
        shop: &shop,
        offer: "x",
        terms: &SaleTerms {
            resale: Some(stated("offers/x/resale", 4000.0)),
            ..SaleTerms::default()
        },
        condition: Condition::Used,
        one_off: &[line(Line::PRICE, 9000.0)],
        running: &[line("labour", 1200.0)],
        first_year: &[],
        income: None,
        pieces: 0.0,
        hours: None,
        draws: 1024,
    });
    // 9,000 at the start and 100 a month, whatever the draw's own horizon is.
    assert_eq!(financing.cash_months.len(), 97);
    for (month, point) in financing.cash_months.iter().enumerate() {
        let by_hand = -9000.0 - 100.0 * month as f64;
        for found in [point.low, point.likely, point.high] {
            assert!(
                (found.to_amount() - by_hand).abs() < 1e-6,
                "{month} {point:?}"
            );
        }
    }
    let sold: Vec<(f64, f64)> = financing
        .horizons
        .iter()
        .map(|y| (y.year, y.likely.to_amount()))
        .collect();
    for (found, (year, by_hand)) in
        sold.iter()
            .zip([(3.0, -8600.0), (5.0, -11_000.0), (8.0, -14_600.0)])
    {
        assert!(
            found.0 == year && (found.1 - by_hand).abs() < 1e-6,
            "{sold:?}"
        );
    }
    assert_eq!((sold.len(), financing.cash.len()), (3, 7));
}

#[test]
fn a_machine_is_sold_at_the_end_along_the_stated_path() {
    let shop = shop(30e3);
    let of = |condition, terms: &SaleTerms| {
        let (financing, _) = over_years(&OverYears {
            shop: &shop,
            offer: "x",
            terms,
            condition,
            one_off: &[line(Line::PRICE, 9000.0)],
            running: &[],
            first_year: &[],
            income: None,
            pieces: 0.0,
            hours: None,
            draws: 2048,
        });
        financing.resale
    };
    let path = SaleTerms::default();
    // 82.5 % x 0.9^4 of the price at the middles; the spread's mean lies near.
    let new = of(Condition::New, &path);
    assert!((new.p50.to_amount() / (9000.0 * 0.825 * 0.9_f64.powi(4)) - 1.0).abs() < 0.01);
    assert!(new.p10 < new.p50 && new.p50 < new.p90);
    assert!(of(Condition::Used, &path).p50 > new.p50);
    let said = SaleTerms {
        resale: Some(stated("offers/x/resale", 4000.0)),
        ..SaleTerms::default()
    };
    assert_eq!(of(Condition::New, &said).p50.to_amount(), 4000.0);
}

#[test]
fn without_income_there_is_cost_alone() {
    let shop = shop(30e3);
    let (financing, worth) = over(
        &shop,
        &[line("kit", 9000.0)],
        &[line("upkeep", 600.0)],
        None,
    );
    assert!(worth.is_none() && financing.cost_alone);
    let month = 1.06_f64.powf(1.0 / 12.0) - 1.0;
    let closed = 9000.0 + 50.0 * (1.0 - 1.06_f64.powi(-5)) / month;
    assert!((financing.cost.p50.to_amount() - closed).abs() < 1e-8);
    // Other income makes a value, but no pieces to break even on.
    let mut earning = shop.clone();
    earning.finance.income_per_year = Some(stated("shop/income", 3000.0));
    let (_, worth) = over(
        &earning,
        &[line("kit", 9000.0)],
        &[line("upkeep", 600.0)],
        None,
    );
    let worth = worth.unwrap();
    assert!(worth.break_even.is_none() && worth.npv.p50 > Money::ZERO);
}

/// A shop that borrows its machine.
fn borrowing(rate: f64, months: u32) -> Shop {
    let mut shop = shop(30e3);
    shop.finance.way = Way::Loan(Box::new(Loan {
        rate: number("shop/finance/rate", rate),
        months,
        down: Some(PartOf::Share(number("shop/finance/down", 0.2))),
    }));
    shop
}

#[test]
fn a_loan_is_told_in_figures() {
    // Park, Fundamentals of Engineering Economics 4e, 3.8: 16,000 at 10.2 % nominal in 36 payments of
    // 517.78; here 20,000 with a fifth paid down.
    let shop = borrowing(0.102, 36);
    let income = [line("income", 9000.0)];
    let once = [line(Line::PRICE, 20_000.0), line("kit", 3000.0)];
    let (financing, _) = over(&shop, &once, &[], Some(&income));
    let of = |p: Option<engine::money::Percentiles>| p.unwrap().p50.to_amount();
    assert!((of(financing.borrowed) - 16_000.0).abs() < 1e-9);
    assert!((of(financing.payment_a_month) - 517.78).abs() < 0.005);
    assert!((of(financing.charges) - (36.0 * 517.78 - 16_000.0)).abs() < 0.2);
    assert!((financing.own_money.p50.to_amount() - 7000.0).abs() < 1e-9);
    assert_eq!((financing.way, financing.payments), ("loan", 36));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn dearer_costs_never_raise_the_value(
        once in 1e3..30e3f64, yearly in 0.0..5e3f64, income in 0.0..9e3f64,
        more in 0.0..5e3f64, seed: u64,
    ) {
        let mut shop = shop(30e3);
        shop.seed = seed;
        let of = |once: f64, yearly: f64| {
            let kit = Line::fixed("kit", band("kit", [0.8 * once, once, 1.5 * once]), "");
            let labour = band("labour", [0.5 * yearly, yearly, 2.0 * yearly]);
            let labour = Line::fixed("labour", labour, "");
            over(&shop, &[kit], &[labour], Some(&[line("income", income)])).1.unwrap()
        };
        let (base, dear, costly) = (of(once, yearly), of(once + more, yearly), of(once, yearly + more));
        for worse in [dear, costly] {
            prop_assert!(worse.npv.p10 <= base.npv.p10 && worse.npv.p90 <= base.npv.p90);
            prop_assert!(worse.payback.never_chance >= base.payback.never_chance);
            let even = |w: &Worth| w.break_even.map_or(0.0, |b| b.share.p50.unwrap_or(f64::INFINITY));
            prop_assert!(even(&worse) >= even(&base) * (1.0 - 1e-9));
        }
    }

    #[test]
    fn a_dearer_loan_never_lowers_the_cost(
        price in 1e3..60e3f64, rate in 0.0..0.2f64, more in 0.0..0.1f64, months in 1u32..120,
    ) {
        let once = [line(Line::PRICE, price)];
        let cost = |rate| over(&borrowing(rate, months), &once, &[], None).0;
        let (cheap, dear) = (cost(rate), cost(rate + more));
        let slack = 1e-9 * price;
        prop_assert!(dear.cost.p50.to_amount() >= cheap.cost.p50.to_amount() - slack);
        prop_assert!(dear.charges.unwrap().p50.to_amount() >= cheap.charges.unwrap().p50.to_amount() - slack);
        // For nothing, and money worth the same at any time, a loan is cash.
        let mut free = borrowing(0.0, months);
        free.discount = number("shop/discount", 0.0);
        let mut paid = shop(30e3);
        paid.discount = number("shop/discount", 0.0);
        let (free, paid) = (over(&free, &once, &[], None).0, over(&paid, &once, &[], None).0);
        prop_assert!((free.cost.p50.to_amount() - paid.cost.p50.to_amount()).abs() < slack);
    }
}
