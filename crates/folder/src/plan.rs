//! The floor plan in `site.toml`: points as pairs of lengths, areas as outlines or as rectangles
//! between two corners.

mod drawing;
mod points;

use crate::document::Node;
use crate::moving;
use crate::quantity::Least;
use crate::rates::Rates;
use crate::section::Section;
use crate::source::Source;
use crate::texts;
use engine::entered::{
    Block, Carrier, CarrierKind, ChipSide, Clearances, Door, FloorArea, KeepClear, Overhead, Plan,
    Ramp, Spot, Swing, Truck, Wall, WayFloor,
};
use engine::site::route::is_convex;
use points::Points;
use units::{Length, Parse};

/// Farthest a point may be from the plan's origin, in millimetres: a kilometre.
const FARTHEST_MM: f64 = 1.0e6;
/// Sides of fewer square millimetres make no area.
const LEAST_AREA_MM2: f64 = 1.0;
/// Walls, doors and areas together; a plan has some dozens.
pub(crate) const MOST_THINGS: usize = 20_000;

/// Reads the plan.
pub(crate) fn read(section: Section<'_>, source: &Source, rates: &Rates) -> Plan {
    let unit = section.text("unit").and_then(|text| match unit_mm(&text) {
        Some(mm) => Some(mm),
        None => {
            section.wrong("unit", texts::no_length_unit(&text));
            None
        }
    });
    // A unit that cannot be read is told once, not at every point.
    let unit = unit.or_else(|| section.has("unit").then_some(1.0));
    let points = Points { unit };
    let mut plan = Plan {
        place: section.place(),
        ceiling: section.plain("ceiling", Least::AboveZero),
        measured_to: section
            .plain("measured_to", Least::Zero)
            .unwrap_or(Length::ZERO),
        ground: points.outline(&section, "ground"),
        ..Plan::default()
    };
    let thickness = section
        .plain("wall_thickness", Least::Zero)
        .unwrap_or(Length::ZERO);
    for line in section
        .with("walls", |node| points.lines(node))
        .unwrap_or_default()
    {
        plan.walls.push(Wall { line, thickness });
    }
    for wall in section.sections("wall") {
        let line = wall.with("line", |node| points.line(node, 2));
        wall.require("line", "line = [[0, 0], [12, 0]]");
        let own = wall.plain("thickness", Least::Zero).unwrap_or(thickness);
        plan.walls.extend(line.map(|line| Wall {
            line,
            thickness: own,
        }));
        wall.finish();
    }
    if let Some(drawn) = section.section("dxf") {
        drawing::read(&drawn, source, thickness, &mut plan);
        drawn.finish();
    }
    plan.doors = each(&section, "door", |s, name| door(s, name, points));
    let drawn = std::mem::take(&mut plan.blocks);
    plan.blocks = each(&section, "block", |s, name| {
        let movable = s.flag("movable").unwrap_or(false);
        let outline = points.area(s)?;
        Some(Block {
            name,
            outline,
            movable,
        })
    });
    plan.blocks.extend(each(&section, "column", |s, name| {
        Some(Block {
            name,
            outline: points.area(s)?,
            movable: false,
        })
    }));
    plan.blocks.extend(drawn);
    plan.keep_clear = each(&section, "keep_clear", |s, name| {
        let no_passage = s.flag("no_passage").unwrap_or(false);
        let outline = points.area(s)?;
        Some(KeepClear {
            name,
            outline,
            no_passage,
        })
    });
    plan.overhead = each(&section, "overhead", |s, name| {
        s.require("height", "height = \"7 ft 2 in\"");
        let height = s.plain("height", Least::AboveZero);
        Some(Overhead {
            name,
            outline: points.area(s)?,
            height: height?,
        })
    });
    plan.floors = each(&section, "floor", |s, name| {
        s.require("kind", "kind = \"joists\"");
        let kind = s.choice("kind", FLOORS);
        let thickness = s.plain("thickness", Least::AboveZero);
        let allows = s.plain("allows", Least::AboveZero);
        Some(FloorArea {
            name,
            outline: points.area(s)?,
            kind: kind?,
            thickness,
            allows,
        })
    });
    plan.ramps = each(&section, "ramp", |s, name| {
        s.require("rise", "rise = \"4 in\"");
        s.require("run", "run = \"6 ft\"");
        let (rise, run) = (
            s.plain("rise", Least::Zero),
            s.plain("run", Least::AboveZero),
        );
        Some(Ramp {
            name,
            outline: points.area(s)?,
            rise: rise?,
            run: run?,
        })
    });
    plan.spots = each(&section, "spot", |s, name| {
        let outline = points.area(s)?;
        if !is_convex(&outline) {
            s.wrong("outline", texts::spot_bends_inward());
            return None;
        }
        Some(Spot { name, outline })
    });
    plan.truck = section.section("truck").and_then(|s| truck(s, points));
    plan.clearances = section
        .section("clearances")
        .map_or_else(Clearances::default, clearances);
    plan.carrier = section
        .section("carrier")
        .map_or_else(Carrier::default, carrier);
    plan.dismantling = each(&section, "dismantling", |s, name| {
        let read = moving::dismantling(s, name, rates)?;
        if let Some(door) = &read.door
            && !plan.doors.iter().any(|d| &d.name == door)
        {
            let known: Vec<&str> = plan.doors.iter().map(|d| d.name.as_str()).collect();
            s.wrong("door", texts::no_such_door(door, &known));
            return None;
        }
        Some(read)
    });
    let things = plan.points().count();
    if things > MOST_THINGS {
        section.push(texts::too_many_points(section.place(), things, MOST_THINGS));
        return Plan::default();
    }
    section.finish();
    plan
}

const FLOORS: &[(&str, WayFloor)] = &[
    ("slab", WayFloor::Slab),
    ("joists", WayFloor::Joists),
    ("trench cover", WayFloor::TrenchCover),
    ("soft", WayFloor::Soft),
];

/// Every table of a kind, named as stated or by its number.
fn each<T>(
    section: &Section<'_>,
    key: &'static str,
    read: impl Fn(&Section<'_>, String) -> Option<T>,
) -> Vec<T> {
    let tables = section.sections(key);
    let one = tables.len() == 1;
    let mut out = Vec::new();
    for (n, table) in tables.into_iter().enumerate() {
        let plain = key.replace('_', " ");
        let name = table.text("name").unwrap_or_else(|| {
            if one {
                format!("the {plain}")
            } else {
                format!("{plain} {}", n + 1)
            }
        });
        out.extend(read(&table, name));
        table.finish();
    }
    out
}

fn door(s: &Section<'_>, name: String, points: Points) -> Option<Door> {
    s.require("from", "from = [3, 0]");
    s.require("to", "to = [6, 0]");
    let (from, to) = (points.point(s, "from"), points.point(s, "to"));
    let width: Option<Length> = s.plain("width", Least::AboveZero);
    let height = s.plain("height", Least::AboveZero);
    let hinge = s.choice("hinge", &[("from", true), ("to", false)]);
    let side = s.choice(
        "swing",
        &[("left", Some(true)), ("right", Some(false)), ("none", None)],
    );
    let opens_rad = angle(s, "opens").unwrap_or(std::f64::consts::FRAC_PI_2);
    if side.flatten().is_some() && hinge.is_none() {
        s.require("hinge", "hinge = \"from\"");
    }
    let (from, to) = (from?, to?);
    let opening = from.distance(to);
    if opening < 1.0 {
        s.wrong("to", texts::no_opening());
        return None;
    }
    if width.is_some_and(|w| w.to_mm() > opening + 1.0) {
        s.wrong("width", texts::wider_than_opening(opening));
        return None;
    }
    let swing = side
        .flatten()
        .zip(hinge)
        .map(|(to_left, hangs_at_from)| Swing {
            hangs_at_from,
            to_left,
            opens_rad,
        });
    Some(Door {
        name,
        from,
        to,
        width,
        height,
        swing,
    })
}

fn truck(s: Section<'_>, points: Points) -> Option<Truck> {
    s.require("at", "at = [4, -10]");
    let at = points.point(&s, "at");
    let heading_rad = angle(&s, "heading");
    s.finish();
    Some(Truck {
        at: at?,
        heading_rad,
    })
}

fn clearances(s: Section<'_>) -> Clearances {
    let read = Clearances {
        front: s.plain("front", Least::Zero),
        back: s.plain("back", Least::Zero),
        left: s.plain("left", Least::Zero),
        right: s.plain("right", Least::Zero),
        above: s.plain("above", Least::Zero),
        doors: s.plain("doors", Least::Zero),
        chip_side: s.choice(
            "chip_side",
            &[
                ("front", ChipSide::Front),
                ("back", ChipSide::Back),
                ("left", ChipSide::Left),
                ("right", ChipSide::Right),
            ],
        ),
        chips: s.plain("chips", Least::Zero),
        spindle: s.plain("spindle", Least::Zero),
    };
    s.finish();
    read
}

fn carrier(s: Section<'_>) -> Carrier {
    s.require("kind", "kind = \"skates\"");
    let read = Carrier {
        kind: s.choice("kind", &CarrierKind::ALL).unwrap_or_default(),
        reach: s.plain("reach", Least::Zero),
        width: s.plain("width", Least::Zero),
        height: s.plain("height", Least::Zero),
        weight: s.plain("weight", Least::Zero),
        turning_radius: s.plain("turning_radius", Least::Zero),
        shunts: s.flag("shunts"),
    };
    s.finish();
    read
}

/// An angle: a bare number or a text in degrees.
fn angle(s: &Section<'_>, key: &'static str) -> Option<f64> {
    s.with(key, |node| {
        let degrees = match node {
            Node::Number(n) => Some(*n),
            Node::Text(text) => {
                let text = text.trim();
                let bare = ["degrees", "deg", "\u{b0}"]
                    .iter()
                    .find_map(|unit| text.strip_suffix(unit))
                    .unwrap_or(text);
                bare.trim().parse().ok()
            }
            _ => None,
        };
        degrees
            .filter(|d: &f64| d.is_finite() && d.abs() <= 720.0)
            .map(f64::to_radians)
            .ok_or_else(|| texts::expected("an angle such as 90 or \"90 deg\"", &node.describe()))
    })
}

fn unit_mm(text: &str) -> Option<f64> {
    Length::parse(&format!("1 {}", text.trim()))
        .ok()
        .map(Length::to_mm)
}
