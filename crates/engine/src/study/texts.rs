//! What the study tells the user.

/// The question for a firm figure of a cost line.
pub(super) fn firm_figure(line: &str) -> String {
    format!("Can you get a firm figure for '{line}' before you choose?")
}
