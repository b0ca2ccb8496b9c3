//! The value of a purchase in the draws in which something made on it turns out not to fit, or it does
//! not go in. It is found out after paying: a part that does not fit is bought outside all the same; a
//! machine that stays outside, or does not make what must be made, is sold again.

use super::Context;
use super::looked::Looked;
use super::priced;
use crate::choice::{InDraws, Outcome, SOLD_AGAIN};
use crate::fit::Verdict;
use crate::money::lines::Priced;
use crate::money::{Amount, Worth};
use crate::site::SiteVerdict;
use std::collections::BTreeMap;

/// Sets of parts whose years are computed, at most: the ones most draws come to. A draw of another
/// set counts as if nothing were made.
const SETS: usize = 24;

/// What of the parts made is left in each draw; `None` where the machine is sold again.
pub(super) fn left(
    context: &Context<'_>,
    looked: &Looked<'_>,
    drawn: &InDraws,
    made: &[bool],
) -> Vec<Option<Vec<bool>>> {
    let parts = context.inputs.parts;
    let of = |outcome: &Outcome| {
        let fails = |at: usize| match outcome.parts[at].verdict {
            Verdict::DoesNotFit => true,
            // A number nobody stated stays a question; another that leads to one is no yes.
            Verdict::CannotSay => looked.fits()[at].verdict != Verdict::CannotSay,
            _ => false,
        };
        let needs = (0..made.len()).any(|at| made[at] && parts[at].must_make && fails(at));
        if outcome.goes_in == SiteVerdict::No || needs {
            return None;
        }
        Some((0..made.len()).map(|at| made[at] && !fails(at)).collect())
    };
    drawn.outcomes.iter().map(of).collect()
}

/// The value of a purchase with what comes of failing; as in the likely run where nothing is in doubt.
pub(super) fn worth(
    context: &Context<'_>,
    looked: &Looked<'_>,
    priced: &Priced,
    made: &[bool],
) -> Option<Worth> {
    let whole = priced::worth(context, looked, priced, made)?;
    let Some(drawn) = &looked.in_draws else {
        return Some(whole);
    };
    let left = left(context, looked, drawn, made);
    if left.iter().all(|l| l.as_ref().is_some_and(|l| l == made)) {
        return Some(whole);
    }
    let shop = context.inputs.shop;
    let draws = context.settings.draws;
    let all_in = (context.memo).draw(&priced.lines, &shop.budget, shop.seed, draws);
    let again = SOLD_AGAIN * price(priced);
    // How many draws come to each set of parts.
    let mut counts: BTreeMap<&Vec<bool>, usize> = BTreeMap::new();
    for at in &drawn.of {
        if let Some(parts) = &left[*at as usize] {
            *counts.entry(parts).or_default() += 1;
        }
    }
    let mut common: Vec<(&Vec<bool>, usize)> = counts.into_iter().collect();
    common.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(b.0)));
    common.truncate(SETS);
    let worths: BTreeMap<&Vec<bool>, Vec<f64>> = common
        .into_iter()
        .filter_map(|(parts, _)| {
            let own = priced::worth(context, looked, priced, parts)?;
            Some((parts, own.draws))
        })
        .collect();
    let nothing: Vec<bool> = vec![false; made.len()];
    let idle = priced::worth(context, looked, priced, &nothing).map(|w| w.draws);
    let of = |draw: usize| {
        let sold = again - all_in.totals[draw];
        let Some(parts) = &left[drawn.of[draw] as usize] else {
            return sold;
        };
        // What makes nothing any more is sold again too.
        let own = worths.get(parts).or(idle.as_ref());
        own.map_or(sold, |own| own[draw])
    };
    let draws = (0..whole.draws.len().min(drawn.of.len())).map(of).collect();
    Some(whole.with_draws(draws))
}

/// Price of a machine at its likely value.
fn price(priced: &Priced) -> f64 {
    match priced::price(priced).map(|line| &line.amount) {
        Some(Amount::Fixed(value)) => value.likely.to_amount(),
        _ => 0.0,
    }
}
