//! The whole answer, in the order a buyer asks.

use super::{bids, cost, fit, needs, next, services, verdict, years};
use engine::study::Answer;
use folder::Study as Entered;
use units::{Currency, Money, System, show_money};

/// What the sections print with.
pub struct Page<'a> {
    /// What was entered.
    pub entered: &'a Entered,
    /// What was answered.
    pub answer: &'a Answer,
    /// Units to print in.
    pub system: System,
    /// Currency of every amount.
    pub currency: Currency,
}

impl Page<'_> {
    /// An amount to three digits, as uncertain sums deserve.
    pub fn money(&self, amount: Money) -> String {
        show_money(amount, Some(self.currency), 3)
    }

    /// What people call a part.
    pub fn part_name(&self, id: &engine::ids::PartId) -> String {
        self.entered
            .parts
            .iter()
            .find(|p| p.id == *id)
            .map_or_else(|| id.0.clone(), |p| p.name.clone())
    }

    /// What people call an offer.
    pub fn offer_name(&self, id: &engine::ids::OfferId) -> String {
        self.entered
            .offers
            .iter()
            .find(|o| o.id == *id)
            .map_or_else(|| id.0.clone(), |o| o.name.clone())
    }
}

/// Prints everything.
pub fn describe(entered: &Entered, answer: &Answer) -> String {
    let page = Page {
        entered,
        answer,
        system: if entered.shop.us_units {
            System::Us
        } else {
            System::Metric
        },
        currency: entered.shop.currency,
    };
    [
        verdict::section(&page),
        needs::ceilings(&page),
        needs::specification(&page),
        needs::classes(&page),
        fit::section(&page),
        services::section(&page),
        cost::section(&page),
        years::section(&page),
        bids::section(&page),
        next::assumed(&page),
        next::questions(&page),
        next::steps(&page),
    ]
    .concat()
}
