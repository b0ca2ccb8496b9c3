//! A new shop folder: commented files to fill in, or the demo.

use crate::texts;
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
];

/// Writes a new folder with commented files, or with the demo shop. Nothing that is there already
/// is touched: if any of the files exists, none is written.
pub fn new_folder(dir: &Path, demo: bool) -> Result<(), Problems> {
    let files = if demo { crate::demo::FILES } else { TEMPLATE };
    let taken: Vec<Problem> = files
        .iter()
        .filter(|(name, _)| dir.join(name).symlink_metadata().is_ok())
        .map(|(name, _)| texts::exists_already(name))
        .collect();
    if !taken.is_empty() {
        return Err(Problems(taken));
    }
    for (name, bytes) in files {
        write_new(&dir.join(name), bytes)
            .map_err(|error| Problems(vec![texts::not_written(name, &error.to_string())]))?;
    }
    Ok(())
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
