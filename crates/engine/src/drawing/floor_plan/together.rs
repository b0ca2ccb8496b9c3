//! The floor plan with several machines standing at once.

use super::super::scene::{Anchor, Scene, Stroke, TextBox};
use super::super::texts;
use super::super::words::{shortened, wrapped};
use super::lettering::{Frame, frame, place_names};
use super::{
    FloorPlanDrawing, Pose, Sheet, TEXT, WIDTH, areas, footprint, path, pose, system, walls, wanted,
};
use crate::entered::Plan;
use crate::site::SiteVerdict;
use crate::site::route::WayIn;
use crate::site::stand::Place;
use glam::DVec2;

/// One of the machines.
#[derive(Clone, Copy, Debug)]
pub struct TogetherOnPlan<'a> {
    /// What people call it.
    pub name: &'a str,
    /// Where it stands.
    pub place: &'a Place,
    /// How it comes there, past those before it, where that is known.
    pub way: Option<&'a WayIn>,
}

/// What is drawn.
#[derive(Clone, Debug)]
pub struct FloorTogetherDrawing<'a> {
    /// Name, unique on the page.
    pub id: &'a str,
    /// Plan.
    pub plan: &'a Plan,
    /// Machines in the order they are brought in.
    pub machines: &'a [TogetherOnPlan<'a>],
    /// Do they stand and run at once?
    pub verdict: SiteVerdict,
    /// Feet and inches instead of metres.
    pub us_units: bool,
}

/// Draws a plan with all machines at their places.
pub fn floor_together(drawing: &FloorTogetherDrawing<'_>) -> Scene {
    let title = texts::together_title(drawing.machines.iter().map(|m| m.name));
    let bare = FloorPlanDrawing {
        id: drawing.id,
        title: &title,
        plan: drawing.plan,
        load: None,
        standing: None,
        us_units: drawing.us_units,
    };
    let sheet = Sheet::of(drawing.plan);
    let answer = texts::together_answer(drawing.verdict);
    let mut scene = Scene {
        id: drawing.id.to_owned(),
        title: title.clone(),
        description: texts::together_description(drawing, answer),
        width_mm: WIDTH,
        height_mm: 0.0,
        items: Vec::new(),
    };
    let mut names: Vec<(DVec2, String, bool)> = Vec::new();
    areas(&mut scene, &bare, &sheet, &mut names);
    for machine in drawing.machines {
        let place = machine.place;
        wanted(&mut scene, &sheet, place, system(&bare), true, &mut names);
    }
    for way in drawing.machines.iter().filter_map(|m| m.way) {
        let told = way.with_works().map_or(&way.way, |help| &help.way);
        let poses: Vec<Pose> = told.iter().map(|p| pose(*p)).collect();
        path(&mut scene, &sheet, &poses, Stroke::Thin);
    }
    for machine in drawing.machines {
        footprint(&mut scene, &sheet, machine.place);
    }
    walls(&mut scene, &bare, &sheet, &mut names);
    if let Some(truck) = drawing.plan.truck {
        let off = DVec2::new(0.0, -4.0) / sheet.scale;
        names.push((truck.at + off, texts::TRUCK.to_owned(), false));
    }
    // Machines are named within, everything else round them.
    let named = drawing.machines.iter().enumerate();
    let taken = named
        .filter_map(|(number, machine)| name_in(&mut scene, &sheet, number, machine))
        .collect();
    place_names(&mut scene, &sheet, &names, taken);
    frame(
        &mut scene,
        &sheet,
        &Frame {
            title: &title,
            answer,
            below: &[
                texts::TOGETHER_LEGEND,
                texts::TOGETHER_LINES,
                texts::TOGETHER_CAUTION,
            ],
            system: system(&bare),
        },
    );
    scene
}

/// Letters a line must hold for more than a machine's number.
const LEAST_LETTERS: usize = 8;

/// Writes a machine's number and as much of its name as fits within its footprint, whose box is
/// returned.
fn name_in(
    scene: &mut Scene,
    sheet: &Sheet,
    number: usize,
    machine: &TogetherOnPlan<'_>,
) -> Option<TextBox> {
    let corners = machine.place.footprint.iter();
    let on_sheet = corners.map(|p| DVec2::from(sheet.at(DVec2::from(*p))));
    let min = on_sheet.clone().reduce(DVec2::min)?;
    let max = on_sheet.reduce(DVec2::max)?;
    let (size, gap) = (max - min, 1.25 * TEXT);
    let letters = (size.x / (0.58 * TEXT)) as usize;
    let most = ((size.y / gap) as usize).max(1);
    let mut lines = vec![texts::numbered(number, "")];
    if letters >= LEAST_LETTERS {
        lines = wrapped(&texts::numbered(number, machine.name), letters);
    }
    if lines.len() > most {
        // The rest is in the title.
        let rest = lines.split_off(most - 1).join(" ");
        lines.push(shortened(&rest, letters));
    }
    let middle = 0.5 * (min + max);
    for (n, line) in lines.iter().enumerate() {
        let down = gap * (n as f64 - 0.5 * (lines.len() as f64 - 1.0)) + 0.35 * TEXT;
        let at = [middle.x, middle.y + down];
        scene.text(at, line, TEXT, Anchor::Middle);
    }
    Some(TextBox {
        min: min.to_array(),
        max: max.to_array(),
    })
}
