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

/// The question for a number of the room stated with a spread.
pub(super) fn measure(key: &str) -> String {
    format!(
        "Can you measure the {} of the place instead of giving a range?",
        key.replace('_', " ")
    )
}

/// The same for a part's raw stock.
pub(super) const ALLOWANCE: &str = "How much stock is left on each side of the raw piece?";

/// The same for its finest tolerance.
pub(super) const TOLERANCE: &str = "What is the finest tolerance on the drawing?";
