//! A new shop folder: commented files to fill in, or the demo.

use crate::texts;
use std::fmt;
use std::io::Write;
use std::path::Path;
use units::{Problem, Problems};

/// The commented starting folder.
pub(crate) const TEMPLATE: &[(&str, &[u8])] = &[
    (
        "offers/example.toml",
        include_bytes!("../template/offers/example.toml"),
    ),
    ("parts.toml", include_bytes!("../template/parts.toml")),
    ("shop.toml", include_bytes!("../template/shop.toml")),
    ("site.toml", include_bytes!("../template/site.toml")),
    ("tools.csv", include_bytes!("../template/tools.csv")),
];

/// Why a new folder was not written.
#[derive(Clone, Debug, PartialEq)]
pub struct NotWritten(pub Problems);

impl fmt::Display for NotWritten {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl std::error::Error for NotWritten {}

/// Writes a new folder with commented files, or with the demo shop, and names the files. Nothing
/// that is there already is touched: if any of the files exists, none is written.
pub fn new_folder(dir: &Path, demo: bool) -> Result<Vec<&'static str>, NotWritten> {
    write_files(dir, if demo { crate::demo::FILES } else { TEMPLATE })
}

/// Writes files that do not exist yet, all or none, and names them.
pub(crate) fn write_files(
    dir: &Path,
    files: &[(&'static str, &[u8])],
) -> Result<Vec<&'static str>, NotWritten> {
    let taken: Vec<Problem> = files
        .iter()
        .filter(|(name, _)| dir.join(name).symlink_metadata().is_ok())
        .map(|(name, _)| texts::exists_already(name))
        .collect();
    if !taken.is_empty() {
        return Err(NotWritten(Problems(taken)));
    }
    for (name, bytes) in files {
        write_new(&dir.join(name), bytes).map_err(|error| {
            NotWritten(Problems(vec![texts::not_written(name, &error.to_string())]))
        })?;
    }
    Ok(files.iter().map(|(name, _)| *name).collect())
}

/// Writes a file whole or not at all, and never over another: first under a passing name beside it,
/// then moved into place.
fn write_new(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let parent = path.parent().unwrap_or(Path::new("."));
    std::fs::create_dir_all(parent)?;
    let mut file = tempfile::NamedTempFile::new_in(parent)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    file.persist_noclobber(path).map_err(|error| error.error)?;
    Ok(())
}
