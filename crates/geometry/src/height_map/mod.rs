//! The part seen from above in a setup: a grid of cells, each with the triangles over it and the
//! highest they can be there, and a pyramid of maxima on top.
//!
//! The cells only bound heights; every height handed out comes from the triangles themselves. So
//! no wall, rib or slot is lost or widened by the grid, whatever its phase and step; the step only
//! decides speed and memory.

mod facing;
mod nearest;
mod raster;
mod roof;
mod search;
mod thin;

use crate::contact::Contact;
use crate::dilation::Grid;
use crate::mesh::Mesh;
use crate::tool_shape::ToolShape;
use glam::{DMat3, DVec2, DVec3, Vec3Swizzles};
use rayon::prelude::*;
use roof::Roof;
use search::Search;

/// Cells at most: with their pyramid and lists about 50 bytes each on usual parts.
const MAX_CELLS: f64 = 4e6;

/// A part seen along the axis of a setup, Z towards the spindle.
pub struct HeightMap {
    triangles: Vec<[DVec3; 3]>,
    /// While cells are filled: slopes of the triangles in cells, none for upright ones.
    slopes: Vec<Option<DVec2>>,
    /// Pyramid, finest first.
    levels: Vec<Level>,
    origin: DVec2,
    step: f64,
    /// Triangles of finest cell k: `list[start[k]..start[k + 1]]`.
    start: Vec<u32>,
    list: Vec<u32>,
    lowest: f64,
    highest: f64,
}

struct Level {
    width: usize,
    height: usize,
    /// Highest point of the part in each node, attained there.
    highest: Vec<f64>,
    roofs: Vec<Roof>,
}

impl HeightMap {
    /// The part `mesh` turned by `setup_from_part`, on cells of `step_mm` (coarser when the part
    /// would need more than memory allows). `None` when there is nothing to see.
    pub fn new(mesh: &Mesh, setup_from_part: &DMat3, step_mm: f64) -> Option<HeightMap> {
        let all: Vec<[DVec3; 3]> = (0..mesh.triangles().len())
            .into_par_iter()
            .map(|t| mesh.corners(t).map(|p| *setup_from_part * p))
            .collect();
        let first = all.first()?[0];
        let (low, high) = all
            .par_iter()
            .map(|corners| {
                let [a, b, c] = *corners;
                (a.min(b).min(c), a.max(b).max(c))
            })
            .reduce(|| (first, first), |a, b| (a.0.min(b.0), a.1.max(b.1)));
        let size = high - low;
        let mut step = if step_mm > 0.0 { step_mm } else { 1.0 };
        step = step
            .max((size.x * size.y / MAX_CELLS).sqrt())
            .max(size.max_element() / 1e6);
        step = step.max(f64::MIN_POSITIVE);
        let cells = |extent: f64| (extent / step).floor() as usize + 1;
        let (width, height) = (cells(size.x), cells(size.y));
        let mut map = HeightMap {
            triangles: Vec::new(),
            slopes: Vec::new(),
            levels: vec![Level {
                width,
                height,
                highest: Vec::new(),
                roofs: Vec::new(),
            }],
            origin: low.xy(),
            step,
            start: Vec::new(),
            list: Vec::new(),
            lowest: low.z,
            highest: high.z,
        };
        map.triangles = facing::that_may_top(mesh, all, setup_from_part.determinant());
        map.fill();
        map.build_pyramid();
        Some(map)
    }

    /// Step of the cells in use, mm.
    pub fn step_mm(&self) -> f64 {
        self.step
    }

    /// Lowest and highest point of the part in the setup.
    pub fn z_range(&self) -> [f64; 2] {
        [self.lowest, self.highest]
    }

    /// Lowest corner of the grid, and its cells along x and y.
    pub fn extent(&self) -> (DVec2, usize, usize) {
        (self.origin, self.levels[0].width, self.levels[0].height)
    }

    fn cell_of(&self, place: DVec2) -> Option<usize> {
        let local = ((place - self.origin) / self.step).floor();
        let l = &self.levels[0];
        let inside =
            local.cmpge(DVec2::ZERO).all() && local.x < l.width as f64 && local.y < l.height as f64;
        inside.then(|| local.y as usize * l.width + local.x as usize)
    }

    /// Triangles that may be in sight in the cell of a place.
    pub(crate) fn triangles_at(&self, place: DVec2) -> impl Iterator<Item = &[DVec3; 3]> {
        let range = self
            .cell_of(place)
            .map_or(0..0, |k| self.start[k] as usize..self.start[k + 1] as usize);
        self.list[range]
            .iter()
            .map(|&t| &self.triangles[t as usize])
    }

    /// Highest point of the part in the cell of a place; negative infinity beside the part.
    pub(crate) fn cell_top(&self, place: DVec2) -> f64 {
        self.cell_of(place)
            .map_or(f64::NEG_INFINITY, |k| self.levels[0].highest[k])
    }

    /// Levels of the pyramid.
    pub fn level_count(&self) -> usize {
        self.levels.len()
    }

    /// Width of a level's cells, mm.
    pub fn level_step_mm(&self, level: usize) -> f64 {
        self.step * (1u64 << level) as f64
    }

    /// Highest points of the part in the cells of a level, above its lowest one.
    pub fn level_heights(&self, level: usize) -> Grid {
        let l = &self.levels[level.min(self.levels.len() - 1)];
        Grid {
            width: l.width,
            height: l.height,
            z: l.highest.iter().map(|z| (z - self.lowest) as f32).collect(),
        }
    }

    fn build_pyramid(&mut self) {
        while let Some(last) = self.levels.last().filter(|l| l.width > 1 || l.height > 1) {
            let quarter = 0.25 * self.step * (1u64 << (self.levels.len() - 1)) as f64 * 2.0;
            let (width, height) = (last.width.div_ceil(2), last.height.div_ceil(2));
            let mut highest = vec![f64::NEG_INFINITY; width * height];
            let mut roofs = vec![Roof::NOTHING; width * height];
            let fill = |(row, (highest, roofs)): (usize, (&mut [f64], &mut [Roof]))| {
                for column in 0..width {
                    let children = [(0, 0), (0, 1), (1, 0), (1, 1)].map(|(r, c)| {
                        let (r, c) = (2 * row + r, 2 * column + c);
                        (r < last.height && c < last.width).then_some(r * last.width + c)
                    });
                    for child in children.into_iter().flatten() {
                        highest[column] = highest[column].max(last.highest[child]);
                    }
                    roofs[column] = Roof::over(
                        &children.map(|c| c.map_or(Roof::NOTHING, |c| last.roofs[c])),
                        quarter,
                    );
                }
            };
            highest
                .par_chunks_mut(width)
                .zip(roofs.par_chunks_mut(width))
                .enumerate()
                .for_each(fill);
            self.levels.push(Level {
                width,
                height,
                highest,
                roofs,
            });
        }
    }

    /// Lowest tip height with the tool's axis at `axis`, and what it then touches; `None` where
    /// the tool meets nothing.
    pub fn tip(&self, tool: &ToolShape, axis: DVec2) -> Option<Contact> {
        self.tip_after(tool, axis, &mut None)
    }

    /// As [`HeightMap::tip`]. `last` remembers the triangle that held the tool; the next question,
    /// when near, starts from it and passes over nearly everything else.
    pub fn tip_after(
        &self,
        tool: &ToolShape,
        axis: DVec2,
        last: &mut Option<u32>,
    ) -> Option<Contact> {
        let mut search = Search::new(self, tool, axis);
        if let Some(t) = *last {
            search.triangle(t);
        }
        search.run();
        *last = search.held_by;
        search.best
    }

    /// What stops the tip from standing at `tip_z`: some contact higher than that, not
    /// necessarily the highest. `None` when it may stand there.
    pub fn obstacle(&self, tool: &ToolShape, axis: DVec2, tip_z: f64) -> Option<Contact> {
        let mut search = Search::new(self, tool, axis);
        search.above = tip_z;
        search.any = true;
        search.run();
        search.best
    }
}

impl HeightMap {
    fn distance_to_node(&self, level: usize, row: usize, column: usize, axis: DVec2) -> f64 {
        let side = self.step * (1u64 << level) as f64;
        let low = self.origin + DVec2::new(column as f64, row as f64) * side;
        let nearest = axis.clamp(low, low + DVec2::splat(side));
        // A hair less, as triangles may lie a hair over the border of their cell.
        (nearest.distance(axis) - 1e-8 * self.step).max(0.0)
    }
}
