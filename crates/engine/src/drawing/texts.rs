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

pub const TORQUE_POWER_NOTE: &str =
    "disc: surely within; ring: within if the likely line holds; cross: beyond, so cut more slowly";
pub const WITHOUT_PEAK: &str =
    "line: likely, continuous; shaded: what the stated numbers leave open";
pub const WITH_PEAK: &str =
    "line: likely, continuous; dashed: for a while; shaded: what the stated numbers leave open";
pub const SPINDLE_SPEED: &str = "spindle speed, rpm";
pub const TASKS_AT_OWN_SPEED: &str = "hardest tasks, at the motor";
pub const WITHIN: &str = " within";
pub const NOT_SURE: &str = " unsure";
pub const BEYOND: &str = " BEYOND";

pub fn torque_power_title(offer: &str) -> String {
    format!("Torque and power: {offer}")
}
pub fn torque_power_axes(us_units: bool) -> [&'static str; 2] {
    if us_units {
        ["torque, ft-lb", "power, hp"]
    } else {
        ["torque, N m", "power, kW"]
    }
}
pub fn easier_tasks(count: usize) -> String {
    format!("and {count} easier")
}
pub fn curve_in_words(torque: &str, power: &str, base: &str, fastest: &str) -> String {
    format!("{torque} up to {base}, then {power} up to {fastest}")
}
