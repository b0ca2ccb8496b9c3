//! A part as it lies in a setup: what is made there, by which tool, what elsewhere, and what is
//! left. Surfaces are told apart by hatching and letters, not by colour.

use super::scene::{Anchor, Fill, Item, Scene, Stroke};
use super::surface_picture::{Look, Picture, picture};
use super::texts;
use crate::demand::{Plan, Setup, Task, TaskKind};
use geometry::features::face::SolidFaces;
use std::collections::BTreeMap;

/// What is drawn.
#[derive(Clone, Copy)]
pub struct SetupDrawing<'a> {
    /// Name of the scene, unique on a page.
    pub id: &'a str,
    /// What people call the part.
    pub part: &'a str,
    /// Faces on their mesh.
    pub solid: &'a SolidFaces<'a>,
    /// Plan, with its surface.
    pub plan: &'a Plan,
    /// Setups made from it.
    pub setups: &'a [Setup],
    /// Which one.
    pub number: usize,
}

const WIDTH: f64 = 190.0;
const HEIGHT: f64 = 125.0;
/// Room of the picture.
const LEFT: [f64; 2] = [6.0, 20.0];
const SIZE: [f64; 2] = [108.0, 98.0];
/// Column of the key.
const KEY_X: f64 = 122.0;
const TEXT: f64 = 2.9;
const LINE: f64 = 5.2;

/// The part in one setup, with a key of its surfaces and the list of its tools.
pub fn setup_view(drawing: &SetupDrawing<'_>) -> Scene {
    let setup = &drawing.setups[drawing.number];
    let picture = picture(drawing.solid, drawing.plan, setup, drawing.number, SIZE);
    let mut scene = Scene {
        id: drawing.id.to_owned(),
        title: texts::setup_title(drawing.part, drawing.number + 1, drawing.setups.len()),
        description: describe(drawing),
        width_mm: WIDTH,
        height_mm: HEIGHT,
        items: Vec::new(),
    };
    scene.items.push(Item::Text {
        at: [LEFT[0], 9.0],
        text: scene.title.clone(),
        size_mm: 4.4,
        anchor: Anchor::Start,
        bold: true,
        short: false,
    });
    scene.text(
        [LEFT[0], 15.0],
        texts::setup_lies(setup.toward.to_array(), setup.holding),
        TEXT,
        Anchor::Start,
    );
    place(&mut scene, &picture, LEFT, true);
    let y = key(&mut scene, drawing, &picture, 22.0);
    tool_list(&mut scene, setup, y + 5.0);
    scene
}

/// The setups side by side, in order.
pub fn setup_strip(
    id: &str,
    part: &str,
    solid: &SolidFaces<'_>,
    plan: &Plan,
    setups: &[Setup],
) -> Scene {
    const CELL: [f64; 2] = [56.0, 48.0];
    let columns = setups.len().clamp(1, 4);
    let rows = setups.len().div_ceil(columns).max(1);
    let mut scene = Scene {
        id: id.to_owned(),
        title: texts::strip_title(part, setups.len()),
        description: texts::strip_title(part, setups.len()),
        width_mm: 6.0 + columns as f64 * (CELL[0] + 4.0),
        height_mm: 14.0 + rows as f64 * (CELL[1] + 14.0),
        items: Vec::new(),
    };
    scene.items.push(Item::Text {
        at: [6.0, 9.0],
        text: scene.title.clone(),
        size_mm: 4.4,
        anchor: Anchor::Start,
        bold: true,
        short: false,
    });
    for (number, setup) in setups.iter().enumerate() {
        let picture = picture(solid, plan, setup, number, CELL);
        let at = [
            6.0 + (number % columns) as f64 * (CELL[0] + 4.0),
            14.0 + (number / columns) as f64 * (CELL[1] + 14.0),
        ];
        place(&mut scene, &picture, at, false);
        let share = texts::strip_label(
            number + 1,
            setup.toward.to_array(),
            100.0 * setup.area_share,
        );
        scene.text([at[0], at[1] + CELL[1] + 6.0], share, TEXT, Anchor::Start);
    }
    scene
}

fn fill_of(look: Look) -> Fill {
    match look {
        Look::Made(rank) => Fill::Made(rank),
        Look::Elsewhere => Fill::Machine,
        Look::Hole => Fill::Hole,
        Look::Stepped => Fill::Stepped,
        Look::Unreached => Fill::Missing,
        Look::Apart => Fill::None,
    }
}

fn place(scene: &mut Scene, picture: &Picture, at: [f64; 2], lettered: bool) {
    let moved = |[x, y]: [f64; 2]| [x + at[0], y + at[1]];
    for (look, rects) in &picture.areas {
        let rects: Vec<[f64; 4]> = rects
            .iter()
            .map(|[x, y, w, h]| [x + at[0], y + at[1], *w, *h])
            .collect();
        // Hatching on the tone of the part, so that the body reads as one.
        if matches!(look, Look::Made(rank) if *rank > 0) {
            scene.items.push(Item::Cells {
                rects: rects.clone(),
                fill: Fill::Part,
            });
        }
        scene.items.push(Item::Cells {
            rects,
            fill: fill_of(*look),
        });
    }
    for [a, b] in &picture.edges {
        scene.line(moved(*a), moved(*b), Stroke::Outline);
    }
    // The spindle comes from above.
    let [x, y] = moved(picture.spindle);
    scene.line([x, y - 9.0], [x, y], Stroke::Outline);
    scene.items.push(Item::Arrow {
        tip: [x, y],
        toward: [0.0, 1.0],
        stroke: Stroke::Outline,
    });
    for (look, at) in &picture.labels {
        if let Some(letter) = letter(*look).filter(|_| lettered) {
            let [x, y] = moved(*at);
            scene.outline(
                &[
                    [x - 2.0, y - 2.2],
                    [x + 2.0, y - 2.2],
                    [x + 2.0, y + 2.2],
                    [x - 2.0, y + 2.2],
                ],
                Stroke::Thin,
                Fill::Paper,
            );
            scene.text([x, y + 1.1], letter, 3.2, Anchor::Middle);
        }
    }
}

/// Letter of a surface: A, B, ... for the tools of the setup, S for steps, U for unreached.
fn letter(look: Look) -> Option<String> {
    match look {
        Look::Made(rank) => Some(char::from(b'A' + rank.min(17)).to_string()),
        Look::Stepped => Some("S".to_owned()),
        Look::Unreached => Some("U".to_owned()),
        _ => None,
    }
}

/// Swatches with what they mean; where the next line goes.
fn key(scene: &mut Scene, drawing: &SetupDrawing<'_>, picture: &Picture, mut y: f64) -> f64 {
    let looks: Vec<Look> = picture.areas.keys().copied().collect();
    for look in looks {
        let words = match look {
            Look::Made(rank) => {
                picture
                    .tools
                    .get(usize::from(rank))
                    .map_or_else(String::new, |cutter| {
                        let cutter = &drawing.plan.cutters[*cutter];
                        texts::made_with(2.0 * cutter.shape.radius_mm(), cutter.shape.corner_mm())
                    })
            }
            Look::Elsewhere => texts::ELSEWHERE.to_owned(),
            Look::Hole => texts::HOLE.to_owned(),
            Look::Stepped => texts::STEPPED.to_owned(),
            Look::Unreached => texts::UNREACHED.to_owned(),
            Look::Apart => texts::APART.to_owned(),
        };
        let corner = [KEY_X, y - 3.4];
        let swatch = [corner[0], corner[1], 7.0, 4.2];
        if matches!(look, Look::Made(rank) if rank > 0) {
            scene.items.push(Item::Cells {
                rects: vec![swatch],
                fill: Fill::Part,
            });
        }
        scene.rect(
            corner,
            [corner[0] + 7.0, corner[1] + 4.2],
            Stroke::Thin,
            fill_of(look),
        );
        let words = match letter(look) {
            Some(letter) => format!("{letter}  {words}"),
            None => words,
        };
        scene.text([KEY_X + 9.0, y], words, TEXT, Anchor::Start);
        y += LINE + 0.6;
    }
    y
}

/// Tools of a setup, each once, with what it does and how far it must stick out.
fn tool_list(scene: &mut Scene, setup: &Setup, mut y: f64) {
    let mut tools: BTreeMap<(i64, String), (Vec<TaskKind>, f64)> = BTreeMap::new();
    for (order, task) in setup.tasks.iter().enumerate() {
        let name = tool_name(task);
        let first = tools.keys().find(|k| k.1 == name).map(|k| k.0);
        let entry = tools
            .entry((first.unwrap_or(order as i64), name))
            .or_insert((Vec::new(), 0.0));
        if !entry.0.contains(&task.kind) {
            entry.0.push(task.kind);
        }
        entry.1 = entry.1.max(task.tool.reach.to_mm());
    }
    scene.items.push(Item::Text {
        at: [KEY_X, y],
        text: texts::TOOLS.to_owned(),
        size_mm: TEXT,
        anchor: Anchor::Start,
        bold: true,
        short: false,
    });
    for ((_, name), (kinds, reach_mm)) in tools {
        y += LINE;
        if y > HEIGHT - 4.0 {
            scene.text([KEY_X, y - 1.0], texts::MORE, TEXT, Anchor::Start);
            break;
        }
        scene.text(
            [KEY_X, y],
            texts::tool_line(&name, &kinds, reach_mm),
            2.6,
            Anchor::Start,
        );
    }
}

fn tool_name(task: &Task) -> String {
    texts::tool(
        task.tool.shape,
        task.tool.diameter.to_mm(),
        task.tool.corner.to_mm(),
    )
}

fn describe(drawing: &SetupDrawing<'_>) -> String {
    let setup = &drawing.setups[drawing.number];
    let tools: Vec<String> = setup.tasks.iter().map(tool_name).collect();
    texts::setup_description(
        drawing.part,
        setup.toward.to_array(),
        setup.tasks.len(),
        &tools,
        drawing.plan.unreached_mm2,
        drawing.plan.stepped_mm2,
    )
}
