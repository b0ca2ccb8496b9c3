//! A transformer between the voltage there is and the voltage the machine wants.

use super::rules::{Phases, Rules};
use serde::Serialize;
use units::{ApparentPower, Current, Voltage};

/// Supply voltage a machine accepts, either way, as a share of the nameplate's (IEC 60204-1 clause
/// 4.3.2, steady state; from memory).
pub const VOLTAGE_BAND: f64 = 0.10;

/// Sizes sold, kVA. Common practice, no source.
const THREE_PHASE_KVA: [f64; 14] = [
    3.0, 6.0, 9.0, 15.0, 20.0, 30.0, 45.0, 60.0, 75.0, 112.5, 150.0, 225.0, 300.0, 500.0,
];
const SINGLE_PHASE_KVA: [f64; 13] = [
    1.0, 1.5, 2.0, 3.0, 5.0, 7.5, 10.0, 15.0, 25.0, 37.5, 50.0, 75.0, 100.0,
];
/// Windings sold. Common practice, no source.
const NEC_VOLTS: [f64; 8] = [115.0, 120.0, 200.0, 208.0, 230.0, 240.0, 480.0, 600.0];
const IEC_VOLTS: [f64; 7] = [115.0, 200.0, 220.0, 230.0, 380.0, 400.0, 415.0];
/// Taps of the primary, as shares. Common practice, no source.
const TAPS: [f64; 5] = [0.0, 0.025, -0.025, 0.05, -0.05];

/// What to buy and how to set it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Transformer {
    /// Load it carries.
    pub load_kva: f64,
    /// Size to buy.
    pub kva: Option<f64>,
    /// Primary turns over secondary turns wanted.
    pub turns: f64,
    /// Winding to be connected to the supply.
    pub primary_volts: f64,
    /// Winding to be connected to the machine.
    pub secondary_volts: f64,
    /// Tap of the primary, per cent.
    pub tap_pct: f64,
    /// Voltage at the machine then, without load.
    pub output_volts: f64,
    /// Current in the primary at full load.
    pub primary_amps: f64,
    /// For a small step an autotransformer needs only this much of its own.
    pub auto_kva: Option<f64>,
}

/// True when the supply's voltage is outside what the machine accepts.
pub fn needed(machine: Voltage, source: Voltage) -> bool {
    let share = source / machine;
    !(1.0 - VOLTAGE_BAND..=1.0 + VOLTAGE_BAND).contains(&share)
}

/// Sizes a transformer for a load.
pub fn size(
    rules: Rules,
    phases: Phases,
    machine: Voltage,
    source: Voltage,
    load: Current,
) -> Transformer {
    let lines = phases.power_factor_of_lines();
    let kva = ApparentPower::va(lines * machine.to_v() * load.to_a()).to_kva();
    // A motor's start dips the voltage of a transformer sized to the load alone: a quarter more.
    // Common practice, no source.
    let wanted = 1.25 * kva;
    let sizes: &[f64] = match phases {
        Phases::Three => &THREE_PHASE_KVA,
        Phases::One => &SINGLE_PHASE_KVA,
    };
    let volts: &[f64] = match rules {
        Rules::Nec => &NEC_VOLTS,
        Rules::Iec => &IEC_VOLTS,
    };
    let (m, s) = (machine.to_v(), source.to_v());
    let (primary, secondary) = (nearest(volts, s), nearest(volts, m));
    let output = |tap: f64| s * secondary / (primary * (1.0 + tap));
    let tap = TAPS.iter().copied().fold(0.0, |best, tap| {
        if (output(tap) - m).abs() + 1e-9 < (output(best) - m).abs() {
            tap
        } else {
            best
        }
    });
    let (low, high) = (m.min(s), m.max(s));
    Transformer {
        load_kva: kva,
        kva: sizes.iter().copied().find(|k| *k + 1e-9 >= wanted),
        turns: s / m,
        primary_volts: primary,
        secondary_volts: secondary,
        tap_pct: 100.0 * tap,
        output_volts: output(tap),
        primary_amps: load.to_a() * m / s,
        // Only the difference is transformed; worth it up to a quarter of the voltage.
        auto_kva: (low / high >= 0.75).then(|| wanted * (1.0 - low / high)),
    }
}

/// The nearest winding sold within 5 %, which a tap makes up for; otherwise one made to order.
fn nearest(volts: &[f64], v: f64) -> f64 {
    volts
        .iter()
        .copied()
        .filter(|each| (each - v).abs() <= 0.05 * v)
        .min_by(|a, b| (a - v).abs().total_cmp(&(b - v).abs()))
        .unwrap_or(v)
}
