//! Several machines of a study on the common draws: sums draw by draw, what the shop buys once counted
//! once.

use super::Context;
use super::failing;
use super::looked::Looked;
use super::memo::YearsKey;
use super::priced::{self, Variant};
use crate::choice::purchase::Bought;
use crate::money::{Amount, Line, draw, of_each_machine, over_years, saved};
use crate::site::Work;
use crate::site::together::Together;
use std::sync::Arc;
use units::{InputId, Value};

/// Several machines found worth looking at, evaluated on the common draws.
#[derive(Clone, Debug)]
pub(super) struct JointAnswer {
    /// Places among the variants.
    pub members: Vec<usize>,
    /// Per part: the variant it is made on.
    pub made_on: Vec<Option<usize>>,
    /// Draw by draw: all-in cost, budget, net present value.
    pub totals: Vec<f64>,
    pub budgets: Arc<Vec<f64>>,
    pub npv: Vec<f64>,
    /// Whether they stand and run at once.
    pub together: Arc<Together>,
}

/// Several machines on the common draws: sums draw by draw, what the shop buys once counted once.
pub(super) fn joint(
    context: &Context<'_>,
    variants: &[Variant<'_>],
    bought: &Bought,
    together: &Arc<Together>,
) -> JointAnswer {
    let shop = context.inputs.shop;
    let draws = context.settings.draws;
    let mut answer = JointAnswer {
        members: bought.machines.clone(),
        made_on: bought.made_on.clone(),
        totals: vec![0.0; draws as usize],
        budgets: Arc::default(),
        npv: vec![0.0; draws as usize],
        together: together.clone(),
    };
    let mut seen: Vec<Line> = Vec::new();
    // What the shop earns beside comes once, whatever the number of machines.
    let mut alone = shop.clone();
    alone.finance.income_per_year = None;
    for member in &bought.machines {
        let looked = &variants[*member].looked;
        let made: Vec<bool> = bought.made_on.iter().map(|m| *m == Some(*member)).collect();
        let mut one = priced::one_off(context, looked, &priced::demanded_of(context, &made));
        if answer.budgets.is_empty() {
            one.lines.extend(together.works.iter().map(work_line));
        }
        one.lines.retain(|l| !seen.contains(l));
        seen.extend(one.lines.iter().filter(|l| is_common(l)).cloned());
        let parts = priced::part_money(context, looked, &made);
        let [mut running, first_year] =
            priced::yearly(context, looked, priced::price(&one), &parts, 1.0);
        if !answer.budgets.is_empty() {
            // One programmer, one seat; one rent of the shop's own.
            running.retain(|l| of_each_machine(&l.name));
        }
        let years = YearsKey {
            one_off: one.lines.clone(),
            running,
            first_year,
            income: Some(saved(&parts, 1.0).unwrap_or_default()),
            offer: looked.id().0.clone(),
            terms: looked.offer.terms.clone(),
            condition: looked.offer.condition,
            pieces: 0.0,
            // Each machine runs its own hours.
            hours: priced::hours_factor(looked, &made)
                .map(|factor| (factor, priced::room(context, priced::hours(looked, &made)))),
            shop: if answer.budgets.is_empty() {
                shop.clone()
            } else {
                alone.clone()
            },
            draws,
        };
        let own = over_years(&years.read()).1.unwrap_or_default();
        let cost = draw(&one.lines, &shop.budget, shop.seed, draws);
        add(&mut answer.npv, &own.draws);
        if let Some(less) = lost_in_doubt(context, looked, &made) {
            add(&mut answer.npv, &less);
        }
        add(&mut answer.totals, &cost.totals);
        answer.budgets = cost.budgets;
    }
    answer
}

/// Share of the draws in which all of them go in and make what must be made on each.
pub(super) fn does_share(
    context: &Context<'_>,
    variants: &[Variant<'_>],
    made_on: &[Option<usize>],
    members: &[usize],
) -> f64 {
    let parts = context.inputs.parts;
    let drawn = members
        .iter()
        .filter_map(|m| Some((*m, variants[*m].looked.in_draws.as_ref()?)));
    let mut does = vec![true; context.settings.draws as usize];
    for (member, drawn) in drawn {
        let needed = |at: usize| made_on[at] == Some(member) && parts[at].must_make;
        for (does, own) in does.iter_mut().zip(drawn.each(|o| o.surely_does(needed))) {
            *does &= own;
        }
    }
    does.iter().filter(|does| **does).count() as f64 / does.len().max(1) as f64
}

/// What a machine of several loses, draw by draw, by what turns out not to fit or not to go in.
fn lost_in_doubt(context: &Context<'_>, looked: &Looked<'_>, made: &[bool]) -> Option<Vec<f64>> {
    looked.in_draws.as_ref()?;
    let priced = priced::one_off(context, looked, &priced::demanded_of(context, made));
    let whole = priced::worth(context, looked, &priced, made)?;
    let left = failing::worth(context, looked, &priced, made)?;
    let pairs = left.draws.iter().zip(&whole.draws);
    Some(pairs.map(|(left, whole)| left - whole).collect())
}

/// A work that several machines at once take beyond those of each alone.
fn work_line(work: &Work) -> Line {
    let id = format!("together/{}", work.name);
    let amount = Value::assumed(id, work.low, work.likely, work.high, &work.source);
    Line::fixed(work.name, amount, work.why.clone())
}

fn add(sum: &mut [f64], more: &[f64]) {
    for (sum, more) in sum.iter_mut().zip(more) {
        *sum += more;
    }
}

/// A line that is the shop's own and the same whichever machine is bought.
pub(super) fn is_common(line: &Line) -> bool {
    let own = |id: &InputId| id.0.starts_with("offers/");
    match &line.amount {
        Amount::Fixed(v) => !own(&v.id),
        // What happens to the shop happens once.
        Amount::Times { count, each } => !own(&count.id) && !own(&each.id),
        Amount::Share { .. } | Amount::Scaled { .. } => false,
    }
}
