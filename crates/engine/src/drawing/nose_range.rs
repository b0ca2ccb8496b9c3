//! The heights the nose must reach beside those it can, with what is to spare or short.

use super::labels::{Label, TEXT, place};
use super::scene::{Anchor, Fill, Item, Scene, Stroke};
use super::stack_up::{PICTURE, Scale, StackUpDrawing};
use super::texts;
use crate::fit::StackUp;
use units::{LENGTH_SLACK, Length};

/// Columns, left to right.
const NEED_X: f64 = 112.0;
const MARGIN_X: f64 = 120.0;
const RANGE: [f64; 2] = [126.0, 132.0];
const RIGHT_LABELS: f64 = 142.0;

pub(super) fn needs_and_range(scene: &mut Scene, drawing: &StackUpDrawing<'_>, scale: &Scale) {
    let stack = drawing.stack;
    let text = |l: Length| drawing.length(l);
    let (need_top, need_bottom) = (scale.y(stack.nose_high_need), scale.y(stack.nose_low_need));
    let edge = PICTURE[1] - 12.0;
    scene.line([edge, need_top], [NEED_X + 14.0, need_top], Stroke::Thin);
    scene.line(
        [edge, need_bottom],
        [NEED_X + 14.0, need_bottom],
        Stroke::Dashed,
    );
    scene.vertical_dimension(NEED_X - 2.0, NEED_X, [need_top, need_bottom], Stroke::Thin);
    let mut labels = vec![
        label(
            texts::need_top(&text(stack.nose_high_need)),
            need_top,
            NEED_X + 14.0,
        ),
        label(
            texts::need_bottom(&text(stack.nose_low_need)),
            need_bottom,
            NEED_X + 14.0,
        ),
    ];
    let [range_top, range_bottom] = range(scene, stack, scale);
    let right = RANGE[1];
    match stack.nose_high {
        Some(high) => {
            labels.push(label(texts::have_top(&text(high)), scale.y(high), right));
            let spare = high - stack.nose_high_need;
            margin(
                scene,
                &mut labels,
                [need_top, scale.y(high)],
                spare,
                drawing,
                texts::short,
            );
        }
        None => labels.push(label(texts::unknown_top(), range_top - 0.01, right)),
    }
    match stack.nose_low {
        Some(low) => {
            labels.push(label(texts::have_bottom(&text(low)), scale.y(low), right));
            let spare = stack.nose_low_need - low;
            margin(
                scene,
                &mut labels,
                [need_bottom, scale.y(low)],
                spare,
                drawing,
                texts::too_high,
            );
        }
        None => labels.push(label(texts::unknown_bottom(), range_bottom + 0.01, right)),
    }
    scene.text([NEED_X, 22.0], texts::NEEDED, TEXT, Anchor::Middle);
    scene.text(
        [0.5 * (RANGE[0] + RANGE[1]), 22.0],
        texts::MACHINE,
        TEXT,
        Anchor::Middle,
    );
    place(scene, &labels, RIGHT_LABELS, Anchor::Start);
}

fn label(text: String, y: f64, from_x: f64) -> Label {
    Label {
        text,
        y,
        from_x,
        short: false,
    }
}

/// The nose's range as a bar, with its ends on paper; with an end nobody stated it is dashed, with
/// a question mark there.
fn range(scene: &mut Scene, stack: &StackUp, scale: &Scale) -> [f64; 2] {
    let [left, right] = RANGE;
    if let Some((low, high)) = stack.nose_low.zip(stack.nose_high) {
        let ends = [scale.y(high), scale.y(low)];
        scene.rect(
            [left, ends[0]],
            [right, ends[1]],
            Stroke::Outline,
            Fill::Machine,
        );
        return ends;
    }
    // An unknown end is drawn where it would do, or level with the known one when that is beyond.
    let low = stack.nose_low.unwrap_or(stack.nose_low_need);
    let high = stack.nose_high.unwrap_or(stack.nose_high_need);
    let (top, bottom) = (scale.y(high.max(low)), scale.y(low.min(high)));
    scene.rect([left, top], [right, bottom], Stroke::Dashed, Fill::None);
    let middle = 0.5 * (left + right);
    for (stated, y) in [(stack.nose_high, top + 6.0), (stack.nose_low, bottom - 2.5)] {
        if stated.is_none() {
            scene.items.push(Item::Text {
                at: [middle, y],
                text: "?".to_owned(),
                size_mm: 4.6,
                anchor: Anchor::Middle,
                bold: true,
                short: true,
            });
        }
    }
    [top, bottom]
}

/// What is to spare or short between a need and the machine's end.
fn margin(
    scene: &mut Scene,
    labels: &mut Vec<Label>,
    ends: [f64; 2],
    spare: Length,
    drawing: &StackUpDrawing<'_>,
    short_text: fn(&str) -> String,
) {
    let length = drawing.length(spare.abs());
    let short = spare.to_mm() < -LENGTH_SLACK.to_mm();
    if short {
        let [left, right] = [MARGIN_X - 3.0, RANGE[1]];
        scene.rect(
            [left, ends[0]],
            [right, ends[1]],
            Stroke::Short,
            Fill::Missing,
        );
    }
    let stroke = if short { Stroke::Short } else { Stroke::Thin };
    if (ends[0] - ends[1]).abs() > 0.2 {
        scene.vertical_dimension(MARGIN_X + 2.0, MARGIN_X, ends, stroke);
    }
    labels.push(Label {
        text: if short {
            short_text(&length)
        } else {
            texts::spare(&length)
        },
        y: 0.5 * (ends[0] + ends[1]),
        from_x: if short { RANGE[1] } else { MARGIN_X },
        short,
    });
}
