//! The built program, as an outside caller meets it.

mod ask;
mod cut;
mod documents;
mod part;
mod part_asked;
mod route;
mod site;
mod stopped;
mod study;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Runs `firstchip` with arguments, in a folder.
fn firstchip_in(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_firstchip"))
        .args(args)
        .current_dir(folder)
        .output()
        .expect("the built program runs")
}

/// Runs `firstchip` with arguments.
fn firstchip(args: &[&str]) -> Output {
    firstchip_in(&std::env::temp_dir(), args)
}

/// The JSON document of a run that answered.
fn json(args: &[&str]) -> serde_json::Value {
    let output = firstchip(args);
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|e| panic!("{args:?}: {e}\n{}", String::from_utf8_lossy(&output.stderr)))
}

/// A model of the geometry crate's test data.
fn model(name: &str) -> String {
    let path: PathBuf = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../geometry/tests/data")
        .join(name);
    path.display().to_string()
}
