//! Results kept between runs: plans of models, by content, parameters and version of the method.
//!
//! The cache lives in the platform's cache folder, or where `FIRSTCHIP_CACHE` says; an empty value
//! turns it off. Nothing depends on it: what cannot be read or written is worked out again.

use engine::demand::Plan;
use geometry::plan::{ALGORITHM, Options};
use std::io::Write;
use std::path::PathBuf;

/// Key of a plan: FNV-1a of 128 bits (Fowler, Noll, Vo; draft-eastlake-fnv) over the file, its unit,
/// the body, the options and the version.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Key(u128);

impl Key {
    /// Of a body (numbered from 0) of a model file read in a unit.
    pub fn new(bytes: &[u8], unit: &str, body: usize, options: &Options) -> Key {
        let parameters = format!("{ALGORITHM} {unit} {body} {options:?}");
        let mut hash: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
        for byte in bytes.iter().chain(parameters.as_bytes()) {
            hash ^= u128::from(*byte);
            hash = hash.wrapping_mul(0x0000_0000_0100_0000_0000_0000_0000_013b);
        }
        Key(hash)
    }

    fn file(self) -> Option<PathBuf> {
        Some(folder()?.join(format!("plan-{:032x}.json", self.0)))
    }
}

/// The plan of a key, when it was kept.
pub fn load(key: Key) -> Option<Plan> {
    let bytes = std::fs::read(key.file()?).ok()?;
    serde_json::from_slice(&bytes).ok()
}

/// Keeps a plan: written beside and renamed, so that no reader sees half of it.
pub fn keep(key: Key, plan: &Plan) {
    let write = || -> Option<()> {
        let file = key.file()?;
        let folder = file.parent()?;
        std::fs::create_dir_all(folder).ok()?;
        let mut beside = tempfile::NamedTempFile::new_in(folder).ok()?;
        beside.write_all(&serde_json::to_vec(plan).ok()?).ok()?;
        beside.persist(file).ok()?;
        Some(())
    };
    // A cache that cannot be written costs time, nothing else.
    let _kept = write();
}

/// Where results are kept.
fn folder() -> Option<PathBuf> {
    if let Some(own) = std::env::var_os("FIRSTCHIP_CACHE") {
        return (!own.is_empty()).then(|| PathBuf::from(own));
    }
    let of = |name: &str| {
        std::env::var_os(name)
            .filter(|v| !v.is_empty())
            .map(PathBuf::from)
    };
    let base = if cfg!(windows) {
        of("LOCALAPPDATA")
    } else if cfg!(target_os = "macos") {
        of("HOME").map(|h| h.join("Library/Caches"))
    } else {
        // XDG Base Directory Specification 0.8.
        of("XDG_CACHE_HOME").or_else(|| of("HOME").map(|h| h.join(".cache")))
    };
    base.map(|b| b.join("firstchip"))
}
