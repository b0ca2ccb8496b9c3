//! A scene as SVG. Same scene, same bytes.

use super::scene::{Anchor, Fill, Item, Scene, Stroke};
use std::fmt::Write;

/// Whose colours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Theme {
    /// The reader's, light or dark; light on paper.
    Auto,
    /// Light, for programs that know no style variables.
    Light,
    /// Dark, likewise.
    Dark,
}

/// Name, light, dark. Contrast of text on paper is above 7:1 in both (WCAG 2.1, 1.4.6).
const COLOURS: [(&str, &str, &str); 7] = [
    ("paper", "#ffffff", "#14181c"),
    ("ink", "#1b232b", "#e4e9ee"),
    ("soft", "#4d5a66", "#a9b5c0"),
    ("body", "#e6eaee", "#2b333b"),
    ("part", "#c9dbe8", "#33506a"),
    ("spare", "#e3efe4", "#243a2a"),
    ("short", "#8c1d18", "#ffaba3"),
];

/// Writes a scene.
pub fn svg(scene: &Scene, theme: Theme) -> String {
    let mut out = String::new();
    let (w, h) = (number(scene.width_mm), number(scene.height_mm));
    let id = plain_id(&scene.id);
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"drawing\" viewBox=\"0 0 {w} {h}\" width=\"100%\" style=\"max-width:{w}mm\" role=\"img\" aria-labelledby=\"{id}-title {id}-desc\">\n<title id=\"{id}-title\">{}</title>\n<desc id=\"{id}-desc\">{}</desc>\n<style>{}</style>\n",
        escaped(&scene.title),
        escaped(&scene.description),
        style(theme)
    );
    let hatches = hatches(scene, &id);
    let _ = write!(
        out,
        "<defs>{hatches}<pattern id=\"{id}-ground\" width=\"2.4\" height=\"2.4\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><path class=\"thin\" d=\"M0 0V2.4\"/></pattern><pattern id=\"{id}-missing\" width=\"1.4\" height=\"1.4\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(-45)\"><path class=\"short\" d=\"M0 0V1.4\"/></pattern><pattern id=\"{id}-level\" width=\"1.6\" height=\"1.6\" patternUnits=\"userSpaceOnUse\"><path class=\"thin\" d=\"M0 .8H1.6\"/></pattern><pattern id=\"{id}-upright\" width=\"1.6\" height=\"1.6\" patternUnits=\"userSpaceOnUse\"><path class=\"thin\" d=\"M.8 0V1.6\"/></pattern></defs>\n<path class=\"paper\" d=\"M0 0H{w}V{h}H0Z\"/>\n"
    );
    for item in &scene.items {
        write_item(&mut out, item, &id);
    }
    out.push_str("</svg>\n");
    out
}

fn style(theme: Theme) -> String {
    let mut css = String::new();
    let sheet = |dark: bool| {
        COLOURS
            .iter()
            .map(|(name, l, d)| format!("--{name}:{}", if dark { d } else { l }))
            .collect::<Vec<_>>()
            .join(";")
    };
    if theme == Theme::Auto {
        let _ = write!(
            css,
            ".drawing{{{}}}@media (prefers-color-scheme:dark){{.drawing{{{}}}}}@media print{{.drawing{{{}}}}}",
            sheet(false),
            sheet(true),
            sheet(false)
        );
    }
    let colour = |name: &str| match theme {
        Theme::Auto => format!("var(--{name})"),
        Theme::Light | Theme::Dark => COLOURS
            .iter()
            .find(|(n, _, _)| *n == name)
            .map_or(
                "#808080",
                |(_, l, d)| if theme == Theme::Dark { d } else { l },
            )
            .to_owned(),
    };
    let (ink, soft, short) = (colour("ink"), colour("soft"), colour("short"));
    let paper = colour("paper");
    let _ = write!(
        css,
        ".drawing path{{fill:none;stroke-linejoin:round}}.drawing .paper{{fill:{};stroke:none}}.drawing .outline{{stroke:{ink};stroke-width:.35}}.drawing .thin{{stroke:{soft};stroke-width:.18}}.drawing .dashed{{stroke:{soft};stroke-width:.25;stroke-dasharray:1.6 1.1}}.drawing .short{{stroke:{short};stroke-width:.3}}.drawing .hatch{{stroke:{ink};stroke-width:.2}}.drawing .fill-paper{{fill:{}}}.drawing .fill-body{{fill:{}}}.drawing .fill-part{{fill:{}}}.drawing .fill-spare{{fill:{}}}.drawing .arrow{{fill:{soft};stroke:none}}.drawing .arrow-short{{fill:{short};stroke:none}}.drawing text{{font-family:system-ui,'Helvetica Neue',Arial,sans-serif;fill:{ink};paint-order:stroke;stroke:{paper};stroke-width:.7;stroke-linejoin:round}}.drawing .bold{{font-weight:600}}.drawing text.text-short{{fill:{short}}}",
        paper,
        paper,
        colour("body"),
        colour("part"),
        colour("spare")
    );
    css
}

fn stroke_class(stroke: Stroke) -> &'static str {
    match stroke {
        Stroke::Outline => "outline",
        Stroke::Thin => "thin",
        Stroke::Dashed => "dashed",
        Stroke::Short => "short",
    }
}

/// Hatchings of tools beyond the first, of holes and of steps: side of the tile, turn, drawing.
const HATCHES: [(Fill, &str, f64, f64, &str); 7] = [
    (Fill::Made(1), "made1", 1.6, 45.0, "M0 0V1.6"),
    (Fill::Made(2), "made2", 1.6, -45.0, "M0 0V1.6"),
    (Fill::Made(3), "made3", 1.8, 45.0, "M0 0V1.8M0 0H1.8"),
    (Fill::Made(4), "made4", 1.3, 0.0, "M0 0H1.3"),
    (Fill::Made(5), "made5", 1.3, 0.0, "M.4 .6h.35"),
    (Fill::Hole, "hole", 0.8, 0.0, "M0 0V.8"),
    (Fill::Stepped, "stepped", 2.0, 0.0, "M0 0H1V1H2V2"),
];

/// A tool's fill; after six they come round again, the letters still tell.
fn hatch_of(fill: Fill) -> Option<&'static str> {
    let fill = match fill {
        Fill::Made(rank) if rank > 5 => Fill::Made(1 + (rank - 6) % 5),
        other => other,
    };
    HATCHES.iter().find(|h| h.0 == fill).map(|h| h.1)
}

/// Definitions of the hatchings a scene uses.
fn hatches(scene: &Scene, id: &str) -> String {
    let used: Vec<&str> = scene
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Polyline { fill, .. } | Item::Cells { fill, .. } => hatch_of(*fill),
            _ => None,
        })
        .collect();
    let mut out = String::new();
    for (_, name, side, turn, d) in HATCHES.iter().filter(|h| used.contains(&h.1)) {
        let _ = write!(
            out,
            "<pattern id=\"{id}-{name}\" width=\"{side}\" height=\"{side}\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate({turn})\"><path class=\"hatch\" d=\"{d}\"/></pattern>"
        );
    }
    out
}

/// Class and style of a fill.
fn fill_of(fill: Fill, id: &str) -> (&'static str, String) {
    let url = |name: &str| format!(" style=\"fill:url(#{id}-{name})\"");
    match fill {
        Fill::None => ("", String::new()),
        Fill::Machine => (" fill-body", String::new()),
        Fill::Part | Fill::Made(0) => (" fill-part", String::new()),
        Fill::Spare => (" fill-spare", String::new()),
        Fill::Paper => (" fill-paper", String::new()),
        Fill::Ground => ("", url("ground")),
        Fill::Missing => ("", url("missing")),
        Fill::Level => ("", url("level")),
        Fill::Upright => ("", url("upright")),
        Fill::Made(_) | Fill::Hole | Fill::Stepped => ("", url(hatch_of(fill).unwrap_or("ground"))),
    }
}

fn write_item(out: &mut String, item: &Item, id: &str) {
    match item {
        Item::Polyline {
            points,
            closed,
            stroke,
            fill,
        } => {
            let mut d = String::new();
            for (at, [x, y]) in points.iter().enumerate() {
                let command = if at == 0 { 'M' } else { 'L' };
                let _ = write!(d, "{command}{} {}", number(*x), number(*y));
            }
            if *closed {
                d.push('Z');
            }
            let (class, style) = fill_of(*fill, id);
            let stroke = stroke_class(*stroke);
            let _ = writeln!(out, "<path class=\"{stroke}{class}\"{style} d=\"{d}\"/>");
        }
        Item::Cells { rects, fill } => {
            let mut d = String::new();
            for [x, y, w, h] in rects {
                let (w, h) = (number(*w), number(*h));
                let _ = write!(d, "M{} {}h{w}v{h}h-{w}z", number(*x), number(*y));
            }
            let (class, style) = fill_of(*fill, id);
            let class = class.trim_start();
            let _ = writeln!(out, "<path class=\"{class}\"{style} d=\"{d}\"/>");
        }
        Item::Arrow {
            tip: [x, y],
            toward: [dx, dy],
            stroke,
        } => {
            // ISO 129-1 draws heads about 1:3; 2.1 mm long suits 3 mm letters.
            let (back, half) = (2.1, 0.4);
            let (bx, by) = (x - back * dx, y - back * dy);
            let class = if *stroke == Stroke::Short {
                "arrow-short"
            } else {
                "arrow"
            };
            let _ = writeln!(
                out,
                "<path class=\"{class}\" d=\"M{} {}L{} {}L{} {}Z\"/>",
                number(*x),
                number(*y),
                number(bx - half * dy),
                number(by + half * dx),
                number(bx + half * dy),
                number(by - half * dx)
            );
        }
        Item::Text {
            at: [x, y],
            text,
            size_mm,
            anchor,
            bold,
            short,
        } => {
            let anchor = match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            let mut class = Vec::new();
            if *bold {
                class.push("bold");
            }
            if *short {
                class.push("text-short");
            }
            let _ = writeln!(
                out,
                "<text class=\"{}\" x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{anchor}\">{}</text>",
                class.join(" "),
                number(*x),
                number(*y),
                number(*size_mm),
                escaped(text)
            );
        }
    }
}

/// Hundredths of a millimetre; anything not finite becomes the sheet's corner.
fn number(value: f64) -> String {
    let value = if value.is_finite() { value } else { 0.0 };
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// Letters, digits and dashes; a name always begins with a letter.
fn plain_id(id: &str) -> String {
    let plain: String = id
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect();
    format!("d-{plain}")
}

/// Text for XML 1.0: escaped, and without the control characters it forbids.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            c => out.push(c),
        }
    }
    out
}
