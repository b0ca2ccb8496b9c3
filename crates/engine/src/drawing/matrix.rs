//! Which offer makes which part, as a table.

use super::labels::TEXT;
use super::scene::{Anchor, Fill, Item, Scene, Stroke};
use super::texts;
use super::words::{shortened, wrapped};
use crate::fit::Verdict;

/// One part on one offer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    /// Verdict.
    pub verdict: Verdict,
    /// Clampings.
    pub clampings: u32,
    /// Share of the draws in which it is made, where ranges the user gave change that.
    pub chance: Option<f64>,
}

impl Cell {
    /// The share, where it is not all or none of the draws.
    fn sometimes(&self) -> Option<f64> {
        self.chance.filter(|share| *share > 0.0 && *share < 1.0)
    }
}

/// What is drawn.
#[derive(Clone, Debug)]
pub struct MatrixDrawing<'a> {
    /// Name, unique on the page.
    pub id: &'a str,
    /// Parts as people call them; true for those that must be made.
    pub parts: &'a [(String, bool)],
    /// Offers as people call them, each with a cell a part.
    pub offers: &'a [(String, Vec<Cell>)],
}

/// More rows and columns than this are no picture any more.
const MOST_PARTS: usize = 24;
const MOST_OFFERS: usize = 40;
const NAME_LETTERS: usize = 34;
const LEFT: f64 = 66.0;
const TOP: f64 = 26.0;
const ROW: f64 = 6.4;

/// A, B ... Z, AA, AB ...
pub(super) fn letter(index: usize) -> String {
    let own = char::from(b'A' + (index % 26) as u8);
    match index / 26 {
        0 => own.to_string(),
        more => format!("{}{own}", letter(more - 1)),
    }
}

/// Draws the table.
pub fn matrix(drawing: &MatrixDrawing<'_>) -> Scene {
    let parts = &drawing.parts[..drawing.parts.len().min(MOST_PARTS)];
    let offers = &drawing.offers[..drawing.offers.len().min(MOST_OFFERS)];
    let column = (118.0 / parts.len().max(1) as f64).min(12.0);
    let width: f64 = 190.0;
    let mut scene = Scene {
        id: drawing.id.to_owned(),
        title: "Which offer makes which part".to_owned(),
        description: description(parts, offers),
        width_mm: width,
        height_mm: 0.0,
        items: Vec::new(),
    };
    scene.items.push(Item::Text {
        at: [6.0, 9.0],
        text: scene.title.clone(),
        size_mm: 4.6,
        anchor: Anchor::Start,
        bold: true,
        short: false,
    });
    scene.text([6.0, 15.0], texts::MATRIX_NOTE, TEXT, Anchor::Start);
    let mut cells = offers.iter().flat_map(|(_, cells)| cells);
    if cells.any(|cell| cell.sometimes().is_some()) {
        scene.text([6.0, 19.6], texts::MATRIX_SHARES, TEXT, Anchor::Start);
    }
    let x = |at: usize| LEFT + column * at as f64;
    for at in 0..parts.len() {
        scene.text(
            [x(at) + 0.5 * column, TOP - 1.6],
            letter(at),
            TEXT,
            Anchor::Middle,
        );
    }
    let mut y = TOP;
    for (name, cells) in offers {
        scene.text(
            [6.0, y + 0.5 * ROW + 1.0],
            shortened(name, NAME_LETTERS),
            TEXT,
            Anchor::Start,
        );
        for (at, cell) in cells.iter().take(parts.len()).enumerate() {
            draw_cell(&mut scene, [x(at), y], [column, ROW], *cell);
        }
        y += ROW;
    }
    y += 6.0;
    let legend = parts
        .iter()
        .enumerate()
        .map(|(at, (name, must))| {
            let optional = if *must { "" } else { " (optional)" };
            format!("{} {}{optional}", letter(at), shortened(name, NAME_LETTERS))
        })
        .collect::<Vec<_>>()
        .join("; ");
    let mut rest = wrapped(&legend, 98);
    let left_out = (
        drawing.parts.len() - parts.len(),
        drawing.offers.len() - offers.len(),
    );
    if left_out != (0, 0) {
        rest.push(texts::and_more(left_out.0, left_out.1));
    }
    for line in rest {
        scene.text([6.0, y], line, TEXT, Anchor::Start);
        y += 4.6;
    }
    scene.height_mm = y + 3.0;
    scene
}

fn word(cell: Cell) -> String {
    if let Some(share) = cell.sometimes() {
        // Rounding makes no sure thing of it.
        return texts::percent(share.clamp(0.01, 0.99));
    }
    match cell.verdict {
        Verdict::Fits => "yes".to_owned(),
        Verdict::FitsWithMoreClampings => format!("{}x", cell.clampings),
        Verdict::CannotSay => "ask".to_owned(),
        Verdict::DoesNotFit => "no".to_owned(),
    }
}

fn draw_cell(scene: &mut Scene, [x, y]: [f64; 2], [w, h]: [f64; 2], cell: Cell) {
    let (stroke, fill) = match cell.verdict {
        _ if cell.sometimes().is_some() => (Stroke::Dashed, Fill::Part),
        Verdict::Fits => (Stroke::Thin, Fill::Spare),
        Verdict::FitsWithMoreClampings => (Stroke::Thin, Fill::Part),
        Verdict::CannotSay => (Stroke::Dashed, Fill::None),
        Verdict::DoesNotFit => (Stroke::Short, Fill::None),
    };
    let inset = 0.5;
    scene.rect(
        [x + inset, y + inset],
        [x + w - inset, y + h - inset],
        stroke,
        fill,
    );
    let no = cell.verdict == Verdict::DoesNotFit && cell.sometimes().is_none();
    scene.items.push(Item::Text {
        at: [x + 0.5 * w, y + 0.5 * h + 1.0],
        text: word(cell),
        size_mm: TEXT.min(0.42 * w),
        anchor: Anchor::Middle,
        bold: no,
        short: no,
    });
}

fn description(parts: &[(String, bool)], offers: &[(String, Vec<Cell>)]) -> String {
    offers
        .iter()
        .map(|(name, cells)| {
            let each: Vec<String> = parts
                .iter()
                .zip(cells)
                .map(|((part, _), cell)| format!("{part} {}", word(*cell)))
                .collect();
            format!("{name}: {}.", each.join(", "))
        })
        .collect::<Vec<_>>()
        .join(" ")
}
