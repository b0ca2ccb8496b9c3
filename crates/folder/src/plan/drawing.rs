//! Walls and things from the layers of a DXF drawing.

use super::points::check_outline;
use super::{FARTHEST_MM, unit_mm};
use crate::dxf;
use crate::section::Section;
use crate::source::{Source, Unread};
use crate::texts;
use engine::entered::{Block, Plan, Wall};
use glam::DVec2;
use units::Length;

/// Walls, and closed lines as things that stand there, from the layers of a DXF drawing.
pub(super) fn read(s: &Section<'_>, source: &Source, thickness: Length, plan: &mut Plan) {
    s.require("file", "file = \"plan.dxf\"");
    s.require("walls", "walls = [\"WALLS\"]");
    let (walls, things) = (s.texts("walls"), s.texts("things"));
    let stated = s.text("unit").and_then(|text| {
        let mm = unit_mm(&text);
        if mm.is_none() {
            s.wrong("unit", texts::no_length_unit(&text));
        }
        mm
    });
    let Some(file) = s.text("file") else {
        return;
    };
    let inside = std::path::Path::new(&file)
        .components()
        .all(|c| matches!(c, std::path::Component::Normal(_)));
    if !inside {
        s.wrong("file", texts::outside_folder(&file));
        return;
    }
    let read = match source.read(&file) {
        Ok(bytes) => dxf::read(&bytes),
        Err(unread) => {
            let why = match unread {
                Unread::Missing => "it is not there".to_owned(),
                Unread::Refused(why) => why,
                Unread::TooLarge(bytes) => format!("{bytes} bytes are too many"),
            };
            s.wrong("file", texts::drawing_unread(&file, &why));
            return;
        }
    };
    let drawing = match read {
        Ok(drawing) => drawing,
        Err(error) => {
            s.wrong(
                "file",
                texts::drawing_wrong(&file, error.line, &error.message),
            );
            return;
        }
    };
    let Some(mm) = stated.or(drawing.unit_mm) else {
        s.wrong("file", texts::drawing_without_unit(&file));
        return;
    };
    let on = |layers: &[String], layer: &str| layers.iter().any(|l| l.eq_ignore_ascii_case(layer));
    for wanted in walls.iter().chain(&things) {
        if !drawing
            .lines
            .iter()
            .any(|(layer, _)| layer.eq_ignore_ascii_case(wanted))
        {
            let mut there: Vec<&str> = drawing.lines.iter().map(|(l, _)| l.as_str()).collect();
            there.sort_unstable();
            there.dedup();
            s.wrong("walls", texts::no_such_layer(&file, wanted, &there));
        }
    }
    for ((layer, kind), count) in &drawing.skipped {
        if on(&walls, layer) || on(&things, layer) {
            s.push(texts::not_drawn(s.place_of("file"), layer, kind, *count));
        }
    }
    for (layer, line) in drawing.lines {
        let mut line: Vec<DVec2> = line.into_iter().map(|p| mm * p).collect();
        line.dedup();
        if line.iter().any(|p| p.abs().max_element() > FARTHEST_MM) {
            s.wrong("file", texts::too_far());
            return;
        }
        if on(&things, &layer) {
            if line.first() == line.last() {
                line.pop();
            }
            if line.len() >= 3 && check_outline(&line).is_ok() {
                plan.blocks.push(Block {
                    name: layer,
                    outline: line,
                    movable: false,
                });
                continue;
            }
            s.push(texts::open_thing(s.place_of("file"), &layer));
        } else if !on(&walls, &layer) {
            continue;
        }
        if line.len() >= 2 {
            plan.walls.push(Wall { line, thickness });
        }
    }
}
