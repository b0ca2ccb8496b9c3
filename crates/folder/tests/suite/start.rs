//! New folders read as they are written, and nothing is ever written over.

use units::{Severity, Watch};

#[test]
fn a_new_folder_reads_without_problems() {
    for demo in [false, true] {
        let dir = tempfile::tempdir().expect("a temporary folder");
        let folder = dir.path().join("my shop");
        folder::new_folder(&folder, demo).unwrap_or_else(|problems| panic!("{problems}"));
        let study =
            folder::read(&folder, Watch::NOBODY).unwrap_or_else(|problems| panic!("{problems}"));
        let remarks_only = study
            .problems
            .0
            .iter()
            .all(|p| p.severity == Severity::Info);
        assert!(remarks_only, "{}", study.problems);
    }
}

#[test]
fn the_demo_on_disk_is_the_demo_in_the_program() {
    let dir = tempfile::tempdir().expect("a temporary folder");
    folder::new_folder(dir.path(), true).expect("written");
    let on_disk = folder::read(dir.path(), Watch::NOBODY).expect("reads");
    assert_eq!(on_disk, folder::demo(Watch::NOBODY).expect("reads"));
}

/// Every line of the commented files that looks like a setting is one: with the `# ` taken away the
/// folder still reads.
#[test]
fn the_comments_of_a_new_folder_are_true() {
    let dir = tempfile::tempdir().expect("a temporary folder");
    folder::new_folder(dir.path(), false).expect("written");
    let own_lines = |text: &str| -> String {
        let setting = |line: &str| {
            let line = line.trim_start_matches("# ");
            let key = line.split(" = ").next().unwrap_or("");
            let plain = key
                .chars()
                .all(|c| c.is_ascii_lowercase() || c == '_' || c == 'E' || c == 'U' || c == 'R');
            (line.contains(" = ") && plain) || (line.starts_with('[') && line.contains(']'))
        };
        let lines = text.lines().map(|line| match line.strip_prefix("# ") {
            Some(bare) if setting(line) => bare,
            _ => line,
        });
        lines.collect::<Vec<_>>().join("\n")
    };
    for name in [
        "shop.toml",
        "parts.toml",
        "site.toml",
        "offers/example.toml",
    ] {
        let path = dir.path().join(name);
        let text = std::fs::read_to_string(&path).expect("text");
        let bare = own_lines(&text);
        assert_ne!(bare, text, "{name} has no commented setting");
        std::fs::write(&path, bare).expect("written");
    }
    std::fs::create_dir(dir.path().join("parts")).expect("a folder");
    std::fs::write(dir.path().join("parts/bracket.stl"), TETRAHEDRON).expect("written");
    let drawing = include_str!("../data/small-plan.dxf");
    std::fs::write(dir.path().join("plan.dxf"), drawing).expect("written");
    let study =
        folder::read(dir.path(), Watch::NOBODY).unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(study.parts.len(), 3);
    assert!(study.offers[0].options.len() == 2 && !study.offers[0].costs.is_empty());
    assert!(study.offers[0].risks.len() == 1 && study.shop.risks.len() == 1);
    assert!(study.offers[0].options[1].warranty_months.is_some());
}

const TETRAHEDRON: &str = "solid t
facet normal 0 0 0 outer loop vertex 0 0 0 vertex 0 9 0 vertex 9 0 0 endloop endfacet
facet normal 0 0 0 outer loop vertex 0 0 0 vertex 9 0 0 vertex 0 0 9 endloop endfacet
facet normal 0 0 0 outer loop vertex 0 0 0 vertex 0 0 9 vertex 0 9 0 endloop endfacet
facet normal 0 0 0 outer loop vertex 9 0 0 vertex 0 9 0 vertex 0 0 9 endloop endfacet
endsolid t
";

#[test]
fn nothing_is_written_over() {
    let dir = tempfile::tempdir().expect("a temporary folder");
    let own = dir.path().join("site.toml");
    std::fs::write(&own, "# mine\n").expect("written");
    let problems = folder::new_folder(dir.path(), true).expect_err("must refuse");
    insta::assert_snapshot!(problems.to_string());
    assert_eq!(std::fs::read_to_string(&own).expect("there"), "# mine\n");
    assert!(
        !dir.path().join("shop.toml").exists(),
        "a part of the folder was written"
    );
}
