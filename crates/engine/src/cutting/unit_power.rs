//! Unit power: the older way to say specific force, in horsepower for each cubic inch a minute, with
//! factors for feed, tool wear and drive.

use units::{Length, Power, RemovalRate, Stress};

/// Power by unit power, in joules per cubic millimetre (Kalpakjian and Schmid, example 24.1; from
/// memory).
pub fn unit_power(removal: RemovalRate, joule_per_mm3: f64) -> Power {
    Power::w(removal.to_mm3_min() / 60.0 * joule_per_mm3)
}

/// Specific force of a unit power in hp per in3/min: one of them is 396 000 lbf/in2, 2730 MPa
/// (Cutting Tool Engineering, E. Isakov, ctemag.com/node/32217).
pub fn force_of_unit_power(hp_per_inch3_min: f64) -> Stress {
    let power = Power::hp(hp_per_inch3_min);
    let removal = RemovalRate::inch3_min(1.0);
    Stress::mpa(power.to_w() * 60.0e3 / removal.to_mm3_min())
}

/// Factors of the handbook method.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HandbookFactors {
    /// Unit power Kp, hp per in3/min.
    pub unit_power: f64,
    /// Feed factor C.
    pub feed: f64,
    /// Tool wear factor W.
    pub wear: f64,
    /// Share of the motor's power that reaches the cutter, E.
    pub efficiency: f64,
}

/// Power at the cutter and at the motor: Kp C Q W, and that over E (Machinery's Handbook, estimating
/// machining power; from memory).
pub fn handbook_power(removal: RemovalRate, factors: &HandbookFactors) -> [Power; 2] {
    let cutter =
        Power::hp(factors.unit_power * factors.feed * removal.to_inch3_min() * factors.wear);
    [cutter, cutter / factors.efficiency]
}

/// Largest removal rate a motor takes: P E / (Kp C W).
pub fn handbook_removal(motor: Power, factors: &HandbookFactors) -> RemovalRate {
    RemovalRate::inch3_min(
        motor.to_hp() * factors.efficiency / (factors.unit_power * factors.feed * factors.wear),
    )
}

/// Feed factor C of milling in closed form, (f / 0.012 in)^-0.195: our fit to the handbook's table
/// (from memory), within 0.03 of it from 0.001 to 0.040 in.
pub fn feed_factor(feed_per_tooth: Length) -> f64 {
    (feed_per_tooth.to_inch() / 0.012).powf(-0.195)
}

/// Tool wear factors W: least and greatest (Machinery's Handbook; from memory).
pub const WEAR_END_MILLING: [f64; 2] = [1.10, 1.10];
/// Light and medium face milling.
pub const WEAR_FACE_MILLING: [f64; 2] = [1.10, 1.25];
/// Drilling, from normal to very dull.
pub const WEAR_DRILLING: [f64; 2] = [1.30, 1.50];
