//! What is to be made of a hole beyond what the model shows: a thread, a close fit.
//!
//! A model draws a tapped hole as a plain cylinder and a reamed one like any other, so somebody
//! must say so. Nothing here turns a hole into a thread unasked.

use super::drilled::HoleStep;
use super::tasks::{PlannedKind, PlannedTask, PlannedTool};
use crate::features::LARGEST_DRILL_MM;
use crate::features::hole::Hole;
use crate::features::thread::TAP_DRILLS;
use glam::DVec3;
use std::f64::consts::FRAC_PI_4;

/// Work on one step of one hole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoleFinish {
    /// Hole, by its number.
    pub hole: usize,
    /// Step of it.
    pub step: usize,
    /// What.
    pub finish: Finish,
}

/// What a hole becomes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Finish {
    /// A thread.
    Thread {
        /// Nominal diameter, mm.
        nominal_mm: f64,
        /// Pitch, mm.
        pitch_mm: f64,
        /// Length of full thread from the step's entry, mm; as far as the hole lets when left out.
        depth_mm: Option<f64>,
    },
    /// A diameter within a tolerance.
    Fit {
        /// Diameter wanted, mm.
        diameter_mm: f64,
        /// Full width of the tolerance, mm.
        width_mm: f64,
    },
}

/// Threads above this are milled: taps beyond ask more torque than small spindles have (common
/// practice, no source).
pub const LARGEST_TAP_MM: f64 = 20.0;
/// Turns a tap cuts short of its tip: form C, two to three threads of lead (DIN 2197; from memory).
const TAP_LEAD_TURNS: f64 = 3.0;
/// Full width below which a hole is reamed or bored: a drill holds about IT11 to IT12 (ISO 286-1
/// table 1: IT11 of 6 to 10 mm is 90 um; from memory).
pub const DRILLED_TOLERANCE_MM: f64 = 0.09;
/// Largest reamer a small shop owns (common practice, no source).
const LARGEST_REAMER_MM: f64 = 20.0;
/// Stock left for the reamer or boring bar, on the diameter (common practice, no source).
const FINISH_ALLOWANCE_MM: f64 = 0.3;
/// How far a drawn hole may lie from a stated diameter, mm: models rounded to a thousandth of an
/// inch or to two decimals, and fits to meshes of bores.
const NEAR_MM: f64 = 0.03;
/// The same as a share of the diameter: chords of a coarse mesh.
const NEAR_SHARE: f64 = 0.002;

/// Drill of a thread: the tables' where it is one of theirs, nominal diameter less pitch otherwise.
pub fn tap_drill_mm(nominal_mm: f64, pitch_mm: f64) -> f64 {
    let known = TAP_DRILLS
        .iter()
        .find(|t| (t.nominal_mm - nominal_mm).abs() < 1e-3 && (t.pitch_mm - pitch_mm).abs() < 1e-3);
    known.map_or(nominal_mm - pitch_mm, |t| t.drill_mm)
}

/// Which holes are meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Which {
    /// Drawn with this diameter, mm.
    Diameter(f64),
    /// Drawn as this thread usually is: its tap drill, its minor or its nominal diameter.
    Thread {
        /// Nominal diameter, mm.
        nominal_mm: f64,
        /// Pitch, mm.
        pitch_mm: f64,
    },
}

impl Which {
    /// How well a drawn diameter fits: 0 the best reading, then the next; `None` not at all.
    fn reads(&self, drawn_mm: f64) -> Option<usize> {
        let near = |mm: f64| (drawn_mm - mm).abs() <= NEAR_MM.max(NEAR_SHARE * mm);
        let drawn: [f64; 4] = match *self {
            Which::Diameter(mm) => return near(mm).then_some(0),
            Which::Thread {
                nominal_mm,
                pitch_mm,
            } => [
                tap_drill_mm(nominal_mm, pitch_mm),
                nominal_mm - pitch_mm,
                nominal_mm - 1.0825 * pitch_mm,
                nominal_mm,
            ],
        };
        drawn.iter().position(|mm| near(*mm))
    }
}

/// Holes meant, each with its step: all of the best reading that any hole has. With places, only
/// holes whose axis passes within a quarter of the diameter of one of them.
pub fn holes_meant(holes: &[Hole], which: &Which, places: &[DVec3]) -> Vec<(usize, usize)> {
    let mut best: Option<usize> = None;
    let mut found: Vec<(usize, usize)> = Vec::new();
    for (h, hole) in holes.iter().enumerate() {
        let beside = |p: &DVec3| (*p - hole.at).reject_from_normalized(hole.toward).length();
        let meant =
            |drawn: f64| places.is_empty() || places.iter().any(|p| beside(p) <= drawn / 4.0);
        let reads = hole
            .steps
            .iter()
            .enumerate()
            .filter(|(_, s)| !s.is_cone() && meant(s.diameter_mm))
            .filter_map(|(s, step)| Some((which.reads(step.diameter_mm)?, s)))
            .min();
        let Some((reading, step)) = reads else {
            continue;
        };
        if best.is_none_or(|b| reading < b) {
            best = Some(reading);
            found.clear();
        }
        if best == Some(reading) {
            found.push((h, step));
        }
    }
    found
}

/// A step's hole as it is made before and by the finish.
pub(super) struct Made<'a> {
    /// The step.
    pub step: &'a HoleStep,
    /// What it becomes.
    pub finish: Finish,
    /// Open at the far end.
    pub through: bool,
    /// Drilled through already, mm; 0 when not.
    pub core_mm: f64,
}

impl Made<'_> {
    /// Diameter to open the step to first, mm; the drawn one where the finish asks for no other.
    pub fn opened_mm(&self) -> f64 {
        match self.finish {
            Finish::Thread {
                nominal_mm,
                pitch_mm,
                ..
            } => tap_drill_mm(nominal_mm, pitch_mm),
            Finish::Fit {
                diameter_mm,
                width_mm,
            } if width_mm < DRILLED_TOLERANCE_MM => {
                (diameter_mm - FINISH_ALLOWANCE_MM).max(0.5 * diameter_mm)
            }
            Finish::Fit { .. } => self.step.diameter_mm,
        }
    }

    /// The finishing task; `plain` is the step's own with its whole volume, its depth and reach.
    pub fn task(&self, plain: PlannedTask) -> Option<PlannedTask> {
        let length = plain.cut_depth_mm;
        let drawn = self.step.diameter_mm;
        let ring = |d: f64| FRAC_PI_4 * (drawn * drawn - d * d).max(0.0) * length;
        let rest = ring(self.opened_mm().max(self.core_mm));
        match self.finish {
            Finish::Thread {
                nominal_mm,
                pitch_mm,
                depth_mm,
            } => {
                let lead = TAP_LEAD_TURNS * pitch_mm;
                let tapped = nominal_mm <= LARGEST_TAP_MM;
                // In a blind hole the lead stays above the floor; a thread mill has none.
                let most = if self.through || !tapped {
                    length
                } else {
                    (length - lead).max(pitch_mm.min(length))
                };
                let deep = depth_mm.map_or(most, |d| d.min(length));
                // How far the tip goes past the last full turn.
                let beyond = match (tapped, self.through) {
                    (false, _) => 0.0,
                    (true, true) => lead,
                    (true, false) => lead.min(length - deep),
                };
                let less = length - deep - beyond;
                let kind = if tapped {
                    PlannedKind::Tap
                } else {
                    PlannedKind::Thread
                };
                Some(PlannedTask {
                    kind,
                    tool: PlannedTool::Tap,
                    diameter_mm: nominal_mm,
                    pitch_mm,
                    volume_mm3: rest,
                    must_mm2: 0.0,
                    depth_mm: plain.depth_mm - less,
                    reach_mm: (plain.reach_mm - less).max(deep),
                    cut_depth_mm: deep,
                    ..plain
                })
            }
            Finish::Fit {
                diameter_mm,
                width_mm,
            } if width_mm < DRILLED_TOLERANCE_MM => {
                // A reamer follows a drilled hole; a seat milled into a wider place is bored.
                let reamed = diameter_mm <= LARGEST_REAMER_MM && self.core_mm <= 0.0;
                let (kind, tool) = if reamed {
                    (PlannedKind::Ream, PlannedTool::Reamer)
                } else {
                    (PlannedKind::Bore, PlannedTool::Boring)
                };
                Some(PlannedTask {
                    kind,
                    tool,
                    diameter_mm,
                    volume_mm3: rest,
                    must_mm2: 0.0,
                    ..plain
                })
            }
            Finish::Fit { .. } => None,
        }
    }

    /// Whether the hole is opened by drilling.
    pub fn is_drilled(&self) -> bool {
        self.core_mm <= 0.0 && self.opened_mm() <= LARGEST_DRILL_MM
    }
}
