//! What people enter, with origin and spread: parts, the shop, the site. Files become these in
//! `folder`; `resolve` turns them into plain values for a draw.

mod facts;
mod finance;
mod part;
mod plan;
mod shop;

pub use crate::demand::{
    Feature, FeatureKind, ModelFacts, OwnHolder, OwnTool, OwnTools, Shape, Side,
};
pub use crate::machine::{Dismantling, Removal, Risk, Trailer};
pub use facts::{Cracks, EnteredFacts, Facts, FloorKind, ForEachFact, WiringRules, Words};
pub use finance::{
    Finance, IncomeTax, LeaseEnd, LeasePrice, LeaseTerms, Loan, TaxTable, Way, WritingOff,
};
pub use part::Part;
pub use plan::{
    Block, Carrier, CarrierKind, ChipSide, Clearances, Door, FloorArea, KeepClear, Overhead, Plan,
    Ramp, Spot, Swing, Truck, Wall, WayFloor,
};
pub use shop::{Aim, CostLine, Paid, Shop, Site};
