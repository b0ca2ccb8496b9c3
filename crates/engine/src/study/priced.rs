//! The money of a purchase and of what is made on it.

use super::Context;
use super::looked::Looked;
use crate::demand::{Demand, OwnTools};
use crate::fit::{Verdict, distinct_tools};
use crate::money::lines::{Bill, Demanded, Priced, of_offer};
use crate::money::{
    AllIn, Horizon, Line, PartMoney, Running, Worth, per_year, saved, worth as worth_of,
};
use std::sync::Arc;
use units::{Money, Time};

/// A purchase with its money.
#[derive(Clone, Debug)]
pub(super) struct Variant<'a> {
    pub looked: Looked<'a>,
    /// Per part: made on it.
    pub made: Vec<bool>,
    pub priced: Priced,
    pub all_in: Arc<AllIn>,
    /// Where parts have outside prices and the aim is value.
    pub worth: Option<Worth>,
    /// Hours a year the needs ask for beyond those there are; `None` when they suffice or do not
    /// count.
    pub hours_short: Option<Time>,
    /// What the budget leaves for the price, where the seller states none.
    pub highest_price: Option<Money>,
}

/// What some parts together ask to be bought.
pub fn demanded<'d>(demands: impl IntoIterator<Item = &'d Demand>, own: &OwnTools) -> Demanded {
    let mut tools = Vec::new();
    let mut all = Demanded::default();
    for demand in demands {
        for tool in distinct_tools(demand) {
            if !tools.contains(&tool) {
                tools.push(tool);
                all.owned_tools += u32::from(own.serves_all(demand, &tool));
            }
        }
        all.setups += demand.setups.len() as u32;
        all.holdings.extend(demand.setups.iter().map(|s| s.holding));
    }
    all.tools = tools.len() as u32;
    all
}

/// What the parts made ask to be bought.
pub(super) fn demanded_of(context: &Context<'_>, made: &[bool]) -> Demanded {
    let made = context.demands.iter().zip(made).filter(|(_, made)| **made);
    let own = &context.inputs.shop.tools;
    demanded(made.map(|(demand, _)| demand), own)
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
        .zip(made)
        .map(|((part, time), made)| PartMoney {
            part,
            time: time.as_ref().filter(|_| *made),
        })
        .collect()
}

/// Yearly lines.
pub(super) fn yearly(
    context: &Context<'_>,
    looked: &Looked<'_>,
    price: Option<&Line>,
    parts: &[PartMoney<'_>],
    capacity: f64,
) -> Vec<Line> {
    per_year(&Running {
        shop: context.inputs.shop,
        offer: &looked.offer,
        class: looked.class,
        machine: &looked.machine,
        price,
        parts,
        capacity,
        year: context.settings.year,
    })
}

/// Hours a year of the parts made.
pub(super) fn hours(looked: &Looked<'_>, made: &[bool]) -> Time {
    (0..made.len())
        .filter(|part| made[*part])
        .filter_map(|part| looked.hours(part))
        .sum()
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

/// Value of a purchase and of what is made on it; `None` when no part made has an outside price.
pub(super) fn worth(
    context: &Context<'_>,
    looked: &Looked<'_>,
    priced: &Priced,
    made: &[bool],
) -> Option<Worth> {
    let parts = part_money(context, looked, made);
    let capacity = capacity(context, hours(looked, made));
    let income = saved(&parts, capacity)?;
    let running = yearly(context, looked, price(priced), &parts, capacity);
    let (shop, draws) = (context.inputs.shop, context.settings.draws);
    let key = (priced.lines.clone(), running, income, shop.clone(), draws);
    let found = context.memo.worths.get(&key, || {
        worth_of(&key.0, &key.1, &key.2, Horizon { shop, draws })
    });
    Some(Worth::clone(&found))
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
    let all_in = context
        .memo
        .draw(&priced.lines, &shop.budget, shop.seed, context.settings);
    let highest_price = (!priced.price_stated)
        .then(|| {
            context
                .memo
                .room(&priced.lines, shop, context.settings.draws)
        })
        .and_then(|room| room.price);
    Variant {
        looked,
        made,
        priced,
        all_in,
        worth: None,
        hours_short: None,
        highest_price,
    }
}
