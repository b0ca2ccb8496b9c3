//! How a cutter usually engages the work: teeth, depth and width of a pass, what there is to travel.

use crate::demand::{Task, TaskKind, ToolShape};
use crate::material::IsoGroup;
use units::{Length, Speed, Time};

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

/// Depth of a pass and width of cut in an ample machine, and length to travel or volume to remove
/// (common practice, no source; small-shop end mills with ordinary holders).
#[derive(Clone, Copy)]
pub(super) struct Engagement {
    pub depth: Length,
    pub width: Length,
    pub centred: bool,
    /// How much more feed the light width takes.
    pub thinning: f64,
    pub work: Work,
}

#[derive(Clone, Copy)]
pub(super) enum Work {
    /// Volume in mm3 at the removal rate, its time this much longer for moves between cuts.
    Volume { mm3: f64, longer: f64 },
    /// Whole passes over an area in mm2, together so deep.
    Passes { mm2: f64, deep: Length },
    /// Lines of a given total length.
    Line(Length),
}

impl Engagement {
    /// Time at a feed, at the depth beyond which there are more passes and the depth beyond which
    /// the cut is slower in proportion (a weaker spindle takes the same passes more slowly, or
    /// thinner ones at full speed, which comes to the same time). A pass short of a hair is no pass.
    pub fn time(&self, feed: Speed, hard: Length, soft: Length) -> Time {
        let passes = |deep: Length| {
            let whole = (deep / hard - 1.0e-6).ceil().max(1.0);
            whole.max(deep / soft)
        };
        let per_width = self.width.to_mm() * feed.to_mm_min();
        Time::minutes(match self.work {
            Work::Volume { mm3, longer } => longer * mm3 / (per_width * hard.min(soft).to_mm()),
            Work::Passes { mm2, deep } => passes(deep) * mm2 / per_width,
            Work::Line(length) => passes(self.depth) * length.to_mm() / feed.to_mm_min(),
        })
    }
}

/// Width of the light and deep way to rough, and how much deeper it goes than the usual one.
const LIGHT_WIDTH: f64 = 0.1;
/// The largest chip is held at that width (see [`super::Thinning::Largest`]): 1 / 0.6.
const LIGHT_THINNING: f64 = 1.0 / 0.6;
/// Loops through the air between light cuts (common practice, no source).
const LIGHT_LONGER: f64 = 1.3;

/// The ways to engage a tool of this diameter in a task: one, and for roughing a second, light and
/// deep.
pub(super) fn engagements(
    task: &Task,
    diameter: Length,
    group: IsoGroup,
) -> [Option<Engagement>; 2] {
    let usual = usual(task, diameter, group);
    let light = matches!(usual.work, Work::Volume { .. }).then(|| {
        let share = if is_soft(group) { 2.0 } else { 1.5 };
        Engagement {
            depth: (share * diameter).min(task.cut_depth.max(FINISH_DEPTH)),
            width: LIGHT_WIDTH * diameter,
            thinning: LIGHT_THINNING,
            work: Work::Volume {
                mm3: task.volume.to_mm3(),
                longer: LIGHT_LONGER,
            },
            ..usual
        }
    });
    [Some(usual), light]
}

fn is_soft(group: IsoGroup) -> bool {
    matches!(group, IsoGroup::N | IsoGroup::O)
}

fn usual(task: &Task, d: Length, group: IsoGroup) -> Engagement {
    let deep = task.cut_depth.max(Length::ZERO);
    let soft = is_soft(group);
    let line = |length: Length, depth, width| Engagement {
        depth,
        width,
        centred: false,
        thinning: 1.0,
        work: Work::Line(length),
    };
    match task.kind {
        TaskKind::Face => Engagement {
            depth: task
                .pass_depth
                .unwrap_or(Length::mm(if soft { 3.0 } else { 2.0 }))
                .min(deep.max(FACE_SKIM)),
            width: 0.7 * d,
            centred: true,
            thinning: 1.0,
            work: Work::Passes {
                mm2: task.area.to_mm2(),
                deep,
            },
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
            let length = over(task, width * std::f64::consts::SQRT_2);
            line(length, width, width.min(d))
        }
        _ => Engagement {
            depth: (if soft { 1.0 } else { 0.5 } * d).min(deep.max(FINISH_DEPTH)),
            width: 0.5 * d,
            centred: false,
            thinning: 1.0,
            work: Work::Volume {
                mm3: task.volume.to_mm3(),
                longer: 1.0,
            },
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
