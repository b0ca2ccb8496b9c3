//! `firstchip study`: the whole question for a folder.

use crate::cli::StudyArgs;
use crate::contract::{Note, study::Study};
use crate::output::{self, Outcome};
use crate::{plans, progress, terminal};
use anyhow::{Context, Result, anyhow};
use engine::drawing::{StackUpDrawing, Theme, stack_up, svg};
use engine::study::{Answer, Inputs, Settings};
use folder::Study as Entered;
use std::path::Path;
use units::{Severity, Watch};

/// Runs the command.
pub fn run(args: &StudyArgs) -> Result<Outcome> {
    let progress = progress::Bar::new();
    let report = |p: units::Progress<'_>| progress.show(p);
    let watch = Watch::new(None, Some(&report));
    let source = match &args.folder {
        Some(folder) => folder::Source::Disk(folder.clone()),
        None => folder::demo_source(),
    };
    let plan = |bytes: &[u8], model: &geometry::model::Model| plans::of_single(bytes, model, watch);
    let read = folder::read_planned(&source, folder::Plans(Some(&plan)), watch);
    let entered = read.map_err(|problems| anyhow!("the folder cannot be used\n{problems}"))?;
    let settings = Settings::new(jiff::Zoned::now().year());
    let inputs = Inputs {
        shop: &entered.shop,
        site: &entered.site,
        parts: &entered.parts,
        offers: &entered.offers,
        materials: &entered.materials,
        classes: &entered.classes,
    };
    let answer = engine::study::run(&inputs, &settings, watch)?;
    progress.finish();

    let notes = notes(&entered, &answer);
    if let Some(file) = &args.pairs {
        crate::pairs::write(file, &answer)
            .with_context(|| format!("{}: cannot be written", file.display()))?;
    }
    if let Some(folder) = &args.drawings {
        write_drawings(folder, &entered, &answer)?;
    }
    if args.json {
        output::print_json(&Study::new(&entered, &answer, notes))?;
    } else {
        for note in &notes {
            eprintln!("{}: {}: {}", note.level, note.about, note.text);
        }
        output::print(&terminal::study::describe(&entered, &answer))?;
    }
    Ok(if answer.decision.offer.is_some() {
        Outcome::Answered
    } else {
        Outcome::NoAnswer
    })
}

/// Remarks of reading and computing, and the reasons when nothing can be named.
fn notes(entered: &Entered, answer: &Answer) -> Vec<Note> {
    let mut notes: Vec<Note> = entered
        .problems
        .0
        .iter()
        .chain(&answer.notes)
        .map(Note::from)
        .collect();
    if answer.decision.offer.is_none() {
        notes.extend(
            answer
                .decision
                .why
                .iter()
                .map(|why| Note::new(Severity::Problem, "decision", why.clone())),
        );
    }
    notes
}

/// The stack-up elevation of the highest setup of every part on every offer shown.
fn write_drawings(folder: &Path, entered: &Entered, answer: &Answer) -> Result<()> {
    std::fs::create_dir_all(folder)
        .with_context(|| format!("{}: cannot be made", folder.display()))?;
    for offer in answer.offers() {
        for ((fit, demand), part) in offer.fits.iter().zip(&answer.demands).zip(&entered.parts) {
            let highest = fit.setups_on.iter().zip(&demand.setups).max_by(|a, b| {
                a.0.stack
                    .nose_high_need
                    .total_cmp(&b.0.stack.nose_high_need)
            });
            let Some((setup_fit, setup)) = highest else {
                continue;
            };
            let id = format!("heights-{}-{}", part.id, offer.offer);
            let scene = stack_up(&StackUpDrawing {
                id: &id,
                part: &part.name,
                offer: &offer.name,
                stack: &setup_fit.stack,
                holding: setup.holding,
                us_units: entered.shop.us_units,
            });
            let file = folder.join(format!("{id}.svg"));
            std::fs::write(&file, svg(&scene, Theme::Light))
                .with_context(|| format!("{}: cannot be written", file.display()))?;
        }
    }
    Ok(())
}
