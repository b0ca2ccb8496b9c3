//! The search for what holds or stops a tool at one place.

use super::HeightMap;
use crate::contact::{Contact, contact};
use crate::tool_shape::ToolShape;
use glam::{DVec2, DVec3, Vec3Swizzles};

/// Depth-first search down the pyramid, highest bound first; nodes that cannot beat the best
/// contact so far are passed over.
pub(super) struct Search<'a> {
    map: &'a HeightMap,
    tool: &'a ToolShape,
    axis: DVec2,
    pub(super) best: Option<Contact>,
    pub(super) above: f64,
    /// Stop at the first contact above.
    pub(super) any: bool,
    pub(super) held_by: Option<u32>,
    /// Triangles tried lately, by their last digits: one triangle lies over several cells, and
    /// trying it again tells nothing new.
    tried: [u32; 64],
}

impl<'a> Search<'a> {
    pub(super) fn new(map: &'a HeightMap, tool: &'a ToolShape, axis: DVec2) -> Search<'a> {
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
    pub(super) fn run(&mut self) {
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
        let mut open = [(f64::NEG_INFINITY, 0, 0); 16];
        let mut count = 0;
        for row in range(local.y, l.height) {
            for column in range(local.x, l.width) {
                if count == open.len() {
                    // Only where the grid ends above a tool much wider than all of it.
                    self.nodes(level, &mut open);
                    open.fill((f64::NEG_INFINITY, 0, 0));
                    count = 0;
                }
                open[count] = (self.bound(level, row, column), row, column);
                count += 1;
            }
        }
        self.nodes(level, &mut open[..count]);
    }

    /// Goes into nodes of a level, given with their bounds, highest first.
    fn nodes(&mut self, level: usize, open: &mut [(f64, usize, usize)]) {
        open.sort_unstable_by(|a, b| b.0.total_cmp(&a.0));
        for &mut (bound, row, column) in open {
            if bound <= self.above || (self.any && self.best.is_some()) {
                return;
            }
            self.node(level, row, column);
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
        let level_bound = highest - self.tool.profile_mm(distance);
        if level_bound <= self.above {
            return level_bound;
        }
        let half = 0.5 * self.map.step * (1u64 << level) as f64;
        let middle = DVec2::new(column as f64 + 0.5, row as f64 + 0.5) * (2.0 * half);
        let off = self.map.origin + middle - self.axis;
        level_bound.min(l.roofs[row * l.width + column].tip_bound(self.tool, off, half))
    }

    fn node(&mut self, level: usize, row: usize, column: usize) {
        if level == 0 {
            return self.cell(row * self.map.levels[0].width + column);
        }
        let below = &self.map.levels[level - 1];
        let mut children = [(f64::NEG_INFINITY, 0, 0); 4];
        let mut count = 0;
        for k in 0..4 {
            let (r, c) = (2 * row + k / 2, 2 * column + k % 2);
            if r < below.height && c < below.width {
                let bound = self.bound(level - 1, r, c);
                if bound > self.above {
                    children[count] = (bound, r, c);
                    count += 1;
                }
            }
        }
        self.nodes(level - 1, &mut children[..count]);
    }

    /// Whether the box around the triangle, seen along the axis, lies beyond the tool.
    fn beside(&self, [a, b, c]: &[DVec3; 3]) -> bool {
        let (a, b, c) = (a.xy(), b.xy(), c.xy());
        let nearest = self.axis.clamp(a.min(b).min(c), a.max(b).max(c));
        let r = self.tool.radius_mm();
        nearest.distance_squared(self.axis) > r * r * (1.0 + 1e-12)
    }

    fn cell(&mut self, cell: usize) {
        let map = self.map;
        for &t in &map.list[map.start[cell] as usize..map.start[cell + 1] as usize] {
            self.triangle(t);
            if self.any && self.best.is_some() {
                return;
            }
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

    pub(super) fn triangle(&mut self, t: u32) {
        let tried = &mut self.tried[t as usize % 64];
        if std::mem::replace(tried, t) == t {
            return;
        }
        let corners = &self.map.triangles[t as usize];
        if corners[0].z.max(corners[1].z).max(corners[2].z) <= self.above
            || self.beside(corners)
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
