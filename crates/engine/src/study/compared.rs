//! Purchases as the decision compares them, and those an answer shows.

use super::Inputs;
use super::priced::Variant;
use crate::choice::{Candidate, Decision, Wish};

pub(super) fn wishes(inputs: &Inputs<'_>) -> Vec<Wish> {
    inputs
        .parts
        .iter()
        .map(|p| Wish {
            part: p.id.clone(),
            must_make: p.must_make,
            outside_per_year: p
                .outside_price
                .as_ref()
                .map(|price| price.likely * p.per_year.likely.to_number()),
        })
        .collect()
}

/// As the decision compares it.
pub(super) fn candidate<'a>(variant: &'a Variant<'_>) -> Candidate<'a> {
    Candidate {
        offer: variant.looked.id(),
        name: &variant.looked.offer.name,
        options: &variant.looked.options,
        fits: variant.looked.fits(),
        site: &variant.looked.site,
        all_in: &variant.all_in,
        price_stated: variant.priced.price_stated,
        highest_price: variant.highest_price,
        hours_per_year: variant.hours,
        hour_factors: &variant.hour_factors,
        worth: variant.worth.as_ref(),
        makes: Some(&variant.made),
        hours_short: variant.hours_short,
        gives_up: &variant.looked.gives_up,
        in_draws: variant.looked.in_draws.as_deref(),
    }
}

/// For each offer the place of the variant to show.
pub(super) fn shown(
    inputs: &Inputs<'_>,
    variants: &[Variant<'_>],
    decision: &Decision,
) -> Vec<usize> {
    let of_offer = |number: usize| {
        let mut own = variants
            .iter()
            .enumerate()
            .filter(move |(_, v)| v.looked.number == number && v.looked.gives_up.is_empty());
        let first = own.clone().next()?.0;
        let chosen = own.find(|(_, v)| {
            let bought = decision.machines.iter().find(|m| m.offer == *v.looked.id());
            bought.is_some_and(|m| m.options == v.looked.options)
        });
        Some(chosen.map_or(first, |(at, _)| at))
    };
    (0..inputs.offers.len()).filter_map(of_offer).collect()
}
