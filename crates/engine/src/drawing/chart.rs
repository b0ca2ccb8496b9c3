//! Panels over one logarithmic speed axis, and numbers that find room beside their points.

use super::scene::{Anchor, Fill, Item, Scene, Stroke, TextBox};
use super::torque_power::Curve;
use crate::cutting::Spindle;
use units::Rpm;

const TICK: f64 = 2.6;
const NUMBER: f64 = 2.8;

/// A panel: where it stands on the sheet, and the value at its upper edge.
pub(super) struct Panel {
    top_mm: f64,
    bottom_mm: f64,
    most: f64,
}

impl Panel {
    pub fn new([top_mm, bottom_mm]: [f64; 2], most: f64) -> Self {
        let most = if most.is_finite() && most > 0.0 {
            most
        } else {
            1.0
        };
        Self {
            top_mm,
            bottom_mm,
            most,
        }
    }

    fn y(&self, value: f64) -> f64 {
        let share = (value / self.most).clamp(0.0, 1.0);
        self.bottom_mm - share * (self.bottom_mm - self.top_mm)
    }

    /// True for a value above the panel's upper edge.
    pub fn is_above(&self, value: f64) -> bool {
        value > self.most
    }
}

/// The speed axis, and the places taken.
pub(super) struct Chart {
    left: f64,
    right: f64,
    speeds: [f64; 2],
    taken: Vec<TextBox>,
}

impl Chart {
    pub fn new([left, right]: [f64; 2], [low, high]: [f64; 2]) -> Self {
        let sound = low.is_finite() && high.is_finite() && low > 0.0 && high > low;
        Self {
            left,
            right,
            speeds: if sound { [low, high] } else { [1.0, 10.0] },
            taken: Vec::new(),
        }
    }

    fn x(&self, rpm: f64) -> f64 {
        let [low, high] = self.speeds;
        let share = (rpm.max(low) / low).ln() / (high / low).ln();
        self.left + share.clamp(0.0, 1.0) * (self.right - self.left)
    }

    /// Where a value at a speed stands.
    pub fn at(&self, panel: &Panel, speed: Rpm, value: f64) -> [f64; 2] {
        [self.x(speed.to_rpm()), panel.y(value)]
    }

    /// Axes, grid and the panel's name.
    pub fn frame(&mut self, scene: &mut Scene, panel: &Panel, name: &str) {
        let (left, right) = (self.left, self.right);
        for value in ticks(panel.most) {
            let y = panel.y(value);
            scene.line([left, y], [right, y], Stroke::Thin);
            scene.text(
                [left - 1.5, y + 0.35 * TICK],
                plain(value),
                TICK,
                Anchor::End,
            );
        }
        for rpm in self.speed_ticks() {
            let x = self.x(rpm);
            scene.line([x, panel.top_mm], [x, panel.bottom_mm], Stroke::Thin);
        }
        scene.items.push(Item::Polyline {
            points: vec![
                [left, panel.top_mm],
                [left, panel.bottom_mm],
                [right, panel.bottom_mm],
            ],
            closed: false,
            stroke: Stroke::Outline,
            fill: Fill::None,
        });
        scene.text([6.0, panel.top_mm - 6.8], name, 3.0, Anchor::Start);
    }

    /// Speeds of the axis, below it.
    pub fn speed_axis(&self, scene: &mut Scene, bottom_mm: f64, name: &str) {
        let mut last = f64::MIN;
        for rpm in self.speed_ticks() {
            let x = self.x(rpm);
            if x - last > 11.0 {
                scene.text([x, bottom_mm + 4.2], plain(rpm), TICK, Anchor::Middle);
                last = x;
            }
        }
        let middle = 0.5 * (self.left + self.right);
        scene.text([middle, bottom_mm + 9.5], name, 3.0, Anchor::Middle);
    }

    fn speed_ticks(&self) -> Vec<f64> {
        let [low, high] = self.speeds;
        let first = low.log10().floor() as i32;
        (first..=high.log10().ceil() as i32)
            .flat_map(|power| [1.0, 2.0, 5.0].map(|n| n * 10.0f64.powi(power)))
            .filter(|rpm| (low..=high).contains(rpm))
            .collect()
    }

    /// Speeds at which a curve is drawn: evenly on the axis, and at its own corners.
    fn samples(&self, spindles: &[&Spindle]) -> Vec<f64> {
        let [low, high] = self.speeds;
        let mut all: Vec<f64> = (0..=160)
            .map(|i| low * (high / low).powf(f64::from(i) / 160.0))
            .collect();
        for range in spindles.iter().flat_map(|s| s.ranges()) {
            for corner in [range.slowest, range.base_speed(), range.fastest] {
                // Just inside and just outside, so that a gear's end is drawn upright.
                all.extend([0.9999, 1.0, 1.0001].map(|k| k * corner.to_rpm()));
            }
        }
        all.retain(|rpm| rpm.is_finite() && (low..=high).contains(rpm));
        all.sort_by(f64::total_cmp);
        all
    }

    /// A curve; broken where the spindle has no gear.
    pub fn line(
        &self,
        scene: &mut Scene,
        panel: &Panel,
        spindle: &Spindle,
        curve: Curve<'_>,
        stroke: Stroke,
    ) {
        let mut points: Vec<[f64; 2]> = Vec::new();
        let mut flush = |points: &mut Vec<[f64; 2]>| {
            if points.len() > 1 {
                scene.items.push(Item::Polyline {
                    points: std::mem::take(points),
                    closed: false,
                    stroke,
                    fill: Fill::None,
                });
            }
            points.clear();
        };
        for rpm in self.samples(&[spindle]) {
            let value = curve(spindle, Rpm::rpm(rpm));
            if value > 0.0 {
                points.push(self.at(panel, Rpm::rpm(rpm), value));
            } else {
                flush(&mut points);
            }
        }
        flush(&mut points);
    }

    /// The area between two curves.
    pub fn band(&self, scene: &mut Scene, panel: &Panel, ends: [&Spindle; 2], curve: Curve<'_>) {
        let samples: Vec<Rpm> = self.samples(&ends).into_iter().map(Rpm::rpm).collect();
        // Between gears there is neither curve nor area.
        for run in samples.split(|n| curve(ends[1], *n) <= 0.0) {
            let edge = |s: &Spindle| -> Vec<[f64; 2]> {
                run.iter()
                    .map(|n| self.at(panel, *n, curve(s, *n)))
                    .collect()
            };
            let mut outline = edge(ends[0]);
            outline.extend(edge(ends[1]).into_iter().rev());
            if outline.len() > 3 {
                scene.outline(&outline, Stroke::Thin, Fill::Spare);
            }
        }
    }

    /// A number beside a point: the nearest place where it covers no other, with a leader when far.
    pub fn number(&mut self, scene: &mut Scene, [x, y]: [f64; 2], text: &str, short: bool) {
        const DIRECTIONS: [[f64; 2]; 8] = [
            [1.0, -0.6],
            [-1.0, -0.6],
            [1.0, 0.9],
            [-1.0, 0.9],
            [0.0, -1.0],
            [0.0, 1.3],
            [1.0, 0.1],
            [-1.0, 0.1],
        ];
        let width = 0.62 * NUMBER * text.chars().count() as f64;
        let marker = TextBox {
            min: [x - 1.2, y - 1.2],
            max: [x + 1.2, y + 1.2],
        };
        self.taken.push(marker);
        let places = [2.6, 4.6, 6.8, 9.4, 12.0, 15.0, 18.0]
            .into_iter()
            .flat_map(|r| DIRECTIONS.map(|[dx, dy]| (r, [x + r * dx, y + r * dy])));
        let inside = |[cx, cy]: [f64; 2]| {
            cx - width > self.left && cx + width < self.right + 4.0 && cy > 24.0 && cy < 134.0
        };
        let room = |[cx, cy]: [f64; 2]| TextBox {
            min: [cx - 0.5 * width - 0.3, cy - 0.5 * NUMBER - 0.3],
            max: [cx + 0.5 * width + 0.3, cy + 0.5 * NUMBER + 0.3],
        };
        let free = |at: [f64; 2]| !self.taken.iter().any(|t| t.overlaps(&room(at)));
        let Some((r, at)) = places.into_iter().find(|(_, at)| inside(*at) && free(*at)) else {
            return;
        };
        self.taken.push(room(at));
        if r > 4.0 {
            scene.line([x, y], at, Stroke::Thin);
        }
        scene.items.push(Item::Text {
            at: [at[0], at[1] + 0.35 * NUMBER],
            text: text.to_owned(),
            size_mm: NUMBER,
            anchor: Anchor::Middle,
            bold: true,
            short,
        });
    }
}

/// About five round values below the most.
fn ticks(most: f64) -> Vec<f64> {
    let raw = most / 5.0;
    let power = 10.0f64.powf(raw.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .map(|n| n * power)
        .into_iter()
        .find(|s| *s >= raw)
        .unwrap_or(raw);
    (0..12)
        .map(|i| step * f64::from(i))
        .take_while(|v| *v <= most)
        .collect()
}

fn plain(value: f64) -> String {
    units::number_text(value, units::Rounding::Significant(3))
}
