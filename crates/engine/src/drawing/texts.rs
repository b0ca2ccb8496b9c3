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

pub const SINGLE_LINE_NEC: &str =
    "single-line diagram, sizes by NFPA 70 tables, copper, 30 °C around unless stated";
pub const SINGLE_LINE_IEC: &str =
    "single-line diagram, sizes by IEC 60364 tables, copper, PVC, 30 °C around unless stated";
pub const AT_THE_PANEL: &str = "at the panel";
pub const AHEAD_OF_MACHINE: &str = "ahead of the machine's wiring";
pub const IN_SIGHT: &str = "in sight of the machine, within reach of the operator";

pub fn single_line_title(machine: &str) -> String {
    format!("Supply of {machine}")
}
pub fn converter(kind: crate::site::converter::Kind, size: &str) -> String {
    use crate::site::converter::Kind;
    let name = match kind {
        Kind::Rotary => "Rotary phase converter",
        Kind::Digital => "Digital phase converter",
        Kind::Vfd => "Variable-frequency drive, one motor only,",
        Kind::Static => "Static converter",
        Kind::Utility => "Three phases from the utility",
    };
    format!("{name} {size}")
}
pub fn converter_draws(amps: Option<f64>) -> String {
    match amps {
        Some(amps) => format!("draws up to {amps:.0} A with its losses"),
        None => String::new(),
    }
}
pub fn tap(percent: f64, volts: f64) -> String {
    if percent == 0.0 {
        format!("middle tap: {volts:.0} V at the machine without load")
    } else {
        format!("primary tap at {percent:+.1} %: {volts:.0} V at the machine without load")
    }
}
