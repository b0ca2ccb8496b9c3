//! The single-line diagram: nothing runs into anything, everything sized is named.

use engine::drawing::{Scene, SingleLine, Theme, single_line, svg};
use engine::site::ELECTRICAL_CAUTION;
use engine::site::converter::Kind;
use engine::site::electrical::{Load, Phases, Question, Rules, Supply, size};
use units::{Current, Length, Voltage};

struct Case {
    name: &'static str,
    supply: Supply,
    run: Option<Length>,
    available_a: Option<f64>,
}

fn supply(
    rules: Rules,
    machine: (f64, Phases),
    source: (f64, Phases),
    amps: f64,
    run: Option<Length>,
    converter: Option<Kind>,
) -> Supply {
    size(&Question {
        rules,
        source_volts: Some(Voltage::v(source.0)),
        source_phases: source.1,
        length: run,
        converter,
        ..Question::new(
            Voltage::v(machine.0),
            machine.1,
            Load::Amps(Current::a(amps)),
        )
    })
    .unwrap_or_else(|why| panic!("{why:?}"))
}

fn cases() -> Vec<Case> {
    use Phases::{One, Three};
    let run = Some(Length::foot(60.0));
    let mut cases = Vec::new();
    for (name, rules, machine, source, amps, run, converter, available_a) in [
        (
            "nec-plain",
            Rules::Nec,
            (230.0, One),
            (240.0, One),
            20.0,
            run,
            None,
            Some(60.0),
        ),
        (
            "nec-rotary",
            Rules::Nec,
            (230.0, Three),
            (240.0, One),
            40.0,
            run,
            Some(Kind::Rotary),
            Some(60.0),
        ),
        (
            "nec-digital-up",
            Rules::Nec,
            (480.0, Three),
            (240.0, One),
            20.0,
            run,
            Some(Kind::Digital),
            None,
        ),
        (
            "nec-drive",
            Rules::Nec,
            (230.0, Three),
            (240.0, One),
            9.0,
            None,
            Some(Kind::Vfd),
            None,
        ),
        (
            "nec-utility",
            Rules::Nec,
            (230.0, Three),
            (240.0, One),
            40.0,
            run,
            Some(Kind::Utility),
            None,
        ),
        (
            "iec-plain",
            Rules::Iec,
            (400.0, Three),
            (400.0, Three),
            32.0,
            run,
            None,
            Some(40.0),
        ),
        (
            "iec-digital",
            Rules::Iec,
            (400.0, Three),
            (230.0, One),
            20.0,
            run,
            Some(Kind::Digital),
            Some(50.0),
        ),
    ] {
        cases.push(Case {
            name,
            supply: supply(rules, machine, source, amps, run, converter),
            run,
            available_a,
        });
    }
    cases
}

fn scene(case: &Case, us_units: bool, machine: &str) -> Scene {
    single_line(&SingleLine {
        id: case.name,
        machine,
        supply: &case.supply,
        run: case.run,
        available_a: case.available_a,
        us_units,
        caution: ELECTRICAL_CAUTION,
    })
}

#[test]
fn no_text_runs_into_another_or_off_the_sheet() {
    let long =
        "A machining centre with a name that goes on and on beyond any sheet of paper there is";
    for case in cases() {
        for (us, name) in [(false, "Fir 20 x 16"), (true, long)] {
            let scene = scene(&case, us, name);
            let boxes = scene.text_boxes();
            for (i, (text, own)) in boxes.iter().enumerate() {
                for (other_text, other) in &boxes[i + 1..] {
                    assert!(
                        !own.overlaps(other),
                        "{}: {text:?} over {other_text:?}",
                        case.name
                    );
                }
                assert!(
                    own.min.iter().all(|v| *v >= 0.0)
                        && own.max[0] <= scene.width_mm
                        && own.max[1] <= scene.height_mm,
                    "{}: {text:?} {own:?}",
                    case.name
                );
            }
        }
    }
}

#[test]
fn every_size_is_named_and_the_caution_stands_below() {
    for case in cases() {
        let text = svg(&scene(&case, true, "Fir 20 x 16"), Theme::Light);
        let circuits = case.supply.source.iter().chain([&case.supply.machine]);
        for circuit in circuits {
            let written = circuit.conductor.replace("mm2", "mm²");
            assert!(text.contains(&written), "{}", case.name);
            let drive = case
                .supply
                .converter
                .as_ref()
                .is_some_and(|c| c.kind == Kind::Vfd);
            if drive && circuit == &case.supply.machine {
                // Nothing opens between a drive and its motor.
                continue;
            }
            assert!(
                text.contains(&format!("Breaker {} A", circuit.breaker_a)),
                "{}",
                case.name
            );
        }
        assert!(text.contains("Disconnect") && text.contains("licensed electrician"));
        assert_eq!(
            text.contains("Transformer"),
            case.supply.transformer.is_some()
        );
        assert_eq!(text, svg(&scene(&case, true, "Fir 20 x 16"), Theme::Light));
    }
}

#[test]
fn a_panel_too_small_is_told_in_words() {
    let all = cases();
    let of = |name: &str| {
        let case = all.iter().find(|c| c.name == name).unwrap();
        svg(&scene(case, true, "x"), Theme::Light)
    };
    // 40 A times root three, 230 over 240 V and a quarter more: 83 A of 60.
    assert!(of("nec-rotary").contains("TOO SMALL by 23 A"));
    assert!(of("nec-plain").contains("to spare") && !of("nec-plain").contains("TOO SMALL"));
    assert!(of("nec-drive").contains("one motor only"));
}

/// Writes the cases as files for the eye when a folder is named.
#[test]
fn cases_for_the_eye() {
    let Some(folder) = std::env::var_os("DRAWING_CASES") else {
        return;
    };
    for case in cases() {
        for theme in [Theme::Light, Theme::Dark] {
            let file = std::path::Path::new(&folder).join(format!("{}-{theme:?}.svg", case.name));
            let us = case.supply.rules == Rules::Nec;
            std::fs::write(
                file,
                svg(
                    &scene(&case, us, "Fir 20 x 16 machining centre, new"),
                    theme,
                ),
            )
            .unwrap();
        }
    }
}
