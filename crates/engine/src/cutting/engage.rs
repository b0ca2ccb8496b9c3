//! How a cutter usually engages the work: teeth, depth and width of a pass, what there is to travel.

use crate::demand::{Task, TaskKind, ToolShape};
use crate::material::IsoGroup;
use units::Length;

/// Feed per tooth grows with the diameter up to here; inserts of larger cutters are no larger
/// (0.1 to 0.15 mm a tooth in steel; the tables of Torbide and of ISCAR solid mills 2022
/// p.92 stop at 20 to 25 mm).
pub(super) const WIDEST_FEED_DIAMETER: Length = Length::mm(20.0);

/// Teeth of the usual cutter (common practice, no source).
pub(super) fn teeth(shape: ToolShape, diameter: Length, group: IsoGroup) -> f64 {
    match (shape, group) {
        // Face mills: about one insert per 15 mm of diameter.
        (ToolShape::Face, _) => (diameter.to_mm() / 15.0).round().max(2.0),
        (ToolShape::Ball | ToolShape::Chamfer, _) => 2.0,
        (_, IsoGroup::N | IsoGroup::O) => 3.0,
        _ => 4.0,
    }
}

/// Depth of a pass and width of cut in an ample machine, as shares of the diameter, and length to
/// travel or volume to remove (common practice, no source; small-shop end mills with ordinary
/// holders).
pub(super) struct Engagement {
    pub depth: Length,
    pub width: Length,
    pub centred: bool,
    pub work: Work,
}

pub(super) enum Work {
    /// Volume at the removal rate.
    Volume,
    /// Whole passes over an area.
    Passes,
    /// Lines of a given total length.
    Line(Length),
}

pub(super) fn engagement(task: &Task, group: IsoGroup) -> Engagement {
    let d = task.tool.diameter;
    let deep = task.cut_depth.max(Length::ZERO);
    let soft = matches!(group, IsoGroup::N | IsoGroup::O);
    let line = |length: Length, depth, width| Engagement {
        depth,
        width,
        centred: false,
        work: Work::Line(length),
    };
    match task.kind {
        TaskKind::Face => Engagement {
            depth: task
                .pass_depth
                .unwrap_or(if soft {
                    Length::mm(3.0)
                } else {
                    Length::mm(2.0)
                })
                .min(deep.max(FACE_SKIM)),
            width: 0.7 * d,
            centred: true,
            work: Work::Passes,
        },
        TaskKind::Bottom => {
            let width = 0.6 * d;
            line(over(task, width), FINISH_DEPTH, width)
        }
        TaskKind::Side => {
            let depth = deep.min(1.5 * d).max(FINISH_DEPTH);
            line(over(task, depth), depth, FINISH_DEPTH.min(0.1 * d))
        }
        TaskKind::Freeform => {
            let step = task.stepover.unwrap_or(0.1 * d).max(Length::mm(0.01));
            line(over(task, step), 0.05 * d, step)
        }
        TaskKind::Chamfer => {
            let width = deep.max(Length::mm(0.1));
            line(
                over(task, width * std::f64::consts::SQRT_2),
                width,
                width.min(d),
            )
        }
        _ => Engagement {
            depth: (if soft { 1.0 } else { 0.5 } * d).min(deep.max(FINISH_DEPTH)),
            width: 0.5 * d,
            centred: false,
            work: Work::Volume,
        },
    }
}

/// A face cut only to clean up (common practice, no source).
const FACE_SKIM: Length = Length::mm(0.5);
/// Stock left for finishing (common practice, no source).
const FINISH_DEPTH: Length = Length::mm(0.3);

fn over(task: &Task, step: Length) -> Length {
    Length::mm(task.area.to_mm2() / step.to_mm())
}
