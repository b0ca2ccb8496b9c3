//! Heights from the table to the spindle nose: the stack-up.

use super::tally::{Tally, short};
use super::{Capability, Practice, StackUp};
use crate::demand::Setup;
use crate::machine::{Field, Machine};
use crate::texts;
use units::{LENGTH_SLACK, Length};

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

/// The stack-up of a setup with holders of a gauge length. The nose must come down to the tip plus
/// stick-out plus gauge length for every task, and rise over the work for loading and tool changes
/// with the longest tool. A riser is only needed where the nose stops above the lowest of the
/// former.
pub fn stack_up(setup: &Setup, machine: &Machine, practice: &Practice, gauge: Length) -> StackUp {
    let holding = practice.height(setup.holding);
    let part = setup.extent[2];
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

/// Compares a stack-up with the nose range.
pub(super) fn compare(stack: &StackUp, machine: &Machine, tally: &mut Tally) {
    let p = &machine.properties;
    // Needed without any riser; a riser lifts both ends alike, so their distance stays.
    let high_need = stack.nose_high_need - stack.riser;
    let low_need = stack.nose_low_need;
    if let Some(low) = stack.nose_low {
        tally.margin(Capability::NoseLow, (low_need - low).to_mm());
        if stack.riser > Length::ZERO {
            tally.limit(
                Capability::NoseLow,
                stack.riser.to_mm(),
                texts::riser(stack.riser),
                None,
                false,
            );
        }
    }
    match (stack.nose_low, stack.nose_high) {
        (low, Some(high)) => {
            let margin = (high - stack.nose_high_need).to_mm();
            tally.margin(Capability::NoseHigh, margin);
            if short(margin) {
                tally.limit(
                    Capability::NoseHigh,
                    -margin,
                    texts::nose_too_low(stack.holding, stack.holding > Length::ZERO),
                    None,
                    true,
                );
            } else if low.is_none() {
                // A nose that does not come down asks for a riser, and there is so much room for it.
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
            stack.nose_high_need,
            true,
        ),
        (None, None) => {
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
                let margin = (travel - (high_need - low_need)).to_mm();
                tally.margin(Capability::TravelZ, margin);
                if short(margin) {
                    tally.limit(
                        Capability::TravelZ,
                        -margin,
                        texts::nose_too_low(stack.holding, false),
                        None,
                        true,
                    );
                }
            }
        }
    }
}
