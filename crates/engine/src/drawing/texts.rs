//! Words on drawings.

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

// Floor plan.

use super::floor_plan::FloorPlanDrawing;
use crate::site::route::ComesIn;

pub const TRUCK: &str = "set down here";
pub const STANDING: &str = "machine (front double)";
pub const PLAN_CAUTION: &str = "A screen from the plan as drawn. Competent, insured riggers decide; measure the narrowest place again.";

pub fn below(name: &str, height: &str) -> String {
    format!("{name}: {height} clear")
}

pub fn opening(width: &str, height: &str) -> String {
    format!("{width} wide, {height} high")
}

pub fn narrowest(room: &str) -> String {
    format!("narrowest: {room} each side")
}

pub fn sticks(thing: &str, short: Option<&str>, in_height: bool) -> String {
    match short {
        Some(short) if in_height => format!("{thing}: {short} too low"),
        Some(short) => format!("sticks on {thing}: {short} too wide"),
        None => format!("sticks on {thing}"),
    }
}

pub fn space(name: &str, depth: &str) -> String {
    format!("{name} {depth}")
}

pub fn space_short(name: &str, there: &str, wanted: &str) -> String {
    format!("{name}: {there} of {wanted}")
}

pub fn plan_answer(drawing: &FloorPlanDrawing<'_>) -> String {
    let Some((_, answer)) = drawing.load else {
        return String::new();
    };
    match (answer.comes_in, &answer.sticks) {
        (ComesIn::Yes, _) => "It comes in along the way shown.".to_owned(),
        (ComesIn::No, Some(sticks)) if sticks.in_height => {
            format!("As stated it is too high for {}.", sticks.thing)
        }
        (ComesIn::No, Some(_)) => "It does not come in; it sticks where hatched.".to_owned(),
        (ComesIn::No, None) => "It does not come in: no way leads to the spot.".to_owned(),
        (ComesIn::CannotSay, _) => {
            "Cannot say: too narrow, or something must be asked first.".to_owned()
        }
    }
}

pub fn plan_legend(drawing: &FloorPlanDrawing<'_>) -> String {
    let mut words = vec!["dashed: openings, spot and room wanted"];
    if drawing.load.is_some() {
        words.push("pale rectangles: the load along its way");
    }
    if drawing.plan.doors.iter().any(|d| d.swing.is_some()) {
        words.push("thin arc: door swing");
    }
    words.join("; ")
}

pub fn plan_description(drawing: &FloorPlanDrawing<'_>) -> String {
    format!(
        "Floor plan with {} doors and {} things standing in it. {}",
        drawing.plan.doors.len(),
        drawing.plan.blocks.len(),
        plan_answer(drawing)
    )
}
