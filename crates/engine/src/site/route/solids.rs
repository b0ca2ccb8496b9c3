//! What is solid for a load of a height and weight: walls less their doorways, doors too low, door
//! leaves, things, ceilings too low, floors that do not carry it, the edge of the ground.

use super::shape::{Segment, contains, edges, rim_distance};
use crate::entered::{Plan, Ramp, Wall, WayFloor};
use glam::DVec2;
use serde::Serialize;
use units::{Length, Mass};

/// A doorway opens walls whose line runs within this of its own, beyond half their thickness:
/// plans are traced by hand. Common practice, no source.
const TRACED_MM: f64 = 50.0;

/// What something solid is.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "kind")]
pub enum Thing {
    /// A wall.
    Wall,
    /// Edge of the ground drawn.
    Edge,
    /// A doorway: its stops, or the whole of it where it is too low.
    Door {
        /// Name.
        name: String,
        /// Clear height where that is too low.
        too_low_mm: Option<f64>,
    },
    /// Open leaf of a door.
    Leaf {
        /// Name of the door.
        name: String,
    },
    /// Something that stands there.
    Block {
        /// Name.
        name: String,
        /// Can be moved aside.
        movable: bool,
    },
    /// Ground nothing may be moved across.
    KeepClear {
        /// Name.
        name: String,
    },
    /// Something overhead that is too low.
    Overhead {
        /// Name.
        name: String,
        /// Clear height.
        height_mm: f64,
    },
    /// A floor that does not carry the load.
    Floor {
        /// Name.
        name: String,
    },
}

impl Thing {
    /// In words.
    pub fn describe(&self) -> String {
        match self {
            Thing::Wall => "a wall".to_owned(),
            Thing::Edge => "the edge of the ground drawn".to_owned(),
            Thing::Door {
                name,
                too_low_mm: None,
            } => format!("the jamb of {name}"),
            Thing::Door { name, .. } => format!("{name}, which is too low"),
            Thing::Leaf { name } => format!("the open leaf of {name}"),
            Thing::Block { name, .. } | Thing::KeepClear { name } => name.clone(),
            Thing::Overhead { name, .. } => format!("{name}, which is too low"),
            Thing::Floor { name } => format!("{name}, which does not carry the load"),
        }
    }
}

/// What the plan is asked about.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Burden {
    /// Height while moving, with the carrier; `None` leaves heights aside.
    pub height: Option<Length>,
    /// Weight with the carrier; `None` leaves floors aside.
    pub weight: Option<Mass>,
    /// Its longer side seen from above: on a ramp its ends rise.
    pub length: Length,
    /// True to take doors of unknown height and floors of unknown strength for closed, and a load
    /// on a ramp for as high as it may come to stand.
    pub wary: bool,
    /// True when the carrier's wheels want a hard floor.
    pub hard_floor: bool,
}

/// Everything solid, by segments that carry the number of their thing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Solids {
    /// Things.
    pub things: Vec<Thing>,
    /// Their edges.
    pub segments: Vec<Segment>,
    /// Outlines whose inside is solid too, for places to start and to stand.
    pub outlines: Vec<Vec<DVec2>>,
}

impl Solids {
    fn line(&mut self, thing: Thing, line: impl IntoIterator<Item = (DVec2, DVec2)>) {
        let number = self.things.len();
        self.things.push(thing);
        self.segments
            .extend(line.into_iter().map(|(from, to)| Segment {
                from,
                to,
                thing: number,
            }));
    }

    fn area(&mut self, thing: Thing, outline: &[DVec2]) {
        let number = self.things.len();
        self.things.push(thing);
        self.segments.extend(edges(outline, number));
        self.outlines.push(outline.to_vec());
    }
}

/// How much higher than on the level a load may stand above the floor next to a ramp: pivoting on
/// the crest its end rises by half its length times the sine of the slope; at the foot, where it
/// bridges the hollow, and on the slope itself it is less.
pub fn ramp_raise(ramp: &Ramp, length: Length) -> Length {
    let slope = ramp.rise.to_mm().atan2(ramp.run.to_mm());
    length * (0.5 * slope.sin())
}

/// Height of a load below something overhead whose edge is `line`: with the raise of every ramp
/// within half the load's length when wary.
fn height_at(plan: &Plan, burden: &Burden, line: &[DVec2]) -> Option<Length> {
    let height = burden.height?;
    let raise = plan
        .ramps
        .iter()
        .filter(|ramp| burden.wary && near(&ramp.outline, line, burden.length.to_mm()))
        .map(|ramp| ramp_raise(ramp, burden.length))
        .fold(Length::ZERO, Length::max);
    Some(height + raise)
}

/// True when a line or outline comes within half a length of an outline.
fn near(outline: &[DVec2], line: &[DVec2], length_mm: f64) -> bool {
    let reach = 0.5 * length_mm;
    line.iter()
        .any(|p| contains(outline, *p) || rim_distance(outline, *p) <= reach)
        || outline
            .iter()
            .any(|p| contains(line, *p) || rim_distance(line, *p) <= reach)
}

/// Everything solid in a plan.
pub fn solids(plan: &Plan, burden: &Burden) -> Solids {
    let mut out = Solids::default();
    for wall in &plan.walls {
        out.line(Thing::Wall, wall_pieces(plan, wall));
    }
    for door in &plan.doors {
        let name = door.name.clone();
        let (along, opening) = (
            (door.to - door.from).normalize_or_zero(),
            door.from.distance(door.to),
        );
        let height = height_at(plan, burden, &[door.from, door.to]);
        let low = match (height, door.height) {
            (Some(load), Some(door)) => !load.fits(door),
            (Some(_), None) => burden.wary,
            (None, _) => false,
        };
        if low {
            let too_low_mm = Some(door.height.unwrap_or_default().to_mm());
            out.line(Thing::Door { name, too_low_mm }, [(door.from, door.to)]);
            continue;
        }
        if let Some(width) = door.width.map(Length::to_mm).filter(|w| *w < opening) {
            let stop = 0.5 * (opening - width) * along;
            out.line(
                Thing::Door {
                    name: name.clone(),
                    too_low_mm: None,
                },
                [(door.from, door.from + stop), (door.to - stop, door.to)],
            );
        }
        if let Some(swing) = door.swing {
            let (hinge, closed) = if swing.hangs_at_from {
                (door.from, door.to)
            } else {
                (door.to, door.from)
            };
            // Left of from-to is anticlockwise seen from the first jamb, clockwise from the other.
            let anticlockwise = swing.to_left == swing.hangs_at_from;
            let angle = if anticlockwise {
                swing.opens_rad
            } else {
                -swing.opens_rad
            };
            let tip = hinge + DVec2::from_angle(angle).rotate(closed - hinge);
            out.line(Thing::Leaf { name }, [(hinge, tip)]);
        }
    }
    for block in &plan.blocks {
        let (name, movable) = (block.name.clone(), block.movable);
        out.area(Thing::Block { name, movable }, &block.outline);
    }
    for area in plan.keep_clear.iter().filter(|k| k.no_passage) {
        out.area(
            Thing::KeepClear {
                name: area.name.clone(),
            },
            &area.outline,
        );
    }
    for area in &plan.overhead {
        let height = height_at(plan, burden, &area.outline);
        if height.is_some_and(|load| !load.fits(area.height)) {
            let (name, height_mm) = (area.name.clone(), area.height.to_mm());
            out.area(Thing::Overhead { name, height_mm }, &area.outline);
        }
    }
    if let Some((load, ceiling)) = burden.height.zip(plan.ceiling)
        && !load.fits(ceiling)
    {
        for spot in &plan.spots {
            let name = format!("the ceiling over {}", spot.name);
            let height_mm = ceiling.to_mm();
            out.area(Thing::Overhead { name, height_mm }, &spot.outline);
        }
    }
    for floor in &plan.floors {
        let heavy = match (burden.weight, floor.allows) {
            (Some(load), Some(allowed)) => load > allowed,
            (Some(_), None) => burden.wary && floor.kind != WayFloor::Slab,
            (None, _) => false,
        };
        if heavy || (burden.hard_floor && floor.kind == WayFloor::Soft) {
            out.area(
                Thing::Floor {
                    name: floor.name.clone(),
                },
                &floor.outline,
            );
        }
    }
    if let Some(ground) = &plan.ground {
        let number = out.things.len();
        out.things.push(Thing::Edge);
        out.segments.extend(edges(ground, number));
    } else if let Some((min, max)) = plan.extent() {
        let corners = [min, DVec2::new(max.x, min.y), max, DVec2::new(min.x, max.y)];
        let number = out.things.len();
        out.things.push(Thing::Edge);
        out.segments.extend(edges(&corners, number));
    }
    out
}

/// The pieces of a wall that its doorways leave, as faces where it is thick.
fn wall_pieces(plan: &Plan, wall: &Wall) -> Vec<(DVec2, DVec2)> {
    let half = 0.5 * wall.thickness.to_mm();
    let mut out = Vec::new();
    for (n, pair) in wall.line.windows(2).enumerate() {
        let (from, to) = (pair[0], pair[1]);
        let length = from.distance(to);
        let Some(along) = (to - from).try_normalize() else {
            continue;
        };
        let across = along.perp();
        let mut openings: Vec<[f64; 2]> = plan
            .doors
            .iter()
            .filter_map(|door| {
                let jambs = [door.from - from, door.to - from];
                let near = jambs
                    .iter()
                    .all(|j| j.dot(across).abs() <= half + TRACED_MM);
                let span = jambs.map(|j| j.dot(along));
                let span = [span[0].min(span[1]), span[0].max(span[1])];
                // A doorway that stands across the wall opens nothing of it.
                let lies_in_it = span[1] - span[0] > 0.5 * door.from.distance(door.to);
                (near && lies_in_it && span[1] > 0.0 && span[0] < length).then_some(span)
            })
            .collect();
        openings.sort_by(|a, b| a[0].total_cmp(&b[0]));
        // Corners of thick walls are filled by running on half a thickness.
        let closed = wall.line.first() == wall.line.last();
        let corner = |at: usize| closed || (at > 0 && at + 1 < wall.line.len());
        let mut start = if corner(n) { -half } else { 0.0 };
        let end = if corner(n + 1) { length + half } else { length };
        let mut solid = Vec::new();
        for [open, close] in openings {
            if open > start {
                solid.push([start, open]);
            }
            start = start.max(close);
        }
        if end > start {
            solid.push([start, end]);
        }
        for [a, b] in solid {
            let (a, b) = (from + a * along, from + b * along);
            if half > 0.0 {
                let side = half * across;
                let corners = [a - side, b - side, b + side, a + side];
                out.extend((0..4).map(|i| (corners[i], corners[(i + 1) % 4])));
            } else {
                out.push((a, b));
            }
        }
    }
    out
}
