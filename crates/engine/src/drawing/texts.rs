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

pub const MONEY: &str = "money";
pub const BUDGET: &str = "budget";
pub const LIKELY: &str = "likely";
pub const ALL_IN: &str = "all-in";
pub const REST: &str = "the rest";
pub const NOTHING: &str = "buying nothing";
pub const NO_ROOM: &str = "no room for a price";
pub const CEILINGS: &str = "What may the machine itself cost?";
pub const CEILINGS_WORDS: &str = "For each class of machine: the highest price the budget leaves, beside what the class usually \
     costs.";
pub const CEILINGS_AXIS: &str = "price of the machine alone";
pub const CEILINGS_LEGEND: &str = "Bar: usual prices. Diamond: highest price that keeps the budget. \
     Whisker: nine draws of ten to one of ten.";
pub const BUILD_UP_LEGEND: &str = "All-in: bar to the half, whisker one \
     to nine in ten, diamond eight in ten.";
pub const TORNADO_WORDS: &str =
    "Each bar: the all-in cost as one number alone goes from its lower to its upper tenth.";
pub const TORNADO_LEGEND: &str =
    "Each number alone from its lower to its upper tenth, all others at their likely values.";
pub const CONFIDENCE: &str = "How sure is the choice?";
pub const CONFIDENCE_WORDS: &str = "Share of the common draws in which each purchase is the best.";
pub const CONFIDENCE_AXIS: &str = "share of the draws in which it is the best";
pub const CONFIDENCE_LEGEND: &str =
    "Among what was entered. Costs vary between the draws; what fits does not.";
pub const QUESTIONS: &str = "Which questions are worth asking?";
pub const QUESTIONS_WORDS: &str = "What knowing each answer before the choice is worth.";
pub const CHANCE_AXIS: &str = "gain in the chance of choosing the best";
pub const QUESTIONS_LEGEND: &str = "Whisker: standard error.";

pub fn up_to(money: &str) -> String {
    format!("up to {money}")
}
pub fn below_usual(money: &str) -> String {
    format!("only {money}")
}
pub fn assumed(money: &str) -> String {
    format!("{money}, assumed")
}
pub fn eight_in_ten(money: &str) -> String {
    format!("8 in 10: {money}")
}
pub fn build_up(name: &str) -> String {
    format!("What {name} really costs")
}
pub fn build_up_words(name: &str, half: &str, eight: &str, budget: &str) -> String {
    format!(
        "The all-in cost of {name}, line by line: {half} in half of the draws, {eight} in eight of \
         ten, held against a budget of {budget}."
    )
}
pub fn tornado(name: &str) -> String {
    format!("What moves the all-in cost of {name}?")
}
pub fn share_of_doubt(share: f64) -> String {
    format!("{} of the doubt", percent(share))
}
pub fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}
