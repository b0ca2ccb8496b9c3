//! Lowest tip heights of a tool over a whole part, row by row in parallel.

use crate::height_map::HeightMap;
use crate::tool_shape::ToolShape;
use glam::DVec2;
use rayon::prelude::*;

/// Tip heights at the nodes of a square grid. Each is exact for its node.
#[derive(Clone, Debug)]
pub struct TipMap {
    /// Position of the first node.
    pub origin: DVec2,
    /// Distance of nodes, mm.
    pub step_mm: f64,
    /// Nodes along x.
    pub width: usize,
    /// Nodes along y.
    pub height: usize,
    /// Tip heights, mm, rows of constant y; `floor_mm` where the tool meets nothing higher.
    pub tip_z: Vec<f64>,
}

/// Tip map of `tool` over the part and one tool radius around it. `floor_mm` is the lowest the tip
/// may go (the clamp plane).
pub fn tip_map(map: &HeightMap, tool: &ToolShape, step_mm: f64, floor_mm: f64) -> TipMap {
    let (low, columns, rows) = map.extent();
    let size = DVec2::new(columns as f64, rows as f64) * map.step_mm();
    let step = step_mm
        .max(1e-6 * size.max_element())
        .max(f64::MIN_POSITIVE);
    let margin = (tool.radius_mm() / step).ceil();
    let origin = low - DVec2::splat(margin * step);
    let nodes = |extent: f64| (extent / step).ceil() as usize + 2 * margin as usize + 1;
    let (width, height) = (nodes(size.x), nodes(size.y));
    let mut tip_z = vec![floor_mm; width * height];
    tip_z
        .par_chunks_mut(width)
        .enumerate()
        .for_each(|(row, out)| {
            let mut last = None;
            for (column, z) in out.iter_mut().enumerate() {
                let axis = origin + DVec2::new(column as f64, row as f64) * step;
                if let Some(found) = map.tip_after(tool, axis, &mut last) {
                    *z = found.tip_z.max(floor_mm);
                }
            }
        });
    TipMap {
        origin,
        step_mm: step,
        width,
        height,
        tip_z,
    }
}
