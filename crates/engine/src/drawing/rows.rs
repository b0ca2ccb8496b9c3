//! Rows of bars over one axis: the form of every drawing that compares amounts.

use super::axis::Axis;
use super::scene::{Anchor, Fill, Item, Scene, Stroke};

/// A bar with its label and its number in words.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Row {
    /// What it is about.
    pub label: String,
    /// From and to.
    pub bar: Option<(f64, f64)>,
    /// How the bar looks.
    pub fill: Fill,
    /// Single best value.
    pub mark: Option<f64>,
    /// Lower and upper end of doubt.
    pub whisker: Option<(f64, f64)>,
    /// The number in words, at the right.
    pub note: String,
    /// In the colour and weight of what is too short.
    pub short: bool,
}

/// A drawing of rows.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Rows {
    pub id: String,
    pub title: String,
    pub description: String,
    /// What the axis counts.
    pub axis_label: String,
    /// A value all rows are held against, with its name.
    pub reference: Option<(f64, String)>,
    pub rows: Vec<Row>,
    /// What bar, mark and whisker mean.
    pub legend: String,
    /// The axis begins or ends at zero.
    pub with_zero: bool,
}

/// Height of the letters of rows.
const TEXT: f64 = 3.2;
const TITLE: f64 = 4.2;
const WIDTH: f64 = 210.0;
const TOP: f64 = 22.0;
/// Without a reference line there is no name above the rows.
const TOP_BARE: f64 = 15.0;
const ROW: f64 = 9.0;
const BAR: f64 = 4.6;
/// Letters that fit the columns at the sides.
const LABEL_LETTERS: usize = 32;
const LABEL_MM: f64 = 72.0;
const NOTE_MM: f64 = 48.0;

impl Rows {
    /// The drawing; `write` turns a value of the axis into words.
    pub fn scene(&self, write: impl Fn(f64) -> String) -> Scene {
        let top = if self.reference.is_some() {
            TOP
        } else {
            TOP_BARE
        };
        let bottom = top + ROW * self.rows.len() as f64;
        let mut scene = Scene {
            id: self.id.clone(),
            title: self.title.clone(),
            description: self.description.clone(),
            width_mm: WIDTH,
            height_mm: bottom + 20.0,
            items: Vec::new(),
        };
        bold(&mut scene, [3.0, 7.0], &self.title, TITLE, false);
        let values = self.rows.iter().flat_map(|r| {
            let pairs = r.bar.iter().chain(&r.whisker).flat_map(|(a, b)| [*a, *b]);
            pairs.chain(r.mark).collect::<Vec<f64>>()
        });
        let reference = self.reference.iter().map(|(v, _)| *v);
        let ends = [LABEL_MM, WIDTH - NOTE_MM];
        let axis = Axis::new(values.chain(reference), self.with_zero, ends);
        for tick in axis.ticks() {
            let x = axis.at(tick);
            scene.line([x, top - 2.0], [x, bottom], Stroke::Thin);
            scene.text([x, bottom + 4.6], write(tick), 0.9 * TEXT, Anchor::Middle);
        }
        let middle = 0.5 * (ends[0] + ends[1]);
        scene.text(
            [middle, bottom + 10.0],
            self.axis_label.clone(),
            TEXT,
            Anchor::Middle,
        );
        scene.text(
            [3.0, bottom + 16.0],
            self.legend.clone(),
            0.9 * TEXT,
            Anchor::Start,
        );
        for (at, row) in self.rows.iter().enumerate() {
            draw(&mut scene, row, top + ROW * (at as f64 + 0.5), &axis);
        }
        if let Some((value, name)) = &self.reference {
            let x = axis.at(*value);
            scene.line([x, top - 5.0], [x, bottom], Stroke::Outline);
            // The name stays on the sheet wherever the line is.
            let anchor = if x > middle {
                Anchor::End
            } else {
                Anchor::Start
            };
            let side = if x > middle { -1.2 } else { 1.2 };
            scene.items.push(Item::Text {
                at: [x + side, top - 4.0],
                text: format!("{name} {}", write(*value)),
                size_mm: TEXT,
                anchor,
                bold: true,
                short: false,
            });
        }
        scene
    }
}

fn draw(scene: &mut Scene, row: &Row, y: f64, axis: &Axis) {
    let stroke = if row.short {
        Stroke::Short
    } else {
        Stroke::Outline
    };
    let base = y + 0.35 * TEXT;
    scene.items.push(Item::Text {
        at: [LABEL_MM - 3.0, base],
        text: shortened(&row.label),
        size_mm: TEXT,
        anchor: Anchor::End,
        bold: row.short,
        short: row.short,
    });
    if let Some((from, to)) = row.bar.filter(|(from, to)| from != to) {
        let (a, b) = (axis.at(from.min(to)), axis.at(from.max(to)));
        // An amount too small to see is a line.
        let b = b.max(a + 0.3);
        scene.rect([a, y - 0.5 * BAR], [b, y + 0.5 * BAR], stroke, row.fill);
    }
    if let Some((low, high)) = row.whisker {
        let (a, b) = (axis.at(low), axis.at(high));
        scene.line([a, y], [b, y], Stroke::Outline);
        for x in [a, b] {
            scene.line([x, y - 1.4], [x, y + 1.4], Stroke::Outline);
        }
    }
    if let Some(mark) = row.mark {
        let x = axis.at(mark);
        let size = 1.5;
        let diamond = [[x, y - size], [x + size, y], [x, y + size], [x - size, y]];
        scene.outline(&diamond, Stroke::Outline, Fill::Part);
    }
    scene.items.push(Item::Text {
        at: [WIDTH - NOTE_MM + 3.0, base],
        text: row.note.clone(),
        size_mm: TEXT,
        anchor: Anchor::Start,
        bold: row.short,
        short: row.short,
    });
}

fn bold(scene: &mut Scene, at: [f64; 2], text: &str, size_mm: f64, short: bool) {
    scene.items.push(Item::Text {
        at,
        text: text.to_owned(),
        size_mm,
        anchor: Anchor::Start,
        bold: true,
        short,
    });
}

/// A label that fits its column.
fn shortened(label: &str) -> String {
    if label.chars().count() <= LABEL_LETTERS {
        return label.to_owned();
    }
    let kept: String = label.chars().take(LABEL_LETTERS - 1).collect();
    format!("{}…", kept.trim_end())
}
