//! Capability against money: the offers as points, the higher the more of the wanted parts they make,
//! and the headroom of each in every capability, in figures.

use super::axis::Axis;
use super::money::Names;
use super::scene::{Anchor, Fill, Item, Scene, Stroke};
use super::texts;
use super::words::{shortened, wrapped};
use super::years_texts;
use crate::fit::{Capability, Fit, Verdict};
use crate::money::Percentiles;
use units::{Length, Mass, Money, Power, Torque};

/// An offer.
#[derive(Clone, Debug)]
pub struct CapabilityPoint<'a> {
    /// What people call it.
    pub name: String,
    /// All-in.
    pub all_in: Percentiles,
    /// Its fits, one a part.
    pub fits: &'a [Fit],
    /// True for the one chosen.
    pub chosen: bool,
}

/// Capabilities whose headroom is told, in the order of the columns.
const TOLD: [Capability; 8] = [
    Capability::TravelX,
    Capability::TravelY,
    Capability::NoseHigh,
    Capability::NoseLow,
    Capability::TableLoad,
    Capability::Power,
    Capability::Torque,
    Capability::Pockets,
];

const WIDTH: f64 = 210.0;
const LEFT: f64 = 36.0;
const RIGHT: f64 = 200.0;
const TOP: f64 = 24.0;
const ROW: f64 = 7.0;
const TEXT: f64 = 3.0;
const NAMES: f64 = 62.0;
const MOST: usize = 24;

/// Draws it.
pub fn capability_money(
    points: &[CapabilityPoint<'_>],
    budget: Money,
    us_units: bool,
    names: &Names<'_>,
) -> Scene {
    let mut points: Vec<&CapabilityPoint<'_>> = points.iter().take(MOST).collect();
    points.sort_by(|a, b| {
        made(b.fits).cmp(&made(a.fits)).then(
            a.all_in
                .p50
                .to_amount()
                .total_cmp(&b.all_in.p50.to_amount()),
        )
    });
    let bottom = TOP + ROW * points.len() as f64;
    let table = bottom + 34.0;
    let mut scene = Scene {
        id: "capability-money".to_owned(),
        title: years_texts::CAPABILITY_MONEY.to_owned(),
        description: describe(&points, budget, names),
        width_mm: WIDTH,
        height_mm: table + 12.0 + ROW * points.len() as f64,
        items: Vec::new(),
    };
    bold(
        &mut scene,
        [3.0, 7.0],
        years_texts::CAPABILITY_MONEY,
        4.2,
        Anchor::Start,
    );
    let ends = points
        .iter()
        .flat_map(|p| [p.all_in.p10, p.all_in.p90].map(|m| m.to_amount()));
    let axis = Axis::new(ends.chain([budget.to_amount()]), true, [LEFT, RIGHT]);
    for tick in axis.ticks() {
        let x = axis.at(tick);
        scene.line([x, TOP - 2.0], [x, bottom], Stroke::Thin);
        scene.text([x, bottom + 5.0], names.amount(tick), TEXT, Anchor::Middle);
    }
    scene.text(
        [0.5 * (LEFT + RIGHT), bottom + 10.5],
        texts::ALL_IN,
        TEXT,
        Anchor::Middle,
    );
    let x = axis.at(budget.to_amount());
    scene.line([x, TOP - 5.0], [x, bottom], Stroke::Outline);
    let (side, anchor) = if x > 0.5 * (LEFT + RIGHT) {
        (-1.2, Anchor::End)
    } else {
        (1.2, Anchor::Start)
    };
    let label = format!("{} {}", texts::BUDGET, names.amount(budget.to_amount()));
    bold(&mut scene, [x + side, TOP - 4.0], &label, TEXT, anchor);

    let mut level = None;
    for (row, point) in points.iter().enumerate() {
        let y = TOP + ROW * (row as f64 + 0.5);
        let count = made(point.fits);
        if level != Some(count) {
            if level.is_some() {
                scene.line([3.0, y - 0.5 * ROW], [RIGHT, y - 0.5 * ROW], Stroke::Thin);
            }
            let words = years_texts::makes(count, point.fits.len());
            scene.text([3.0, y + 0.35 * TEXT], words, TEXT, Anchor::Start);
            level = Some(count);
        }
        draw(&mut scene, point, letter(row), y, &axis, budget);
    }
    for (k, line) in wrapped(years_texts::CAPABILITY_LEGEND, 112)
        .into_iter()
        .enumerate()
    {
        let y = bottom + 16.5 + 4.4 * k as f64;
        scene.text([3.0, y], line, 0.95 * TEXT, Anchor::Start);
    }
    headroom(&mut scene, &points, table, us_units);
    scene
}

fn draw(
    scene: &mut Scene,
    point: &CapabilityPoint<'_>,
    letter: String,
    y: f64,
    axis: &Axis,
    budget: Money,
) {
    let over = point.all_in.p80 > budget;
    let p = &point.all_in;
    let [low, half, eight, high] = [p.p10, p.p50, p.p80, p.p90].map(|m| axis.at(m.to_amount()));
    let stroke = if over { Stroke::Short } else { Stroke::Outline };
    scene.line([low, y], [high, y], stroke);
    for x in [low, eight, high] {
        scene.line([x, y - 1.2], [x, y + 1.2], stroke);
    }
    let s = 1.8;
    let diamond = [[half, y - s], [half + s, y], [half, y + s], [half - s, y]];
    scene.outline(
        &diamond,
        stroke,
        if point.chosen {
            Fill::Part
        } else {
            Fill::Paper
        },
    );
    // To the left of the whisker, or to the right of it at the sheet's edge or the budget's line.
    let line = axis.at(budget.to_amount());
    let crossed = low > line && low - line < 6.0;
    let (x, anchor) = if low - LEFT > 6.0 && !crossed {
        (low - 1.6, Anchor::End)
    } else {
        (high + 1.6, Anchor::Start)
    };
    bold(scene, [x, y + 0.35 * TEXT], &letter, TEXT, anchor);
}

/// What is left of each capability beyond the part that asks most of it.
fn headroom(scene: &mut Scene, points: &[&CapabilityPoint<'_>], top: f64, us_units: bool) {
    bold(
        scene,
        [3.0, top - 5.0],
        years_texts::HEADROOM,
        TEXT,
        Anchor::Start,
    );
    let step = (WIDTH - 4.0 - NAMES) / TOLD.len() as f64;
    let right = |k: usize| NAMES + step * (k + 1) as f64;
    for (k, capability) in TOLD.into_iter().enumerate() {
        let [name, unit] = years_texts::headroom_column(capability, us_units);
        scene.text([right(k), top], name, 0.9 * TEXT, Anchor::End);
        scene.text([right(k), top + 4.0], unit, 0.9 * TEXT, Anchor::End);
    }
    for (row, point) in points.iter().enumerate() {
        let y = top + 6.0 + ROW * (row as f64 + 0.5);
        scene.line(
            [3.0, y - 0.5 * ROW],
            [WIDTH - 4.0, y - 0.5 * ROW],
            Stroke::Thin,
        );
        let base = y + 0.35 * TEXT;
        bold(scene, [3.0, base], &letter(row), TEXT, Anchor::Start);
        scene.text([8.0, base], shortened(&point.name, 30), TEXT, Anchor::Start);
        for (k, capability) in TOLD.into_iter().enumerate() {
            let margin = least(point.fits, capability);
            let text = margin.map_or(years_texts::NOT_SAID.to_owned(), |m| {
                shown(m, capability, us_units)
            });
            scene.items.push(Item::Text {
                at: [right(k), base],
                text,
                size_mm: TEXT,
                anchor: Anchor::End,
                bold: false,
                short: margin.is_some_and(|m| m < 0.0),
            });
        }
    }
}

/// Least margin of a capability over the parts.
fn least(fits: &[Fit], capability: Capability) -> Option<f64> {
    fits.iter()
        .flat_map(|f| &f.margins)
        .filter(|m| m.capability == capability && m.value.is_finite())
        .map(|m| m.value)
        .min_by(f64::total_cmp)
}

fn shown(margin: f64, capability: Capability, us_units: bool) -> String {
    let (value, digits) = match (capability.unit(), us_units) {
        ("mm", true) => (Length::mm(margin).to_inch(), 1),
        ("kg", true) => (Mass::kg(margin).to_lb(), 0),
        ("kW", true) => (Power::kw(margin).to_hp(), 1),
        ("N m", true) => (Torque::nm(margin).to_ft_lb(), 0),
        ("kW", false) => (margin, 1),
        _ => (margin, 0),
    };
    let text = format!("{value:+.digits$}");
    // A rounded nothing has no sign.
    if text.trim_start_matches(['+', '-', '0', '.']).is_empty() {
        return "0".to_owned();
    }
    text.replace('-', "\u{2212}")
}

fn made(fits: &[Fit]) -> usize {
    fits.iter()
        .filter(|f| matches!(f.verdict, Verdict::Fits | Verdict::FitsWithMoreClampings))
        .count()
}

fn letter(row: usize) -> String {
    char::from(b'A' + (row % 26) as u8).to_string()
}

fn describe(points: &[&CapabilityPoint<'_>], budget: Money, names: &Names<'_>) -> String {
    let each = points.iter().enumerate().map(|(row, p)| {
        format!(
            "{} {}: makes {} of {} parts, {} in half of the draws",
            letter(row),
            p.name,
            made(p.fits),
            p.fits.len(),
            names.amount(p.all_in.p50.to_amount())
        )
    });
    let each: Vec<String> = each.collect();
    format!(
        "Budget {}. {}.",
        names.amount(budget.to_amount()),
        each.join("; ")
    )
}

fn bold(scene: &mut Scene, at: [f64; 2], text: &str, size_mm: f64, anchor: Anchor) {
    scene.items.push(Item::Text {
        at,
        text: text.to_owned(),
        size_mm,
        anchor,
        bold: true,
        short: false,
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn margins_are_written_in_the_readers_units() {
        let of = |margin, capability, us| shown(margin, capability, us);
        assert_eq!(of(25.4, Capability::TravelX, true), "+1.0");
        assert_eq!(of(-25.4, Capability::TravelX, false), "\u{2212}25");
        assert_eq!(of(0.01, Capability::Power, false), "0");
        assert_eq!(of(3.0, Capability::Pockets, true), "+3");
    }
}
