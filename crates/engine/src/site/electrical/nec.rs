//! Copper conductors by American wire gauge: ampacity and impedance.

use super::conductor::{Size, Terminals};

/// One row.
struct Row {
    name: &'static str,
    /// Ampacity at 60, 75, 90 C, three conductors in a raceway, 30 C around.
    amps: [f64; 3],
    /// Resistance at 75 C, uncoated stranded copper.
    ohm_per_kft: f64,
    /// Reactance in steel conduit.
    x_ohm_per_kft: f64,
    /// Section in circular mils.
    cmil: f64,
}

const fn row(
    name: &'static str,
    amps: [f64; 3],
    ohm_per_kft: f64,
    x_ohm_per_kft: f64,
    cmil: f64,
) -> Row {
    Row {
        name,
        amps,
        ohm_per_kft,
        x_ohm_per_kft,
        cmil,
    }
}

/// Ampacity: NEC Table 310.16 (scan, scribd 768710860; 75 C also voltagelab.com), to 4/0. Newer
/// editions print 15 and 20 A at 60 C for 14 and 12 AWG (from memory); the lower ones stand here,
/// so that neither edition is exceeded. Resistance: NEC Chapter 9 Table 8. The values read for 14
/// to 8 AWG (3.07, 1.93, 1.21, 0.764) recompute as solid wire (R x cmil = 12.6); stranded ones,
/// which are larger, are from memory; 6 AWG to 4/0 as read. Reactance: Chapter 9 Table 9, from
/// memory. Sections of 250 kcmil and more from memory throughout.
#[allow(
    clippy::approx_constant,
    reason = "3.14 ohm is what a thousand feet of 14 AWG have"
)]
const ROWS: [Row; 18] = [
    row("14 AWG", [15.0, 20.0, 25.0], 3.14, 0.073, 4110.0),
    row("12 AWG", [20.0, 25.0, 30.0], 1.98, 0.068, 6530.0),
    row("10 AWG", [30.0, 35.0, 40.0], 1.24, 0.063, 10_380.0),
    row("8 AWG", [40.0, 50.0, 55.0], 0.778, 0.065, 16_510.0),
    row("6 AWG", [55.0, 65.0, 75.0], 0.491, 0.064, 26_240.0),
    row("4 AWG", [70.0, 85.0, 95.0], 0.308, 0.060, 41_740.0),
    row("3 AWG", [85.0, 100.0, 110.0], 0.245, 0.059, 52_620.0),
    row("2 AWG", [95.0, 115.0, 130.0], 0.194, 0.057, 66_360.0),
    row("1 AWG", [110.0, 130.0, 150.0], 0.154, 0.057, 83_690.0),
    row("1/0 AWG", [125.0, 150.0, 170.0], 0.122, 0.055, 105_600.0),
    row("2/0 AWG", [145.0, 175.0, 195.0], 0.0967, 0.054, 133_100.0),
    row("3/0 AWG", [165.0, 200.0, 225.0], 0.0766, 0.052, 167_800.0),
    row("4/0 AWG", [195.0, 230.0, 260.0], 0.0608, 0.051, 211_600.0),
    row("250 kcmil", [215.0, 255.0, 290.0], 0.0515, 0.052, 250_000.0),
    row("300 kcmil", [240.0, 285.0, 320.0], 0.0429, 0.051, 300_000.0),
    row("350 kcmil", [260.0, 310.0, 350.0], 0.0367, 0.050, 350_000.0),
    row("400 kcmil", [280.0, 335.0, 380.0], 0.0321, 0.049, 400_000.0),
    row("500 kcmil", [320.0, 380.0, 430.0], 0.0258, 0.048, 500_000.0),
];

/// Ambient corrections to 310.16, upper end of each 5 K step in C, then 60 and 75 C (NEC
/// 310.15(B)(1), from memory).
const AMBIENT: [(f64, [f64; 2]); 6] = [
    (25.0, [1.08, 1.05]),
    (30.0, [1.00, 1.00]),
    (35.0, [0.91, 0.94]),
    (40.0, [0.82, 0.88]),
    (45.0, [0.71, 0.82]),
    (50.0, [0.58, 0.75]),
];

/// Overcurrent devices on small conductors of other than motor circuits (NEC 240.4(D)).
const SMALL: [(&str, f64); 3] = [("14 AWG", 15.0), ("12 AWG", 20.0), ("10 AWG", 30.0)];

/// Equipment grounding conductor by the device ahead of it: device, size (NEC Table 250.122, from
/// memory).
const GROUND: [(f64, &str); 10] = [
    (15.0, "14 AWG"),
    (20.0, "12 AWG"),
    (60.0, "10 AWG"),
    (100.0, "8 AWG"),
    (200.0, "6 AWG"),
    (300.0, "4 AWG"),
    (400.0, "3 AWG"),
    (500.0, "2 AWG"),
    (600.0, "1 AWG"),
    (800.0, "1/0 AWG"),
];

/// Every size, small to large, with its ampacity under the circumstances; `None` where the table
/// has no correction (above 50 C around).
pub(super) fn sizes(terminals: Terminals, ambient_c: f64, motor: bool) -> Option<Vec<Size>> {
    let column = match terminals {
        Terminals::C60 => 0,
        Terminals::C75 => 1,
    };
    let correction = AMBIENT.iter().find(|(up_to, _)| ambient_c <= *up_to)?.1[column];
    Some(
        ROWS.iter()
            .map(|r| {
                let amps = r.amps[column] * correction;
                let cap = SMALL
                    .iter()
                    .find(|(name, _)| !motor && *name == r.name)
                    .map_or(f64::INFINITY, |(_, cap)| *cap);
                Size {
                    name: r.name.to_owned(),
                    ampacity_a: amps.min(cap),
                    ohm_per_m: per_m(r.ohm_per_kft),
                    x_ohm_per_m: per_m(r.x_ohm_per_kft),
                    section_mm2: mm2(r.cmil),
                }
            })
            .collect(),
    )
}

/// Grounding conductor for a device, enlarged as the live conductors were for drop (250.122(B)):
/// `grown` is the section chosen over the section ampacity alone would take.
pub(super) fn ground(device_a: f64, grown: f64, line: &Size) -> Option<String> {
    let (_, name) = GROUND.iter().find(|(device, _)| device_a <= *device)?;
    let base = ROWS.iter().find(|r| r.name == *name)?;
    let wanted = base.cmil * grown.max(1.0);
    let found = ROWS.iter().find(|r| r.cmil + 0.5 >= wanted)?;
    Some(if mm2(found.cmil) > line.section_mm2 {
        line.name.clone()
    } else {
        found.name.to_owned()
    })
}

/// Ampacity as the table prints it, by size.
pub fn ampacity_310_16(name: &str) -> Option<[f64; 3]> {
    ROWS.iter().find(|r| r.name == name).map(|r| r.amps)
}

fn per_m(ohm_per_kft: f64) -> f64 {
    ohm_per_kft / 304.8
}

/// A circular mil is the area of a circle one thousandth of an inch wide.
fn mm2(cmil: f64) -> f64 {
    cmil * std::f64::consts::FRAC_PI_4 * 0.0254 * 0.0254
}
