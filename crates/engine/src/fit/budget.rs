//! The error budget: what the finest tolerance leaves for the machine's positioning.
//!
//! Every contribution is a width of four standard deviations, as ISO 230-2 states positioning
//! accuracy (coverage factor 2; ISO 230-2:2014, from memory); independent ones add in quadrature
//! (JCGM 100:2008, 5.1.2). A tolerance is held when it is eight standard deviations wide, a process
//! capability of 1.33 (from memory), so half of it is shared among the contributions.

use crate::cutting::{Material, Materials};
use crate::demand::{Demand, Task, TaskKind};
use crate::machine::Machine;
use units::{Length, Stress};

/// Errors besides the machine's own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Errors {
    /// A datum found again by edge finder and indicator (common practice, no source).
    pub pick_up: Length,
    /// The same by a touch probe (common practice, no source).
    pub pick_up_probe: Length,
    /// Distance over which a fine tolerance holds: fits and pairs of holes, not whole parts (common
    /// practice, no source).
    pub span: Length,
    /// Temperatures of part and machine differ by this width after warming up (common practice, no
    /// source), kelvins.
    pub kelvins: f64,
    /// Best and worst positioning accuracy of any machine on offer (from memory; the worst of worn
    /// retrofits and of routers): finer than the one none holds, so that nothing is asked; a need
    /// coarser than the other is not asked for either. A worse accuracy that is stated still counts.
    pub machines: [Length; 2],
    /// Most spring passes taken to let a bent tool come back (common practice, no source).
    pub spring_passes: u32,
}

impl Default for Errors {
    fn default() -> Self {
        Self {
            pick_up: Length::mm(0.02),
            pick_up_probe: Length::mm(0.01),
            span: Length::mm(100.0),
            kelvins: 2.0,
            machines: [Length::mm(0.002), Length::mm(0.15)],
            spring_passes: 3,
        }
    }
}

/// What is left of a tolerance, contribution by contribution.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Budget {
    /// The finest tolerance, full width.
    pub tolerance: Length,
    /// Taken by finding the datum again in further clampings.
    pub re_clamping: Length,
    /// Taken by temperature.
    pub thermal: Length,
    /// Taken by the tool bending, after spring passes.
    pub deflection: Length,
    /// Spring passes for that.
    pub spring_passes: u32,
    /// Left for positioning; zero when the rest takes all.
    pub positioning: Length,
    /// Left when part and machine are brought to one temperature and walls are cut until no tool
    /// bends: what no care can add to. Only this decides, as how warm a shop is nobody stated.
    pub at_best: Length,
}

/// Share of the tolerance the tool's bending may take before spring passes are added.
const BENDING_SHARE: f64 = 1.0 / 8.0;
/// Expansion of steel scales and screws, 1/K (from memory).
const STEEL_EXPANSION: f64 = 11.5e-6;
/// Expansion where the material's own is not known: aluminium, the largest of the usual metals,
/// 1/K (from memory).
const LARGEST_EXPANSION: f64 = 23.6e-6;
/// Density below which a material is taken for a light metal or plastic, kg/m3.
const LIGHT: f64 = 4000.0;

/// The budget of a part; `None` when it has no tolerance. Each of the `further` clampings of a setup
/// beyond the first adds the error of finding the datum again; the worst pair of them was found anew
/// at either end, so beyond two it grows no more.
pub fn budget(
    demand: &Demand,
    materials: &Materials,
    machine: &Machine,
    errors: &Errors,
    further: u32,
) -> Option<Budget> {
    let tolerance = demand.tolerance.filter(|t| *t > Length::ZERO)?;
    let material = materials.0.get(&demand.material);
    let probe = machine.properties.probe.stated();
    let pick_up = if probe.is_some_and(|n| n.to_number() > 0.0) {
        errors.pick_up_probe
    } else {
        errors.pick_up
    };
    let re_clamping = pick_up * f64::from(further.min(2)).sqrt();
    let expansion = match material {
        Some(m) if m.density_kg_m3 >= LIGHT => STEEL_EXPANSION,
        _ => LARGEST_EXPANSION,
    };
    let longest = demand.stock.iter().copied().fold(Length::ZERO, Length::max);
    let thermal = longest.min(errors.span) * (expansion * errors.kelvins);
    let (deflection, spring_passes) = bending(demand, material, tolerance, errors);
    let half = 0.5 * tolerance.to_mm();
    let at_best = (half * half - re_clamping.to_mm().powi(2)).max(0.0);
    let left = at_best - thermal.to_mm().powi(2) - deflection.to_mm().powi(2);
    Some(Budget {
        tolerance,
        re_clamping,
        thermal,
        deflection,
        spring_passes,
        positioning: Length::mm(left.max(0.0).sqrt()),
        at_best: Length::mm(at_best.sqrt()),
    })
}

/// What the bending of the worst finishing tool takes, and the spring passes it needs. An eighth of
/// the tolerance is set aside where that many passes reach it; so a finer tolerance never leaves
/// more.
fn bending(
    demand: &Demand,
    material: Option<&Material>,
    tolerance: Length,
    errors: &Errors,
) -> (Length, u32) {
    let Some(material) = material else {
        return (Length::ZERO, 0);
    };
    let mut worst = (Length::ZERO, 0);
    for task in demand.tasks().filter(|t| t.kind == TaskKind::Side) {
        let copied = error_copying(task, material);
        let share = tolerance * BENDING_SHARE;
        let mut left = FINISH_STOCK * copied;
        let mut passes = 0;
        while left > share && passes < errors.spring_passes {
            left = left * copied;
            passes += 1;
        }
        worst = (worst.0.max(left.max(share)), worst.1.max(passes));
    }
    worst
}

/// Stock a finishing pass takes off a wall (common practice, no source).
const FINISH_STOCK: Length = Length::mm(0.3);
/// Young's modulus of cemented carbide, 580 GPa (handbook range 550 to 650, from memory).
const CARBIDE: Stress = Stress::mpa(580_000.0);
/// Diameter of the round bar that bends like a fluted cutter, as a share of the cutter's (common
/// practice, no source; published values lie between 0.75 and 0.85, from memory).
const CORE: f64 = 0.8;

/// Share of the stock a pass leaves standing because the tool bends away: cutting stiffness over
/// the sum of cutting and tool stiffness (the error-copying coefficient of machine-tool theory, from
/// memory). The tool is a cantilever; the force across the wall is taken as large as the one along.
fn error_copying(task: &Task, material: &Material) -> f64 {
    let d = task.tool.diameter.to_mm().max(0.1);
    let out = task.tool.reach.to_mm().max(d);
    let inertia = std::f64::consts::PI * (CORE * d).powi(4) / 64.0;
    let tool = 3.0 * CARBIDE.to_mpa() * inertia / out.powi(3);
    // Mean force of milling per millimetre of stock: power over cutting speed, kc ap fz z / (pi d).
    let teeth = 3.0;
    let feed = d.min(20.0) * material.feed_per_diameter.likely.to_number();
    let chip = (feed * (FINISH_STOCK.to_mm() / d).min(1.0).sqrt()).max(1.0e-3);
    let kc = material.kc11.likely.to_mpa() * chip.powf(-material.mc.likely.to_number());
    let deep = task.cut_depth.to_mm().clamp(0.0, 1.5 * d);
    let cutting = kc * deep * feed * teeth / (std::f64::consts::PI * d);
    cutting / (cutting + tool)
}
