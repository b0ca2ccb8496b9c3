//! `firstchip cut`, against printed answers and its own contract.

use super::{firstchip, json};
use serde_json::Value;

fn number(document: &Value, key: &str) -> f64 {
    document[key]
        .as_f64()
        .unwrap_or_else(|| panic!("{key} in {document}"))
}

fn cut(args: &str) -> Value {
    let mut all: Vec<&str> = vec!["cut"];
    all.extend(args.split(' '));
    all.push("--json");
    json(&all)
}

#[track_caller]
fn near(found: f64, shown: f64, half: f64) {
    assert!((found - shown).abs() <= half, "{found} is not {shown}");
}

#[test]
fn milling_as_mitsubishi_prints_it() {
    // ap 2, ae 80, vf 280 (D 250, 12 teeth, vc 80, fz 0.229), kc 1800, efficiency 0.8: 1.68 kW.
    let d = cut(
        "mill --diameter 250mm --teeth 12 --speed 80m/min --feed-per-tooth 0.229mm --depth 2mm --width 80mm --kc 1800MPa --efficiency 0.8 --length 550mm",
    );
    assert_eq!(d["schema"], "firstchip.cut/1");
    near(number(&d, "motor_kw"), 1.68, 0.005);
    near(number(&d, "rpm"), 101.86, 0.005);
    near(number(&d, "feed_mm_min"), 280.0, 0.5);
    near(number(&d, "removal_mm3_min"), 44_800.0, 80.0);
    near(
        number(&d, "time_s"),
        550.0 / number(&d, "feed_mm_min") * 60.0,
        1e-9,
    );
    assert_eq!(number(&d, "kc_mpa"), 1800.0);
    assert!(d["thrust_n"].is_null() && d.get("band").is_none());
}

#[test]
fn drilling_as_iscar_prints_it_in_both_systems() {
    // D 22, vc 200, f 0.15, kc 2200, efficiency 0.75: n 2894, vf 434, Q 165, Pc 8.06, Mc 20, Ff 2286.
    for args in [
        "drill --diameter 22mm --speed 200m/min --feed-per-rev 0.15mm --kc 2200MPa --efficiency 0.75 --length 35mm",
        "drill --diameter 0.866142in --speed 656.168ft/min --feed-per-rev 0.00590551in --kc 319.083ksi --efficiency 75% --point-angle 180deg --length 1.377953in",
    ] {
        let d = cut(args);
        near(number(&d, "rpm"), 2894.0, 0.5);
        near(number(&d, "feed_mm_min"), 434.0, 0.5);
        near(number(&d, "removal_mm3_min") / 1000.0, 165.0, 0.5);
        near(number(&d, "motor_kw"), 8.067, 0.001);
        near(number(&d, "torque_nm"), 20.0, 0.5);
        near(number(&d, "thrust_n"), 2286.9, 0.2);
        near(number(&d, "time_s") / 60.0, 0.08, 0.005);
    }
}

#[test]
fn tapping_boring_and_turning() {
    // LUBERO: M10 x 1.5, kc 2500: 7.0 N m.
    let tap = cut("tap --diameter 10mm --pitch 1.5mm --rpm 300 --kc 2500MPa");
    near(number(&tap, "torque_nm"), 7.03, 0.005);
    near(number(&tap, "feed_mm_min"), 450.0, 1e-9);
    // BIG Daishowa: Dc 50, Di 44, f 0.1, kc 2000: 14.1 N m.
    let bore =
        cut("bore --diameter 50mm --depth 3mm --feed-per-rev 0.1mm --speed 100m/min --kc 2000MPa");
    near(number(&bore, "torque_nm"), 14.1, 0.05);
    // Mitsubishi: ap 3, f 0.2, vc 120, kc 3100, efficiency 0.8: 4.65 kW; no diameter, no torque.
    let turn =
        cut("bore --depth 3mm --feed-per-rev 0.2mm --speed 120m/min --kc 3100MPa --efficiency 0.8");
    near(number(&turn, "motor_kw"), 4.65, 0.005);
    assert!(turn["torque_nm"].is_null() && turn["rpm"].is_null());
    // Kienzle at a chip of 0.1 mm: 2489.4.
    let kienzle =
        cut("bore --depth 1mm --feed-per-rev 0.1mm --speed 100m/min --kc11 1500MPa --mc 0.22");
    near(number(&kienzle, "kc_mpa"), 2489.4, 0.05);
}

#[test]
fn a_lead_angle_thins_the_chip_and_leaves_the_removal() {
    let of = |angle: &str| {
        cut(&format!(
            "mill --diameter 80mm --teeth 6 --speed 180m/min --feed-per-tooth 0.2mm --depth 2mm --width 60mm --kc11 1500MPa --mc 0.22 --centred --cutting-edge-angle {angle}"
        ))
    };
    let (square, lead) = (of("90deg"), of("45"));
    near(
        number(&lead, "chip_mean_mm") / number(&square, "chip_mean_mm"),
        0.5f64.sqrt(),
        1e-9,
    );
    assert_eq!(
        number(&lead, "removal_mm3_min"),
        number(&square, "removal_mm3_min")
    );
    assert!(number(&lead, "power_kw") > number(&square, "power_kw"));
}

#[test]
fn a_material_fills_in_what_is_left_out_and_carries_the_band_of_the_methods() {
    for args in [
        "mill --diameter 12mm --teeth 4 --depth 6mm --width 6mm --material 1045",
        "drill --diameter 10mm --material 1018",
        "tap --diameter 8mm --pitch 1.25mm --material 304",
        "bore --diameter 40mm --depth 1mm --material N",
    ] {
        let d = cut(args);
        let band: Vec<f64> = d["band"]["power_kw"]
            .as_array()
            .expect("a band")
            .iter()
            .map(|v| v.as_f64().expect("a number"))
            .collect();
        let power = number(&d, "power_kw");
        assert!(
            band[0] <= power && power <= band[1] && band[1] > 1.02 * band[0],
            "{args}: {d}"
        );
        let notes = d["notes"].to_string();
        assert!(
            notes.contains("taken from the table") && notes.contains("ISCAR"),
            "{notes}"
        );
    }
    let d = cut("drill --diameter 10mm --material 1018");
    assert_eq!(d["methods"].as_array().map(Vec::len), Some(2));
}

#[test]
fn wrong_usage_is_two_and_the_impossible_is_one() {
    let code = |args: &str| {
        let all: Vec<&str> = args.split(' ').collect();
        let out = firstchip(&all);
        (
            out.status.code(),
            String::from_utf8_lossy(&out.stderr).into_owned(),
        )
    };
    for (args, said) in [
        ("cut mill --diameter 10mm", "--teeth"),
        (
            "cut mill --diameter 10 --teeth 4 --depth 1mm --width 1mm --material 6061",
            "16 in or 406 mm",
        ),
        (
            "cut mill --diameter 10mm --teeth 4 --depth 1mm --width 1mm --kc 1800MPa",
            "--speed or --rpm and --feed-per-tooth",
        ),
        (
            "cut mill --diameter 10mm --teeth 4 --depth 1mm --width 1mm --kc 1800MPa --kc11 1MPa --mc 0.2",
            "cannot be used with",
        ),
        (
            "cut mill --diameter 10mm --teeth 4 --depth 1mm --width 1mm",
            "--material",
        ),
        ("cut drill --diameter 10mm --kc11 1500MPa", "--mc"),
        (
            "cut drill --diameter 10mm --material unobtainium",
            "no material this tool knows",
        ),
        (
            "cut drill --diameter 0mm --material 6061",
            "greater than zero",
        ),
        (
            "cut drill --diameter 10mm --material 6061 --efficiency 1.2",
            "no efficiency",
        ),
    ] {
        let (code, err) = code(args);
        assert_eq!(code, Some(2), "{args}: {err}");
        assert!(err.contains(said), "{args}: {err}");
    }
    for args in [
        "cut mill --diameter 10mm --teeth 4 --depth 1mm --width 12mm --material 6061 --json",
        "cut bore --diameter 10mm --depth 6mm --material 6061 --json",
        "cut tap --diameter 6mm --pitch 4mm --material 6061 --json",
    ] {
        let all: Vec<&str> = args.split(' ').collect();
        let out = firstchip(&all);
        assert_eq!(out.status.code(), Some(1), "{args}");
        let d: Value = serde_json::from_slice(&out.stdout).expect("a document all the same");
        assert!(d["power_kw"].is_null());
        let problem = d["notes"]
            .as_array()
            .expect("notes")
            .iter()
            .any(|n| n["level"] == "problem");
        assert!(problem, "{d}");
    }
}

#[test]
fn the_terminal_answer_has_both_systems_and_its_sources() {
    let args = "cut mill --diameter 0.5in --teeth 4 --depth 0.25in --width 0.25in --material 4140";
    let all: Vec<&str> = args.split(' ').collect();
    let out = firstchip(&all);
    assert_eq!(out.status.code(), Some(0));
    let text = String::from_utf8_lossy(&out.stdout);
    for part in [
        "ft/min",
        "m/min",
        "hp",
        "kW",
        "in³/min",
        "cm³/min",
        "rests on",
        "Mitsubishi",
        "by the methods",
    ] {
        assert!(text.contains(part), "{part} in\n{text}");
    }
}
