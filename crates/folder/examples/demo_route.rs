//! How long the way in takes on the demo's three-turn plan: ten runs of the question alone and ten
//! with the largest load that passes, wall and processor seconds of the fastest. See
//! `docs/benchmarks/site.md`.
#![allow(clippy::print_stdout, reason = "a measurement is printed")]

use engine::site::route::{ComesOff, Effort, Load, way_in};
use std::time::{Duration, Instant};
use units::{Length, Watch};

const RUNS: usize = 10;

/// Processor time of this process so far, where the system tells it.
fn processor() -> Option<f64> {
    let stat = std::fs::read_to_string("/proc/self/stat").ok()?;
    let fields: Vec<&str> = stat.rsplit(')').next()?.split_whitespace().collect();
    let ticks = |n: usize| fields.get(n)?.parse::<f64>().ok();
    Some((ticks(11)? + ticks(12)?) / 100.0)
}

fn main() {
    let Ok(demo) = folder::demo(Watch::NOBODY) else {
        println!("the demo cannot be read");
        return;
    };
    let Some(plan) = demo.site.plan else {
        println!("the demo has no plan");
        return;
    };
    let load = Load {
        length: Length::inch(84.0),
        width: Length::inch(60.0),
        height: Some(Length::inch(80.0)),
        weight: None,
        carrier: plan.carrier,
        clearance: Length::ZERO,
    };
    for largest in [false, true] {
        let effort = Effort {
            largest,
            ..Effort::default()
        };
        let before = processor();
        let mut least = Duration::MAX;
        for _ in 0..RUNS {
            let start = Instant::now();
            let Ok(answer) = way_in(&plan, &load, &ComesOff::default(), &effort, Watch::NOBODY)
            else {
                return;
            };
            least = least.min(start.elapsed());
            if answer.way.is_empty() {
                println!("no way");
            }
        }
        let used = processor()
            .zip(before)
            .map_or(f64::NAN, |(after, before)| (after - before) / RUNS as f64);
        println!(
            "largest load looked for: {largest}; fastest of {RUNS}: {:.3} s; processor {used:.2} s a run",
            least.as_secs_f64()
        );
    }
}
