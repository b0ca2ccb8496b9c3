//! Parts as entered: a model with what was measured of it, or a described block; features; numbers.

use crate::demand::Holding;
use crate::ids::{MaterialId, PartId};
use units::{Area, Length, Money, Number, Place, Value, Volume};

/// What was measured of a model file.
#[derive(Clone, Debug, PartialEq)]
pub struct ModelFacts {
    /// File, relative to the folder.
    pub file: String,
    /// Sides of the smallest oriented box, descending.
    pub box_sides: [Length; 3],
    /// Volume.
    pub volume: Volume,
    /// Surface area.
    pub area: Area,
    /// True when the surface closes.
    pub watertight: bool,
}

/// Where the shape of a part comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A model.
    Model(ModelFacts),
    /// A block of a stated size: length, width, height as it lies for its first setup.
    Block([Length; 3]),
}

/// A side of the block, seen with the part lying for its first setup.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs, reason = "the sides of a block need no more words")]
pub enum Side {
    Top,
    Bottom,
    Front,
    Back,
    Left,
    Right,
}

/// What is to be made on a side.
#[derive(Clone, Debug, PartialEq)]
pub enum FeatureKind {
    /// The whole side milled flat.
    Face {
        /// Face mill the user means to use.
        cutter: Option<Length>,
        /// Depth to take in one pass.
        pass_depth: Option<Length>,
    },
    /// Closed pocket or through window.
    Pocket {
        /// Length, width, depth.
        size: [Length; 3],
        /// Inside corner radius.
        corner_radius: Length,
    },
    /// Slot.
    Slot {
        /// Length.
        length: Length,
        /// Width.
        width: Length,
        /// Depth.
        depth: Length,
    },
    /// Round holes, alike.
    Holes {
        /// Diameter (nominal for threads).
        diameter: Length,
        /// Depth.
        depth: Length,
        /// Pitch when tapped.
        pitch: Option<Length>,
        /// Diameter tolerance, full width; fine ones are reamed or bored.
        tolerance: Option<Length>,
    },
    /// The outside profile.
    Profile {
        /// Height of the wall.
        depth: Length,
        /// Smallest inside corner radius along it.
        corner_radius: Option<Length>,
    },
    /// A curved surface.
    Freeform {
        /// Area.
        area: Area,
        /// Depth from the top to its lowest point.
        depth: Length,
        /// Smallest inside radius.
        radius: Length,
        /// Permitted scallop height.
        scallop: Length,
    },
    /// Edges broken.
    Chamfer {
        /// Length along the edges.
        length: Length,
        /// Width of the chamfer.
        width: Length,
    },
}

/// A feature on a side.
#[derive(Clone, Debug, PartialEq)]
pub struct Feature {
    /// Side.
    pub side: Side,
    /// What.
    pub kind: FeatureKind,
    /// How many alike.
    pub count: u32,
    /// Where it is written.
    pub place: Place,
}

/// A part as entered.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Name.
    pub id: PartId,
    /// What people call it.
    pub name: String,
    /// Where it is written.
    pub place: Place,
    /// Shape.
    pub shape: Shape,
    /// Material.
    pub material: MaterialId,
    /// Allowance on every side of the raw stock.
    pub allowance: Value<Length>,
    /// Features stated; none for a model or a block of which only the size is known.
    pub features: Vec<Feature>,
    /// How it is held; `None` lets the height decide.
    pub holding: Option<Holding>,
    /// Finest tolerance, full width.
    pub tolerance: Option<Value<Length>>,
    /// Pieces a year.
    pub per_year: Value<Number>,
    /// Pieces a batch.
    pub batch: Value<Number>,
    /// What an outside shop charges, or what it sells for, a piece.
    pub outside_price: Option<Value<Money>>,
    /// Cost of raw stock a piece, when stated.
    pub stock_price: Option<Value<Money>>,
    /// False for a part the shop could do without or farm out.
    pub must_make: bool,
    /// True for a part that stands for a wish.
    pub want: bool,
}
