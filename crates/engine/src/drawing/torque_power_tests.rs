use super::tests::check_well_formed;
use super::*;
use crate::cutting::{Range, Spindle, SpindleBand};
use crate::machine::{Known, Properties};
use units::{Power, Rpm, Torque};

fn point(name: &str, rpm: f64, nm: f64) -> TaskPoint {
    TaskPoint {
        name: name.to_owned(),
        rpm: Rpm::rpm(rpm),
        torque: Torque::nm(nm),
    }
}

fn tasks() -> Vec<TaskPoint> {
    vec![
        point("face the top, 76 mm", 752.0, 22.0),
        point("rough the pocket, 12 mm", 4770.0, 4.1),
        point("drill 20 mm", 350.0, 58.0),
        point("drill 6.8 mm", 1030.0, 2.6),
        point("drill 5 mm", 1400.0, 1.4),
        point("tap M8", 440.0, 7.0),
        point("tap M6", 590.0, 3.2),
        point("finish the walls, 6 mm", 9500.0, 0.5),
        point(
            "chamfer all edges all round, both sides, 10 mm",
            5700.0,
            0.3,
        ),
    ]
}

fn band(power: Option<f64>, torque: Option<f64>, base: Option<f64>, fastest: f64) -> SpindleBand {
    SpindleBand::of(&Properties {
        spindle_power: power.map_or(Known::No, |p| Known::Yes(Power::kw(p))),
        spindle_torque: torque.map_or(Known::No, |t| Known::Yes(Torque::nm(t))),
        spindle_torque_rpm: base.map_or(Known::No, |b| Known::Yes(Rpm::rpm(b))),
        spindle_rpm_max: Known::Yes(Rpm::rpm(fastest)),
        ..Properties::default()
    })
    .expect("known")
}

fn belts() -> SpindleBand {
    let step = |rpm: f64| Range {
        slowest: Rpm::rpm(0.4 * rpm),
        fastest: Rpm::rpm(rpm),
        torque: Power::kw(1.1).torque_at(Rpm::rpm(0.8 * rpm)),
        power: Power::kw(1.1),
    };
    let s = Spindle::of_ranges(&[step(500.0), step(1800.0), step(6000.0)]).expect("sound");
    SpindleBand {
        lower: s,
        likely: s,
        upper: s,
    }
}

fn cases() -> Vec<(&'static str, SpindleBand, Option<Spindle>, Vec<TaskPoint>)> {
    let centre = band(Some(11.0), Some(70.0), None, 8000.0);
    let peak = band(Some(15.0), Some(95.0), None, 8000.0).likely;
    let crowd = (0..30)
        .map(|i| {
            point(
                &format!("drill {i}"),
                800.0 + f64::from(i),
                5.0 + 0.01 * f64::from(i),
            )
        })
        .collect();
    vec![
        ("centre", centre, Some(peak), tasks()),
        ("light", band(Some(1.1), None, None, 6000.0), None, tasks()),
        (
            "three",
            band(Some(5.5), Some(30.0), Some(1200.0), 10_000.0),
            None,
            tasks(),
        ),
        ("belts", belts(), None, tasks()),
        ("crowd", centre, None, crowd),
        ("none", centre, None, vec![]),
        (
            "strange",
            centre,
            None,
            vec![
                point("<&\">", f64::NAN, 1.0),
                point("fast", 1e9, 1e9),
                point("still", 0.0, 1.0),
            ],
        ),
    ]
}

fn drawn(case: &(&'static str, SpindleBand, Option<Spindle>, Vec<TaskPoint>), us: bool) -> Scene {
    torque_power(&TorquePowerDrawing {
        id: case.0,
        offer: "used 40-taper centre",
        band: &case.1,
        peak: case.2.as_ref(),
        tasks: &case.3,
        us_units: us,
    })
}

#[test]
fn no_text_runs_into_another_or_off_the_sheet() {
    for case in cases() {
        for us in [false, true] {
            let scene = drawn(&case, us);
            let boxes = scene.text_boxes();
            for (i, (text, own)) in boxes.iter().enumerate() {
                for (other_text, other) in &boxes[i + 1..] {
                    assert!(
                        !own.overlaps(other),
                        "{} {us}: {text:?} over {other_text:?}",
                        case.0
                    );
                }
                assert!(
                    own.min.iter().all(|v| *v >= 0.0)
                        && own.max[0] <= scene.width_mm
                        && own.max[1] <= scene.height_mm,
                    "{} {us}: {text:?} {own:?}",
                    case.0
                );
            }
        }
    }
}

#[test]
fn every_task_is_plotted_in_both_panels_and_told_in_words() {
    let all = cases();
    let scene = drawn(&all[0], false);
    for number in 1..=9 {
        let plotted = scene
            .text_boxes()
            .iter()
            .filter(|(text, _)| *text == number.to_string())
            .count();
        // A tick may show the same digit.
        assert!(plotted >= 2, "{number}");
    }
    // 11 kW at 9500 rpm is there, but the spindle ends at 8000.
    assert!(
        scene
            .description
            .contains("finish the walls, 6 mm: 9500 rpm, 0.5 N m, 497 W BEYOND"),
        "{}",
        scene.description
    );
    assert!(scene.description.contains("drill 20 mm: 350 rpm, 58 N m"));
    let light = drawn(&all[1], true).description;
    assert!(
        light.contains("drill 20 mm") && light.contains("BEYOND"),
        "{light}"
    );
}

#[test]
fn what_is_written_is_well_formed_and_the_same_each_time() {
    for case in cases() {
        for theme in [Theme::Auto, Theme::Light, Theme::Dark] {
            let once = svg(&drawn(&case, true), theme);
            check_well_formed(&once);
            assert_eq!(once, svg(&drawn(&case, true), theme));
        }
    }
}

/// Writes the cases as files for the eye when a folder is named.
#[test]
fn cases_for_the_eye() {
    let Some(folder) = std::env::var_os("DRAWING_CASES") else {
        return;
    };
    for case in cases() {
        for us in [false, true] {
            for theme in [Theme::Light, Theme::Dark] {
                let name = format!("torque-{}-{us}-{theme:?}.svg", case.0);
                let file = std::path::Path::new(&folder).join(name);
                std::fs::write(file, svg(&drawn(&case, us), theme)).expect("written");
            }
        }
    }
}
