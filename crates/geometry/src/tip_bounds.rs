//! Between which heights the tip of a tool comes to stand, for all places at once.
//!
//! Cells of the height map hold the highest point the part has in them. A cell the tool covers
//! wherever in its own cell the axis stands holds the tip at least so high; one it touches nowhere
//! in it cannot hold it at all. So each cell of the axis gets a lower and an upper bound that are
//! true for every place in it, whatever the phase of the grid.

use crate::dilation::{Grid, Shape, dilate};
use crate::height_map::HeightMap;
use crate::tool_shape::ToolShape;
use glam::DVec2;

/// Cells along the radius of a tool. A flat tool costs a cell its rows, one with a rounded corner
/// also the cells under the corner, hence fewer. Doubling both made maps of usual tools four to
/// six times as dear and settled a few more samples in a hundred.
const CELLS_ALONG_RADIUS: [f64; 2] = [16.0, 8.0];

/// Lower and upper bounds of the tip, cell by cell.
pub struct TipBounds {
    origin: DVec2,
    step_mm: f64,
    lower: Grid,
    upper: Grid,
    base_z: f64,
    slack_mm: f64,
}

impl TipBounds {
    /// Bounds for `tool` over `map`, on cells of the map or, for large tools, on such twice, four
    /// times, ... as wide.
    pub fn new(map: &HeightMap, tool: &ToolShape) -> TipBounds {
        let wanted = CELLS_ALONG_RADIUS[usize::from(tool.corner_mm() > 0.0)];
        let level = (0..map.level_count())
            .find(|&l| tool.radius_mm() <= wanted * map.level_step_mm(l))
            .unwrap_or(map.level_count() - 1);
        TipBounds::on_level(map, tool, level)
    }

    /// Bounds on cells of `level` of the map's pyramid, each 2^level cells of the map wide.
    pub fn on_level(map: &HeightMap, tool: &ToolShape, level: usize) -> TipBounds {
        let level = level.min(map.level_count() - 1);
        let step = map.level_step_mm(level);
        let heights = map.level_heights(level);
        // Triangles may lie a hair over the border of their cell.
        let hair = 1e-7 * step;
        let near = |d: usize| d.saturating_sub(1) as f64 * step;
        let far = |d: usize| (d + 1) as f64 * step;
        let reach = (tool.radius_mm() / step).ceil() as usize + 1;
        let touched = Shape::new(reach, |dx, dy| {
            let distance = (near(dx).hypot(near(dy)) - hair).max(0.0);
            (distance <= tool.radius_mm()).then(|| (tool.profile_mm(distance) as f32).next_down())
        });
        let covered = Shape::new(reach, |dx, dy| {
            let distance = far(dx).hypot(far(dy)) + hair;
            let profile = tool.profile_mm(distance);
            (profile < f64::INFINITY).then(|| {
                if profile > 0.0 {
                    (profile as f32).next_up()
                } else {
                    0.0
                }
            })
        });
        let [low, high] = map.z_range();
        TipBounds {
            origin: map.extent().0 - DVec2::splat(reach as f64 * step),
            step_mm: step,
            lower: dilate(&heights, &covered, reach),
            upper: dilate(&heights, &touched, reach),
            base_z: low,
            // Two roundings to single precision.
            slack_mm: (high - low + tool.corner_mm()) * 2f64.powi(-22) + f64::MIN_POSITIVE,
        }
    }

    /// Width of the cells, mm.
    pub fn step_mm(&self) -> f64 {
        self.step_mm
    }

    /// Between which heights the tip stands on the part with its axis at `axis`; both are negative
    /// infinity where it meets nothing.
    pub fn at(&self, axis: DVec2) -> [f64; 2] {
        let (column, row) = self.cell(axis);
        self.at_cell(column, row)
    }

    /// The cell of a place, which may lie outside the grid.
    pub(crate) fn cell(&self, axis: DVec2) -> (i64, i64) {
        let local = ((axis - self.origin) / self.step_mm).floor();
        (local.x as i64, local.y as i64)
    }

    pub(crate) fn at_cell(&self, column: i64, row: i64) -> [f64; 2] {
        let (width, height) = (self.lower.width as i64, self.lower.height as i64);
        if column < 0 || row < 0 || column >= width || row >= height {
            return [f64::NEG_INFINITY; 2];
        }
        let k = (row * width + column) as usize;
        [
            self.base_z + f64::from(self.lower.z[k]) - self.slack_mm,
            self.base_z + f64::from(self.upper.z[k]) + self.slack_mm,
        ]
    }

    /// Lowest corner of the grid, cells along x and y.
    pub fn extent(&self) -> (DVec2, usize, usize) {
        (self.origin, self.lower.width, self.lower.height)
    }
}
