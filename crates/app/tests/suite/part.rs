//! `firstchip part` against mesh truth (trimesh 5.2.0, recorded in `geometry/tests/data`).

use crate::{firstchip, json, model};

/// Relative error permitted by the issue the command answers: 0.01 %.
const TOLERANCE: f64 = 1e-4;

fn close(found: &serde_json::Value, expected: f64) {
    let found = found.as_f64().expect("a number");
    assert!(
        (found - expected).abs() <= TOLERANCE * expected.abs(),
        "{found} against {expected}"
    );
}

#[test]
fn an_inch_model_measures_right() {
    let path = model("featuretype_inch.stl");
    let part = json(&["part", &path, "--unit", "in", "--json"]);
    assert_eq!(part["schema"], "firstchip.part/1");
    assert_eq!(part["unit"], "in");
    assert_eq!(part["format"], "stl");
    assert_eq!(part["watertight"], true);
    // Truth in cubic and square inches; 1 in = 25.4 mm.
    close(&part["volume_mm3"], 11.627_733_431_196_75 * 25.4f64.powi(3));
    close(&part["area_mm2"], 53.827_386_118_182_16 * 25.4f64.powi(2));
    close(&part["box_mm"][0], 127.0);
    close(&part["box_mm"][1], 63.5);
    close(&part["box_mm"][2], 34.925);
    close(&part["bounds_mm"][1][2], 34.925);
}

#[test]
fn a_3mf_states_its_own_unit_and_its_damage() {
    let part = json(&["part", &model("featuretype.3mf"), "--json"]);
    assert_eq!(part["unit"], "in");
    assert_eq!(part["watertight"], false);
    close(&part["area_mm2"], 53.815_459_325_631_4 * 25.4f64.powi(2));
    let notes = part["notes"].as_array().expect("notes");
    assert!(
        notes
            .iter()
            .any(|n| n["level"] == "warning" && n["text"].to_string().contains("hole")),
        "{notes:?}"
    );
}

#[test]
fn a_unit_is_never_guessed() {
    for (name, likely) in [
        ("featuretype_inch.stl", "in"),
        ("octagonal_pocket.stl", "m"),
        ("plate_holes.stl", "mm"),
    ] {
        let output = firstchip(&["part", &model(name), "--json"]);
        assert_eq!(output.status.code(), Some(2), "{name}");
        assert!(output.stdout.is_empty(), "{name}");
        let message = String::from_utf8_lossy(&output.stderr);
        assert!(message.contains("carries no unit"), "{message}");
        assert!(
            message
                .trim_end()
                .ends_with(&format!("for example {likely}")),
            "{message}"
        );
    }
}

#[test]
fn metres_come_out_in_millimetres() {
    let part = json(&[
        "part",
        &model("octagonal_pocket.stl"),
        "--unit",
        "m",
        "--json",
    ]);
    close(&part["box_mm"][0], 228.6);
    close(&part["box_mm"][2], 15.875);
}

#[test]
fn several_models_give_one_document_and_every_bad_one_is_named() {
    let good = model("plate_holes.stl");
    let parts = json(&["part", &good, &good, "--unit", "mm", "--json"]);
    assert_eq!(parts["schema"], "firstchip.parts/1");
    assert_eq!(parts["parts"].as_array().map(Vec::len), Some(2));

    let output = firstchip(&["part", "no-such.stl", &good, "neither.3mf", "--unit", "mm"]);
    assert_eq!(output.status.code(), Some(2));
    let message = String::from_utf8_lossy(&output.stderr);
    assert!(
        message.contains("no-such.stl") && message.contains("neither.3mf"),
        "{message}"
    );
    assert!(String::from_utf8_lossy(&output.stdout).contains("plate_holes"));
}

/// A generated STEP file beside its truth (the C++ kernel's adaptive mass properties).
fn generated(name: &str) -> (String, serde_json::Value) {
    let folder =
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../step/tests/data/generated");
    let truth = std::fs::read(folder.join("truth.json")).expect("truth.json");
    let truth: serde_json::Value = serde_json::from_slice(&truth).expect("JSON");
    (
        folder.join(name).display().to_string(),
        truth[name.trim_end_matches(".step")].clone(),
    )
}

#[test]
fn a_step_model_is_exact_and_becomes_a_mesh() {
    let (path, truth) = generated("bracket_inch.step");
    let part = json(&["part", &path, "--json"]);
    assert_eq!(part["format"], "step");
    assert_eq!(part["unit"], "in");
    assert_eq!(part["watertight"], true);
    close(
        &part["volume_mm3"],
        truth["volume_mm3"].as_f64().expect("truth"),
    );
    close(
        &part["area_mm2"],
        truth["area_mm2"].as_f64().expect("truth"),
    );

    let dir = tempfile::tempdir().expect("a temporary folder");
    let out = dir.path().join("out.stl").display().to_string();
    let output = firstchip(&["step", &path, "--mesh", &out, "--tolerance", "0.01 mm"]);
    assert_eq!(
        output.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let mesh = json(&["part", &out, "--unit", "mm", "--json"]);
    assert_eq!(mesh["watertight"], true);
    // The mesh stays within 0.01 mm of the surface, so its volume within that times the area.
    let exact = part["volume_mm3"].as_f64().expect("a number");
    let bound = 0.01 * part["area_mm2"].as_f64().expect("a number");
    assert!((mesh["volume_mm3"].as_f64().expect("a number") - exact).abs() <= bound);
}

#[test]
fn a_file_without_a_solid_says_so() {
    let dir = tempfile::tempdir().expect("a temporary folder");
    let file = dir.path().join("empty.step").display().to_string();
    std::fs::write(
        &file,
        "ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n#1=CARTESIAN_POINT('',(0.,0.,0.));\nENDSEC;\nEND-ISO-10303-21;\n",
    )
    .expect("a temporary file");
    let output = firstchip(&["part", &file, "--json"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("no solid"));
}
