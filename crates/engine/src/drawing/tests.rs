use super::*;
use crate::demand::Holding;
use crate::fit::StackUp;
use units::Length;

/// Heights in inches: riser, holding, part, clearance, tool, lowest need, nose range.
pub(super) fn heights(
    [riser, holding, part, clearance, tool, low_need]: [f64; 6],
    low: Option<f64>,
    high: Option<f64>,
) -> StackUp {
    StackUp {
        riser: Length::inch(riser),
        holding: Length::inch(holding),
        part: Length::inch(part),
        clearance: Length::inch(clearance),
        longest_tool: Length::inch(tool),
        nose_high_need: Length::inch(riser + holding + part + clearance + tool),
        nose_low_need: Length::inch(low_need),
        nose_low: low.map(Length::inch),
        nose_high: high.map(Length::inch),
    }
}

fn cases() -> Vec<(&'static str, StackUp)> {
    let tall = [0.0, 4.0, 6.0, 1.0, 5.0, 7.0];
    vec![
        ("fits", heights(tall, Some(6.0), Some(18.0))),
        ("short", heights(tall, Some(0.0), Some(10.0))),
        ("missing", heights(tall, None, None)),
        ("half", heights(tall, Some(4.0), None)),
        ("top-missing-high-low", heights(tall, Some(30.0), None)),
        (
            "too-high",
            heights([0.0, 1.0, 0.25, 0.5, 3.0, 3.5], Some(8.0), Some(24.0)),
        ),
        (
            "riser",
            heights([3.0, 4.0, 0.5, 0.4, 3.2, 8.0], Some(8.0), Some(20.0)),
        ),
        (
            "thin",
            heights([0.02, 0.1, 0.05, 0.03, 9.0, 9.0], Some(8.99), Some(9.21)),
        ),
        ("exact", heights(tall, Some(7.0), Some(16.0))),
    ]
}

fn drawing<'a>(name: &'a str, stack: &'a StackUp, us_units: bool) -> StackUpDrawing<'a> {
    StackUpDrawing {
        id: name,
        part: "worm housing",
        offer: "used 40-taper centre",
        stack,
        holding: Holding::Vise,
        us_units,
    }
}

/// A strict little reader of the XML we write: tags nest, attributes are quoted, text is escaped.
pub(super) fn check_well_formed(xml: &str) {
    let mut open = Vec::new();
    let mut rest = xml;
    while let Some(at) = rest.find('<') {
        let text = &rest[..at];
        assert!(!text.contains('>'), "stray > in {text:?}");
        for (i, _) in text.match_indices('&') {
            assert!(
                ["&amp;", "&lt;", "&gt;", "&quot;", "&#39;"]
                    .iter()
                    .any(|e| text[i..].starts_with(e)),
                "{text:?}"
            );
        }
        let end = at + rest[at..].find('>').expect("a tag ends");
        let tag = &rest[at + 1..end];
        assert!(!tag.contains('<'), "{tag:?}");
        assert_eq!(tag.matches('"').count() % 2, 0, "{tag:?}");
        if let Some(name) = tag.strip_prefix('/') {
            assert_eq!(open.pop().as_deref(), Some(name));
        } else if !tag.ends_with('/') {
            open.push(tag.split_whitespace().next().unwrap().to_owned());
        }
        rest = &rest[end + 1..];
    }
    assert!(open.is_empty(), "{open:?}");
    assert_eq!(rest.trim(), "");
}

#[test]
fn no_text_runs_into_another_or_off_the_sheet() {
    for (name, stack) in cases() {
        for us in [false, true] {
            let scene = stack_up(&drawing(name, &stack, us));
            let boxes = scene.text_boxes();
            for (i, (text, own)) in boxes.iter().enumerate() {
                for (other_text, other) in &boxes[i + 1..] {
                    assert!(
                        !own.overlaps(other),
                        "{name} {us}: {text:?} over {other_text:?}"
                    );
                }
                assert!(
                    own.min.iter().all(|v| *v >= 0.0)
                        && own.max[0] <= scene.width_mm
                        && own.max[1] <= scene.height_mm,
                    "{name} {us}: {text:?} {own:?}"
                );
            }
        }
    }
}

#[test]
fn what_is_written_is_well_formed_and_the_same_each_time() {
    for (name, stack) in cases() {
        for theme in [Theme::Auto, Theme::Light, Theme::Dark] {
            let once = svg(&stack_up(&drawing(name, &stack, true)), theme);
            check_well_formed(&once);
            assert_eq!(once, svg(&stack_up(&drawing(name, &stack, true)), theme));
            assert!(once.contains("viewBox=") && once.contains("<title") && once.contains("<desc"));
        }
    }
}

#[test]
fn names_are_escaped() {
    let (_, stack) = &cases()[0];
    let mut evil = drawing("a\"><script>", stack, true);
    evil.part = "<b>&\"'\u{0}\u{7}";
    let text = svg(&stack_up(&evil), Theme::Auto);
    check_well_formed(&text);
    assert!(!text.contains("<script") && !text.contains("<b>"));
    assert!(text.contains("&lt;b&gt;&amp;&quot;&#39;"));
}

#[test]
fn a_shortfall_is_told_in_words_and_hatching() {
    let all = cases();
    let of = |name: &str| {
        let (name, stack) = all.iter().find(|(n, _)| *n == name).unwrap();
        svg(&stack_up(&drawing(name, stack, true)), Theme::Auto)
    };
    // 4 in vise, 6 in part, 1 in clearance, 5 in of holder and tool: 16 in; a nose at 10 in lacks 6.
    let short = of("short");
    assert!(short.contains("TOO SHORT by 6 in") && short.contains("fill:url(#d-short-missing)"));
    let fits = of("fits");
    assert!(
        fits.contains("2 in to spare")
            && !fits.contains("TOO")
            && !fits.contains("fill:url(#d-fits-missing)")
    );
    let missing = of("missing");
    assert!(missing.contains("rises to ? (ask)") && !missing.contains("to spare"));
    assert!(of("too-high").contains("TOO HIGH by 4.5 in"));
}

#[test]
fn numbers_that_are_none_do_not_reach_the_drawing() {
    let mut stack = cases()[0].1.clone();
    stack.nose_high = Some(Length::mm(f64::NAN));
    stack.part = Length::mm(f64::INFINITY);
    check_well_formed(&svg(&stack_up(&drawing("nan", &stack, false)), Theme::Auto));
}

#[test]
fn labels_keep_their_order_and_distance() {
    let heights = super::layout::spread(&[10.0, 10.0, 10.5, 40.0, 99.0, 99.5], 4.0, [0.0, 100.0]);
    for pair in heights.windows(2) {
        assert!(pair[1] - pair[0] >= 4.0 - 1e-9, "{heights:?}");
    }
    assert!(heights[0] >= 0.0 && heights[5] <= 100.0);
    assert_eq!(heights[3], 40.0);
}

/// Writes the cases as files for the eye when a folder is named.
#[test]
fn cases_for_the_eye() {
    let Some(folder) = std::env::var_os("DRAWING_CASES") else {
        return;
    };
    for (name, stack) in cases() {
        for us in [false, true] {
            for theme in [Theme::Light, Theme::Dark] {
                let file = std::path::Path::new(&folder).join(format!("{name}-{us}-{theme:?}.svg"));
                std::fs::write(file, svg(&stack_up(&drawing(name, &stack, us)), theme)).unwrap();
            }
        }
    }
}
