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
