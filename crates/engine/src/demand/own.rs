//! Tools and holders the shop has: which of them serves a task, what is still to be bought.

use super::{Basis, Demand, Setup, Task, TaskKind, ToolNeed, ToolShape};
use geometry::plan::tools::{Cutter, HOLDER_RADIUS_MM, cutter, standard_cutters_for};
use units::{Length, Place};

/// A tool the shop has.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnTool {
    /// What people call it.
    pub name: String,
    /// Shape.
    pub shape: ToolShape,
    /// Cutting diameter; nominal diameter of a tap; least diameter of a boring head.
    pub diameter: Length,
    /// Largest diameter, of tools that are set to size.
    pub diameter_most: Option<Length>,
    /// Corner radius.
    pub corner: Length,
    /// Length below the shank: flutes and relieved neck together.
    pub usable: Length,
    /// Longest stick-out from the holder.
    pub out: Length,
    /// Diameter of the shank, where the file says it.
    pub shank: Option<Length>,
    /// Diameter of the holder's nose, where the file says it.
    pub holder: Option<Length>,
    /// Pitch of a tap.
    pub pitch: Option<Length>,
    /// Cutting edges.
    pub teeth: Option<u32>,
    /// How many.
    pub count: u32,
    /// Where it is written.
    pub place: Place,
}

/// A holder the shop has.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnHolder {
    /// What people call it.
    pub name: String,
    /// Diameter of its nose.
    pub diameter: Option<Length>,
    /// Spindle nose it fits ("BT30"), where the file says it.
    pub taper: Option<String>,
    /// How many.
    pub count: u32,
    /// Where it is written.
    pub place: Place,
}

/// All of them, in the order of the file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OwnTools {
    /// Tools.
    pub tools: Vec<OwnTool>,
    /// Holders.
    pub holders: Vec<OwnHolder>,
}

/// A drill serves a hole this far from its diameter: half of what drills hold anyway (IT11 of 6 to
/// 10 mm is 90 um, ISO 286-1 table 1; from memory).
const DRILL_NEAR: Length = Length::mm(0.05);
/// Diameters alike: rounding of inches to four places.
const SAME: Length = Length::mm(0.005);
/// A smaller own end mill stands in for a stated one down to this share of it (common practice, no
/// source; the same as for models, `geometry::plan::tools`).
const OWN_ENOUGH: f64 = 0.5;

impl OwnTool {
    fn is_long_enough(&self, task: &Task) -> bool {
        let slack = Length::mm(1e-6);
        let wide_shank = self.shank.is_none_or(|s| s > self.diameter + SAME);
        let below_shank = match self.shape {
            // Flutes must carry the chips out; a shank no wider than the cutter may go in.
            ToolShape::Flat | ToolShape::Ball | ToolShape::Bull if !wide_shank => Length::ZERO,
            ToolShape::Face | ToolShape::Chamfer | ToolShape::Boring => Length::ZERO,
            _ => task.neck.unwrap_or(task.cut_depth),
        };
        self.out + slack >= task.tool.reach && self.usable + slack >= below_shank
    }

    /// Whether it makes the task as it stands.
    pub fn serves(&self, task: &Task) -> bool {
        let need = &task.tool;
        let near = |a: Length, b: Length, by: Length| (a - b).abs() <= by;
        let same = || near(self.diameter, need.diameter, SAME);
        let most = self.diameter_most.unwrap_or(self.diameter);
        let fits = self.shape == need.shape
            && match need.shape {
                ToolShape::Flat | ToolShape::Ball | ToolShape::Bull => {
                    same() && near(self.corner, need.corner, SAME)
                }
                ToolShape::Drill => near(self.diameter, need.diameter, DRILL_NEAR),
                ToolShape::Tap => {
                    let pitches = self.pitch.zip(task.pitch);
                    same()
                        && task.kind == TaskKind::Tap
                        && pitches.is_some_and(|(a, b)| near(a, b, SAME))
                }
                ToolShape::Chamfer => self.diameter + SAME >= need.diameter,
                ToolShape::Boring => {
                    self.diameter <= need.diameter + SAME && need.diameter <= most + SAME
                }
                ToolShape::Reamer | ToolShape::Face => same(),
            };
        fits && self.is_long_enough(task)
    }

    /// As a cutter of a plan; `None` for tools that are no end mills.
    fn cutter(&self) -> Option<Cutter> {
        if !matches!(
            self.shape,
            ToolShape::Flat | ToolShape::Ball | ToolShape::Bull
        ) {
            return None;
        }
        let usual = cutter(
            self.diameter.to_mm(),
            self.corner.to_mm(),
            self.usable.to_mm(),
        )?;
        Some(Cutter {
            shank_radius_mm: self
                .shank
                .map_or(usual.shank_radius_mm, |s| s.to_mm() / 2.0),
            out_mm: self.out.to_mm(),
            holder_radius_mm: self.holder.map_or(HOLDER_RADIUS_MM, |h| h.to_mm() / 2.0),
            owned: true,
            ..usual
        })
    }
}

impl OwnTools {
    /// True when nothing is owned.
    pub fn is_empty(&self) -> bool {
        self.tools.is_empty() && self.holders.is_empty()
    }

    /// The cutters of a plan: own ones, and any a shop can buy for what they do not reach.
    /// The necks of the latter serve to a share of their length ([`crate::material::neck_share`]).
    pub fn cutters(&self, neck_share: f64) -> Vec<Cutter> {
        let own = self.tools.iter().filter_map(OwnTool::cutter);
        own.chain(standard_cutters_for(neck_share)).collect()
    }

    /// The own tool that makes a task, the first of several.
    pub fn serving(&self, task: &Task) -> Option<&OwnTool> {
        self.tools.iter().find(|t| t.serves(task))
    }

    /// Whether own tools make every task of a part that asks for a tool of this size.
    pub fn serves_all(&self, demand: &Demand, need: &ToolNeed) -> bool {
        let alike = |t: &&Task| {
            t.tool.shape == need.shape
                && t.tool.diameter == need.diameter
                && t.tool.corner == need.corner
        };
        !self.is_empty()
            && demand
                .tasks()
                .filter(alike)
                .all(|t| self.serving(t).is_some())
    }

    /// The same demand made with own tools where one of fair size does: described parts name the
    /// widest end mill that enters, and no part names its face mill.
    pub fn preferred(&self, mut demand: Demand) -> Demand {
        let described = demand.basis != Basis::Shape;
        self.prefer(&mut demand.setups, described);
        demand
    }

    /// The same of setups, of a described part or of a model.
    pub fn prefer(&self, setups: &mut [Setup], described: bool) {
        for task in setups.iter_mut().flat_map(|s| &mut s.tasks) {
            let stands_in = match task.tool.shape {
                ToolShape::Face => !described,
                ToolShape::Flat => described,
                _ => false,
            };
            if stands_in
                && self.serving(task).is_none()
                && let Some(own) = self.widest_fair(task)
            {
                task.tool.diameter = own.diameter;
            }
        }
    }

    /// The widest own tool that would make a task instead of the one it names.
    fn widest_fair(&self, task: &Task) -> Option<&OwnTool> {
        let need = task.tool;
        let fair = |t: &&OwnTool| {
            let with = Task {
                tool: ToolNeed {
                    diameter: t.diameter,
                    ..need
                },
                ..task.clone()
            };
            t.diameter >= OWN_ENOUGH * need.diameter
                && (t.diameter <= need.diameter || need.shape == ToolShape::Face)
                && t.serves(&with)
        };
        let all = self.tools.iter().filter(fair);
        all.max_by(|a, b| a.diameter.total_cmp(&b.diameter))
    }
}
