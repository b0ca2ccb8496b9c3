//! The plan view: table, travel and part as seen from above, with every clamping.

use super::labels::TEXT;
use super::scene::{Anchor, Fill, Item, Scene, Stroke};
use super::texts;
use super::words::{shortened, wrapped};
use crate::fit::SetupFit;
use crate::machine::Properties;
use units::{LENGTH_SLACK, Length, System, show};

/// What is drawn.
#[derive(Clone, Debug)]
pub struct PlanDrawing<'a> {
    /// Name, unique on the page.
    pub id: &'a str,
    /// Part as people call it.
    pub part: &'a str,
    /// Offer as people call it.
    pub offer: &'a str,
    /// How the setup lies.
    pub setup: &'a SetupFit,
    /// Size along X and Y as the part is drawn, before it is turned.
    pub size: [Length; 2],
    /// The machine; only what is stated is drawn.
    pub machine: &'a Properties,
    /// Inches instead of millimetres.
    pub us_units: bool,
}

const WIDTH: f64 = 190.0;
const HEIGHT: f64 = 130.0;
/// The picture's room: left, top, right, bottom.
const ROOM: [f64; 4] = [22.0, 30.0, 122.0, 118.0];
const WORDS_X: f64 = 130.0;
/// Letters of a line beside the picture.
const WORDS: usize = 32;
const LINE: f64 = 4.6;

/// Millimetres of the machine to paper, the table's middle in the middle.
struct Scale {
    paper_per_mm: f64,
}

impl Scale {
    fn at(&self, x_mm: f64, y_mm: f64) -> [f64; 2] {
        let middle = [0.5 * (ROOM[0] + ROOM[2]), 0.5 * (ROOM[1] + ROOM[3])];
        [
            middle[0] + x_mm * self.paper_per_mm,
            middle[1] - y_mm * self.paper_per_mm,
        ]
    }
}

impl PlanDrawing<'_> {
    fn length(&self, length: Length) -> String {
        let system = if self.us_units {
            System::Us
        } else {
            System::Metric
        };
        show(length, system)
    }

    fn pair(&self, pair: [Length; 2]) -> String {
        format!("{} x {}", self.length(pair[0]), self.length(pair[1]))
    }

    fn travel(&self) -> [Option<Length>; 2] {
        [
            self.machine.travel_x.stated(),
            self.machine.travel_y.stated(),
        ]
    }

    fn table(&self) -> Option<[Length; 2]> {
        Some([
            self.machine.table_x.stated()?,
            self.machine.table_y.stated()?,
        ])
    }

    /// Middles of the part in every clamping, off the middle of the travel.
    fn middles_mm(&self) -> Vec<[f64; 2]> {
        let [nx, ny] = self.setup.along;
        let need = self.setup.travel_need.map(Length::to_mm);
        let places = |n: u32, need: f64| -> Vec<f64> {
            let n = n.max(1);
            (0..n)
                .map(|i| (f64::from(n - 1) * 0.5 - f64::from(i)) * need / f64::from(n))
                .collect()
        };
        places(nx, need[0])
            .into_iter()
            .flat_map(|x| places(ny, need[1]).into_iter().map(move |y| [x, y]))
            .collect()
    }

    /// Corners of the part about a middle.
    fn corners_mm(&self, [x, y]: [f64; 2]) -> Vec<[f64; 2]> {
        let [a, b] = self.size.map(|l| 0.5 * finite(l));
        let (sin, cos) = self.setup.angle_deg.to_radians().sin_cos();
        [[-a, -b], [a, -b], [a, b], [-a, b]]
            .map(|[u, v]| [x + u * cos - v * sin, y + u * sin + v * cos])
            .to_vec()
    }
}

fn finite(length: Length) -> f64 {
    if length.is_finite() {
        length.to_mm()
    } else {
        0.0
    }
}

/// Draws one setup from above.
pub fn plan(drawing: &PlanDrawing<'_>) -> Scene {
    let title = texts::plan_title(drawing.part, drawing.offer);
    let words = words(drawing);
    let mut scene = Scene {
        id: drawing.id.to_owned(),
        description: format!(
            "{title}: {}.",
            words
                .iter()
                .map(|(text, _)| text.as_str())
                .collect::<Vec<_>>()
                .join(", ")
        ),
        title,
        width_mm: WIDTH,
        height_mm: HEIGHT,
        items: Vec::new(),
    };
    let scale = scale(drawing);
    let mut heading = |y: f64, text: String, size_mm: f64, bold: bool| {
        scene.items.push(Item::Text {
            at: [6.0, y],
            text,
            size_mm,
            anchor: Anchor::Start,
            bold,
            short: false,
        });
    };
    heading(
        9.0,
        shortened(&texts::plan_title(drawing.part, drawing.offer), 62),
        4.6,
        true,
    );
    heading(15.0, texts::plan_note(drawing.us_units), TEXT, false);
    picture(&mut scene, drawing, &scale);
    let mut y = ROOM[1] + 2.0;
    for (text, short) in words {
        for line in wrapped(&text, WORDS) {
            scene.items.push(Item::Text {
                at: [WORDS_X, y],
                text: line,
                size_mm: TEXT,
                anchor: Anchor::Start,
                bold: short,
                short,
            });
            y += LINE;
        }
        y += 1.4;
    }
    scene
}

fn scale(drawing: &PlanDrawing<'_>) -> Scale {
    let mut half = [1.0f64; 2];
    let mut take = |x: f64, y: f64| {
        half = [half[0].max(x.abs()), half[1].max(y.abs())];
    };
    for middle in drawing.middles_mm() {
        for [x, y] in drawing.corners_mm(middle) {
            take(x, y);
        }
    }
    let need = drawing.setup.travel_need.map(finite);
    take(0.5 * need[0], 0.5 * need[1]);
    let [tx, ty] = drawing.travel();
    take(0.5 * tx.map_or(0.0, finite), 0.5 * ty.map_or(0.0, finite));
    if let Some([x, y]) = drawing.table() {
        take(0.5 * finite(x), 0.5 * finite(y));
    }
    let room = [0.5 * (ROOM[2] - ROOM[0]), 0.5 * (ROOM[3] - ROOM[1])];
    Scale {
        paper_per_mm: (room[0] / half[0]).min(room[1] / half[1]),
    }
}

fn picture(scene: &mut Scene, drawing: &PlanDrawing<'_>, scale: &Scale) {
    let rect = |[x, y]: [f64; 2]| [scale.at(-0.5 * x, 0.5 * y), scale.at(0.5 * x, -0.5 * y)];
    if let Some(table) = drawing.table() {
        let [a, b] = rect(table.map(finite));
        scene.rect(a, b, Stroke::Outline, Fill::Machine);
        for y_mm in slots_mm(drawing.machine, finite(table[1])) {
            let y = scale.at(0.0, y_mm)[1];
            scene.line([a[0], y], [b[0], y], Stroke::Thin);
        }
    }
    // All clampings but the first are shown dashed, under the first.
    let middles = drawing.middles_mm();
    let outline = |middle: [f64; 2]| -> Vec<[f64; 2]> {
        drawing
            .corners_mm(middle)
            .into_iter()
            .map(|[x, y]| scale.at(x, y))
            .collect()
    };
    if let Some(first) = middles.first() {
        scene.outline(&outline(*first), Stroke::Outline, Fill::Part);
    }
    for middle in middles.iter().skip(1) {
        scene.outline(&outline(*middle), Stroke::Dashed, Fill::None);
    }
    let [tx, ty] = drawing.travel();
    if let (Some(tx), Some(ty)) = (tx, ty) {
        let [a, b] = rect([finite(tx), finite(ty)]);
        let need = drawing.setup.travel_need;
        let is_short = !need[0].fits(tx) || !need[1].fits(ty);
        let stroke = if is_short {
            Stroke::Short
        } else {
            Stroke::Outline
        };
        scene.rect(a, b, stroke, Fill::None);
        let top = ROOM[1] - 4.0;
        scene.level_dimension(a[1], top, [a[0], b[0]], Stroke::Thin);
        scene.text(
            [0.5 * (a[0] + b[0]), top - 1.2],
            format!("X travels {}", drawing.length(tx)),
            TEXT,
            Anchor::Middle,
        );
        let left = ROOM[0] - 4.0;
        scene.vertical_dimension(a[0], left, [a[1], b[1]], Stroke::Thin);
        let label = format!("Y {}", drawing.length(ty));
        scene.text([2.0, 0.5 * (a[1] + b[1]) + 1.0], label, TEXT, Anchor::Start);
    }
}

/// Most slots drawn.
const MOST_SLOTS: f64 = 30.0;

/// Where the table's slots lie off its middle: as stated; three evenly spread, as a picture, where
/// nothing is.
fn slots_mm(machine: &Properties, deep_mm: f64) -> Vec<f64> {
    let count = machine.slot_count.stated().map_or(3.0, |n| n.to_number());
    let count = count.clamp(0.0, MOST_SLOTS).floor();
    let spacing = machine.slot_spacing.stated();
    let spacing_mm = spacing.map_or(deep_mm / (count + 1.0), finite);
    (0..count as u32)
        .map(|i| (0.5 * (count - 1.0) - f64::from(i)) * spacing_mm)
        .filter(|y| 2.0 * y.abs() < deep_mm)
        .collect()
}

/// What the picture says, in words; true for what is short.
fn words(drawing: &PlanDrawing<'_>) -> Vec<(String, bool)> {
    let setup = drawing.setup;
    let oblique = setup.angle_deg > 0.0 && setup.angle_deg < 90.0;
    let mut words = vec![
        (
            texts::part_lies(
                &drawing.pair(drawing.setup.size),
                oblique.then_some(setup.angle_deg),
                setup.turned,
            ),
            false,
        ),
        (texts::centre_goes(&drawing.pair(setup.travel_need)), false),
    ];
    for (axis, letter) in [(0, 'X'), (1, 'Y')] {
        let travel = drawing.travel()[axis];
        let margin = travel.map(|t| t - setup.travel_need[axis]);
        let short = margin
            .filter(|m| *m < -LENGTH_SLACK)
            .map(|m| drawing.length(-m));
        let spare = margin
            .filter(|m| *m >= -LENGTH_SLACK)
            .map(|m| drawing.length(m.max(Length::ZERO)));
        let text = texts::travel_is(
            letter,
            travel.map(|t| drawing.length(t)).as_deref(),
            spare.as_deref(),
            short.as_deref(),
        );
        words.push((text, short.is_some()));
    }
    words.push((
        texts::clampings_are(setup.clampings, setup.along[1] > 1),
        false,
    ));
    if setup.along != [1, 1] {
        words.push((texts::DASHED.to_owned(), false));
    }
    if setup.per_loading > 1 {
        words.push((texts::loading_is(setup.per_loading), false));
    }
    let table = drawing.table();
    words.push((
        texts::table_is(table.map(|t| drawing.pair(t)).as_deref()),
        false,
    ));
    if let Some(table) = table {
        for (axis, letter) in [(0, 'X'), (1, 'Y')] {
            let over = setup.size[axis] - table[axis];
            if over > LENGTH_SLACK {
                words.push((texts::stands_over(letter, &drawing.length(over)), false));
            }
        }
    }
    words
}
