//! `firstchip floor`: one foot on a slab.

use crate::cli::services::FloorArgs;
use crate::contract::Note;
use crate::contract::floor::{FloorDocument, Verdict};
use crate::output::{self, Outcome};
use crate::terminal::table::{bullet, heading, paragraph};
use anyhow::Result;
use engine::site::floor::{Concrete, Foot, FootCheck, SOURCE};
use engine::site::{ASSUMED_STRENGTH, ASSUMED_SUBGRADE, FLOOR_CAUTION};
use units::{Length, Mass, Severity, Stress, System, show};

/// Runs the command.
pub fn run(args: &FloorArgs) -> Result<Outcome> {
    let [concrete, best] =
        Concrete::worst_and_best(args.slab, args.concrete, args.subgrade, args.safety);
    let foot = Foot {
        load: args.load,
        area: args.foot,
    };
    let check = concrete.check(foot);
    let verdict = if check.anywhere() {
        Verdict::Yes
    } else if best.check(foot).anywhere() {
        Verdict::CannotSay
    } else {
        Verdict::No
    };
    let needed = concrete.thickness_for(foot);
    let most = concrete.load_for(foot.area);
    let notes = notes(args, verdict);
    if args.json {
        output::print_json(&FloorDocument::new(
            &concrete, args.load, &check, verdict, needed, most, notes,
        ))?;
    } else {
        output::print(&describe(
            &concrete, foot, &check, verdict, needed, most, &notes,
        ))?;
    }
    Ok(match verdict {
        Verdict::CannotSay => Outcome::NoAnswer,
        Verdict::Yes | Verdict::No => Outcome::Answered,
    })
}

fn notes(args: &FloorArgs, verdict: Verdict) -> Vec<Note> {
    let mut notes = Vec::new();
    if args.concrete.is_none() {
        notes.push(Note::new(Severity::Info, "--concrete", ASSUMED_STRENGTH));
    }
    if args.subgrade.is_none() {
        notes.push(Note::new(Severity::Info, "--subgrade", ASSUMED_SUBGRADE));
    }
    if verdict == Verdict::CannotSay {
        notes.push(Note::new(
            Severity::Problem,
            "floor",
            "carried everywhere on the best slab that is likely met, not on the poorest: state --concrete and --subgrade",
        ));
    }
    notes
}

fn describe(
    concrete: &Concrete,
    foot: Foot,
    check: &FootCheck,
    verdict: Verdict,
    needed: Option<Length>,
    most: Mass,
    notes: &[Note],
) -> String {
    let both = |stress: Stress| {
        format!(
            "{} ({})",
            show(stress, System::Metric),
            show(stress, System::Us)
        )
    };
    let mut out = heading("One foot on the slab");
    let told = match (verdict, check.inside()) {
        (Verdict::Yes, _) => "The slab carries this foot anywhere on it.",
        (Verdict::CannotSay, true) => {
            "The slab carries this foot away from its edges, joints and corners; at them cannot be said: it turns on concrete and ground nobody stated."
        }
        (Verdict::CannotSay, false) => "Cannot say: it turns on concrete and ground nobody stated.",
        (Verdict::No, true) => {
            "The slab carries this foot away from its edges, joints and corners, not at them."
        }
        (Verdict::No, false) => "The slab does not carry this foot.",
    };
    out.push_str(&paragraph(told));
    out.push_str(&bullet("-", &format!("allowed {}", both(check.allowed))));
    for (place, stress) in [
        ("inside the slab", check.stress.interior),
        ("at an edge or open joint", check.stress.edge),
        ("at a corner", check.stress.corner),
    ] {
        let word = if stress <= check.allowed {
            "carried"
        } else {
            "TOO MUCH"
        };
        out.push_str(&bullet("-", &format!("{place} {}: {word}", both(stress))));
    }
    out.push_str(&bullet(
        "-",
        &format!(
            "inside a slab of {} ({}) the most for this foot is {} ({})",
            show(concrete.thickness, System::Metric),
            show(concrete.thickness, System::Us),
            show(most, System::Metric),
            show(most, System::Us)
        ),
    ));
    match needed {
        Some(needed) => out.push_str(&bullet(
            "-",
            &format!(
                "inside, {} ({}) of slab carry {}",
                show(needed, System::Metric),
                show(needed, System::Us),
                show(foot.load, System::Metric)
            ),
        )),
        None => out.push_str(&bullet(
            "-",
            "no slab up to a metre carries it: a larger plate under the foot",
        )),
    }
    for note in notes {
        let word = if note.is_problem() { "" } else { "taken: " };
        out.push_str(&bullet("-", &format!("{word}{}", note.text)));
    }
    out.push_str(&paragraph(&format!("{SOURCE}.")));
    out.push_str(&paragraph(FLOOR_CAUTION));
    out
}
