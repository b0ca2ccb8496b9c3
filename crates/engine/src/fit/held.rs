//! Ways of holding work, more finely than a part asks for.

use crate::demand::Holding;
use serde::Serialize;

/// What is between the table and the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Held {
    /// Machine vise with parallels.
    Vise,
    /// A lower vise, or the same one without parallels.
    LowVise,
    /// Steps cut into soft jaws.
    SoftJaws,
    /// Sub-plate or parallels with clamps.
    Plate,
    /// Chuck on the table.
    Chuck,
    /// A rotary axis standing on the table.
    Rotary,
}

impl Held {
    /// The usual form of a way of holding.
    pub fn usual(holding: Holding) -> Self {
        match holding {
            Holding::Vise => Held::Vise,
            Holding::Plate => Held::Plate,
            Holding::Chuck => Held::Chuck,
        }
    }

    /// What people call it.
    pub fn word(self) -> &'static str {
        match self {
            Held::Vise => "vise",
            Held::LowVise => "low vise",
            Held::SoftJaws => "soft jaws",
            Held::Plate => "plate",
            Held::Chuck => "chuck",
            Held::Rotary => "rotary axis",
        }
    }
}
