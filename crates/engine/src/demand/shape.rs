//! The shape a part is described by: a model with what was measured of it, or a block, and the
//! features on its sides.

use geometry::plan::Plan;
use std::sync::Arc;
use units::{Area, Length, Place, Volume};

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
    /// How it is made, where that was worked out.
    pub plan: Option<Arc<Plan>>,
}

/// Where the shape of a part comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A model.
    Model(ModelFacts),
    /// A block of a stated size: length, width, height as it lies for its first setup.
    Block([Length; 3]),
}

impl Shape {
    /// What was measured of a model.
    pub fn facts(&self) -> Option<&ModelFacts> {
        match self {
            Shape::Model(facts) => Some(facts),
            Shape::Block(_) => None,
        }
    }
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
