//! Whether a tool reaches a point of the surface, and how long it must stick out for that.
//!
//! Every "reached" has a witness: a place of the tip checked against all triangles. So no wall or
//! slot is ever entered by grace of a grid, and a tool fits a slot of its own width.

mod all;
mod level;
mod stick_out;

pub use all::{Reacher, reach_all};
pub use stick_out::{BodyStep, StickOut, stick_out_all};

use crate::height_map::HeightMap;
use crate::tool_shape::ToolShape;
use glam::{DVec3, Vec3Swizzles};
use level::level_tip;

/// How a tool serves a point of the surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reach {
    /// Cut to shape with the tip here.
    Finished(DVec3),
    /// Touched with the tip here, but only in steps: a flat bottom on a slanted face.
    Stepped(DVec3),
    /// Not touched without cutting into the part elsewhere, or facing away.
    Unreached,
}

impl Reach {
    /// Place of the tip that touches the point.
    pub fn tip(self) -> Option<DVec3> {
        match self {
            Reach::Finished(tip) | Reach::Stepped(tip) => Some(tip),
            Reach::Unreached => None,
        }
    }
}

/// What counts as touching and as square.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerance {
    /// Material that may be in the tool's way, mm: chord error of the mesh plus rounding.
    pub gouge_mm: f64,
    /// Largest sine between a face and the axis (or its square) taken for parallel.
    pub square: f64,
}

impl Default for Tolerance {
    /// One micrometre; about 0.06 degrees.
    fn default() -> Tolerance {
        Tolerance {
            gouge_mm: 1e-3,
            square: 1e-3,
        }
    }
}

/// Where the tip must stand to touch a point.
enum Place {
    /// Nowhere: the face looks away.
    Away,
    /// On the point's level, within the radius of the flat bottom.
    Level,
    /// Here and only here.
    At(DVec3),
}

impl Place {
    fn of(tool: &ToolShape, point: DVec3, normal: DVec3, tolerance: &Tolerance) -> Place {
        if normal.z < -tolerance.square {
            return Place::Away;
        }
        if normal.xy().length() <= tolerance.square && tool.flat_mm() > 0.0 {
            return Place::Level;
        }
        let out = normal.xy().normalize_or_zero() * tool.flat_mm();
        Place::At(point + out.extend(0.0) + (normal - DVec3::Z) * tool.corner_mm())
    }
}

/// What touching with the tip at `tip` does to a face that is not level.
fn touched(tool: &ToolShape, tip: DVec3, normal: DVec3, tolerance: &Tolerance) -> Reach {
    if tool.corner_mm() > 0.0 || normal.z.abs() <= tolerance.square {
        Reach::Finished(tip)
    } else {
        Reach::Stepped(tip)
    }
}

/// Whether `tool` reaches `point` with outward unit `normal` (both in the setup's frame), its tip
/// not below `floor_mm`.
///
/// A level face is finished when some place of the tip serves; the search for one misses only
/// such as leave less than half the gouge tolerance of play (see `level`).
pub fn reach(
    map: &HeightMap,
    tool: &ToolShape,
    point: DVec3,
    normal: DVec3,
    floor_mm: f64,
    tolerance: &Tolerance,
) -> Reach {
    let eased = tool.eased(tolerance.gouge_mm);
    match Place::of(tool, point, normal, tolerance) {
        Place::Level if point.z >= floor_mm - tolerance.gouge_mm => {
            level_tip(map, &eased, tool.flat_mm(), point, tolerance.gouge_mm)
                .map_or(Reach::Unreached, Reach::Finished)
        }
        Place::At(tip)
            if tip.z >= floor_mm - tolerance.gouge_mm
                && map
                    .obstacle(&eased, tip.xy(), tip.z + tolerance.gouge_mm)
                    .is_none() =>
        {
            touched(tool, tip, normal, tolerance)
        }
        _ => Reach::Unreached,
    }
}

/// Length from the tip at which a shank, holder or nose of radius `radius_mm` may begin without
/// touching the part; zero when nothing is in its way.
pub fn stick_out_mm(map: &HeightMap, tip: DVec3, radius_mm: f64, tolerance: &Tolerance) -> f64 {
    let Ok(cylinder) = ToolShape::new(radius_mm, 0.0) else {
        return 0.0;
    };
    map.tip(&cylinder.eased(tolerance.gouge_mm), tip.xy())
        .map_or(0.0, |contact| (contact.tip_z - tip.z).max(0.0))
}
