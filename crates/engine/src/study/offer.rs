//! One offer with one set of options through every stage.

use super::inputs::{Inputs, Settings};
use crate::choice::Candidate;
use crate::cutting::LimitsBand;
use crate::cycle::{self, Batches, Bound, Changer, Load, PartTime};
use crate::demand::{Demand, OwnTools};
use crate::fit::{Capability, Fit, Verdict, distinct_tools, fit_within, gathered};
use crate::ids::{OfferId, PartId};
use crate::machine::{Field, Known, Machine, MachineClass, Offer};
use crate::material::Materials;
use crate::money::lines::{Bill, Demanded, of_offer};
use crate::money::{
    AllIn, Driver, Financing, Line, OverYears, PartMoney, PriceRoom, Running, Uncertain, Worth,
    draw, drivers, first_year, highest_price, over_years, per_year, saved, uncertain,
};
use crate::resolve;
use crate::site::electrical::settled;
use crate::site::removal::before_the_truck;
use crate::site::{PlanAnswers, Room, SiteAnswer, UsdRate, check};
use std::collections::BTreeMap;
use units::{Draw, Money, Spread, Time, Value};

/// What every offer shares.
pub(super) struct Context<'a> {
    pub inputs: &'a Inputs<'a>,
    pub settings: &'a Settings,
    pub materials: &'a Materials,
    pub demands: &'a [Demand],
    pub demanded: &'a Demanded,
    pub on_plan: &'a PlanAnswers,
}

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
    /// Times, in the same order; `None` where the part does not fit. None at all in a very large study.
    pub times: Vec<Option<PartTime>>,
    /// All parts on it, counted.
    pub counts: Counts,
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
    /// What the first year costs on top.
    pub first_year: AllIn,
    /// How it is paid, and what goes out over the years.
    pub financing: Financing,
    /// Value, where parts have outside prices or the machine brings other income.
    pub worth: Option<Worth>,
    /// What the budget leaves for its price.
    pub highest_price: PriceRoom,
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

impl OfferAnswer {
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

    /// As the decision compares it.
    pub fn candidate(&self) -> Candidate<'_> {
        Candidate {
            offer: &self.offer,
            options: &self.options,
            fits: &self.fits,
            site: &self.site,
            all_in: &self.all_in,
            price_stated: self.price_stated,
            highest_price: self.highest_price.price,
            hours_per_year: self.hours_per_year,
            worth: self.worth.as_ref(),
        }
    }
}

/// Lines of the yearly cost that a very large study keeps of each offer.
const MOST_LINES: usize = 40;

/// What all parts together ask to be bought.
pub fn demanded(demands: &[Demand], own: &OwnTools) -> Demanded {
    let mut tools = Vec::new();
    let mut all = Demanded::default();
    for demand in demands {
        for tool in distinct_tools(demand) {
            if !tools.contains(&tool) {
                tools.push(tool);
                if own.serves_all(demand, &tool) {
                    all.owned_tools += 1;
                } else {
                    all.kit.push(tool);
                }
            }
        }
        all.setups += demand.setups.len() as u32;
        all.holdings.extend(demand.setups.iter().map(|s| s.holding));
    }
    all.tools = tools.len() as u32;
    all
}

/// Runs every stage for one offer with the options marked as taken in it.
pub(super) fn answer(context: &Context<'_>, offer: &Offer, class: &MachineClass) -> OfferAnswer {
    let Context {
        inputs,
        settings,
        materials,
        demands,
        demanded,
        on_plan,
    } = *context;
    let shop = inputs.shop;
    let machine = resolve::machine(offer, class, Draw::Likely);
    let band = LimitsBand::of(&machine);
    let limits = band.likely.as_ref();
    let fits: Vec<Fit> = demands
        .iter()
        .map(|d| fit_within(d, &machine, &band, materials, &settings.practice))
        .collect();
    let times: Vec<Option<PartTime>> = demands
        .iter()
        .zip(&fits)
        .map(|(demand, fit)| {
            (fit.verdict != Verdict::DoesNotFit).then(|| {
                let (practice, habits) = (&settings.practice, &settings.habits);
                cycle::time_within(demand, fit, &machine, limits, materials, practice, habits)
            })
        })
        .collect();
    let hours_per_year = times.iter().flatten().map(|t| t.per_year).sum::<Time>();
    let made = || times.iter().flatten();
    let batches: Vec<Batches> = made().map(Batches::of).collect();
    let load = cycle::load(&batches, shop.hours_per_year.likely, settings.uptime);
    let changer = cycle::changer(
        demands
            .iter()
            .zip(&fits)
            .zip(&times)
            .filter_map(|((d, f), t)| Some((d, f, t.as_ref()?))),
        &machine,
        &settings.practice,
        &settings.habits,
    );
    let hours_by_kind = cycle::hours_by_kind(made());
    let room = Room::resolve(inputs.site, Draw::Likely);
    let mut on_supply = machine.clone();
    if let Some(Spread::Range { low, high }) =
        offer.properties.supply_volts.as_ref().map(|v| v.spread)
        && let Some(volts) = settled(&machine, [low, high], &room)
    {
        on_supply.properties.supply_volts = Known::Yes(volts);
    }
    let mut site = check(&on_supply, &room, UsdRate::of(shop));
    on_plan.apply(&machine, &mut site);
    site.before_the_truck = before_the_truck(&machine, &inputs.site.removal);
    let bill = Bill {
        shop,
        demanded,
        works: &site.works,
        year: settings.year,
    };
    let priced = of_offer(&bill, offer, class);
    let all_in = draw(&priced.lines, &shop.budget, shop.seed, settings.draws);
    let highest_price = highest_price(
        &priced.lines,
        &shop.budget,
        shop.keep_chance,
        shop.seed,
        settings.draws,
    );

    let parts: Vec<PartMoney<'_>> = inputs
        .parts
        .iter()
        .zip(&times)
        .zip(demands)
        .map(|((part, time), demand)| PartMoney {
            part,
            time: time.as_ref(),
            demand: Some(demand),
        })
        .collect();
    let capacity = capacity(shop.hours_per_year.likely, hours_per_year);
    let year = Running {
        shop,
        offer,
        class,
        machine: &machine,
        price: priced.lines.iter().find(|l| l.name == Line::PRICE),
        parts: &parts,
        materials: inputs.materials,
        capacity,
        year: settings.year,
    };
    let (running, first_year) = (per_year(&year), first_year(&year));
    let income = saved(&parts, capacity);
    let (financing, worth) = over_years(&OverYears {
        shop,
        offer: &offer.id.0,
        terms: &offer.terms,
        condition: offer.condition,
        one_off: &priced.lines,
        running: &running,
        first_year: &first_year,
        income: income.as_deref(),
        pieces: priced_pieces(&parts, capacity),
        draws: settings.draws,
    });
    let mut running = draw(&running, &nothing(&shop.budget), shop.seed, settings.draws);
    let mut first_year = draw(
        &first_year,
        &nothing(&shop.budget),
        shop.seed,
        settings.draws,
    );
    // Yearly sums are compared with nothing, draw by draw.
    for year in [&mut running, &mut first_year] {
        year.totals = Vec::new();
        year.budgets = Vec::new();
    }
    OfferAnswer {
        counts: Counts::of(&fits, &times),
        offer: offer.id.clone(),
        name: offer.name.clone(),
        options: offer
            .options
            .iter()
            .filter(|o| o.taken)
            .map(|o| o.name.clone())
            .collect(),
        missing: Field::ALL
            .iter()
            .copied()
            .filter(|f| !machine.properties.is_stated(*f))
            .collect(),
        machine,
        fits,
        times,
        site,
        all_in,
        financing,
        first_year,
        running,
        worth,
        drivers: drivers(&priced.lines, shop.seed, settings.draws),
        uncertain: uncertain(&priced.lines),
        highest_price,
        price_stated: priced.price_stated,
        hours_per_year,
        hours_by_kind,
        load,
        changer,
    }
}

/// Pieces a year that have an outside price and can be made.
fn priced_pieces(parts: &[PartMoney<'_>], capacity: f64) -> f64 {
    let priced = parts
        .iter()
        .filter(|p| p.time.is_some() && p.part.outside_price.is_some());
    capacity
        * priced
            .map(|p| p.part.per_year.likely.to_number())
            .sum::<f64>()
}

/// Share of the parts' yearly hours that the shop can give.
fn capacity(available: Time, asked: Time) -> f64 {
    if asked > available && asked > Time::ZERO {
        available / asked
    } else {
        1.0
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
