//! The floor plan with several machines standing at once.

use super::super::scene::{Scene, Stroke};
use super::super::texts;
use super::super::words::wrapped;
use super::lettering::{Frame, frame, place_names};
use super::{
    FloorPlanDrawing, Pose, Sheet, TEXT, WIDTH, areas, footprint, middle, path, pose, system,
    walls, wanted,
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
    // Machines are named at their own places, everything else round these.
    let mut names: Vec<(DVec2, String, bool)> = Vec::new();
    for (number, machine) in drawing.machines.iter().enumerate() {
        names.extend(name_in(&sheet, number, machine));
    }
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
    place_names(&mut scene, &sheet, &names);
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

/// Its number and name, in lines that lie within the footprint where they can.
fn name_in(
    sheet: &Sheet,
    number: usize,
    machine: &TogetherOnPlan<'_>,
) -> Vec<(DVec2, String, bool)> {
    let corners: Vec<DVec2> = machine
        .place
        .footprint
        .iter()
        .map(|p| DVec2::from(*p))
        .collect();
    let low = corners.iter().copied().reduce(DVec2::min);
    let high = corners.iter().copied().reduce(DVec2::max);
    let (Some(low), Some(high)) = (low, high) else {
        return Vec::new();
    };
    let letters = (sheet.scale * (high.x - low.x) / (0.58 * TEXT)) as usize;
    let lines = wrapped(
        &format!("{}. {}", number + 1, machine.name),
        letters.clamp(8, 32),
    );
    let top = 0.5 * (lines.len() as f64 - 1.0);
    let line = 1.25 * TEXT / sheet.scale;
    let at = |n: usize| middle(&corners) + DVec2::new(0.0, line * (top - n as f64));
    lines
        .into_iter()
        .enumerate()
        .map(|(n, text)| (at(n), text, false))
        .collect()
}
