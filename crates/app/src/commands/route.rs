//! `firstchip route`: one load on a floor plan.

use crate::cli::RouteArgs;
use crate::contract::{Note, route::Route};
use crate::output::{self, Outcome};
use crate::terminal;
use anyhow::{Context, Result, anyhow};
use engine::drawing::{FloorPlanDrawing, Theme, floor_plan, svg};
use engine::entered::Carrier;
use engine::site::route::{ComesIn, ComesOff, Effort, Fineness, Load, way_in};
use units::{Length, Severity, Watch};

/// Runs the command.
pub fn run(args: &RouteArgs) -> Result<Outcome> {
    let name = args.plan.display();
    let (site, problems) = folder::read_site(&args.plan)
        .map_err(|problems| anyhow!("{name} cannot be used\n{problems}"))?;
    let plan = site.plan.ok_or_else(|| {
        anyhow!("{name}: there is no [plan] in it\n    `firstchip new FOLDER` writes a site.toml that shows how a plan is drawn")
    })?;
    let carrier = match args.carrier {
        Some(kind) if kind != plan.carrier.kind => Carrier {
            kind,
            ..Carrier::default()
        },
        _ => plan.carrier,
    };
    let load = Load {
        length: args.load.length,
        width: args.load.width,
        height: args.load.height,
        weight: args.weight,
        carrier,
        clearance: args.clearance.unwrap_or(Length::ZERO),
    };
    let mut effort = Effort {
        largest: !args.quick,
        ..Effort::default()
    };
    if let Some(cell) = args.cell {
        effort.fineness = Fineness {
            cell_mm: cell.to_mm(),
        };
    }
    // The load asked about is the one that comes apart so.
    let comes_off = ComesOff {
        surely: &plan.dismantling,
        perhaps: &[],
    };
    let answer = way_in(&plan, &load, &comes_off, &effort, Watch::NOBODY)?;
    let mut notes: Vec<Note> = problems.0.iter().map(Note::from).collect();
    let about = name.to_string();
    notes.extend(
        answer
            .remarks
            .iter()
            .map(|text| Note::new(Severity::Info, &about, text)),
    );
    notes.extend(
        answer
            .ask
            .iter()
            .map(|text| Note::new(Severity::Problem, &about, text)),
    );
    if let Some(file) = &args.drawing {
        let title = args
            .plan
            .file_stem()
            .map_or_else(String::new, |n| n.to_string_lossy().into_owned());
        let scene = floor_plan(&FloorPlanDrawing {
            id: "route",
            title: &title,
            plan: &plan,
            load: Some((&load, &answer)),
            standing: None,
            us_units: false,
        });
        std::fs::write(file, svg(&scene, Theme::Light))
            .with_context(|| format!("{}: cannot be written", file.display()))?;
    }
    if args.json {
        output::print_json(&Route::new(&answer, notes))?;
    } else {
        output::print(&terminal::route::describe(&load, &answer))?;
    }
    Ok(match answer.comes_in {
        ComesIn::CannotSay => Outcome::NoAnswer,
        ComesIn::Yes | ComesIn::No => Outcome::Answered,
    })
}
