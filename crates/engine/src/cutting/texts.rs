//! What the cut command says.

use units::{Length, System, show};

pub(super) const MILLING_SOURCE: &str =
    "Mitsubishi Materials, formulae for cutting power; chip thickness Palbit catalogue p.A-252";
pub(super) const DRILLING_SOURCE: &str =
    "BIG Daishowa boring catalogue, important formulas p.5; ISCAR rotating tools 2017 p.601";
pub(super) const DRILL_FACTOR_SOURCE: &str = "Tungaloy general catalogue 2020-21 p.L068";
pub(super) const TAPPING_SOURCE: &str = "LUBERO thread-tool calculations";
pub(super) const TAP_SECTION_SOURCE: &str =
    "Yamawa catalogue 2021 p.639; from a spiral point to a hand tap, hole at nominal less pitch";
pub(super) const BORING_SOURCE: &str =
    "BIG Daishowa boring catalogue, important formulas p.5; Mitsubishi Materials";

fn both(length: Length) -> String {
    format!(
        "{} ({})",
        show(length, System::Metric),
        show(length, System::Us)
    )
}

pub(super) fn wider_than_the_cutter(width: Length, diameter: Length) -> String {
    format!(
        "a cut {} wide is wider than the cutter, {}: take it in several passes",
        both(width),
        both(diameter)
    )
}

pub(super) fn feed_beyond_the_tool(feed: Length) -> String {
    format!(
        "a feed of {} is more than half the tool's diameter: no tool bears that",
        both(feed)
    )
}

pub(super) fn pitch_beyond_the_thread(pitch: Length, diameter: Length) -> String {
    format!(
        "a pitch of {} on a thread of {} leaves no core",
        both(pitch),
        both(diameter)
    )
}

pub(super) fn deeper_than_the_bore(depth: Length, diameter: Length) -> String {
    format!(
        "a depth of cut of {} on the radius is more than a bore of {} has",
        both(depth),
        both(diameter)
    )
}

pub(super) fn no_speed_without_diameter() -> String {
    "a spindle speed alone gives no cutting speed: state the diameter, or the cutting speed"
        .to_owned()
}
