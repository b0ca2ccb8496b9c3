//! Unequal phase voltages, as a converter or a loaded line gives them.

use units::Voltage;

/// Voltage unbalance by NEMA MG 1: largest deviation from the mean, over the mean. The largest of
/// the three deviations counts, whichever its sign.
pub fn unbalance(phases: [Voltage; 3]) -> f64 {
    let volts = phases.map(Voltage::to_v);
    let mean = volts.iter().sum::<f64>() / 3.0;
    let largest = volts.iter().map(|v| (v - mean).abs()).fold(0.0, f64::max);
    largest / mean
}

/// Share of its rated power a motor may give at an unbalance; nothing beyond 5 %. NEMA MG 1 figure
/// 14-1, read off at whole per cents, from memory; straight between them.
pub fn derating(unbalance: f64) -> Option<f64> {
    const CURVE: [f64; 6] = [1.0, 1.0, 0.95, 0.88, 0.82, 0.75];
    let percent = unbalance * 100.0;
    if !(0.0..=5.0).contains(&percent) {
        return None;
    }
    let below = (percent.floor() as usize).min(CURVE.len() - 2);
    let share = percent - below as f64;
    Some(CURVE[below] + share * (CURVE[below + 1] - CURVE[below]))
}
