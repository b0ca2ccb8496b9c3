//! One offer with one set of options through every stage.

use super::inputs::{Inputs, Settings};
use crate::choice::Candidate;
use crate::cutting::Limits;
use crate::cycle::{self, Batches, Changer, Load, PartTime};
use crate::demand::Demand;
use crate::fit::{Fit, Verdict, distinct_tools, fit_within};
use crate::ids::OfferId;
use crate::machine::{Field, Known, Machine, MachineClass, Offer};
use crate::material::Materials;
use crate::money::lines::{Bill, Demanded, of_offer};
use crate::money::{
    AllIn, Driver, Horizon, Line, PartMoney, PriceRoom, Running, Uncertain, Worth, draw, drivers,
    highest_price, per_year, saved, uncertain, worth,
};
use crate::resolve;
use crate::site::electrical::settled;
use crate::site::removal::before_the_truck;
use crate::site::{PlanAnswers, Room, SiteAnswer, UsdRate, check, works};
use units::{Draw, Money, Spread, Time, Value};

/// What every offer shares.
pub(super) struct Context<'a> {
    pub inputs: &'a Inputs<'a>,
    pub settings: &'a Settings,
    pub materials: &'a Materials,
    pub demands: &'a [Demand],
    pub demanded: &'a Demanded,
    /// True when there are so many pairs that only what decides is kept of each.
    pub slim: bool,
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
    /// One fit per part, in the order of the parts.
    pub fits: Vec<Fit>,
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
    /// Value, where parts have outside prices.
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

impl OfferAnswer {
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

/// What all parts together ask to be bought.
pub fn demanded(demands: &[Demand]) -> Demanded {
    let mut tools = Vec::new();
    let mut all = Demanded::default();
    for demand in demands {
        for tool in distinct_tools(demand) {
            if !tools.contains(&tool) {
                tools.push(tool);
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
        slim,
        on_plan,
    } = *context;
    let shop = inputs.shop;
    let machine = resolve::machine(offer, class, Draw::Likely);
    let limits = Limits::of(&machine);
    let limits = limits.as_ref();
    let mut fits: Vec<Fit> = demands
        .iter()
        .map(|d| fit_within(d, &machine, limits, materials, &settings.practice))
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
    if slim {
        fits.iter_mut().for_each(Fit::slim);
    }
    let room = Room::resolve(inputs.site, Draw::Likely);
    let mut on_supply = machine.clone();
    if let Some(Spread::Range { low, high }) =
        offer.properties.supply_volts.as_ref().map(|v| v.spread)
        && let Some(volts) = settled(&machine, [low, high], &room)
    {
        on_supply.properties.supply_volts = Known::Yes(volts);
    }
    let mut site = check(&on_supply, &room, UsdRate::of(shop));
    let usd = UsdRate::of(shop);
    on_plan.apply(&machine, &offer.dismantling, usd, &mut site);
    let removal = offer.removal.or(&inputs.site.removal);
    site.before_the_truck = before_the_truck(&machine, &removal, offer.delivered);
    let moving = works::moving(&site.before_the_truck, &machine, usd);
    site.works.extend(moving);
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
        .map(|(part, time)| PartMoney {
            part,
            time: time.as_ref(),
        })
        .collect();
    let capacity = capacity(shop.hours_per_year.likely, hours_per_year);
    let running = per_year(&Running {
        shop,
        offer,
        class,
        machine: &machine,
        price: priced.lines.iter().find(|l| l.name == Line::PRICE),
        parts: &parts,
        capacity,
        year: settings.year,
    });
    let worth = saved(&parts, capacity).map(|income| {
        worth(
            &priced.lines,
            &running,
            &income,
            Horizon {
                shop,
                draws: settings.draws,
            },
        )
    });
    OfferAnswer {
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
        running: draw(&running, &nothing(&shop.budget), shop.seed, settings.draws),
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
