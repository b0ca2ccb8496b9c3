//! The highest price one may look at: the budget less everything that is not the machine.
//! In every draw the sum is `fixed + slope * price`, so the price that just keeps the budget is
//! solved exactly, and the price kept with a chance is a percentile of those.

use super::all_in::{LineSummary, draw, fill_blocks, percentile, series};
use super::line::Line;
use super::lines::{self, Bill};
use super::sums::{At, Sums, Want};
use crate::entered::Shop;
use crate::ids::ClassId;
use crate::machine::{Condition, MachineClass};
use crate::site::Work;
use serde::Serialize;
use units::{Money, Value};

/// Room for a price under the budget.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PriceRoom {
    /// Highest price that keeps the budget at the asked chance; `None` when the rest alone breaks
    /// it.
    pub price: Option<Money>,
    /// Price that keeps the budget in nine draws of ten (negative when the rest exceeds it).
    pub low: Money,
    /// In half of the draws.
    pub likely: Money,
    /// In one draw of ten.
    pub high: Money,
}

/// Ceiling of a machine class.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Ceiling {
    /// Class.
    pub class: ClassId,
    /// What people call it.
    pub name: String,
    /// Bought new or used.
    pub condition: Condition,
    /// Room for its price.
    #[serde(flatten)]
    pub room: PriceRoom,
    /// Usual price of the class so bought: least, likely, greatest.
    pub usual: Option<[Money; 3]>,
    /// Everything that is not the machine, line by line, at the price above (at none when nothing
    /// is left for it).
    pub besides: Vec<LineSummary>,
}

/// Highest price the budget leaves for the machine itself, all other lines as they are. Any
/// amount on the price line is ignored.
pub fn highest_price(
    lines: &[Line],
    budget: &Value<Money>,
    keep_chance: f64,
    seed: u64,
    draws: u64,
) -> PriceRoom {
    let with_price = with_price_line(lines);
    let sums = Sums::new(&with_price);
    let budgets = series(budget, seed, draws);
    let mut prices = vec![0.0; draws as usize];
    fill_blocks(&sums, seed, &mut prices, |scratch, out| {
        sums.run(At::Drawn, Want::WithoutPrice, scratch, |_, _| {});
        out.copy_from_slice(&scratch.total);
        sums.run(At::Drawn, Want::PerPrice, scratch, |_, _| {});
        let budgets = &budgets[scratch.first..];
        for ((price, slope), budget) in out.iter_mut().zip(&scratch.total).zip(budgets) {
            *price = (budget - *price) / slope;
        }
    });
    prices.sort_by(f64::total_cmp);
    let at = |share| percentile(&prices, share).unwrap_or(0.0);
    // The highest price with at least `keep_chance` of the draws at or above it.
    let kept = (keep_chance * draws as f64).ceil().max(1.0) as usize;
    let price = prices
        .len()
        .checked_sub(kept)
        .map_or(f64::NEG_INFINITY, |index| prices[index]);
    PriceRoom {
        price: (price > 0.0).then(|| Money::amount(price)),
        low: Money::amount(at(0.1)),
        likely: Money::amount(at(0.5)),
        high: Money::amount(at(0.9)),
    }
}

/// The lines that are not the machine itself, drawn as if it cost `price`.
fn besides(lines: &[Line], price: Money, shop: &Shop, draws: u64) -> Vec<LineSummary> {
    let mut lines = with_price_line(lines);
    for line in lines.iter_mut().filter(|l| l.name == Line::PRICE) {
        let fixed = Value::stated("price", price, units::Place::default());
        *line = Line::fixed(Line::PRICE, fixed, "");
    }
    let mut drawn = draw(&lines, &shop.budget, shop.seed, draws).lines;
    drawn.retain(|l| l.name != Line::PRICE);
    drawn
}

/// Makes sure there is a price line, so that the slope is at least one.
fn with_price_line(lines: &[Line]) -> Vec<Line> {
    let mut all = lines.to_vec();
    if !all.iter().any(|l| l.name == Line::PRICE) {
        let nothing = Value::stated("price", Money::ZERO, units::Place::default());
        all.push(Line::fixed(Line::PRICE, nothing, ""));
    }
    all
}

/// Ceilings of classes, each with the works its machines would likely need. A class with a usual
/// price used is taken as bought used, since the rest then costs more; else as new.
pub fn by_class(
    shop: &Shop,
    classes: &[(&MachineClass, &[Work])],
    bill: &Bill<'_>,
    draws: u64,
) -> Vec<Ceiling> {
    classes
        .iter()
        .map(|(class, works)| {
            let (condition, usual) = match (&class.price_used, &class.price_new) {
                (Some(used), _) => (Condition::Used, Some(used)),
                (None, new) => (Condition::New, new.as_ref()),
            };
            let priced = lines::of_class(&Bill { works, ..*bill }, class, condition);
            let room = highest_price(
                &priced.lines,
                &shop.budget,
                shop.keep_chance,
                shop.seed,
                draws,
            );
            Ceiling {
                class: class.id.clone(),
                name: class.name.clone(),
                condition,
                room,
                besides: besides(
                    &priced.lines,
                    room.price.unwrap_or(Money::ZERO),
                    shop,
                    draws,
                ),
                usual: usual.map(|v| {
                    let (low, high) = v.ends();
                    [low, v.likely, high]
                }),
            }
        })
        .collect()
}
