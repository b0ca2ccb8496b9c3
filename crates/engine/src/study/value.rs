//! The most valuable purchase of a study: what enters the exact search, and what it finds on the
//! common draws.
//!
//! The search works with means: what a part brings a year against what it costs a year, at the mean
//! worth of a yearly unit over the horizon; a tool or a fixture more at the mean it adds to the
//! lines. Inputs that are multiplied are independent, so means of products are products of means.
//! What it finds is then drawn like everything else.

use super::Context;
use super::bounded;
use super::failing;
use super::joint::{JointAnswer, is_common, joint};
use super::looked::Looked;
use super::memo::YearsKey;
use super::priced::{self, Variant};
use super::sets::{Sets, sets};
use crate::choice::purchase::{
    Bought, Common, MachineChoice, Making, PartNeeds, Purchase, search_until,
};
use crate::demand::{Holding, ToolNeed};
use crate::fit::{Verdict, distinct_tools};
use crate::money::lines::Demanded;
use crate::money::{Amount, Line, ShareOf, draw, mean_npv, of_each_machine, over_years};
use crate::site::together::Together;
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::sync::Arc;
use units::{Cancelled, DRAW_BLOCK, Money, Quantity, Time, Value, Watch};

/// Draws the search counts the over-run with: a block fills every stratum of every input once.
const DRAWS: u64 = DRAW_BLOCK;

/// What the search came to.
pub(super) struct Valued<'a> {
    pub variants: Vec<Variant<'a>>,
    pub joints: Vec<JointAnswer>,
    pub proven: bool,
    /// By how much anything left out may be worth more, where a search cut short, income tax or ranges
    /// leave that open.
    pub gap: Option<f64>,
    /// True when the search was told to stop before its end.
    pub stopped: bool,
}

/// What is reported while the search runs, which `Watch::enough` ends.
pub const SEARCH: &str = "best purchase";

/// A difference in money nobody counts.
const COUNTED: f64 = 0.5;

/// Finds what to make on every purchase that may matter, and values it. `sure` tells of each
/// purchase whether it may be named as it stands.
pub(super) fn valued<'a>(
    context: &Context<'_>,
    looked: Vec<Looked<'a>>,
    sure: &[bool],
    watch: Watch<'_>,
) -> Result<Valued<'a>, Cancelled> {
    let model = Model::of(context);
    let machines: Vec<Option<MachineChoice>> = looked
        .par_iter()
        .zip(sure)
        .map(|(l, sure)| {
            watch.check()?;
            let usable = l.gives_up.is_empty() && l.site.goes_in != crate::site::SiteVerdict::No;
            Ok(usable.then(|| model.machine(context, l, *sure)))
        })
        .collect::<Result<_, Cancelled>>()?;
    let places = |wanted: bool| -> Vec<usize> {
        (0..looked.len())
            .filter(|at| machines[*at].is_some() && sure[*at] == wanted)
            .collect()
    };
    let (named, asked) = (places(true), places(false));
    let common = looked
        .iter()
        .map(|l| model.common(context, l))
        .fold(Common::default(), |a, b| Common {
            cost: a.cost.max(b.cost),
            spent: a.spent.max(b.spent),
        });
    let purchase = |of: &[usize], most: usize| Purchase {
        common: if most > 1 { common } else { Common::default() },
        machines: of.iter().filter_map(|at| machines[*at].clone()).collect(),
        most_machines: most,
        ..model.purchase(context)
    };
    // One purchase of every offer is looked at whatever it is worth, for the answer to show.
    let shown = |of: &[usize]| -> Vec<usize> {
        let mut also: Vec<usize> = Vec::new();
        for (place, at) in of.iter().enumerate() {
            if !also
                .iter()
                .any(|p| looked[of[*p]].number == looked[*at].number)
            {
                also.push(place);
            }
        }
        also
    };
    let most = context.inputs.shop.machines;
    watch.tick(SEARCH, 0, named.len() + asked.len())?;
    let stop = || watch.enough();
    let (first, second) = rayon::join(
        || search_until(&purchase(&named, 1), &shown(&named), &stop),
        || search_until(&purchase(&asked, 1), &shown(&asked), &stop),
    );
    // The hours are a limit by their likely values there: where the best does not always keep them,
    // another might be better in the draws.
    let is_overfull = |looked: &Looked<'_>, made: &[bool]| {
        let [_, above] = priced::doubt(looked, made).sides();
        let most = priced::hours(looked, made) + Time::h(above);
        above > 0.0 && most > context.inputs.shop.hours_per_year.likely
    };
    let single_overfull = first.sets.first().is_some_and(|best| {
        let made: Vec<bool> = best.made_on.iter().map(Option::is_some).collect();
        is_overfull(&looked[named[best.machines[0]]], &made)
    });
    let mut overfull = single_overfull;
    let mut stopped = first.stopped || second.stopped;
    let mut most_worth = first.most;
    let mut best = first.sets.first().map_or(f64::NEG_INFINITY, |s| s.worth);
    let singles: Vec<(Bought, usize)> = first
        .sets
        .iter()
        .map(|set| (set.clone(), named[set.machines[0]]))
        .collect();
    let mut made: Vec<Option<Vec<bool>>> = vec![None; looked.len()];
    for (found, of) in [(first, &named), (second, &asked)] {
        for set in found.sets {
            made[of[set.machines[0]]] = Some(set.made_on.iter().map(Option::is_some).collect());
        }
    }
    let mut together: Vec<(Bought, Arc<Together>)> = Vec::new();
    if most > 1 {
        let found = sets(context, &looked, &named, purchase(&named, most), watch)?;
        let Sets {
            named: sets,
            others,
            ..
        } = found;
        // Nor are works for all of them at once in the means it goes by.
        overfull |= !found.as_searched;
        overfull |= sets.first().is_some_and(|(best, _)| {
            best.machines.iter().any(|machine| {
                let made: Vec<bool> = best.made_on.iter().map(|m| *m == Some(*machine)).collect();
                is_overfull(&looked[named[*machine]], &made)
            })
        });
        stopped |= found.stopped;
        most_worth = most_worth.max(found.most);
        best = best.max(found.best);
        together.extend(sets.into_iter().chain(others).map(|(set, together)| {
            let bought = Bought {
                machines: set.machines.iter().map(|m| named[*m]).collect(),
                made_on: set.made_on.iter().map(|m| m.map(|m| named[m])).collect(),
                ..set
            };
            (bought, together)
        }));
    }
    let jobs: Vec<(Looked<'a>, Option<Vec<bool>>)> = looked.into_iter().zip(made).collect();
    watch.tick("draws", 0, jobs.len())?;
    let variants: Vec<Variant<'a>> = jobs
        .into_par_iter()
        .map(|(looked, made)| {
            watch.check()?;
            Ok(variant(context, looked, made))
        })
        .collect::<Result<_, Cancelled>>()?;
    let joints = together
        .par_iter()
        .map(|(bought, together)| {
            watch.check()?;
            Ok(joint(context, &variants, bought, together))
        })
        .collect::<Result<_, Cancelled>>()?;
    let needs = context.inputs.parts.iter().any(|p| p.must_make);
    // What the machine earns beside is in no worth here, and nothing else earns it.
    let beside = context.inputs.shop.finance.income_per_year.is_some();
    let least = if needs || beside {
        f64::NEG_INFINITY
    } else {
        0.0
    };
    let most_worth = most_worth.max(least);
    // In both cases the search's worth is a bound from above.
    let is_bound = bounded::losses_wait(context.inputs.shop)
        || variants.iter().any(|v| v.looked.in_draws.is_some());
    let gap = if is_bound {
        bounded::gap(context, &variants, &singles, most_worth, least)
    } else if most_worth > best.max(least) {
        most_worth - best.max(least)
    } else {
        0.0
    };
    let gap = (gap >= COUNTED).then_some(gap);
    Ok(Valued {
        variants,
        joints,
        proven: gap.is_none() && !overfull,
        gap: gap.filter(|gap| gap.is_finite() && !overfull),
        stopped,
    })
}

/// A purchase with what the search says to make on it; without that with everything it can make.
fn variant<'a>(context: &Context<'_>, looked: Looked<'a>, made: Option<Vec<bool>>) -> Variant<'a> {
    let found = made.is_some();
    let made = made.unwrap_or_else(|| priced::makable(&looked));
    let short = hours_short(context, &looked);
    let mut variant = priced::variant(context, looked, made);
    if found {
        variant.worth = failing::worth(context, &variant.looked, &variant.priced, &variant.made);
    }
    variant.hours_short = short;
    variant
}

/// Hours the needs ask for beyond those there are.
fn hours_short(context: &Context<'_>, looked: &Looked<'_>) -> Option<Time> {
    let needs: Vec<bool> = context.inputs.parts.iter().map(|p| p.must_make).collect();
    let short = priced::hours(looked, &needs) - context.inputs.shop.hours_per_year.likely;
    (short > Time::ZERO).then_some(short)
}

/// What all purchases share.
struct Model {
    parts: Vec<PartNeeds>,
    /// Tools of the parts, each once, and whether the shop owns it; behind them the search counts the
    /// chuck as one more.
    tools: Vec<(ToolNeed, bool)>,
    /// Setups of all parts, and how they are held.
    setups: u32,
    holdings: BTreeSet<Holding>,
    /// What a year of each part brings, where it has a price.
    income: Vec<f64>,
    budget: Vec<f64>,
}

impl Model {
    fn of(context: &Context<'_>) -> Self {
        let shop = context.inputs.shop;
        let mut tools: Vec<(ToolNeed, bool)> = Vec::new();
        let mut parts: Vec<PartNeeds> = Vec::new();
        for (part, demand) in context.inputs.parts.iter().zip(context.demands) {
            let mut needs = Vec::new();
            for tool in distinct_tools(demand) {
                let place = tools
                    .iter()
                    .position(|(t, _)| *t == tool)
                    .unwrap_or_else(|| {
                        tools.push((tool, shop.tools.serves_all(demand, &tool)));
                        tools.len() - 1
                    });
                needs.push(place);
            }
            parts.push(PartNeeds {
                must: part.must_make,
                tools: needs,
            });
        }
        let demands = || context.demands.iter().map(|d| &d.setups);
        let chuck = tools.len();
        for (needs, demand) in parts.iter_mut().zip(context.demands) {
            if demand.setups.iter().any(|s| s.holding == Holding::Chuck) {
                needs.tools.push(chuck);
            }
        }
        let income = context
            .inputs
            .parts
            .iter()
            .map(|part| {
                let of = |v: &Value<Money>| part.per_year.mean().to_number() * v.mean().to_amount();
                part.outside_price.as_ref().map_or(0.0, of)
            })
            .collect();
        Self {
            parts,
            tools,
            setups: demands().map(|s| s.len() as u32).sum(),
            holdings: demands().flatten().map(|s| s.holding).collect(),
            income,
            budget: draw(&[], &shop.budget, shop.seed, DRAWS).budgets.to_vec(),
        }
    }

    /// The tools the shop does not own, but for one.
    fn bought(&self, but: Option<usize>) -> Vec<ToolNeed> {
        let tools = self.tools.iter().enumerate();
        tools
            .filter(|(at, (_, owned))| !owned && Some(*at) != but)
            .map(|(_, (tool, _))| *tool)
            .collect()
    }

    /// What all parts together ask for.
    fn kit(&self) -> Demanded {
        Demanded {
            tools: self.tools.len() as u32,
            owned_tools: self.tools.iter().filter(|(_, owned)| *owned).count() as u32,
            kit: self.bought(None),
            setups: self.setups,
            holdings: self.holdings.clone(),
        }
    }

    /// Everything but the machines.
    fn purchase(&self, context: &Context<'_>) -> Purchase {
        let shop = context.inputs.shop;
        Purchase {
            machines: Vec::new(),
            apart: BTreeSet::new(),
            parts: self.parts.clone(),
            tools: vec![0.0; self.tools.len() + 1],
            hours: shop.hours_per_year.likely.to_h(),
            budget: self.budget.clone(),
            over_rate: shop.over_budget_rate.mean().to_number(),
            most_machines: 1,
            common: Common::default(),
            // What the machine earns beside is in no part's worth.
            least_worth: match shop.finance.income_per_year {
                Some(_) => f64::NEG_INFINITY,
                None => 0.0,
            },
        }
    }

    /// What a further machine does not cost again.
    fn common(&self, context: &Context<'_>, looked: &Looked<'_>) -> Common {
        if context.inputs.shop.machines < 2 {
            return Common::default();
        }
        let shop = context.inputs.shop;
        let mut one = priced::one_off(context, looked, &Demanded::default());
        let parts = priced::part_money(context, looked, &vec![false; self.parts.len()]);
        let [mut running, _] = priced::yearly(context, looked, priced::price(&one), &parts, 1.0);
        one.lines.retain(is_common);
        running.retain(|l| !of_each_machine(&l.name));
        Common {
            cost: -npv(context, looked, &one.lines, [&running, &[]], &[]),
            spent: draw(&one.lines, &shop.budget, shop.seed, DRAWS)
                .percentiles
                .mean
                .to_amount(),
        }
    }

    fn machine(&self, context: &Context<'_>, looked: &Looked<'_>, sure: bool) -> MachineChoice {
        let shop = context.inputs.shop;
        // Prices of single tools and setups are what leaving one out of all saves: where some holders
        // are there already, few tools then look cheaper than they are, never dearer, and no purchase
        // is ruled out by that.
        let lines = |kit: &Demanded| priced::one_off(context, looked, kit);
        let all = self.kit();
        let full = lines(&all);
        let whole = kit_mean(&full.lines);
        let saved = |kit: &Demanded| (whole - kit_mean(&lines(kit).lines)).max(0.0);
        let setup = saved(&Demanded {
            setups: all.setups.saturating_sub(1),
            ..all.clone()
        });
        let chuck = saved(&Demanded {
            holdings: all
                .holdings
                .iter()
                .copied()
                .filter(|h| *h != Holding::Chuck)
                .collect(),
            ..all.clone()
        });
        let mut tools: Vec<f64> = self
            .tools
            .iter()
            .enumerate()
            .map(|(at, (_, owned))| {
                saved(&Demanded {
                    tools: all.tools.saturating_sub(1),
                    owned_tools: all.owned_tools - u32::from(*owned),
                    kit: self.bought(Some(at)),
                    ..all.clone()
                })
            })
            .collect();
        tools.push(chuck);
        let held = tools.iter().sum::<f64>() + f64::from(all.setups) * setup;
        let price = priced::price(&full);
        let of_parts = |made: &[bool]| {
            let parts = priced::part_money(context, looked, made);
            priced::yearly(context, looked, price, &parts, 1.0)
        };
        let none = vec![false; self.parts.len()];
        let [idle_lines, idle_first] = of_parts(&none);
        let (idle, first_idle) = (yearly_mean(&idle_lines), yearly_mean(&idle_first));
        let unit = Value::stated("unit", Money::amount(1.0), units::Place::default());
        let unit = [Line::fixed("unit", unit, "")];
        // What a unit earned a year is worth over the horizon, from the day the machine stands.
        let per_yearly = npv(context, looked, &[], [&[], &[]], &unit);
        let makes = (0..self.parts.len())
            .map(|part| {
                // What nobody can say is made only where it is asked about anyway.
                let made = match looked.fits()[part].verdict {
                    Verdict::DoesNotFit => false,
                    Verdict::CannotSay => !sure,
                    Verdict::Fits | Verdict::FitsWithMoreClampings => true,
                };
                if !made {
                    return None;
                }
                let hours = looked.hours(part)?;
                let tended = looked.tended(part)?;
                let mut only = none.clone();
                only[part] = true;
                let [lines, first] = of_parts(&only);
                let cost = yearly_mean(&lines) - idle;
                // Paid within the first year, and no part of what the budget is held against.
                let learning = yearly_mean(&first) - first_idle;
                Some(Making {
                    worth: per_yearly * (self.income[part] - cost) - learning,
                    hours: hours.to_h(),
                    tended: tended.to_h(),
                    once: context.demands[part].setups.len() as f64 * setup,
                })
            })
            .collect();
        let spent = draw(&full.lines, &shop.budget, shop.seed, DRAWS).totals;
        MachineChoice {
            offer: looked.number,
            cost: -npv(
                context,
                looked,
                &full.lines,
                [&idle_lines, &idle_first],
                &[],
            ) - held,
            spent: spent.iter().map(|s| s - held).collect(),
            tools,
            makes,
        }
    }
}

/// Mean of what does not depend on other lines, with what is a share of the uncertain ones on top: the
/// difference of two such sums is the difference of the whole when only tools and fixtures differ.
fn kit_mean(lines: &[Line]) -> f64 {
    let shares: f64 = lines
        .iter()
        .map(|line| match &line.amount {
            Amount::Share {
                of: ShareOf::Uncertain,
                share,
            } => share.mean().to_number(),
            _ => 0.0,
        })
        .sum();
    let (open, certain): (Vec<Line>, Vec<Line>) =
        lines.iter().cloned().partition(Line::is_estimate);
    (1.0 + shares) * yearly_mean(&open) + yearly_mean(&certain)
}

/// Mean net present value of lines on a purchase, beside what it brings whatever is made.
fn npv(
    context: &Context<'_>,
    looked: &Looked<'_>,
    one_off: &[Line],
    [running, first_year]: [&[Line]; 2],
    income: &[Line],
) -> f64 {
    let of = |one_off: &[Line], running: &[Line], first_year: &[Line], income: &[Line]| {
        let years = YearsKey {
            one_off: one_off.to_vec(),
            running: running.to_vec(),
            first_year: first_year.to_vec(),
            income: Some(income.to_vec()),
            offer: looked.id().0.clone(),
            terms: looked.offer.terms.clone(),
            condition: looked.offer.condition,
            pieces: 0.0,
            hours: None,
            shop: bounded::refunded(context.inputs.shop),
            draws: DRAWS,
        };
        mean_npv(&years.read())
    };
    of(one_off, running, first_year, income) - of(&[], &[], &[], &[])
}

/// Mean of lines that are no share of others.
fn yearly_mean(lines: &[Line]) -> f64 {
    lines
        .iter()
        .map(|line| match &line.amount {
            Amount::Fixed(v) => v.mean().base(),
            Amount::Times { count, each } => count.mean().to_number() * each.mean().base(),
            Amount::Scaled { by, count, each } => {
                by.mean().to_number() * count.mean().to_number() * each.mean().base()
            }
            Amount::Share { .. } => 0.0,
        })
        .sum()
}
