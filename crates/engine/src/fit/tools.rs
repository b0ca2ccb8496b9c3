//! The distinct tools of a part, and how often each goes into the spindle.

use crate::demand::{Demand, Setup, ToolNeed, ToolShape};
use std::collections::BTreeMap;
use units::Length;

/// What makes two tools the same: shape, diameter, corner and pitch, to the micrometre.
type Key = (ToolShape, i64, i64, i64);

fn key(tool: &ToolNeed, pitch: Option<Length>) -> Key {
    let um = |l: Length| l.to_um().round() as i64;
    (
        tool.shape,
        um(tool.diameter),
        um(tool.corner),
        pitch.map_or(0, um),
    )
}

/// Tools of a part, each once, with the longest reach any task asks of it.
pub fn distinct_tools(demand: &Demand) -> Vec<ToolNeed> {
    keyed(demand).into_values().collect()
}

fn keyed(demand: &Demand) -> BTreeMap<Key, ToolNeed> {
    let mut tools: BTreeMap<Key, ToolNeed> = BTreeMap::new();
    for task in demand.tasks() {
        tools
            .entry(key(&task.tool, task.pitch))
            .and_modify(|t| t.reach = t.reach.max(task.tool.reach))
            .or_insert(task.tool);
    }
    tools
}

/// Changes into the spindle in one setup: every tool in its order, neighbours alike once; positions
/// in the list of [`distinct_tools`].
pub fn changes(demand: &Demand) -> Vec<Vec<usize>> {
    let keys: Vec<Key> = keyed(demand).into_keys().collect();
    let of = |setup: &Setup| {
        let mut order: Vec<usize> = setup
            .tasks
            .iter()
            .filter_map(|t| keys.binary_search(&key(&t.tool, t.pitch)).ok())
            .collect();
        order.dedup();
        order
    };
    demand.setups.iter().map(of).collect()
}

/// How often each of the tools goes in for one piece.
pub(super) fn uses(demand: &Demand, tools: &[ToolNeed]) -> Vec<u32> {
    let mut uses = vec![0; tools.len()];
    for at in changes(demand).into_iter().flatten() {
        uses[at] += 1;
    }
    uses
}
