//! The point of the part above a level nearest to a place.

use super::HeightMap;
use glam::{DVec2, DVec3, Vec3Swizzles};

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
