//! Does the floor carry it? One foot on a slab on ground, and a machine on its feet. A screen: joists,
//! soft ground and wide cracks go to an engineer.

mod soil;
mod verdict;
mod westergaard;

pub use soil::{BEARING, ELEVATED, Soil, pad_side};
pub(super) use verdict::check;
pub use westergaard::{Slab, Stresses, elasticity, modulus_of_rupture};

use crate::entered::FloorKind;
use serde::Serialize;
use units::{Area, Force, GRAVITY_M_S2, Length, Mass, Stress, SubgradeModulus};

/// Concrete nobody tested lies between these: 1,500 psi of an old or poor slab, and 6,000 psi, more
/// than floors are ordered with. From memory; house codes accept no less than 2,500 psi for a new
/// slab, industrial floors are poured with 3,500 to 4,500.
pub const STRENGTH: [Stress; 2] = [Stress::psi(1500.0), Stress::psi(6000.0)];
/// Subgrade nobody tested lies between these: 25 pci of soft clay, half the lowest of the published
/// examples (50 pci, ACI 360 wheel case), and 400 pci of well compacted gravel. Ends from memory.
pub const SUBGRADE: [SubgradeModulus; 2] =
    [SubgradeModulus::pci(25.0), SubgradeModulus::pci(400.0)];
/// Modulus of rupture over allowed stress. The published examples use 1.4 (posts) and 2 (wheels); a
/// slab whose making nobody watched takes the larger.
pub const SAFETY_FACTOR: f64 = 2.0;
/// Machines stand neither on thinner nor on thicker slabs than these when a flip is looked for.
const THICKNESS_SEARCH: [Length; 2] = [Length::mm(25.0), Length::mm(1000.0)];

/// One foot on a slab.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Foot {
    /// What it carries.
    pub load: Mass,
    /// Area it stands on.
    pub area: Area,
}

/// What is known of the slab.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Concrete {
    /// Thickness.
    pub thickness: Length,
    /// Compressive strength.
    pub strength: Stress,
    /// Subgrade.
    pub subgrade: SubgradeModulus,
    /// Modulus of rupture over allowed stress.
    pub safety: f64,
}

/// One foot's stresses against the allowed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FootCheck {
    /// Stresses by place.
    pub stress: Stresses,
    /// Allowed.
    pub allowed: Stress,
    /// Pressure under the foot itself; `None` under a point.
    pub pressure: Option<Stress>,
}

impl FootCheck {
    /// Carried wherever the foot stands.
    pub fn anywhere(&self) -> bool {
        self.stress.worst() <= self.allowed
    }

    /// Carried away from edges, joints and corners.
    pub fn inside(&self) -> bool {
        self.stress.interior <= self.allowed
    }
}

impl Concrete {
    /// A slab of which strength or subgrade may be unknown, at the worst and at the best that is
    /// likely met: a yes must hold for the worst, a no for the best.
    pub fn worst_and_best(
        thickness: Length,
        strength: Option<Stress>,
        subgrade: Option<SubgradeModulus>,
        safety: f64,
    ) -> [Self; 2] {
        [0, 1].map(|end| Self {
            thickness,
            strength: strength.unwrap_or(STRENGTH[end]),
            subgrade: subgrade.unwrap_or(SUBGRADE[end]),
            safety,
        })
    }

    /// Least strength that carries a foot inside the slab, up to the best that is likely met.
    pub fn strength_for(&self, foot: Foot) -> Option<Stress> {
        let [low, high] = STRENGTH.map(Stress::to_psi);
        let holds = |psi| {
            let strength = Stress::psi(psi);
            Self { strength, ..*self }.check(foot).inside()
        };
        least(low, high, 1.0, holds).map(Stress::psi)
    }

    /// Least subgrade that does.
    pub fn subgrade_for(&self, foot: Foot) -> Option<SubgradeModulus> {
        let [low, high] = SUBGRADE.map(SubgradeModulus::to_pci);
        let holds = |pci| {
            let subgrade = SubgradeModulus::pci(pci);
            Self { subgrade, ..*self }.check(foot).inside()
        };
        least(low, high, 0.1, holds).map(SubgradeModulus::pci)
    }

    /// Checks one foot.
    pub fn check(&self, foot: Foot) -> FootCheck {
        let slab = Slab {
            thickness: self.thickness,
            elasticity: elasticity(self.strength),
            subgrade: self.subgrade,
        };
        let force = Force::n(foot.load.to_kg() * GRAVITY_M_S2);
        FootCheck {
            stress: slab.stresses(force, foot.area),
            allowed: modulus_of_rupture(self.strength) / self.safety,
            pressure: (foot.area > Area::ZERO)
                .then(|| Stress::n_per_mm2(force.to_n() / foot.area.to_mm2())),
        }
    }

    /// Least thickness that carries a foot inside the slab, or none up to a metre.
    pub fn thickness_for(&self, foot: Foot) -> Option<Length> {
        let [low, high] = THICKNESS_SEARCH.map(Length::to_mm);
        let holds = |mm| {
            let thickness = Length::mm(mm);
            Self { thickness, ..*self }.check(foot).inside()
        };
        // To a tenth of a millimetre.
        least(low, high, 0.1, holds).map(Length::mm)
    }

    /// Largest load of a foot of an area that is carried inside the slab: stress is in proportion.
    pub fn load_for(&self, area: Area) -> Mass {
        let one = self.check(Foot {
            load: Mass::kg(1.0),
            area,
        });
        Mass::kg(one.allowed / one.stress.interior)
    }
}

/// Where a condition that holds from some value on begins to, by halving.
fn least(mut low: f64, mut high: f64, within: f64, holds: impl Fn(f64) -> bool) -> Option<f64> {
    if !holds(high) {
        return None;
    }
    if holds(low) {
        return Some(low);
    }
    while high - low > within {
        let middle = 0.5 * (low + high);
        if holds(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high)
}

/// Does the floor carry the machine?
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Carries {
    /// By every number, with the feet at their worst.
    Yes,
    /// Turns on something nobody stated.
    #[default]
    CannotSay,
    /// Not even with the weight evenly spread over the feet and the best slab that is likely met.
    No,
    /// Not for a screen: a structural engineer's.
    Engineer,
}

/// The floor compared.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Floor {
    /// Verdict.
    pub carries: Carries,
    /// What it stands on, as stated.
    pub kind: Option<FloorKind>,
    /// Load of one foot, evenly spread.
    pub foot_even: Option<Mass>,
    /// Load of the most loaded foot: by the drawing, or the even split doubled.
    pub foot_worst: Option<Mass>,
    /// Area of one foot, where stated; a point otherwise.
    pub foot_area_mm2: Option<f64>,
    /// Stress under the most loaded foot.
    pub stress_mpa: Option<Stresses>,
    /// Allowed stress.
    pub allowed_mpa: Option<Stress>,
    /// Thickness that would carry the most loaded foot away from edges.
    pub thickness_needed: Option<Length>,
    /// Distance from edges and open joints to keep: the slab's radius of stiffness.
    pub keep_from_edges: Option<Length>,
    /// What was taken for want of a statement.
    pub assumed: Vec<String>,
    /// Where the formulas come from.
    pub source: &'static str,
    /// What it must not be taken for.
    pub caution: &'static str,
}

/// Where the formulas come from.
pub const SOURCE: &str = "Westergaard's interior, edge and corner stresses (NPTEL Transportation Engineering lecture 29; Ioannides et al. 1985), allowed 9 sqrt(fc) over the safety factor (ACI 360R-10)";
