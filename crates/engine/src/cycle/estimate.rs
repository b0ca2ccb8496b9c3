//! The estimate: cuts, moves, tool changes, clamping, checking, and what is done once.

use super::changer::{hand_changes_of, per_piece};
use super::learning::first_year_factor;
use super::pass::beside_the_cut;
use super::{Bound, Habits, HourDoubt, PartTime, TimeParts, smooth_move_time};
use crate::cutting::{Cut, Limits, Materials, possible_cut_within};
use crate::demand::{Basis, Demand, Holding, Task, TaskKind};
use crate::fit::{
    Fit, Held, Places, Practice, SetupFit, batches, block_feed, budget, changer_time,
    distinct_tools, each_loading, magazine, split_programs,
};
use crate::machine::Machine;
use units::{Acceleration, Length, Speed, Time};

/// Rapid rate and acceleration where neither the seller nor the class says anything:
/// the slow ends of the trade ranges (from memory).
const SLOW_RAPID: Speed = Speed::m_min(2.5);
const SLOW_ACCELERATION: Acceleration = Acceleration::m_s2(0.5);

/// Approach and retract at each place cut (common practice, no source).
const RETRACT: Length = Length::mm(15.0);
/// Bulk of unknown cutting on a machine without a known spindle: the removal of a light cut in
/// any metal, 1 cm3/min, so that the time is at least finite; shown as a lower bound.
const LIGHT_REMOVAL_MM3_MIN: f64 = 1000.0;
/// Holes deeper than this many diameters want coolant to bring the chips out (common practice, no
/// source).
pub(crate) const DEEP: f64 = 3.0;
/// Tolerances finer than this are measured piece by piece (common practice, no source).
const MEASURED: Length = Length::mm(0.05);

/// How fast a machine moves.
struct Motion {
    rapid: Speed,
    acceleration: Acceleration,
    ramp: Time,
}

impl Motion {
    fn of(machine: &Machine, habits: &Habits) -> Self {
        let p = &machine.properties;
        let positive = |v: Option<f64>, or: f64| v.filter(|v| *v > 0.0).unwrap_or(or);
        Self {
            rapid: Speed::m_min(positive(
                p.rapid.estimate().map(Speed::to_m_min),
                SLOW_RAPID.to_m_min(),
            )),
            acceleration: Acceleration::m_s2(positive(
                p.acceleration.estimate().map(Acceleration::to_m_s2),
                SLOW_ACCELERATION.to_m_s2(),
            )),
            ramp: habits.acceleration_ramp,
        }
    }

    fn rapid_over(&self, distance: Length) -> Time {
        smooth_move_time(distance, self.rapid, self.acceleration, self.ramp)
    }
}

/// How long a part takes on a machine.
pub fn time(
    demand: &Demand,
    fit: &Fit,
    machine: &Machine,
    materials: &Materials,
    practice: &Practice,
) -> PartTime {
    let limits = Limits::of(machine);
    time_within(demand, fit, machine, limits.as_ref(), materials, practice)
}

/// The same with the machine's cutting limits made once for all its parts.
pub fn time_within(
    demand: &Demand,
    fit: &Fit,
    machine: &Machine,
    limits: Option<&Limits>,
    materials: &Materials,
    practice: &Practice,
) -> PartTime {
    let habits = &practice.habits;
    let motion = Motion::of(machine, habits);
    let mut known = true;
    let mut parts = TimeParts {
        checking: habits.checking * demand.setups.len() as f64,
        deburring: habits.deburring * demand.setups.len() as f64,
        ..TimeParts::default()
    };
    if demand.tolerance.is_some_and(|t| t < MEASURED) {
        parts.checking += habits.measuring;
    }
    let springs =
        budget(demand, materials, machine, &practice.errors, 0).map_or(0, |b| b.spring_passes);
    let cutting = materials.0.get(&demand.material).zip(limits);
    for task in demand.tasks() {
        let cut = cutting
            .and_then(|(m, limits)| possible_cut_within(task, m, &followed(task, machine, limits)));
        let Some(cut) = cut else {
            known = false;
            parts.cut += Time::minutes(task.volume.to_mm3() / LIGHT_REMOVAL_MM3_MIN);
            continue;
        };
        known &= cut.stiffness_known;
        let (in_cut, beside) = on_machine(task, cut, machine, &motion, habits);
        // A spring pass runs over the wall again.
        let over = if task.kind == TaskKind::Side {
            f64::from(1 + springs)
        } else {
            1.0
        };
        parts.cut += in_cut * over;
        parts.moves += beside * over;
        if task.kind == TaskKind::Tap {
            parts.spindle += habits.tap_reversal * (2.0 * f64::from(task.count.max(1)));
        }
    }
    parts.moves += moves(demand, &motion);
    let split = split_programs(demand, machine);
    parts.clamping += split;

    let (batches, in_batch) = batches(demand, habits);
    let started = batches * in_batch;
    // Everything that depends on how many parts are clamped side by side.
    let tools = distinct_tools(demand);
    let filled = magazine(demand, machine, practice);
    let by_changer = changer_time(machine, habits);
    let places: Vec<Places> = crate::fit::changes(demand)
        .iter()
        .enumerate()
        .map(|(at, order)| {
            let each_loading = each_loading(order, &filled, machine, habits);
            Places::best(
                each_loading,
                in_batch,
                fit.setups_on.get(at),
                machine,
                habits,
            )
        })
        .collect();
    let per_loading: Vec<u32> = places.iter().map(|p| p.parts).collect();
    let changes = per_piece(demand, fit, &per_loading, |_| true);
    let by_hand = hand_changes_of(demand, fit, &filled, &per_loading).min(changes);
    let hand_time = habits.hand_change * by_hand;
    parts.tool_changes = hand_time + by_changer * (changes - by_hand);
    parts.spindle += habits.spindle_start * starts(demand, fit, &per_loading);
    parts.clamping += places.iter().map(|p| p.clamping).sum();
    parts.probing = places.iter().map(|p| p.pick_up).sum();

    let cycle = parts.total();
    let batch_setup =
        places.iter().map(|p| p.setting).sum::<Time>() + habits.setting_tool * tools.len() as f64;
    let preparation = preparation(demand, fit, habits, tools.len());
    let attended = parts.clamping + parts.probing + parts.checking + parts.deburring + hand_time;
    let per_year = cycle * started + batch_setup * batches;
    let attended_per_year = attended * started + batch_setup * batches;
    let learning = first_year_factor(habits.learning, habits.practised_after, started);
    let bound = if demand.basis == Basis::Bulk || !known {
        Bound::LowerBound
    } else {
        Bound::Estimate
    };
    PartTime {
        part: demand.part.clone(),
        offer: machine.offer.clone(),
        cycle: parts,
        attended,
        preparation,
        batch_setup,
        first_part: preparation + batch_setup + cycle * habits.first_piece,
        per_year,
        first_year: per_year + attended_per_year * (learning - 1.0) + preparation,
        attended_per_year,
        started_per_year: started,
        batches_per_year: batches,
        tool_changes_per_year: changes * started,
        per_loading,
        bound,
        doubt: HourDoubt::default(),
    }
}

/// Limits of a task: curved surfaces are fed no faster than the control works off their short moves.
fn followed(task: &Task, machine: &Machine, limits: &Limits) -> Limits {
    let least = |most: Speed| limits.feed_max.map_or(most, |own| own.min(most));
    Limits {
        feed_max: block_feed(task, machine).map(least).or(limits.feed_max),
        ..*limits
    }
}

/// Time in the cut and beside it. Deep holes without coolant are pecked more often.
fn on_machine(
    task: &Task,
    mut cut: Cut,
    machine: &Machine,
    motion: &Motion,
    habits: &Habits,
) -> (Time, Time) {
    let deep = task.kind == TaskKind::Drill && task.cut_depth > task.tool.diameter * DEEP;
    let dry = machine
        .properties
        .coolant
        .stated()
        .is_some_and(|n| n.to_number() < 1.0);
    if deep && dry {
        cut.time = cut.time * habits.dry;
    }
    let beside = beside_the_cut(task, &cut, motion.acceleration, motion.ramp);
    (cut.time, beside)
}

/// Starts of the spindle for one piece: once for each tool of each clamping, even when it is the
/// only one.
fn starts(demand: &Demand, fit: &Fit, per_loading: &[u32]) -> f64 {
    crate::fit::changes(demand)
        .iter()
        .enumerate()
        .map(|(at, order)| {
            let clampings = fit.setups_on.get(at).map_or(1, |s| s.clampings.max(1));
            let parts = per_loading.get(at).copied().unwrap_or(1).max(1);
            order.len() as f64 * f64::from(clampings) / f64::from(parts)
        })
        .sum()
}

/// Programming and fixtures, once.
fn preparation(demand: &Demand, fit: &Fit, habits: &Habits, tools: usize) -> Time {
    let setups = demand.setups.len() as f64;
    let further: u32 = fit
        .setups_on
        .iter()
        .map(|s| s.clampings.saturating_sub(1))
        .sum();
    let any = |of: &dyn Fn(&SetupFit) -> bool| fit.setups_on.iter().any(of);
    let once = |has: bool, time: Time| if has { time } else { Time::ZERO };
    let plate = demand.setups.iter().any(|s| s.holding == Holding::Plate);
    habits.programming_setup * setups
        + habits.programming_tool * tools as f64
        + habits.programming_clamping * f64::from(further)
        + once(plate, habits.fixture_plate)
        + once(
            any(&|s| s.stack.held == Held::SoftJaws),
            habits.fixture_jaws,
        )
        + once(any(&|s| s.rotary), habits.fixture_rotary)
}

/// Tools put into the spindle for one piece: every tool of every setup in its order, again for each
/// further clamping of that setup; none when one tool does it all and stays in.
pub fn changes_per_piece(demand: &Demand, clampings_of: impl Fn(usize) -> u32) -> f64 {
    let changes = crate::fit::changes(demand);
    if distinct_tools(demand).len() <= 1 {
        return 0.0;
    }
    changes
        .iter()
        .enumerate()
        .map(|(at, order)| order.len() as f64 * f64::from(clampings_of(at).max(1)))
        .sum()
}

/// Rapid moves: to and from every place, and between places a third of the part's longer side.
fn moves(demand: &Demand, motion: &Motion) -> Time {
    let mut total = Time::ZERO;
    for setup in &demand.setups {
        let between = motion.rapid_over(setup.extent[0].max(setup.extent[1]) / 3.0);
        for task in &setup.tasks {
            let places = f64::from(task.count.max(1)) * lifts(task);
            let hop = between + motion.rapid_over(RETRACT + task.depth) * 2.0;
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
