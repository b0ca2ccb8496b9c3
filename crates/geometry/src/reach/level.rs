//! A place for the tip on the level of a point: the search over all places of a flat bottom.

use crate::height_map::HeightMap;
use crate::tool_shape::ToolShape;
use glam::{DVec2, DVec3, Vec3Swizzles};

/// Squares looked at per point at most. Places with some play take tens; a slot that misses the
/// tool's width by less than the gouge tolerance would take tens of thousands, for nothing.
const MAX_SQUARES: usize = 2000;

/// Widths of the part (its longer side as it lies) from which a flat bottom is wide.
const WIDE: f64 = 0.25;

/// A place on the level of `point`, within `flat` of it, where the tool stands free.
///
/// Backs away from the nearest material first, which nearly always succeeds where anything does.
/// If not, squares of places are halved; one is dropped when a tool thinner by the square's half
/// diagonal is stopped at its middle, as the tool itself is then stopped anywhere in it. Squares
/// smaller than a part of `gouge` are given up: a place missed has less play than that.
pub(super) fn level_tip(
    map: &HeightMap,
    tool: &ToolShape,
    flat: f64,
    point: DVec3,
    gouge: f64,
) -> Option<DVec3> {
    back_away(map, tool, flat, point, gouge)
        .or_else(|| {
            let stopped = |slim: ToolShape| {
                let flat = flat - (tool.radius_mm() - slim.radius_mm());
                level_tip(map, &slim, flat, point, gouge).is_none()
            };
            if slimmer(map, tool, flat).is_some_and(stopped) {
                return None;
            }
            halve(map, tool, flat, point, gouge)
        })
        .map(|axis| axis.extend(point.z))
}

/// A tool of the same corner to ask first where `tool` is much wider than the part: where it finds
/// no place, one that holds it finds none either. Squares that tell nothing lie along the tool's
/// rim, so their number grows with its radius against what they must tell apart; a part read in
/// too small a unit would otherwise take a minute and more.
fn slimmer(map: &HeightMap, tool: &ToolShape, flat: f64) -> Option<ToolShape> {
    /// How much smaller the flat bottom of the next tool asked is.
    const LESS: f64 = 4.0;
    let (_, width, height) = map.extent();
    let part = width.max(height) as f64 * map.step_mm();
    let less = flat - flat / LESS;
    (flat > WIDE * part)
        .then(|| ToolShape::new(tool.radius_mm() - less, tool.corner_mm()).ok())
        .flatten()
}

fn back_away(
    map: &HeightMap,
    tool: &ToolShape,
    flat: f64,
    point: DVec3,
    gouge: f64,
) -> Option<DVec2> {
    let z = point.z + gouge;
    let clear = tool.radius_mm() * (1.0 + 1e-9) + 1e-9;
    let mut axis = point.xy();
    for _ in 0..24 {
        // A rounded corner clears low material the full radius does not: ask the tool itself.
        if map.obstacle(tool, axis, z).is_none() {
            return Some(axis);
        }
        let wall = map.nearest_above(axis, clear, z)?;
        let away = (axis - wall).normalize_or((point.xy() - wall).normalize_or(DVec2::X));
        // With a rounded corner, back off no farther than needed: the full radius may leave the
        // point behind where the corner fits a fillet.
        let next = if tool.corner_mm() > 0.0 {
            axis + away * ((clear - axis.distance(wall)) * 0.25).max(1e-3 * clear)
        } else {
            wall + away * clear
        };
        let next = point.xy() + (next - point.xy()).clamp_length_max(flat);
        if next.distance(axis) < 1e-6 * clear {
            return None;
        }
        axis = next;
    }
    None
}

fn halve(map: &HeightMap, tool: &ToolShape, flat: f64, point: DVec3, gouge: f64) -> Option<DVec2> {
    let z = point.z + gouge;
    // A square's middle from the point, and its half side. Nearest and largest squares first.
    let mut open = std::collections::VecDeque::from([(DVec2::ZERO, flat)]);
    let mut seen = 0;
    while let Some((middle, half)) = open.pop_front() {
        let nearest = (middle.abs() - half).max(DVec2::ZERO);
        if nearest.length() > flat {
            continue;
        }
        seen += 1;
        if seen > MAX_SQUARES {
            return None;
        }
        let diagonal = half * std::f64::consts::SQRT_2;
        if diagonal <= tool.flat_mm()
            && let Ok(thin) = ToolShape::new(tool.radius_mm() - diagonal, tool.corner_mm())
            && map.obstacle(&thin, point.xy() + middle, z).is_some()
        {
            continue;
        }
        let axis = point.xy() + middle.clamp_length_max(flat);
        if map.obstacle(tool, axis, z).is_none() {
            return Some(axis);
        }
        if diagonal < 0.25 * gouge {
            continue;
        }
        let quarter = 0.5 * half;
        for sign in [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)] {
            open.push_back((middle + DVec2::from(sign) * quarter, quarter));
        }
    }
    None
}
