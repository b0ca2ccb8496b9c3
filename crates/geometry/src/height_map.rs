//! The part seen from above in a setup: a grid of cells, each with the triangles over it and the
//! highest they can be there, and a pyramid of maxima on top.
//!
//! The cells only bound heights; every height handed out comes from the triangles themselves. So
//! no wall, rib or slot is lost or widened by the grid, whatever its phase and step; the step only
//! decides speed and memory.

use crate::contact::{Contact, contact, uphill};
use crate::mesh::Mesh;
use crate::tool_shape::ToolShape;
use glam::{DMat3, DVec2, DVec3, Vec3Swizzles};

/// Cells at most: with their pyramid and lists about 50 bytes each on usual parts.
const MAX_CELLS: f64 = 4e6;

/// A part seen along the axis of a setup, Z towards the spindle.
pub struct HeightMap {
    triangles: Vec<[DVec3; 3]>,
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
    highest: Vec<f64>,
}

impl HeightMap {
    /// The part `mesh` turned by `setup_from_part`, on cells of `step_mm` (coarser when the part
    /// would need more than memory allows). `None` when there is nothing to see.
    pub fn new(mesh: &Mesh, setup_from_part: &DMat3, step_mm: f64) -> Option<HeightMap> {
        let triangles: Vec<[DVec3; 3]> = mesh
            .iter_corners()
            .map(|t| t.map(|p| *setup_from_part * p))
            .collect();
        let first = triangles.first()?[0];
        let (low, high) = triangles
            .iter()
            .flatten()
            .fold((first, first), |(low, high), p| (low.min(*p), high.max(*p)));
        let size = high - low;
        let mut step = if step_mm > 0.0 { step_mm } else { 1.0 };
        step = step
            .max((size.x * size.y / MAX_CELLS).sqrt())
            .max(size.max_element() / 1e6);
        step = step.max(f64::MIN_POSITIVE);
        let cells = |extent: f64| (extent / step).floor() as usize + 1;
        let (width, height) = (cells(size.x), cells(size.y));
        let mut map = HeightMap {
            triangles,
            levels: vec![Level {
                width,
                height,
                highest: vec![f64::NEG_INFINITY; width * height],
            }],
            origin: low.xy(),
            step,
            start: vec![0; width * height + 1],
            list: Vec::new(),
            lowest: low.z,
            highest: high.z,
        };
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

    /// Runs `visit(cell, triangle, highest there)` over the cells each triangle may touch.
    fn rasterise(&self, mut visit: impl FnMut(usize, u32, f64)) {
        let (width, height) = (self.levels[0].width, self.levels[0].height);
        for (t, corners) in self.triangles.iter().enumerate() {
            let local = corners.map(|p| (p.xy() - self.origin) / self.step);
            let low = local[0].min(local[1]).min(local[2]);
            let high = local[0].max(local[1]).max(local[2]);
            // A hair of slack: a point on a cell border belongs to both sides.
            let cell = |v: f64, count: usize| (v.max(0.0) as usize).min(count - 1);
            let rows = cell(low.y - 1e-9, height)..=cell(high.y + 1e-9, height);
            let top = corners[0].z.max(corners[1].z).max(corners[2].z);
            let gradient = uphill(corners);
            for row in rows {
                let band = [row as f64 - 1e-9, row as f64 + 1.0 + 1e-9];
                let Some([left, right]) = x_range(&local, band) else {
                    continue;
                };
                for column in cell(left - 1e-9, width)..=cell(right + 1e-9, width) {
                    let mut highest = top;
                    if let Some(gradient) = gradient {
                        let middle = self.origin
                            + DVec2::new(column as f64 + 0.5, row as f64 + 0.5) * self.step;
                        let reach = gradient.abs().element_sum() * 0.5 * self.step * (1.0 + 1e-6);
                        let plane = corners[0].z + gradient.dot(middle - corners[0].xy()) + reach;
                        highest = highest.min(plane + 1e-9 * (1.0 + top.abs()));
                    }
                    visit(row * width + column, t as u32, highest);
                }
            }
        }
    }

    fn fill(&mut self) {
        let mut count = vec![0u32; self.start.len()];
        let mut highest = std::mem::take(&mut self.levels[0].highest);
        self.rasterise(|cell, _, z| {
            count[cell + 1] += 1;
            highest[cell] = highest[cell].max(z);
        });
        self.levels[0].highest = highest;
        for k in 1..count.len() {
            count[k] += count[k - 1];
        }
        let mut next = count.clone();
        let mut list = vec![0; count[count.len() - 1] as usize];
        self.rasterise(|cell, t, _| {
            list[next[cell] as usize] = t;
            next[cell] += 1;
        });
        self.start = count;
        self.list = list;
    }

    fn build_pyramid(&mut self) {
        while let Some(last) = self.levels.last().filter(|l| l.width > 1 || l.height > 1) {
            let (width, height) = (last.width.div_ceil(2), last.height.div_ceil(2));
            let mut highest = vec![f64::NEG_INFINITY; width * height];
            for row in 0..last.height {
                for column in 0..last.width {
                    let up = &mut highest[row / 2 * width + column / 2];
                    *up = up.max(last.highest[row * last.width + column]);
                }
            }
            self.levels.push(Level {
                width,
                height,
                highest,
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
    /// The point of the part above `z` nearest to `axis` seen along the axis, within `radius`.
    pub fn nearest_above(&self, axis: DVec2, radius: f64, z: f64) -> Option<DVec2> {
        let mut nearest = Nearest {
            map: self,
            axis,
            z,
            distance: radius,
            point: None,
        };
        nearest.node(self.levels.len() - 1, 0, 0);
        nearest.point
    }

    fn distance_to_node(&self, level: usize, row: usize, column: usize, axis: DVec2) -> f64 {
        let side = self.step * (1u64 << level) as f64;
        let low = self.origin + DVec2::new(column as f64, row as f64) * side;
        let nearest = axis.clamp(low, low + DVec2::splat(side));
        // A hair less, as triangles may lie a hair over the border of their cell.
        (nearest.distance(axis) - 1e-8 * self.step).max(0.0)
    }
}

struct Nearest<'a> {
    map: &'a HeightMap,
    axis: DVec2,
    z: f64,
    distance: f64,
    point: Option<DVec2>,
}

impl Nearest<'_> {
    fn node(&mut self, level: usize, row: usize, column: usize) {
        let l = &self.map.levels[level];
        if l.highest[row * l.width + column] <= self.z
            || self.map.distance_to_node(level, row, column, self.axis) >= self.distance
        {
            return;
        }
        if level == 0 {
            let cell = row * l.width + column;
            let range = self.map.start[cell] as usize..self.map.start[cell + 1] as usize;
            for &t in &self.map.list[range] {
                self.triangle(&self.map.triangles[t as usize]);
            }
            return;
        }
        let below = &self.map.levels[level - 1];
        let mut children = [(f64::INFINITY, 0, 0); 4];
        for (k, child) in children.iter_mut().enumerate() {
            let (r, c) = (2 * row + k / 2, 2 * column + k % 2);
            if r < below.height && c < below.width {
                *child = (self.map.distance_to_node(level - 1, r, c, self.axis), r, c);
            }
        }
        children.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (distance, r, c) in children {
            if distance < self.distance {
                self.node(level - 1, r, c);
            }
        }
    }

    /// The part of a triangle above `z` is a polygon of at most four corners.
    fn triangle(&mut self, corners: &[DVec3; 3]) {
        let mut outline = [DVec2::ZERO; 4];
        let mut count = 0;
        for k in 0..3 {
            let (a, b) = (corners[k], corners[(k + 1) % 3]);
            if a.z > self.z && count < 4 {
                outline[count] = a.xy();
                count += 1;
            }
            if (a.z > self.z) != (b.z > self.z) && count < 4 {
                outline[count] = (a + (b - a) * ((self.z - a.z) / (b.z - a.z))).xy();
                count += 1;
            }
        }
        let outline = &outline[..count];
        let mut left = true;
        let mut right = true;
        for (k, &a) in outline.iter().enumerate() {
            let b = outline[(k + 1) % count];
            let side = (b - a).perp_dot(self.axis - a);
            left &= side > 0.0;
            right &= side < 0.0;
            let run = b - a;
            let share = if run == DVec2::ZERO {
                0.0
            } else {
                ((self.axis - a).dot(run) / run.length_squared()).clamp(0.0, 1.0)
            };
            let point = a + run * share;
            if point.distance(self.axis) < self.distance {
                self.distance = point.distance(self.axis);
                self.point = Some(point);
            }
        }
        if count > 2 && (left || right) && self.distance > 0.0 {
            self.distance = 0.0;
            self.point = Some(self.axis);
        }
    }
}

/// Columns (in cells) a triangle may touch within a band of rows: of its outline clipped to it.
fn x_range(triangle: &[DVec2; 3], [low, high]: [f64; 2]) -> Option<[f64; 2]> {
    let mut range: Option<[f64; 2]> = None;
    let mut add = |x: f64| {
        range = Some(range.map_or([x, x], |[l, r]| [l.min(x), r.max(x)]));
    };
    for k in 0..3 {
        let (a, b) = (triangle[k], triangle[(k + 1) % 3]);
        if (low..=high).contains(&a.y) {
            add(a.x);
        }
        for y in [low, high] {
            if (a.y < y) != (b.y < y) {
                add(a.x + (b.x - a.x) * ((y - a.y) / (b.y - a.y)).clamp(0.0, 1.0));
            }
        }
    }
    range
}

/// Depth-first search down the pyramid, highest bound first; nodes that cannot beat the best
/// contact so far are passed over.
struct Search<'a> {
    map: &'a HeightMap,
    tool: &'a ToolShape,
    axis: DVec2,
    best: Option<Contact>,
    above: f64,
    /// Stop at the first contact above.
    any: bool,
    held_by: Option<u32>,
    /// Triangles tried lately, by their last digits: one triangle lies over several cells, and
    /// trying it again tells nothing new.
    tried: [u32; 64],
}

impl<'a> Search<'a> {
    fn new(map: &'a HeightMap, tool: &'a ToolShape, axis: DVec2) -> Search<'a> {
        let above = f64::NEG_INFINITY;
        Search {
            map,
            tool,
            axis,
            best: None,
            above,
            any: false,
            held_by: None,
            tried: [u32::MAX; 64],
        }
    }

    /// Starts at the level whose nodes are about as wide as the tool: at most nine meet it.
    fn run(&mut self) {
        let map = self.map;
        let r = self.tool.radius_mm() + 1e-8 * map.step;
        let mut level = 0;
        while level + 1 < map.levels.len() && map.step * (1u64 << level) as f64 <= r {
            level += 1;
        }
        let side = map.step * (1u64 << level) as f64;
        let l = &map.levels[level];
        let range = |low: f64, count: usize| {
            let first = (low - r) / side;
            let last = (low + r) / side;
            let clamp = |v: f64| (v.max(0.0) as usize).min(count - 1);
            if last < -1.0 || first > count as f64 + 1.0 {
                return 0..0;
            }
            clamp(first)..clamp(last) + 1
        };
        let local = self.axis - map.origin;
        for row in range(local.y, l.height) {
            for column in range(local.x, l.width) {
                self.node(level, row, column);
            }
        }
    }

    /// Highest the tip could be held by anything in a node.
    fn bound(&self, level: usize, row: usize, column: usize) -> f64 {
        let l = &self.map.levels[level];
        let highest = l.highest[row * l.width + column];
        if highest <= self.above {
            return f64::NEG_INFINITY;
        }
        let distance = self.map.distance_to_node(level, row, column, self.axis);
        if distance > self.tool.radius_mm() {
            return f64::NEG_INFINITY;
        }
        highest - self.tool.profile_mm(distance)
    }

    fn node(&mut self, level: usize, row: usize, column: usize) {
        if self.bound(level, row, column) <= self.above || (self.any && self.best.is_some()) {
            return;
        }
        if level == 0 {
            return self.cell(row * self.map.levels[0].width + column);
        }
        let below = &self.map.levels[level - 1];
        let mut children = [(f64::NEG_INFINITY, 0, 0); 4];
        for (k, child) in children.iter_mut().enumerate() {
            let (r, c) = (2 * row + k / 2, 2 * column + k % 2);
            if r < below.height && c < below.width {
                *child = (self.bound(level - 1, r, c), r, c);
            }
        }
        children.sort_by(|a, b| b.0.total_cmp(&a.0));
        for (bound, r, c) in children {
            if bound > self.above {
                self.node(level - 1, r, c);
            }
        }
    }

    fn cell(&mut self, cell: usize) {
        let map = self.map;
        for &t in &map.list[map.start[cell] as usize..map.start[cell + 1] as usize] {
            self.triangle(t);
        }
    }

    /// Highest the triangle could hold the tip: the profile, being convex, lies above its tangent
    /// at any place, here next to the middle of the triangle; what is left is linear over the
    /// triangle and largest at a corner. Far tighter than the box of a cell where the tool fits
    /// the surface closely.
    fn linear_bound(&self, corners: &[DVec3; 3]) -> f64 {
        let tool = self.tool;
        if tool.corner_mm() == 0.0 {
            return f64::INFINITY;
        }
        let [a, b, c] = corners.map(|p| p.xy() - self.axis);
        let middle = (a + b + c) / 3.0;
        let distance = middle.length();
        // Short of the rim, where the tangent stands upright.
        let at = distance.min(tool.flat_mm() + 0.98 * tool.corner_mm());
        let out = at - tool.flat_mm();
        if out <= 0.0 {
            return f64::INFINITY;
        }
        let rise = (tool.corner_mm() * tool.corner_mm() - out * out).sqrt();
        let direction = middle / distance;
        let tangent = |p: DVec2| tool.corner_mm() - rise + out / rise * (direction.dot(p) - at);
        let bound = (corners[0].z - tangent(a))
            .max(corners[1].z - tangent(b))
            .max(corners[2].z - tangent(c));
        bound + 1e-9 * (1.0 + bound.abs())
    }

    fn triangle(&mut self, t: u32) {
        let tried = &mut self.tried[t as usize % 64];
        if std::mem::replace(tried, t) == t {
            return;
        }
        let corners = &self.map.triangles[t as usize];
        if corners[0].z.max(corners[1].z).max(corners[2].z) <= self.above
            || self.linear_bound(corners) <= self.above
        {
            return;
        }
        if let Some(found) = contact(self.tool, self.axis, corners)
            && found.tip_z > self.above
        {
            self.above = found.tip_z;
            self.best = Some(found);
            self.held_by = Some(t);
        }
    }
}
