//! Symbols of the single-line diagram, centred on a vertical line.

use super::scene::{Anchor, Fill, Item, Scene, Stroke};

/// One symbol.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Symbol {
    /// A supply of alternating current.
    Source,
    /// So many wires in the run.
    Wires(u8),
    /// Breaker as an arc over a gap (North America).
    BreakerArc,
    /// Breaker as a blade under a cross (IEC).
    BreakerCross,
    /// Switch as a blade between two rings (North America).
    Switch,
    /// Isolator: a blade under a bar (IEC).
    Isolator,
    /// One phase in, three out.
    Converter,
    /// Transformer as two windings (North America).
    Windings,
    /// Transformer as two circles (IEC).
    Circles,
    /// The machine.
    Machine,
}

impl Symbol {
    /// From the middle to where the line begins again.
    pub(super) fn half_height(self) -> f64 {
        match self {
            Self::Source => 4.5,
            Self::Wires(_) => 0.0,
            Self::BreakerArc | Self::BreakerCross | Self::Switch | Self::Isolator => 4.5,
            Self::Converter | Self::Machine => 6.5,
            Self::Windings => 5.0,
            Self::Circles => 6.0,
        }
    }
}

/// Draws a symbol.
pub(super) fn draw(scene: &mut Scene, symbol: Symbol, [x, y]: [f64; 2]) {
    let line = |scene: &mut Scene, a: [f64; 2], b: [f64; 2]| {
        scene.line([x + a[0], y + a[1]], [x + b[0], y + b[1]], Stroke::Outline);
    };
    match symbol {
        Symbol::Source => {
            circle(scene, [x, y], 4.5, Fill::None);
            let wave: Vec<[f64; 2]> = (0..=24)
                .map(|i| {
                    let t = f64::from(i) / 24.0;
                    [
                        x - 2.6 + 5.2 * t,
                        y - 1.6 * (t * std::f64::consts::TAU).sin(),
                    ]
                })
                .collect();
            open(scene, wave);
        }
        Symbol::Wires(count) => {
            // One stroke across for each live wire; the line itself runs through.
            for wire in 0..count {
                let dy = 1.6 * (f64::from(wire) - 0.5 * (f64::from(count) - 1.0));
                line(scene, [-2.2, dy + 1.2], [2.2, dy - 1.2]);
            }
        }
        Symbol::BreakerArc => {
            let arc: Vec<[f64; 2]> = (0..=20)
                .map(|i| {
                    let angle = (-0.5 + f64::from(i) / 20.0) * std::f64::consts::PI;
                    [x + 2.6 * angle.cos(), y + 4.5 * angle.sin()]
                })
                .collect();
            open(scene, arc);
        }
        Symbol::BreakerCross => {
            blade(scene, [x, y]);
            line(scene, [-1.2, -5.7], [1.2, -3.3]);
            line(scene, [-1.2, -3.3], [1.2, -5.7]);
        }
        Symbol::Switch => {
            for dy in [-3.7, 3.7] {
                circle(scene, [x, y + dy], 0.8, Fill::None);
            }
            line(scene, [0.0, 2.9], [4.2, -3.0]);
        }
        Symbol::Isolator => {
            blade(scene, [x, y]);
            line(scene, [-1.8, -4.5], [1.8, -4.5]);
        }
        Symbol::Converter => {
            scene.rect(
                [x - 6.5, y - 6.5],
                [x + 6.5, y + 6.5],
                Stroke::Outline,
                Fill::Machine,
            );
            line(scene, [-6.5, 6.5], [6.5, -6.5]);
            label(scene, [x - 2.9, y - 2.3], "1~");
            label(scene, [x + 2.9, y + 4.9], "3~");
        }
        Symbol::Windings => {
            for (dy, side) in [(-2.0, 1.0), (2.0, -1.0)] {
                winding(scene, [x, y + dy], side);
            }
            line(scene, [0.0, -5.0], [0.0, -3.5]);
            line(scene, [0.0, 3.5], [0.0, 5.0]);
            line(scene, [-5.0, -0.35], [5.0, -0.35]);
            line(scene, [-5.0, 0.35], [5.0, 0.35]);
        }
        Symbol::Circles => {
            circle(scene, [x, y - 2.2], 3.8, Fill::None);
            circle(scene, [x, y + 2.2], 3.8, Fill::None);
        }
        Symbol::Machine => {
            scene.rect(
                [x - 9.0, y - 6.5],
                [x + 9.0, y + 6.5],
                Stroke::Outline,
                Fill::Machine,
            );
            circle(scene, [x, y], 4.5, Fill::None);
            label(scene, [x, y + 1.05], "M");
        }
    }
}

/// An open contact: the blade hangs from below and stands off to the left.
fn blade(scene: &mut Scene, [x, y]: [f64; 2]) {
    scene.line([x, y + 4.5], [x - 3.6, y - 3.6], Stroke::Outline);
}

/// Four humps in a row, opening to the line's end they belong to.
fn winding(scene: &mut Scene, [x, y]: [f64; 2], side: f64) {
    let radius = 1.1;
    let mut points = Vec::new();
    for hump in 0..4 {
        let centre = x + radius * (2.0 * f64::from(hump) - 3.0);
        for step in 0..=10 {
            let angle = std::f64::consts::PI * (1.0 - f64::from(step) / 10.0);
            points.push([
                centre + radius * angle.cos(),
                y + side * (1.4 * angle.sin() - 1.4),
            ]);
        }
    }
    open(scene, points);
}

fn circle(scene: &mut Scene, [x, y]: [f64; 2], radius: f64, fill: Fill) {
    let points: Vec<[f64; 2]> = (0..36)
        .map(|i| {
            let (sin, cos) = (f64::from(i) / 36.0 * std::f64::consts::TAU).sin_cos();
            [x + radius * cos, y + radius * sin]
        })
        .collect();
    scene.outline(&points, Stroke::Outline, fill);
}

fn open(scene: &mut Scene, points: Vec<[f64; 2]>) {
    scene.items.push(Item::Polyline {
        points,
        closed: false,
        stroke: Stroke::Outline,
        fill: Fill::None,
    });
}

fn label(scene: &mut Scene, at: [f64; 2], text: &str) {
    scene.text(at, text, 3.0, Anchor::Middle);
}
