//! A cost that comes with a chance, or not at all: a finding, a repair, a mishap.

use units::{InputId, Money, Number, Place, Value};

/// One such cost.
#[derive(Clone, Debug, PartialEq)]
pub struct Risk {
    /// What it is ("spindle rebuild").
    pub name: String,
    /// Input it is named by ("offers/larch/risk/spindle rebuild").
    pub id: InputId,
    /// Chance that it happens. Where that is uncertain itself, its mean decides: a thing that happens
    /// once does so with the mean of its chances.
    pub chance: Value<Number>,
    /// What it then costs.
    pub cost: Value<Money>,
    /// True for a repair the seller's warranty would pay.
    pub repair: bool,
    /// Months from delivery over which the chance is spread evenly.
    pub months: f64,
    /// Where it is written.
    pub place: Place,
}

impl Risk {
    /// Chance that it happens and the buyer pays, under a warranty of so many months from delivery.
    pub fn chance_left(&self, warranty_months: Option<f64>) -> f64 {
        let chance = self.chance.mean().to_number().clamp(0.0, 1.0);
        if !self.repair || self.months <= 0.0 {
            return chance;
        }
        let covered = warranty_months.unwrap_or(0.0) / self.months;
        chance * (1.0 - covered.clamp(0.0, 1.0))
    }
}
