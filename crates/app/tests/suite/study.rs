//! `firstchip study` and `new`, end to end.

use crate::{firstchip, firstchip_in};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

fn study(folder: &Path, threads: &str) -> Value {
    let output = Command::new(env!("CARGO_BIN_EXE_firstchip"))
        .args(["study", ".", "--json"])
        .current_dir(folder)
        .env("RAYON_NUM_THREADS", threads)
        .output()
        .expect("the built program runs");
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|e| panic!("{e}\n{}", String::from_utf8_lossy(&output.stderr)))
}

fn demo() -> tempfile::TempDir {
    let dir = tempfile::tempdir().expect("a temporary folder");
    let output = firstchip_in(dir.path(), &["new", "shop", "--demo"]);
    assert_eq!(
        output.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    dir
}

/// Verdict of each part on each offer.
fn verdicts(study: &Value) -> BTreeMap<(String, String), String> {
    study["fits"]
        .as_array()
        .into_iter()
        .flatten()
        .map(|f| {
            let text = |key: &str| f[key].as_str().unwrap_or_default().to_owned();
            ((text("offer"), text("part")), text("verdict"))
        })
        .collect()
}

#[test]
fn threads_and_file_order_change_nothing() {
    let dir = demo();
    let shop = dir.path().join("shop");
    let one = study(&shop, "1");
    let four = study(&shop, "4");
    assert_eq!(one, four);

    // The same parts listed backwards.
    let file = shop.join("parts.toml");
    let text = std::fs::read_to_string(&file).expect("parts.toml");
    let mut pieces: Vec<&str> = text.split("\n[[part]]").collect();
    let head = pieces.remove(0);
    pieces.reverse();
    let turned: String = std::iter::once(head.to_owned())
        .chain(pieces.iter().map(|p| format!("\n[[part]]{p}\n")))
        .collect();
    std::fs::write(&file, turned).expect("parts.toml");
    let backwards = study(&shop, "2");
    assert_eq!(one["decision"], backwards["decision"]);
    assert_eq!(one["offers"], backwards["offers"]);
    assert_eq!(verdicts(&one), verdicts(&backwards));
}

#[test]
fn a_number_left_out_never_becomes_a_yes() {
    let dir = demo();
    let shop = dir.path().join("shop");
    let before = verdicts(&study(&shop, "2"));
    let yes = |v: &str| v.starts_with("fits");
    let mut dropped = 0;
    for key in [
        "nose_to_table",
        "travel",
        "table_load",
        "spindle_power",
        "table",
        "positioning_accuracy",
    ] {
        for entry in std::fs::read_dir(shop.join("offers")).expect("offers") {
            let path = entry.expect("an offer").path();
            let text = std::fs::read_to_string(&path).expect("an offer");
            let without: String = text
                .lines()
                .filter(|l| !l.trim_start().starts_with(&format!("{key} ")))
                .map(|l| format!("{l}\n"))
                .collect();
            dropped += usize::from(without != text);
            std::fs::write(&path, without).expect("an offer");
        }
        for (pair, verdict) in verdicts(&study(&shop, "2")) {
            assert!(
                !yes(&verdict) || yes(&before[&pair]),
                "{key}: {pair:?} became {verdict}"
            );
        }
    }
    assert!(dropped > 10, "only {dropped} lines were there to leave out");
    // Without travel nothing at all can be said to fit.
    assert!(verdicts(&study(&shop, "2")).values().all(|v| !yes(v)));
}

#[test]
fn the_demo_is_answered_with_its_verdict_first() {
    let output = firstchip(&["study"]);
    assert!(matches!(output.status.code(), Some(0 | 1)));
    let text = String::from_utf8_lossy(&output.stdout);
    let at = |words: &str| {
        text.find(words)
            .unwrap_or_else(|| panic!("no '{words}' in\n{text}"))
    };
    let order = [
        at("THE ANSWER"),
        at("WHAT YOU CAN SPEND"),
        at("WHAT YOUR PARTS ASK"),
        at("WHICH MACHINE MAKES WHICH PART"),
        at("WHAT IT REALLY COSTS"),
        at("WHAT WAS ASSUMED"),
        at("WHAT TO ASK"),
        at("WHAT TO DO NEXT"),
    ];
    assert!(order.is_sorted());
    assert!(
        !text.contains('\r') && !text.contains('\x1b'),
        "control codes in a pipe"
    );
}

#[test]
fn pairs_and_drawings_are_written() {
    let dir = demo();
    let output = firstchip_in(
        dir.path(),
        &[
            "study",
            "shop",
            "--pairs",
            "pairs.csv",
            "--drawings",
            "drawings",
        ],
    );
    assert!(matches!(output.status.code(), Some(0 | 1)));
    let pairs = std::fs::read_to_string(dir.path().join("pairs.csv")).expect("pairs.csv");
    let names: Vec<String> = std::fs::read_dir(dir.path().join("drawings"))
        .expect("drawings")
        .map(|f| {
            f.expect("a file")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    let count = |start: &str| names.iter().filter(|n| n.starts_with(start)).count();
    // Heights and plan of every pair, the table of parts and offers, the hours.
    let all = pairs.lines().count() - 1;
    assert_eq!((count("heights-"), count("plan-")), (all, all));
    assert_eq!((count("parts-by-offer"), count("hours-by-offer")), (1, 1));
    assert!(all >= 6 * 7, "{all}");
}

#[test]
fn a_folder_is_never_overwritten_and_a_missing_one_is_named() {
    let dir = demo();
    let output = firstchip_in(dir.path(), &["new", "shop"]);
    assert_eq!(output.status.code(), Some(2));
    let output = firstchip_in(dir.path(), &["study", "nowhere"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty());
    assert!(String::from_utf8_lossy(&output.stderr).contains("nowhere"));
}

#[test]
fn every_no_carries_a_mend_with_its_time_and_each_class_its_share() {
    let dir = demo();
    let document = study(&dir.path().join("shop"), "2");
    let list = |key: &str| document[key].as_array().cloned().unwrap_or_default();
    let mut nos = 0;
    for fit in list("fits") {
        if fit["verdict"] == "does_not_fit" {
            let limits = fit["limits"].as_array().cloned().unwrap_or_default();
            let ruling: Vec<_> = limits.iter().filter(|l| l["rules_out"] == true).collect();
            assert!(!ruling.is_empty(), "{fit}");
            for limit in ruling {
                nos += 1;
                assert!(limit["costs_s"].is_number(), "{limit}");
                assert!(
                    !limit["mend"].as_str().unwrap_or_default().is_empty(),
                    "{limit}"
                );
            }
        }
    }
    assert!(nos > 0, "the demo has machines too small for some part");
    let classes = list("classes");
    assert!(classes.len() >= 5, "{classes:?}");
    for class in &classes {
        let share = class["share_of_pieces"].as_f64().unwrap_or(-1.0);
        assert!((0.0..=1.0).contains(&share), "{class}");
        assert!(
            ["yes", "some", "no"].contains(&class["ceiling_reaches"].as_str().unwrap_or("")),
            "{class}"
        );
    }
    // The counts of each offer are those of its fits, its kinds of time make up its hours.
    for (pairs, offer) in list("pairs").iter().zip(list("offers")) {
        let of = |verdict: &str| {
            list("fits")
                .iter()
                .filter(|f| f["offer"] == offer["offer"] && f["verdict"] == verdict)
                .count()
        };
        for verdict in [
            "fits",
            "fits_with_more_clampings",
            "cannot_say",
            "does_not_fit",
        ] {
            assert_eq!(pairs[verdict], of(verdict), "{pairs}");
        }
        let hours = offer["hours_per_year"].as_f64().unwrap_or(-1.0);
        let kinds: f64 = offer["hours_by_kind"]
            .as_object()
            .into_iter()
            .flatten()
            .filter_map(|(_, h)| h.as_f64())
            .sum();
        assert!((hours - kinds).abs() <= 1e-9 * hours, "{offer}");
        let load = &offer["load"];
        assert!(
            load["utilisation"].as_f64() > Some(0.0) || hours == 0.0,
            "{load}"
        );
    }
}
