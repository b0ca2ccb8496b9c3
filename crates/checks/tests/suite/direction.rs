//! Crates and modules use only what comes before them.

use checks::direction::{
    CRATES, ENGINE, crate_breaches, module_breaches, rust_files, unlisted_modules, words_after,
};
use std::path::{Path, PathBuf};

fn crates() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

#[test]
fn every_crate_is_in_the_order() {
    for name in CRATES {
        assert!(
            !rust_files(&crates().join(name).join("src")).is_empty(),
            "no code in {name}"
        );
    }
    assert_eq!(crate_breaches(&crates()), Vec::<String>::new());
}

#[test]
fn engine_modules_use_only_earlier_ones() {
    let src = crates().join("engine/src");
    assert_eq!(module_breaches(&src, ENGINE), Vec::<String>::new());
    assert_eq!(
        unlisted_modules(&src, ENGINE, &["lib"]),
        Vec::<String>::new()
    );
}

#[test]
fn a_breach_is_seen() {
    let dir = std::env::temp_dir().join(format!("direction-{}", std::process::id()));
    std::fs::create_dir_all(dir.join("fit")).expect("a temporary folder");
    std::fs::write(
        dir.join("fit/a.rs"),
        "use crate::money::Line;\nuse crate::ids::PartId;\n",
    )
    .expect("a temporary file");
    let found = module_breaches(&dir, ENGINE);
    std::fs::remove_dir_all(&dir).expect("the temporary folder to go");
    assert_eq!(found.len(), 1);
    assert!(found[0].contains("fit uses money"), "{found:?}");
}

#[test]
fn comments_and_longer_paths_are_not_uses() {
    let text = "// crate::money\nuse xcrate::money;\nlet a = crate::fit::b;\n";
    let words: Vec<_> = words_after(text, "crate::").collect();
    assert_eq!(words, vec![(3, "fit".to_owned())]);
}
