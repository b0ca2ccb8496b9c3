//! `firstchip part` with something asked: own tools, material, marks, faces left; and its cache.

use crate::model;
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Runs `part` on the plate with holes, in a folder, with a cache.
fn run(folder: &Path, cache: &str, more: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_firstchip"))
        .args(["part", &model("plate_holes.stl"), "--unit", "mm", "--json"])
        .args(more)
        .current_dir(folder)
        .env("FIRSTCHIP_CACHE", cache)
        .output()
        .expect("the built program runs")
}

fn document(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|e| panic!("{e}\n{}", String::from_utf8_lossy(&output.stderr)))
}

fn said(document: &Value) -> String {
    document["notes"].to_string()
}

fn files(cache: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(cache).into_iter().flatten();
    let mut all: Vec<PathBuf> = entries.filter_map(|e| Some(e.ok()?.path())).collect();
    all.sort();
    all
}

#[test]
fn plans_are_kept_by_content_and_parameters_and_a_damaged_one_is_made_again() {
    let dir = tempfile::tempdir().expect("a temporary folder");
    let cache = dir.path().join("kept");
    let name = cache.display().to_string();
    let first = document(&run(dir.path(), &name, &[]));
    let kept = files(&cache);
    assert_eq!(kept.len(), 1, "{kept:?}");
    assert!(kept[0].extension().is_some_and(|e| e == "json"));
    // The same again is read from there: a kept plan that differs shows.
    let whole = std::fs::read_to_string(&kept[0]).expect("text");
    let mut plan: Value = serde_json::from_str(&whole).expect("JSON");
    plan["marks_mm2"] = Value::from(12_345.0);
    std::fs::write(&kept[0], plan.to_string()).expect("written");
    let again = document(&run(dir.path(), &name, &[]));
    assert_eq!(again["marks_mm2"], 12_345.0);
    assert_eq!(again["setups"], first["setups"]);
    // Other parameters are another plan.
    let other = document(&run(dir.path(), &name, &["--must-reach-marks"]));
    assert_eq!(other["marks_mm2"], first["marks_mm2"]);
    assert_eq!(files(&cache).len(), 2);
    // What cannot be read is made anew, whole.
    for damaged in ["", "{\"setups\":[]}", &whole[..whole.len() / 2]] {
        std::fs::write(&kept[0], damaged).expect("written");
        assert_eq!(document(&run(dir.path(), &name, &[])), first);
        let mended = std::fs::read_to_string(&kept[0]).expect("text");
        assert_eq!(mended, whole);
    }
    // Nothing half-written is left beside, and an empty name keeps nothing.
    assert_eq!(files(&cache).len(), 2);
    assert_eq!(document(&run(dir.path(), "", &[])), first);
    // A cache that cannot be written costs time only.
    assert_eq!(document(&run(dir.path(), "/dev/null/no", &[])), first);
}

#[test]
fn a_material_is_known_or_refused() {
    let dir = tempfile::tempdir().expect("a temporary folder");
    let output = run(dir.path(), "", &["--material", "unobtainium"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty());
    let message = String::from_utf8_lossy(&output.stderr);
    for part in [
        "'unobtainium'",
        "P (steel)",
        "H (hardened steel)",
        "6061",
        "ti-6al-4v",
    ] {
        assert!(message.contains(part), "{part}: {message}");
    }
    // Sawn stock of 309.8 x 208.2 x 17.7 mm at 2700 kg per cubic metre.
    let aluminium = document(&run(dir.path(), "", &["--material", "6061"]));
    let mass = aluminium["stock_mass_kg"].as_f64().expect("a mass");
    assert!(
        (mass - 2.7e-6 * 309.8 * 208.2 * 17.7).abs() < 1e-3,
        "{mass}"
    );
    assert!(said(&aluminium).contains("whole length of the necks"));
    // 4600 MPa against 700: the cube root of 0.152 is 0.534.
    let hard = document(&run(dir.path(), "", &["--material", "h"]));
    assert!(said(&hard).contains("to 53 %") && said(&hard).contains("high-speed steel"));
    assert!(hard.get("stock_mass_kg").is_none());
}

#[test]
fn own_tools_are_found_beside_shop_toml_or_named_and_told_apart_from_those_to_buy() {
    let dir = tempfile::tempdir().expect("a temporary folder");
    let put = |name: &str, text: &str| {
        std::fs::write(dir.path().join(name), text).expect("written");
    };
    let tools = "name,type,DC (mm),LU (mm),DCON (mm),OAL (mm)\n\
                 My 16,end mill,16,40,16,100\n\
                 My 6.75,drill,6.75,60,6.75,100\n\
                 My face,face mill,40,20,22,60\n";
    put("tools.csv", tools);
    let drills = |document: &Value| -> Vec<Value> {
        let setups = document["setups"].as_array().cloned().unwrap_or_default();
        let tasks = setups.iter().flat_map(|s| s["tasks"].as_array().cloned());
        tasks
            .flatten()
            .filter(|t| t["kind"] == "drill")
            .map(|t| t["tool"]["owned"].clone())
            .collect()
    };
    // A file that is not in a shop folder is not taken unasked.
    let unasked = document(&run(dir.path(), "", &[]));
    assert!(drills(&unasked).iter().all(Value::is_null));
    let named = document(&run(dir.path(), "", &["--tools", "tools.csv"]));
    assert!(!drills(&named).is_empty());
    assert!(drills(&named).iter().all(|d| d == "My 6.75"));
    let told = said(&named);
    assert!(
        told.contains("My 16") && told.contains("My face") && told.contains("to be bought"),
        "{told}"
    );
    put("shop.toml", "currency = \"USD\"\n");
    let found = document(&run(dir.path(), "", &[]));
    assert_eq!(found["setups"], named["setups"]);
    put("bad.csv", "name,type,DC\nx,end mill,6\n");
    let bad = run(dir.path(), "", &["--tools", "bad.csv"]);
    assert_eq!(bad.status.code(), Some(2));
    let message = String::from_utf8_lossy(&bad.stderr);
    assert!(
        message.contains("bad.csv:2") && message.contains("DC (column 3)"),
        "{message}"
    );
    assert_eq!(
        run(dir.path(), "", &["--tools", "none.csv"]).status.code(),
        Some(2)
    );
}

#[test]
fn faces_left_as_stock_cost_no_setup() {
    let dir = tempfile::tempdir().expect("a temporary folder");
    let count = |document: &Value| document["setups"].as_array().map(Vec::len);
    let faced = |document: &Value| document["setups"].to_string().contains("\"face\"");
    let all = document(&run(dir.path(), "", &[]));
    let left = document(&run(dir.path(), "", &["--leave-stock-faces"]));
    assert!(count(&left) <= count(&all));
    assert!(faced(&all) && !faced(&left));
    assert_eq!(left["stock_mm"], left["box_mm"]);
    assert!(said(&left).contains("left as the stock is"));
}
