//! What enters the exact search for the most valuable purchase, as means.

use super::Context;
use super::bounded;
use super::joint::is_common;
use super::looked::Looked;
use super::memo::YearsKey;
use super::priced;
use crate::choice::purchase::{Common, MachineChoice, Making, PartNeeds, Purchase};
use crate::demand::{Holding, ToolNeed};
use crate::fit::{Verdict, distinct_tools};
use crate::money::lines::Demanded;
use crate::money::{Amount, Line, ShareOf, draw, mean_npv, of_each_machine};
use std::collections::BTreeSet;
use units::{DRAW_BLOCK, Money, Quantity, Value};

/// Draws the search counts the over-run with: a block fills every stratum of every input once.
const DRAWS: u64 = DRAW_BLOCK;

/// What all purchases share.
pub(super) struct Model {
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
    pub(super) fn of(context: &Context<'_>) -> Self {
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
    pub(super) fn purchase(&self, context: &Context<'_>) -> Purchase {
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
    pub(super) fn common(&self, context: &Context<'_>, looked: &Looked<'_>) -> Common {
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

    pub(super) fn machine(
        &self,
        context: &Context<'_>,
        looked: &Looked<'_>,
        sure: bool,
    ) -> MachineChoice {
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
