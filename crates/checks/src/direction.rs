//! Who may use whom. The order of the crates and of the engine's modules is the design (see
//! `ARCHITECTURE.md`); these functions read the `use` lines and say where it is broken.

use std::fs;
use std::path::{Path, PathBuf};

/// Crates in order: each may use only those listed before it.
pub const CRATES: &[&str] = &["units", "step", "geometry", "engine", "folder", "app"];

/// The engine's modules in order: each may use only those listed before it.
pub const ENGINE: &[&str] = &[
    "ids",
    "texts",
    "material",
    "demand",
    "machine",
    "entered",
    "resolve",
    "cutting",
    "fit",
    "cycle",
    "specification",
    "site",
    "money",
    "choice",
    "drawing",
    "study",
];

/// Every Rust file below a folder, sorted.
pub fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_path_buf()];
    while let Some(dir) = open.pop() {
        let Ok(entries) = fs::read_dir(&dir) else {
            continue;
        };
        for path in entries.flatten().map(|e| e.path()) {
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// Words that follow `prefix` in code lines of a text: `crate::x` gives `x` for prefix `crate::`.
pub fn words_after<'a>(
    text: &'a str,
    prefix: &'a str,
) -> impl Iterator<Item = (usize, String)> + 'a {
    text.lines()
        .enumerate()
        .filter(|(_, line)| !line.trim_start().starts_with("//"))
        .flat_map(move |(number, line)| {
            line.match_indices(prefix).filter_map(move |(at, _)| {
                let free_before = line[..at]
                    .chars()
                    .next_back()
                    .is_none_or(|c| !c.is_alphanumeric() && c != '_' && c != ':');
                let rest = &line[at + prefix.len()..];
                let word: String = rest
                    .chars()
                    .take_while(|c| c.is_alphanumeric() || *c == '_')
                    .collect();
                (free_before && !word.is_empty()).then_some((number + 1, word))
            })
        })
}

/// Uses among a crate's modules that run against the order.
pub fn module_breaches(src: &Path, order: &[&str]) -> Vec<String> {
    let mut out = Vec::new();
    for file in rust_files(src) {
        let Ok(text) = fs::read_to_string(&file) else {
            continue;
        };
        let inside = file.strip_prefix(src).unwrap_or(&file);
        let Some(first) = inside.iter().next() else {
            continue;
        };
        let own = first.to_string_lossy().trim_end_matches(".rs").to_owned();
        let Some(rank) = order.iter().position(|m| *m == own) else {
            continue;
        };
        for (line, used) in words_after(&text, "crate::") {
            if let Some(other) = order.iter().position(|m| *m == used)
                && other > rank
            {
                out.push(format!(
                    "{}:{line}: {own} uses {used}, which comes later",
                    file.display()
                ));
            }
        }
    }
    out
}

/// Modules of a crate that the order does not list (other than those in `free`).
pub fn unlisted_modules(src: &Path, order: &[&str], free: &[&str]) -> Vec<String> {
    let Ok(entries) = fs::read_dir(src) else {
        return vec![format!("no folder {}", src.display())];
    };
    let mut out: Vec<String> = entries
        .flatten()
        .map(|e| {
            e.file_name()
                .to_string_lossy()
                .trim_end_matches(".rs")
                .to_owned()
        })
        .filter(|m| !order.contains(&m.as_str()) && !free.contains(&m.as_str()))
        .collect();
    out.sort();
    out.dedup();
    out
}

/// Dependencies among the workspace's crates, in code and manifests, that run against the order.
pub fn crate_breaches(crates: &Path) -> Vec<String> {
    let mut out = Vec::new();
    for (rank, own) in CRATES.iter().enumerate() {
        let manifest = fs::read_to_string(crates.join(own).join("Cargo.toml")).unwrap_or_default();
        let plain = manifest
            .split("[dev-dependencies]")
            .next()
            .unwrap_or_default();
        for later in &CRATES[rank + 1..] {
            if plain
                .lines()
                .any(|l| l.starts_with(&format!("{later}.")) || l.starts_with(&format!("{later} ")))
            {
                out.push(format!("{own} depends on {later}, which comes later"));
            }
        }
    }
    out
}
