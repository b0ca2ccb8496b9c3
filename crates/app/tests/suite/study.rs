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

/// Without what a spindle states a pair is no yes, or says what carries it and where it is lost.
#[test]
fn a_spindle_number_left_out_is_asked_for_or_told() {
    let dir = demo();
    let shop = dir.path().join("shop");
    let yes = |v: &str| v.starts_with("fits");
    let without = |keys: &[&str]| {
        for entry in std::fs::read_dir(shop.join("offers")).expect("offers") {
            let path = entry.expect("an offer").path();
            let text = std::fs::read_to_string(&path).expect("an offer");
            let left = |l: &&str| !keys.iter().any(|k| l.trim_start().starts_with(k));
            let text: String = text
                .lines()
                .filter(left)
                .map(|l| format!("{l}\n"))
                .collect();
            std::fs::write(&path, text).expect("an offer");
        }
        study(&shop, "2")
    };
    let before = verdicts(&without(&[]));
    let told = without(&["spindle_rpm_min", "axis_thrust", "spindle_torque"]);
    let (mut carried, mut kept) = (0, 0);
    for fit in told["fits"].as_array().expect("fits") {
        let text = |key: &str| fit[key].as_str().unwrap_or_default().to_owned();
        let pair = (text("offer"), text("part"));
        if !yes(&text("verdict")) {
            continue;
        }
        kept += 1;
        let assumed = fit["assumed"].as_array().expect("what carries it");
        for a in assumed {
            let (taken, flips) = (a["taken"].as_f64().expect("taken"), a["flips_at"].as_f64());
            let flips = flips.expect("where it is lost");
            let holds = if a["at_least"] == true {
                taken >= flips
            } else {
                taken <= flips
            };
            assert!(holds, "{a}");
        }
        carried += usize::from(!assumed.is_empty());
        assert!(yes(&before[&pair]), "{pair:?}");
    }
    assert!(carried > 0 && kept > 0, "{carried} {kept}");
    let offers = told["offers"].as_array().expect("offers");
    let parts = |o: &Value| o["assumed"][0]["parts"].as_u64().unwrap_or(0);
    assert!(offers.iter().any(|o| parts(o) > 0));
    // Of a power without the highest speed nothing is sure of the torque.
    let blind = without(&["spindle_rpm_max"]);
    assert!(
        verdicts(&blind).values().all(|v| !yes(v)),
        "{:?}",
        verdicts(&blind)
    );
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

fn folder_offers(dir: &Path) -> usize {
    std::fs::read_dir(dir.join("shop/offers"))
        .expect("offers")
        .count()
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
        .map(|e| {
            e.expect("a file")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    let of = |kind: &str| names.iter().filter(|n| n.starts_with(kind)).count();
    for kind in ["heights-", "plan-"] {
        assert_eq!(pairs.lines().count() - 1, of(kind), "{kind}");
    }
    assert!(of("heights-") >= 6 * 7, "{names:?}");
    // One of torque and power, of cost and of doubt an offer; every demo offer states its
    // supply, and the demo has a floor plan.
    let offers = folder_offers(dir.path());
    for kind in ["torque-", "cost-", "doubt-", "supply-", "floor-"] {
        assert_eq!(of(kind), offers, "{kind}: {names:?}");
    }
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

#[test]
fn a_range_of_an_advert_is_answered_with_its_share_of_the_draws() {
    let dir = demo();
    let shop = dir.path().join("shop");
    let plain = study(&shop, "2");
    assert!(plain["fits"][0]["chance"].is_null());
    assert_eq!(plain["decision"]["does_chance"], 1.0);
    let file = shop.join("offers/birch-500-changer.toml");
    let text = std::fs::read_to_string(&file).expect("the offer");
    // The tall part asks for 17.23 in.
    let text = text.replace(
        "\"2 in to 18 in\"",
        "\"2 in to 18 in\"\nnose_to_table_max = \"17 to 18 in\"",
    );
    let text = text.replace(
        "nose_to_table = \"2 in to 18 in\"\n",
        "nose_to_table_min = \"2 in\"\n",
    );
    std::fs::write(&file, text).expect("the offer");
    let (one, four) = (study(&shop, "1"), study(&shop, "4"));
    assert_eq!(one, four);
    let fits = one["fits"].as_array().expect("fits");
    let of = |part: &str| {
        let own = |f: &&Value| f["offer"] == "birch-500-changer" && f["part"] == part;
        fits.iter().find(own).expect("the fit")["chance"].as_f64()
    };
    assert_eq!(of("adapter-ring"), Some(1.0));
    let chance = of("pier-adapter").expect("a share");
    assert!((0.7..0.85).contains(&chance), "{chance}");
    let output = firstchip_in(dir.path(), &["study", "shop"]);
    let text = String::from_utf8_lossy(&output.stdout);
    assert!(
        text.contains(&format!("yes {:.0} %", 100.0 * chance)),
        "{text}"
    );
    assert!(text.contains("with the ranges you gave"), "{text}");
}
