//! The floor plan in `site.toml`: points as pairs of lengths, areas as outlines or as rectangles
//! between two corners.

use crate::document::{Located, Node};
use crate::dxf;
use crate::quantity::{self, Least};
use crate::section::Section;
use crate::source::{Source, Unread};
use crate::texts::{self, Wrong};
use engine::entered::{
    Block, Carrier, CarrierKind, ChipSide, Clearances, Dismantling, Door, FloorArea, KeepClear,
    Overhead, Plan, Ramp, Spot, Swing, Truck, Wall, WayFloor,
};
use engine::site::route::{doubled_area, is_convex};
use glam::DVec2;
use units::{Length, Parse};

/// Farthest a point may be from the plan's origin, in millimetres: a kilometre.
const FARTHEST_MM: f64 = 1.0e6;
/// Sides of fewer square millimetres make no area.
const LEAST_AREA_MM2: f64 = 1.0;
/// Walls, doors and areas together; a plan has some dozens.
pub(crate) const MOST_THINGS: usize = 20_000;

/// Reads the plan.
pub(crate) fn read(section: Section<'_>, source: &Source) -> Plan {
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
        drawing(&drawn, source, thickness, &mut plan);
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
        Some(Dismantling {
            name,
            length: s.plain("length", Least::AboveZero),
            width: s.plain("width", Least::AboveZero),
            height: s.plain("height", Least::AboveZero),
            cost: s.text("cost").unwrap_or_default(),
        })
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

/// Walls, and closed lines as things that stand there, from the layers of a DXF drawing.
fn drawing(s: &Section<'_>, source: &Source, thickness: Length, plan: &mut Plan) {
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

/// How points are read: `[x, y]`, each a length in quotes or, with a unit stated, a bare number.
#[derive(Clone, Copy)]
struct Points {
    unit: Option<f64>,
}

impl Points {
    fn coordinate(self, node: &Node) -> Result<f64, Wrong> {
        let mm = match node {
            Node::Number(n) => match self.unit {
                Some(mm) => n * mm,
                None => return Err(texts::point_without_unit(*n)),
            },
            Node::Text(text) => {
                let text = text.trim();
                let (sign, rest) = match text.strip_prefix('-') {
                    Some(rest) => (-1.0, rest.trim()),
                    None => (1.0, text),
                };
                let node = Node::Text(rest.to_owned());
                sign * quantity::quantity::<Length>(&node, Least::Zero)?
                    .likely
                    .to_mm()
            }
            other => return Err(texts::expected("a length", &other.describe())),
        };
        if mm.is_finite() && mm.abs() <= FARTHEST_MM {
            Ok(mm)
        } else {
            Err(texts::too_far())
        }
    }

    fn pair(self, node: &Node) -> Result<DVec2, Wrong> {
        match node {
            Node::List(list) => match list.as_slice() {
                [x, y] => Ok(DVec2::new(
                    self.coordinate(&x.node)?,
                    self.coordinate(&y.node)?,
                )),
                other => Err(texts::expected(
                    "a point of two numbers, as in [3, 0]",
                    &format!("a list of {}", other.len()),
                )),
            },
            other => Err(texts::expected("a point, as in [3, 0]", &other.describe())),
        }
    }

    /// Points in a row, equal neighbours taken once.
    fn line(self, node: &Node, least: usize) -> Result<Vec<DVec2>, Wrong> {
        let Node::List(list) = node else {
            return Err(texts::expected(
                "a list of points, as in [[0, 0], [12, 0]]",
                &node.describe(),
            ));
        };
        let mut line = list
            .iter()
            .map(|Located { node, .. }| self.pair(node))
            .collect::<Result<Vec<_>, _>>()?;
        line.dedup();
        if line.len() < least {
            return Err(texts::few_points(least, line.len()));
        }
        Ok(line)
    }

    fn lines(self, node: &Node) -> Result<Vec<Vec<DVec2>>, Wrong> {
        let Node::List(list) = node else {
            return Err(texts::expected(
                "a list of lines, as in [[[0, 0], [12, 0]], [[12, 0], [12, 9]]]",
                &node.describe(),
            ));
        };
        list.iter().map(|each| self.line(&each.node, 2)).collect()
    }

    fn point(self, s: &Section<'_>, key: &'static str) -> Option<DVec2> {
        s.with(key, |node| self.pair(node))
    }

    fn outline(self, s: &Section<'_>, key: &'static str) -> Option<Vec<DVec2>> {
        s.with(key, |node| {
            let mut outline = self.line(node, 3)?;
            if outline.len() > 3 && outline.first() == outline.last() {
                outline.pop();
            }
            check_outline(&outline)?;
            Ok(outline)
        })
    }

    /// `outline`, or the rectangle between `from` and `to`.
    fn area(self, s: &Section<'_>) -> Option<Vec<DVec2>> {
        if s.has("outline") {
            if s.has("from") || s.has("to") {
                s.wrong("outline", texts::area_said_twice());
            }
            return self.outline(s, "outline");
        }
        if !s.has("from") && !s.has("to") {
            s.require(
                "outline",
                "from = [0, 0] and to = [3, 2], or outline = [[0, 0], [3, 0], [3, 2]]",
            );
            return None;
        }
        s.require("from", "from = [0, 0]");
        s.require("to", "to = [3, 2]");
        let (from, to) = (self.point(s, "from")?, self.point(s, "to")?);
        let (a, b) = (from.min(to), from.max(to));
        let corners = vec![a, DVec2::new(b.x, a.y), b, DVec2::new(a.x, b.y)];
        match check_outline(&corners) {
            Ok(()) => Some(corners),
            Err(wrong) => {
                s.wrong("to", wrong);
                None
            }
        }
    }
}

/// An outline must hold an area and may not cross itself.
fn check_outline(outline: &[DVec2]) -> Result<(), Wrong> {
    let no_area = || {
        let area = 0.5 * doubled_area(outline).abs();
        if area < LEAST_AREA_MM2 {
            Err(texts::no_area())
        } else {
            Ok(())
        }
    };
    let n = outline.len();
    // Pairs of edges; outlines of thousands of corners are traced drawings, taken on trust.
    if n > 500 {
        return no_area();
    }
    let side = |a: DVec2, b: DVec2, p: DVec2| (b - a).perp_dot(p - a);
    for i in 0..n {
        for j in i + 2..n {
            if (j + 1) % n == i {
                continue;
            }
            let (a, b) = (outline[i], outline[(i + 1) % n]);
            let (c, d) = (outline[j], outline[(j + 1) % n]);
            if side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0 {
                return Err(texts::crosses_itself());
            }
        }
    }
    no_area()
}
