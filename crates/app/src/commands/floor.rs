//! `firstchip floor`: one foot on a slab.

use crate::cli::services::FloorArgs;
use crate::contract::Note;
use crate::contract::floor::FloorDocument;
use crate::output::{self, Outcome};
use crate::terminal::table::{bullet, heading, paragraph};
use anyhow::Result;
use engine::site::FLOOR_CAUTION;
use engine::site::floor::{Concrete, Foot, FootCheck, LEAST_STRENGTH, LEAST_SUBGRADE, SOURCE};
use units::{Length, Mass, Severity, Stress, System, show};

/// Runs the command.
pub fn run(args: &FloorArgs) -> Result<Outcome> {
    let concrete = Concrete {
        thickness: args.slab,
        strength: args.concrete.unwrap_or(LEAST_STRENGTH),
        subgrade: args.subgrade.unwrap_or(LEAST_SUBGRADE),
        safety: args.safety,
    };
    let foot = Foot {
        load: args.load,
        area: args.foot,
    };
    let check = concrete.check(foot);
    let needed = concrete.thickness_for(foot);
    let most = concrete.load_for(foot.area);
    let notes = notes(args);
    if args.json {
        output::print_json(&FloorDocument::new(
            &concrete, args.load, &check, needed, most, notes,
        ))?;
    } else {
        output::print(&describe(&concrete, foot, &check, needed, most, &notes))?;
    }
    Ok(Outcome::Answered)
}

fn notes(args: &FloorArgs) -> Vec<Note> {
    let mut notes = Vec::new();
    if args.concrete.is_none() {
        notes.push(Note::new(
            Severity::Info,
            "--concrete",
            "concrete of 2500 psi (17 MPa), the least house codes accept (from memory)",
        ));
    }
    if args.subgrade.is_none() {
        notes.push(Note::new(
            Severity::Info,
            "--subgrade",
            "a subgrade of 50 pci (14 MPa/m), the weakest in the published examples",
        ));
    }
    notes
}

fn describe(
    concrete: &Concrete,
    foot: Foot,
    check: &FootCheck,
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
    let verdict = match (check.anywhere(), check.inside()) {
        (true, _) => "The slab carries this foot anywhere on it.",
        (false, true) => {
            "The slab carries this foot away from its edges, joints and corners, not at them."
        }
        (false, false) => "The slab does not carry this foot.",
    };
    out.push_str(&paragraph(verdict));
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
        out.push_str(&bullet("-", &format!("taken: {}", note.text)));
    }
    out.push_str(&paragraph(&format!("{SOURCE}.")));
    out.push_str(&paragraph(FLOOR_CAUTION));
    out
}
