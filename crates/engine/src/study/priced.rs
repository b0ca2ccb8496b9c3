//! The money of a purchase and of what is made on it.

use super::Context;
use super::looked::Looked;
use super::memo::YearsKey;
use crate::cycle::HourDoubt;
use crate::demand::{Demand, Holding, OwnTools, ToolNeed};
use crate::fit::{Verdict, distinct_tools};
use crate::money::lines::{Bill, Demanded, Priced, of_offer};
use crate::money::{
    AllIn, Financing, Line, OverYears, PartMoney, Running, Worth, first_year, over_years, per_year,
    saved, series,
};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use units::{Money, Number, Time, Value};

/// A purchase with its money.
#[derive(Clone, Debug)]
pub(super) struct Variant<'a> {
    pub looked: Looked<'a>,
    /// Per part: made on it.
    pub made: Vec<bool>,
    pub priced: Priced,
    pub all_in: Arc<AllIn>,
    /// Hours a year of what is made on it.
    pub hours: Time,
    /// Factor of these hours in each of the common draws; empty where they are not in doubt.
    pub hour_factors: Vec<f64>,
    /// Where parts have outside prices and the aim is value.
    pub worth: Option<Worth>,
    /// Hours a year the needs ask for beyond those there are; `None` when they suffice or do not
    /// count.
    pub hours_short: Option<Time>,
    /// What the budget leaves for the price, where the seller states none.
    pub highest_price: Option<Money>,
}

/// What each part asks to be bought, looked up once: many sets of parts are priced.
#[derive(Clone, Debug)]
pub(super) struct PartTools {
    /// Distinct tools of all parts.
    tools: Vec<ToolNeed>,
    /// Per part: its tools as places among them, and whether the shop's own serve it there.
    of: Vec<Vec<(usize, bool)>>,
    /// Per part: number of setups, and how they are held.
    setups: Vec<(u32, BTreeSet<Holding>)>,
}

impl PartTools {
    pub(super) fn of(demands: &[Demand], own: &OwnTools) -> Self {
        let mut tools: Vec<ToolNeed> = Vec::new();
        let of = demands
            .iter()
            .map(|demand| {
                let needs = distinct_tools(demand).into_iter().map(|tool| {
                    let known = tools.iter().position(|t| *t == tool);
                    let place = known.unwrap_or_else(|| {
                        tools.push(tool);
                        tools.len() - 1
                    });
                    (place, own.serves_all(demand, &tool))
                });
                needs.collect()
            })
            .collect();
        let setups = demands.iter().map(|d| {
            let holdings = d.setups.iter().map(|s| s.holding).collect();
            (d.setups.len() as u32, holdings)
        });
        Self {
            of,
            setups: setups.collect(),
            tools,
        }
    }

    /// What some parts together ask to be bought.
    pub(super) fn demanded(&self, made: impl Fn(usize) -> bool) -> Demanded {
        self.bought(&self.asked(made))
    }

    /// The same in places.
    fn asked(&self, made: impl Fn(usize) -> bool) -> Asked {
        let mut seen = vec![false; self.tools.len()];
        let mut all = Asked::default();
        for part in (0..self.of.len()).filter(|part| made(*part)) {
            for (place, owned) in &self.of[part] {
                if !std::mem::replace(&mut seen[*place], true) {
                    all.tools.push((*place, *owned));
                }
            }
            let (setups, holdings) = &self.setups[part];
            all.setups += setups;
            all.holdings.extend(holdings);
        }
        all
    }

    /// What is bought for it.
    pub(super) fn bought(&self, asked: &Asked) -> Demanded {
        let kit = asked.tools.iter().filter(|(_, owned)| !owned);
        let kit: Vec<ToolNeed> = kit.map(|(place, _)| self.tools[*place]).collect();
        Demanded {
            tools: asked.tools.len() as u32,
            owned_tools: (asked.tools.len() - kit.len()) as u32,
            kit,
            setups: asked.setups,
            holdings: asked.holdings.clone(),
        }
    }
}

/// What some parts ask to be bought, told in few numbers: compared by them.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Asked {
    setups: u32,
    holdings: BTreeSet<Holding>,
    /// Each tool by its place, in the order the parts ask for them, and whether the shop's own serves.
    tools: Vec<(usize, bool)>,
}

/// Parts made on one machine, to be asked what fewer of them ask for.
pub(super) struct Made<'a> {
    parts: &'a PartTools,
    made: &'a [bool],
    all: Asked,
    /// Per part: whether it is the first to use some tool.
    first: Vec<bool>,
    /// Parts held so.
    held: BTreeMap<Holding, usize>,
}

impl<'a> Made<'a> {
    pub(super) fn of(parts: &'a PartTools, made: &'a [bool]) -> Self {
        let mut seen = vec![false; parts.tools.len()];
        let mut first = vec![false; made.len()];
        let mut held = BTreeMap::new();
        for part in (0..made.len()).filter(|part| made[*part]) {
            for (place, _) in &parts.of[part] {
                first[part] |= !std::mem::replace(&mut seen[*place], true);
            }
            for holding in &parts.setups[part].1 {
                *held.entry(*holding).or_default() += 1;
            }
        }
        Self {
            parts,
            made,
            all: parts.asked(|part| made[part]),
            first,
            held,
        }
    }

    /// What is asked for without some of the parts.
    pub(super) fn without(&self, given: &[usize]) -> Asked {
        if given.iter().any(|part| self.first[*part]) {
            let left = |part| self.made[part] && !given.contains(&part);
            return self.parts.asked(left);
        }
        // Others use all their tools before them: these stay, in their order.
        let mut rest = self.all.clone();
        let gone = given.iter().filter(|part| self.made[**part]);
        let gone: Vec<&(u32, BTreeSet<Holding>)> =
            gone.map(|part| &self.parts.setups[*part]).collect();
        rest.setups -= gone.iter().map(|(setups, _)| setups).sum::<u32>();
        rest.holdings.retain(|holding| {
            let fewer = gone.iter().filter(|(_, own)| own.contains(holding)).count();
            self.held.get(holding).is_some_and(|all| *all > fewer)
        });
        rest
    }
}

/// What the parts made ask to be bought.
pub(super) fn demanded_of(context: &Context<'_>, made: &[bool]) -> Demanded {
    context.part_tools.demanded(|part| made[part])
}

/// Everything that is not known not to fit.
pub(super) fn makable(looked: &Looked<'_>) -> Vec<bool> {
    looked
        .fits()
        .iter()
        .map(|f| f.verdict != Verdict::DoesNotFit)
        .collect()
}

/// The one-off lines of a purchase with what some parts ask for.
pub(super) fn one_off(context: &Context<'_>, looked: &Looked<'_>, demanded: &Demanded) -> Priced {
    let bill = Bill {
        shop: context.inputs.shop,
        demanded,
        works: &looked.site.works,
        year: context.settings.year,
    };
    of_offer(&bill, &looked.offer, looked.class)
}

/// Parts with their times, those made on the machine.
pub(super) fn part_money<'p>(
    context: &Context<'p>,
    looked: &'p Looked<'_>,
    made: &[bool],
) -> Vec<PartMoney<'p>> {
    context
        .inputs
        .parts
        .iter()
        .zip(&looked.fitted.times)
        .zip(context.demands)
        .zip(made)
        .map(|(((part, time), demand), made)| PartMoney {
            part,
            time: time.as_ref().filter(|_| *made),
            demand: Some(demand),
        })
        .collect()
}

/// Yearly lines, and what the first year costs on top.
pub(super) fn yearly(
    context: &Context<'_>,
    looked: &Looked<'_>,
    price: Option<&Line>,
    parts: &[PartMoney<'_>],
    capacity: f64,
) -> [Vec<Line>; 2] {
    let year = Running {
        shop: context.inputs.shop,
        offer: &looked.offer,
        class: looked.class,
        machine: &looked.machine,
        price,
        parts,
        materials: context.inputs.materials,
        capacity,
        year: context.settings.year,
    };
    [per_year(&year), first_year(&year)]
}

/// Hours a year of the parts made.
pub(super) fn hours(looked: &Looked<'_>, made: &[bool]) -> Time {
    (0..made.len())
        .filter(|part| made[*part])
        .filter_map(|part| looked.hours(part))
        .sum()
}

/// How far the hours of the parts made may be off.
pub(super) fn doubt(looked: &Looked<'_>, made: &[bool]) -> HourDoubt {
    let times = looked.fitted.times.iter().zip(made);
    HourDoubt::of(times.filter_map(|(t, made)| t.as_ref().filter(|_| *made)))
}

/// The factor of the hours of the parts made, as it is drawn.
pub(super) fn hours_factor(looked: &Looked<'_>, made: &[bool]) -> Option<Value<Number>> {
    doubt(looked, made).factor(&looked.id().0, hours(looked, made))
}

/// How many times the hours asked there are.
pub(super) fn room(context: &Context<'_>, asked: Time) -> f64 {
    let available = context.inputs.shop.hours_per_year.likely;
    available.to_h() / asked.to_h().max(1e-9)
}

/// Share of the hours asked that the shop can give.
pub(super) fn capacity(context: &Context<'_>, asked: Time) -> f64 {
    let available = context.inputs.shop.hours_per_year.likely;
    if asked > available && asked > Time::ZERO {
        available / asked
    } else {
        1.0
    }
}

/// Pieces a year that have an outside price and are made.
fn priced_pieces(parts: &[PartMoney<'_>], capacity: f64) -> f64 {
    let priced = parts
        .iter()
        .filter(|p| p.time.is_some() && p.part.outside_price.is_some());
    capacity
        * priced
            .map(|p| p.part.per_year.likely.to_number())
            .sum::<f64>()
}

/// A purchase and what is made on it over its years: how it is paid, and its value, where a part made
/// has an outside price or the machine brings other income.
pub(super) fn over_its_years(
    context: &Context<'_>,
    looked: &Looked<'_>,
    priced: &Priced,
    made: &[bool],
) -> Arc<(Financing, Option<Worth>)> {
    let key = years_key(context, looked, priced, made);
    context.memo.years.get(&key, || over_years(&key.read()))
}

/// What its years are computed from.
pub(super) fn years_key(
    context: &Context<'_>,
    looked: &Looked<'_>,
    priced: &Priced,
    made: &[bool],
) -> YearsKey {
    let parts = part_money(context, looked, made);
    let capacity = capacity(context, hours(looked, made));
    let [running, first_year] = yearly(context, looked, price(priced), &parts, capacity);
    YearsKey {
        one_off: priced.lines.clone(),
        running,
        first_year,
        income: saved(&parts, capacity),
        offer: looked.id().0.clone(),
        terms: looked.offer.terms.clone(),
        condition: looked.offer.condition,
        pieces: priced_pieces(&parts, capacity),
        hours: hours_factor(looked, made)
            .map(|factor| (factor, room(context, hours(looked, made)))),
        shop: context.inputs.shop.clone(),
        draws: context.year_draws,
    }
}

/// Its value alone.
pub(super) fn worth(
    context: &Context<'_>,
    looked: &Looked<'_>,
    priced: &Priced,
    made: &[bool],
) -> Option<Worth> {
    over_its_years(context, looked, priced, made).1.clone()
}

impl YearsKey {
    /// As the years are computed from it.
    pub(super) fn read(&self) -> OverYears<'_> {
        OverYears {
            shop: &self.shop,
            offer: &self.offer,
            terms: &self.terms,
            condition: self.condition,
            one_off: &self.one_off,
            running: &self.running,
            first_year: &self.first_year,
            income: self.income.as_deref(),
            pieces: self.pieces,
            hours: self.hours.as_ref().map(|(factor, room)| (factor, *room)),
            draws: self.draws,
        }
    }
}

pub(super) fn price(priced: &Priced) -> Option<&Line> {
    priced.lines.iter().find(|l| l.name == Line::PRICE)
}

/// A purchase on which some parts are made, without its value.
pub(super) fn variant<'a>(
    context: &Context<'_>,
    looked: Looked<'a>,
    made: Vec<bool>,
) -> Variant<'a> {
    let shop = context.inputs.shop;
    let priced = one_off(context, &looked, &demanded_of(context, &made));
    let all_in = context.memo.draw(
        &priced.lines,
        &shop.budget,
        shop.seed,
        context.settings.draws,
    );
    let highest_price = (!priced.price_stated)
        .then(|| {
            context
                .memo
                .room(&priced.lines, shop, context.settings.draws)
        })
        .and_then(|room| room.price);
    let draws = context.settings.draws;
    Variant {
        hours: hours(&looked, &made),
        hour_factors: hours_factor(&looked, &made)
            .map_or(Vec::new(), |factor| series(&factor, shop.seed, draws)),
        looked,
        made,
        priced,
        all_in,
        worth: None,
        hours_short: None,
        highest_price,
    }
}
