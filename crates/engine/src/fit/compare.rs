//! The fit of a part on a machine: every setup laid on the table, then everything compared.

use super::arrange::{self, Alone, Group};
use super::lie::{Lie, On, lie};
use super::loading::per_loading;
use super::rotary;
use super::stack::{self, Heights, choose};
use super::tally::Tally;
use super::tools::distinct_tools;
use super::{Fit, Practice, SetupFit, StackUp, Verdict, control, magazine, spindle, table};
use crate::cutting::{LimitsBand, Materials};
use crate::demand::{Demand, Setup};
use crate::machine::Machine;
use crate::texts;
use units::{Angle, Length};

/// Whether and how a part fits a machine. A property nobody stated never makes a yes.
pub fn fit(demand: &Demand, machine: &Machine, materials: &Materials, practice: &Practice) -> Fit {
    let band = LimitsBand::of(machine);
    fit_within(demand, machine, &band, materials, practice)
}

/// The same with the machine's cutting limits made once for all its parts.
pub fn fit_within(
    demand: &Demand,
    machine: &Machine,
    band: &LimitsBand,
    materials: &Materials,
    practice: &Practice,
) -> Fit {
    let limits = band.likely.as_ref();
    let mut tally = Tally::new(&machine.offer);
    let gauge = practice.gauge(machine);
    let tools = distinct_tools(demand);
    let filled = magazine::magazine(demand, machine, practice);
    let on = |setup| On {
        demand,
        setup,
        machine,
        limits,
        materials,
        practice,
    };
    let ways = rotary::ways(demand, machine, practice, gauge);
    let setups_on: Vec<SetupFit> = if ways.is_empty() {
        let all = demand.setups.iter();
        all.map(|s| on_table(on(s), gauge, &mut tally)).collect()
    } else {
        arranged(demand, on, gauge, &filled, &ways, &mut tally)
    };
    table::load(demand, machine, practice, &mut tally);
    let sizes_y: Vec<Length> = setups_on.iter().map(|s| s.size[1]).collect();
    let on_slots = table::SlotsOf {
        demand,
        sizes_y: &sizes_y,
    };
    table::slots(on_slots, machine, practice, &mut tally);
    let further = setups_on
        .iter()
        .map(|s| s.clampings.saturating_sub(1))
        .max()
        .unwrap_or(0);
    table::accuracy(demand, machine, materials, practice, further, &mut tally);
    let with = magazine::With {
        demand,
        machine,
        cutting: materials.0.get(&demand.material).zip(limits),
        practice,
    };
    magazine::compare(with, &tools, &filled, &mut tally);
    let asks = spindle::compare(demand, machine, band, (materials, practice), &mut tally);
    control::compare(demand, machine, &mut tally);

    let setups = demand.setups.len() as u32;
    let clampings = setups_on.iter().map(|s| s.clampings).sum();
    let more = setups_on.iter().any(|s| s.clampings > 1);
    let verdict = tally.verdict(more);
    let (margins, limits, ask) = tally.finish();
    let assumed = if verdict == Verdict::DoesNotFit {
        Vec::new()
    } else {
        spindle::carried(demand, machine, materials, asks)
    };
    Fit {
        part: demand.part.clone(),
        offer: machine.offer.clone(),
        verdict,
        setups,
        clampings,
        margins,
        limits,
        ask,
        assumed,
        setups_on,
        hand_changes: filled.count(),
        tools: tools.len() as u32,
        stands_for: Vec::new(),
    }
}

/// Every setup on the table or, where that is better, together with others on the rotary axes.
fn arranged<'a>(
    demand: &'a Demand,
    on: impl Fn(&'a Setup) -> On<'a>,
    gauge: Length,
    filled: &magazine::Magazine,
    ways: &[Group],
    tally: &mut Tally,
) -> Vec<SetupFit> {
    let setups: Vec<On<'a>> = demand.setups.iter().map(on).collect();
    let Some(&first) = setups.first() else {
        return Vec::new();
    };
    let (machine, practice) = (first.machine, first.practice);
    let alone: Vec<Alone> = setups
        .iter()
        .map(|on| {
            let mut tally = Tally::new(&machine.offer);
            let on = on_table(*on, gauge, &mut tally);
            Alone { on, tally }
        })
        .collect();
    let choice = arrange::Choice {
        demand,
        machine,
        habits: &practice.habits,
        filled,
        alone: &alone,
        on_rotary: &|at, stack, first| on_rotary(setups[at].setup, stack.clone(), first),
        accuracy: &|further| {
            let mut tally = Tally::new(&machine.offer);
            let materials = first.materials;
            table::accuracy(demand, machine, materials, practice, further, &mut tally);
            tally.verdict(false)
        },
    };
    let mut group = arrange::best(&choice, ways).unwrap_or_default();
    group.resize(alone.len(), None);
    let mut setups_on: Vec<SetupFit> = Vec::new();
    for ((joined, alone), on) in group.into_iter().zip(alone).zip(&setups) {
        setups_on.push(match joined {
            Some(stack) => {
                let first = setups_on.iter().all(|s| !s.rotary);
                on_rotary(on.setup, stack, first)
            }
            None => {
                tally.absorb(alone.tally);
                alone.on
            }
        });
    }
    setups_on
}

/// A setup taken together with others in one clamping on the rotary axes.
fn on_rotary(setup: &Setup, stack: StackUp, first: bool) -> SetupFit {
    let [x, y, _] = setup.extent;
    SetupFit {
        turned: false,
        angle_deg: 0.0,
        clampings: u32::from(first),
        along: [1, 1],
        rotary: true,
        per_loading: 1,
        stack,
        travel_need: super::tool_centre_travel(setup),
        size: [x, y],
    }
}

fn on_table(on: On<'_>, gauge: Length, tally: &mut Tally) -> SetupFit {
    let stack = choose(on.setup, on.machine, on.practice, gauge);
    let lie = lie(on, &stack, tally);
    compare_height(on, &stack, gauge, tally);
    table::footprint(lie.size, lie.along, on.machine, on.practice, tally);
    // However it lies on the table, it goes in straight.
    let [x, y, _] = on.setup.extent;
    table::door([x, y], on.demand, on.machine, on.practice, tally);
    setup_fit(on, &lie, stack)
}

fn setup_fit(on: On<'_>, lie: &Lie, stack: StackUp) -> SetupFit {
    SetupFit {
        turned: lie.angle > Angle::ZERO,
        angle_deg: lie.angle.to_deg(),
        clampings: lie.clampings(),
        along: lie.along,
        rotary: false,
        per_loading: per_loading(on, lie, &stack),
        stack,
        travel_need: lie.need,
        size: lie.size,
    }
}

/// Compares heights; when the taper is not stated and a shorter holder would do, the answer stays
/// open instead of being a no.
fn compare_height(on: On<'_>, stack: &StackUp, gauge: Length, tally: &mut Tally) {
    let (setup, machine, practice) = (on.setup, on.machine, on.practice);
    let heights = |gauge| Heights {
        demand: on.demand,
        setup,
        machine,
        practice,
        gauge,
    };
    let before = tally.limits.len();
    stack::compare(heights(gauge), stack, tally);
    let shorter = practice.shortest_gauge(machine);
    if shorter < gauge && tally.limits[before..].iter().any(|l| l.rules_out) {
        let mut other = Tally::new(&machine.offer);
        let lower = choose(setup, machine, practice, shorter);
        stack::compare(heights(shorter), &lower, &mut other);
        if !other.limits.iter().any(|l| l.rules_out) {
            let mut longest = gauge;
            for limit in tally.limits[before..].iter_mut().filter(|l| l.rules_out) {
                let would_do = gauge - Length::mm(limit.short_by);
                longest = longest.min(would_do);
                limit.rules_out = false;
                limit.mend = texts::ask_taper(would_do);
            }
            tally.ask_taper(longest);
        }
    }
}
