//! What a machine can do. Knows no part: machines state capability, demands are compared with it
//! in `fit`.

mod contradiction;
mod field;
mod moving;
mod risk;
mod taper;

pub use contradiction::{Contradiction, SpindleNumbers};
pub use field::{ClassProperties, EnteredProperties, Field, ForEachEntered, Known, Properties};
pub use moving::{Dismantling, Removal, Trailer};
pub use risk::Risk;
pub use taper::{SteepTaper, Taper};

use crate::ids::{ClassId, OfferId};
use units::{Money, Number, Place, Value};

/// New or used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Condition {
    /// From the maker or dealer, with a warranty.
    New,
    /// Has had an owner.
    Used,
}

impl Condition {
    /// One word.
    pub fn word(self) -> &'static str {
        match self {
            Condition::New => "new",
            Condition::Used => "used",
        }
    }
}

/// Something sold with a machine at a price of its own.
#[derive(Clone, Debug, PartialEq)]
pub struct SaleOption {
    /// What it is.
    pub name: String,
    /// What it costs.
    pub price: Value<Money>,
    /// Which property it changes and to what, in base units ("changer_pockets", 10).
    pub gives: Vec<(Field, f64)>,
    /// Months from delivery, in all, the seller answers for repairs when it is taken.
    pub warranty_months: Option<Value<Number>>,
    /// True when the buyer has decided to take it.
    pub taken: bool,
}

/// Part of a sum: a share of it, or an amount.
#[derive(Clone, Debug, PartialEq)]
pub enum PartOf {
    /// A share.
    Share(Value<Number>),
    /// An amount.
    Amount(Value<Money>),
}

/// What a seller's terms say beside the price.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SaleTerms {
    /// Paid with the order.
    pub deposit: Option<PartOf>,
    /// Months from order to delivery; nothing where the machine stands ready.
    pub delivery_months: Option<Value<Number>>,
    /// Months the seller answers for repairs.
    pub warranty_months: Option<Value<Number>>,
    /// Days a spare part takes to come.
    pub parts_lead_days: Option<Value<Number>>,
    /// What it can be sold for at the end of the shop's horizon.
    pub resale: Option<Value<Money>>,
}

/// One machine at one price from one seller, as entered.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// Name.
    pub id: OfferId,
    /// What people call it.
    pub name: String,
    /// File it came from.
    pub place: Place,
    /// Class whose defaults stand in for what the seller left out.
    pub class: ClassId,
    /// New or used.
    pub condition: Condition,
    /// Measurable properties.
    pub properties: EnteredProperties,
    /// Spindle nose; `None` when the seller did not say.
    pub taper: Option<Taper>,
    /// Control, as the seller names it.
    pub control: Option<String>,
    /// Options on offer.
    pub options: Vec<SaleOption>,
    /// Cost lines particular to this offer, by line name ("freight", "rigging"); they replace the
    /// defaults.
    pub costs: Vec<(String, Value<Money>)>,
    /// Buyer's premium as a share of the price (auctions); zero otherwise.
    pub premium_share: f64,
    /// True when the price already includes delivery.
    pub delivered: bool,
    /// What the seller includes ("vise", "toolholders").
    pub includes: Vec<String>,
    /// Day an auction closes; its price is then what the hammer may fall at.
    pub closes: Option<jiff::civil::Date>,
    /// The seller's terms.
    pub terms: SaleTerms,
    /// What comes off this machine for the way in.
    pub dismantling: Vec<Dismantling>,
    /// What is known of this seller's end.
    pub removal: Removal,
    /// What may happen to this machine, and what it then costs.
    pub risks: Vec<Risk>,
}

impl Offer {
    /// Months from delivery the seller answers for repairs, with the options taken; `None` where
    /// nobody says.
    pub fn warranty_months(&self) -> Option<f64> {
        let options = self.options.iter().filter(|o| o.taken);
        options
            .filter_map(|o| o.warranty_months.as_ref())
            .chain(&self.terms.warranty_months)
            .map(|months| months.likely.to_number())
            .reduce(f64::max)
    }
}

/// A class of machines: its sourced ranges and prices.
#[derive(Clone, Debug, PartialEq)]
pub struct MachineClass {
    /// Name.
    pub id: ClassId,
    /// What people call it.
    pub name: String,
    /// Default bands.
    pub properties: ClassProperties,
    /// Spindle nose most of them have.
    pub taper: Option<Taper>,
    /// Usual price new.
    pub price_new: Option<Value<Money>>,
    /// Usual price used.
    pub price_used: Option<Value<Money>>,
    /// Source of the bands.
    pub source: String,
}

/// A machine in one draw, with every taken option applied.
#[derive(Clone, Debug, PartialEq)]
pub struct Machine {
    /// Offer it belongs to.
    pub offer: OfferId,
    /// Plain properties.
    pub properties: Properties,
    /// Spindle nose, if stated.
    pub taper: Option<Taper>,
    /// Spindle nose of its class, for estimates.
    pub taper_default: Option<Taper>,
}
