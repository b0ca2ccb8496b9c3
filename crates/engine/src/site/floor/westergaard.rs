//! Stress in a concrete slab on ground under one foot: Westergaard's interior, edge and corner loads.

use units::{Area, Force, Length, Stress, SubgradeModulus};

/// Poisson's ratio of concrete; the edge formula has it built in.
pub const POISSON: f64 = 0.15;

/// A slab on ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slab {
    /// Thickness.
    pub thickness: Length,
    /// Modulus of elasticity of the concrete.
    pub elasticity: Stress,
    /// Modulus of subgrade reaction.
    pub subgrade: SubgradeModulus,
}

/// Flexural stress by where on the slab the foot stands.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Stresses {
    /// Far from every edge and joint.
    pub interior: Stress,
    /// At an edge or an open joint.
    pub edge: Stress,
    /// At a corner.
    pub corner: Stress,
}

impl Stresses {
    /// The largest of the three.
    pub fn worst(&self) -> Stress {
        self.interior.max(self.edge).max(self.corner)
    }
}

/// Modulus of elasticity of normal-weight concrete from its strength, 57,000 sqrt(psi) (ACI 318,
/// from memory).
pub fn elasticity(strength: Stress) -> Stress {
    Stress::psi(57_000.0 * strength.to_psi().max(0.0).sqrt())
}

/// Modulus of rupture, 9 sqrt(psi): ACI 360R-10 example A1.3 prints 570 psi for 4,000 psi concrete
/// (569.2), a worksheet 532.4 psi for 3,500 psi (532.45).
pub fn modulus_of_rupture(strength: Stress) -> Stress {
    Stress::psi(9.0 * strength.to_psi().max(0.0).sqrt())
}

impl Slab {
    /// Radius of relative stiffness, (E h^3 / (12 (1 - mu^2) k))^(1/4).
    pub fn stiffness_radius(&self) -> Length {
        let (h, e, k) = self.in_inches();
        Length::inch((e * h.powi(3) / (12.0 * (1.0 - POISSON * POISSON) * k)).powf(0.25))
    }

    fn in_inches(&self) -> (f64, f64, f64) {
        (
            self.thickness.to_inch(),
            self.elasticity.to_psi(),
            self.subgrade.to_pci(),
        )
    }

    /// Radius of the circle that stands for a loaded area, and the one Westergaard's special theory
    /// replaces it with: sqrt(1.6 a^2 + h^2) - 0.675 h below a = 1.724 h (NPTEL Transportation
    /// Engineering, lecture 29).
    pub fn equivalent_radius(&self, loaded: Length) -> Length {
        if loaded < self.thickness * 1.724 {
            let (a, h) = (loaded.to_inch(), self.thickness.to_inch());
            Length::inch((1.6 * a * a + h * h).sqrt() - 0.675 * h)
        } else {
            loaded
        }
    }

    /// Stress under a load on an area. Interior: 3P(1+mu)/(2 pi h^2) [ln(2l/b) + 1/2 - gamma] and
    /// the supplementary 3P(1+mu)/(64 h^2) (b/l)^2 (after Ioannides et al. 1985). Edge: 0.572 P/h^2
    /// [4 log10(l/b) + 0.359]. Corner: 3P/h^2 [1 - (a sqrt 2 / l)^0.6]. Stress at an edge is never
    /// taken below the interior's nor any below zero, where a foot is so wide that the formulas
    /// leave their range.
    pub fn stresses(&self, load: Force, area: Area) -> Stresses {
        const EULER: f64 = 0.577_215_664_901_532_9;
        let h = self.thickness.to_inch();
        let p = load.to_lbf();
        let a = Length::mm((area.to_mm2() / std::f64::consts::PI).sqrt());
        let l = self.stiffness_radius().to_inch();
        let b = self.equivalent_radius(a).to_inch();
        let h2 = h * h;
        let interior = 3.0 * p * (1.0 + POISSON) / (std::f64::consts::TAU * h2)
            * ((2.0 * l / b).ln() + 0.5 - EULER)
            + 3.0 * p * (1.0 + POISSON) / (64.0 * h2) * (b / l).powi(2);
        let edge = 0.572 * p / h2 * (4.0 * (l / b).log10() + 0.359);
        let corner =
            3.0 * p / h2 * (1.0 - (a.to_inch() * std::f64::consts::SQRT_2 / l).powf(0.6)).max(0.0);
        let interior = interior.max(0.0);
        Stresses {
            interior: Stress::psi(interior),
            edge: Stress::psi(edge.max(interior)),
            corner: Stress::psi(corner),
        }
    }
}
