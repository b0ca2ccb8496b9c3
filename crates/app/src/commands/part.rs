//! `firstchip part`: measures models.

use crate::cli::PartArgs;
use crate::contract::Note;
use crate::contract::part::{Part, Parts};
use crate::output::{self, Outcome};
use crate::{plans, progress, terminal};
use anyhow::{Context, Result};
use engine::demand::{Plan, setups_of};
use engine::drawing::{SetupDrawing, Theme, setup_strip, setup_view, svg};
use geometry::model;
use geometry::plan::{Options, Shape, plan};
use std::path::Path;
use units::{Severity, Watch};

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
            output::print(&terminal::part::describe(part))?;
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
    let plans = plans_of(&bytes, &model)?;
    if let Some(folder) = &args.drawings {
        draw(folder, path, &model)?;
    }
    let mut part = Part::new(&name, &model, &plans);
    if let Some(material) = &args.material {
        part.notes.push(Note::new(
            Severity::Info,
            name,
            format!("the material '{material}' changes nothing here yet: no cutting is worked out from the shape"),
        ));
    }
    Ok(part)
}

/// The plan of the one body, or of each.
fn plans_of(bytes: &[u8], model: &model::Model) -> Result<Vec<Plan>> {
    let progress = progress::Bar::new();
    let report = |p: units::Progress<'_>| progress.show(p);
    let watch = Watch::new(None, Some(&report));
    let options = Options::default();
    let own: Vec<&model::Model> = if model.bodies.is_empty() {
        vec![model]
    } else {
        model.bodies.iter().map(|b| &b.model).collect()
    };
    let mut out = Vec::new();
    for (number, body) in own.into_iter().enumerate() {
        let features = geometry::features::of(body);
        out.push(plans::of_body(
            bytes, number, body, &features, &options, watch,
        )?);
    }
    progress.finish();
    Ok(out)
}

/// Writes the drawings of every setup and the strip of all, of each body.
fn draw(folder: &Path, path: &Path, model: &model::Model) -> Result<()> {
    std::fs::create_dir_all(folder)
        .with_context(|| format!("{}: cannot be made", folder.display()))?;
    let stem = path
        .file_stem()
        .map_or_else(String::new, |s| s.to_string_lossy().into_owned());
    let bodies: Vec<(String, &model::Model)> = if model.bodies.is_empty() {
        vec![(stem, model)]
    } else {
        let numbered = model.bodies.iter().enumerate();
        numbered
            .map(|(n, b)| (format!("{stem}-{}", n + 1), &b.model))
            .collect()
    };
    for (name, body) in bodies {
        // The cache keeps no surface: the drawing's plan is made anew.
        let features = geometry::features::of(body);
        let shape = Shape::of(body, &features);
        let plan = plan(&shape, &Options::default(), Watch::NOBODY)?;
        let setups = setups_of(&plan);
        let mut scenes = vec![setup_strip(
            &format!("{name}-setups"),
            &name,
            &features.solid,
            &plan,
            &setups,
        )];
        for number in 0..setups.len() {
            scenes.push(setup_view(&SetupDrawing {
                id: &format!("{name}-setup-{}", number + 1),
                part: &name,
                solid: &features.solid,
                plan: &plan,
                setups: &setups,
                number,
            }));
        }
        for scene in scenes {
            let file = folder.join(format!("{}.svg", scene.id));
            std::fs::write(&file, svg(&scene, Theme::Light))
                .with_context(|| format!("{}: cannot be written", file.display()))?;
        }
    }
    Ok(())
}
