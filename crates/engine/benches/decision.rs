//! Times a million draws of a purchase's cost, and the exact choice among 60 offers with 8 option
//! sets each for 60 parts.
//!
//! `cargo bench -p engine --bench decision`; `benches/draws.py` runs it beside numpy.
#![allow(clippy::print_stdout, reason = "a bench prints its result")]

use engine::choice::purchase::{Common, MachineChoice, Making, PartNeeds, Purchase, most_valuable};
use engine::money::{Line, ShareOf, draw};
use std::time::Instant;
use units::{Money, Number, Place, Value};

const DRAWS: u64 = 1_000_000;

/// The lines of a usual purchase: fixed, grouped, products and shares.
fn lines() -> Vec<Line> {
    let money = |id: &str, row: [f64; 3]| {
        let [low, likely, high] = row.map(Money::amount);
        Value::assumed(id, low, likely, high, "bench")
    };
    let share = |id: &str, row: [f64; 3]| {
        let [low, likely, high] = row.map(Number::of);
        Value::assumed(id, low, likely, high, "bench")
    };
    let plain = [
        ("price", [12e3, 14e3, 17e3]),
        ("circuit", [150.0, 600.0, 2500.0]),
        ("software", [0.0, 1000.0, 5000.0]),
        ("training", [0.0, 600.0, 2000.0]),
        ("measuring", [300.0, 700.0, 1500.0]),
        ("coolant", [50.0, 150.0, 400.0]),
        ("inspection", [0.0, 300.0, 900.0]),
    ];
    let grouped = [
        ("freight", [400.0, 700.0, 1400.0], "moving", 0.6),
        ("rigging", [200.0, 400.0, 900.0], "moving", 0.6),
        ("tooling", [2500.0, 3500.0, 6000.0], "tooling", 0.7),
        ("workholding", [1200.0, 2100.0, 6000.0], "tooling", 0.7),
    ];
    let mut all: Vec<Line> = plain
        .iter()
        .map(|(id, row)| Line::fixed(*id, money(id, *row), ""))
        .collect();
    all.extend(grouped.iter().map(|(id, row, group, strength)| {
        Line::fixed(*id, money(id, *row).in_group(group, *strength), "")
    }));
    all.push(Line::share(
        "tax",
        ShareOf::Purchase,
        share("tax", [0.0, 0.06, 0.1]),
        "",
    ));
    all.push(Line::share(
        "contingency",
        ShareOf::Uncertain,
        share("contingency", [0.02, 0.05, 0.1]),
        "",
    ));
    all
}

/// A purchase of that size from plain arithmetic: worths and hours that no set of parts dominates.
fn purchase(offers: usize, options: usize, parts: usize) -> Purchase {
    let wave = |a: usize, b: usize, k: usize| {
        ((a * 7919 + b * 104_729 + k * 1_299_709) % 1000) as f64 / 1000.0
    };
    Purchase {
        machines: (0..offers * options)
            .map(|m| {
                let spent = 15e3 + 45e3 * wave(m / options, 0, 1) + 1500.0 * (m % options) as f64;
                MachineChoice {
                    offer: m / options,
                    cost: 0.7 * spent,
                    spent: vec![spent],
                    tools: Vec::new(),
                    makes: (0..parts)
                        .map(|p| {
                            (wave(m / options, p, 2) > 0.2).then(|| Making {
                                worth: 2400.0 * wave(m, p, 3) - 300.0,
                                hours: 5.0 + 60.0 * wave(m, p, 4),
                                tended: 5.0 + 60.0 * wave(m, p, 4),
                                once: 0.0,
                            })
                        })
                        .collect(),
                }
            })
            .collect(),
        apart: std::collections::BTreeSet::new(),
        parts: (0..parts)
            .map(|p| PartNeeds {
                must: false,
                tools: (0..4).map(|k| (p * 5 + k * 11) % 40).collect(),
            })
            .collect(),
        tools: (0..40).map(|t| 40.0 + 400.0 * wave(t, 3, 5)).collect(),
        hours: 900.0,
        budget: vec![52e3],
        over_rate: 0.25,
        most_machines: 1,
        least_worth: 0.0,
        common: Common::default(),
    }
}

fn main() {
    let budget = Value::stated("budget", Money::amount(30e3), Place::default());
    let lines = lines();
    let start = Instant::now();
    let all = draw(&lines, &budget, 1, DRAWS);
    println!(
        "draws {DRAWS} s {:.4} p50 {:.1} p80 {:.1} over {:.4}",
        start.elapsed().as_secs_f64(),
        all.percentiles.p50.to_amount(),
        all.percentiles.p80.to_amount(),
        all.over_budget_chance,
    );
    for (offers, options, parts) in [(15, 8, 15), (30, 8, 30), (60, 8, 60)] {
        let purchase = purchase(offers, options, parts);
        let start = Instant::now();
        let found = most_valuable(&purchase);
        let proven = found.as_ref().is_some_and(|b| b.proven);
        println!(
            "choice {offers} offers {options} options {parts} parts s {:.3} proven {proven} worth {:.0}",
            start.elapsed().as_secs_f64(),
            found.map_or(0.0, |b| b.worth),
        );
    }
}
