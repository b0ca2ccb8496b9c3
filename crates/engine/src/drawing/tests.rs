use super::*;
use crate::demand::Holding;
use crate::fit::{SetupFit, StackUp, Verdict};
use crate::machine::{Known, Properties};
use units::Length;

/// Heights in inches: riser, holding, part, clearance, tool, lowest need, nose range.
pub(super) fn heights(
    [riser, holding, part, clearance, tool, low_need]: [f64; 6],
    low: Option<f64>,
    high: Option<f64>,
) -> StackUp {
    StackUp {
        held: crate::fit::Held::Vise,
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

/// How a setup lies: angle, clampings along X and Y, travel needed and size as it lies, inches.
fn lies(angle_deg: f64, along: [u32; 2], need: [f64; 2], size: [f64; 2]) -> SetupFit {
    SetupFit {
        turned: angle_deg > 0.0,
        angle_deg,
        clampings: along[0] * along[1],
        along,
        rotary: false,
        per_loading: 1,
        stack: cases().remove(0).1,
        travel_need: need.map(Length::inch),
        size: size.map(Length::inch),
    }
}

fn plans() -> Vec<(&'static str, SetupFit, [f64; 2], Properties)> {
    let mill = |x: f64, y: f64, table: Option<[f64; 2]>| Properties {
        travel_x: Known::Yes(Length::inch(x)),
        travel_y: Known::Yes(Length::inch(y)),
        table_x: table.map_or(Known::No, |t| Known::Yes(Length::inch(t[0]))),
        table_y: table.map_or(Known::No, |t| Known::Yes(Length::inch(t[1]))),
        ..Properties::default()
    };
    let (small, large) = (
        mill(18.0, 9.5, Some([26.0, 8.0])),
        mill(30.0, 16.0, Some([36.0, 14.0])),
    );
    vec![
        (
            "plan-one",
            lies(0.0, [1, 1], [16.5, 12.5], [16.0, 12.0]),
            [16.0, 12.0],
            large.clone(),
        ),
        (
            "plan-turned-round",
            lies(0.0, [1, 2], [16.5, 12.5], [16.0, 12.0]),
            [16.0, 12.0],
            small.clone(),
        ),
        (
            "plan-shifted",
            lies(0.0, [3, 1], [44.0, 6.0], [44.0, 6.0]),
            [44.0, 6.0],
            small.clone(),
        ),
        (
            "plan-across",
            lies(33.0, [1, 1], [17.5, 9.4], [18.0, 11.0]),
            [20.0, 1.5],
            small.clone(),
        ),
        (
            "plan-quarter",
            lies(90.0, [1, 1], [4.0, 9.0], [4.0, 9.0]),
            [9.0, 4.0],
            small,
        ),
        (
            "plan-row",
            SetupFit {
                per_loading: 4,
                ..lies(0.0, [1, 1], [4.0, 3.0], [4.0, 3.0])
            },
            [4.0, 3.0],
            large,
        ),
        (
            "plan-unknown",
            lies(0.0, [1, 1], [4.0, 3.0], [4.0, 3.0]),
            [4.0, 3.0],
            Properties::default(),
        ),
        (
            "plan-tiny",
            lies(0.0, [1, 1], [0.1, 0.1], [0.2, 0.1]),
            [0.2, 0.1],
            mill(30.0, 0.5, None),
        ),
    ]
}

/// A table's name, its parts and its offers.
type Table = (&'static str, Vec<(String, bool)>, Vec<(String, Vec<Cell>)>);

fn tables() -> Vec<Table> {
    let of = |parts: usize, offers: usize| {
        let all = [
            Verdict::Fits,
            Verdict::FitsWithMoreClampings,
            Verdict::CannotSay,
            Verdict::DoesNotFit,
        ];
        let names = (0..parts).map(|p| (format!("part number {p} with a long name"), p % 3 > 0));
        let rows = (0..offers).map(|o| {
            let cells = (0..parts).map(|p| Cell {
                verdict: all[(p + o) % 4],
                clampings: (p + 2) as u32,
                chance: (o % 3 == 1).then(|| [1.0, 0.73, 0.0, 0.045][p % 4]),
            });
            (
                format!("offer {o}, a machining centre with a name"),
                cells.collect(),
            )
        });
        (names.collect(), rows.collect())
    };
    let named = |name, (parts, offers)| (name, parts, offers);
    vec![
        named("matrix", of(8, 9)),
        named("matrix-one", of(1, 1)),
        named("matrix-none", of(0, 0)),
        named("matrix-many", of(60, 70)),
    ]
}

fn bars(offers: usize, scale: f64) -> Vec<HoursBar> {
    let kinds = [
        "cut",
        "moves",
        "tool_changes",
        "spindle",
        "clamping",
        "probing",
        "deburring",
        "checking",
        "setting_up",
    ];
    (0..offers)
        .map(|o| HoursBar {
            offer: format!("offer {o}, a machining centre with a name"),
            parts: [o % 9, 8],
            kinds: kinds
                .iter()
                .enumerate()
                .map(|(k, name)| (*name, scale * ((o * 7 + k * 5) % 11) as f64))
                .collect(),
            attended_h: 12.0 * scale,
            at_least: o % 2 == 0,
        })
        .collect()
}

/// Every scene there is, by name.
fn scenes() -> Vec<(String, Scene)> {
    let mut all = Vec::new();
    for us_units in [false, true] {
        for (name, stack) in cases() {
            all.push((
                format!("{name}-{us_units}"),
                stack_up(&drawing(name, &stack, us_units)),
            ));
        }
        for (name, setup, size, machine) in plans() {
            let scene = plan(&PlanDrawing {
                id: name,
                part: "drive-base plate",
                offer: "used 40-taper centre",
                setup: &setup,
                size: size.map(Length::inch),
                machine: &machine,
                us_units,
            });
            all.push((format!("{name}-{us_units}"), scene));
        }
    }
    for (name, parts, offers) in tables() {
        let scene = matrix(&MatrixDrawing {
            id: name,
            parts: &parts,
            offers: &offers,
        });
        all.push((name.to_owned(), scene));
    }
    for (name, offers, scale, available) in [
        ("hours", 9, 8.0, Some(600.0)),
        ("hours-full", 5, 20.0, Some(100.0)),
        ("hours-none", 0, 1.0, None),
        ("hours-nan", 3, f64::NAN, Some(f64::INFINITY)),
        ("hours-many", 90, 1.0, Some(20.0)),
    ] {
        let bars = bars(offers, scale);
        let scene = hours(&HoursDrawing {
            id: name,
            bars: &bars,
            available_h: available,
        });
        all.push((name.to_owned(), scene));
    }
    all
}

#[test]
fn no_text_runs_into_another_or_off_the_sheet() {
    for (name, scene) in scenes() {
        let boxes = scene.text_boxes();
        for (i, (text, own)) in boxes.iter().enumerate() {
            for (other_text, other) in &boxes[i + 1..] {
                assert!(!own.overlaps(other), "{name}: {text:?} over {other_text:?}");
            }
            assert!(
                own.min.iter().all(|v| *v >= 0.0)
                    && own.max[0] <= scene.width_mm
                    && own.max[1] <= scene.height_mm,
                "{name}: {text:?} {own:?}"
            );
        }
    }
}

#[test]
fn no_shape_leaves_the_sheet() {
    for (name, scene) in scenes() {
        for item in &scene.items {
            let Item::Polyline { points, .. } = item else {
                continue;
            };
            for [x, y] in points {
                let inside =
                    (0.0..=scene.width_mm).contains(x) && (0.0..=scene.height_mm).contains(y);
                assert!(
                    inside,
                    "{name}: {x} {y} on {} x {}",
                    scene.width_mm, scene.height_mm
                );
            }
        }
    }
}

#[test]
fn what_is_written_is_well_formed_and_the_same_each_time() {
    for ((_, scene), (_, again)) in scenes().into_iter().zip(scenes()) {
        for theme in [Theme::Auto, Theme::Light, Theme::Dark] {
            let once = svg(&scene, theme);
            check_well_formed(&once);
            assert_eq!(once, svg(&again, theme));
            assert!(once.contains("viewBox=") && once.contains("<title") && once.contains("<desc"));
        }
    }
}

#[test]
fn a_plan_tells_what_is_short_and_what_to_do() {
    let text = |name: &str| {
        let all = scenes();
        let (_, scene) = all.iter().find(|(n, _)| n == name).expect("a scene");
        scene.description.clone()
    };
    let round = text("plan-turned-round-true");
    assert!(round.contains("travel Y 9.5 in: SHORT by 3 in"), "{round}");
    assert!(
        round.contains("2 clampings, turned round")
            && round.contains("stands over the table along Y by 4 in")
    );
    assert!(text("plan-shifted-true").contains("3 clampings, shifted along the table"));
    assert!(text("plan-across-true").contains("turned by 33 degrees"));
    assert!(text("plan-unknown-true").contains("travel X not stated (ask)"));
    assert!(text("plan-one-false").contains("travel X 762 mm: 343 mm to spare"));
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
    for (name, scene) in scenes() {
        for theme in [Theme::Light, Theme::Dark] {
            let file = std::path::Path::new(&folder).join(format!("{name}-{theme:?}.svg"));
            std::fs::write(file, svg(&scene, theme)).unwrap();
        }
    }
}
