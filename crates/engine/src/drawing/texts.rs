//! Words on drawings.

use crate::demand::{Holding, TaskKind, ToolShape};

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
pub const DASHED: &str = "dashed: where it lies in the others";
pub const AT_LEAST: &str = "at least";
pub const HOURS_NOTE: &str =
    "machine hours a year for the parts it makes; the tick: of which attended";
pub const MATRIX_NOTE: &str = "yes: as it stands; 3x: in so many clampings; ask: turns on a number nobody stated; no: not even so";
pub const MATRIX_SHARES: &str =
    "a share: with the ranges you gave it is made in so many of the draws";
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
// Floor plan.

use super::floor_plan::{FloorPlanDrawing, FloorTogetherDrawing};
use crate::site::SiteVerdict;
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
    if let Some(help) = answer.with_works() {
        return format!("Not as it is, but so: {}.", help.what);
    }
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

pub const TOGETHER_LEGEND: &str =
    "numbers: the order in which they come in; thin lines: their ways in; double line: the front";
pub const TOGETHER_LINES: &str = "dashed: openings, spots, room each wants, kept free of the others; narrow behind: before a cabinet";
pub const TOGETHER_CAUTION: &str = "A screen from the plan as drawn. Insured riggers decide on moving, a licensed electrician on the supply.";

/// Letters of the title that fit on the sheet.
const TITLE_LETTERS: usize = 72;

pub fn together_title<'a>(names: impl Iterator<Item = &'a str>) -> String {
    let names: Vec<&str> = names.collect();
    super::words::shortened(&format!("At once: {}", names.join(" and ")), TITLE_LETTERS)
}

pub fn numbered(number: usize, name: &str) -> String {
    format!("{}. {name}", number + 1).trim_end().to_owned()
}

pub fn together_answer(verdict: SiteVerdict) -> &'static str {
    match verdict {
        SiteVerdict::Yes => {
            "By every number compared they stand and run at once; each comes in past those before it."
        }
        SiteVerdict::CannotSay => {
            "They find places; whether they stand and run at once must be asked first."
        }
        SiteVerdict::No => "They find places, but do not run at once.",
    }
}

pub fn together_description(drawing: &FloorTogetherDrawing<'_>, answer: &str) -> String {
    let machines = drawing.machines.iter().enumerate();
    let places: Vec<String> = machines
        .map(|(n, m)| format!("{} in {}", numbered(n, m.name), m.place.spot))
        .collect();
    format!(
        "Floor plan with {} doors and {} things standing in it, and in the order they come in: {}. \
         {answer}",
        drawing.plan.doors.len(),
        drawing.plan.blocks.len(),
        places.join("; ")
    )
}

pub fn plan_description(drawing: &FloorPlanDrawing<'_>) -> String {
    format!(
        "Floor plan with {} doors and {} things standing in it. {}",
        drawing.plan.doors.len(),
        drawing.plan.blocks.len(),
        plan_answer(drawing)
    )
}
pub(super) const ELSEWHERE: &str = "made in another setup";
pub(super) const HOLE: &str = "holes";
pub(super) const STEPPED: &str = "cut only in steps";
pub(super) const UNREACHED: &str = "reached by no cutter";
pub(super) const APART: &str = "marks and broken edges, told apart";
pub(super) const TOOLS: &str = "Tools, stick-out from the holder, use";
pub(super) const MORE: &str = "... and more";

pub(super) fn setup_title(part: &str, number: usize, of: usize) -> String {
    format!("{part}: setup {number} of {of}")
}

pub(super) fn strip_title(part: &str, setups: usize) -> String {
    let s = if setups == 1 { "" } else { "s" };
    format!("{part}: {setups} setup{s}")
}

pub(super) fn strip_label(number: usize, toward: [f64; 3], share_percent: f64) -> String {
    format!(
        "{number}.  {} up, {share_percent:.0} % of the surface",
        direction(toward)
    )
}

pub(super) fn setup_lies(toward: [f64; 3], holding: Holding) -> String {
    let held = match holding {
        Holding::Vise => "in a vise",
        Holding::Plate => "on a plate",
        Holding::Chuck => "in a chuck",
    };
    format!(
        "{} of the model up, held {held}; the arrow is the spindle",
        direction(toward)
    )
}

pub(super) fn made_with(diameter_mm: f64, corner_mm: f64) -> String {
    let shape = if corner_mm == 0.0 {
        ToolShape::Flat
    } else if corner_mm >= diameter_mm / 2.0 {
        ToolShape::Ball
    } else {
        ToolShape::Bull
    };
    format!("finished with {}", tool(shape, diameter_mm, corner_mm))
}

pub(super) fn tool(shape: ToolShape, diameter_mm: f64, corner_mm: f64) -> String {
    let d = format!("{diameter_mm:.2}");
    let d = d.trim_end_matches('0').trim_end_matches('.');
    match shape {
        ToolShape::Flat => format!("end mill {d}"),
        ToolShape::Ball => format!("ball nose {d}"),
        ToolShape::Bull => format!("bull nose {d} R{corner_mm}"),
        ToolShape::Face => format!("face mill {d}"),
        ToolShape::Drill => format!("drill {d}"),
        ToolShape::Reamer => format!("reamer {d}"),
        ToolShape::Tap => format!("tap {d}"),
        ToolShape::Chamfer => format!("chamfer mill {d}"),
        ToolShape::Boring => format!("boring head {d}"),
    }
}

pub(super) fn tool_line(name: &str, kinds: &[TaskKind], reach_mm: f64) -> String {
    let word = |kind: &TaskKind| match kind {
        TaskKind::Face => "facing",
        TaskKind::Rough => "roughing",
        TaskKind::Bottom => "floors",
        TaskKind::Side => "walls",
        TaskKind::Freeform => "slants",
        TaskKind::Drill => "holes",
        TaskKind::Ream => "reaming",
        TaskKind::Bore => "boring",
        TaskKind::Tap | TaskKind::Thread => "threads",
        TaskKind::Chamfer => "chamfers",
    };
    let kinds: Vec<&str> = kinds.iter().map(word).collect();
    format!("{name}, {reach_mm:.0} mm: {}", kinds.join(", "))
}

pub(super) fn setup_description(
    part: &str,
    toward: [f64; 3],
    tasks: usize,
    tools: &[String],
    unreached_mm2: f64,
    stepped_mm2: f64,
) -> String {
    format!(
        "{part} with {} up: {tasks} tasks with {}. Of the whole part {unreached_mm2:.0} mm2 are \
         reached by no cutter and {stepped_mm2:.0} mm2 only in steps.",
        direction(toward),
        tools.join(", ")
    )
}

/// An axis where it is one.
fn direction(v: [f64; 3]) -> String {
    for (c, name) in v.iter().zip(["X", "Y", "Z"]) {
        if c.abs() > 0.9999 {
            return format!("{}{name}", if *c < 0.0 { "-" } else { "+" });
        }
    }
    format!("({:.2}, {:.2}, {:.2})", v[0], v[1], v[2])
}
