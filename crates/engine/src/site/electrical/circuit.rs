//! One run of wire with the device ahead of it.

use super::breaker::next_standard;
use super::conductor::{Chosen, Run, choose, ground};
use super::rules::{Phases, Rules, bs7671_drop_limit};
use super::supply::{NoSupply, Question};
use serde::Serialize;
use units::{Current, Voltage};

/// One run of wire with its device.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Circuit {
    /// Voltage of the run.
    pub volts: f64,
    /// Phases of the run.
    pub phases: Phases,
    /// Current that flows.
    pub amps: f64,
    /// Live conductors.
    pub wires: u8,
    /// Size of each, copper.
    pub conductor: String,
    /// Section of each.
    pub section_mm2: f64,
    /// What it may carry.
    pub ampacity_a: f64,
    /// Terminals the ampacity is for.
    pub terminals_c: u8,
    /// Grounding (protective) conductor.
    pub ground: Option<String>,
    /// Device ahead of it.
    pub breaker_a: f64,
    /// Voltage drop, per cent of the run's voltage.
    pub drop_pct: Option<f64>,
    /// True when ampacity alone would have taken a smaller conductor.
    pub grown_for_drop: bool,
}

/// What a run is asked to carry.
pub(super) struct Feed {
    pub(super) phases: Phases,
    pub(super) volts: Voltage,
    /// Current that flows.
    pub(super) load: Current,
    /// Current the conductors are sized for.
    pub(super) design: Current,
    /// Current the device is sized for.
    pub(super) device: Current,
    /// True for one motor.
    pub(super) motor: bool,
}

/// Sizes device, conductors and ground of a run.
pub(super) fn circuit(q: &Question, feed: Feed) -> Result<Circuit, NoSupply> {
    let breaker = next_standard(q.rules, feed.device).ok_or(NoSupply::NoBreaker {
        amps: feed.device.to_a(),
    })?;
    let run = Run {
        rules: q.rules,
        phases: feed.phases,
        volts: feed.volts,
        load: feed.load,
        // IEC 60364-4-43 433.1: the device's rating does not exceed the cable's capacity.
        ampacity: match q.rules {
            Rules::Nec => feed.design,
            Rules::Iec => feed.design.max(breaker),
        },
        motor: feed.motor,
        terminals: q.terminals,
        ambient_c: q.ambient_c,
        length: q.length,
        drop_limit: q.drop_limit.unwrap_or_else(|| match (q.rules, q.length) {
            (Rules::Iec, Some(length)) => bs7671_drop_limit(length.to_m()),
            _ => q.rules.usual_drop(),
        }),
    };
    let chosen = choose(&run).map_err(NoSupply::Conductor)?;
    Ok(written(q, &feed, breaker, &chosen))
}

fn written(q: &Question, feed: &Feed, breaker: Current, chosen: &Chosen) -> Circuit {
    Circuit {
        volts: feed.volts.to_v(),
        phases: feed.phases,
        amps: feed.load.to_a(),
        wires: feed.phases.wires(),
        conductor: chosen.size.name.clone(),
        section_mm2: chosen.size.section_mm2,
        ampacity_a: chosen.size.ampacity_a,
        terminals_c: match q.rules {
            Rules::Nec => chosen.terminals.celsius(),
            Rules::Iec => 70,
        },
        ground: ground(q.rules, breaker, chosen),
        breaker_a: breaker.to_a(),
        drop_pct: chosen.drop_share.map(|d| 100.0 * d),
        grown_for_drop: chosen.grown_for_drop,
    }
}
