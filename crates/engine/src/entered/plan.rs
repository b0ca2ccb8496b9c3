//! The floor plan as entered: what stands where, in millimetres.

use crate::machine::Dismantling;
use glam::DVec2;
use serde::Serialize;
use units::{Length, Mass, Place};

/// A line of wall, as drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Wall {
    /// Points of the line.
    pub line: Vec<DVec2>,
    /// Thickness, half on each side of the line; zero for a drawn face.
    pub thickness: Length,
}

/// Which way a door leaf turns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swing {
    /// True when it hangs at the first jamb.
    pub hangs_at_from: bool,
    /// True when it opens to the left of someone looking from the first jamb to the second.
    pub to_left: bool,
    /// How far it opens.
    pub opens_rad: f64,
}

/// A doorway: it opens every wall it lies in.
#[derive(Clone, Debug, PartialEq)]
pub struct Door {
    /// Name.
    pub name: String,
    /// First jamb.
    pub from: DVec2,
    /// Second jamb.
    pub to: DVec2,
    /// Clear width where the leaf or a stop takes some of it, in the middle between the jambs.
    pub width: Option<Length>,
    /// Clear height; `None` where nobody measured.
    pub height: Option<Length>,
    /// A leaf that turns; rolling and lifting doors have none.
    pub swing: Option<Swing>,
}

/// Something solid, from the floor up.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// Name.
    pub name: String,
    /// Outline.
    pub outline: Vec<DVec2>,
    /// True when it can be moved aside.
    pub movable: bool,
}

/// Ground on which nothing may stand.
#[derive(Clone, Debug, PartialEq)]
pub struct KeepClear {
    /// Name.
    pub name: String,
    /// Outline.
    pub outline: Vec<DVec2>,
    /// True when nothing may be moved across it either.
    pub no_passage: bool,
}

/// An area with less height than elsewhere: a beam, a duct, a lower ceiling.
#[derive(Clone, Debug, PartialEq)]
pub struct Overhead {
    /// Name.
    pub name: String,
    /// Outline.
    pub outline: Vec<DVec2>,
    /// Clear height below.
    pub height: Length,
}

/// What the floor is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WayFloor {
    /// Concrete on the ground.
    Slab,
    /// Joists or a suspended floor: a professional decides.
    Joists,
    /// Cover of a trench or pit.
    TrenchCover,
    /// Gravel, lawn, soil.
    Soft,
}

/// A floor that differs from a plain slab.
#[derive(Clone, Debug, PartialEq)]
pub struct FloorArea {
    /// Name.
    pub name: String,
    /// Outline.
    pub outline: Vec<DVec2>,
    /// Kind.
    pub kind: WayFloor,
    /// Thickness of a slab.
    pub thickness: Option<Length>,
    /// Heaviest load somebody competent allows on it.
    pub allows: Option<Mass>,
}

/// A slope.
#[derive(Clone, Debug, PartialEq)]
pub struct Ramp {
    /// Name.
    pub name: String,
    /// Outline.
    pub outline: Vec<DVec2>,
    /// Rise over its length.
    pub rise: Length,
    /// Length along the slope's direction, on the plan.
    pub run: Length,
}

/// Where the machine may stand.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// Name.
    pub name: String,
    /// Convex outline.
    pub outline: Vec<DVec2>,
}

/// Where the load is set down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Truck {
    /// Centre of the load.
    pub at: DVec2,
    /// Direction of its length; `None` when it can be set down in any.
    pub heading_rad: Option<f64>,
}

/// Room the machine needs round its footprint, as far as it is known.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Clearances {
    /// In front, where the operator stands.
    pub front: Option<Length>,
    /// Behind.
    pub back: Option<Length>,
    /// At the left side, seen from the front.
    pub left: Option<Length>,
    /// At the right side.
    pub right: Option<Length>,
    /// Above the standing height, to take a spindle or the column cover off.
    pub above: Option<Length>,
    /// In front, for doors that swing out or slide past the front.
    pub doors: Option<Length>,
    /// Side on which chips leave.
    pub chip_side: Option<ChipSide>,
    /// Room there for conveyor, cart or shovel.
    pub chips: Option<Length>,
    /// Above the standing height, to lift the spindle or its motor out by a hoist.
    pub spindle: Option<Length>,
}

/// Where chips leave a machine, seen from its front.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChipSide {
    /// At the front.
    Front,
    /// Behind.
    Back,
    /// At the left.
    Left,
    /// At the right.
    Right,
}

/// How the load is moved.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CarrierKind {
    /// The bare load.
    #[default]
    None,
    /// Machine skates below it.
    Skates,
    /// A pallet jack, its handle at one end.
    PalletJack,
    /// A fork truck in front of one long side.
    Forks,
    /// A gantry on castors over it.
    Gantry,
}

impl CarrierKind {
    /// Every kind with the word it is written by.
    pub const ALL: [(&'static str, CarrierKind); 5] = [
        ("none", CarrierKind::None),
        ("skates", CarrierKind::Skates),
        ("pallet jack", CarrierKind::PalletJack),
        ("forks", CarrierKind::Forks),
        ("gantry", CarrierKind::Gantry),
    ];
}

/// A carrier.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Carrier {
    /// Kind.
    pub kind: CarrierKind,
    /// How far it reaches beyond the load: behind one end (pallet jack), in front of one long side
    /// (forks), beyond each long side (gantry).
    pub reach: Option<Length>,
    /// Its width where it reaches beyond.
    pub width: Option<Length>,
    /// How much higher the load rides on it; for a gantry, its own height instead.
    pub height: Option<Length>,
    /// Its own weight.
    pub weight: Option<Mass>,
    /// Smallest radius its load's centre turns on; zero when it turns on the spot or goes sideways.
    pub turning_radius: Option<Length>,
    /// False when it cannot go back and forth in a turn, nor be slid sideways.
    pub shunts: Option<bool>,
}

/// A floor plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// Where it is written.
    pub place: Place,
    /// Walls.
    pub walls: Vec<Wall>,
    /// Doorways.
    pub doors: Vec<Door>,
    /// Columns and what stands there already.
    pub blocks: Vec<Block>,
    /// Ground to be kept clear.
    pub keep_clear: Vec<KeepClear>,
    /// Beams and lower ceilings.
    pub overhead: Vec<Overhead>,
    /// Height everywhere else; `None` where nobody measured, and outdoors.
    pub ceiling: Option<Length>,
    /// Floors that differ from a plain slab.
    pub floors: Vec<FloorArea>,
    /// Slopes.
    pub ramps: Vec<Ramp>,
    /// Ground that may be used; the rectangle around everything drawn when left out.
    pub ground: Option<Vec<DVec2>>,
    /// Where the machine may stand.
    pub spots: Vec<Spot>,
    /// Where the load is set down.
    pub truck: Option<Truck>,
    /// How well lengths were measured: added to the clearance on every side.
    pub measured_to: Length,
    /// Room asked around the standing machine.
    pub clearances: Clearances,
    /// How the load is moved.
    pub carrier: Carrier,
    /// What can come off for the way in.
    pub dismantling: Vec<Dismantling>,
}

impl Plan {
    /// Every point drawn.
    pub fn points(&self) -> impl Iterator<Item = DVec2> + '_ {
        let walls = self.walls.iter().flat_map(|w| w.line.iter().copied());
        let doors = self.doors.iter().flat_map(|d| [d.from, d.to]);
        let outlines = self
            .blocks
            .iter()
            .map(|b| &b.outline)
            .chain(self.keep_clear.iter().map(|k| &k.outline))
            .chain(self.overhead.iter().map(|o| &o.outline))
            .chain(self.floors.iter().map(|f| &f.outline))
            .chain(self.ramps.iter().map(|r| &r.outline))
            .chain(self.spots.iter().map(|s| &s.outline))
            .chain(self.ground.iter())
            .flat_map(|outline| outline.iter().copied());
        walls
            .chain(doors)
            .chain(outlines)
            .chain(self.truck.iter().map(|t| t.at))
    }

    /// Corners of the rectangle around everything drawn; `None` for an empty plan.
    pub fn extent(&self) -> Option<(DVec2, DVec2)> {
        let points = || self.points();
        Some((points().reduce(DVec2::min)?, points().reduce(DVec2::max)?))
    }
}
