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
