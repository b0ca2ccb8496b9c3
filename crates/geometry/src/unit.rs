//! Which length unit a model is in. Never guessed silently: without a stated unit the answer is an
//! error that says what is likely and why.

use crate::mesh::{InvalidMesh, Mesh};
use glam::{DMat4, DVec3};
use serde::{Deserialize, Serialize};
use std::fmt;

/// Length unit of a model file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum LengthUnit {
    /// 0.001 mm.
    Micrometre,
    /// 1 mm.
    Millimetre,
    /// 10 mm.
    Centimetre,
    /// 25.4 mm.
    Inch,
    /// 304.8 mm.
    Foot,
    /// 1000 mm.
    Metre,
}

impl LengthUnit {
    /// All units, smallest first.
    pub const ALL: [LengthUnit; 6] = [
        LengthUnit::Micrometre,
        LengthUnit::Millimetre,
        LengthUnit::Centimetre,
        LengthUnit::Inch,
        LengthUnit::Foot,
        LengthUnit::Metre,
    ];

    /// Millimetres in one unit, exact (inch and foot: international yard and pound agreement 1959).
    pub fn in_mm(self) -> f64 {
        match self {
            LengthUnit::Micrometre => 0.001,
            LengthUnit::Millimetre => 1.0,
            LengthUnit::Centimetre => 10.0,
            LengthUnit::Inch => 25.4,
            LengthUnit::Foot => 304.8,
            LengthUnit::Metre => 1000.0,
        }
    }

    /// Short symbol, as it is typed on a command line.
    pub fn symbol(self) -> &'static str {
        match self {
            LengthUnit::Micrometre => "um",
            LengthUnit::Millimetre => "mm",
            LengthUnit::Centimetre => "cm",
            LengthUnit::Inch => "in",
            LengthUnit::Foot => "ft",
            LengthUnit::Metre => "m",
        }
    }

    /// The unit of a symbol or name, upper or lower case ("mm", "Inch", "millimeter").
    pub fn from_name(name: &str) -> Option<LengthUnit> {
        Some(match name.trim().to_ascii_lowercase().as_str() {
            "um" | "µm" | "micron" | "micrometre" | "micrometer" => LengthUnit::Micrometre,
            "mm" | "millimetre" | "millimeter" => LengthUnit::Millimetre,
            "cm" | "centimetre" | "centimeter" => LengthUnit::Centimetre,
            "in" | "inch" | "inches" | "\"" => LengthUnit::Inch,
            "ft" | "foot" | "feet" | "'" => LengthUnit::Foot,
            "m" | "metre" | "meter" => LengthUnit::Metre,
            _ => return None,
        })
    }
}

impl fmt::Display for LengthUnit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

/// What a file says about its unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitFound {
    /// The file names it (or its format fixes it).
    Stated(LengthUnit),
    /// The format carries none (STL, OBJ).
    None,
}

/// One reading of the numbers of a model without a unit.
#[derive(Clone, Debug, PartialEq)]
pub struct UnitReading {
    /// The unit supposed.
    pub unit: LengthUnit,
    /// Size in millimetres if so, descending.
    pub size_mm: [f64; 3],
    /// Share of the belief, all readings together 1.
    pub share: f64,
}

/// The model has no unit and none was given.
#[derive(Clone, Debug, PartialEq)]
pub struct UnitNeeded {
    /// Extents in file units, descending.
    pub extents: [f64; 3],
    /// Readings worth naming, the likeliest first.
    pub readings: Vec<UnitReading>,
    /// True when the second reading is nearly as good as the first.
    pub ambiguous: bool,
}

impl std::error::Error for UnitNeeded {}

impl fmt::Display for UnitNeeded {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [a, b, c] = self.extents;
        write!(
            f,
            "the model carries no unit; its size is {a:.6} x {b:.6} x {c:.6}"
        )?;
        let Some(first) = self.readings.first() else {
            return write!(
                f,
                "; no usual unit makes that a part of 1 mm to 2 m, so state the unit"
            );
        };
        if self.ambiguous {
            write!(f, "; several units are plausible:")?;
        } else {
            write!(f, "; most likely {}, because", first.unit)?;
        }
        for (i, r) in self.readings.iter().enumerate() {
            let [x, y, z] = r.size_mm;
            let sep = if i == 0 { " " } else { ", " };
            write!(f, "{sep}in {} it is {x:.1} x {y:.1} x {z:.1} mm", r.unit)?;
        }
        write!(f, "; state the unit, for example {}", first.unit)
    }
}

/// How common each unit is among unit-less model files, from memory; it only orders suggestions.
const UNIT_SHARE: [(LengthUnit, f64); 5] = [
    (LengthUnit::Millimetre, 0.60),
    (LengthUnit::Inch, 0.30),
    (LengthUnit::Metre, 0.07),
    (LengthUnit::Centimetre, 0.02),
    (LengthUnit::Foot, 0.01),
];

impl UnitNeeded {
    /// What the extents (file units, any order) suggest.
    ///
    /// A reading is weighed by how common the unit is, how near the longest side is to a usual
    /// milled part (log-normal about 100 mm, a factor of 3.3 either way at one sigma; common
    /// practice, no source), and doubled for each side that is a multiple of 1/16 in or 0.5 mm,
    /// as drawn sizes mostly are.
    pub fn from_extents(extents: DVec3) -> UnitNeeded {
        let mut sorted = extents.abs().to_array();
        sorted.sort_by(|a, b| b.total_cmp(a));
        let mut readings: Vec<UnitReading> = UNIT_SHARE
            .iter()
            .map(|&(unit, prior)| {
                let size_mm = sorted.map(|e| e * unit.in_mm());
                let share = prior * size_weight(size_mm[0]) * roundness(size_mm);
                UnitReading {
                    unit,
                    size_mm,
                    share,
                }
            })
            // A part that cannot be held or does not fit any shop's mill is no reading at all.
            .filter(|r| (1.0..=2000.0).contains(&r.size_mm[0]))
            .collect();
        let total: f64 = readings.iter().map(|r| r.share).sum();
        for r in &mut readings {
            r.share /= total;
        }
        readings.sort_by(|a, b| b.share.total_cmp(&a.share));
        readings.retain(|r| r.share > 0.01);
        let ambiguous = readings.first().is_some_and(|r| r.share < 0.8);
        UnitNeeded {
            extents: sorted,
            readings,
            ambiguous,
        }
    }

    /// The likeliest unit, if any reading is plausible.
    pub fn likely(&self) -> Option<LengthUnit> {
        self.readings.first().map(|r| r.unit)
    }
}

fn size_weight(longest_mm: f64) -> f64 {
    let sigmas = (longest_mm / 100.0).ln() / 1.2;
    (-0.5 * sigmas * sigmas).exp()
}

fn roundness(size_mm: [f64; 3]) -> f64 {
    let is_round = |mm: f64| {
        [25.4 / 16.0, 0.5].iter().any(|step| {
            let off = (mm / step - (mm / step).round()).abs() * step;
            // f32 coordinates carry 7 digits; half a step of 0.5 mm by chance at 1e-4 of it.
            mm > 0.0 && off < 1e-5 * mm.max(1.0)
        })
    };
    size_mm
        .iter()
        .filter(|&&mm| is_round(mm))
        .fold(1.0, |w, _| 2.0 * w)
}

/// The unit to use: the one stated by the user, else the file's, else an error with a suggestion.
pub fn settle(
    mesh: &Mesh,
    found: UnitFound,
    stated: Option<LengthUnit>,
) -> Result<LengthUnit, UnitNeeded> {
    match (stated, found) {
        (Some(unit), _) | (None, UnitFound::Stated(unit)) => Ok(unit),
        (None, UnitFound::None) => {
            let size = mesh.bounds().map_or(DVec3::ZERO, |[low, high]| high - low);
            Err(UnitNeeded::from_extents(size))
        }
    }
}

/// The mesh in millimetres.
pub fn in_millimetres(mesh: &Mesh, unit: LengthUnit) -> Result<Mesh, InvalidMesh> {
    mesh.transformed(&DMat4::from_scale(DVec3::splat(unit.in_mm())))
}
