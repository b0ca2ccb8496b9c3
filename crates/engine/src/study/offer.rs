//! One offer with one set of options, everything found out about it.

use super::Context;
use super::failing;
use super::memo::Fitted;
use super::paying::WorthPaying;
use super::priced::{self, Variant};
use crate::choice::InDraws;
use crate::cycle::{self, Batches, Bound, Changer, Load, PartTime};
use crate::fit::{Assumed, Capability, Fit, Verdict, gathered};
use crate::ids::{OfferId, PartId};
use crate::machine::{Field, Machine};
use crate::money::{AllIn, Driver, Financing, PriceRoom, Uncertain, Worth, uncertain};
use crate::site::SiteAnswer;
use std::collections::BTreeMap;
use std::sync::Arc;
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
    /// One fit per part, in the order of the parts; in a very large study one for all parts of which
    /// it says the same ([`gathered`]).
    pub fits: Vec<Fit>,
    /// Per part: counted as made here.
    pub made: Vec<bool>,
    /// Times, in the same order; `None` where the part does not fit. None at all in a very large study.
    pub times: Vec<Option<PartTime>>,
    /// All parts on it, counted.
    pub counts: Counts,
    /// The room with it.
    pub site: SiteAnswer,
    /// What it does draw by draw, where numbers stated with a spread change that.
    pub in_draws: Option<Arc<InDraws>>,
    /// All-in cost.
    pub all_in: AllIn,
    /// What moves it most.
    pub drivers: Vec<Driver>,
    /// The uncertain numbers of its lines.
    pub uncertain: Vec<Uncertain>,
    /// Yearly cost.
    pub running: AllIn,
    /// What the first year costs on top.
    pub first_year: AllIn,
    /// How it is paid, and what goes out over the years.
    pub financing: Financing,
    /// Value, where parts made have outside prices or the machine brings other income.
    pub worth: Option<Worth>,
    /// What the budget leaves for its price.
    pub highest_price: PriceRoom,
    /// Highest prices by what it brings; under the aim "value" only.
    pub worth_paying: Option<WorthPaying>,
    /// True when the seller stated the price.
    pub price_stated: bool,
    /// Machine hours a year for the parts it makes.
    pub hours_per_year: Time,
    /// Hours a year below and above these that are not ruled out; nothing where hours are not drawn.
    pub hours_doubt: [f64; 2],
    /// The same by kind of time.
    pub hours_by_kind: Vec<(&'static str, f64)>,
    /// Load and lead time.
    pub load: Load,
    /// What a tool changer saves, or would.
    pub changer: Changer,
    /// Properties nobody stated.
    pub missing: Vec<Field>,
}

/// All parts on one offer, counted.
#[derive(Clone, Debug, Default, PartialEq, serde::Serialize)]
pub struct Counts {
    /// Parts that fit.
    pub fits: usize,
    /// With more clampings.
    pub fits_with_more_clampings: usize,
    /// Open until something is asked.
    pub cannot_say: usize,
    /// That do not fit.
    pub does_not_fit: usize,
    /// Clampings of one piece of every part.
    pub clampings: u64,
    /// Parts whose time is a lower bound.
    pub lower_bounds: usize,
    /// What rules parts out, the commonest first.
    pub short: Vec<Short>,
}

/// One reason for which parts do not fit.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Short {
    /// Which capability.
    pub capability: Capability,
    /// Parts it rules out.
    pub parts: usize,
    /// The part that is short of most.
    pub worst: PartId,
    /// By so much, in the capability's base unit.
    pub short_by: f64,
    /// Its cheapest mend.
    pub mend: String,
}

impl Counts {
    fn of(fits: &[Fit], times: &[Option<PartTime>]) -> Self {
        let count = |verdict| fits.iter().filter(|f| f.verdict == verdict).count();
        let mut short: BTreeMap<Capability, Short> = BTreeMap::new();
        for fit in fits {
            for limit in fit.limits.iter().filter(|l| l.rules_out) {
                let new = Short {
                    capability: limit.capability,
                    parts: 1,
                    worst: fit.part.clone(),
                    short_by: limit.short_by,
                    mend: limit.mend.clone(),
                };
                match short.get_mut(&limit.capability) {
                    None => {
                        short.insert(limit.capability, new);
                    }
                    Some(old) => {
                        let parts = old.parts + 1;
                        if new.short_by > old.short_by {
                            *old = new;
                        }
                        old.parts = parts;
                    }
                }
            }
        }
        let mut short: Vec<Short> = short.into_values().collect();
        short.sort_by_key(|s| std::cmp::Reverse(s.parts));
        let bounds = times.iter().flatten();
        Self {
            fits: count(Verdict::Fits),
            fits_with_more_clampings: count(Verdict::FitsWithMoreClampings),
            cannot_say: count(Verdict::CannotSay),
            does_not_fit: count(Verdict::DoesNotFit),
            clampings: fits.iter().map(|f| u64::from(f.clampings)).sum(),
            lower_bounds: bounds.filter(|t| t.bound == Bound::LowerBound).count(),
            short,
        }
    }
}

/// Lines of the yearly cost that a very large study keeps of each offer.
const MOST_LINES: usize = 40;

impl OfferAnswer {
    /// What its yes to parts rests on that nobody stated, each at its hardest, and to how many parts. Parts
    /// whose answer turns on something else yet are among them.
    pub fn assumed(&self) -> Vec<(Assumed, usize)> {
        let mut all: Vec<(Assumed, usize)> = Vec::new();
        for fit in &self.fits {
            let parts = fit.stands_for.len().max(1);
            for own in &fit.assumed {
                match all.iter_mut().find(|(a, _)| a.field == own.field) {
                    Some((kept, count)) => {
                        kept.harden(own);
                        *count += parts;
                    }
                    None => all.push((own.clone(), parts)),
                }
            }
        }
        all
    }

    /// Keeps of its pairs only what later stages read.
    pub(super) fn gather(&mut self) {
        self.fits = gathered(std::mem::take(&mut self.fits));
        self.times = Vec::new();
        // A line a part, of which only the largest are looked at.
        let lines = &mut self.running.lines;
        lines.sort_by(|a, b| b.mean.total_cmp(&a.mean));
        lines.truncate(MOST_LINES);
        lines.shrink_to_fit();
    }
}

/// A purchase in full.
pub(super) fn answer(context: &Context<'_>, variant: &Variant<'_>) -> OfferAnswer {
    let fitted = &variant.looked.fitted;
    OfferAnswer {
        fits: fitted.fits.clone(),
        times: fitted.times.clone(),
        ..without_pairs(context, variant)
    }
}

/// The same of a purchase that gives its pairs away: they are most of it.
pub(super) fn answer_with_pairs(context: &Context<'_>, variant: &mut Variant<'_>) -> OfferAnswer {
    let answer = without_pairs(context, variant);
    let Fitted { fits, times, .. } = variant.looked.give_pairs();
    OfferAnswer {
        fits,
        times,
        ..answer
    }
}

fn without_pairs(context: &Context<'_>, variant: &Variant<'_>) -> OfferAnswer {
    let Variant {
        looked,
        made,
        priced,
        all_in,
        ..
    } = variant;
    let (shop, settings) = (context.inputs.shop, context.settings);
    let times = &looked.fitted.times;
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
        .zip(times)
        .all(|(made, time)| *made || time.is_none());
    let parts = priced::part_money(context, looked, made);
    let capacity = priced::capacity(context, hours_per_year);
    let [running, first_year] =
        priced::yearly(context, looked, priced::price(priced), &parts, capacity);
    // Yearly sums are compared with nothing, draw by draw.
    let a_year = |lines| AllIn {
        totals: Arc::default(),
        budgets: Arc::default(),
        ..AllIn::clone(&context.memo.draw(
            lines,
            &nothing(&shop.budget),
            shop.seed,
            context.year_draws,
        ))
    };
    let years = priced::over_its_years(context, looked, priced, made);
    let financing = years.0.clone();
    let worth = failing::worth(context, looked, priced, made);
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
        counts: Counts::of(&looked.fitted.fits, times),
        fits: Vec::new(),
        made: made.clone(),
        site: looked.site.clone(),
        in_draws: looked.in_draws.clone(),
        all_in: AllIn::clone(all_in),
        running: a_year(&running),
        first_year: a_year(&first_year),
        financing,
        worth,
        drivers: context
            .memo
            .drivers(&priced.lines, shop.seed, settings.draws)
            .to_vec(),
        uncertain: uncertain(&priced.lines),
        highest_price: context.memo.room(&priced.lines, shop, settings.draws),
        worth_paying: None,
        price_stated: priced.price_stated,
        hours_per_year,
        hours_doubt: priced::doubt(looked, made).sides(),
        hours_by_kind: if all {
            looked.fitted.hours_by_kind.clone()
        } else {
            cycle::hours_by_kind(made_times())
        },
        load,
        changer: looked.fitted.changer,
        times: Vec::new(),
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
