//! `firstchip part`: measures models.

use crate::cli::PartArgs;
use crate::contract::Note;
use crate::contract::features::HoleSaid;
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
    for line in holes(&part.holes) {
        let _ = writeln!(out, "  hole          {line}");
    }
    if let Some(radius) = part.inside_radius_mm {
        let _ = writeln!(out, "  inside radius {radius:.3} mm, the smallest");
    }
    for note in &part.notes {
        let _ = writeln!(out, "  {}: {}", note.level, note.text);
    }
    out
}

/// Alike holes in one line, as a machinist writes them.
fn holes(found: &[HoleSaid]) -> Vec<String> {
    let mut kinds: Vec<(usize, String)> = Vec::new();
    for hole in found {
        let text = callout(hole);
        match kinds.iter_mut().find(|k| k.1 == text) {
            Some(kind) => kind.0 += 1,
            None => kinds.push((1, text)),
        }
    }
    kinds
        .into_iter()
        .map(|(count, text)| format!("{count} x {text}"))
        .collect()
}

fn callout(hole: &HoleSaid) -> String {
    let mut out = format!("{:.3} mm, ", hole.diameter_mm);
    let _ = match (hole.through, hole.bottom) {
        (true, _) => write!(out, "through {:.2}", hole.depth_mm),
        (false, "cone") => write!(out, "{:.2} deep to the drill point", hole.depth_mm),
        (false, "flat") => write!(out, "{:.2} deep, flat", hole.depth_mm),
        (false, _) => write!(out, "{:.2} deep", hole.depth_mm),
    };
    for step in &hole.steps {
        if step.diameter_mm > hole.diameter_mm + 0.05 {
            let kind = if step.diameter_mm == step.far_diameter_mm {
                "counterbore"
            } else {
                "countersink"
            };
            let _ = write!(
                out,
                ", {kind} {:.2} to {:.2}",
                step.diameter_mm, step.depth_mm
            );
        }
    }
    let [x, y, z] = hole.toward;
    let _ = write!(out, ", from ({x:.2}, {y:.2}, {z:.2})");
    if let Some(thread) = hole.thread {
        let _ = write!(out, ", tap drill of {thread}");
    }
    if hole.both_sides {
        out.push_str(", wider again at the far side");
    }
    if hole.interrupted {
        out.push_str(", cut across");
    }
    out
}
