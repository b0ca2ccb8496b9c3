//! Names beside their places, the title, the scale bar and the legend.

use super::super::scene::{Anchor, Item, Scene, Stroke, TextBox};
use super::{LEGEND, SIDE, Sheet, TEXT, TOP, WIDTH};
use glam::DVec2;
use units::{Length, System, show_room};

/// Names beside their places, none on another or on what is `taken`: each moves down, then up, until
/// it is free.
pub(super) fn place_names(
    scene: &mut Scene,
    sheet: &Sheet,
    names: &[(DVec2, String, bool)],
    mut taken: Vec<TextBox>,
) {
    // What is short comes first, at its own place.
    let mut order: Vec<usize> = (0..names.len()).collect();
    order.sort_by_key(|n| !names[*n].2);
    for number in order {
        let (at, text, short) = &names[number];
        let [x, y] = sheet.at(*at);
        let half = 0.29 * TEXT * text.chars().count() as f64;
        let x = x.clamp(half + 2.0, (WIDTH - half - 2.0).max(half + 2.0));
        let boxed = |y: f64| TextBox {
            min: [x - half - 0.5, y - 0.8 * TEXT],
            max: [x + half + 0.5, y + 0.4 * TEXT],
        };
        let (top, bottom) = (TOP, sheet.bottom());
        let shift = (0..40)
            .flat_map(|n| [f64::from(n), -f64::from(n)])
            .map(|n| 1.25 * TEXT * n)
            .find(|shift| {
                let own = boxed(y + shift);
                own.min[1] >= top && own.max[1] <= bottom && !taken.iter().any(|t| t.overlaps(&own))
            })
            .unwrap_or(0.0);
        let y = y + shift;
        taken.push(boxed(y));
        scene.items.push(Item::Text {
            at: [x, y],
            text: text.clone(),
            size_mm: TEXT,
            anchor: Anchor::Middle,
            bold: *short,
            short: *short,
        });
    }
}

/// What stands over and below the plan.
pub(super) struct Frame<'a> {
    pub title: &'a str,
    pub answer: &'a str,
    /// Lines below the scale bar.
    pub below: &'a [&'a str],
    pub system: System,
}

pub(super) fn frame(scene: &mut Scene, sheet: &Sheet, told: &Frame<'_>) {
    scene.items.push(Item::Text {
        at: [SIDE, 8.0],
        text: told.title.to_owned(),
        size_mm: 4.2,
        anchor: Anchor::Start,
        bold: true,
        short: false,
    });
    scene.text([SIDE, 13.5], told.answer, 3.2, Anchor::Start);
    // A bar of a length people can pace.
    let candidates: &[Length] = if told.system == System::Us {
        &[
            Length::foot(1.0),
            Length::foot(2.0),
            Length::foot(5.0),
            Length::foot(10.0),
            Length::foot(20.0),
            Length::foot(50.0),
        ]
    } else {
        &[
            Length::m(0.5),
            Length::m(1.0),
            Length::m(2.0),
            Length::m(5.0),
            Length::m(10.0),
            Length::m(20.0),
        ]
    };
    let bar = candidates
        .iter()
        .rev()
        .find(|l| sheet.scale * l.to_mm() <= 50.0)
        .unwrap_or(&candidates[0]);
    let y = sheet.bottom() + LEGEND + 3.0;
    let width = sheet.scale * bar.to_mm();
    for x in [SIDE, SIDE + width] {
        scene.line([x, y - 1.2], [x, y + 1.2], Stroke::Thin);
    }
    scene.line([SIDE, y], [SIDE + width, y], Stroke::Outline);
    scene.text(
        [SIDE + width + 2.0, y + 1.0],
        show_room(*bar, told.system),
        TEXT,
        Anchor::Start,
    );
    for (n, line) in told.below.iter().enumerate() {
        let y = y + 6.0 + 4.5 * n as f64;
        scene.text([SIDE, y], *line, TEXT, Anchor::Start);
    }
    scene.height_mm = y + 5.0 + 4.5 * told.below.len() as f64;
}
