//! The surface a tool leaves when it has been everywhere it may: C(x) = min over o of
//! T(x + o) + profile(o), between bounds that hold at every place of a cell.

use crate::dilation::{Grid, Shape, dilate};
use crate::tip_bounds::TipBounds;
use crate::tool_shape::ToolShape;
use glam::DVec2;

/// Lower and upper bounds of the machined surface, cell by cell.
pub struct MachinedBounds {
    origin: DVec2,
    step_mm: f64,
    /// Negated: erosion is dilation of what is upside down.
    lower: Grid,
    upper: Grid,
    floor_mm: f64,
    slack_mm: f64,
}

impl MachinedBounds {
    /// What `tool` leaves, with its tips bounded by `tips`, never below `floor_mm`.
    pub fn new(tips: &TipBounds, tool: &ToolShape, floor_mm: f64) -> MachinedBounds {
        let step = tips.step_mm();
        let (origin, width, height) = tips.extent();
        let reach = (tool.radius_mm() / step).ceil() as usize + 1;
        let hair = 1e-7 * step;
        // The place the same way off a point as the cells are off each other lies in the cell.
        let sure = Shape::new(reach, |dx, dy| {
            let profile = tool.profile_mm((dx as f64).hypot(dy as f64) * step);
            (profile < f64::INFINITY).then_some(profile as f32)
        });
        let possible = Shape::new(reach, |dx, dy| {
            let near = |d: usize| d.saturating_sub(1) as f64 * step;
            let distance = (near(dx).hypot(near(dy)) - hair).max(0.0);
            (distance <= tool.radius_mm()).then(|| tool.profile_mm(distance) as f32)
        });
        let negated = |side: usize| Grid {
            width,
            height,
            z: (0..width * height)
                .map(|k| {
                    let z = tips.at_cell((k % width) as i64, (k / width) as i64)[side];
                    (floor_mm - z.max(floor_mm)) as f32
                })
                .collect(),
        };
        let lower = dilate(&negated(0), &possible, 0);
        let upper = dilate(&negated(1), &sure, 0);
        let range = lower
            .z
            .iter()
            .chain(&upper.z)
            .fold(0f32, |m, z| if z.is_finite() { m.max(z.abs()) } else { m });
        MachinedBounds {
            origin,
            step_mm: step,
            lower,
            upper,
            floor_mm,
            slack_mm: f64::from(range) * 2f64.powi(-22),
        }
    }

    /// Between which heights the surface stands at a place; the floor outside the grid.
    pub fn at(&self, place: DVec2) -> [f64; 2] {
        let local = ((place - self.origin) / self.step_mm).floor();
        let inside = local.cmpge(DVec2::ZERO).all()
            && local.x < self.lower.width as f64
            && local.y < self.lower.height as f64;
        if !inside {
            return [self.floor_mm; 2];
        }
        let k = local.y as usize * self.lower.width + local.x as usize;
        [
            self.floor_mm - f64::from(self.lower.z[k]) - self.slack_mm,
            self.floor_mm - f64::from(self.upper.z[k]) + self.slack_mm,
        ]
    }

    /// Width of the cells, mm.
    pub fn step_mm(&self) -> f64 {
        self.step_mm
    }

    /// Bounds of the volume between the surface and the floor over the rectangle from `low` to
    /// `high`; their distance is the stated error.
    pub fn volume_mm3(&self, [low, high]: [DVec2; 2]) -> [f64; 2] {
        let mut sum = [0.0; 2];
        let cells = |v: f64, o: f64| ((v - o) / self.step_mm).floor().max(0.0) as usize;
        for row in cells(low.y, self.origin.y)..=cells(high.y, self.origin.y) {
            for column in cells(low.x, self.origin.x)..=cells(high.x, self.origin.x) {
                let corner = self.origin + DVec2::new(column as f64, row as f64) * self.step_mm;
                let share = (high.min(corner + self.step_mm) - low.max(corner)).max(DVec2::ZERO);
                let [l, h] = self.at(corner + 0.5 * self.step_mm);
                let area = share.x * share.y;
                sum[0] += area * (l - self.floor_mm).max(0.0);
                sum[1] += area * (h - self.floor_mm).max(0.0);
            }
        }
        sum
    }
}
