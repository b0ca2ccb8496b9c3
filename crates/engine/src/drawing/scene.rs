//! A drawing as a list of shapes, x to the right and y down, in millimetres of paper.

/// How a line looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stroke {
    /// Edge of a body.
    Outline,
    /// Dimension, extension and leader lines.
    Thin,
    /// Something not there, or not known.
    Dashed,
    /// Something too short.
    Short,
}

/// How an area looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fill {
    /// Nothing.
    None,
    /// A body of the machine.
    Machine,
    /// The part.
    Part,
    /// Room left.
    Spare,
    /// Cut ground: wide hatching, falling.
    Ground,
    /// What is missing: dense hatching, rising.
    Missing,
    /// Level hatching.
    Level,
    /// Upright hatching.
    Upright,
    /// The sheet itself.
    Paper,
    /// Made by the tool of this rank: plain for 0, then a hatching of its own each, from 6 again.
    Made(u8),
    /// A hole.
    Hole,
    /// Cut in steps: short dashes.
    Stepped,
}

/// Where a text stands against its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Begins there.
    Start,
    /// Centred there.
    Middle,
    /// Ends there.
    End,
}

/// One shape.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A line through points.
    Polyline {
        /// Points.
        points: Vec<[f64; 2]>,
        /// True when the last point is joined to the first.
        closed: bool,
        /// Line.
        stroke: Stroke,
        /// Area.
        fill: Fill,
    },
    /// Rectangles (x, y, width, height) of one area, without lines.
    Cells {
        /// Rectangles.
        rects: Vec<[f64; 4]>,
        /// Area.
        fill: Fill,
    },
    /// A filled arrow head with its tip at a point.
    Arrow {
        /// Tip.
        tip: [f64; 2],
        /// Unit vector the arrow points to.
        toward: [f64; 2],
        /// Colour as of this line.
        stroke: Stroke,
    },
    /// One line of text.
    Text {
        /// Point on the base line.
        at: [f64; 2],
        /// Text.
        text: String,
        /// Height of the font.
        size_mm: f64,
        /// Where it stands.
        anchor: Anchor,
        /// Heavier letters.
        bold: bool,
        /// In the colour of what is too short.
        short: bool,
    },
}

/// Room a text takes, estimated generously.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TextBox {
    /// Left, top.
    pub min: [f64; 2],
    /// Right, bottom.
    pub max: [f64; 2],
}

impl TextBox {
    /// True when two texts run into each other.
    pub fn overlaps(&self, other: &Self) -> bool {
        (0..2).all(|i| self.min[i] < other.max[i] && other.min[i] < self.max[i])
    }
}

/// A drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// Name, unique on a page: prefix of the pattern names.
    pub id: String,
    /// Title, read aloud.
    pub title: String,
    /// What it shows, in words, for those who cannot see it.
    pub description: String,
    /// Width of the sheet.
    pub width_mm: f64,
    /// Height of the sheet.
    pub height_mm: f64,
    /// Shapes, later ones over earlier ones.
    pub items: Vec<Item>,
}

/// Mean width of a letter of a sans-serif face as a share of its height; digits are 0.556 in the
/// common grotesques (from memory), capitals wider, most small letters narrower.
const LETTER: f64 = 0.58;

impl Scene {
    /// A straight line.
    pub fn line(&mut self, from: [f64; 2], to: [f64; 2], stroke: Stroke) {
        self.items.push(Item::Polyline {
            points: vec![from, to],
            closed: false,
            stroke,
            fill: Fill::None,
        });
    }

    /// A closed outline.
    pub fn outline(&mut self, points: &[[f64; 2]], stroke: Stroke, fill: Fill) {
        self.items.push(Item::Polyline {
            points: points.to_vec(),
            closed: true,
            stroke,
            fill,
        });
    }

    /// A rectangle between two corners.
    pub fn rect(&mut self, [x0, y0]: [f64; 2], [x1, y1]: [f64; 2], stroke: Stroke, fill: Fill) {
        self.outline(&[[x0, y0], [x1, y0], [x1, y1], [x0, y1]], stroke, fill);
    }

    /// A line of text.
    pub fn text(&mut self, at: [f64; 2], text: impl Into<String>, size_mm: f64, anchor: Anchor) {
        self.items.push(Item::Text {
            at,
            text: text.into(),
            size_mm,
            anchor,
            bold: false,
            short: false,
        });
    }

    /// A vertical dimension: extension lines from `edge_x` to the line at `x`, arrow heads at both
    /// ends, from outside when there is no room between.
    pub fn vertical_dimension(&mut self, edge_x: f64, x: f64, [y0, y1]: [f64; 2], stroke: Stroke) {
        const OVERSHOOT: f64 = 1.2;
        const ROOM_FOR_ARROWS: f64 = 5.0;
        let (top, bottom) = (y0.min(y1), y0.max(y1));
        let beyond = x + OVERSHOOT * (x - edge_x).signum();
        for y in [top, bottom] {
            self.line([edge_x, y], [beyond, y], Stroke::Thin);
        }
        let inside = bottom - top >= ROOM_FOR_ARROWS;
        let reach = if inside { 0.0 } else { 3.0 };
        self.line([x, top - reach], [x, bottom + reach], stroke);
        let up = if inside { -1.0 } else { 1.0 };
        for (tip, y) in [([x, top], up), ([x, bottom], -up)] {
            self.items.push(Item::Arrow {
                tip,
                toward: [0.0, y],
                stroke,
            });
        }
    }

    /// A level dimension: extension lines from `edge_y` to the line at `y`, arrow heads at both ends.
    pub fn level_dimension(&mut self, edge_y: f64, y: f64, [x0, x1]: [f64; 2], stroke: Stroke) {
        const OVERSHOOT: f64 = 1.2;
        let (left, right) = (x0.min(x1), x0.max(x1));
        let beyond = y + OVERSHOOT * (y - edge_y).signum();
        for x in [left, right] {
            self.line([x, edge_y], [x, beyond], Stroke::Thin);
        }
        self.line([left, y], [right, y], stroke);
        for (x, toward) in [(left, -1.0), (right, 1.0)] {
            self.items.push(Item::Arrow {
                tip: [x, y],
                toward: [toward, 0.0],
                stroke,
            });
        }
    }

    /// Boxes of all texts, in order.
    pub fn text_boxes(&self) -> Vec<(String, TextBox)> {
        self.items
            .iter()
            .filter_map(|item| match item {
                Item::Text {
                    at: [x, y],
                    text,
                    size_mm,
                    anchor,
                    ..
                } => {
                    let width = LETTER * size_mm * text.chars().count() as f64;
                    let left = match anchor {
                        Anchor::Start => *x,
                        Anchor::Middle => x - 0.5 * width,
                        Anchor::End => x - width,
                    };
                    let min = [left, y - 0.78 * size_mm];
                    let max = [left + width, y + 0.22 * size_mm];
                    Some((text.clone(), TextBox { min, max }))
                }
                _ => None,
            })
            .collect()
    }
}
