//! One piece of cutting and the tool it needs, as any mill would be asked for it.

use serde::Serialize;
use units::{Area, Length, Volume};

/// Shape of a cutting tool.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ToolShape {
    /// End mill with square corners.
    Flat,
    /// Ball-nose end mill.
    Ball,
    /// End mill with rounded corners.
    Bull,
    /// Face mill.
    Face,
    /// Twist drill.
    Drill,
    /// Reamer.
    Reamer,
    /// Tap.
    Tap,
    /// Chamfering tool.
    Chamfer,
    /// Boring head or bar.
    Boring,
}

/// The tool a task needs: at least this reach, this diameter.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ToolNeed {
    /// Shape.
    pub shape: ToolShape,
    /// Cutting diameter (nominal diameter of a tap).
    pub diameter: Length,
    /// Corner radius.
    pub corner: Length,
    /// Least length the tool must stand out of its holder.
    pub reach: Length,
}

/// Kind of cutting.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TaskKind {
    /// A flat face on top.
    Face,
    /// Bulk removal.
    Rough,
    /// Floors, finished.
    Bottom,
    /// Walls, finished.
    Side,
    /// Curved surfaces, line by line.
    Freeform,
    /// Holes drilled.
    Drill,
    /// Holes reamed.
    Ream,
    /// Holes bored.
    Bore,
    /// Threads tapped.
    Tap,
    /// Threads milled.
    Thread,
    /// Edges broken.
    Chamfer,
}

/// One piece of cutting inside a setup.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Task {
    /// Kind.
    pub kind: TaskKind,
    /// Tool.
    pub tool: ToolNeed,
    /// Volume removed.
    pub volume: Volume,
    /// Surface made.
    pub area: Area,
    /// Number of holes or places; 1 where counting has no sense.
    pub count: u32,
    /// Depth below the top of the part as it stands in the setup at which the tip ends.
    pub depth: Length,
    /// Length cut along the tool axis at each place (holes) or wall height (sides).
    pub cut_depth: Length,
    /// Length an end mill must have below its shank, where the shape says it.
    pub neck: Option<Length>,
    /// Pitch of a thread.
    pub pitch: Option<Length>,
    /// A depth of cut the user insists on taking in one pass.
    pub pass_depth: Option<Length>,
    /// Distance between neighbouring lines of a curved surface.
    pub stepover: Option<Length>,
    /// True when the tool's centre must go right round the outside of the part.
    pub outside: bool,
    /// What the task is for, in the user's words.
    pub about: String,
}
