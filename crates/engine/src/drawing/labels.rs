//! Labels in a column with leaders to the heights they speak of.

use super::layout::spread;
use super::scene::{Anchor, Fill, Item, Scene, Stroke};
use super::stack_up::{HEIGHT, TOP};

/// Height of the letters.
pub(super) const TEXT: f64 = 3.0;
/// Least distance of two base lines.
const LABEL_GAP: f64 = 4.4;

/// A label and the height it speaks of.
pub(super) struct Label {
    pub text: String,
    pub y: f64,
    pub from_x: f64,
    pub short: bool,
}

/// Writes the labels of one column.
pub(super) fn place(scene: &mut Scene, labels: &[Label], x: f64, anchor: Anchor) {
    let wanted: Vec<f64> = labels.iter().map(|l| l.y).collect();
    let heights = spread(&wanted, LABEL_GAP, [TOP + 1.0, HEIGHT - 5.0]);
    let side = if anchor == Anchor::End { 1.0 } else { -1.0 };
    for (label, y) in labels.iter().zip(heights) {
        let elbow = [x + 2.5 * side, y];
        scene.items.push(Item::Polyline {
            points: vec![[x + 0.8 * side, y], elbow, [label.from_x, label.y]],
            closed: false,
            stroke: if label.short {
                Stroke::Short
            } else {
                Stroke::Thin
            },
            fill: Fill::None,
        });
        scene.items.push(Item::Text {
            at: [x, y + 0.35 * TEXT],
            text: label.text.clone(),
            size_mm: TEXT,
            anchor,
            bold: label.short,
            short: label.short,
        });
    }
}
