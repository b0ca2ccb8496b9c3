//! What the study tells the user.

/// The question for a firm figure of a cost line.
pub(super) fn firm_figure(line: &str) -> String {
    format!("Can you get a firm figure for '{line}' before you choose?")
}

/// The question whether a cost that comes with a chance will come.
pub(super) fn will_it_happen(line: &str) -> String {
    let what = line.strip_prefix(crate::money::Line::RISK).unwrap_or(line);
    format!("Can somebody find out before you choose whether '{what}' will come?")
}
