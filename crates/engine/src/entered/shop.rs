//! The shop and its room as entered.

use super::{EnteredFacts, Finance, IncomeTax, OwnTools};
use crate::ids::OfferId;
use units::{
    Currency, Current, ExchangeRate, Length, Money, Number, Place, System, Time, Value, Voltage,
};

/// What the purchase is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Aim {
    /// The most capable machine the budget allows.
    Capability,
    /// The most valuable purchase.
    Value,
}

/// One one-off cost as entered; replaces the default line of the same name.
#[derive(Clone, Debug, PartialEq)]
pub struct CostLine {
    /// Name ("tooling", "measuring").
    pub name: String,
    /// Amount.
    pub amount: Value<Money>,
}

/// What has been paid, by the ledger: certain, and in place of every estimate of the same line.
#[derive(Clone, Debug, PartialEq)]
pub struct Paid {
    /// Day.
    pub on: jiff::civil::Date,
    /// Cost line it belongs to.
    pub line: String,
    /// Amount in the folder's currency.
    pub amount: Money,
    /// Offer it was paid for; `None` for what serves whichever machine is bought.
    pub offer: Option<OfferId>,
    /// Where it is written.
    pub place: Place,
}

/// The room.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Site {
    /// Narrowest door on the way in: width.
    pub door_width: Option<Value<Length>>,
    /// Lowest door on the way in: height.
    pub door_height: Option<Value<Length>>,
    /// Ceiling over the spot.
    pub ceiling: Option<Value<Length>>,
    /// Length of the spot.
    pub spot_length: Option<Value<Length>>,
    /// Depth of the spot.
    pub spot_width: Option<Value<Length>>,
    /// The seller's end and the road.
    pub removal: super::Removal,
    /// Floor plan.
    pub plan: Option<super::Plan>,
    /// Supply voltage.
    pub supply_volts: Option<Value<Voltage>>,
    /// Supply phases.
    pub supply_phases: Option<Value<Number>>,
    /// Current the supply can still give.
    pub supply_amps: Option<Value<Current>>,
    /// Floor, panel, air, neighbours.
    pub facts: EnteredFacts,
}

/// The shop as entered.
#[derive(Clone, Debug, PartialEq)]
pub struct Shop {
    /// Name.
    pub name: String,
    /// Where it is written.
    pub place: Place,
    /// Currency of every [`Money`].
    pub currency: Currency,
    /// True to print inches and pounds.
    pub us_units: bool,
    /// All-in budget.
    pub budget: Value<Money>,
    /// Chance with which the budget is to be kept.
    pub keep_chance: f64,
    /// What each unit of money over the budget costs besides itself: interest of borrowing it, or
    /// what is given up for it. Weighs the over-run where money is weighed against money.
    pub over_budget_rate: Value<Number>,
    /// Aim.
    pub aim: Aim,
    /// Most machines to buy from the one budget.
    pub machines: usize,
    /// Hours a year people can stand at the machine.
    pub hours_per_year: Value<Time>,
    /// Cost of an hour of work.
    pub hour_cost: Value<Money>,
    /// Sales tax or unrecoverable VAT on the price, as a share.
    pub tax_share: Value<Number>,
    /// Years over which value is counted.
    pub horizon_years: Value<Number>,
    /// Discount rate a year.
    pub discount: Value<Number>,
    /// One-off costs the user states.
    pub costs: Vec<CostLine>,
    /// What may happen whichever machine is bought, and what it then costs.
    pub risks: Vec<super::Risk>,
    /// Yearly costs the user states.
    pub yearly: Vec<CostLine>,
    /// How the purchase is paid for.
    pub finance: Finance,
    /// Income tax; `None` leaves it out.
    pub income_tax: Option<IncomeTax>,
    /// What has been paid already.
    pub paid: Vec<Paid>,
    /// What the shop owns already ("vise", "toolholders", "measuring").
    pub owned: Vec<String>,
    /// Tools and holders it owns.
    pub tools: OwnTools,
    /// Dated rates of other currencies.
    pub rates: Vec<ExchangeRate>,
    /// Seed of the study's random draws.
    pub seed: u64,
}

impl Shop {
    /// The units its people read.
    pub fn system(&self) -> System {
        if self.us_units {
            System::Us
        } else {
            System::Metric
        }
    }
}
