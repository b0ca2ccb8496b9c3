//! The keys outside programs rely on are there, with the kinds they rely on.

use crate::{json, model};
use serde_json::Value;

fn has(document: &Value, keys: &[&str]) {
    for key in keys {
        assert!(document.get(key).is_some(), "no '{key}' in {document:.300}");
    }
}

#[test]
fn part_document() {
    let part = json(&["part", &model("plate_holes.stl"), "--unit", "mm", "--json"]);
    has(
        &part,
        &[
            "schema",
            "notes",
            "model",
            "format",
            "unit",
            "solids",
            "faces",
            "watertight",
            "volume_mm3",
            "area_mm2",
            "bounds_mm",
            "box_mm",
            "stock_mm",
            "removed_mm3",
            "milling_job",
            "setups",
            "holes",
            "inside_radius_mm",
            "depth_to_diameter",
            "unreached_mm2",
            "stepped_mm2",
            "sharp_inside_corners",
        ],
    );
}

#[test]
fn study_document() {
    let study = json(&["study", "--json"]);
    assert_eq!(study["schema"], "firstchip.study/1");
    let first = |key: &str| {
        study[key]
            .get(0)
            .cloned()
            .unwrap_or_else(|| panic!("no {key}"))
    };
    has(&first("ceilings"), &["class", "price"]);
    has(
        &first("specification"),
        &["capability", "need", "comfort", "unit", "driver", "want"],
    );
    has(
        &first("fits"),
        &[
            "part",
            "offer",
            "verdict",
            "setups",
            "clampings",
            "margins",
            "limits",
            "ask",
        ],
    );
    has(
        &first("times"),
        &[
            "part",
            "offer",
            "first_part_h",
            "cycle_s",
            "hours_per_year",
            "bound",
        ],
    );
    let offer = first("offers");
    has(
        &offer,
        &[
            "offer",
            "all_in",
            "lines",
            "running_per_year",
            "npv",
            "payback_years",
            "over_budget_chance",
            "highest_price",
        ],
    );
    has(&offer["all_in"], &["p10", "p50", "p80", "p90", "mean"]);
    has(
        &offer["lines"][0],
        &["name", "low", "likely", "high", "mean", "origin"],
    );
    has(
        &first("site"),
        &[
            "offer",
            "goes_in",
            "route",
            "standing",
            "floor",
            "electrical",
            "air",
            "works",
        ],
    );
    has(
        &study["decision"],
        &[
            "aim",
            "offer",
            "options",
            "make",
            "farm_out",
            "chance_best",
            "among",
            "proven",
        ],
    );
    has(&first("questions"), &["input", "about", "worth", "error"]);
    for limit in study["fits"]
        .as_array()
        .into_iter()
        .flatten()
        .flat_map(|f| f["limits"].as_array().cloned().unwrap_or_default())
    {
        has(&limit, &["capability", "short_by", "unit", "mend"]);
    }
    for ask in study["fits"]
        .as_array()
        .into_iter()
        .flatten()
        .flat_map(|f| f["ask"].as_array().cloned().unwrap_or_default())
    {
        has(&ask, &["input", "flips_at"]);
    }
    for note in study["notes"].as_array().into_iter().flatten() {
        has(note, &["level", "about", "text"]);
    }
}
