//! Chip thickness from engagement, and the specific force that follows from it.
//!
//! Two conventions of chip thinning are in print and differ by a factor of two at light widths: some
//! makers hold the mean chip, others the largest. [`Thinning`] names which is meant.

use crate::material::{Material, PIVOT_CHIP};
use units::{Angle, Length, Stress};

/// Angle over which a tooth is in the cut: one side of the cutter, or, when `centred`, its middle
/// (Palbit catalogue p.A-252 and 253).
pub fn engaged_angle(width: Length, diameter: Length, centred: bool) -> Angle {
    let share = share(width, diameter);
    Angle::rad(if centred {
        2.0 * share.asin()
    } else {
        (1.0 - 2.0 * share).acos()
    })
}

fn share(width: Length, diameter: Length) -> f64 {
    let share = width / diameter;
    if share.is_nan() {
        0.0
    } else {
        share.clamp(0.0, 1.0)
    }
}

/// Mean chip thickness of a milling cut: fz 360 ae sin(kappa) / (pi D omega), omega the engaged
/// angle in degrees, kappa the cutting edge angle (Palbit catalogue p.A-252).
pub fn mean_chip(
    feed_per_tooth: Length,
    width: Length,
    diameter: Length,
    cutting_edge_angle: Angle,
    centred: bool,
) -> Length {
    let engaged = engaged_angle(width, diameter, centred).to_rad();
    if engaged <= 0.0 {
        return Length::ZERO;
    }
    feed_per_tooth * (2.0 * share(width, diameter) * cutting_edge_angle.to_rad().sin() / engaged)
}

/// The same for light cuts, fz sqrt(ae / D), good up to a tenth of the diameter (Dijet catalogue
/// p.F007, ISCAR milling guide p.230).
pub fn mean_chip_of_light_cut(feed_per_tooth: Length, width: Length, diameter: Length) -> Length {
    feed_per_tooth * share(width, diameter).sqrt()
}

/// Largest chip thickness along one side: 2 fz sqrt(x (1 - x)) sin(kappa), x = ae / D up to a half,
/// beyond which a tooth passes the full feed.
pub fn largest_chip(
    feed_per_tooth: Length,
    width: Length,
    diameter: Length,
    cutting_edge_angle: Angle,
) -> Length {
    let x = share(width, diameter).min(0.5);
    feed_per_tooth * (2.0 * (x * (1.0 - x)).sqrt() * cutting_edge_angle.to_rad().sin())
}

/// Which chip thickness a feed is compensated to keep.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Thinning {
    /// The mean chip: fz = hm sqrt(D / ae) (Stellram catalogue p.87).
    Mean,
    /// The largest chip (geometry).
    Largest,
}

impl Thinning {
    /// How much more feed a light cut of this width takes at the same chip.
    pub fn compensation(self, width: Length, diameter: Length) -> f64 {
        let one = Length::mm(1.0);
        let thinned = match self {
            Thinning::Mean => mean_chip_of_light_cut(one, width, diameter),
            Thinning::Largest => largest_chip(one, width, diameter, Angle::deg(90.0)),
        };
        one / thinned
    }
}

/// Thinnest chip the power law is used for: below it the edge rubs and the published exponents no
/// longer hold (tables start at 0.05 mm or above; common practice, no source).
const THINNEST_CHIP: Length = Length::mm(0.01);

/// kc = kc1.1 h^-mc, h in millimetres (Kienzle; Dijet catalogue p.F007).
pub fn kienzle(kc11: Stress, mc: f64, chip: Length) -> Stress {
    kc11 * chip.max(THINNEST_CHIP).to_mm().powf(-mc)
}

/// Specific force in a material at its likely numbers.
pub fn specific_force(material: &Material, chip: Length) -> Stress {
    kienzle(material.kc11.likely, material.mc.likely.to_number(), chip)
}

/// Least and greatest specific force the published tables allow a material at this chip.
pub fn specific_force_band(material: &Material, chip: Length) -> [Stress; 2] {
    let (kc_low, kc_high) = material.kc11.ends();
    let (mc_low, mc_high) = material.mc.ends();
    let mc_likely = material.mc.likely.to_number();
    let at = |kc: Stress, mc: units::Number| {
        let mc = mc.to_number();
        kienzle(kc * PIVOT_CHIP.to_mm().powf(mc - mc_likely), mc, chip)
    };
    [
        at(kc_low, mc_low).min(at(kc_low, mc_high)),
        at(kc_high, mc_low).max(at(kc_high, mc_high)),
    ]
}

/// Chip of a tap tooth at which specific force is read off where the tap makers print none: at 0.1 mm
/// the power law gives 2489 for kc1.1 1500 where they print 2500 for structural steel (LUBERO), and
/// 3400 where they print 3200 for austenitic.
const TAP_CHIP: Length = Length::mm(0.1);

/// Specific force of tapping, for [`super::tapping_torque`].
pub fn tap_force(material: &Material) -> Stress {
    material
        .tap_force
        .as_ref()
        .map_or_else(|| specific_force(material, TAP_CHIP), |v| v.likely)
}

/// Correction for a rake angle: one per cent less for each degree (makers' technical guides, from
/// memory; their texts say at least that kc falls as the rake grows).
pub fn at_rake(force: Stress, rake: Angle) -> Stress {
    force * (1.0 - rake.to_deg() / 100.0)
}
