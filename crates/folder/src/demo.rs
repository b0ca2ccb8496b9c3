//! The demo shop inside the program: an invented shop of two people making parts for small
//! observatories, with invented machines.

use crate::source::Source;
use crate::study::{Study, read_source};
use units::{Problems, Watch};

macro_rules! files {
    ($($name:literal),+ $(,)?) => {
        /// Every file of the demo by its name, sorted.
        pub(crate) const FILES: &[(&str, &[u8])] = &[$(($name, include_bytes!(concat!("../demo/", $name)))),+];
    };
}

files!(
    "offers/alder-300.toml",
    "offers/birch-500-changer.toml",
    "offers/birch-500.toml",
    "offers/cedar-knee-retrofit.toml",
    "offers/elm-40-auction.toml",
    "offers/fir-40-new.toml",
    "offers/hazel-compact-used.toml",
    "offers/larch-30-new.toml",
    "offers/larch-30-used.toml",
    "parts.toml",
    "parts/finder-bracket.3mf",
    "shop.toml",
    "site.toml",
    "tools.csv",
);

/// The demo's files.
pub fn demo_source() -> Source {
    Source::Embedded(FILES)
}

/// The demo, read without touching the disk.
pub fn demo(watch: Watch<'_>) -> Result<Study, Problems> {
    read_source(&demo_source(), watch)
}
