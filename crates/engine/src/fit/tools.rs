//! Tools against pockets, taper and the changer's limits. None of these rules a part out: tools are
//! changed by hand, smaller ones are taken.

use super::practice::largest_tools;
use super::tally::{Tally, short};
use super::{Capability, Practice};
use crate::demand::{Demand, ToolNeed, ToolShape};
use crate::machine::Machine;
use crate::texts;
use std::collections::BTreeMap;
use units::Length;

/// Tools of a part, each once, with the longest reach any task asks of it.
pub fn distinct_tools(demand: &Demand) -> Vec<ToolNeed> {
    let mut tools: BTreeMap<(ToolShape, i64, i64, i64), ToolNeed> = BTreeMap::new();
    let um = |l: Length| l.to_um().round() as i64;
    for task in demand.tasks() {
        let pitch = task.pitch.map_or(0, um);
        let key = (
            task.tool.shape,
            um(task.tool.diameter),
            um(task.tool.corner),
            pitch,
        );
        tools
            .entry(key)
            .and_modify(|t| t.reach = t.reach.max(task.tool.reach))
            .or_insert(task.tool);
    }
    tools.into_values().collect()
}

/// Tools beyond the changer's pockets; the first tool needs no changer.
pub(super) fn hand_changes(tools: &[ToolNeed], machine: &Machine) -> u32 {
    let pockets = machine
        .properties
        .changer_pockets
        .estimate()
        .map_or(0.0, |n| n.to_number().max(0.0).floor());
    let tools = tools.len() as u32;
    if tools <= 1 {
        0
    } else {
        tools.saturating_sub(pockets.min(1.0e6) as u32)
    }
}

pub(super) fn compare(
    tools: &[ToolNeed],
    machine: &Machine,
    practice: &Practice,
    gauge: Length,
    tally: &mut Tally,
) {
    let p = &machine.properties;
    if let Some(pockets) = p.changer_pockets.stated() {
        let margin = pockets.to_number() - tools.len() as f64;
        tally.margin(Capability::Pockets, margin);
        let by_hand = hand_changes(tools, machine);
        if by_hand > 0 {
            tally.limit(
                Capability::Pockets,
                -margin,
                texts::hand_changes(by_hand),
                None,
                false,
            );
        }
    }
    let largest = machine.taper.as_ref().map(largest_tools);
    for tool in tools {
        if let Some((shank, face)) = largest {
            let most = if tool.shape == ToolShape::Face {
                face
            } else {
                shank
            };
            // Small shanks carry larger taps, drills with a turned shank and boring heads.
            let bound = !matches!(
                tool.shape,
                ToolShape::Tap | ToolShape::Drill | ToolShape::Boring | ToolShape::Reamer
            );
            if bound {
                let margin = (most - tool.diameter).to_mm();
                tally.margin(Capability::Taper, margin);
                if short(margin) {
                    tally.limit(
                        Capability::Taper,
                        -margin,
                        texts::smaller_tool(most),
                        None,
                        false,
                    );
                }
            }
        }
        if let Some(most) = p.tool_diameter_max.stated() {
            let margin = (most - tool.diameter).to_mm();
            tally.margin(Capability::ToolDiameter, margin);
            if short(margin) {
                tally.limit(
                    Capability::ToolDiameter,
                    -margin,
                    texts::load_by_hand(),
                    None,
                    false,
                );
            }
        }
        if let Some(most) = p.tool_length_max.stated() {
            let margin = (most - gauge - practice.stick_out(tool.reach)).to_mm();
            tally.margin(Capability::ToolLength, margin);
            if short(margin) {
                tally.limit(
                    Capability::ToolLength,
                    -margin,
                    texts::load_by_hand(),
                    None,
                    false,
                );
            }
        }
    }
}
