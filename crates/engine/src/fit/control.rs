//! Curved surfaces against the control: memory, transfer, blocks a second.

use super::Capability;
use super::tally::Tally;
use crate::demand::{Demand, Task, TaskKind};
use crate::machine::Machine;
use crate::texts;
use units::{Length, Speed, Time};

/// Deviation of the straight moves from a curve that programs are written with (common practice, no
/// source).
const CHORD: Length = Length::mm(0.005);
/// Length of one line of program, bytes: "X-123.4567 Y-123.4567 Z-12.3456" and its end.
const BLOCK_BYTES: f64 = 32.0;
/// Attended time of loading the next piece of a program (common practice, no source).
const NEXT_PIECE: Time = Time::minutes(3.0);

/// Length of one straight move along a curved surface: the chord of the cutter's own radius at the
/// deviation, `2 sqrt(2 r e)`.
pub fn block_length(task: &Task) -> Length {
    let r = 0.5 * task.tool.diameter.to_mm().max(0.1);
    Length::mm(2.0 * (2.0 * r * CHORD.to_mm()).sqrt())
}

/// Highest feed along curved surfaces the control keeps up with; `None` when it is not stated.
pub fn block_feed(task: &Task, machine: &Machine) -> Option<Speed> {
    let rate = machine.properties.block_rate.stated()?.to_number();
    (task.kind == TaskKind::Freeform && rate > 0.0)
        .then(|| Speed::mm_s(rate * block_length(task).to_mm()))
}

/// Kilobytes of the longest program of a part's setups.
pub fn program_kb(demand: &Demand) -> f64 {
    let of = |t: &Task| {
        let step = t
            .stepover
            .unwrap_or(t.tool.diameter * 0.1)
            .to_mm()
            .max(0.01);
        t.area.to_mm2() / step / block_length(t).to_mm() * BLOCK_BYTES / 1024.0
    };
    demand
        .setups
        .iter()
        .map(|s| {
            s.tasks
                .iter()
                .filter(|t| t.kind == TaskKind::Freeform)
                .map(of)
                .sum()
        })
        .fold(0.0, f64::max)
}

/// Time a piece takes longer because its program must be loaded piece by piece.
pub fn split_programs(demand: &Demand, machine: &Machine) -> Time {
    let p = &machine.properties;
    let drips = p.drip_feed.stated().is_some_and(|n| n.to_number() > 0.0);
    match p.program_memory.stated().map(|n| n.to_number()) {
        Some(memory) if memory > 0.0 && !drips => {
            NEXT_PIECE * ((program_kb(demand) / memory).ceil() - 1.0).clamp(0.0, 1.0e4)
        }
        _ => Time::ZERO,
    }
}

pub(super) fn compare(demand: &Demand, machine: &Machine, tally: &mut Tally) {
    let p = &machine.properties;
    let need = program_kb(demand);
    if need <= 0.0 {
        return;
    }
    if let Some(memory) = p.program_memory.stated() {
        let margin = memory.to_number() - need;
        tally.margin(Capability::ProgramMemory, margin);
        if margin < 0.0 {
            let costs = split_programs(demand, machine);
            let mend = if costs > Time::ZERO {
                texts::split_program()
            } else {
                texts::drip_feed()
            };
            tally.limit(Capability::ProgramMemory, -margin, mend, Some(costs), false);
        }
    }
}
