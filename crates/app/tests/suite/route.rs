//! `firstchip route`, end to end.

use crate::{firstchip, json};

/// Corridors of 1500 and 1200 mm at a right angle; 10 m and 9 m long.
const CORNER: &str = r#"[plan]
unit = "mm"
walls = [[[6000, 0], [0, 0], [0, 6000], [1200, 6000], [1200, 1500], [6000, 1500], [6000, 0]]]
[plan.truck]
at = [3600, 750]
[[plan.spot]]
from = [0, 2200]
to = [1200, 6000]
"#;

fn plan(text: &str) -> (tempfile::TempDir, String) {
    let dir = tempfile::tempdir().expect("a temporary folder");
    let file = dir.path().join("plan.toml");
    std::fs::write(&file, text).expect("plan.toml");
    let name = file.display().to_string();
    (dir, name)
}

#[test]
fn a_load_that_turns_the_corner_and_one_that_does_not() {
    let (dir, file) = plan(CORNER);
    let drawing = dir.path().join("way.svg").display().to_string();
    // Longest for a width of 800 by the closed form (site and purchase checks M14, M15): 2.218 m.
    let yes = json(&[
        "route",
        &file,
        "--load",
        "2000x800",
        "--json",
        "--drawing",
        &drawing,
    ]);
    assert_eq!(yes["schema"], "firstchip.route/1");
    assert_eq!(yes["goes_in"], "yes");
    assert!(yes["length_m"].as_f64().expect("a length") > 3.0);
    assert!(yes["tightest_mm"].as_f64().expect("room") > 0.0);
    assert!(yes["sticks_at"].is_null());
    assert!(yes["largest"]["length_mm"].as_f64().expect("a size") >= 2000.0);
    assert!(
        std::fs::read_to_string(&drawing)
            .expect("a drawing")
            .contains("</svg>")
    );
    let no = json(&[
        "route",
        &file,
        "--load",
        "96 in x 32 in x 70 in",
        "--json",
        "--cell",
        "20 mm",
    ]);
    assert_eq!(no["goes_in"], "no");
    assert_eq!(no["sticks_at"].as_array().map(Vec::len), Some(2));
    assert!(no["largest"]["length_mm"].as_f64().expect("a size") < 2438.4);
    assert_eq!(
        firstchip(&["route", &file, "--load", "96x32 in", "--quick"])
            .status
            .code(),
        Some(0)
    );
}

/// Too wide for the corner as it is, not without its enclosure.
#[test]
fn what_comes_off_is_told_with_its_cost() {
    let (_dir, file) = plan(&format!(
        "{CORNER}\n[[plan.dismantling]]\nname = \"enclosure off\"\nwidth = \"800 mm\"\ncost = \"$400 to $900\"\n"
    ));
    let told = json(&[
        "route",
        &file,
        "--load",
        "2000x1150",
        "--json",
        "--cell",
        "20 mm",
    ]);
    assert_eq!(told["goes_in"], "no");
    let step = &told["with_works"]["steps"][0];
    assert_eq!(
        (&step["kind"], &step["what"]),
        (&"part_off".into(), &"enclosure off".into())
    );
    assert_eq!(step["price"], serde_json::json!([400.0, 650.0, 900.0]));
    let words = firstchip(&["route", &file, "--load", "2000x1150", "--quick"]);
    let words = String::from_utf8_lossy(&words.stdout).into_owned();
    assert!(
        words.contains("NOT AS IT IS") && words.contains("$400 to $900"),
        "{words}"
    );
}

#[test]
fn what_is_missing_or_wrong_is_said() {
    let (_dir, file) = plan(&CORNER.replace("[plan.truck]\nat = [3600, 750]\n", ""));
    let asked = firstchip(&["route", &file, "--load", "500x500", "--json"]);
    assert_eq!(asked.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&asked.stdout).contains("set down"));
    let (_dir, bare) = plan("ceiling = \"8 ft\"\n");
    let (_dir, wrong) = plan(&CORNER.replace("unit = \"mm\"\n", ""));
    for (file, load, words) in [
        (&bare, "500x500", "no [plan]"),
        (&wrong, "500x500", "state unit"),
        (&file, "500", "a load is length x width"),
        (&file, "0x500", "more than nothing"),
        (&file, "", "expected"),
    ] {
        let output = firstchip(&["route", file, "--load", load]);
        assert_eq!(output.status.code(), Some(2), "{load}");
        let told = String::from_utf8_lossy(&output.stderr);
        assert!(told.contains(words), "{words}: {told}");
    }
}

#[test]
fn the_study_uses_the_plan_of_the_demo() {
    let study = json(&["study", "--json"]);
    let site = study["site"].as_array().expect("sites");
    let told: Vec<&str> = site.iter().filter_map(|s| s["goes_in"].as_str()).collect();
    assert!(
        told.contains(&"yes") || told.contains(&"cannot_say"),
        "{told:?}"
    );
    assert!(
        site.iter()
            .any(|s| s["route"]["goes_in"] == "yes" && s["route"]["length_m"].as_f64() > Some(8.0))
    );
    assert!(
        site.iter()
            .any(|s| s["route"]["goes_in"] == "no" && s["route"]["sticks_at"].is_array())
    );
    assert!(site.iter().any(|s| s["place"]["stands"] == "yes"));
}
