//! The all-in cost of a purchase when some of the parts are not made: tools, fixtures and a chuck
//! that nothing else needs are not bought.

use super::Context;
use super::priced::{Variant, demanded_of, one_off};
use crate::money::{Amount, Line, draw};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use units::{Money, Value};

/// Sums of lines drawn before, by the lines.
type Drawn = Mutex<Vec<(Vec<Line>, Arc<Vec<f64>>)>>;

/// All-in costs without some parts. Only lines that differ are drawn again; what is a share of
/// the uncertain ones follows them in proportion.
pub(super) struct Without<'a, 'b> {
    context: &'a Context<'a>,
    variants: &'a [Variant<'b>],
    /// Per variant: what one more unit of money adds to the sum, draw by draw.
    more: Vec<OnceLock<Vec<f64>>>,
    drawn: Drawn,
}

impl<'a, 'b> Without<'a, 'b> {
    pub(super) fn of(context: &'a Context<'a>, variants: &'a [Variant<'b>]) -> Self {
        Self {
            context,
            variants,
            more: variants.iter().map(|_| OnceLock::new()).collect(),
            drawn: Mutex::default(),
        }
    }

    /// Of a variant without the parts at some places; `None` when that saves nothing.
    pub(super) fn totals(&self, variant: usize, given: &[usize]) -> Option<Vec<f64>> {
        let own = &self.variants[variant];
        let mut left = own.made.clone();
        for part in given {
            left[*part] = false;
        }
        let all = &own.priced.lines;
        let rest = one_off(self.context, &own.looked, &demanded_of(self.context, &left)).lines;
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
            return Some(self.sum(&rest).to_vec());
        }
        let more = self.more[variant].get_or_init(|| self.more(variant));
        let (gone, instead) = (self.sum(&gone), self.sum(&instead));
        let less = gone.iter().zip(instead.iter()).zip(more);
        let less = less.map(|((gone, instead), more)| (gone - instead) * more);
        Some(
            own.all_in
                .totals
                .iter()
                .zip(less)
                .map(|(t, l)| t - l)
                .collect(),
        )
    }

    fn more(&self, variant: usize) -> Vec<f64> {
        let own = &self.variants[variant];
        let mut lines = own.priced.lines.clone();
        let one = Money::amount(1.0);
        // With a spread, though of no width: an estimate, as the lines are that it stands for.
        let unit = Value::assumed("one unit more", one, one, one, "");
        lines.push(Line::fixed("one unit more", unit, ""));
        let with = self.sum(&lines);
        with.iter()
            .zip(&own.all_in.totals)
            .map(|(w, t)| w - t)
            .collect()
    }

    fn sum(&self, lines: &[Line]) -> Arc<Vec<f64>> {
        let known = |drawn: &[(Vec<Line>, Arc<Vec<f64>>)]| {
            let found = drawn.iter().find(|(l, _)| l == lines);
            found.map(|(_, sum)| sum.clone())
        };
        if let Some(sum) = known(&self.drawn.lock().unwrap_or_else(PoisonError::into_inner)) {
            return sum;
        }
        let (shop, draws) = (self.context.inputs.shop, self.context.settings.draws);
        let sum = Arc::new(draw(lines, &shop.budget, shop.seed, draws).totals);
        let mut drawn = self.drawn.lock().unwrap_or_else(PoisonError::into_inner);
        drawn.push((lines.to_vec(), sum.clone()));
        sum
    }
}
