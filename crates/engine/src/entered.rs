//! What people enter, with origin and spread: parts, the shop, the site. Files become these in
//! `folder`; `resolve` turns them into plain values for a draw.

mod facts;
mod part;
mod shop;

pub use crate::demand::{Feature, FeatureKind, ModelFacts, Shape, Side};
pub use facts::{Cracks, EnteredFacts, Facts, FloorKind, ForEachFact, WiringRules, Words};
pub use part::Part;
pub use shop::{Aim, CostLine, Shop, Site};
