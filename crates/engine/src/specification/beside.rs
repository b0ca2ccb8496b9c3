//! What saves clampings and time beside travel, table and spindle: rotary axes, coolant, memory. A
//! part never fails for lack of them, so there is a comfort and no need.

use crate::cycle::DEEP;
use crate::demand::{Demand, Setup, TaskKind};
use crate::fit::{Capability, program_kb};
use glam::DVec3;

/// Sides cut from which a rotary axis is a want: two are turned over in the vise (common practice, no
/// source).
const SIDES: usize = 3;
/// Directions closer to square than this are square: a thousandth of a degree.
const SQUARE: f64 = 1.7e-5;

/// Comforts of a part.
pub(super) fn of_part(demand: &Demand) -> Vec<(Capability, f64)> {
    let mut comforts = Vec::new();
    let axes = rotary_axes(demand);
    if axes > 0 {
        comforts.push((Capability::RotaryAxes, f64::from(axes)));
    }
    let deep = demand
        .tasks()
        .any(|t| t.kind == TaskKind::Drill && t.cut_depth > t.tool.diameter * DEEP);
    if deep {
        comforts.push((Capability::Coolant, 1.0));
    }
    let memory = program_kb(demand);
    if memory > 0.0 {
        comforts.push((Capability::ProgramMemory, memory));
    }
    comforts
}

/// Fewest rotary axes that take the most sides in one clamping; none when fewer than [`SIDES`]
/// would join.
fn rotary_axes(demand: &Demand) -> u32 {
    let [one, two] = [1, 2].map(|axes| most_sides(demand, axes));
    if two > one && two >= SIDES {
        2
    } else {
        u32::from(one >= SIDES)
    }
}

/// Sides reached in one clamping at best: one axis turns about the held end's direction, two tilt it
/// as well, so that all but the held end is reached.
fn most_sides(demand: &Demand, axes: u32) -> usize {
    let ends = [DVec3::X, DVec3::Y, DVec3::Z].map(|e| [e, -e]);
    let joins = |s: &&Setup, free: DVec3| {
        let along = s.toward.dot(free);
        !s.tasks.is_empty() && (along.abs() < SQUARE || (axes >= 2 && along > 0.0))
    };
    ends.into_iter()
        .flatten()
        .map(|free| demand.setups.iter().filter(|s| joins(s, free)).count())
        .max()
        .unwrap_or(0)
}
