//! A plane over everything the part has in a node. On slanted and gently curved faces it lies far
//! closer to the part than the highest point does, so that a search passes over whole faces the
//! tool only touches.

use super::raster::HAIR;
use crate::tool_shape::ToolShape;
use glam::{DVec2, DVec3, Vec3Swizzles};

/// Steeper triangles have no say in the plane's slope; it then only has to lie above their top.
const STEEPEST: f64 = 20.0;

/// Heights are kept in single precision, rounded up, to halve the memory: some micrometres at
/// worst on a part of a metre, and only towards more searching.
#[derive(Clone, Copy)]
pub(super) struct Roof {
    slope: [f32; 2],
    /// Height over the middle of the node.
    middle_z: f32,
}

impl Roof {
    pub(super) const NOTHING: Roof = Roof {
        slope: [0.0; 2],
        middle_z: f32::NEG_INFINITY,
    };

    fn new(slope: DVec2) -> (Roof, DVec2) {
        let slope = [slope.x as f32, slope.y as f32];
        let roof = Roof {
            slope,
            ..Roof::NOTHING
        };
        (roof, roof.slope())
    }

    fn slope(&self) -> DVec2 {
        DVec2::new(f64::from(self.slope[0]), f64::from(self.slope[1]))
    }

    fn raise(&mut self, z: f64) {
        let up = (z as f32).next_up().next_up();
        if up > self.middle_z {
            self.middle_z = up;
        }
    }

    /// Over what `triangles` (a corner, and the slope unless upright) have in the cell of half side
    /// `half` around `middle`, none of it above `top`.
    pub(super) fn of_triangles(
        triangles: impl Iterator<Item = (DVec3, Option<DVec2>)> + Clone,
        middle: DVec2,
        half: f64,
        top: f64,
    ) -> Roof {
        let half = half * (1.0 + 2.0 * HAIR);
        let gentle = |slope: Option<DVec2>| slope.filter(|g| g.abs().element_sum() < STEEPEST);
        let (sum, count) = triangles
            .clone()
            .filter_map(|(_, slope)| gentle(slope))
            .fold((DVec2::ZERO, 0.0), |(sum, n), g| (sum + g, n + 1.0));
        if count == 0.0 {
            let mut roof = Roof::NOTHING;
            if top > f64::NEG_INFINITY {
                roof.raise(top);
            }
            return roof;
        }
        let (mut roof, slope) = Roof::new(sum / count);
        let flat = top + slope.abs().element_sum() * half;
        for (corner, own_slope) in triangles {
            let own = gentle(own_slope).map_or(f64::INFINITY, |g| {
                let z = corner.z + g.dot(middle - corner.xy());
                z + (g - slope).abs().element_sum() * half
            });
            roof.raise(own.min(flat));
        }
        roof
    }

    /// Over four nodes in a square, in the order of rows, whose middles lie `quarter` from the
    /// common middle along x and y.
    pub(super) fn over(children: &[Roof; 4], quarter: f64) -> Roof {
        let full = |r: &&Roof| r.middle_z > f32::NEG_INFINITY;
        let (sum, count) = children
            .iter()
            .filter(full)
            .fold((DVec2::ZERO, 0.0), |(sum, n), r| (sum + r.slope(), n + 1.0));
        if count == 0.0 {
            return Roof::NOTHING;
        }
        let (mut roof, slope) = Roof::new(sum / count);
        let half = quarter * (1.0 + 2.0 * HAIR);
        for (k, child) in children.iter().enumerate() {
            if child.middle_z > f32::NEG_INFINITY {
                let sign = |bit: usize| if k & bit == 0 { -1.0 } else { 1.0 };
                let off = DVec2::new(sign(1), sign(2)) * quarter;
                let turn = (child.slope() - slope).abs().element_sum() * half;
                roof.raise(f64::from(child.middle_z) - slope.dot(off) + turn);
            }
        }
        roof
    }

    /// Highest the plane could hold the tip with the node's middle at `off` from the axis.
    pub(super) fn tip_bound(&self, tool: &ToolShape, off: DVec2, half: f64) -> f64 {
        let half = half * (1.0 + 2.0 * HAIR);
        let g = self.slope();
        let (low, high) = (off - half, off + half);
        let steep = g.length();
        // Where a whole plane would touch, moved into the node.
        let touch = if steep > 0.0 {
            g * (tool.distance_at_slope_mm(steep) / steep)
        } else {
            DVec2::ZERO
        };
        let touch = touch.clamp(low, high);
        let distance = touch.length();
        let at_axis = f64::from(self.middle_z) - g.dot(off);
        let bound = if tool.corner_mm() == 0.0 {
            flat_bound(tool.radius_mm(), g, touch, [low, high])
        } else {
            // The profile is convex, so it lies above its tangent at any place, here `at` from the
            // axis towards `touch` and short of the rim, where the tangent stands upright.
            let corner = tool.corner_mm();
            let at = distance.min(tool.flat_mm() + 0.98 * corner);
            let out = at - tool.flat_mm();
            let (height, tangent) = if out <= 0.0 {
                (0.0, DVec2::ZERO)
            } else {
                let rise = (corner * corner - out * out).sqrt();
                (corner - rise, touch * (out / rise / distance))
            };
            let left = g - tangent;
            (left * low).max(left * high).element_sum() + tangent.length() * at - height
        };
        at_axis + bound + 1e-9 * (1.0 + at_axis.abs() + bound.abs())
    }
}

/// Largest `g . p` over points p of a box that lie within `radius` of the axis, from above: the
/// disc is replaced by its tangent half plane towards `touch`, and of the prices for leaving it
/// the best of the three that can be best is taken.
fn flat_bound(radius: f64, g: DVec2, touch: DVec2, [low, high]: [DVec2; 2]) -> f64 {
    let toward = touch.normalize_or_zero();
    let with = |price: f64| {
        let left = g - toward * price;
        price * radius + (left * low).max(left * high).element_sum()
    };
    let mut best = with(0.0);
    for axis in 0..2 {
        if toward[axis] != 0.0 {
            let price = g[axis] / toward[axis];
            if price > 0.0 {
                best = best.min(with(price));
            }
        }
    }
    best
}
