//! Whether a tool reaches a point of the surface, and how long it must stick out for that.
//!
//! Every "reached" has a witness: a place of the tip checked against all triangles. So no wall or
//! slot is ever entered by grace of a grid, and a tool fits a slot of its own width.

use crate::height_map::HeightMap;
use crate::tool_shape::ToolShape;
use glam::{DVec2, DVec3, Vec3Swizzles};

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

/// Whether `tool` reaches `point` with outward unit `normal` (both in the setup's frame), its tip
/// not below `floor_mm`.
pub fn reach(
    map: &HeightMap,
    tool: &ToolShape,
    point: DVec3,
    normal: DVec3,
    floor_mm: f64,
    tolerance: &Tolerance,
) -> Reach {
    if normal.z < -tolerance.square {
        return Reach::Unreached;
    }
    let eased = tool.eased(tolerance.gouge_mm);
    let stands = |tip: DVec3| {
        tip.z >= floor_mm - tolerance.gouge_mm
            && map
                .obstacle(&eased, tip.xy(), tip.z + tolerance.gouge_mm)
                .is_none()
    };
    let level = normal.xy().length() <= tolerance.square;
    if level && tool.flat_mm() > 0.0 {
        let tip = level_tip(map, &eased, tool.flat_mm(), point, tolerance.gouge_mm);
        return match tip {
            Some(tip) if stands(tip) => Reach::Finished(tip),
            _ => Reach::Unreached,
        };
    }
    let horizontal = normal.xy().normalize_or_zero();
    let tip =
        point + (horizontal * tool.flat_mm()).extend(0.0) + (normal - DVec3::Z) * tool.corner_mm();
    if !stands(tip) {
        return Reach::Unreached;
    }
    let wall = normal.z.abs() <= tolerance.square;
    if tool.corner_mm() > 0.0 || wall {
        Reach::Finished(tip)
    } else {
        Reach::Stepped(tip)
    }
}

/// A place on the level of `point`, within `flat` of it, where the tool stands free.
///
/// Starts over the point and backs away from the nearest material in turn, staying within `flat`;
/// then tries rings of places. Misses only places with less play than the rings' spacing that
/// backing away does not lead to: it can call a reached point unreached, never the other way.
fn level_tip(
    map: &HeightMap,
    tool: &ToolShape,
    flat: f64,
    point: DVec3,
    gouge: f64,
) -> Option<DVec3> {
    let z = point.z + gouge;
    let clear = tool.radius_mm() * (1.0 + 1e-9) + 1e-9;
    let mut axis = point.xy();
    for _ in 0..24 {
        // A rounded corner clears low material the full radius does not: ask the tool itself.
        if map.obstacle(tool, axis, z).is_none() {
            return Some(axis.extend(point.z));
        }
        let Some(wall) = map.nearest_above(axis, clear, z) else {
            break;
        };
        let away = (axis - wall).normalize_or((point.xy() - wall).normalize_or(DVec2::X));
        // With a rounded corner, back off no farther than needed: the full radius may leave the
        // point behind where the corner fits a fillet.
        let next = if tool.corner_mm() > 0.0 {
            axis + away * ((clear - axis.distance(wall)) * 0.25).max(1e-3 * clear)
        } else {
            wall + away * clear
        };
        let off = next - point.xy();
        let next = if off.length() > flat {
            point.xy() + off.normalize() * flat
        } else {
            next
        };
        if next.distance(axis) < 1e-6 * clear {
            break;
        }
        axis = next;
    }
    const RINGS: u32 = 4;
    for ring in 1..=RINGS {
        let distance = flat * f64::from(ring) / f64::from(RINGS);
        let count = 8 * ring;
        for k in 0..count {
            let (sin, cos) = libm::sincos(std::f64::consts::TAU * f64::from(k) / f64::from(count));
            let axis = point.xy() + DVec2::new(cos, sin) * distance;
            if map.obstacle(tool, axis, z).is_none() {
                return Some(axis.extend(point.z));
            }
        }
    }
    None
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
