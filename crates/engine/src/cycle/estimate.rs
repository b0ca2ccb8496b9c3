//! The plain estimate: cuts, rapid moves, tool changes, clamping, checking, and what is done once.

use super::{Bound, PartTime, TimeParts, move_time};
use crate::cutting::{Materials, possible_cut};
use crate::demand::{Basis, Demand, Task, TaskKind};
use crate::fit::{CLAMPING, Fit, distinct_tools};
use crate::machine::Machine;
use units::{Acceleration, Length, Mass, Speed, Time};

/// Habits a time rests on (common practice, no source, each).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Habits {
    /// Clamping a piece, each clamping: cleaning, loading, tightening.
    pub clamping: Time,
    /// Changing a tool by hand: 30 to 60 s.
    pub hand_change: Time,
    /// Checking and deburring, each setup of each piece.
    pub checking: Time,
    /// Programming, each setup.
    pub programming_setup: Time,
    /// Programming, each distinct tool.
    pub programming_tool: Time,
    /// Setting up a batch: vise and datum, each clamping.
    pub setting_clamping: Time,
    /// Setting up a batch: loading and measuring a tool.
    pub setting_tool: Time,
    /// Proving the first piece takes this many times its cycle.
    pub first_piece: f64,
    /// Machines under this weight, of which nobody told the heaviest cut, give lower bounds.
    pub light_machine: Mass,
}

impl Default for Habits {
    fn default() -> Self {
        Self {
            clamping: CLAMPING,
            hand_change: Time::s(45.0),
            checking: Time::minutes(2.0),
            programming_setup: Time::minutes(45.0),
            programming_tool: Time::minutes(10.0),
            setting_clamping: Time::minutes(15.0),
            setting_tool: Time::minutes(3.0),
            first_piece: 2.0,
            light_machine: Mass::kg(1500.0),
        }
    }
}

/// Rapid rate, acceleration and tool change where neither the seller nor the class says anything:
/// the slow ends of the trade ranges (from memory).
const SLOW_RAPID: Speed = Speed::m_min(2.5);
const SLOW_ACCELERATION: Acceleration = Acceleration::m_s2(0.5);
const SLOW_CHANGE: Time = Time::s(15.0);

/// Approach and retract at each place cut (common practice, no source).
const RETRACT: Length = Length::mm(15.0);
/// Bulk of unknown cutting on a machine without a known spindle: the removal of a light cut in
/// any metal, 1 cm3/min, so that the time is at least finite; shown as a lower bound.
const LIGHT_REMOVAL_MM3_MIN: f64 = 1000.0;

/// How long a part takes on a machine.
pub fn time(
    demand: &Demand,
    fit: &Fit,
    machine: &Machine,
    materials: &Materials,
    habits: &Habits,
) -> PartTime {
    let p = &machine.properties;
    let tools = distinct_tools(demand);
    let mut known = true;
    let cut = demand
        .tasks()
        .map(|task| {
            let cut = materials
                .0
                .get(&demand.material)
                .and_then(|m| possible_cut(task, m, machine));
            match cut {
                Some(cut) => cut.time,
                None => {
                    known = false;
                    Time::minutes(task.volume.to_mm3() / LIGHT_REMOVAL_MM3_MIN)
                }
            }
        })
        .sum();
    let positive = |v: Option<f64>, or: f64| v.filter(|v| *v > 0.0).unwrap_or(or);
    let rapid = Speed::m_min(positive(
        p.rapid.estimate().map(Speed::to_m_min),
        SLOW_RAPID.to_m_min(),
    ));
    let acceleration = Acceleration::m_s2(positive(
        p.acceleration.estimate().map(Acceleration::to_m_s2),
        SLOW_ACCELERATION.to_m_s2(),
    ));
    let moves = moves(demand, rapid, acceleration);
    let changes = changes_per_piece(demand, |i| fit.setups_on.get(i).map_or(1, |s| s.clampings));
    let by_hand = changes.min(f64::from(fit.hand_changes) * changes / tools.len().max(1) as f64);
    let automatic = p.tool_change.estimate().filter(|t| *t > Time::ZERO);
    let by_changer = automatic.unwrap_or(SLOW_CHANGE).min(habits.hand_change);
    let hand_time = habits.hand_change * by_hand;
    let parts = TimeParts {
        cut,
        moves,
        tool_changes: hand_time + by_changer * (changes - by_hand),
        clamping: habits.clamping * f64::from(fit.clampings),
        checking: habits.checking * demand.setups.len() as f64,
    };
    let cycle = parts.total();
    let batch_setup = habits.setting_clamping * f64::from(fit.clampings)
        + habits.setting_tool * tools.len() as f64;
    let preparation = habits.programming_setup * demand.setups.len() as f64
        + habits.programming_tool * tools.len() as f64;
    let pieces = demand.per_year.to_number().max(0.0);
    let batches = if pieces > 0.0 {
        (pieces / demand.batch.to_number().max(1.0)).ceil()
    } else {
        0.0
    };
    let light = p.weight.estimate().is_none_or(|w| w < habits.light_machine);
    let bound = if demand.basis == Basis::Bulk || light || !known {
        Bound::LowerBound
    } else {
        Bound::Estimate
    };
    PartTime {
        part: demand.part.clone(),
        offer: machine.offer.clone(),
        cycle: parts,
        attended: parts.clamping + parts.checking + hand_time,
        preparation,
        batch_setup,
        first_part: preparation + batch_setup + cycle * habits.first_piece,
        per_year: cycle * pieces + batch_setup * batches,
        tool_changes_per_year: changes * pieces,
        bound,
    }
}

/// Tools put into the spindle for one piece: every tool of every setup in its order, again for each
/// further clamping of that setup; none when one tool does it all and stays in.
pub fn changes_per_piece(demand: &Demand, clampings_of: impl Fn(usize) -> u32) -> f64 {
    if distinct_tools(demand).len() <= 1 {
        return 0.0;
    }
    let um = |l: Length| l.to_um().round() as i64;
    let mut changes = 0.0;
    for (i, setup) in demand.setups.iter().enumerate() {
        let mut in_order: Vec<_> = setup
            .tasks
            .iter()
            .map(|t| (t.tool.shape, um(t.tool.diameter), t.pitch.map_or(0, um)))
            .collect();
        in_order.dedup();
        changes += in_order.len() as f64 * f64::from(clampings_of(i).max(1));
    }
    changes
}

/// Rapid moves: to and from every place, and between places a third of the part's longer side.
fn moves(demand: &Demand, rapid: Speed, acceleration: Acceleration) -> Time {
    let mut total = Time::ZERO;
    for setup in &demand.setups {
        let between = setup.extent[0].max(setup.extent[1]) / 3.0;
        for task in &setup.tasks {
            let places = f64::from(task.count.max(1)) * lifts(task);
            let hop = move_time(between, rapid, acceleration)
                + 2.0 * move_time(RETRACT + task.depth, rapid, acceleration);
            total += hop * places;
        }
    }
    total
}

/// Times the tool is lifted and put down again at one place: pecks of a deep hole, depth levels of
/// a pocket.
fn lifts(task: &Task) -> f64 {
    let ratio = task.cut_depth / task.tool.diameter.max(Length::mm(0.1));
    match task.kind {
        TaskKind::Drill if ratio > 3.0 => ratio.min(100.0).ceil(),
        TaskKind::Rough => ratio.clamp(1.0, 100.0).ceil(),
        _ => 1.0,
    }
}
