//! Where a number comes from, and a number that remembers it.

use crate::{Quantity, Spread};
use serde::Serialize;
use std::fmt;

/// Where in the user's files something stands.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Default)]
pub struct Place {
    /// File, relative to the shop folder.
    pub file: String,
    /// Line, from 1; 0 when the whole file is meant.
    pub line: u32,
    /// Key or entity within the file ("travel_x", "#123"), when there is one.
    pub entity: String,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if self.line > 0 {
            write!(f, ":{}", self.line)?;
        }
        Ok(())
    }
}

/// Who or what a number rests on.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Origin {
    /// Computed from a model or read from an instrument.
    Measured {
        /// From what.
        from: String,
    },
    /// Somebody said so: the user, a seller, a nameplate.
    Stated {
        /// Where it is written.
        place: Place,
    },
    /// A default; the source says whose.
    Assumed {
        /// Book, standard, table; or 'common practice, no source'; or 'from memory'.
        source: String,
    },
}

impl Origin {
    /// True for a default nobody stated.
    pub fn is_assumed(&self) -> bool {
        matches!(self, Origin::Assumed { .. })
    }

    /// One word for tables: measured, stated, assumed.
    pub fn word(&self) -> &'static str {
        match self {
            Origin::Measured { .. } => "measured",
            Origin::Stated { .. } => "stated",
            Origin::Assumed { .. } => "assumed",
        }
    }
}

/// Name of one uncertain input: the key of its random stream and of every question about it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(transparent)]
pub struct InputId(pub String);

impl fmt::Display for InputId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Inputs that move together (all freight estimates, all setup-time guesses ...).
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// Name of the group, the key of its common random stream.
    pub name: String,
    /// Correlation of each member's normal score with the common one, 0..=1.
    pub strength: f64,
}

/// A number with its unit (in the type), origin and spread.
#[derive(Clone, Debug, PartialEq)]
pub struct Value<Q> {
    /// Name of the input.
    pub id: InputId,
    /// Best single value.
    pub likely: Q,
    /// How far off it may be.
    pub spread: Spread<Q>,
    /// Where it comes from.
    pub origin: Origin,
    /// What it moves together with.
    pub group: Option<Group>,
}

impl<Q: Quantity> Value<Q> {
    /// A number somebody stated, without spread.
    pub fn stated(id: impl Into<String>, likely: Q, place: Place) -> Self {
        Self {
            id: InputId(id.into()),
            likely,
            spread: Spread::None,
            origin: Origin::Stated { place },
            group: None,
        }
    }

    /// A default with its band and source.
    pub fn assumed(id: impl Into<String>, low: Q, likely: Q, high: Q, source: &str) -> Self {
        Self {
            id: InputId(id.into()),
            likely,
            spread: Spread::LowLikelyHigh { low, likely, high },
            origin: Origin::Assumed {
                source: source.to_owned(),
            },
            group: None,
        }
    }

    /// The same number in a correlation group.
    #[must_use]
    pub fn in_group(mut self, name: &str, strength: f64) -> Self {
        self.group = Some(Group {
            name: name.to_owned(),
            strength,
        });
        self
    }

    /// The same input as a plain number of base units.
    pub fn in_base_units(&self) -> Value<crate::Number> {
        Value {
            id: self.id.clone(),
            likely: crate::Number::from_base(self.likely.base()),
            spread: self.spread.in_base_units(),
            origin: self.origin.clone(),
            group: self.group.clone(),
        }
    }

    /// True when somebody said that it may be another than the best single value.
    pub fn is_doubtful(&self) -> bool {
        let (low, high) = self.ends();
        low.base() < high.base() && !self.origin.is_assumed()
    }

    /// Mean over its spread.
    pub fn mean(&self) -> Q {
        self.spread.mean(self.likely)
    }

    /// Least and greatest.
    pub fn ends(&self) -> (Q, Q) {
        self.spread.ends(self.likely)
    }
}
