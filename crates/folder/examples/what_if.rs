//! Times what-ifs on the demo (one number changed, the study run again with its memory) and the
//! exact choice by value among 60 offers with 8 option sets each for 60 parts, through the study.
//!
//! `cargo run --release -p folder --example what_if`
#![allow(clippy::print_stdout, reason = "an example prints its result")]

use engine::entered::Aim;
use engine::ids::{OfferId, PartId};
use engine::machine::SaleOption;
use engine::study::{Answer, Memo, Settings, run, run_again};
use folder::Study;
use std::sync::Mutex;
use std::time::Instant;
use units::{Money, Number, Progress, Spread, Value, Watch};

/// Runs with a memory; milliseconds through the decision, and of everything.
fn timed(study: &Study, settings: &Settings, memo: &Memo) -> Option<(f64, f64, Answer)> {
    let start = Instant::now();
    let decided = Mutex::new(None);
    let report = |progress: Progress<'_>| {
        if progress.stage == "ways out"
            && let Ok(mut at) = decided.lock()
        {
            *at = Some(start.elapsed().as_secs_f64() * 1e3);
        }
    };
    let watch = Watch::new(None, Some(&report));
    let answer = run_again(&study.inputs(), settings, memo, watch).ok()?;
    let all = start.elapsed().as_secs_f64() * 1e3;
    let decided = decided.lock().ok()?.unwrap_or(all);
    Some((decided, all, answer))
}

fn what_ifs(demo: &Study, settings: &Settings) -> Option<()> {
    let memo = Memo::default();
    let (decided, all, _) = timed(demo, settings, &memo)?;
    println!("first run: decided {decided:.0} ms, all {all:.0} ms");
    let mut changed = demo.clone();
    let ask = |what: &str, study: &Study| {
        let (decided, all, answer) = timed(study, settings, &memo)?;
        // What a memory gives must be what a run without one gives.
        let fresh = run(&study.inputs(), settings, Watch::NOBODY).ok()?;
        let same = fresh.decision == answer.decision && fresh.questions == answer.questions;
        println!("{what}: decided {decided:.0} ms, all {all:.0} ms, as without memory: {same}");
        Some(())
    };
    ask("nothing", demo)?;
    if let Some(offer) = changed.offers.first_mut()
        && let Some(price) = &mut offer.properties.price
    {
        price.likely = price.likely * 1.1;
    }
    ask("a price", &changed)?;
    if let Some(offer) = changed.offers.get_mut(1)
        && let Some(nose) = &mut offer.properties.nose_to_table_max
    {
        nose.likely = nose.likely * 1.05;
    }
    ask("a nose height", &changed)?;
    changed.shop.budget.likely = changed.shop.budget.likely * 1.1;
    ask("the budget", &changed)?;
    changed.shop.hour_cost.likely = changed.shop.hour_cost.likely * 1.1;
    ask("the cost of an hour", &changed)?;
    if let Some(part) = changed.parts.first_mut() {
        part.per_year.likely = part.per_year.likely * 1.5;
    }
    ask("a quantity", &changed)?;
    // Two numbers of one machine become ranges: every draw asks its fits anew.
    if let Some(offer) = changed.offers.get_mut(2) {
        let own = &mut offer.properties;
        let lengths = [&mut own.nose_to_table_max, &mut own.positioning_accuracy];
        for length in lengths.into_iter().flatten() {
            length.spread = Spread::Range {
                low: length.likely * 0.93,
                high: length.likely * 1.07,
            };
        }
    }
    ask("two numbers as ranges", &changed)
}

/// The demo grown: its offers with three open options each, its parts with prices.
fn grown(demo: &Study, offers: usize, parts: usize) -> Study {
    let mut study = demo.clone();
    study.shop.aim = Aim::Value;
    let place = units::Place::default();
    study.parts = (0..parts)
        .map(|n| {
            let mut part = demo.parts[n % demo.parts.len()].clone();
            part.id = PartId::new(format!("part-{n}"));
            part.must_make = false;
            let by = 0.3 + 0.1 * (n * 7 % 11) as f64;
            part.per_year = Value::stated(
                format!("parts/part-{n}/quantity"),
                Number::of(part.per_year.likely.to_number() * by),
                place.clone(),
            );
            part.outside_price = Some(Value::stated(
                format!("parts/part-{n}/price"),
                Money::amount(25.0 + (n * 37 % 90) as f64),
                place.clone(),
            ));
            part
        })
        .collect();
    study.offers = (0..offers)
        .map(|n| {
            let mut offer = demo.offers[n % demo.offers.len()].clone();
            offer.id = OfferId::new(format!("offer-{n}"));
            if let Some(price) = &mut offer.properties.price {
                price.likely = price.likely * (0.8 + 0.01 * n as f64);
            }
            offer.options = (0..3)
                .map(|o| SaleOption {
                    name: format!("option {o}"),
                    price: Value::stated(
                        format!("offers/offer-{n}/option/{o}"),
                        Money::amount(300.0 + 400.0 * o as f64),
                        place.clone(),
                    ),
                    gives: Vec::new(),
                    warranty_months: None,
                    taken: false,
                })
                .collect();
            offer
        })
        .collect();
    study
}

fn main() {
    let Ok(demo) = folder::demo(Watch::NOBODY) else {
        println!("the demo cannot be read");
        return;
    };
    let settings = Settings::new(2026);
    if what_ifs(&demo, &settings).is_none() {
        println!("cancelled");
    }
    for (offers, parts) in [(15, 15), (30, 30), (60, 60)] {
        let study = grown(&demo, offers, parts);
        let memo = Memo::default();
        if let Some((decided, all, answer)) = timed(&study, &settings, &memo) {
            println!(
                "{offers} offers x 8 option sets x {parts} parts: decided {:.1} s, all {:.1} s, \
                 proven {}, makes {} parts",
                decided / 1e3,
                all / 1e3,
                answer.decision.proven,
                answer.decision.make.len(),
            );
        }
    }
}
