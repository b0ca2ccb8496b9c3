//! What cuts run into, against every task: the spindle's power, torque and speed, feed, thrust, grip,
//! bend and chatter. Most of it costs time only: cuts get slower, threads are milled, holes take several
//! drills; what that costs is said. What no tool does on the machine rules the part out.

mod unknown;

use super::practice::share;
use super::tally::Tally;
use super::verdict::Capability;
use super::{Assumed, Practice};
use crate::cutting::{
    Binding, Cut, Limits, LimitsBand, Material, Materials, Refusal, Way, best_cut_within,
};
use crate::demand::{Demand, Task, TaskKind};
use crate::machine::Machine;
use crate::texts;
use units::Time;

/// True when what binds was stated, so that a reason may rest on it.
fn stated(machine: &Machine, binding: Binding) -> bool {
    let p = &machine.properties;
    match binding {
        Binding::Tool | Binding::Deflection => true,
        Binding::SpindleSpeed | Binding::SlowestSpeed | Binding::Power | Binding::Torque => {
            p.spindle_power.stated().is_some()
                || (p.spindle_torque.stated().is_some() && p.spindle_torque_rpm.stated().is_some())
        }
        Binding::Feed => p.feed_max.stated().is_some(),
        Binding::Thrust => p.axis_thrust.stated().is_some(),
        // Both rest on stated numbers only: the taper; the weight, or a cut seen.
        Binding::Grip | Binding::Stiffness => true,
    }
}

/// The capability a cut ran into.
fn capability(binding: Binding) -> Capability {
    match binding {
        Binding::Tool => Capability::Cutter,
        Binding::SpindleSpeed => Capability::SpindleSpeed,
        Binding::SlowestSpeed => Capability::SlowestSpeed,
        Binding::Feed => Capability::CuttingFeed,
        Binding::Power => Capability::Power,
        Binding::Torque => Capability::Torque,
        Binding::Thrust => Capability::Thrust,
        Binding::Grip => Capability::Grip,
        Binding::Deflection => Capability::Deflection,
        Binding::Stiffness => Capability::Stiffness,
    }
}

/// What a task on a machine is compared in.
struct On<'a> {
    demand: &'a Demand,
    material: &'a Material,
    machine: &'a Machine,
    /// For estimates.
    limits: Option<&'a Limits>,
    practice: &'a Practice,
}

/// Tells what tasks run into, and whether any of them turns on a number nobody stated.
pub(super) fn compare(
    demand: &Demand,
    machine: &Machine,
    band: &LimitsBand,
    (materials, practice): (&Materials, &Practice),
    tally: &mut Tally,
) -> bool {
    // A material nobody knows is told of where it is read.
    let (Some(material), Some(most)) = (materials.0.get(&demand.material), &band.most) else {
        return true;
    };
    let on = On {
        demand,
        material,
        machine,
        limits: band.likely.as_ref(),
        practice,
    };
    let exact = band.least == band.likely;
    let mut open = Vec::new();
    for task in demand.tasks() {
        let likely = on.limits.map(|l| best_cut_within(task, material, l));
        let surely = exact && likely.as_ref().is_some_and(made)
            || !exact
                && band
                    .least
                    .is_some_and(|l| made(&best_cut_within(task, material, &l)));
        if !surely {
            match best_cut_within(task, material, most) {
                Err(refusal) if !refusal.is_mended() => {
                    none(&on, task, &refusal, true, tally);
                    continue;
                }
                _ => open.push(task),
            }
        }
        match likely {
            Some(Ok(cut)) => weak(&on, task, &cut, tally),
            Some(Err(refusal)) if refusal.is_mended() && stated(machine, refusal.binding) => {
                none(&on, task, &refusal, false, tally);
            }
            _ => {}
        }
    }
    if !open.is_empty() {
        unknown::ask(&open, material, machine, tally);
    }
    !open.is_empty()
}

/// What a yes, or one that turns on something else yet, rests on that nobody stated and that is softer
/// than physics.
pub(super) fn carried(
    demand: &Demand,
    machine: &Machine,
    materials: &Materials,
    asks: bool,
) -> Vec<Assumed> {
    let Some(material) = materials.0.get(&demand.material) else {
        return Vec::new();
    };
    let tasks: Vec<&Task> = demand.tasks().collect();
    unknown::carried(&tasks, material, machine, asks)
}

/// Whether there is a cut, at another depth or with a smaller cutter if need be.
fn made(cut: &Result<Cut, Box<Refusal>>) -> bool {
    cut.as_ref().map_or_else(|r| r.is_mended(), |_| true)
}

/// A task of which there is no cut as it is stated, or none at all.
fn none(on: &On<'_>, task: &Task, refusal: &Refusal, at_all: bool, tally: &mut Tally) {
    let capability = capability(refusal.binding);
    let lost = |t: Time| (t - refusal.ample).max(Time::ZERO);
    let shallower = refusal.shallower.map(|c| (c.depth, lost(c.time)));
    let smaller = refusal.smaller.as_ref().map(|(d, c)| (*d, lost(c.time)));
    let (mend, costs) = match (shallower, smaller) {
        (None, None) if matches!(refusal.binding, Binding::Tool | Binding::Deflection) => {
            let costs = share(on.practice.mends.outside, on.demand);
            (
                texts::no_cutter(&task.about, refused(refusal.binding)),
                costs,
            )
        }
        (None, None) if task.kind == TaskKind::Tap => {
            let costs = on.practice.mends.hand_tap * f64::from(task.count.max(1));
            (texts::by_hand(&task.about, refused(refusal.binding)), costs)
        }
        (None, None) if matches!(task.kind, TaskKind::Drill | TaskKind::Ream) => {
            let places = task.count.max(1);
            let costs = on.practice.mends.drill_press * f64::from(places);
            (
                texts::elsewhere(&task.about, refused(refusal.binding)),
                costs,
            )
        }
        (None, None) => {
            let costs = share(on.practice.mends.outside, on.demand);
            (texts::outside(&task.about, refused(refusal.binding)), costs)
        }
        _ => {
            let least = [shallower, smaller].into_iter().flatten().map(|(_, t)| t);
            let costs = least.reduce(Time::min).unwrap_or_default();
            let mend = texts::stated_pass_too_heavy(&task.about, shallower, smaller);
            (mend, costs)
        }
    };
    // A refusal tells feeds in mm/min.
    let unit = if refusal.binding == Binding::Feed {
        1.0e-3
    } else {
        1.0
    };
    let short_by = unit * (refusal.need - refusal.have).abs();
    tally.margin(capability, -short_by);
    tally.limit(capability, short_by, mend, Some(costs), at_all);
}

/// Why there is no cut, in words.
fn refused(binding: Binding) -> &'static str {
    match binding {
        Binding::Tool => texts::NO_TOOL,
        Binding::SpindleSpeed => texts::NO_FAST_SPEED,
        Binding::SlowestSpeed => texts::NO_SLOW_SPEED,
        Binding::Feed => texts::NO_FEED,
        Binding::Power => texts::NO_POWER,
        Binding::Torque => texts::NO_TORQUE,
        Binding::Thrust => texts::NO_THRUST,
        Binding::Grip => texts::NO_GRIP,
        Binding::Deflection => texts::TOOL_BENDS,
        Binding::Stiffness => texts::MACHINE_CHATTERS,
    }
}

/// A cut that the machine slows down, against the same machine without that limit.
fn weak(on: &On<'_>, task: &Task, cut: &Cut, tally: &mut Tally) {
    let binding = cut.binding;
    if binding == Binding::Tool || !stated(on.machine, binding) {
        return;
    }
    let capability = capability(binding);
    let lifted = on.limits.and_then(|l| l.without(binding));
    let Some(wanted) = lifted.and_then(|l| best_cut_within(task, on.material, &l).ok()) else {
        return;
    };
    let short_by = match binding {
        Binding::Power => (wanted.power - cut.power).to_kw(),
        Binding::Torque | Binding::Grip => (wanted.torque - cut.torque).to_nm(),
        Binding::SpindleSpeed => (wanted.rpm - cut.rpm).to_rpm(),
        Binding::SlowestSpeed => (cut.rpm - wanted.rpm).to_rpm(),
        Binding::Feed => (wanted.feed - cut.feed).to_m_min(),
        Binding::Thrust => (wanted.force - cut.force).to_n(),
        Binding::Stiffness => (wanted.depth - cut.depth).to_mm(),
        Binding::Tool | Binding::Deflection => return,
    };
    let short_by = short_by.max(0.0);
    tally.margin(capability, -short_by);
    let lost = (cut.time - wanted.time).max(Time::ZERO);
    if lost <= Time::ZERO {
        return;
    }
    let mend = match (task.kind, binding, cut.way) {
        (_, Binding::SpindleSpeed, _) => texts::spindle_slow(&task.about, lost),
        (_, Binding::SlowestSpeed, _) => texts::spindle_fast(&task.about, lost),
        (_, Binding::Feed, _) => texts::feed_slow(&task.about, lost),
        (TaskKind::Tap, ..) => texts::mill_the_thread(&task.about, lost),
        (.., Way::HoleMilled) => texts::mill_the_hole(&task.about, lost),
        (.., Way::Steps(steps)) if steps > 1 => texts::in_steps(&task.about, steps, lost),
        (TaskKind::Drill | TaskKind::Ream | TaskKind::Bore, ..) => {
            texts::lesser_feed(&task.about, lost)
        }
        _ => texts::slower_cut(&task.about, cut.depth, lost),
    };
    tally.limit(capability, short_by, mend, Some(lost), false);
}
