//! The whole answer, in the order a buyer asks.

use super::{bids, cost, fit, needs, next, services, verdict, years};
use engine::ids::OfferId;
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

    /// An amount that must not be passed: as above, rounded down.
    pub fn at_most(&self, amount: Money) -> String {
        let whole = amount.to_amount();
        if whole < 1.0 {
            return self.money(Money::amount(whole.max(0.0).floor()));
        }
        // Steps of a fiftieth of the leading digit's place: $26,648 is told as $26,600, $8,634 as $8,620.
        let step = (10f64.powf(whole.log10().floor()) / 50.0).max(1.0);
        self.money(Money::amount((whole / step).floor() * step))
    }

    /// True for an auction lot, which is bid for and not bought.
    pub fn lot(&self, offer: &OfferId) -> bool {
        let mut offers = self.entered.offers.iter();
        offers.any(|o| o.id == *offer && o.closes.is_some())
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
