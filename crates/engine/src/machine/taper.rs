//! Spindle tapers and what holds tools in them.

use std::fmt;
use std::str::FromStr;
use units::{Angle, Length};

/// A spindle nose as the trade writes it: family and size ("CAT40", "BT30", "R8", "HSK-E40").
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Taper {
    family: String,
    size: Option<u32>,
}

/// Families that are read, longest first so that "HSK-E" is not taken for "HSK".
const FAMILIES: &[&str] = &[
    "HSK-A", "HSK-C", "HSK-E", "HSK-F", "BBT", "CAT", "CV", "BT", "SK", "DIN", "ISO", "NMTB", "NT",
    "HSK", "ER", "MT", "R8", "TTS", "CAPTO-C",
];

impl Taper {
    /// Family name in capitals ("CAT", "R8").
    pub fn family(&self) -> &str {
        &self.family
    }

    /// Size number, where the family has sizes.
    pub fn size(&self) -> Option<u32> {
        self.size
    }

    /// Size of the 7:24 steep taper it belongs to (30, 40, 50), whatever the flange.
    pub fn steep_size(&self) -> Option<u32> {
        matches!(
            self.family.as_str(),
            "CAT" | "CV" | "BT" | "BBT" | "SK" | "DIN" | "ISO" | "NMTB" | "NT"
        )
        .then_some(self.size)
        .flatten()
    }
}

/// A 7:24 steep taper and its flange.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SteepTaper {
    /// Diameter at the gauge line.
    pub gauge_diameter: Length,
    /// Length of the cone behind the gauge line.
    pub shank: Length,
    /// Diameter of the flange.
    pub flange: Length,
}

impl SteepTaper {
    /// Diameter where the cone ends.
    pub fn small_end(&self) -> Length {
        self.gauge_diameter - self.shank * (7.0 / 24.0)
    }

    /// Half the angle of the cone: 7 in 24 over the diameter.
    pub fn half_angle() -> Angle {
        Angle::rad((7.0f64 / 48.0).atan())
    }
}

impl Taper {
    /// Sizes of its cone and flange; `None` where no table is at hand. BT by MAS 403-1982 Table 1 (a
    /// machine manual quoting it), CAT by ANSI B5.50 (Ingersoll catalogue 2011 p.778). The cones have one
    /// gauge line whatever the flange.
    pub fn steep(&self) -> Option<SteepTaper> {
        let mm = |gauge, shank, flange| SteepTaper {
            gauge_diameter: Length::mm(gauge),
            shank: Length::mm(shank),
            flange: Length::mm(flange),
        };
        let inch = |gauge, shank, flange| SteepTaper {
            gauge_diameter: Length::inch(gauge),
            shank: Length::inch(shank),
            flange: Length::inch(flange),
        };
        Some(match (self.family.as_str(), self.size?) {
            ("BT" | "BBT", 30) => mm(31.75, 48.4, 46.0),
            ("BT" | "BBT", 40) => mm(44.45, 65.4, 63.0),
            ("BT" | "BBT", 50) => mm(69.85, 101.8, 100.0),
            ("CAT" | "CV", 30) => inch(1.25, 1.875, 1.812),
            ("CAT" | "CV", 40) => inch(1.75, 2.687, 2.5),
            ("CAT" | "CV", 50) => inch(2.75, 4.0, 3.875),
            _ => return None,
        })
    }
}

impl FromStr for Taper {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        let plain: String = text
            .trim()
            .to_ascii_uppercase()
            .chars()
            .filter(|c| !c.is_whitespace() && *c != '_')
            .collect();
        let squeezed = plain.replace('-', "");
        for family in FAMILIES {
            let Some(rest) = squeezed.strip_prefix(&family.replace('-', "")) else {
                continue;
            };
            if *family == "R8" || *family == "TTS" {
                if rest.is_empty() {
                    return Ok(Self {
                        family: (*family).to_owned(),
                        size: None,
                    });
                }
            } else if let Ok(size @ 1..=160) = rest.parse::<u32>() {
                return Ok(Self {
                    family: (*family).to_owned(),
                    size: Some(size),
                });
            }
        }
        Err(format!("'{text}' is not a spindle taper this tool knows"))
    }
}

impl fmt::Display for Taper {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.family)?;
        match self.size {
            Some(size) => write!(f, "{size}"),
            None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_trade_spellings_are_read() {
        for (text, shown, steep) in [
            ("CAT40", "CAT40", Some(40)),
            ("cat 40", "CAT40", Some(40)),
            ("BT-30", "BT30", Some(30)),
            ("R8", "R8", None),
            ("HSK-E40", "HSK-E40", None),
            ("HSK E 40", "HSK-E40", None),
            ("SK40", "SK40", Some(40)),
            ("ISO20", "ISO20", Some(20)),
            ("NT30", "NT30", Some(30)),
            ("ER20", "ER20", None),
            ("MT3", "MT3", None),
        ] {
            let taper: Taper = text.parse().expect(text);
            assert_eq!(taper.to_string(), shown);
            assert_eq!(taper.steep_size(), steep, "{text}");
        }
        for text in ["", "40", "CAT", "CAT-", "R9", "BT30000", "🔧"] {
            assert!(text.parse::<Taper>().is_err(), "{text}");
        }
    }
}
