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
        Key::of_version(ALGORITHM, bytes, unit, body, options)
    }

    fn of_version(version: u32, bytes: &[u8], unit: &str, body: usize, options: &Options) -> Key {
        let parameters = format!("{version} {unit} {body} {options:?}");
        Key(fnv1a(bytes.iter().chain(parameters.as_bytes())))
    }

    fn file(self) -> Option<PathBuf> {
        Some(folder()?.join(format!("plan-{:032x}.json", self.0)))
    }
}

fn fnv1a<'a>(bytes: impl Iterator<Item = &'a u8>) -> u128 {
    bytes.fold(0x6c62_272e_07bb_0142_62b8_2175_6295_c58d, |hash, byte| {
        (hash ^ u128::from(*byte)).wrapping_mul(0x0000_0000_0100_0000_0000_0000_0000_013b)
    })
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_changes_with_everything_a_plan_rests_on() {
        let usual = Options::default();
        let fewer = Options {
            cutters: usual.cutters[1..].to_vec(),
            ..usual.clone()
        };
        let left = usual.clone().with_stock_faces_left();
        let keys = [
            Key::new(b"solid", "mm", 0, &usual),
            Key::new(b"solie", "mm", 0, &usual),
            Key::new(b"solid", "in", 0, &usual),
            Key::new(b"solid", "mm", 1, &usual),
            Key::new(b"solid", "mm", 0, &fewer),
            Key::new(b"solid", "mm", 0, &left),
            Key::of_version(ALGORITHM + 1, b"solid", "mm", 0, &usual),
        ];
        for (i, a) in keys.iter().enumerate() {
            for b in &keys[..i] {
                assert_ne!(a, b);
            }
        }
        assert_eq!(keys[0], Key::new(b"solid", "mm", 0, &Options::default()));
    }

    #[test]
    fn the_hash_is_fnv_1a() {
        // Test vector of the draft for 128 bits.
        let hash = fnv1a(b"foobar".iter());
        assert_eq!(hash, 0x343e_1662_793c_64bf_6f0d_3597_ba44_6f18);
    }
}
