//! Stated features into tasks: what is cut, with which tool, how deep.

use super::{Feature, FeatureKind, Side, Task, TaskKind, ToolNeed, ToolShape, tools};
use geometry::plan::finish::LARGEST_TAP_MM;
use units::{Area, Length, Volume};

/// Stock as it lies in a setup.
pub(super) struct Block {
    /// Size in the setup's frame.
    pub extent: [Length; 3],
    /// Allowance on every side.
    pub allowance: Length,
}

/// Full width below which a hole is reamed or bored: a drill holds about IT11 to IT12, 0.1 mm at
/// 10 mm (ISO 286-1 table 1: IT11 of 6 to 10 mm is 90 um, of 10 to 18 mm 110 um; from memory).
const DRILLED_TOLERANCE: Length = Length::mm(0.09);
/// Holes above this are bored or milled from a pilot hole (common practice, no source).
const LARGEST_DRILL: Length = Length::mm(20.0);
/// Largest reamer a small shop owns (common practice, no source).
const LARGEST_REAMER: Length = Length::mm(20.0);
/// Stock left for the reamer or boring bar, on the diameter (common practice, no source).
const FINISH_ALLOWANCE: Length = Length::mm(0.3);
/// Length of a 118 degree point as a share of the diameter: 0.5 tan 31 deg = 0.3004 (lecture on drilling time, expertsmind.com; geometry).
const POINT_SHARE: f64 = 0.3004;
/// Largest end mill that is chosen when a pocket would take a larger one (common practice).
const LARGEST_ROUGHER: Length = Length::mm(16.0);

/// Machining order inside a setup.
pub(super) fn rank(task: &Task) -> (u8, i64) {
    let order = match task.kind {
        TaskKind::Face => 0,
        TaskKind::Rough => 1,
        TaskKind::Drill => 2,
        TaskKind::Bottom => 3,
        TaskKind::Side => 4,
        TaskKind::Freeform => 5,
        TaskKind::Bore => 6,
        TaskKind::Ream => 7,
        TaskKind::Tap | TaskKind::Thread => 8,
        TaskKind::Chamfer => 9,
    };
    // Larger tools first.
    (order, -(task.tool.diameter.to_um().round() as i64))
}

struct Maker<'a> {
    block: &'a Block,
    count: u32,
    about: &'a str,
}

impl Maker<'_> {
    /// `deep` from the finished surface; the stock's allowance stands above it.
    fn task(
        &self,
        kind: TaskKind,
        tool: ToolNeed,
        volume: Volume,
        area: Area,
        deep: Length,
    ) -> Task {
        Task {
            kind,
            tool,
            volume: volume * f64::from(self.count),
            area: area * f64::from(self.count),
            count: self.count,
            depth: self.block.allowance + deep,
            cut_depth: deep,
            neck: None,
            pitch: None,
            pass_depth: None,
            stepover: None,
            outside: false,
            about: self.about.to_owned(),
        }
    }
}

/// Tasks of one side: its face, then the features stated for it.
pub(super) fn tasks(block: &Block, side: Side, features: &[Feature]) -> Vec<Task> {
    let own: Vec<&Feature> = features.iter().filter(|f| f.side == side).collect();
    let mut tasks = Vec::new();
    let faced = own
        .iter()
        .any(|f| matches!(f.kind, FeatureKind::Face { .. }));
    if !faced && block.allowance > Length::ZERO && matches!(side, Side::Top | Side::Bottom) {
        tasks.push(face(block, None, None, "facing"));
    }
    for feature in own {
        let about = feature.kind.word();
        let make = Maker {
            block,
            count: feature.count.max(1),
            about,
        };
        match &feature.kind {
            FeatureKind::Face { cutter, pass_depth } => {
                tasks.push(face(block, *cutter, *pass_depth, about));
            }
            FeatureKind::Pocket {
                size,
                corner_radius,
            } => tasks.extend(pocket(&make, *size, *corner_radius)),
            FeatureKind::Slot {
                length,
                width,
                depth,
            } => tasks.extend(pocket(&make, [*length, *width, *depth], *width * 0.5)),
            FeatureKind::Holes {
                diameter,
                depth,
                pitch,
                tolerance,
            } => tasks.extend(holes(&make, *diameter, *depth, *pitch, *tolerance)),
            FeatureKind::Profile {
                depth,
                corner_radius,
            } => tasks.extend(profile(&make, *depth, *corner_radius)),
            FeatureKind::Freeform {
                area,
                depth,
                radius,
                scallop,
            } => tasks.extend(freeform(&make, *area, *depth, *radius, *scallop)),
            FeatureKind::Chamfer { length, width } => {
                let tool = tools::plain(
                    ToolShape::Chamfer,
                    (2.0 * *width + Length::mm(2.0)).max(Length::mm(6.0)),
                    *width,
                );
                let area = *length * *width * std::f64::consts::SQRT_2;
                let volume = *length * *width * *width * 0.5;
                tasks.push(make.task(TaskKind::Chamfer, tool, volume, area, *width));
            }
        }
    }
    tasks
}

fn face(block: &Block, cutter: Option<Length>, pass: Option<Length>, about: &str) -> Task {
    let [x, y, _] = block.extent;
    let depth = block.allowance.max(pass.unwrap_or(Length::ZERO));
    let diameter = cutter.unwrap_or_else(|| tools::face_mill(x.min(y)));
    Task {
        kind: TaskKind::Face,
        tool: tools::plain(ToolShape::Face, diameter, depth),
        volume: x * y * depth,
        area: x * y,
        count: 1,
        depth,
        cut_depth: depth,
        neck: None,
        pitch: None,
        pass_depth: pass,
        stepover: None,
        outside: false,
        about: about.to_owned(),
    }
}

fn pocket(make: &Maker, size: [Length; 3], corner_radius: Length) -> Vec<Task> {
    let [length, width, depth] = size;
    let narrow = length.min(width);
    let rough = tools::end_mill(if corner_radius * 2.0 >= narrow {
        narrow.min(LARGEST_ROUGHER)
    } else {
        (0.6 * narrow).min(LARGEST_ROUGHER)
    });
    let finish = if corner_radius > Length::ZERO {
        tools::end_mill((2.0 * corner_radius).min(rough))
    } else {
        rough
    };
    let flat = |d| tools::plain(ToolShape::Flat, d, depth);
    let floor = length * width;
    let walls = 2.0 * (length + width) * depth;
    vec![
        make.task(
            TaskKind::Rough,
            flat(rough),
            floor * depth,
            Area::ZERO,
            depth,
        ),
        make.task(TaskKind::Bottom, flat(rough), Volume::ZERO, floor, depth),
        make.task(TaskKind::Side, flat(finish), Volume::ZERO, walls, depth),
    ]
}

/// Tap drill is nominal less pitch: 75 to 80 % of thread for the 60 degree profile of ISO 68-1 and
/// ASME B1.1 (rule from memory).
fn holes(
    make: &Maker,
    diameter: Length,
    depth: Length,
    pitch: Option<Length>,
    tolerance: Option<Length>,
) -> Vec<Task> {
    let fine = tolerance.is_some_and(|t| t < DRILLED_TOLERANCE);
    let bore = match pitch {
        Some(pitch) => diameter - pitch,
        None if fine => diameter - FINISH_ALLOWANCE,
        None => diameter,
    }
    .max(Length::mm(0.1));
    let mut tasks = Vec::new();
    let drilled = bore.min(LARGEST_DRILL);
    let cylinder = |d: Length| d * d * depth * std::f64::consts::FRAC_PI_4;
    let wall = diameter * depth * std::f64::consts::PI;
    let deep = depth + drilled * POINT_SHARE;
    let mut drill = make.task(
        TaskKind::Drill,
        tools::plain(ToolShape::Drill, drilled, deep),
        cylinder(drilled),
        wall,
        deep,
    );
    drill.cut_depth = depth;
    tasks.push(drill);
    if bore > LARGEST_DRILL {
        let mill = tools::end_mill((0.6 * bore).min(LARGEST_ROUGHER));
        tasks.push(make.task(
            TaskKind::Rough,
            tools::plain(ToolShape::Flat, mill, depth),
            cylinder(bore) - cylinder(drilled),
            Area::ZERO,
            depth,
        ));
    }
    if let Some(pitch) = pitch {
        // Taps beyond ask more torque than small spindles have.
        let kind = if diameter.to_mm() <= LARGEST_TAP_MM {
            TaskKind::Tap
        } else {
            TaskKind::Thread
        };
        let mut tap = make.task(
            kind,
            tools::plain(ToolShape::Tap, diameter, depth),
            Volume::ZERO,
            wall,
            depth,
        );
        tap.pitch = Some(pitch);
        tasks.push(tap);
    } else if fine {
        let (kind, shape) = if diameter.fits(LARGEST_REAMER) {
            (TaskKind::Ream, ToolShape::Reamer)
        } else {
            (TaskKind::Bore, ToolShape::Boring)
        };
        tasks.push(make.task(
            kind,
            tools::plain(shape, diameter, depth),
            (cylinder(diameter) - cylinder(bore)).max(Volume::ZERO),
            wall,
            depth,
        ));
    }
    tasks
}

fn profile(make: &Maker, depth: Length, corner_radius: Option<Length>) -> Vec<Task> {
    let [x, y, _] = make.block.extent;
    let allowance = make.block.allowance;
    let around = 2.0 * (x + y - 4.0 * allowance);
    let mill = |limit: Length| {
        tools::plain(
            ToolShape::Flat,
            tools::end_mill(limit.min(LARGEST_ROUGHER)),
            depth,
        )
    };
    let rough = mill(LARGEST_ROUGHER);
    let finish = mill(corner_radius.map_or(LARGEST_ROUGHER, |r| 2.0 * r));
    let mut tasks = vec![
        make.task(
            TaskKind::Rough,
            rough,
            around * allowance * depth,
            Area::ZERO,
            depth,
        ),
        make.task(TaskKind::Side, finish, Volume::ZERO, around * depth, depth),
    ];
    for task in &mut tasks {
        task.outside = true;
    }
    tasks
}

fn freeform(make: &Maker, area: Area, depth: Length, radius: Length, scallop: Length) -> Vec<Task> {
    let ball = tools::end_mill((2.0 * radius).min(LARGEST_ROUGHER));
    // Above half its height a surface is as likely stock as air: half of area times depth.
    let volume = area * depth * 0.5;
    let rough = tools::plain(ToolShape::Flat, tools::end_mill(LARGEST_ROUGHER), depth);
    let mut surface = make.task(
        TaskKind::Freeform,
        ToolNeed {
            shape: ToolShape::Ball,
            diameter: ball,
            corner: ball * 0.5,
            reach: depth,
        },
        Volume::ZERO,
        area,
        depth,
    );
    // Chord of a ball of radius r at height s above its lowest point: 2 sqrt(s (2 r - s)).
    let (r, s) = (0.5 * ball.to_mm(), scallop.to_mm().min(0.25 * ball.to_mm()));
    surface.stepover = Some(Length::mm(2.0 * (s * (2.0 * r - s)).max(0.0).sqrt()));
    vec![
        make.task(TaskKind::Rough, rough, volume, Area::ZERO, depth),
        surface,
    ]
}

impl FeatureKind {
    /// What people call it.
    pub fn word(&self) -> &'static str {
        match self {
            FeatureKind::Face { .. } => "face",
            FeatureKind::Pocket { .. } => "pocket",
            FeatureKind::Slot { .. } => "slot",
            FeatureKind::Holes { pitch: Some(_), .. } => "tapped holes",
            FeatureKind::Holes { .. } => "holes",
            FeatureKind::Profile { .. } => "outside profile",
            FeatureKind::Freeform { .. } => "curved surface",
            FeatureKind::Chamfer { .. } => "chamfer",
        }
    }
}
