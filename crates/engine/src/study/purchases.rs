//! The purchases of a study: with what the exact search says to make on each, or with all each can make.

use super::looked::{Looked, ToLook, look};
use super::offer::{self, OfferAnswer};
use super::priced::{self, Variant};
use super::{Context, Inputs, value};
use crate::entered::Aim;
use crate::fit::Verdict;
use crate::site::SiteVerdict;
use rayon::prelude::*;
use units::{Cancelled, Watch};

/// Under the aim "value" the exact search says what each purchase makes, where a part has an outside
/// price; otherwise it makes everything it can.
pub(super) fn by_value(inputs: &Inputs<'_>) -> bool {
    inputs.shop.aim == Aim::Value && inputs.parts.iter().any(|p| p.outside_price.is_some())
}

pub(super) fn most_valuable<'a>(
    context: &Context<'_>,
    looked: Vec<Looked<'a>>,
    watch: Watch<'_>,
) -> Result<value::Valued<'a>, Cancelled> {
    let parts = context.inputs.parts;
    let sure: Vec<bool> = looked
        .iter()
        .map(|l| {
            let answered = |(part, fit): (&crate::entered::Part, &crate::fit::Fit)| {
                !part.must_make || fit.verdict != Verdict::CannotSay
            };
            l.offer.properties.price.is_some()
                && l.site.goes_in != SiteVerdict::CannotSay
                && parts.iter().zip(l.fits()).all(answered)
                && often_does(context, l)
        })
        .collect();
    value::valued(context, looked, &sure, watch)
}

/// True when, with the numbers in doubt, it goes in and makes the needs it makes at the likely numbers
/// with the chance the budget is to be kept with.
pub(super) fn often_does(context: &Context<'_>, looked: &Looked<'_>) -> bool {
    let Some(drawn) = &looked.in_draws else {
        return true;
    };
    let parts = context.inputs.parts.iter().zip(looked.fits());
    let needed: Vec<bool> = parts
        .map(|(part, fit)| part.must_make && fit.verdict != Verdict::DoesNotFit)
        .collect();
    let share = drawn.share(|outcome| outcome.surely_does(|at| needed[at]));
    share >= context.inputs.shop.keep_chance - 1e-9
}

/// Every purchase with all it can make. When there are very many pairs a few purchases are held at a
/// time, and each is answered, told and summarised before the next.
pub(super) fn all_they_can<'a>(
    context: &Context<'_>,
    to_look: Vec<ToLook<'a>>,
    large: bool,
    watch: Watch<'_>,
    tell: &mut dyn FnMut(&OfferAnswer),
) -> Result<(value::Valued<'a>, Vec<Option<OfferAnswer>>), Cancelled> {
    let at_a_time = if large {
        2 * rayon::current_num_threads()
    } else {
        to_look.len().max(1)
    };
    let mut variants: Vec<Variant<'a>> = Vec::with_capacity(to_look.len());
    let mut answered = Vec::new();
    let mut told = None;
    let mut rest = to_look.into_iter();
    loop {
        let some: Vec<ToLook<'a>> = rest.by_ref().take(at_a_time).collect();
        if some.is_empty() {
            break;
        }
        let found: Vec<(Variant<'a>, Option<OfferAnswer>)> = some
            .into_par_iter()
            .map(|l| {
                watch.check()?;
                let looked = look(context, l);
                let made = priced::makable(&looked);
                let mut variant = priced::variant(context, looked, made);
                let answer = large.then(|| offer::answer_with_pairs(context, &mut variant));
                Ok((variant, answer))
            })
            .collect::<Result<_, Cancelled>>()?;
        for (mut variant, answer) in found {
            if let Some(mut answer) = answer {
                // The set as entered comes first.
                let looked = &variant.looked;
                if looked.gives_up.is_empty() && told != Some(looked.number) {
                    told = Some(looked.number);
                    tell(&answer);
                }
                answer.gather();
                variant.looked.take_gathered(answer.fits.clone());
                answered.push(Some(answer));
            }
            variants.push(variant);
        }
    }
    let valued = value::Valued {
        variants,
        joints: Vec::new(),
        proven: true,
        gap: None,
        stopped: false,
    };
    Ok((valued, answered))
}
