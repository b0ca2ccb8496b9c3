//! Cash over time and capability against money: texts stay on the sheet and apart, in every theme and
//! unit.

use super::tests::check_well_formed;
use super::*;
use crate::fit::{Capability, Fit, Margin, Verdict};
use crate::ids::{OfferId, PartId};
use crate::money::{CashYear, Financing, Percentiles};
use units::{Currency, Money};

fn names(offer: &dyn Fn(&OfferId) -> String) -> Names<'_> {
    Names {
        currency: Currency::USD,
        offer,
    }
}

fn financing(years: usize, scale: f64, cost_alone: bool) -> Financing {
    let year = |k: usize, sold: bool| {
        let middle = scale * (-40.0 + 9.0 * k as f64 + if sold { 12.0 } else { 0.0 });
        CashYear {
            year: k as f64,
            sold,
            low: Money::amount(middle - 0.2 * scale * (k as f64 + 5.0)),
            likely: Money::amount(middle),
            high: Money::amount(middle + 0.3 * scale * (k as f64 + 5.0)),
        }
    };
    let mut cash: Vec<CashYear> = (0..=years).map(|k| year(k, false)).collect();
    cash.push(year(years, true));
    let ends = [(years / 2).max(1), years, 2 * years];
    Financing {
        way: "cash",
        payments: 0,
        own_money: Percentiles::default(),
        borrowed: None,
        payment_a_month: None,
        charges: None,
        resale: Percentiles::default(),
        cost: Percentiles::default(),
        handed_back_chance: None,
        cost_alone,
        written_off: None,
        cash,
        cash_months: (0..=2 * years).map(|k| year(k, false)).collect(),
        horizons: ends.map(|k| year(k, true)).to_vec(),
    }
}

fn fits(made: usize, of: usize) -> Vec<Fit> {
    (0..of)
        .map(|k| Fit {
            part: PartId::new(format!("part-{k}")),
            offer: OfferId::new("x"),
            verdict: if k < made {
                Verdict::Fits
            } else {
                Verdict::CannotSay
            },
            margins: [
                (Capability::TravelX, 123.4 - k as f64),
                (Capability::NoseLow, -44.0),
                (Capability::TableLoad, 1234.0),
                (Capability::Power, 5.5),
            ]
            .map(|(capability, value)| Margin { capability, value })
            .to_vec(),
            setups: 2,
            clampings: 2,
            limits: Vec::new(),
            assumed: Vec::new(),
            ask: Vec::new(),
            setups_on: Vec::new(),
            hand_changes: 0,
            tools: 5,
            stands_for: Vec::new(),
        })
        .collect()
}

fn sum(middle: f64) -> Percentiles {
    let [p10, p50, p80, p90] = [0.8, 1.0, 1.2, 1.35].map(|k| Money::amount(k * middle));
    Percentiles {
        p10,
        p50,
        p80,
        p90,
        mean: p50,
    }
}

fn check(scene: &Scene) {
    for theme in [Theme::Auto, Theme::Light, Theme::Dark] {
        check_well_formed(&svg(scene, theme));
    }
    let boxes = scene.text_boxes();
    for (i, (text, own)) in boxes.iter().enumerate() {
        assert!(
            own.min[0] >= 0.0 && own.max[0] <= scene.width_mm && own.max[1] <= scene.height_mm,
            "{}: '{text}' runs off the sheet: {own:?}",
            scene.id
        );
        for (other, theirs) in &boxes[i + 1..] {
            assert!(
                !own.overlaps(theirs),
                "{}: '{text}' over '{other}'",
                scene.id
            );
        }
    }
}

#[test]
fn cash_over_time_is_readable() {
    let name = |o: &OfferId| o.0.clone();
    for years in [1, 4, 7, 20, 50] {
        for scale in [0.02, 900.0, 1.0e6] {
            for cost_alone in [true, false] {
                let financing = financing(years, scale, cost_alone);
                check(&cash_over_time("Used centre", &financing, &names(&name)));
            }
        }
    }
}

#[test]
fn capability_against_money_is_readable() {
    let name = |o: &OfferId| o.0.clone();
    let all: Vec<Vec<Fit>> = (0..14).map(|k| fits(k % 5, 8)).collect();
    let points: Vec<CapabilityPoint<'_>> = all
        .iter()
        .enumerate()
        .map(|(k, fits)| CapabilityPoint {
            name: format!("An offer with a rather long name, number {k}"),
            all_in: sum(9000.0 + 4000.0 * k as f64),
            fits,
            chosen: k == 3,
        })
        .collect();
    for count in [0, 1, 5, 14] {
        for us in [true, false] {
            let budget = Money::amount(30e3);
            let scene = capability_money(&points[..count], budget, us, &names(&name));
            check(&scene);
        }
    }
}
