//! A model's plan, made in `geometry`, as setups and tasks.

use super::{Holding, Setup, Task, TaskKind, ToolNeed, ToolShape, tools};
use geometry::features::thread::thread_name;
use geometry::plan::clamp::Hold;
use geometry::plan::tasks::{PlannedKind, PlannedTask, PlannedTool};
use geometry::plan::{Plan, PlannedSetup};
use glam::{DMat4, DVec3};
use units::{Area, Length, Volume};

/// Height of the ridges a ball or bull-nose cutter may leave where no tolerance is stated, mm
/// (common practice, no source).
const SCALLOP_MM: f64 = 0.02;

/// What of a part in one draw decides how a plan reads.
pub(super) struct Wanted {
    /// Stock on every side.
    pub allowance: Length,
    /// How it is held, when stated.
    pub holding: Option<Holding>,
    /// Finest tolerance.
    pub tolerance: Option<Length>,
    /// Volume to remove from the stock of this draw.
    pub removed: Volume,
}

/// Setups of a plan for the stock it was made for.
pub fn setups_of(plan: &Plan) -> Vec<Setup> {
    let wanted = Wanted {
        allowance: Length::mm(plan.allowance_mm),
        holding: None,
        tolerance: None,
        removed: Volume::mm3(plan.removed_mm3),
    };
    setups(plan, &wanted)
}

/// Setups of a plan. Where the stock of the draw is not the one the plan was made for, what is
/// milled grows or shrinks in proportion.
pub(super) fn setups(plan: &Plan, wanted: &Wanted) -> Vec<Setup> {
    let holes: f64 = tasks(plan)
        .filter(|t| t.of_hole)
        .map(|t| t.volume_mm3)
        .sum();
    let milled: f64 = tasks(plan)
        .filter(|t| !t.of_hole)
        .map(|t| t.volume_mm3)
        .sum();
    let rest = (wanted.removed.to_mm3() - holes - plan.left_mm3).max(0.0);
    let factor = if milled > 0.0 { rest / milled } else { 0.0 };
    let more_mm = wanted.allowance.to_mm() - plan.allowance_mm;
    plan.setups
        .iter()
        .map(|s| setup(s, wanted, factor, more_mm))
        .collect()
}

fn tasks(plan: &Plan) -> impl Iterator<Item = &PlannedTask> {
    plan.setups.iter().flat_map(|s| &s.tasks)
}

fn setup(planned: &PlannedSetup, wanted: &Wanted, factor: f64, more_mm: f64) -> Setup {
    let extent = planned
        .extent_mm
        .map(|e| Length::mm((e + 2.0 * more_mm).max(0.0)));
    let own = match planned.clamp.hold {
        Hold::Vise => Holding::Vise,
        Hold::Plate => Holding::Plate,
    };
    Setup {
        toward: planned.toward,
        setup_from_part: DMat4::from_translation(DVec3::splat(more_mm)) * planned.setup_from_part,
        extent,
        tasks: planned
            .tasks
            .iter()
            .map(|t| task(t, wanted, extent, factor, more_mm))
            .collect(),
        holding: wanted.holding.unwrap_or(own),
        area_share: planned.area_share,
    }
}

fn task(
    planned: &PlannedTask,
    wanted: &Wanted,
    extent: [Length; 3],
    factor: f64,
    more_mm: f64,
) -> Task {
    let kind = match planned.kind {
        PlannedKind::Face => TaskKind::Face,
        PlannedKind::Rough => TaskKind::Rough,
        PlannedKind::Drill => TaskKind::Drill,
        PlannedKind::Bottom => TaskKind::Bottom,
        PlannedKind::Side => TaskKind::Side,
        PlannedKind::Freeform => TaskKind::Freeform,
        PlannedKind::Bore => TaskKind::Bore,
        PlannedKind::Ream => TaskKind::Ream,
        PlannedKind::Tap => TaskKind::Tap,
        PlannedKind::Thread => TaskKind::Thread,
        PlannedKind::Chamfer => TaskKind::Chamfer,
    };
    let shape = match planned.tool {
        PlannedTool::Flat => ToolShape::Flat,
        PlannedTool::Bull => ToolShape::Bull,
        PlannedTool::Ball => ToolShape::Ball,
        PlannedTool::Face => ToolShape::Face,
        PlannedTool::Drill => ToolShape::Drill,
        PlannedTool::Boring => ToolShape::Boring,
        PlannedTool::Reamer => ToolShape::Reamer,
        PlannedTool::Tap => ToolShape::Tap,
        PlannedTool::Chamfer => ToolShape::Chamfer,
    };
    let face = kind == TaskKind::Face;
    let allowance = wanted.allowance;
    let scale = if planned.of_hole { 1.0 } else { factor };
    let area = if face {
        Area::mm2(extent[0].to_mm() * extent[1].to_mm())
    } else {
        Area::mm2(planned.area_mm2)
    };
    let depth = if face {
        allowance
    } else {
        Length::mm((planned.depth_mm + more_mm).max(0.0))
    };
    Task {
        kind,
        tool: ToolNeed {
            shape,
            diameter: if face {
                tools::face_mill(extent[0].min(extent[1]))
            } else {
                Length::mm(planned.diameter_mm)
            },
            corner: Length::mm(planned.corner_mm),
            reach: if face {
                allowance
            } else {
                Length::mm(planned.reach_mm)
            },
        },
        volume: Volume::mm3(planned.volume_mm3 * scale),
        area,
        count: planned.count,
        depth,
        cut_depth: if face {
            allowance
        } else {
            Length::mm(planned.cut_depth_mm)
        },
        neck: (planned.neck_mm > 0.0).then(|| Length::mm(planned.neck_mm)),
        pitch: (planned.pitch_mm > 0.0).then(|| Length::mm(planned.pitch_mm)),
        pass_depth: None,
        stepover: (kind == TaskKind::Freeform).then(|| stepover(planned, wanted.tolerance)),
        outside: planned.outside,
        about: about(planned),
    }
}

/// Distance of lines that leaves ridges of a permitted height on a flat slant: a chord of the
/// corner's circle, s = 2 sqrt(2 r h - h^2).
fn stepover(planned: &PlannedTask, tolerance: Option<Length>) -> Length {
    let ridge = tolerance.map_or(SCALLOP_MM, |t| (0.5 * t.to_mm()).clamp(0.002, SCALLOP_MM));
    let r = planned.corner_mm.max(ridge);
    Length::mm(2.0 * (2.0 * r * ridge - ridge * ridge).max(0.0).sqrt())
}

/// What a task is for, in words.
fn about(planned: &PlannedTask) -> String {
    let thread = || thread_name(planned.diameter_mm, planned.pitch_mm);
    let text = match (planned.kind, planned.of_hole) {
        (PlannedKind::Face, _) => "facing",
        (PlannedKind::Rough, false) if planned.outside => "roughing",
        (PlannedKind::Rough, false) => "roughing what larger cutters leave",
        (PlannedKind::Rough, true) => "milling holes",
        (PlannedKind::Drill, _) => "drilling",
        (PlannedKind::Bottom, _) => "floors",
        (PlannedKind::Side, _) => "walls",
        (PlannedKind::Freeform, _) => "slanted and curved faces",
        (PlannedKind::Bore, _) => "boring to size",
        (PlannedKind::Ream, _) => "reaming to size",
        (PlannedKind::Tap, _) => return format!("tapping {}", thread()),
        (PlannedKind::Thread, _) => return format!("milling the thread {}", thread()),
        (PlannedKind::Chamfer, true) => "countersinks",
        (PlannedKind::Chamfer, false) if planned.edges => "edges broken",
        (PlannedKind::Chamfer, false) => "chamfers",
    };
    text.to_owned()
}
