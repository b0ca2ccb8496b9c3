//! Running cost and value.

use crate::shop::{band, class, number, offer, shop, stated};
use engine::cycle::{Bound, PartTime, TimeParts};
use engine::entered::{Part, Shape};
use engine::ids::{MaterialId, OfferId, PartId};
use engine::machine::{Machine, Properties};
use engine::money::{Horizon, Line, PartMoney, Running, draw, per_year, saved, worth};
use proptest::prelude::*;
use units::{Length, Place, Time, Value};

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
        per_year: Time::h(60.0),
        first_year: Time::h(70.0),
        attended_per_year: Time::h(24.0),
        started_per_year: 80.0,
        batches_per_year: 4.0,
        tool_changes_per_year: 800.0,
        per_loading: vec![1],
        bound: Bound::Estimate,
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
        }],
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
                time: Some(&time)
            }],
            1.0
        )
        .is_none()
    );
    assert!(
        saved(
            &[PartMoney {
                part: &priced,
                time: None
            }],
            1.0
        )
        .is_none()
    );
    assert!(
        saved(
            &[PartMoney {
                part: &priced,
                time: Some(&time)
            }],
            1.0
        )
        .is_some()
    );
}

#[test]
fn a_certain_purchase_has_the_closed_form_value() {
    // 9,000 once, 2,000 a year net of nothing, 5 years at 6 %: -9,000 + 2,000 (1 - 1.06^-5) / 0.06.
    let shop = shop(30e3);
    let once = [Line::fixed("kit", stated("kit", 9000.0), "")];
    let income = [Line::fixed("income", stated("income", 2000.0), "")];
    let found = worth(
        &once,
        &[],
        &income,
        Horizon {
            shop: &shop,
            draws: 20,
        },
    );
    let closed = -9000.0 + 2000.0 * (1.0 - 1.06_f64.powi(-5)) / 0.06;
    assert!((found.npv.p50.to_amount() - closed).abs() < 1e-8);
    assert_eq!(
        (found.payback.p50, found.payback.never_chance),
        (Some(4.5), 0.0)
    );
    assert_eq!(found.gain_chance, 0.0);
    // With a machine of 9,000 its resale after five years comes back: 82.5 % x 0.9^4.
    let machine = [Line::fixed(Line::PRICE, stated("price", 9000.0), "")];
    let found = worth(
        &machine,
        &[],
        &income,
        Horizon {
            shop: &shop,
            draws: 20,
        },
    );
    let resale = 9000.0 * 0.825 * 0.9_f64.powi(4) * 1.06_f64.powi(-5);
    assert!((found.npv.p50.to_amount() - closed - resale).abs() < 1e-8);
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
            worth(
                &[Line::fixed("kit", band("kit", [0.8 * once, once, 1.5 * once]), "")],
                &[Line::fixed("labour", band("labour", [0.5 * yearly, yearly, 2.0 * yearly]), "")],
                &[Line::fixed("income", stated("income", income), "")],
                Horizon { shop: &shop, draws: 100 },
            )
        };
        let (base, dear, costly) = (of(once, yearly), of(once + more, yearly), of(once, yearly + more));
        for worse in [dear, costly] {
            prop_assert!(worse.npv.p10 <= base.npv.p10 && worse.npv.p90 <= base.npv.p90);
            prop_assert!(worse.payback.never_chance >= base.payback.never_chance);
        }
    }
}
