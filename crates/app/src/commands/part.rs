//! `firstchip part`: measures models.

use crate::cli::PartArgs;
use crate::contract::Note;
use crate::contract::part::{Part, Parts};
use crate::output::{self, Outcome};
use anyhow::{Context, Result};
use geometry::model;
use std::fmt::Write;
use std::path::Path;
use units::{Length, Severity, System, show};

/// Runs the command. Models that cannot be read are all named; the others are still measured.
pub fn run(args: &PartArgs) -> Result<Outcome> {
    let mut parts = Vec::new();
    let mut unreadable = false;
    for path in &args.models {
        match measure(path, args) {
            Ok(part) => parts.push(part),
            Err(error) => {
                unreadable = true;
                output::complain(&error);
            }
        }
    }
    if args.json {
        match (parts.len(), args.models.len()) {
            (0, _) => {}
            (1, 1) => output::print_json(&parts[0])?,
            _ => output::print_json(&Parts::new(parts))?,
        }
    } else {
        for part in &parts {
            output::print(&describe(part))?;
        }
    }
    Ok(if unreadable {
        Outcome::Unreadable
    } else {
        Outcome::Answered
    })
}

fn measure(path: &Path, args: &PartArgs) -> Result<Part> {
    let name = path.display().to_string();
    let bytes = std::fs::read(path).with_context(|| format!("{name}: cannot be read"))?;
    let model = model::load(&bytes, &name, args.unit).with_context(|| name.clone())?;
    let mut part = Part::new(&name, &model);
    if let Some(material) = &args.material {
        part.notes.push(Note::new(
            Severity::Info,
            name,
            format!("the material '{material}' changes nothing here yet: no cutting is worked out from the shape"),
        ));
    }
    Ok(part)
}

fn describe(part: &Part) -> String {
    let both = |sides: [f64; 3]| {
        let in_system = |system| sides.map(|mm| show(Length::mm(mm), system)).join(" x ");
        format!("{}  ({})", in_system(System::Metric), in_system(System::Us))
    };
    let mut out = String::new();
    let _ = writeln!(out, "{} (numbers in {})", part.model, part.unit);
    let _ = writeln!(out, "  smallest box  {}", both(part.box_mm));
    let _ = writeln!(out, "  raw stock     {}", both(part.stock_mm));
    let _ = writeln!(out, "  volume        {:.2} cm3", part.volume_mm3 / 1000.0);
    let _ = writeln!(
        out,
        "  surface       {}",
        if part.watertight {
            "closes"
        } else {
            "does not close"
        }
    );
    for note in &part.notes {
        let _ = writeln!(out, "  {}: {}", note.level, note.text);
    }
    out
}
