//! Cost lines and what the draws say of their sum.

use serde::Serialize;
use units::{Money, Value};

/// One one-off or yearly cost.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Name ("freight").
    pub name: String,
    /// Amount with origin, spread and group.
    pub amount: Value<Money>,
    /// Why it is there.
    pub why: String,
}

/// What the draws say of a sum.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[allow(missing_docs, reason = "percentiles by their names")]
pub struct Percentiles {
    pub p10: Money,
    pub p50: Money,
    pub p80: Money,
    pub p90: Money,
    pub mean: Money,
}
