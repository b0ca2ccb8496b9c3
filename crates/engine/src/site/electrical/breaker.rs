//! Standard ratings of breakers, fuses, grounding conductors and disconnects.

use super::rules::Rules;
use units::Current;

/// NEC 240.6(A). To 400 A as read (EC&M Code Q&A, 14 March 2019, and two reference pages); above
/// from memory. 55, 65 and 85 A are no standard ratings.
const NEC: [f64; 34] = [
    15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 125.0,
    150.0, 175.0, 200.0, 225.0, 250.0, 300.0, 350.0, 400.0, 450.0, 500.0, 600.0, 700.0, 800.0,
    1000.0, 1200.0, 1600.0, 2000.0, 2500.0, 3000.0,
];
/// Circuit-breakers to IEC 60898-1 up to 125 A, moulded-case ones above. From memory.
const IEC: [f64; 19] = [
    6.0, 10.0, 13.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0, 160.0, 200.0,
    250.0, 315.0, 400.0, 630.0,
];
/// Usual ratings of disconnect switches. Common practice, no source.
const NEC_SWITCH: [f64; 7] = [30.0, 60.0, 100.0, 200.0, 400.0, 600.0, 800.0];
/// Likewise, switch-disconnectors to IEC 60947-3. Common practice, no source.
const IEC_SWITCH: [f64; 14] = [
    16.0, 20.0, 25.0, 32.0, 40.0, 63.0, 80.0, 100.0, 125.0, 160.0, 200.0, 250.0, 400.0, 630.0,
];

/// Ratings sold under the rules.
pub fn standard(rules: Rules) -> &'static [f64] {
    match rules {
        Rules::Nec => &NEC,
        Rules::Iec => &IEC,
    }
}

/// The smallest standard rating that is at least `amps`; `None` beyond the list.
pub fn next_standard(rules: Rules, amps: Current) -> Option<Current> {
    at_least(standard(rules), amps)
}

/// Disconnect in sight of the machine: at least 115 % of the full-load current (NEC 430.110(A)); under
/// IEC 60204-1 5.3 at least the current itself, and able to break the largest motor stalled.
pub fn disconnect(rules: Rules, load: Current) -> Option<Current> {
    match rules {
        Rules::Nec => at_least(&NEC_SWITCH, load * 1.15),
        Rules::Iec => at_least(&IEC_SWITCH, load),
    }
}

fn at_least(ratings: &[f64], amps: Current) -> Option<Current> {
    // Half a milliampere of slack: 1.25 x 16 A is 20 A whatever the rounding.
    ratings
        .iter()
        .find(|r| **r + 5e-4 >= amps.to_a())
        .map(|r| Current::a(*r))
}

/// Share of a motor's full-load current an inverse-time breaker may have, before rounding up to the
/// next standard rating (NEC Table 430.52(C)(1) and its Exception 1): 22 A x 2.5 = 55 A, so 60 A.
pub const MOTOR_BREAKER: f64 = 2.5;
