//! Words on drawings.

use crate::demand::{Holding, TaskKind, ToolShape};

pub const RISER: &str = "riser";
pub const HOLDING: &str = "work holding";
pub const PART: &str = "part";
pub const CLEARANCE: &str = "clearance";
pub const TOOL: &str = "holder and tool";
pub const TABLE: &str = "table";
pub const NOSE: &str = "spindle nose";
pub const NEEDED: &str = "needed";
pub const MACHINE: &str = "machine";
pub const ASK: &str = "ask";

pub fn need_top(length: &str) -> String {
    format!("must rise to {length}")
}
pub fn need_bottom(length: &str) -> String {
    format!("must come down to {length}")
}
pub fn have_top(length: &str) -> String {
    format!("rises to {length}")
}
pub fn have_bottom(length: &str) -> String {
    format!("comes down to {length}")
}
pub fn spare(length: &str) -> String {
    format!("{length} to spare")
}
pub fn short(length: &str) -> String {
    format!("TOO SHORT by {length}")
}
pub fn too_high(length: &str) -> String {
    format!("TOO HIGH by {length}")
}
pub fn unknown_top() -> String {
    format!("rises to ? ({ASK})")
}
pub fn unknown_bottom() -> String {
    format!("comes down to ? ({ASK})")
}

pub(super) const ELSEWHERE: &str = "made in another setup";
pub(super) const HOLE: &str = "holes";
pub(super) const STEPPED: &str = "cut only in steps";
pub(super) const UNREACHED: &str = "reached by no cutter";
pub(super) const APART: &str = "marks and broken edges, told apart";
pub(super) const TOOLS: &str = "Tools, stick-out from the holder, use";
pub(super) const MORE: &str = "... and more";

pub(super) fn setup_title(part: &str, number: usize, of: usize) -> String {
    format!("{part}: setup {number} of {of}")
}

pub(super) fn strip_title(part: &str, setups: usize) -> String {
    let s = if setups == 1 { "" } else { "s" };
    format!("{part}: {setups} setup{s}")
}

pub(super) fn strip_label(number: usize, toward: [f64; 3], share_percent: f64) -> String {
    format!(
        "{number}.  {} up, {share_percent:.0} % of the surface",
        direction(toward)
    )
}

pub(super) fn setup_lies(toward: [f64; 3], holding: Holding) -> String {
    let held = match holding {
        Holding::Vise => "in a vise",
        Holding::Plate => "on a plate",
        Holding::Chuck => "in a chuck",
    };
    format!(
        "{} of the model up, held {held}; the arrow is the spindle",
        direction(toward)
    )
}

pub(super) fn made_with(diameter_mm: f64, corner_mm: f64) -> String {
    let shape = if corner_mm == 0.0 {
        ToolShape::Flat
    } else if corner_mm >= diameter_mm / 2.0 {
        ToolShape::Ball
    } else {
        ToolShape::Bull
    };
    format!("finished with {}", tool(shape, diameter_mm, corner_mm))
}

pub(super) fn tool(shape: ToolShape, diameter_mm: f64, corner_mm: f64) -> String {
    let d = format!("{diameter_mm:.2}");
    let d = d.trim_end_matches('0').trim_end_matches('.');
    match shape {
        ToolShape::Flat => format!("end mill {d}"),
        ToolShape::Ball => format!("ball nose {d}"),
        ToolShape::Bull => format!("bull nose {d} R{corner_mm}"),
        ToolShape::Face => format!("face mill {d}"),
        ToolShape::Drill => format!("drill {d}"),
        ToolShape::Reamer => format!("reamer {d}"),
        ToolShape::Tap => format!("tap {d}"),
        ToolShape::Chamfer => format!("chamfer mill {d}"),
        ToolShape::Boring => format!("boring head {d}"),
    }
}

pub(super) fn tool_line(name: &str, kinds: &[TaskKind], reach_mm: f64) -> String {
    let word = |kind: &TaskKind| match kind {
        TaskKind::Face => "facing",
        TaskKind::Rough => "roughing",
        TaskKind::Bottom => "floors",
        TaskKind::Side => "walls",
        TaskKind::Freeform => "slants",
        TaskKind::Drill => "holes",
        TaskKind::Ream => "reaming",
        TaskKind::Bore => "boring",
        TaskKind::Tap | TaskKind::Thread => "threads",
        TaskKind::Chamfer => "chamfers",
    };
    let kinds: Vec<&str> = kinds.iter().map(word).collect();
    format!("{name}, {reach_mm:.0} mm: {}", kinds.join(", "))
}

pub(super) fn setup_description(
    part: &str,
    toward: [f64; 3],
    tasks: usize,
    tools: &[String],
    unreached_mm2: f64,
    stepped_mm2: f64,
) -> String {
    format!(
        "{part} with {} up: {tasks} tasks with {}. Of the whole part {unreached_mm2:.0} mm2 are \
         reached by no cutter and {stepped_mm2:.0} mm2 only in steps.",
        direction(toward),
        tools.join(", ")
    )
}

/// An axis where it is one.
fn direction(v: [f64; 3]) -> String {
    for (c, name) in v.iter().zip(["X", "Y", "Z"]) {
        if c.abs() > 0.9999 {
            return format!("{}{name}", if *c < 0.0 { "-" } else { "+" });
        }
    }
    format!("({:.2}, {:.2}, {:.2})", v[0], v[1], v[2])
}
