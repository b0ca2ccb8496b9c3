//! Money in and out since the order, month by month to the longest horizon, with its band, and what the
//! sale at the shortest, the likely and the longest horizon leaves.

use super::axis::Axis;
use super::money::Names;
use super::scene::{Anchor, Fill, Item, Scene, Stroke};
use super::words::{shortened, wrapped};
use super::years_texts as texts;
use crate::money::{CashYear, Financing};

const WIDTH: f64 = 190.0;
const LEFT: f64 = 30.0;
/// The years end here; the sales stand apart to the right.
const RIGHT: f64 = 128.0;
/// First of the sales, and how far they stand apart.
const SOLD: f64 = 138.0;
const APART: f64 = 18.5;
/// Where lines across end.
const END: f64 = WIDTH - 3.0;
const TOP: f64 = 26.0;
const BOTTOM: f64 = 104.0;
const TEXT: f64 = 3.2;

/// Draws them.
pub fn cash_over_time(name: &str, financing: &Financing, names: &Names<'_>) -> Scene {
    let money = |v: f64| names.amount(v);
    let (months, sold) = (&financing.cash_months, &financing.horizons);
    let mut scene = Scene {
        id: format!("cash-{name}"),
        title: texts::cash(&shortened(name, 48), financing.cost_alone),
        description: texts::cash_words(financing, &money),
        width_mm: WIDTH,
        height_mm: BOTTOM + 28.0,
        items: Vec::new(),
    };
    let title = scene.title.clone();
    scene.items.push(Item::Text {
        at: [3.0, 7.0],
        text: title,
        size_mm: 4.2,
        anchor: Anchor::Start,
        bold: true,
        short: false,
    });
    let note = if financing.cost_alone {
        texts::CASH_COST_ALONE
    } else {
        texts::CASH_NOTE
    };
    scene.text([3.0, 13.0], note, TEXT, Anchor::Start);
    let amounts = months
        .iter()
        .chain(sold)
        .flat_map(|y| [y.low, y.likely, y.high].map(|m| m.to_amount()));
    let axis = Axis::new(amounts, true, [BOTTOM, TOP]);
    let last = months.last().map_or(1.0, |y| y.year).max(1.0 / 12.0);
    let x = |year: f64| LEFT + year / last * (RIGHT - LEFT);
    for tick in axis.ticks() {
        let y = axis.at(tick);
        scene.line([LEFT, y], [END, y], Stroke::Thin);
        scene.text(
            [LEFT - 2.0, y + 0.35 * TEXT],
            money(tick),
            TEXT,
            Anchor::End,
        );
    }
    let edge = |of: fn(&CashYear) -> f64| -> Vec<[f64; 2]> {
        months.iter().map(|y| [x(y.year), axis.at(of(y))]).collect()
    };
    let mut band = edge(|y| y.low.to_amount());
    band.extend(edge(|y| y.high.to_amount()).into_iter().rev());
    scene.outline(&band, Stroke::Thin, Fill::Spare);
    let nothing = axis.at(0.0);
    scene.line([LEFT, nothing], [END, nothing], Stroke::Outline);
    let middle = edge(|y| y.likely.to_amount());
    scene.items.push(Item::Polyline {
        points: middle,
        closed: false,
        stroke: Stroke::Outline,
        fill: Fill::None,
    });
    let mut free = f64::MIN;
    for year in months.iter().filter(|m| m.year.fract() == 0.0) {
        let at = x(year.year);
        mark(&mut scene, [at, axis.at(year.likely.to_amount())]);
        if at - free >= 9.0 {
            scene.text(
                [at, BOTTOM + 5.0],
                format!("{:.0}", year.year),
                TEXT,
                Anchor::Middle,
            );
            free = at;
        }
    }
    for (k, year) in sold.iter().enumerate() {
        // Where the years may end.
        let end = x(year.year);
        scene.line([end, TOP], [end, BOTTOM], Stroke::Dashed);
        let at = SOLD + APART * k as f64;
        let ends = [year.low, year.high].map(|m| axis.at(m.to_amount()));
        scene.line([at, ends[0]], [at, ends[1]], Stroke::Outline);
        for y in ends {
            scene.line([at - 1.6, y], [at + 1.6, y], Stroke::Outline);
        }
        let y = axis.at(year.likely.to_amount());
        mark(&mut scene, [at, y]);
        scene.text(
            // In two rows by turns, so that long sums do not meet.
            [at, TOP - 2.0 - 5.0 * (k % 2) as f64],
            money(year.likely.to_amount()),
            TEXT,
            Anchor::Middle,
        );
        scene.text(
            [at, BOTTOM + 5.0],
            texts::sold_after(year.year),
            TEXT,
            Anchor::Middle,
        );
    }
    scene.text(
        [
            SOLD + 0.5 * APART * sold.len().saturating_sub(1) as f64,
            BOTTOM + 11.0,
        ],
        texts::SOLD,
        TEXT,
        Anchor::Middle,
    );
    scene.text(
        [0.5 * (LEFT + RIGHT), BOTTOM + 11.0],
        texts::CASH_AXIS,
        TEXT,
        Anchor::Middle,
    );
    for (k, line) in wrapped(texts::CASH_LEGEND, 105).into_iter().enumerate() {
        let y = BOTTOM + 19.0 + 4.4 * k as f64;
        scene.text([3.0, y], line, 0.9 * TEXT, Anchor::Start);
    }
    scene
}

fn mark(scene: &mut Scene, [x, y]: [f64; 2]) {
    let s = 1.2;
    let diamond = [[x, y - s], [x + s, y], [x, y + s], [x - s, y]];
    scene.outline(&diamond, Stroke::Outline, Fill::Part);
}
