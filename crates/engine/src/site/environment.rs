//! Noise at the operator and at the boundary, heat, coolant, mist, dust.

use super::{Room, texts};
use crate::machine::{Known, Machine};
use serde::Serialize;
use units::{Length, Mass, Power, Quantity};

/// Whose exposure rule: criterion level for eight hours and the step that halves the time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Exposure {
    /// 29 CFR 1910.95: 90 dBA, 5 dB.
    Osha,
    /// NIOSH: 85 dBA, 3 dB.
    Niosh,
    /// Directive 2003/10/EC, upper action value: 85 dBA, 3 dB; lower 80, limit 87 under the protector
    /// (from memory).
    Eu,
}

impl Exposure {
    fn rule(self) -> (f64, f64) {
        match self {
            Self::Osha => (90.0, 5.0),
            Self::Niosh | Self::Eu => (85.0, 3.0),
        }
    }

    /// Hours a day at a level that make a full dose: 8 / 2^((L - criterion) / step).
    pub fn hours(self, level_dba: f64) -> f64 {
        let (criterion, step) = self.rule();
        8.0 / 2.0_f64.powf((level_dba - criterion) / step)
    }

    /// Dose of a day of several levels, as a share: sum of hours spent over hours allowed.
    pub fn dose(self, day: &[(f64, f64)]) -> f64 {
        day.iter()
            .map(|(level, hours)| hours / self.hours(*level))
            .sum()
    }

    /// The steady level of eight hours with the same dose.
    pub fn average(self, dose: f64) -> f64 {
        let (criterion, step) = self.rule();
        criterion + step * dose.log2()
    }
}

/// Level at a distance from a level near by, over a hard floor in the open: 6 dB down for each
/// doubling. From memory; walls lower it, a closed yard raises it.
pub fn at_distance(near_dba: f64, near: Length, far: Length) -> f64 {
    near_dba - 20.0 * (far / near).max(1.0).log10()
}

/// Noise of the machine.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Noise {
    /// Level at the operator, low and high, dBA.
    pub operator_dba: [f64; 2],
    /// True when nobody stated it.
    pub assumed: bool,
    /// Hours a day beside it taken.
    pub hours: f64,
    /// Dose of 29 CFR 1910.95, per cent, low and high.
    pub osha_dose_pct: [f64; 2],
    /// Dose by NIOSH, per cent.
    pub niosh_dose_pct: [f64; 2],
    /// Daily exposure against the European upper action value, per cent of it.
    pub eu_dose_pct: [f64; 2],
    /// Level at the boundary with the door open, dBA.
    pub boundary_dba: Option<[f64; 2]>,
    /// What it must not be taken for.
    pub caution: &'static str,
}

/// What the machine does to the room.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Environment {
    /// Noise.
    pub noise: Noise,
    /// Heat given to the room while it cuts, kW, low and high: nearly all the power drawn ends there.
    pub heat_kw: Option<[f64; 2]>,
    /// Coolant in the sump, litres, low and high.
    pub coolant_l: Option<[f64; 2]>,
    /// On spent coolant.
    pub coolant: &'static str,
    /// On mist.
    pub mist: &'static str,
    /// On dust and chips.
    pub dust: &'static str,
}

/// Enclosed machining centres 80 to 90 dBA, open bench machines 75 to 95 (promakehub.com).
const TYPICAL_DBA: [f64; 2] = [75.0, 95.0];
/// Makers state a level at one metre (ISO 11202 family, from memory).
const OPERATOR_DISTANCE: Length = Length::m(1.0);
/// A stated level is a maker's under his conditions: cutting adds. Common practice, no source.
const CUTTING_ADDS_DB: f64 = 5.0;
/// Hours a day nobody stated.
const USUAL_HOURS: f64 = 8.0;
/// Mean power over connected load while cutting. From memory.
const LOAD_SHARE: [f64; 2] = [0.2, 0.6];
/// Sump over machine weight, litres a kilogram. From memory, wide.
const SUMP_L_PER_KG: [f64; 2] = [0.03, 0.08];

const COOLANT: &str = "spent coolant and tramp oil are industrial waste, never for the drain; sludge disposal has been quoted at 900 dollars a drum (carbideprocessors.com)";
const MIST: &str = "recommended limit for metalworking fluid mist 0.4 mg/m3 of thoracic dust (NIOSH, from memory); the US limit for mineral oil mist is 5 mg/m3 (29 CFR 1910.1000, from memory). Enclosure and extraction before masks";
const DUST: &str = "cast iron, graphite, glass- or carbon-filled plastics and wood make dust that wears ways and harms lungs: cut wet or extract. Magnesium and titanium fines burn: small piles, class D agent, no water";

pub(super) fn of(machine: &Machine, room: &Room) -> Environment {
    let p = &machine.properties;
    let stated = p.noise.stated().map(Quantity::base);
    let operator = stated.map_or(TYPICAL_DBA, |l| [l, l + CUTTING_ADDS_DB]);
    let hours = room.facts.hours_beside.map_or(USUAL_HOURS, Quantity::base);
    let dose = |rule: Exposure| operator.map(|l| 100.0 * rule.dose(&[(l, hours)]));
    Environment {
        noise: Noise {
            operator_dba: operator,
            assumed: stated.is_none(),
            hours,
            osha_dose_pct: dose(Exposure::Osha),
            niosh_dose_pct: dose(Exposure::Niosh),
            eu_dose_pct: dose(Exposure::Eu),
            boundary_dba: room
                .facts
                .boundary
                .map(|far| operator.map(|l| at_distance(l, OPERATOR_DISTANCE, far))),
            caution: texts::NOISE_CAUTION,
        },
        heat_kw: connected(machine).map(|kw| LOAD_SHARE.map(|s| s * kw.to_kw())),
        coolant_l: weight(p.weight).map(|w| SUMP_L_PER_KG.map(|l| l * w.to_kg())),
        coolant: COOLANT,
        mist: MIST,
        dust: DUST,
    }
}

/// Power connected, from current or apparent power; a power factor of one is taken, as all of it
/// heats.
fn connected(machine: &Machine) -> Option<Power> {
    let p = &machine.properties;
    let volts = p.supply_volts.estimate()?.to_v();
    let phases = super::electrical::Phases::of(p.supply_phases.estimate()?.base());
    let from_amps = p
        .supply_amps
        .estimate()
        .map(|a| Power::w(a.to_a() * volts * phases.power_factor_of_lines()));
    from_amps.or_else(|| Some(Power::kw(p.supply_kva.estimate()?.to_kva())))
}

fn weight(known: Known<Mass>) -> Option<Mass> {
    known.estimate()
}
