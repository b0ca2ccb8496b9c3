//! Damages files at random, thousands of times, and reports whatever panics or takes too long.
//!
//! `sweep [--rounds N] [--from N] [--out FOLDER] FILE...`
//!
//! The budget is linear in the size of the file. What exceeds it is written to the folder, and so
//! is what panics; what does not even stop when cancelled ends the run with exit code 1.

#[path = "../tests/suite/damage.rs"]
mod damage;

use std::io::Write;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// What is being read, for the watchdog.
struct Now {
    since: Clock,
    budget_s: f64,
    name: String,
    bytes: Vec<u8>,
    cancel: Arc<AtomicBool>,
}

/// Processor time where the system tells it, so that other programs make no file look slow; time
/// on the wall elsewhere.
#[derive(Clone, Copy)]
struct Clock {
    cpu_s: Option<f64>,
    wall: Instant,
}

impl Clock {
    fn start() -> Self {
        Self {
            cpu_s: cpu_seconds(),
            wall: Instant::now(),
        }
    }

    fn seconds(&self) -> f64 {
        match (self.cpu_s, cpu_seconds()) {
            (Some(before), Some(after)) => after - before,
            _ => self.wall.elapsed().as_secs_f64(),
        }
    }

    /// A program that waits for itself uses no processor time at all.
    fn stands_still(&self) -> bool {
        self.wall.elapsed() > Duration::from_secs(600)
    }
}

/// A second for anything, and a second more per 100 kB.
fn budget_s(bytes: &[u8]) -> f64 {
    1.0 + bytes.len() as f64 / 1e5
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let (mut rounds, mut from, mut out) = (1000_u64, 0_u64, PathBuf::from("."));
    let mut files = Vec::new();
    let mut args = std::env::args().skip(1);
    while let Some(a) = args.next() {
        let mut value = || args.next().ok_or("a value is missing");
        match a.as_str() {
            "--rounds" => rounds = value()?.parse()?,
            "--from" => from = value()?.parse()?,
            "--out" => out = value()?.into(),
            _ => files.push(a),
        }
    }
    std::panic::set_hook(Box::new(|_| {}));
    let now: Arc<Mutex<Option<Now>>> = Arc::default();
    watch(Arc::clone(&now), out.clone());
    let mut stdout = std::io::stdout();
    let (mut panics, mut slow) = (0, 0);
    for file in &files {
        let seed = std::fs::read(file)?;
        let stem = PathBuf::from(file);
        let stem = stem.file_stem().unwrap_or_default().to_string_lossy();
        let (mut longest, mut longest_round, mut total) = (0.0_f64, 0, 0.0);
        for round in from..from + rounds {
            let bytes = damage::damaged(&seed, round);
            let name = format!("{stem}_{round}.step");
            let cancel = Arc::new(AtomicBool::new(false));
            let since = Clock::start();
            let allowed = budget_s(&bytes);
            if let Ok(mut slot) = now.lock() {
                *slot = Some(Now {
                    since,
                    budget_s: allowed,
                    name: name.clone(),
                    bytes: bytes.clone(),
                    cancel: Arc::clone(&cancel),
                });
            }
            let options = step::TessellationOptions::default();
            let outcome = std::panic::catch_unwind(|| {
                step::load(&bytes, &options, Some(&cancel)).map(|m| m.mesh().triangles.len())
            });
            let took = since.seconds();
            total += took;
            if took > longest {
                (longest, longest_round) = (took, round);
            }
            if outcome.is_err() {
                panics += 1;
                writeln!(stdout, "PANIC {name}")?;
                std::fs::write(out.join(&name), &bytes)?;
            } else if took > allowed {
                slow += 1;
                writeln!(stdout, "SLOW {took:.2} s {name}")?;
                std::fs::write(out.join(&name), &bytes)?;
            }
        }
        writeln!(
            stdout,
            "{stem}: {rounds} rounds, mean {:.4} s, longest {longest:.3} s (round {longest_round})",
            total / rounds as f64
        )?;
    }
    writeln!(stdout, "{panics} panics, {slow} beyond the budget")?;
    Ok(())
}

/// Processor time used so far, where the system tells (proc(5): fields 14 and 15 of `stat`, in
/// hundredths of a second).
fn cpu_seconds() -> Option<f64> {
    let stat = std::fs::read_to_string("/proc/self/stat").ok()?;
    let after_name = stat.rsplit(')').next()?;
    let mut fields = after_name.split_whitespace().skip(11);
    let mut next = || fields.next()?.parse::<f64>().ok();
    Some((next()? + next()?) / 100.0)
}

/// Cancels what exceeds its budget tenfold, and gives up on what does not stop then.
fn watch(now: Arc<Mutex<Option<Now>>>, out: PathBuf) {
    std::thread::spawn(move || {
        loop {
            std::thread::sleep(Duration::from_millis(200));
            let Ok(slot) = now.lock() else { continue };
            let Some(job) = slot.as_ref() else { continue };
            let took = job.since.seconds();
            if took > 10.0 * job.budget_s {
                job.cancel.store(true, Ordering::Relaxed);
            }
            if took > 15.0 * job.budget_s || job.since.stands_still() {
                let _ = std::fs::write(out.join(&job.name), &job.bytes);
                let _ = writeln!(std::io::stdout(), "HANG {}", job.name);
                std::process::exit(1);
            }
        }
    });
}
