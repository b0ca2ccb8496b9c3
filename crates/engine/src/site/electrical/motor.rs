//! Full-load current of a motor by the published tables, not by its power and efficiency: sizing
//! goes by the tables even when the nameplate says less (NEC 430.6(A)(1)).

use super::rules::{Phases, Rules};
use units::{Current, Power, Voltage};

/// NEC Table 430.250: horsepower, then amperes at 200, 208, 230, 460, 575 V. 208, 230 and 460 V
/// from 1 hp to 50 hp as printed in the 2008 edition (scribd 250218196, voltagelab.com); the other
/// columns and sizes from memory. Web copies carry slips (2.1/3.1 A for 1/2 and 3/4 hp at 230 V,
/// 1 hp as 4.0/3.6/1.8 A): these are the values of the scan.
const THREE_PHASE: [(f64, [f64; 5]); 18] = [
    (0.5, [2.5, 2.4, 2.2, 1.1, 0.9]),
    (0.75, [3.7, 3.5, 3.2, 1.6, 1.3]),
    (1.0, [4.8, 4.6, 4.2, 2.1, 1.7]),
    (1.5, [6.9, 6.6, 6.0, 3.0, 2.4]),
    (2.0, [7.8, 7.5, 6.8, 3.4, 2.7]),
    (3.0, [11.0, 10.6, 9.6, 4.8, 3.9]),
    (5.0, [17.5, 16.7, 15.2, 7.6, 6.1]),
    (7.5, [25.3, 24.2, 22.0, 11.0, 9.0]),
    (10.0, [32.2, 30.8, 28.0, 14.0, 11.0]),
    (15.0, [48.3, 46.2, 42.0, 21.0, 17.0]),
    (20.0, [62.1, 59.4, 54.0, 27.0, 22.0]),
    (25.0, [78.2, 74.8, 68.0, 34.0, 27.0]),
    (30.0, [92.0, 88.0, 80.0, 40.0, 32.0]),
    (40.0, [120.0, 114.0, 104.0, 52.0, 41.0]),
    (50.0, [150.0, 143.0, 130.0, 65.0, 52.0]),
    (60.0, [177.0, 169.0, 154.0, 77.0, 62.0]),
    (75.0, [221.0, 211.0, 192.0, 96.0, 77.0]),
    (100.0, [285.0, 273.0, 248.0, 124.0, 99.0]),
];
const THREE_PHASE_VOLTS: [f64; 5] = [200.0, 208.0, 230.0, 460.0, 575.0];

/// NEC Table 430.248: horsepower, then amperes at 115, 200, 208, 230 V. From 1 hp up at 115, 208
/// and 230 V as read on two agreeing reference tables; the rest from memory.
const SINGLE_PHASE: [(f64, [f64; 4]); 12] = [
    (1.0 / 6.0, [4.4, 2.5, 2.4, 2.2]),
    (0.25, [5.8, 3.3, 3.2, 2.9]),
    (1.0 / 3.0, [7.2, 4.1, 4.0, 3.6]),
    (0.5, [9.8, 5.6, 5.4, 4.9]),
    (0.75, [13.8, 7.9, 7.6, 6.9]),
    (1.0, [16.0, 9.2, 8.8, 8.0]),
    (1.5, [20.0, 11.5, 11.0, 10.0]),
    (2.0, [24.0, 13.8, 13.2, 12.0]),
    (3.0, [34.0, 19.6, 18.7, 17.0]),
    (5.0, [56.0, 32.2, 30.8, 28.0]),
    (7.5, [80.0, 46.0, 44.0, 40.0]),
    (10.0, [100.0, 57.5, 55.0, 50.0]),
];
const SINGLE_PHASE_VOLTS: [f64; 4] = [115.0, 200.0, 208.0, 230.0];

/// IEC 60947-4-1 Annex G, guide values of three-phase cage motors: kilowatts, then amperes at
/// 230 V and 400 V. From memory.
const IEC_THREE_PHASE: [(f64, [f64; 2]); 16] = [
    (0.37, [1.9, 1.1]),
    (0.55, [2.6, 1.5]),
    (0.75, [3.3, 1.9]),
    (1.1, [4.7, 2.7]),
    (1.5, [6.3, 3.6]),
    (2.2, [8.5, 4.9]),
    (3.0, [11.3, 6.5]),
    (4.0, [15.0, 8.5]),
    (5.5, [20.0, 11.5]),
    (7.5, [27.0, 15.5]),
    (11.0, [38.0, 22.0]),
    (15.0, [51.0, 29.0]),
    (22.0, [72.0, 41.0]),
    (30.0, [96.0, 55.0]),
    (37.0, [115.0, 66.0]),
    (75.0, [230.0, 134.0]),
];
const IEC_THREE_PHASE_VOLTS: [f64; 2] = [230.0, 400.0];

/// Efficiency times power factor of single-phase capacitor motors up to a few kilowatts. From
/// memory; the single-phase column of NEC Table 430.248 gives 0.40 (1 hp) to 0.65 (10 hp) at 230 V.
const IEC_SINGLE_PHASE_SHARE: f64 = 0.60;

/// Full-load current of a motor, or the largest motor the tables know. Between two listed sizes it
/// is interpolated (as 430.6(A)(1) does for motors marked in amperes only), below the smallest it
/// is the smallest's, at an unlisted voltage it is the nearest column's at equal power.
pub fn full_load(
    rules: Rules,
    phases: Phases,
    power: Power,
    volts: Voltage,
) -> Result<Current, Power> {
    let v = volts.to_v();
    match (rules, phases) {
        (Rules::Nec, Phases::Three) => {
            read(&THREE_PHASE, &THREE_PHASE_VOLTS, power.to_hp(), v).ok_or(last(&THREE_PHASE))
        }
        (Rules::Nec, Phases::One) => {
            read(&SINGLE_PHASE, &SINGLE_PHASE_VOLTS, power.to_hp(), v).ok_or(last(&SINGLE_PHASE))
        }
        (Rules::Iec, Phases::Three) => {
            read(&IEC_THREE_PHASE, &IEC_THREE_PHASE_VOLTS, power.to_kw(), v)
                .ok_or(Power::kw(IEC_THREE_PHASE[IEC_THREE_PHASE.len() - 1].0))
        }
        (Rules::Iec, Phases::One) => Ok(Current::a(power.to_w() / (v * IEC_SINGLE_PHASE_SHARE))),
    }
}

fn last<const N: usize>(table: &[(f64, [f64; N])]) -> Power {
    Power::hp(table.last().map_or(0.0, |(hp, _)| *hp))
}

/// A rating of a motor may be printed at a nominal voltage (240, 480 V): the columns stand for the
/// ranges 110 to 120, 220 to 240, 440 to 480 and 550 to 600 V (notes to the tables).
fn column(volts: &[f64], v: f64) -> Option<(usize, f64)> {
    let nominal = match v {
        v if (110.0..=120.0).contains(&v) => 115.0,
        v if (220.0..=240.0).contains(&v) => 230.0,
        v if (440.0..=480.0).contains(&v) => 460.0,
        v if (550.0..=600.0).contains(&v) => 575.0,
        v => v,
    };
    let (at, listed) = volts
        .iter()
        .enumerate()
        .min_by(|a, b| (a.1 - nominal).abs().total_cmp(&(b.1 - nominal).abs()))?;
    Some((at, listed / nominal))
}

fn read<const N: usize>(
    table: &[(f64, [f64; N])],
    volts: &[f64; N],
    size: f64,
    v: f64,
) -> Option<Current> {
    let (at, scale) = column(volts, v)?;
    let above = table
        .iter()
        .position(|(listed, _)| size <= listed * (1.0 + 1e-9))?;
    let (high_size, high) = table[above];
    let below = above.checked_sub(1).map(|below| &table[below]);
    let amps = match below {
        // A listed size is read, not computed.
        Some((low_size, low)) if size < high_size * (1.0 - 1e-9) => {
            let share = ((size - low_size) / (high_size - low_size)).clamp(0.0, 1.0);
            low[at] + share * (high[at] - low[at])
        }
        _ => high[at],
    };
    Some(Current::a(amps * scale))
}

/// Motor whose table current is `amps`: what a load marked in amperes only counts as (430.6(A)(1)).
/// Beyond the table it grows in proportion.
pub fn motor_of(rules: Rules, phases: Phases, amps: Current, volts: Voltage) -> Power {
    let current = |kw: f64| full_load(rules, phases, Power::kw(kw), volts);
    let (mut low, mut high) = (0.0, 1.0);
    while current(high).is_ok_and(|i| i < amps) && high < 1.0e4 {
        high *= 2.0;
    }
    // Sixty halvings reach the last bit; the current never falls as the motor grows.
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if current(middle).is_ok_and(|i| i < amps) {
            low = middle;
        } else {
            high = middle;
        }
    }
    match current(high) {
        Ok(_) => Power::kw(high),
        Err(largest) => match full_load(rules, phases, largest, volts) {
            Ok(most) if amps > most => largest * (amps / most),
            _ => Power::kw(high),
        },
    }
}

/// Ampacity for several motors on one feeder: 125 % of the largest and the sum of the others (NEC
/// 430.24).
pub fn feeder(motors: &[Current]) -> Current {
    let largest = motors.iter().fold(Current::ZERO, |a, b| a.max(*b));
    let sum = motors.iter().fold(Current::ZERO, |a, b| a + *b);
    sum + largest * 0.25
}

/// Most a machine's own overcurrent device may be rated: the largest branch device inside plus the
/// other loads (NEC 670.4(C)).
pub fn machine_overcurrent_cap(largest_branch_device: Current, others: &[Current]) -> Current {
    others.iter().fold(largest_branch_device, |a, b| a + *b)
}
