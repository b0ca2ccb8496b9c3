//! Capacity and lead time of a machine at the load asked.
//!
//! Waiting for a single machine: Kingman's approximation (Mathematical Proceedings of the Cambridge
//! Philosophical Society 57, 1961) as the "VUT" equation of Hopp and Spearman, Factory Physics
//! (from memory): wait = (ca2 + ce2) / 2 * u / (1 - u) * te. With Poisson orders (ca2 = 1) it is the
//! exact formula of Pollaczek and Khinchine. Breakdowns lengthen and scatter the batches by the same
//! book's formulas: te = t0 / A, ce2 = c02 + (1 + cr2) A (1 - A) mr / t0.

use super::PartTime;
use serde::Serialize;
use units::Time;

/// How often a machine stands (common practice, no source).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Uptime {
    /// Share of the hours somebody is there in which it runs.
    pub share: f64,
    /// Mean time to get it running again.
    pub repair: Time,
}

impl Default for Uptime {
    fn default() -> Self {
        Self {
            share: 0.9,
            repair: Time::h(8.0),
        }
    }
}

/// The load on a machine.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Load {
    /// Machine hours a year the parts ask for.
    pub asked_h: f64,
    /// Hours a year somebody is there, less those it stands.
    pub available_h: f64,
    /// Asked over available.
    pub utilisation: f64,
    /// Batches a year.
    pub batches: f64,
    /// Mean hours of a batch on the machine, breakdowns included.
    pub batch_h: f64,
    /// Mean working hours from order to finished batch; `None` when more is asked than there is.
    pub lead_time_h: Option<f64>,
    /// The same in calendar days, the working hours spread over the year.
    pub lead_time_days: Option<f64>,
}

/// One kind of batch: how many a year, and how long each takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Batches {
    /// A year.
    pub per_year: f64,
    /// Each, undisturbed.
    pub each: Time,
}

impl Batches {
    /// Of a part with a time.
    pub fn of(time: &PartTime) -> Self {
        Self {
            per_year: time.batches_per_year,
            each: if time.batches_per_year > 0.0 {
                time.per_year / time.batches_per_year
            } else {
                Time::ZERO
            },
        }
    }
}

/// The load a year's batches put on a machine somebody stands at for `hours` a year. Orders come at
/// random, independently of one another.
pub fn load(batches: &[Batches], hours: Time, uptime: Uptime) -> Load {
    let count: f64 = batches.iter().map(|b| b.per_year).sum();
    let asked_h: f64 = batches.iter().map(|b| b.per_year * b.each.to_h()).sum();
    let share = uptime.share.clamp(0.01, 1.0);
    let available_h = hours.to_h().max(0.0) * share;
    if count <= 0.0 || asked_h <= 0.0 {
        return Load {
            available_h,
            ..Load::default()
        };
    }
    let mean = asked_h / count;
    let variance = batches
        .iter()
        .map(|b| b.per_year * (b.each.to_h() - mean).powi(2))
        .sum::<f64>()
        / count;
    let utilisation = if available_h > 0.0 {
        asked_h / available_h
    } else {
        f64::INFINITY
    };
    let te = mean / share;
    // Repairs scatter like an exponential: cr2 = 1.
    let ce2 = variance / (mean * mean)
        + 2.0 * share * (1.0 - share) * uptime.repair.to_h().max(0.0) / mean;
    let lead_time_h = vut(1.0, ce2, utilisation, te).map(|wait| wait + te);
    const HOURS_IN_YEAR: f64 = 8766.0;
    Load {
        asked_h,
        available_h,
        utilisation,
        batches: count,
        batch_h: te,
        lead_time_h,
        lead_time_days: lead_time_h.map(|h| h * HOURS_IN_YEAR / hours.to_h() / 24.0),
    }
}

/// Mean wait before a single machine: squared coefficients of variation of arrivals and of service,
/// utilisation, mean service time. `None` when the queue grows without end.
pub fn vut(ca2: f64, ce2: f64, utilisation: f64, service: f64) -> Option<f64> {
    (utilisation < 1.0).then(|| 0.5 * (ca2 + ce2) * utilisation / (1.0 - utilisation) * service)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Exact results of queueing theory for single servers (M/M/1: u/(1-u) te; M/D/1: half of it;
    /// textbook results, from memory).
    #[test]
    fn the_formula_is_exact_for_poisson_orders() {
        for u in [0.1, 0.5, 0.8, 0.95] {
            let mm1 = u / (1.0 - u) * 3.0;
            assert!((vut(1.0, 1.0, u, 3.0).expect("stable") - mm1).abs() < 1e-12);
            assert!((vut(1.0, 0.0, u, 3.0).expect("stable") - 0.5 * mm1).abs() < 1e-12);
        }
        assert_eq!(vut(1.0, 1.0, 1.0, 3.0), None);
    }

    /// A machine with fixed batches of two kinds, Poisson orders and no breakdowns, simulated.
    #[test]
    fn lead_time_is_what_a_simulation_gives() {
        let batches = [
            Batches {
                per_year: 60.0,
                each: Time::h(2.0),
            },
            Batches {
                per_year: 20.0,
                each: Time::h(11.0),
            },
        ];
        let hours = Time::h(500.0);
        let none = Uptime {
            share: 1.0,
            repair: Time::ZERO,
        };
        let ours = load(&batches, hours, none);
        assert!((ours.utilisation - 340.0 / 500.0).abs() < 1e-12);
        // Lindley's recursion on a fixed pseudo-random stream (splitmix64).
        let mut state = 7u64;
        let mut uniform = move || {
            state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mut z = state;
            z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
        };
        let (mut wait, mut sum, n) = (0.0f64, 0.0, 400_000);
        for _ in 0..n {
            let service = if uniform() < 0.75 { 2.0 } else { 11.0 };
            sum += wait + service;
            let gap = -(1.0 - uniform()).ln() * 500.0 / 80.0;
            wait = (wait + service - gap).max(0.0);
        }
        let simulated = sum / f64::from(n);
        // The standard error of so many correlated waits is under two per cent.
        let lead = ours.lead_time_h.expect("stable");
        assert!((lead / simulated - 1.0).abs() < 0.05, "{lead} {simulated}");
    }

    #[test]
    fn more_is_asked_than_there_is() {
        let one = [Batches {
            per_year: 100.0,
            each: Time::h(10.0),
        }];
        let over = load(&one, Time::h(800.0), Uptime::default());
        assert!(over.utilisation > 1.0 && over.lead_time_h.is_none());
        assert_eq!(
            load(&[], Time::h(800.0), Uptime::default()).utilisation,
            0.0
        );
        let calm = load(&one, Time::h(8000.0), Uptime::default());
        let busy = load(&one, Time::h(1300.0), Uptime::default());
        assert!(calm.lead_time_h < busy.lead_time_h);
    }
}
