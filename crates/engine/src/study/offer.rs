//! One offer with one set of options, everything found out about it.

use super::Context;
use super::paying::WorthPaying;
use super::priced::{self, Variant};
use crate::cycle::{self, Batches, Changer, Load, PartTime};
use crate::fit::Fit;
use crate::ids::OfferId;
use crate::machine::{Field, Machine};
use crate::money::{AllIn, Driver, PriceRoom, Uncertain, Worth, uncertain};
use crate::site::SiteAnswer;
use units::{Money, Time, Value};

/// Everything found out about an offer with a set of options.
#[derive(Clone, Debug)]
pub struct OfferAnswer {
    /// Offer.
    pub offer: OfferId,
    /// What people call it.
    pub name: String,
    /// Options taken.
    pub options: Vec<String>,
    /// Plain machine of the likely draw.
    pub machine: Machine,
    /// One fit per part, in the order of the parts.
    pub fits: Vec<Fit>,
    /// Per part: counted as made here.
    pub made: Vec<bool>,
    /// Times, in the same order; `None` where the part does not fit.
    pub times: Vec<Option<PartTime>>,
    /// The room with it.
    pub site: SiteAnswer,
    /// All-in cost.
    pub all_in: AllIn,
    /// What moves it most.
    pub drivers: Vec<Driver>,
    /// The uncertain numbers of its lines.
    pub uncertain: Vec<Uncertain>,
    /// Yearly cost.
    pub running: AllIn,
    /// Value, where parts made have outside prices.
    pub worth: Option<Worth>,
    /// What the budget leaves for its price.
    pub highest_price: PriceRoom,
    /// Highest prices by what it brings; under the aim "value" only.
    pub worth_paying: Option<WorthPaying>,
    /// True when the seller stated the price.
    pub price_stated: bool,
    /// Machine hours a year for the parts it makes.
    pub hours_per_year: Time,
    /// The same by kind of time.
    pub hours_by_kind: Vec<(&'static str, f64)>,
    /// Load and lead time.
    pub load: Load,
    /// What a tool changer saves, or would.
    pub changer: Changer,
    /// Properties nobody stated.
    pub missing: Vec<Field>,
}

/// A purchase in full.
pub(super) fn answer(context: &Context<'_>, variant: &Variant<'_>) -> OfferAnswer {
    let Variant {
        looked,
        made,
        priced,
        all_in,
        ..
    } = variant;
    let (shop, settings) = (context.inputs.shop, context.settings);
    let times: Vec<Option<PartTime>> = looked.fitted.times.clone();
    let made_times = || {
        times
            .iter()
            .zip(made)
            .filter_map(|(t, made)| t.as_ref().filter(|_| *made))
    };
    let batches: Vec<Batches> = made_times().map(Batches::of).collect();
    let load = cycle::load(&batches, shop.hours_per_year.likely, settings.uptime);
    let hours_per_year = priced::hours(looked, made);
    let all = made
        .iter()
        .zip(&times)
        .all(|(made, time)| *made || time.is_none());
    let parts = priced::part_money(context, looked, made);
    let capacity = priced::capacity(context, hours_per_year);
    let running = priced::yearly(context, looked, priced::price(priced), &parts, capacity);
    OfferAnswer {
        offer: looked.id().clone(),
        name: looked.offer.name.clone(),
        options: looked.options.clone(),
        missing: Field::ALL
            .iter()
            .copied()
            .filter(|f| !looked.machine.properties.is_stated(*f))
            .collect(),
        machine: looked.machine.clone(),
        fits: looked.fitted.fits.clone(),
        made: made.clone(),
        site: looked.site.clone(),
        all_in: AllIn::clone(all_in),
        running: AllIn::clone(&context.memo.draw(
            &running,
            &nothing(&shop.budget),
            shop.seed,
            settings,
        )),
        worth: variant
            .worth
            .clone()
            .or_else(|| priced::worth(context, looked, priced, made)),
        drivers: context
            .memo
            .drivers(&priced.lines, shop.seed, settings.draws)
            .to_vec(),
        uncertain: uncertain(&priced.lines),
        highest_price: context.memo.room(&priced.lines, shop, settings.draws),
        worth_paying: None,
        price_stated: priced.price_stated,
        hours_per_year,
        hours_by_kind: if all {
            looked.fitted.hours_by_kind.clone()
        } else {
            cycle::hours_by_kind(made_times())
        },
        load,
        changer: looked.fitted.changer,
        times,
    }
}

/// Yearly costs are held against no budget.
fn nothing(budget: &Value<Money>) -> Value<Money> {
    Value {
        likely: Money::ZERO,
        spread: units::Spread::None,
        ..budget.clone()
    }
}
