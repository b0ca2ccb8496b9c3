//! A full study of many parts and offers: `full_study PARTS OFFERS` prints wall and processor
//! seconds and the most memory taken. Parts and offers are the demo's described ones, each scaled a
//! little differently. See `docs/benchmarks/study.md`.
#![allow(clippy::print_stdout, reason = "a measurement is printed")]

use engine::demand::Shape;
use engine::entered::Part;
use engine::ids::{OfferId, PartId};
use engine::machine::Offer;
use engine::study::{Inputs, Settings, run};
use std::time::Instant;
use units::Watch;

/// Evenly scattered shares from 0 to 1.
fn scattered(at: usize) -> f64 {
    (at as f64 * 0.618_033_988_749_895).fract()
}

fn part(of: &[Part], at: usize) -> Part {
    let mut part = of[at % of.len()].clone();
    part.id = PartId::new(format!("part-{at:04}"));
    let scale = 0.5 + scattered(at);
    if let Shape::Block(size) = &part.shape {
        part.shape = Shape::Block(size.map(|s| s * scale));
    }
    part.must_make = false;
    part
}

fn offer(of: &[Offer], at: usize) -> Offer {
    let mut offer = of[at % of.len()].clone();
    offer.id = OfferId::new(format!("offer-{at:04}"));
    let scale = 0.7 + 0.6 * scattered(at);
    let p = &mut offer.properties;
    for travel in [&mut p.travel_x, &mut p.travel_y].into_iter().flatten() {
        travel.likely = travel.likely * scale;
    }
    // One set of options an offer, so that pairs are counted rightly.
    offer.options.clear();
    offer
}

fn main() {
    let mut args = std::env::args().skip(1).filter_map(|a| a.parse().ok());
    let (parts, offers): (usize, usize) = (args.next().unwrap_or(100), args.next().unwrap_or(20));
    let Ok(demo) = folder::demo(Watch::NOBODY) else {
        println!("the demo cannot be read");
        return;
    };
    let described: Vec<Part> = demo
        .parts
        .iter()
        .filter(|p| !p.features.is_empty())
        .cloned()
        .collect();
    let parts: Vec<Part> = (0..parts).map(|at| part(&described, at)).collect();
    let offers: Vec<Offer> = (0..offers).map(|at| offer(&demo.offers, at)).collect();
    let inputs = Inputs {
        shop: &demo.shop,
        site: &demo.site,
        parts: &parts,
        offers: &offers,
        materials: &demo.materials,
        classes: &demo.classes,
    };
    let begun = Instant::now();
    let answer = run(&inputs, &Settings::new(2026), Watch::NOBODY);
    let wall = begun.elapsed().as_secs_f64();
    let pairs = answer.map_or(0, |a| a.demands.len() * a.looked_at);
    println!(
        "{} parts, {} offers, {pairs} pairs: {wall:.2} s wall, {:.2} s processor, {:.0} MB most memory",
        parts.len(),
        offers.len(),
        processor_s(),
        most_memory_mb()
    );
}

/// User and system time of this process (proc(5): fields 14 and 15, in hundredths of a second).
fn processor_s() -> f64 {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let after_name = stat.rsplit(')').next().unwrap_or_default();
    let ticks: f64 = after_name
        .split_whitespace()
        .skip(11)
        .take(2)
        .filter_map(|t| t.parse::<f64>().ok())
        .sum();
    ticks / 100.0
}

/// The most memory this process held (proc(5): VmHWM).
fn most_memory_mb() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    status
        .lines()
        .find_map(|l| l.strip_prefix("VmHWM:"))
        .and_then(|l| l.trim().trim_end_matches("kB").trim().parse::<f64>().ok())
        .map_or(0.0, |kb| kb / 1024.0)
}
