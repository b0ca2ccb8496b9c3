//! What a part asks of any mill: setups, tasks, tools, reach, extents. Knows no machine.

mod bulk;
mod features;
mod grade;
mod own;
mod part;
mod planned;
mod setup;
mod shape;
mod task;
mod tools;

pub use grade::grade_width;
pub use own::{OwnHolder, OwnTool, OwnTools};
pub use part::{PlainPart, of};
pub use planned::setups_of;
pub use setup::Setup;
pub use shape::{Feature, FeatureKind, ModelFacts, Shape, Side};
pub use task::{Task, TaskKind, ToolNeed, ToolShape};

pub use geometry::plan::Plan;

use crate::ids::{MaterialId, PartId};
use units::{Length, Mass, Number, Volume};

/// How a part is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Holding {
    /// In a machine vise.
    Vise,
    /// Clamped or screwed to the table or a sub-plate.
    Plate,
    /// In a chuck standing on the table.
    Chuck,
}

/// How much is known about the cutting of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// From stated features.
    Features,
    /// From the shape of a model.
    Shape,
    /// Only from the size and the volume: tasks are a guess of the bulk.
    Bulk,
}

/// A part's demand.
#[derive(Clone, Debug, PartialEq)]
pub struct Demand {
    /// Part.
    pub part: PartId,
    /// What people call it.
    pub name: String,
    /// Material.
    pub material: MaterialId,
    /// Clampings any mill needs, in order.
    pub setups: Vec<Setup>,
    /// Raw stock, as sawn.
    pub stock: [Length; 3],
    /// Mass of the raw stock.
    pub stock_mass: Mass,
    /// Volume to remove.
    pub removed: Volume,
    /// Finest tolerance, full width.
    pub tolerance: Option<Length>,
    /// Pieces a year in this draw.
    pub per_year: Number,
    /// Pieces a batch in this draw.
    pub batch: Number,
    /// How the tasks were found.
    pub basis: Basis,
    /// False for a part the shop could do without or farm out.
    pub must_make: bool,
    /// True for a part that stands for a family's largest member or next year's wish.
    pub want: bool,
}

impl Demand {
    /// Every task of every setup.
    pub fn tasks(&self) -> impl Iterator<Item = &Task> {
        self.setups.iter().flat_map(|s| &s.tasks)
    }
}
