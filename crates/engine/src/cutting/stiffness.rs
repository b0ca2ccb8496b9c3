//! The depth a machine holds, as far as a buyer can know it: from its weight, its ways, its taper,
//! and the deepest cut somebody has seen it take in steel.

use crate::machine::{Machine, Properties, Taper};
use units::{Length, Mass};

/// What a cut may lean on a machine: specific force times depth times teeth in the cut, N/mm, as a
/// band. (The chatter limit of a single mode, 2 k zeta (1 + zeta), has the same form and unit.)
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stiffness {
    /// Surely held.
    pub low_n_mm: f64,
    /// Likely held.
    pub likely_n_mm: f64,
    /// Held at best.
    pub high_n_mm: f64,
    /// True when somebody has seen the cut.
    pub seen: bool,
}

/// Held for each kilogram, N/mm: fitted to what is thought usual in steel with a half-immersed end
/// mill: about 1 mm deep on a bench mill of 250 kg, 4 mm on a column mill of 700 kg, a 20 mm mill at
/// full diameter on a 40-taper centre of 4500 kg (common practice, no source). The band is the
/// factor two by which such mills differ among themselves.
const PER_KG: f64 = 11.5;
const FACTOR_LOW: f64 = 0.5;
const FACTOR_HIGH: f64 = 2.0;
/// Scraped box ways damp more than rolling guides (common practice, no source): what is stated moves
/// the band by a quarter, what is not stays in the middle.
const BOX_WAYS: f64 = 1.25;
const ROLLING_WAYS: f64 = 0.8;
/// Specific force of steel at a usual chip, MPa, and one tooth of a half-immersed four-flute mill in
/// the cut: turns a depth seen into the limit. ISCAR 2017 p.558 group 2 at 0.05 mm: 2900.
const SEEN_FORCE_MPA: f64 = 2900.0;

/// What a spindle nose holds whatever the casting weighs, N/mm (common practice, no source).
fn nose_limit(taper: Option<&Taper>) -> f64 {
    match taper.map(|t| (t.family(), t.steep_size(), t.size())) {
        Some((_, Some(..=25), _)) => 8_000.0,
        Some((_, Some(..=30), _)) => 25_000.0,
        Some((_, Some(..=40), _)) => 80_000.0,
        Some((_, Some(_), _)) => 200_000.0,
        Some(("R8", ..)) => 20_000.0,
        Some(("ER" | "TTS" | "MT", ..)) => 10_000.0,
        Some((_, _, Some(..=40))) => 30_000.0,
        _ => 80_000.0,
    }
}

impl Stiffness {
    /// From what was stated; `None` when neither weight nor a cut seen is known, and then every time
    /// is a lower bound. A heavier machine or a deeper cut seen never lowers it.
    pub fn of(machine: &Machine) -> Option<Self> {
        Self::of_properties(&machine.properties, machine.taper.as_ref())
    }

    pub(super) fn of_properties(p: &Properties, taper: Option<&Taper>) -> Option<Self> {
        let seen = p
            .steel_depth_seen
            .stated()
            .filter(|d| d.to_mm() > 0.0)
            .map(|depth| depth.to_mm() * SEEN_FORCE_MPA);
        let weighed = p
            .weight
            .stated()
            .filter(|w| w.to_kg() > 0.0)
            .map(|weight| Self::of_weight(weight, ways(p), taper));
        match (weighed, seen) {
            (None, None) => None,
            (Some(band), None) => Some(band),
            (None, Some(held)) => Some(Self {
                low_n_mm: held,
                likely_n_mm: held,
                high_n_mm: held * FACTOR_HIGH,
                seen: true,
            }),
            // What was seen is surely held; the weight may still say more is likely.
            (Some(band), Some(held)) => Some(Self {
                low_n_mm: band.low_n_mm.max(held),
                likely_n_mm: band.likely_n_mm.max(held),
                high_n_mm: band.high_n_mm.max(held),
                seen: true,
            }),
        }
    }

    /// Band of a weight.
    pub fn of_weight(weight: Mass, ways_factor: f64, taper: Option<&Taper>) -> Self {
        let nose = nose_limit(taper);
        let held = weight.to_kg() * PER_KG * ways_factor;
        Self {
            low_n_mm: (held * FACTOR_LOW).min(nose),
            likely_n_mm: held.min(nose),
            high_n_mm: (held * FACTOR_HIGH).min(nose),
            seen: false,
        }
    }

    /// Depths held in a material of this specific force with so many teeth in the cut: low, likely,
    /// high.
    pub fn depths(&self, force_mpa: f64, teeth_in_cut: f64) -> [Length; 3] {
        [self.low_n_mm, self.likely_n_mm, self.high_n_mm]
            .map(|held| Length::mm(held / (force_mpa * teeth_in_cut)))
    }
}

fn ways(p: &Properties) -> f64 {
    match p.box_ways.stated().map(|b| b.to_number()) {
        Some(b) if b > 0.5 => BOX_WAYS,
        Some(_) => ROLLING_WAYS,
        None => 1.0,
    }
}
