//! What a plan leaves, and why, in words.

use super::Note;
use super::features::HoleSaid;
use super::setups::SetupSaid;
use engine::demand::Plan;
use geometry::plan::tasks::PlannedKind;
use geometry::plan::tools::drill_flutes_mm;
use units::Severity;

/// Area below which nothing is said, share of what must be cut: the spacing of points.
const SAID_FROM: f64 = 2e-4;

/// Which tools are there already and which must be bought.
pub fn of_tools(name: &str, setups: &[SetupSaid]) -> Note {
    let mut owned: Vec<&str> = Vec::new();
    let mut buy: Vec<String> = Vec::new();
    for task in setups.iter().flat_map(|s| &s.tasks) {
        match &task.tool.owned {
            Some(own) if !owned.contains(&own.as_str()) => owned.push(own),
            Some(_) => {}
            None => {
                let tool = task.tool.words();
                if !buy.contains(&tool) {
                    buy.push(tool);
                }
            }
        }
    }
    let have = match owned.len() {
        0 => "no own tool is used".to_owned(),
        n => format!("{n} own tools are used: {}", owned.join(", ")),
    };
    let rest = if buy.is_empty() {
        "nothing is to be bought".to_owned()
    } else {
        format!("to be bought: {}", buy.join(", "))
    };
    Note::new(Severity::Info, name, format!("{have}; {rest}"))
}

/// Remarks of a plan.
pub fn of_plan(name: &str, plan: &Plan, holes: &[HoleSaid]) -> Vec<Note> {
    let mut out = Vec::new();
    let mut say = |severity, text: String| out.push(Note::new(severity, name, text));
    let worth = |area: f64| area > SAID_FROM * plan.must_mm2;
    if !plan.proven {
        say(
            Severity::Warning,
            "the search for the fewest setups was cut short: fewer may do".to_owned(),
        );
    }
    for (hole, step) in &plan.unmade_steps {
        let Some(hole) = holes.get(*hole) else {
            continue;
        };
        let wide = hole
            .steps
            .get(*step)
            .map_or(hole.diameter_mm, |s| s.diameter_mm);
        let [x, y, z] = hole.at_mm;
        say(
            Severity::Problem,
            format!(
                "the {wide:.2} mm step of the hole at ({x:.1}, {y:.1}, {z:.1}) is reached from no \
                 side by a straight tool: it opens behind something narrower; a back-spotfacing \
                 tool, or another way"
            ),
        );
    }
    if worth(plan.unreached_mm2) {
        say(
            Severity::Warning,
            format!(
                "{:.0} mm2 are reached by no cutter allowed from any direction tried: \
                 undercut, or too narrow or too deep",
                plan.unreached_mm2
            ),
        );
    }
    if worth(plan.stepped_mm2) {
        say(
            Severity::Warning,
            format!(
                "{:.0} mm2 are reached by square-cornered cutters only, which leave steps there",
                plan.stepped_mm2
            ),
        );
    }
    if plan.marks_mm2 > 0.0 {
        say(
            Severity::Info,
            format!(
                "{:.0} mm2 of engraved marks are left out: they cost no setup",
                plan.marks_mm2
            ),
        );
    }
    if plan.cutters_left_out > 0 {
        say(
            Severity::Warning,
            format!(
                "{} cutters were not compared, being more than can be at once: sizes between those \
                 compared; fewer tools in tools.csv may give a shorter list",
                plan.cutters_left_out
            ),
        );
    }
    if plan.sharp_inside_corners > 0 {
        say(
            Severity::Warning,
            format!(
                "{} sharp inside corners: a rotating tool leaves its radius there",
                plan.sharp_inside_corners
            ),
        );
    }
    for (k, setup) in plan.setups.iter().enumerate() {
        if setup.clamp.again {
            say(
                Severity::Info,
                format!(
                    "setup {} is the one before held otherwise: its jaws cover what no setup makes \
                     outside its jaws; stock with more to grip under the part may save it",
                    k + 1
                ),
            );
        }
        for task in setup.tasks.iter().filter(|t| t.kind == PlannedKind::Drill) {
            let [jobber, _, longest] = drill_flutes_mm(task.diameter_mm);
            let d = task.diameter_mm;
            let deep = task.cut_depth_mm;
            if deep > longest {
                say(
                    Severity::Problem,
                    format!("a {d:.2} mm hole {deep:.0} mm deep is beyond extra long twist drills"),
                );
            } else if task.reach_mm > jobber {
                say(
                    Severity::Info,
                    format!(
                        "{} x {d:.2} mm, {deep:.0} mm deep in setup {}: a long drill must stick \
                         out {:.0} mm",
                        task.count,
                        k + 1,
                        task.reach_mm
                    ),
                );
            }
        }
    }
    out
}
