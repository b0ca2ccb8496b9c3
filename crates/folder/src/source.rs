//! Where the files of a shop folder come from: a disk, or the demo inside the program.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// A folder to read from.
#[derive(Clone, Debug)]
pub enum Source {
    /// A folder on disk.
    Disk(PathBuf),
    /// Files inside the program, by their names relative to the folder, sorted.
    Embedded(&'static [(&'static str, &'static [u8])]),
    /// Files made by the program, by name.
    Memory(BTreeMap<String, Vec<u8>>),
}

/// What reading a file came to when it did not give bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unread {
    /// There is no such file.
    Missing,
    /// It is there, but cannot be read; the system's reason.
    Refused(String),
    /// It is larger than anything this tool reads.
    TooLarge(u64),
}

/// Model files beyond this are refused before they fill the memory: forty million triangles of a
/// binary STL, far past what a part needs.
const MOST_BYTES: u64 = 2_000_000_000;

impl Source {
    /// Bytes of a file, by its name relative to the folder.
    pub fn read(&self, name: &str) -> Result<Vec<u8>, Unread> {
        match self {
            Source::Embedded(files) => files
                .iter()
                .find(|(file, _)| *file == name)
                .map(|(_, bytes)| bytes.to_vec())
                .ok_or(Unread::Missing),
            Source::Memory(files) => files.get(name).cloned().ok_or(Unread::Missing),
            Source::Disk(folder) => read_disk(&folder.join(name)),
        }
    }

    /// Names of the files with an ending in a sub-folder, sorted, so that the order on disk is
    /// never seen.
    pub fn list(&self, folder: &str, ending: &str) -> Result<Vec<String>, Unread> {
        let mut names: Vec<String> = match self {
            Source::Embedded(files) => files
                .iter()
                .filter_map(|(file, _)| file.strip_prefix(folder)?.strip_prefix('/'))
                .map(str::to_owned)
                .collect(),
            Source::Memory(files) => files
                .keys()
                .filter_map(|file| file.strip_prefix(folder)?.strip_prefix('/'))
                .map(str::to_owned)
                .collect(),
            Source::Disk(root) => match std::fs::read_dir(root.join(folder)) {
                Ok(entries) => entries
                    .filter_map(Result::ok)
                    .filter_map(|entry| entry.file_name().into_string().ok())
                    .collect(),
                Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
                    return Err(Unread::Missing);
                }
                Err(error) => return Err(Unread::Refused(error.to_string())),
            },
        };
        names.retain(|name| !name.starts_with('.') && name.ends_with(ending));
        names.sort();
        Ok(names)
    }

    /// True when the folder itself is there.
    pub fn exists(&self) -> bool {
        match self {
            Source::Embedded(_) | Source::Memory(_) => true,
            Source::Disk(folder) => folder.is_dir(),
        }
    }

    /// What the folder is called in messages.
    pub fn name(&self) -> String {
        match self {
            Source::Embedded(_) => "the demo".to_owned(),
            Source::Memory(_) => "the answers".to_owned(),
            Source::Disk(folder) => folder.display().to_string(),
        }
    }
}

fn read_disk(path: &Path) -> Result<Vec<u8>, Unread> {
    let refuse = |error: std::io::Error| match error.kind() {
        std::io::ErrorKind::NotFound => Unread::Missing,
        _ => Unread::Refused(error.to_string()),
    };
    let about = std::fs::metadata(path).map_err(refuse)?;
    if about.is_dir() {
        return Err(Unread::Refused("it is a folder".to_owned()));
    }
    if about.len() > MOST_BYTES {
        return Err(Unread::TooLarge(about.len()));
    }
    std::fs::read(path).map_err(refuse)
}
