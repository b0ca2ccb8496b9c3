//! The all-in cost of a purchase when some of the parts are not made: tools, fixtures and a chuck
//! that nothing else needs are not bought.

use super::Context;
use super::priced::{Asked, Made, Variant, one_off};
use crate::choice::{OfOne, Rest};
use crate::entered::Shop;
use crate::machine::{MachineClass, Offer};
use crate::money::{Amount, Kept, Line, totals_of};
use crate::site::Work;
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};
use units::{Money, Value};

/// What a purchase costs with what some of its parts ask for, by what they ask for.
#[derive(Debug, Default)]
pub(super) struct Rests(Mutex<BTreeMap<Asked, Option<Rest>>>);

/// What that rests on; what the parts ask for is part of the ground.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct RestsKey {
    lines: Vec<Line>,
    offer: Offer,
    class: MachineClass,
    works: Vec<Work>,
    made: Vec<bool>,
    shop: Shop,
    year: i16,
    draws: u64,
}

fn key(context: &Context<'_>, variant: &Variant<'_>) -> RestsKey {
    RestsKey {
        lines: variant.priced.lines.clone(),
        offer: variant.looked.offer.clone(),
        class: variant.looked.class.clone(),
        works: variant.looked.site.works.clone(),
        made: variant.made.clone(),
        shop: context.inputs.shop.clone(),
        year: context.settings.year,
        draws: context.settings.draws,
    }
}

/// All-in costs without some parts. Only lines that differ are drawn again; what is a share of
/// the uncertain ones follows them in proportion.
pub(super) struct Without<'a, 'b> {
    context: &'a Context<'a>,
    variant: &'a Variant<'b>,
    made: Made<'a>,
    /// What one more unit of money adds to the sum, draw by draw, once it is asked for.
    more: Vec<f64>,
    /// The lines that were gone last, and their sum draw by draw: most sets of parts change the same.
    gone: (Vec<Line>, Vec<f64>),
    kept: Kept,
}

impl<'a, 'b> Without<'a, 'b> {
    /// Of one purchase.
    pub(super) fn of_one(context: &'a Context<'a>, variant: &'a Variant<'b>) -> OfOne<'a> {
        let mut without = Without {
            context,
            variant,
            made: Made::of(context.part_tools, &variant.made),
            more: Vec::new(),
            gone: Default::default(),
            kept: Kept::default(),
        };
        let known = context
            .memo
            .rests
            .get(&key(context, variant), Rests::default);
        Box::new(move |given: &[usize]| {
            let asked = without.made.without(given);
            let mut known = known.0.lock().unwrap_or_else(PoisonError::into_inner);
            if let Some(known) = known.get(&asked) {
                return *known;
            }
            let found = without.totals(&asked).map(|totals| {
                let keep_chance = context.inputs.shop.keep_chance;
                Rest::of(&totals, &without.variant.all_in.budgets, keep_chance)
            });
            known.insert(asked, found);
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
        // What is a share of the uncertain lines follows only those, in proportion.
        let others = |lines: &[Line]| {
            let share = |l: &Line| matches!(l.amount, Amount::Share { .. });
            lines.iter().any(|l| share(l) || !l.is_estimate())
        };
        if others(&gone) || others(&instead) {
            return Some(self.sum(&rest));
        }
        if self.more.is_empty() {
            self.more = self.one_more();
        }
        if self.gone.0 != gone {
            self.gone = (gone.clone(), self.sum(&gone));
        }
        let instead = self.sum(&instead);
        let less = self.gone.1.iter().zip(&instead).zip(&self.more);
        let less = less.map(|((gone, instead), more)| (gone - instead) * more);
        let totals = own.all_in.totals.iter().zip(less);
        Some(totals.map(|(t, l)| t - l).collect())
    }

    fn one_more(&mut self) -> Vec<f64> {
        let own = self.variant;
        let mut lines = own.priced.lines.clone();
        let one = Money::amount(1.0);
        // With a spread, though of no width: an estimate, as the lines are that it stands for.
        let unit = Value::assumed("one unit more", one, one, one, "");
        lines.push(Line::fixed("one unit more", unit, ""));
        let with = self.sum(&lines);
        with.iter()
            .zip(own.all_in.totals.iter())
            .map(|(w, t)| w - t)
            .collect()
    }

    fn sum(&mut self, lines: &[Line]) -> Vec<f64> {
        let (shop, draws) = (self.context.inputs.shop, self.context.settings.draws);
        totals_of(lines, shop.seed, draws, &mut self.kept)
    }
}
