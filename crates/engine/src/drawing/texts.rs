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

pub const DASHED: &str = "dashed: where it lies in the others";
pub const AT_LEAST: &str = "at least";
pub const HOURS_NOTE: &str =
    "machine hours a year for the parts it makes; the tick: of which attended";
pub const MATRIX_NOTE: &str = "yes: as it stands; 3x: in so many clampings; ask: turns on a number nobody stated; no: not even so";
pub const NO_PARTS: &str = "none of the parts";

pub fn plan_title(part: &str, offer: &str) -> String {
    format!("Plan: {part} on {offer}")
}
pub fn plan_note(us_units: bool) -> String {
    format!(
        "seen from above, operator below, to scale; {}",
        if us_units { "inches" } else { "millimetres" }
    )
}
pub fn part_lies(size: &str, angle: Option<f64>, turned: bool) -> String {
    match angle {
        Some(degrees) => format!("part {size} as it lies, turned by {degrees:.0} degrees"),
        None if turned => format!("part {size}, turned a quarter"),
        None => format!("part {size}"),
    }
}
pub fn centre_goes(size: &str) -> String {
    format!("tool centre goes over {size}")
}
pub fn travel_is(
    axis: char,
    travel: Option<&str>,
    spare: Option<&str>,
    short: Option<&str>,
) -> String {
    match (travel, spare, short) {
        (None, _, _) => format!("travel {axis} not stated ({ASK})"),
        (Some(t), _, Some(short)) => format!("travel {axis} {t}: SHORT by {short}"),
        (Some(t), Some(spare), _) => format!("travel {axis} {t}: {spare} to spare"),
        (Some(t), None, None) => format!("travel {axis} {t}"),
    }
}
pub fn clampings_are(n: u32, turned_round: bool) -> String {
    match (n, turned_round) {
        (0, _) => "joins another clamping on the rotary axis".to_owned(),
        (1, _) => "one clamping".to_owned(),
        (n, true) => format!("{n} clampings, turned round"),
        (n, false) => format!("{n} clampings, shifted along the table"),
    }
}
pub fn loading_is(n: u32) -> String {
    format!("room for {n} side by side")
}
pub fn table_is(size: Option<&str>) -> String {
    match size {
        Some(size) => format!("table {size}"),
        None => format!("table not stated ({ASK})"),
    }
}
pub fn stands_over(axis: char, by: &str) -> String {
    format!("stands over the table along {axis} by {by}")
}
pub fn and_more(parts: usize, offers: usize) -> String {
    format!("and {parts} more parts, {offers} more offers: see the pairs file")
}
