//! What soil bears, and what elevated floors are usually made for: numbers to take to an engineer,
//! never a verdict.

use units::{Area, Force, GRAVITY_M_S2, Length, Mass, Stress};

/// A soil with the pressure it is presumed to bear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Soil {
    /// What it is.
    pub name: &'static str,
    /// Presumed bearing pressure.
    pub pressure: Stress,
}

const fn soil(name: &'static str, psf: f64) -> Soil {
    Soil {
        name,
        pressure: Stress::psi(psf / 144.0),
    }
}

/// Presumptive bearing pressures: IBC 2012 table 1806.2 (Geotechnical Earthquake Engineering table
/// 14.6, what-when-how.com).
pub const BEARING: [Soil; 5] = [
    soil("bedrock", 12_000.0),
    soil("foliated rock", 4_000.0),
    soil("gravel", 3_000.0),
    soil("sand", 2_000.0),
    soil("clay or silt", 1_500.0),
];
/// Soil nobody looked at: 1,500 psf, as 24 CFR 3285.202 takes it (ecfr.gov).
pub const UNKNOWN: Soil = BEARING[4];

/// Loads that elevated floors are designed for: uniform, and at one point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Elevated {
    /// What floor.
    pub name: &'static str,
    /// Uniform load; `None` where the source names none.
    pub uniform: Option<Stress>,
    /// Load at one point.
    pub point: Force,
}

/// Elevated garage: 2,000 lb on 4.5 by 4.5 in or the uniform load, whichever is worse (WAC 51-51-0301
/// note a, a state residential code). Light and heavy manufacturing: 125 and 250 psf, 2,000 and 3,000 lb
/// (IBC table 1607.1, from memory).
pub const ELEVATED: [Elevated; 3] = [
    Elevated {
        name: "garage",
        uniform: None,
        point: Force::lbf(2000.0),
    },
    Elevated {
        name: "light manufacturing",
        uniform: Some(Stress::psi(125.0 / 144.0)),
        point: Force::lbf(2000.0),
    },
    Elevated {
        name: "heavy manufacturing",
        uniform: Some(Stress::psi(250.0 / 144.0)),
        point: Force::lbf(3000.0),
    },
];

/// Side of a square pad under which a weight presses no harder than a soil bears; the pad's own
/// weight comes on top.
pub fn pad_side(weight: Mass, pressure: Stress) -> Length {
    let force = Force::n(weight.to_kg() * GRAVITY_M_S2);
    let area = Area::mm2(force.to_n() / pressure.to_mpa());
    Length::mm(area.to_mm2().sqrt())
}
