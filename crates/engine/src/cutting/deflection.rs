//! How far a tool bends: a cantilever of steps.

use units::{Force, Length, Stress};

/// Stiffness of tool materials, Young's modulus: cemented carbide and high-speed steel (textbook
/// values, from memory; 600 GPa is also what the published checks take).
pub const CARBIDE: Stress = Stress::mpa(600_000.0);
/// High-speed steel.
pub const HIGH_SPEED_STEEL: Stress = Stress::mpa(210_000.0);

/// Diameter of the plain bar that bends like a fluted one, as a share of the cutting diameter
/// (Kivanc and Budak 2004, widely used; from memory).
pub const FLUTED_SHARE: f64 = 0.8;

/// A step of a tool, from the clamped end outward.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Diameter that bends.
    pub diameter: Length,
    /// Length.
    pub length: Length,
}

/// Second moment of a round bar, mm^4.
fn moment_mm4(diameter: Length) -> f64 {
    std::f64::consts::PI * diameter.to_mm().powi(4) / 64.0
}

/// Stiffness at the tip of a bar of one diameter, N/mm: 3 E I / L^3 (Cutting Tool Engineering,
/// Isakov, ctemag.com/node/32217).
pub fn bar_stiffness(diameter: Length, length: Length, modulus: Stress) -> f64 {
    3.0 * modulus.to_mpa() * moment_mm4(diameter) / length.to_mm().powi(3)
}

/// Bend at the tip of a tool of steps, clamped where the first begins and loaded at the free end:
/// the sum over the steps of (b^3 - a^3) / (3 E I), b and a the distances of the step's ends from
/// the load (Castigliano; for one step the formula above).
pub fn tip_deflection(steps: &[Step], modulus: Stress, load: Force) -> Length {
    let mut from_tip_mm = 0.0f64;
    let mut compliance = 0.0;
    for step in steps.iter().rev() {
        let far_mm = from_tip_mm + step.length.to_mm();
        let bending = 3.0 * modulus.to_mpa() * moment_mm4(step.diameter);
        compliance += (far_mm.powi(3) - from_tip_mm.powi(3)) / bending;
        from_tip_mm = far_mm;
    }
    Length::mm(load.to_n() * compliance)
}

/// Bend of an end mill: its flutes at [`FLUTED_SHARE`], the rest of the stick-out at the shank.
pub fn end_mill_deflection(
    diameter: Length,
    flutes: Length,
    shank: Length,
    stick_out: Length,
    modulus: Stress,
    load: Force,
) -> Length {
    let flutes = flutes.min(stick_out);
    let steps = [
        Step {
            diameter: shank,
            length: stick_out - flutes,
        },
        Step {
            diameter: FLUTED_SHARE * diameter,
            length: flutes,
        },
    ];
    tip_deflection(&steps, modulus, load)
}
