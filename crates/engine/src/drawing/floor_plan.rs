//! The floor plan: walls and doors, the way of the load with its narrowest or sticking place, and
//! the machine where it is to stand, with the room it wants.

mod lettering;
mod together;

use super::scene::{Fill, Item, Scene, Stroke};
use super::texts;
use crate::entered::Plan;
use crate::site::route::{Burden, Load, Pose, WayIn, between, solids};
use crate::site::stand::Place;
use glam::DVec2;
use lettering::{Frame, frame, place_names};
pub use together::{FloorTogetherDrawing, TogetherOnPlan, floor_together};
use units::{Length, System, show, show_room};

/// What is drawn.
#[derive(Clone, Debug)]
pub struct FloorPlanDrawing<'a> {
    /// Name, unique on the page.
    pub id: &'a str,
    /// Title.
    pub title: &'a str,
    /// Plan.
    pub plan: &'a Plan,
    /// Load and its way.
    pub load: Option<(&'a Load, &'a WayIn)>,
    /// Where the machine stands.
    pub standing: Option<&'a Place>,
    /// Feet and inches instead of metres.
    pub us_units: bool,
}

const WIDTH: f64 = 190.0;
const TOP: f64 = 22.0;
const SIDE: f64 = 12.0;
const MOST_HEIGHT: f64 = 210.0;
const LEGEND: f64 = 5.0;
const TEXT: f64 = 2.8;
/// Outlines of the load along its way: one each time a corner has moved this far on paper.
const STEP_MM: f64 = 9.0;

/// Paper from plan.
struct Sheet {
    min: DVec2,
    max: DVec2,
    scale: f64,
}

impl Sheet {
    fn of(plan: &Plan) -> Self {
        let (min, max) = plan.extent().unwrap_or_default();
        let size = (max - min).max(DVec2::splat(1.0));
        let scale = ((WIDTH - 2.0 * SIDE) / size.x).min((MOST_HEIGHT - TOP) / size.y);
        Self { min, max, scale }
    }

    fn at(&self, p: DVec2) -> [f64; 2] {
        let left = 0.5 * (WIDTH - self.scale * (self.max.x - self.min.x));
        [
            left + self.scale * (p.x - self.min.x),
            TOP + self.scale * (self.max.y - p.y),
        ]
    }

    fn bottom(&self) -> f64 {
        TOP + self.scale * (self.max.y - self.min.y)
    }
}

/// Draws a plan.
pub fn floor_plan(drawing: &FloorPlanDrawing<'_>) -> Scene {
    let sheet = Sheet::of(drawing.plan);
    let mut scene = Scene {
        id: drawing.id.to_owned(),
        title: drawing.title.to_owned(),
        description: texts::plan_description(drawing),
        width_mm: WIDTH,
        height_mm: 0.0,
        items: Vec::new(),
    };
    let mut names: Vec<(DVec2, String, bool)> = Vec::new();
    areas(&mut scene, drawing, &sheet, &mut names);
    way(&mut scene, drawing, &sheet, &mut names);
    if let Some(place) = drawing.standing {
        standing(&mut scene, &sheet, place, system(drawing), &mut names);
    }
    walls(&mut scene, drawing, &sheet, &mut names);
    sticking(&mut scene, drawing, &sheet, &mut names);
    place_names(&mut scene, &sheet, &names, Vec::new());
    frame(
        &mut scene,
        &sheet,
        &Frame {
            title: drawing.title,
            answer: &texts::plan_answer(drawing),
            below: &[&texts::plan_legend(drawing), texts::PLAN_CAUTION],
            system: system(drawing),
        },
    );
    scene
}

fn system(drawing: &FloorPlanDrawing<'_>) -> System {
    if drawing.us_units {
        System::Us
    } else {
        System::Metric
    }
}

fn outline(scene: &mut Scene, sheet: &Sheet, corners: &[DVec2], stroke: Stroke, fill: Fill) {
    let points: Vec<_> = corners.iter().map(|p| sheet.at(*p)).collect();
    scene.outline(&points, stroke, fill);
}

fn middle(corners: &[DVec2]) -> DVec2 {
    corners.iter().sum::<DVec2>() / corners.len().max(1) as f64
}

fn areas(
    scene: &mut Scene,
    drawing: &FloorPlanDrawing<'_>,
    sheet: &Sheet,
    names: &mut Vec<(DVec2, String, bool)>,
) {
    let plan = drawing.plan;
    for spot in &plan.spots {
        outline(scene, sheet, &spot.outline, Stroke::Dashed, Fill::None);
        let low_left = spot
            .outline
            .iter()
            .copied()
            .reduce(DVec2::min)
            .unwrap_or_default();
        names.push((
            low_left + DVec2::new(9.0, 2.0) / sheet.scale,
            spot.name.clone(),
            false,
        ));
    }
    for area in &plan.floors {
        outline(scene, sheet, &area.outline, Stroke::Thin, Fill::Ground);
        names.push((middle(&area.outline), area.name.clone(), false));
    }
    for area in &plan.ramps {
        outline(scene, sheet, &area.outline, Stroke::Thin, Fill::None);
        names.push((middle(&area.outline), area.name.clone(), false));
    }
    for area in &plan.keep_clear {
        outline(scene, sheet, &area.outline, Stroke::Dashed, Fill::None);
        names.push((middle(&area.outline), area.name.clone(), false));
    }
    for area in &plan.overhead {
        outline(scene, sheet, &area.outline, Stroke::Dashed, Fill::None);
        let height = show_room(area.height, system(drawing));
        names.push((
            middle(&area.outline),
            texts::below(&area.name, &height),
            false,
        ));
    }
    for block in &plan.blocks {
        outline(scene, sheet, &block.outline, Stroke::Outline, Fill::Machine);
        names.push((middle(&block.outline), block.name.clone(), false));
    }
}

fn walls(
    scene: &mut Scene,
    drawing: &FloorPlanDrawing<'_>,
    sheet: &Sheet,
    names: &mut Vec<(DVec2, String, bool)>,
) {
    use crate::site::route::Thing;
    let all = solids(drawing.plan, &Burden::default());
    for segment in &all.segments {
        let stroke = match all.things[segment.thing] {
            Thing::Wall => Stroke::Outline,
            Thing::Leaf { .. } => Stroke::Outline,
            Thing::Door { .. } => Stroke::Outline,
            Thing::Edge => Stroke::Thin,
            _ => continue,
        };
        scene.line(sheet.at(segment.from), sheet.at(segment.to), stroke);
    }
    for door in &drawing.plan.doors {
        scene.line(sheet.at(door.from), sheet.at(door.to), Stroke::Dashed);
        if let Some(swing) = door.swing {
            let (hinge, closed) = if swing.hangs_at_from {
                (door.from, door.to)
            } else {
                (door.to, door.from)
            };
            let sign = if swing.to_left == swing.hangs_at_from {
                1.0
            } else {
                -1.0
            };
            let points = (0..=16)
                .map(|n| {
                    let angle = sign * swing.opens_rad * f64::from(n) / 16.0;
                    sheet.at(hinge + DVec2::from_angle(angle).rotate(closed - hinge))
                })
                .collect();
            scene.items.push(Item::Polyline {
                points,
                closed: false,
                stroke: Stroke::Thin,
                fill: Fill::None,
            });
        }
        let width = door
            .width
            .unwrap_or(Length::mm(door.from.distance(door.to)));
        let size = match door.height {
            Some(height) => texts::opening(
                &show_room(width, system(drawing)),
                &show_room(height, system(drawing)),
            ),
            None => show_room(width, system(drawing)),
        };
        let along = (door.to - door.from).normalize_or_zero();
        let off = along.perp() * 4.0 / sheet.scale;
        names.push((
            door.from.midpoint(door.to) + off,
            format!("{}, {size}", door.name),
            false,
        ));
    }
}

fn sides(load: &Load) -> [f64; 2] {
    [load.length.to_mm(), load.width.to_mm()]
}

fn rectangle(load: &Load, [length, width]: [f64; 2], pose: Pose) -> [DVec2; 4] {
    let turn = DVec2::from_angle(pose.heading_rad);
    load.carrier
        .body(length, width)
        .footprint
        .corners()
        .map(|c| pose.at + turn.rotate(c))
}

fn pose(told: [f64; 3]) -> Pose {
    Pose {
        at: DVec2::new(told[0], told[1]),
        heading_rad: told[2].to_radians(),
    }
}

fn way(
    scene: &mut Scene,
    drawing: &FloorPlanDrawing<'_>,
    sheet: &Sheet,
    names: &mut Vec<(DVec2, String, bool)>,
) {
    let Some((load, answer)) = drawing.load else {
        return;
    };
    if let Some(truck) = drawing.plan.truck {
        let off = DVec2::new(0.0, -4.0) / sheet.scale;
        names.push((truck.at + off, texts::TRUCK.to_owned(), false));
    }
    // Where it comes in only with something off or aside, the way it takes then.
    let (told, size) = match answer.with_works() {
        Some(help) => (&help.way, help.load_mm),
        None => (&answer.way, sides(load)),
    };
    let poses: Vec<Pose> = told.iter().map(|p| pose(*p)).collect();
    let radius = 0.5 * DVec2::from(size).length();
    let mut shown = Vec::new();
    for pair in poses.windows(2) {
        let move_mm = pair[0].at.distance(pair[1].at)
            + radius * (pair[0].heading_rad - pair[1].heading_rad).abs();
        let steps = (move_mm * sheet.scale / STEP_MM).ceil().max(1.0) as usize;
        shown.extend((0..steps).map(|n| between(pair[0], pair[1], n as f64 / steps as f64)));
    }
    shown.extend(poses.last());
    for pose in &shown {
        outline(
            scene,
            sheet,
            &rectangle(load, size, *pose),
            Stroke::Thin,
            Fill::Spare,
        );
    }
    if let Some(last) = poses.last().filter(|_| drawing.standing.is_none()) {
        outline(
            scene,
            sheet,
            &rectangle(load, size, *last),
            Stroke::Outline,
            Fill::Part,
        );
    }
    path(scene, sheet, &poses, Stroke::Dashed);
    if let (Some(at), Some(room)) = (answer.tightest_at, answer.tightest_mm) {
        ring(scene, sheet.at(at.into()), Stroke::Outline);
        let room = show(Length::mm(room), system(drawing));
        names.push((
            DVec2::from(at) + DVec2::new(0.0, 5.0) / sheet.scale,
            texts::narrowest(&room),
            false,
        ));
    }
}

/// The line a load's middle goes, with arrow heads.
fn path(scene: &mut Scene, sheet: &Sheet, poses: &[Pose], stroke: Stroke) {
    if poses.len() < 2 {
        return;
    }
    scene.items.push(Item::Polyline {
        points: poses.iter().map(|p| sheet.at(p.at)).collect(),
        closed: false,
        stroke,
        fill: Fill::None,
    });
    for pair in poses.windows(2) {
        let (a, b) = (sheet.at(pair[0].at), sheet.at(pair[1].at));
        let d = DVec2::from(b) - DVec2::from(a);
        if let Some(toward) = d.try_normalize().filter(|_| d.length() > 6.0) {
            scene.items.push(Item::Arrow {
                tip: (DVec2::from(a) + 0.55 * d).to_array(),
                toward: toward.to_array(),
                stroke: Stroke::Thin,
            });
        }
    }
}

/// A ring round a place.
fn ring(scene: &mut Scene, [x, y]: [f64; 2], stroke: Stroke) {
    let points: Vec<_> = (0..24)
        .map(|n| {
            let v = 2.4 * DVec2::from_angle(f64::from(n) * std::f64::consts::TAU / 24.0);
            [x + v.x, y + v.y]
        })
        .collect();
    scene.outline(&points, stroke, Fill::None);
}

fn sticking(
    scene: &mut Scene,
    drawing: &FloorPlanDrawing<'_>,
    sheet: &Sheet,
    names: &mut Vec<(DVec2, String, bool)>,
) {
    let Some((load, answer)) = drawing.load else {
        return;
    };
    let Some(sticks) = &answer.sticks else {
        return;
    };
    if !sticks.in_height {
        outline(
            scene,
            sheet,
            &rectangle(load, sides(load), pose(sticks.pose)),
            Stroke::Short,
            Fill::Missing,
        );
    }
    ring(scene, sheet.at(sticks.at.into()), Stroke::Short);
    let short = sticks
        .short_by_mm
        .map(|mm| show(Length::mm(mm), system(drawing)));
    let text = texts::sticks(&sticks.thing, short.as_deref(), sticks.in_height);
    names.push((
        DVec2::from(sticks.at) + DVec2::new(0.0, 5.0) / sheet.scale,
        text,
        true,
    ));
}

fn standing(
    scene: &mut Scene,
    sheet: &Sheet,
    place: &Place,
    system: System,
    names: &mut Vec<(DVec2, String, bool)>,
) {
    if place.pose.is_none() {
        return;
    }
    wanted(scene, sheet, place, system, false, names);
    footprint(scene, sheet, place);
    let corners: Vec<DVec2> = place.footprint.iter().map(|p| DVec2::from(*p)).collect();
    names.push((middle(&corners), texts::STANDING.to_owned(), false));
}

/// The room wanted at each side; `only_short` names only what is short, and the front.
fn wanted(
    scene: &mut Scene,
    sheet: &Sheet,
    place: &Place,
    system: System,
    only_short: bool,
    names: &mut Vec<(DVec2, String, bool)>,
) {
    for space in &place.spaces {
        let corners = space.outline.map(DVec2::from);
        let short = space.there_mm < space.wanted_mm - 1.0;
        let stroke = if short { Stroke::Short } else { Stroke::Dashed };
        outline(scene, sheet, &corners, stroke, Fill::None);
        let depth = show(Length::mm(space.wanted_mm), system);
        let text = if short {
            let there = show(Length::mm(space.there_mm), system);
            texts::space_short(space.name, &there, &depth)
        } else {
            texts::space(space.name, &depth)
        };
        if short || !only_short || space.name == "front" {
            names.push((middle(&corners), text, short));
        }
    }
}

/// The machine itself, its front drawn double.
fn footprint(scene: &mut Scene, sheet: &Sheet, place: &Place) {
    let corners: Vec<DVec2> = place.footprint.iter().map(|p| DVec2::from(*p)).collect();
    outline(scene, sheet, &corners, Stroke::Outline, Fill::Part);
    if let [left, right, ..] = corners[..] {
        let inward = (right - left).normalize_or_zero().perp() * 1.0 / sheet.scale;
        scene.line(
            sheet.at(left + inward),
            sheet.at(right + inward),
            Stroke::Outline,
        );
    }
}
