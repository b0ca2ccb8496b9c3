//! Spindle tapers and what holds tools in them.

use std::fmt;
use std::str::FromStr;

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
