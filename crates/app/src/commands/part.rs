//! `firstchip part`: measures models.

mod material;
mod texts;

use crate::cli::PartArgs;
use crate::contract::Note;
use crate::contract::part::{Part, Parts};
use crate::output::{self, Outcome};
use crate::{plans, progress, terminal};
use anyhow::{Context, Result, anyhow};
use engine::demand::{OwnTools, Plan, setups_of};
use engine::drawing::{SetupDrawing, Theme, setup_strip, setup_view, svg};
use geometry::model;
use geometry::plan::Options;
use std::path::{Path, PathBuf};
use units::{Severity, Watch};

/// Runs the command. Models that cannot be read are all named; the others are still measured.
pub fn run(args: &PartArgs) -> Result<Outcome> {
    let asked = Asked::read(args)?;
    let mut parts = Vec::new();
    let mut unreadable = false;
    for path in &args.models {
        match measure(path, args, &asked) {
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

/// What is asked of every model alike.
struct Asked {
    options: Options,
    tools: OwnTools,
    material: Option<material::Chosen>,
    notes: Vec<Note>,
}

impl Asked {
    fn read(args: &PartArgs) -> Result<Asked> {
        let material = args.material.as_deref().map(material::choose).transpose()?;
        let mut notes = Vec::new();
        let tools = match own_tools(args) {
            None => OwnTools::default(),
            Some(path) => {
                let (tools, problems) = folder::read_tools(&path).map_err(|problems| {
                    anyhow!("the tools of {} cannot be used\n{problems}", path.display())
                })?;
                notes.extend(problems.0.iter().map(Note::from));
                notes.push(Note::new(
                    Severity::Info,
                    path.display().to_string(),
                    texts::own_tools_used(tools.tools.len(), tools.holders.len()),
                ));
                tools
            }
        };
        let share = material.as_ref().map_or(1.0, material::Chosen::neck_share);
        let options = Options {
            cutters: tools.cutters(share),
            must_reach_marks: args.must_reach_marks,
            ..Options::default()
        };
        Ok(Asked {
            options: if args.leave_stock_faces {
                options.with_stock_faces_left()
            } else {
                options
            },
            tools,
            material,
            notes,
        })
    }
}

/// The file of own tools: the one named, else that of the working directory where it is a shop
/// folder.
fn own_tools(args: &PartArgs) -> Option<PathBuf> {
    let here = || {
        let is_shop = Path::new("shop.toml").is_file() && Path::new("tools.csv").is_file();
        is_shop.then(|| PathBuf::from("tools.csv"))
    };
    args.tools.clone().or_else(here)
}

fn measure(path: &Path, args: &PartArgs, asked: &Asked) -> Result<Part> {
    let name = path.display().to_string();
    let bytes = std::fs::read(path).with_context(|| format!("{name}: cannot be read"))?;
    let model = model::load(&bytes, &name, args.unit).with_context(|| name.clone())?;
    // A kept plan has no surface to draw.
    let plans = plans_of(&bytes, &model, &asked.options, args.drawings.is_some())?;
    if let Some(folder) = &args.drawings {
        draw(folder, path, &model, &plans)?;
    }
    let mut part = Part::new(&name, &model, &plans, &asked.tools);
    part.notes.extend(asked.notes.iter().cloned());
    if let Some(material) = &asked.material {
        part.stock_mass_kg = material.stock_mass(part.stock_mm).map(|m| m.to_kg());
        part.notes.extend(material.notes(&name));
    }
    if args.leave_stock_faces {
        part.notes
            .push(Note::new(Severity::Info, name, texts::STOCK_FACES_LEFT));
    }
    Ok(part)
}

/// The model itself, or each of its bodies.
fn bodies_of(model: &model::Model) -> Vec<&model::Model> {
    if model.bodies.is_empty() {
        vec![model]
    } else {
        model.bodies.iter().map(|b| &b.model).collect()
    }
}

/// The plan of the one body, or of each.
fn plans_of(
    bytes: &[u8],
    model: &model::Model,
    options: &Options,
    anew: bool,
) -> Result<Vec<Plan>> {
    let progress = progress::Bar::new();
    let report = |p: units::Progress<'_>| progress.show(p);
    let watch = Watch::new(None, Some(&report));
    let mut out = Vec::new();
    for (number, body) in bodies_of(model).into_iter().enumerate() {
        let features = geometry::features::of(body);
        out.push(plans::of_body(
            bytes, number, body, &features, options, anew, watch,
        )?);
    }
    progress.finish();
    Ok(out)
}

/// Writes the drawings of every setup and the strip of all, of each body.
fn draw(folder: &Path, path: &Path, model: &model::Model, plans: &[Plan]) -> Result<()> {
    std::fs::create_dir_all(folder)
        .with_context(|| format!("{}: cannot be made", folder.display()))?;
    let stem = path
        .file_stem()
        .map_or_else(String::new, |s| s.to_string_lossy().into_owned());
    for (n, (body, plan)) in bodies_of(model).into_iter().zip(plans).enumerate() {
        let name = if model.bodies.is_empty() {
            stem.clone()
        } else {
            format!("{stem}-{}", n + 1)
        };
        let features = geometry::features::of(body);
        let setups = setups_of(plan);
        let mut scenes = vec![setup_strip(
            &format!("{name}-setups"),
            &name,
            &features.solid,
            plan,
            &setups,
        )];
        for number in 0..setups.len() {
            scenes.push(setup_view(&SetupDrawing {
                id: &format!("{name}-setup-{}", number + 1),
                part: &name,
                solid: &features.solid,
                plan,
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
