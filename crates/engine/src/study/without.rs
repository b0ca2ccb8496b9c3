//! The all-in cost of a purchase when some of the parts are not made: tools, fixtures and a chuck
//! that nothing else needs are not bought.

use super::Context;
use super::priced::{Asked, Made, Variant, one_off};
use crate::choice::{OfOne, Rest};
use crate::money::{Amount, Kept, Line, totals_of};
use std::collections::BTreeMap;
use units::{Money, Place, Value};

/// All-in costs without some parts. Only lines that differ are drawn again; what is a share of
/// everything follows them in proportion.
pub(super) struct Without<'a, 'b> {
    context: &'a Context<'a>,
    variant: &'a Variant<'b>,
    made: Made<'a>,
    /// What was found for sets of parts that ask for the same.
    known: BTreeMap<Asked, Option<Rest>>,
    /// What one more unit of money adds to the sum, draw by draw, once it is asked for.
    more: Vec<f64>,
    kept: Kept,
}

impl<'a, 'b> Without<'a, 'b> {
    /// Of one purchase.
    pub(super) fn of_one(context: &'a Context<'a>, variant: &'a Variant<'b>) -> OfOne<'a> {
        let mut without = Without {
            context,
            variant,
            made: Made::of(context.part_tools, &variant.made),
            known: BTreeMap::new(),
            more: Vec::new(),
            kept: Kept::default(),
        };
        Box::new(move |given: &[usize]| {
            let asked = without.made.without(given);
            if let Some(known) = without.known.get(&asked) {
                return *known;
            }
            let found = without.totals(&asked).map(|totals| {
                let keep_chance = context.inputs.shop.keep_chance;
                Rest::of(&totals, &without.variant.all_in.budgets, keep_chance)
            });
            without.known.insert(asked, found);
            found
        })
    }

    /// All-in cost draw by draw with what some of the parts ask for; `None` when that saves nothing.
    fn totals(&mut self, asked: &Asked) -> Option<Vec<f64>> {
        let own = self.variant;
        let all = &own.priced.lines;
        let demanded = self.context.part_tools.bought(asked);
        let rest = one_off(self.context, &own.looked, &demanded).lines;
        let differ = |a: &[Line], b: &[Line]| -> Vec<Line> {
            a.iter().filter(|l| !b.contains(l)).cloned().collect()
        };
        let (gone, instead) = (differ(all, &rest), differ(&rest, all));
        if gone.is_empty() && instead.is_empty() {
            return None;
        }
        let shares = |lines: &[Line]| {
            let share = |l: &Line| matches!(l.amount, Amount::Share { .. });
            lines.iter().any(share)
        };
        if shares(&gone) || shares(&instead) {
            return Some(self.sum(&rest));
        }
        if self.more.is_empty() {
            self.more = self.one_more();
        }
        let (gone, instead) = (self.sum(&gone), self.sum(&instead));
        let less = gone.iter().zip(&instead).zip(&self.more);
        let less = less.map(|((gone, instead), more)| (gone - instead) * more);
        let totals = own.all_in.totals.iter().zip(less);
        Some(totals.map(|(t, l)| t - l).collect())
    }

    fn one_more(&mut self) -> Vec<f64> {
        let own = self.variant;
        let mut lines = own.priced.lines.clone();
        let unit = Value::stated("one unit more", Money::amount(1.0), Place::default());
        lines.push(Line::fixed("one unit more", unit, ""));
        let with = self.sum(&lines);
        with.iter()
            .zip(&own.all_in.totals)
            .map(|(w, t)| w - t)
            .collect()
    }

    fn sum(&mut self, lines: &[Line]) -> Vec<f64> {
        let (shop, draws) = (self.context.inputs.shop, self.context.settings.draws);
        totals_of(lines, shop.seed, draws, &mut self.kept)
    }
}
