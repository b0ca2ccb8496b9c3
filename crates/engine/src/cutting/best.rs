//! The best cut of a task on a machine, or the refusal that names the limit.
//!
//! The best cut is the quickest one within every limit. Its tooth always takes the feed the tool
//! bears (less only where the table cannot follow), so what is left to choose is speed, width and
//! depth; each gear's best speed has a closed form, so a cut costs a few powers and no search, and
//! a limit that is raised never makes a cut slower.

use super::hole;
use super::limits::Limits;
use super::milling;
use super::spindle::Range;
use super::tap;
use crate::demand::{Task, TaskKind};
use crate::machine::Machine;
use crate::material::Material;
use units::{Force, Length, Power, RemovalRate, Rpm, Speed, Time, Torque};

/// What keeps a cut from being faster.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Binding {
    /// The tool and the material: nothing of the machine.
    Tool,
    /// Highest spindle speed, of the spindle, its holders, or rigid tapping.
    SpindleSpeed,
    /// Lowest spindle speed: too fast for the tool.
    SlowestSpeed,
    /// Highest cutting feed.
    Feed,
    /// Spindle power.
    Power,
    /// Spindle torque.
    Torque,
    /// Thrust of an axis.
    Thrust,
    /// What holder and spindle nose pass on.
    Grip,
    /// The tool bends.
    Deflection,
    /// The machine chatters.
    Stiffness,
}

impl Refusal {
    /// True when another depth or a smaller cutter does it after all.
    pub fn is_mended(&self) -> bool {
        self.shallower.is_some() || self.smaller.is_some()
    }
}

impl Binding {
    /// Unit of what is needed and there in a [`Refusal`].
    pub fn unit(self) -> &'static str {
        match self {
            Binding::Tool => "",
            Binding::SpindleSpeed | Binding::SlowestSpeed => "1/min",
            Binding::Feed => "mm/min",
            Binding::Power => "kW",
            Binding::Torque | Binding::Grip => "N m",
            Binding::Thrust => "N",
            Binding::Deflection | Binding::Stiffness => "mm",
        }
    }
}

/// How a task is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Way {
    /// As the task says.
    AsAsked,
    /// Drilled with this many drills, each a little larger.
    Steps(u32),
    /// The hole is milled with a small end mill.
    HoleMilled,
    /// The thread is milled.
    ThreadMilled,
}

/// A cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// Spindle speed.
    pub rpm: Rpm,
    /// Table feed.
    pub feed: Speed,
    /// Depth of a pass; the whole depth of a hole.
    pub depth: Length,
    /// Width of a pass; the diameter of a hole.
    pub width: Length,
    /// Removal rate.
    pub removal: RemovalRate,
    /// Power at the cutter.
    pub power: Power,
    /// Torque at the cutter.
    pub torque: Torque,
    /// Thrust of a drill, cutting force of a mill.
    pub force: Force,
    /// What keeps it from being faster.
    pub binding: Binding,
    /// How it is done.
    pub way: Way,
    /// False when nothing is known of the machine's stiffness: the time is then a lower bound.
    pub stiffness_known: bool,
    /// In the cut, all places together.
    pub time: Time,
}

/// Why there is no such cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Refusal {
    /// The limit; `Tool` when the machine's spindle is not known at all.
    pub binding: Binding,
    /// Needed, in the unit of the limit.
    pub need: f64,
    /// There.
    pub have: f64,
    /// The same cutter at a depth the machine takes.
    pub shallower: Option<Cut>,
    /// A smaller cutter at the stated depth.
    pub smaller: Option<(Length, Cut)>,
    /// A cut nobody would make (drills beyond number, a pass of a hair): no cut, but a time that
    /// grows as the limit does.
    pub hindered: Option<Cut>,
    /// Time an ample machine would take.
    pub ample: Time,
}

/// The best cut of a task on a machine.
pub fn best_cut(task: &Task, material: &Material, machine: &Machine) -> Result<Cut, Box<Refusal>> {
    match Limits::of(machine) {
        Some(limits) => best_cut_within(task, material, &limits),
        None => Err(refused(Binding::Tool, 0.0, 0.0)),
    }
}

/// The best cut of a task within limits; the limits of a machine are made once for all its tasks.
pub fn best_cut_within(
    task: &Task,
    material: &Material,
    limits: &Limits,
) -> Result<Cut, Box<Refusal>> {
    match task.kind {
        TaskKind::Drill | TaskKind::Ream | TaskKind::Bore => hole::cut(task, material, limits),
        TaskKind::Tap | TaskKind::Thread => tap::cut(task, material, limits),
        _ => milling::cut(task, material, limits),
    }
}

/// The cut the tool itself would like: of a machine without limits.
pub fn ample_cut(task: &Task, material: &Material) -> Option<Cut> {
    best_cut_within(task, material, &Limits::ample()?).ok()
}

/// The best cut there is, at a lesser depth than stated or with a smaller cutter if need be, and where
/// there is none the time it would take all the same; `None` when even that is not known, or nothing
/// is known of the spindle.
pub fn possible_cut(task: &Task, material: &Material, machine: &Machine) -> Option<Cut> {
    possible_cut_within(task, material, &Limits::of(machine)?)
}

/// The same within limits.
pub fn possible_cut_within(task: &Task, material: &Material, limits: &Limits) -> Option<Cut> {
    match best_cut_within(task, material, limits) {
        Ok(cut) => Some(cut),
        Err(refusal) => refusal
            .shallower
            .or(refusal.hindered)
            .or(refusal.smaller.map(|(_, cut)| cut)),
    }
}

/// One task of one piece that holds the machine longer than this is no cut any more: forty hours in
/// each of fifty weeks, the year of somebody who stands by. Whatever the quantity, such a piece is not made
/// here; below it, the hours a year say whether it is worth it, and nothing is refused. By time rather
/// than by depth, so that a limit that is raised never makes a refusal.
const LONGEST: Time = Time::h(2000.0);

/// Whether a cut takes longer than anybody stands by, and longer than with nothing of the machine in the
/// way: work so large is no matter of the machine.
pub(super) fn is_endless(time: Time, ample: Time) -> bool {
    !time.is_finite() || time > LONGEST.max(ample * (1.0 + 1.0e-9))
}

/// A refusal without alternatives.
pub(super) fn refused(binding: Binding, need: f64, have: f64) -> Box<Refusal> {
    Box::new(Refusal {
        binding,
        need,
        have,
        shallower: None,
        smaller: None,
        hindered: None,
        ample: Time::ZERO,
    })
}

/// A tool is turned at most this much faster than its material likes when the spindle cannot go
/// slower: by Taylor's law with the exponents usual for carbide (0.25) and high-speed steel (0.125,
/// both textbook, from memory) its life then falls to a fifth, or to a twenty-fifth.
pub(super) const MOST_OVERSPEED: f64 = 1.5;

/// Highest speed of a gear that the tool's own speed and the holders allow, and how much longer the
/// cut counts there. A gear that cannot go slow enough is used up to `most`, but counts the square of
/// the excess longer, so that it is never preferred to one that fits the tool.
pub(super) fn top_speed(range: &Range, own: Rpm, most: Rpm, holders: Rpm) -> Option<(Rpm, f64)> {
    let cap = own.min(holders);
    if range.slowest <= cap {
        Some((range.fastest.min(cap), 1.0))
    } else if range.slowest <= holders && range.slowest <= most {
        let excess = range.slowest / own;
        Some((range.slowest, excess * excess))
    } else {
        None
    }
}
