//! How far the best purchase found may be from the best there is where the search's worth is only a
//! bound: where losses wait for later profits, and where a purchase may turn out not to do.
//!
//! In the draws in which a part does not fit after all, or the machine stays outside, a purchase is
//! worth less than with everything made as the search takes it.
//!
//! If every loss were made good by the tax office at once, tax would be a share of the profit and the
//! value straight in what is made: the search solves that exactly. Losses that wait never make tax
//! less: with a rate r, what has been taxed by a year is r times the greatest sum of profits up to any
//! year before, at least r times the sum itself, and an earlier payment is never worth less. So the
//! search's worth is a bound from above; less what waiting costs it is the true worth of what it found.

use super::Context;
use super::looked::Looked;
use super::memo::YearsKey;
use super::priced::{self, Variant};
use crate::choice::purchase::Bought;
use crate::entered::Shop;
use crate::money::mean_npv;

/// Purchases whose distance from the search's worth is worked out, at most: the best by their bounds.
const LOOKED_AT: usize = 40;

/// A shop whose losses are made good at once.
pub(super) fn refunded(shop: &Shop) -> Shop {
    let mut shop = shop.clone();
    if let Some(tax) = &mut shop.income_tax {
        tax.losses_offset = true;
    }
    shop
}

/// True where losses wait.
pub(super) fn losses_wait(shop: &Shop) -> bool {
    shop.income_tax.as_ref().is_some_and(|t| !t.losses_offset)
}

/// By how much anything left out may be worth more than the best found: the sets in the order of
/// their bounds, `places` the variants of their machines, `least` what may be had without any of them.
pub(super) fn gap(
    context: &Context<'_>,
    variants: &[Variant<'_>],
    sets: &[(Bought, usize)],
    bound: f64,
    least: f64,
) -> f64 {
    let mut best = least;
    for (set, place) in sets.iter().take(LOOKED_AT) {
        if set.worth <= best {
            break;
        }
        if let Some(less) = less(context, &variants[*place]) {
            best = best.max(set.worth - less);
        }
    }
    (bound - best).max(0.0)
}

/// What it costs a purchase that its losses wait and that it may not do, in the mean over the common
/// draws.
fn less(context: &Context<'_>, variant: &Variant<'_>) -> Option<f64> {
    let looked: &Looked<'_> = &variant.looked;
    let key: YearsKey = priced::years_key(context, looked, &variant.priced, &variant.made);
    let at_once = YearsKey {
        shop: refunded(&key.shop),
        ..key
    };
    let own = variant.worth.as_ref()?.npv.mean.to_amount();
    Some((mean_npv(&at_once.read()) - own).max(0.0))
}
