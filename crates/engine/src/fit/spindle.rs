//! Power, torque and speed against every task. A weak spindle never rules a part out: cuts get
//! slower, threads are milled; what that costs is said.

use super::Capability;
use super::tally::Tally;
use crate::cutting::{Binding, Cut, Material, Materials, best_cut};
use crate::demand::{Demand, Task, TaskKind};
use crate::machine::{Known, Machine};
use crate::texts;
use units::{Power, Rpm, Time, Torque};

/// Beyond any machine tool, so that nothing of the spindle binds.
fn ample(machine: &Machine) -> Machine {
    let mut ample = machine.clone();
    let p = &mut ample.properties;
    p.spindle_power = Known::Yes(Power::kw(1.0e6));
    p.spindle_torque = Known::Yes(Torque::nm(1.0e6));
    p.spindle_rpm_max = Known::Yes(Rpm::rpm(1.0e6));
    ample
}

/// True when the spindle's own numbers were stated, so that a reason may rest on them.
fn stated(machine: &Machine) -> bool {
    let p = &machine.properties;
    p.spindle_power.stated().is_some()
        || (p.spindle_torque.stated().is_some() && p.spindle_torque_rpm.stated().is_some())
}

pub(super) fn compare(
    demand: &Demand,
    machine: &Machine,
    materials: &Materials,
    tally: &mut Tally,
) {
    let Some(material) = materials.0.get(&demand.material) else {
        return;
    };
    if !stated(machine) {
        return;
    }
    let ample = ample(machine);
    for task in demand.tasks() {
        compare_task(task, material, machine, &ample, tally);
    }
}

fn compare_task(
    task: &Task,
    material: &Material,
    machine: &Machine,
    ample: &Machine,
    tally: &mut Tally,
) {
    let Ok(wanted) = best_cut(task, material, ample) else {
        return;
    };
    match best_cut(task, material, machine) {
        Ok(cut) => weak(task, &cut, &wanted, tally),
        Err(refusal) => {
            let lost = |t: Time| t - refusal.ample;
            let mend = texts::stated_pass_too_heavy(
                &task.about,
                refusal.shallower.map(|c| (c.depth, lost(c.time))),
                refusal.smaller.as_ref().map(|(d, c)| (*d, lost(c.time))),
            );
            let capability = if refusal.binding == Binding::Torque {
                Capability::Torque
            } else {
                Capability::Power
            };
            let short_by = refusal.need - refusal.have;
            tally.margin(capability, -short_by);
            let costs = refusal.shallower.map(|c| lost(c.time));
            tally.limit(capability, short_by, mend, costs, false);
        }
    }
}

fn weak(task: &Task, cut: &Cut, wanted: &Cut, tally: &mut Tally) {
    let lost = (cut.time - wanted.time).max(Time::ZERO);
    let (capability, short_by) = match cut.binding {
        Binding::Power => (Capability::Power, (wanted.power - cut.power).to_kw()),
        Binding::Torque => (Capability::Torque, (wanted.torque - cut.torque).to_nm()),
        Binding::SpindleSpeed => (Capability::SpindleSpeed, (wanted.rpm - cut.rpm).to_rpm()),
        _ => return,
    };
    let short_by = short_by.max(0.0);
    tally.margin(capability, -short_by);
    if lost <= Time::ZERO {
        return;
    }
    let mend = match (task.kind, capability) {
        (_, Capability::SpindleSpeed) => texts::spindle_slow(&task.about, lost),
        (TaskKind::Tap, _) => texts::mill_the_thread(&task.about, lost),
        _ => texts::slower_cut(&task.about, cut.depth, lost),
    };
    tally.limit(capability, short_by, mend, Some(lost), false);
}
