//! Machine hours a year by offer, stacked by kind of time.

use super::labels::TEXT;
use super::scene::{Anchor, Fill, Item, Scene, Stroke};
use super::texts;
use super::words::shortened;

/// One offer.
#[derive(Clone, Debug, PartialEq)]
pub struct HoursBar {
    /// Offer as people call it.
    pub offer: String,
    /// Parts it makes, of those there are.
    pub parts: [usize; 2],
    /// Hours by kind, by the names of [`crate::cycle::hours_by_kind`].
    pub kinds: Vec<(&'static str, f64)>,
    /// Hours somebody stands by.
    pub attended_h: f64,
    /// True when the hours are only a lower bound.
    pub at_least: bool,
}

/// What is drawn.
#[derive(Clone, Debug)]
pub struct HoursDrawing<'a> {
    /// Name, unique on the page.
    pub id: &'a str,
    /// Offers.
    pub bars: &'a [HoursBar],
    /// Hours a year somebody can be there.
    pub available_h: Option<f64>,
}

/// Kinds drawn together, each with its look.
const LOOKS: [(&str, &[&str], Fill); 6] = [
    ("cutting", &["cut"], Fill::Part),
    ("moves and spindle", &["moves", "spindle"], Fill::Machine),
    ("tool changes", &["tool_changes"], Fill::Ground),
    ("clamping, datum", &["clamping", "probing"], Fill::Spare),
    (
        "deburring, checking",
        &["deburring", "checking"],
        Fill::Level,
    ),
    ("setting up", &["setting_up"], Fill::Upright),
];

const MOST_OFFERS: usize = 40;
const LEFT: f64 = 66.0;
const RIGHT: f64 = 144.0;
const TOP: f64 = 34.0;
const ROW: f64 = 8.0;
const BAR: f64 = 5.0;
/// The hours there are, over the longest bar, up to which both are drawn.
const FAR: f64 = 1.5;

/// Draws the bars.
pub fn hours(drawing: &HoursDrawing<'_>) -> Scene {
    let bars = &drawing.bars[..drawing.bars.len().min(MOST_OFFERS)];
    let total = |bar: &HoursBar| bar.kinds.iter().map(|(_, h)| positive(*h)).sum::<f64>();
    let longest = bars.iter().map(total).fold(1.0, f64::max);
    // Far more hours than any bar would leave the bars too small to read: then they are only told.
    let available = drawing.available_h.map(positive);
    let shown = available.filter(|h| *h <= FAR * longest);
    let most = longest.max(shown.unwrap_or(0.0));
    let paper_per_h = (RIGHT - LEFT) / most;
    let mut scene = Scene {
        id: drawing.id.to_owned(),
        title: "Hours a year by offer".to_owned(),
        description: description(bars),
        width_mm: 190.0,
        height_mm: TOP + ROW * bars.len() as f64 + 10.0,
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
    scene.text([6.0, 15.0], texts::HOURS_NOTE, TEXT, Anchor::Start);
    legend(&mut scene);
    let bottom = TOP + ROW * bars.len() as f64;
    if let (Some(available), None) = (available, shown) {
        scene.text(
            [RIGHT, bottom + 5.0],
            format!("{available:.0} h there are: off the sheet"),
            TEXT,
            Anchor::End,
        );
    }
    if let Some(available) = shown {
        let x = LEFT + available * paper_per_h;
        scene.line([x, TOP - 1.0], [x, bottom + 1.0], Stroke::Short);
        scene.text(
            [x, bottom + 5.0],
            format!("{available:.0} h there are"),
            TEXT,
            Anchor::Middle,
        );
    }
    for (row, bar) in bars.iter().enumerate() {
        let y = TOP + ROW * row as f64 + 0.5 * (ROW - BAR);
        let base = y + 0.5 * BAR + 1.0;
        scene.text([6.0, base], shortened(&bar.offer, 34), TEXT, Anchor::Start);
        let mut x = LEFT;
        for (_, names, fill) in LOOKS {
            let h: f64 = bar
                .kinds
                .iter()
                .filter(|(name, _)| names.contains(name))
                .map(|(_, h)| positive(*h))
                .sum();
            let to = x + h * paper_per_h;
            if h > 0.0 {
                scene.rect([x, y], [to, y + BAR], Stroke::Thin, fill);
            }
            x = to;
        }
        let all = total(bar);
        if all > 0.0 {
            let tick = LEFT + positive(bar.attended_h).min(all) * paper_per_h;
            scene.line([tick, y - 1.0], [tick, y + BAR + 1.0], Stroke::Outline);
        }
        let text = if bar.parts[0] == 0 {
            texts::NO_PARTS.to_owned()
        } else {
            let bound = if bar.at_least { "at least " } else { "" };
            format!("{bound}{all:.0} h, {} of {}", bar.parts[0], bar.parts[1])
        };
        // Beside the bar's end, never over the line of the hours there are.
        scene.text(
            [RIGHT + 1.5, base],
            shortened(&text, 25),
            TEXT,
            Anchor::Start,
        );
    }
    scene
}

fn legend(scene: &mut Scene) {
    for (at, (name, _, fill)) in LOOKS.into_iter().enumerate() {
        let x = 6.0 + 60.0 * (at % 3) as f64;
        let y = 19.0 + 5.0 * (at / 3) as f64;
        scene.rect([x, y], [x + 7.0, y + 3.4], Stroke::Thin, fill);
        scene.text([x + 9.0, y + 2.8], name, TEXT, Anchor::Start);
    }
}

fn positive(hours: f64) -> f64 {
    if hours.is_finite() {
        hours.max(0.0)
    } else {
        0.0
    }
}

fn description(bars: &[HoursBar]) -> String {
    bars.iter()
        .map(|bar| {
            let kinds: Vec<String> = bar
                .kinds
                .iter()
                .map(|(name, h)| format!("{} {h:.0} h", name.replace('_', " ")))
                .collect();
            let bound = if bar.at_least { texts::AT_LEAST } else { "" };
            format!(
                "{}: {bound} {}; attended {:.0} h.",
                bar.offer,
                kinds.join(", "),
                bar.attended_h
            )
        })
        .collect::<Vec<_>>()
        .join(" ")
}
