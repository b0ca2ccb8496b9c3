//! The stack-up elevation: everything between table and spindle nose, beside the heights the nose
//! can take. Heights are to scale, widths are not.

use super::labels::{Label, TEXT, place};
use super::nose_range::needs_and_range;
use super::scene::{Anchor, Fill, Item, Scene, Stroke};
use super::texts;
use crate::demand::Holding;
use crate::fit::StackUp;
use units::{LENGTH_SLACK, Length, System, show};

/// What is drawn.
#[derive(Clone, Debug)]
pub struct StackUpDrawing<'a> {
    /// Name, unique on the page.
    pub id: &'a str,
    /// Part as people call it.
    pub part: &'a str,
    /// Offer as people call it.
    pub offer: &'a str,
    /// Heights.
    pub stack: &'a StackUp,
    /// How the part is held.
    pub holding: Holding,
    /// Inches instead of millimetres.
    pub us_units: bool,
}

const WIDTH: f64 = 190.0;
pub(super) const HEIGHT: f64 = 150.0;
pub(super) const TOP: f64 = 26.0;
const TABLE_Y: f64 = 136.0;
/// Columns, left to right.
const LEFT_LABELS_END: f64 = 44.0;
const CHAIN_X: f64 = 50.0;
pub(super) const PICTURE: [f64; 2] = [56.0, 100.0];

/// Draws one setup's heights.
pub fn stack_up(drawing: &StackUpDrawing<'_>) -> Scene {
    let mut scene = Scene {
        id: drawing.id.to_owned(),
        title: format!("Heights: {} on {}", drawing.part, drawing.offer),
        description: description(drawing),
        width_mm: WIDTH,
        height_mm: HEIGHT,
        items: Vec::new(),
    };
    let scale = Scale::of(drawing.stack);
    title(&mut scene, drawing);
    picture(&mut scene, drawing, &scale);
    chain(&mut scene, drawing, &scale);
    needs_and_range(&mut scene, drawing, &scale);
    scene
}

impl StackUpDrawing<'_> {
    /// A length in the reader's system.
    pub(super) fn length(&self, length: Length) -> String {
        let system = if self.us_units {
            System::Us
        } else {
            System::Metric
        };
        show(length, system)
    }
}

/// Height over the table to height on paper.
pub(super) struct Scale {
    paper_per_mm: f64,
}

impl Scale {
    fn of(stack: &StackUp) -> Self {
        let tallest = [
            Some(stack.nose_high_need),
            Some(stack.nose_low_need),
            stack.nose_high,
            stack.nose_low,
            Some(chain_parts(stack).iter().map(|(_, l)| *l).sum()),
        ]
        .into_iter()
        .flatten()
        .filter(|l| l.is_finite())
        .map(Length::to_mm)
        .fold(1.0, f64::max);
        Self {
            paper_per_mm: (TABLE_Y - TOP - 12.0) / tallest,
        }
    }

    pub(super) fn y(&self, height: Length) -> f64 {
        TABLE_Y - height.to_mm().max(0.0) * self.paper_per_mm
    }
}

fn chain_parts(stack: &StackUp) -> [(&'static str, Length); 5] {
    [
        (texts::RISER, stack.riser),
        (texts::HOLDING, stack.holding),
        (texts::PART, stack.part),
        (texts::CLEARANCE, stack.clearance),
        (texts::TOOL, stack.longest_tool),
    ]
}

fn title(scene: &mut Scene, drawing: &StackUpDrawing<'_>) {
    scene.items.push(Item::Text {
        at: [6.0, 9.0],
        text: shortened(&scene.title, 62),
        size_mm: 4.6,
        anchor: Anchor::Start,
        bold: true,
        short: false,
    });
    let note = if drawing.us_units {
        "heights above the table in inches; widths not to scale"
    } else {
        "heights above the table in millimetres; widths not to scale"
    };
    scene.text([6.0, 15.0], note, TEXT, Anchor::Start);
}

/// At most so many letters, so that a long name cannot run off the sheet.
pub(super) fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let mut short: String = text.chars().take(most - 1).collect();
    short.push('…');
    short
}

fn picture(scene: &mut Scene, drawing: &StackUpDrawing<'_>, scale: &Scale) {
    let stack = drawing.stack;
    let [left, right] = PICTURE;
    let middle = 0.5 * (left + right);
    let at = |dx: f64, height: Length| [middle + dx, scale.y(height)];
    scene.rect(
        [left, TABLE_Y],
        [right, TABLE_Y + 6.0],
        Stroke::Outline,
        Fill::Ground,
    );
    let mut base = Length::ZERO;
    if stack.riser > Length::ZERO {
        scene.rect(
            at(-16.0, base),
            at(16.0, base + stack.riser),
            Stroke::Outline,
            Fill::Machine,
        );
        base += stack.riser;
    }
    let part_top = base + stack.holding + stack.part;
    scene.rect(
        at(-10.0, base + stack.holding),
        at(10.0, part_top),
        Stroke::Outline,
        Fill::Part,
    );
    holding(scene, drawing, base, &at);
    let tip = part_top + stack.clearance;
    let nose = tip + stack.longest_tool;
    tool(scene, tip, nose, &at);
    let y = scale.y(nose);
    scene.outline(
        &[
            [middle - 7.0, y],
            [middle + 7.0, y],
            [middle + 9.0, y - 3.0],
            [middle + 9.0, y - 9.0],
            [middle - 9.0, y - 9.0],
            [middle - 9.0, y - 3.0],
        ],
        Stroke::Outline,
        Fill::Machine,
    );
}

/// Jaws beside the part, clamps at its foot, or a chuck under it.
fn holding(
    scene: &mut Scene,
    drawing: &StackUpDrawing<'_>,
    base: Length,
    at: &dyn Fn(f64, Length) -> [f64; 2],
) {
    let stack = drawing.stack;
    let under = base + stack.holding;
    let grip = under + stack.part * 0.2;
    match drawing.holding {
        Holding::Vise => {
            scene.rect(
                at(-18.0, base),
                at(18.0, under),
                Stroke::Outline,
                Fill::Machine,
            );
            scene.rect(
                at(-16.0, under),
                at(-10.0, grip),
                Stroke::Outline,
                Fill::Machine,
            );
            scene.rect(
                at(10.0, under),
                at(16.0, grip),
                Stroke::Outline,
                Fill::Machine,
            );
        }
        Holding::Plate => {
            scene.rect(
                at(-18.0, base),
                at(18.0, under),
                Stroke::Outline,
                Fill::Machine,
            );
        }
        Holding::Chuck => {
            scene.rect(
                at(-13.0, base),
                at(13.0, under),
                Stroke::Outline,
                Fill::Machine,
            );
            scene.rect(
                at(-13.0, under),
                at(-10.0, grip),
                Stroke::Outline,
                Fill::Machine,
            );
            scene.rect(
                at(10.0, under),
                at(13.0, grip),
                Stroke::Outline,
                Fill::Machine,
            );
        }
    }
}

/// Holder above, tool below; where one ends is not known here, so the split is only a picture.
fn tool(scene: &mut Scene, tip: Length, nose: Length, at: &dyn Fn(f64, Length) -> [f64; 2]) {
    let split = tip + (nose - tip) * 0.5;
    scene.rect(at(-1.8, tip), at(1.8, split), Stroke::Outline, Fill::None);
    let collar = split + (nose - split) * 0.6;
    scene.outline(
        &[
            at(-3.2, split),
            at(3.2, split),
            at(4.6, collar),
            at(6.0, nose),
            at(-6.0, nose),
            at(-4.6, collar),
        ],
        Stroke::Outline,
        Fill::Machine,
    );
}

fn chain(scene: &mut Scene, drawing: &StackUpDrawing<'_>, scale: &Scale) {
    let mut labels = Vec::new();
    let mut base = Length::ZERO;
    for (name, length) in chain_parts(drawing.stack) {
        if length <= LENGTH_SLACK {
            continue;
        }
        let ends = [scale.y(base), scale.y(base + length)];
        scene.vertical_dimension(PICTURE[0] - 2.0, CHAIN_X, ends, Stroke::Thin);
        labels.push(Label {
            text: format!("{name} {}", drawing.length(length)),
            y: 0.5 * (ends[0] + ends[1]),
            from_x: CHAIN_X,
            short: false,
        });
        base += length;
    }
    place(scene, &labels, LEFT_LABELS_END, Anchor::End);
}

fn description(drawing: &StackUpDrawing<'_>) -> String {
    let stack = drawing.stack;
    let text = |l: Length| drawing.length(l);
    let mut words: Vec<String> = chain_parts(stack)
        .iter()
        .filter(|(_, length)| *length > LENGTH_SLACK)
        .map(|(name, length)| format!("{name} {}", text(*length)))
        .collect();
    words.push(format!(
        "the {} {}",
        texts::NOSE,
        texts::need_top(&text(stack.nose_high_need))
    ));
    words.push(texts::need_bottom(&text(stack.nose_low_need)));
    words.push(match stack.nose_high {
        Some(high) => format!("the machine's {}", texts::have_top(&text(high))),
        None => format!("the machine's {}", texts::unknown_top()),
    });
    words.push(match stack.nose_low {
        Some(low) => texts::have_bottom(&text(low)),
        None => texts::unknown_bottom(),
    });
    format!("Above the {}: {}.", texts::TABLE, words.join(", "))
}
