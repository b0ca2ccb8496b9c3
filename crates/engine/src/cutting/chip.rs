//! Chip thickness and the specific force that follows from it.

use crate::material::Material;
use units::{Angle, Length, Stress};

/// Mean chip thickness of a milling cut: fz * 360 ae sin(kappa) / (pi D omega), omega the engaged
/// angle in degrees (Palbit catalogue p.A-252). `centred` when the cutter stands over the
/// middle of the cut (face milling), else it cuts along one side.
pub fn mean_chip(
    feed_per_tooth: Length,
    width: Length,
    diameter: Length,
    lead: Angle,
    centred: bool,
) -> Length {
    let share = (width / diameter).clamp(0.0, 1.0);
    if share <= 0.0 {
        return Length::ZERO;
    }
    let engaged_rad = if centred {
        2.0 * share.asin()
    } else {
        (1.0 - 2.0 * share).acos()
    };
    feed_per_tooth * (2.0 * share * lead.to_rad().sin() / engaged_rad)
}

/// Thinnest chip the power law is used for: below it the edge rubs and the published exponents no
/// longer hold (tables start at 0.05 mm or above; common practice, no source).
const THINNEST_CHIP: Length = Length::mm(0.01);

/// kc = kc1.1 h^-mc, h in millimetres (Kienzle; Dijet catalogue p.F007).
pub fn specific_force(material: &Material, chip: Length) -> Stress {
    material.kc11.likely * chip.max(THINNEST_CHIP).to_mm().powf(-material.mc)
}
