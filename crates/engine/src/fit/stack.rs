//! Heights from the table to the spindle nose: the stack-up, and which work holding suits it.

use super::practice::share;
use super::tally::{Tally, short};
use super::{Capability, Held, Practice, StackUp};
use crate::demand::{Demand, Holding, Setup};
use crate::machine::{Field, Machine};
use crate::texts;
use units::{LENGTH_SLACK, Length, Time};

/// Ends of the nose range somebody stated; one of them derived from the other only when the travel
/// of Z is stated as well.
fn nose_range(machine: &Machine) -> (Option<Length>, Option<Length>) {
    let p = &machine.properties;
    let (low, high, travel) = (
        p.nose_to_table_min.stated(),
        p.nose_to_table_max.stated(),
        p.travel_z.stated(),
    );
    (
        low.or_else(|| high.zip(travel).map(|(h, t)| h - t)),
        high.or_else(|| low.zip(travel).map(|(l, t)| l + t)),
    )
}

/// The stack-up of a setup in its usual work holding with holders of a gauge length. The nose must
/// come down to the tip plus stick-out plus gauge length for every task, and rise over the work for
/// loading and tool changes with the longest tool. A riser is only needed where the nose stops
/// above the lowest of the former.
pub fn stack_up(setup: &Setup, machine: &Machine, practice: &Practice, gauge: Length) -> StackUp {
    let held = Held::usual(setup.holding);
    stacked(setup, machine, practice, gauge, held)
}

/// The same in a given work holding.
pub(super) fn stacked(
    setup: &Setup,
    machine: &Machine,
    practice: &Practice,
    gauge: Length,
    held: Held,
) -> StackUp {
    let part = setup.extent[2];
    let holding = match held {
        Held::Rotary => practice.rotary.centre - 0.5 * part,
        _ => practice.height_of(held),
    };
    let tool = |reach| gauge + practice.stick_out(reach);
    let mut longest = tool(Length::ZERO);
    let mut lowest: Option<Length> = None;
    for task in &setup.tasks {
        let length = tool(task.tool.reach);
        longest = longest.max(length);
        let nose = holding + part - task.depth + length;
        lowest = Some(lowest.map_or(nose, |l| l.min(nose)));
    }
    let low_need = lowest.unwrap_or(holding + part + longest);
    let (nose_low, nose_high) = nose_range(machine);
    let riser = nose_low.map_or(Length::ZERO, |low| (low - low_need).max(Length::ZERO));
    let riser = if riser > LENGTH_SLACK {
        riser
    } else {
        Length::ZERO
    };
    StackUp {
        riser,
        held,
        holding,
        part,
        clearance: practice.clearance,
        longest_tool: longest,
        nose_high_need: riser + holding + part + practice.clearance + longest,
        nose_low_need: low_need,
        nose_low,
        nose_high,
    }
}

/// Ways of holding that stand in for one another, the usual one first.
fn variants(holding: Holding) -> &'static [Held] {
    match holding {
        Holding::Vise => &[Held::Vise, Held::SoftJaws, Held::LowVise],
        Holding::Plate => &[Held::Plate],
        Holding::Chuck => &[Held::Chuck],
    }
}

/// The stack-up in the work holding that suits the nose range: the usual one unless the nose does
/// not rise over it, or does not come down to it without a riser.
pub(super) fn choose(
    setup: &Setup,
    machine: &Machine,
    practice: &Practice,
    gauge: Length,
) -> StackUp {
    let too_high = |s: &StackUp| {
        s.nose_high
            .is_some_and(|high| short((high - s.nose_high_need).to_mm()))
    };
    let of = |held: &Held| stacked(setup, machine, practice, gauge, *held);
    let all = variants(setup.holding).iter().map(of);
    let suits = all
        .clone()
        .filter(|s| !too_high(s))
        .min_by_key(|s| s.riser > Length::ZERO);
    suits
        .or_else(|| all.min_by(|a, b| a.nose_high_need.total_cmp(&b.nose_high_need)))
        .unwrap_or_else(|| stack_up(setup, machine, practice, gauge))
}

/// The lowest any work holding lets the part stand.
pub(crate) fn lowest(
    setup: &Setup,
    machine: &Machine,
    practice: &Practice,
    gauge: Length,
) -> StackUp {
    variants(setup.holding)
        .iter()
        .map(|held| stacked(setup, machine, practice, gauge, *held))
        .min_by(|a, b| a.nose_high_need.total_cmp(&b.nose_high_need))
        .unwrap_or_else(|| stack_up(setup, machine, practice, gauge))
}

/// What a comparison of heights speaks of.
#[derive(Clone, Copy)]
pub(super) struct Heights<'a> {
    pub demand: &'a Demand,
    pub setup: &'a Setup,
    pub machine: &'a Machine,
    pub practice: &'a Practice,
    pub gauge: Length,
}

/// Compares a chosen stack-up with the nose range.
pub(super) fn compare(at: Heights<'_>, stack: &StackUp, tally: &mut Tally) {
    let Heights {
        demand,
        setup,
        machine,
        practice,
        gauge,
    } = at;
    let p = &machine.properties;
    let usual = stack_up(setup, machine, practice, gauge);
    let other_holding = share(practice.mends.other_holding, demand);
    // Needed without any riser; a riser lifts both ends alike, so their distance stays.
    let low_need = stack.nose_low_need;
    if let Some(low) = stack.nose_low {
        tally.margin(Capability::NoseLow, (low_need - low).to_mm());
        if stack.riser > Length::ZERO {
            tally.limit(
                Capability::NoseLow,
                stack.riser.to_mm(),
                texts::riser(stack.riser),
                Some(other_holding),
                false,
            );
        } else if usual.riser > Length::ZERO {
            tally.limit(
                Capability::NoseLow,
                usual.riser.to_mm(),
                texts::other_holding(stack.held.word(), stack.holding),
                Some(other_holding),
                false,
            );
        }
    }
    match (stack.nose_low, stack.nose_high) {
        (low, Some(high)) => {
            let margin = (high - stack.nose_high_need).to_mm();
            tally.margin(Capability::NoseHigh, margin);
            if short(margin) {
                let (mend, costs) = raise(at, stack, Length::mm(-margin));
                tally.limit(Capability::NoseHigh, -margin, mend, Some(costs), true);
                return;
            }
            let usual_short = (usual.nose_high_need - high).to_mm();
            if short(-usual_short) {
                tally.limit(
                    Capability::NoseHigh,
                    usual_short,
                    texts::other_holding(stack.held.word(), stack.holding),
                    Some(other_holding),
                    false,
                );
            }
            if low.is_none() {
                // A nose that does not come down asks for a riser, and there is so much room for it.
                let high_need = stack.nose_high_need - stack.riser;
                tally.ask(
                    Field::nose_to_table_min,
                    p.nose_to_table_min,
                    low_need + (high - high_need),
                    false,
                );
            }
        }
        (Some(_), None) => tally.ask(
            Field::nose_to_table_max,
            p.nose_to_table_max,
            lowest(setup, machine, practice, gauge).nose_high_need,
            true,
        ),
        (None, None) => {
            let least = lowest(setup, machine, practice, gauge);
            let high_need = least.nose_high_need - least.riser;
            tally.ask(
                Field::nose_to_table_max,
                p.nose_to_table_max,
                high_need,
                true,
            );
            tally.ask(
                Field::nose_to_table_min,
                p.nose_to_table_min,
                low_need,
                false,
            );
            // Z must at least pass from the one to the other.
            if let Some(travel) = p.travel_z.stated() {
                let margin = (travel - (high_need - least.nose_low_need)).to_mm();
                tally.margin(Capability::TravelZ, margin);
                if short(margin) {
                    let (mend, costs) = raise(at, &least, Length::mm(-margin));
                    tally.limit(Capability::TravelZ, -margin, mend, Some(costs), true);
                }
            }
        }
    }
}

/// The cheapest mend of a nose that does not rise far enough, and what it costs each piece.
fn raise(at: Heights<'_>, stack: &StackUp, by: Length) -> (String, Time) {
    let mends = &at.practice.mends;
    let stub = at.practice.stub_gauge(at.machine);
    let would_do = at.gauge - by;
    let flat = stack.holding - at.practice.heights.plate;
    let in_vise = at.setup.holding == Holding::Vise;
    let mut ways = Vec::new();
    if stub.fits(would_do) {
        ways.push((
            texts::shorter_holder(would_do),
            share(mends.holder, at.demand),
        ));
    }
    if in_vise && by.fits(flat) {
        ways.push((texts::flat_on_plate(), mends.clamps));
    } else if in_vise && by.fits(flat + (at.gauge - stub)) {
        ways.push((
            texts::flat_and_shorter(at.gauge - (by - flat)),
            mends.clamps + share(mends.holder, at.demand),
        ));
    }
    cheapest(ways).unwrap_or_else(|| {
        (
            texts::nose_too_low(stack.holding, stack.holding > Length::ZERO),
            share(mends.outside, at.demand),
        )
    })
}

/// The cheapest of several ways in time; the earlier of equals.
pub(super) fn cheapest(ways: Vec<(String, Time)>) -> Option<(String, Time)> {
    ways.into_iter().min_by(|a, b| a.1.total_cmp(&b.1))
}
