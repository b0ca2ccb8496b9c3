//! `firstchip.floor/1`.

use super::Note;
use engine::site::FLOOR_CAUTION;
use engine::site::floor::{Concrete, FootCheck, Slab, elasticity};
use serde::Serialize;
use serde_json::{Value, json};
use units::{Length, Mass, Stress};

/// Is the foot carried wherever it stands?
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Even by the poorest concrete and ground where nobody stated them.
    Yes,
    /// Not even by the best.
    No,
    /// Turns on what nobody stated.
    CannotSay,
}

/// The document.
#[derive(Debug, Serialize)]
pub struct FloorDocument {
    schema: &'static str,
    load_kg: f64,
    stress_mpa: Value,
    allowed_mpa: f64,
    ok: bool,
    verdict: Verdict,
    ok_at: Value,
    safety_factor: f64,
    pressure_mpa: Option<f64>,
    elasticity_mpa: f64,
    stiffness_radius_mm: f64,
    thickness_needed_mm: Option<f64>,
    load_most_kg: f64,
    concrete_mpa: f64,
    subgrade_mpa_m: f64,
    source: &'static str,
    caution: &'static str,
    notes: Vec<Note>,
}

impl FloorDocument {
    /// From a check.
    pub fn new(
        concrete: &Concrete,
        load: Mass,
        check: &FootCheck,
        verdict: Verdict,
        needed: Option<Length>,
        most: Mass,
        notes: Vec<Note>,
    ) -> Self {
        let slab = Slab {
            thickness: concrete.thickness,
            elasticity: elasticity(concrete.strength),
            subgrade: concrete.subgrade,
        };
        let s = check.stress;
        let ok = |stress: Stress| stress <= check.allowed;
        Self {
            schema: "firstchip.floor/1",
            load_kg: load.to_kg(),
            stress_mpa: json!({ "interior": s.interior, "edge": s.edge, "corner": s.corner }),
            allowed_mpa: check.allowed.to_mpa(),
            ok: check.anywhere(),
            verdict,
            ok_at: json!({
                "interior": ok(s.interior), "edge": ok(s.edge), "corner": ok(s.corner),
            }),
            safety_factor: concrete.safety,
            pressure_mpa: check.pressure.map(Stress::to_mpa),
            elasticity_mpa: slab.elasticity.to_mpa(),
            stiffness_radius_mm: slab.stiffness_radius().to_mm(),
            thickness_needed_mm: needed.map(Length::to_mm),
            load_most_kg: most.to_kg(),
            concrete_mpa: concrete.strength.to_mpa(),
            subgrade_mpa_m: concrete.subgrade.to_mpa_m(),
            source: engine::site::floor::SOURCE,
            caution: FLOOR_CAUTION,
            notes,
        }
    }
}
