//! The highest price still worth paying for each offer, by what it brings: against buying nothing,
//! and against the best of the others; and the bids on lots.

use super::Context;
use super::failing;
use super::offer::OfferAnswer;
use super::priced::{self, Variant};
use crate::choice::{
    Alternative, Bid, Decision, Lot, RankedLot, Status, bids_by_rank, bids_by_value, highest,
};
use crate::entered::Aim;
use crate::ids::OfferId;
use crate::money::lines::Priced;
use crate::money::{Amount, Line, draw};
use serde::Serialize;
use std::sync::Arc;
use units::{Draw, Money, Spread, Value};

/// Mean value at a price.
type ValueAt<'a> = Box<dyn Fn(f64) -> f64 + Sync + 'a>;

/// Highest prices by value.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WorthPaying {
    /// At which it is worth as much as buying nothing; `None` when it never is.
    pub against_nothing: Option<Money>,
    /// At which it is worth as much as the best other purchase, or as buying nothing.
    pub against_others: Option<Money>,
}

/// Value of a purchase draw by draw as a function of its price: net present value and all-in cost
/// are straight lines in the price, what the over-run costs is not.
pub(super) struct ByPrice {
    npv: Vec<(f64, f64)>,
    total: Vec<(f64, f64)>,
    budgets: Arc<Vec<f64>>,
    rate: f64,
}

impl ByPrice {
    /// `None` when it has no value to speak of, or no price line.
    pub(super) fn of(context: &Context<'_>, variant: &Variant<'_>, rate: f64) -> Option<Self> {
        let shop = context.inputs.shop;
        let own = priced::price(&variant.priced)?;
        let Amount::Fixed(price) = &own.amount else {
            return None;
        };
        let middle = price.likely.to_amount().max(1.0);
        let at = |amount: f64| {
            let mut lines = variant.priced.lines.clone();
            for line in lines.iter_mut().filter(|l| l.name == Line::PRICE) {
                line.amount = Amount::Fixed(Value {
                    likely: Money::amount(amount),
                    spread: Spread::None,
                    ..price.clone()
                });
            }
            let priced = Priced {
                lines,
                ..variant.priced.clone()
            };
            let worth = failing::worth(context, &variant.looked, &priced, &variant.made)?;
            let total = draw(
                &priced.lines,
                &shop.budget,
                shop.seed,
                context.settings.draws,
            );
            Some((worth.draws, total))
        };
        let (low, high) = (0.5 * middle, 1.5 * middle);
        let (npv_low, total_low) = at(low)?;
        let (npv_high, total_high) = at(high)?;
        let line = |a: &[f64], b: &[f64]| {
            let pairs = a.iter().zip(b);
            pairs
                .map(|(a, b)| {
                    let slope = (b - a) / (high - low);
                    (a - slope * low, slope)
                })
                .collect()
        };
        Some(Self {
            npv: line(&npv_low, &npv_high),
            total: line(&total_low.totals, &total_high.totals),
            budgets: total_low.budgets,
            rate,
        })
    }

    /// Mean value at a price.
    pub(super) fn value(&self, price: f64) -> f64 {
        let at = |(zero, slope): &(f64, f64)| zero + slope * price;
        let money = self.total.iter().zip(self.budgets.iter());
        let sum: f64 = self
            .npv
            .iter()
            .zip(money)
            .map(|(npv, (total, budget))| at(npv) - self.rate * (at(total) - budget).max(0.0))
            .sum();
        sum / self.npv.len().max(1) as f64
    }
}

/// Highest prices by value of the shown offers, in their order; `None` under the aim "capability".
pub(super) fn worth_paying(
    by_price: &[Option<ByPrice>],
    offers: &[OfferAnswer],
    decision: &Decision,
) -> Vec<Option<WorthPaying>> {
    offers
        .iter()
        .zip(by_price)
        .map(|(offer, by_price)| {
            let by_price = by_price.as_ref()?;
            let money = |least: f64| highest(&|p| by_price.value(p), least).map(Money::amount);
            Some(WorthPaying {
                against_nothing: money(0.0),
                against_others: money(best_other(decision, &offer.offer, &|_| true)),
            })
        })
        .collect()
}

/// Value of the best purchase that may be named and does without an offer; nothing is worth 0.
fn best_other(decision: &Decision, without: &OfferId, counts: &dyn Fn(&OfferId) -> bool) -> f64 {
    let chosen = decision.machines.iter().map(|m| &m.offer);
    let usable = |offer: &OfferId| offer != without && counts(offer);
    let mut best = match decision.value {
        Some(value) if chosen.clone().count() > 0 && chosen.clone().all(usable) => {
            value.to_amount()
        }
        _ => 0.0,
    };
    for other in &decision.alternatives {
        if other.status == Status::WouldDo && usable(&other.offer) {
            best = best.max(other.value.map_or(0.0, Money::to_amount));
        }
    }
    best
}

/// Bids on the lots among the shown offers. A lot that turns on an answer is bid on by nobody who is
/// careful, and no other lot is let go for it: it is told what it could be bid up to.
pub(super) fn bids(
    context: &Context<'_>,
    variants: &[&Variant<'_>],
    by_price: &[Option<ByPrice>],
    offers: &[OfferAnswer],
    decision: &Decision,
) -> Vec<Bid> {
    let open = |offer: &OfferId| {
        let of = |a: &Alternative| a.offer == *offer && a.status == Status::AskFirst;
        decision.alternatives.iter().any(of)
    };
    let of_lots = |counts: &dyn Fn(&OfferId) -> bool| {
        bids_of(context, variants, by_price, offers, decision, counts)
    };
    let mut all = of_lots(&|o| !open(o));
    for offer in offers.iter().map(|o| &o.offer).filter(|o| open(o)) {
        all.extend(of_lots(&|o| o == offer).into_iter().map(Bid::asked_first));
    }
    all.sort_by(|a, b| (a.closes, &a.offer).cmp(&(b.closes, &b.offer)));
    all
}

/// Bids on those lots that count.
fn bids_of(
    context: &Context<'_>,
    variants: &[&Variant<'_>],
    by_price: &[Option<ByPrice>],
    offers: &[OfferAnswer],
    decision: &Decision,
    counts: &dyn Fn(&OfferId) -> bool,
) -> Vec<Bid> {
    let (shop, draws) = (context.inputs.shop, context.settings.draws);
    let closing: Vec<Vec<f64>> = variants
        .iter()
        .map(|v| match &v.looked.offer.properties.price {
            Some(price) if v.looked.offer.closes.is_some() => (0..draws)
                .map(|index| {
                    Draw::Random {
                        seed: shop.seed,
                        index,
                    }
                    .take(price)
                    .to_amount()
                })
                .collect(),
            _ => Vec::new(),
        })
        .collect();
    let lots =
        || (0..variants.len()).filter_map(|at| Some((at, variants[at].looked.offer.closes?)));
    let is_lot = |offer: &OfferId| lots().any(|(at, _)| offers[at].offer == *offer);
    match shop.aim {
        Aim::Value => {
            let values: Vec<(usize, ValueAt<'_>)> = lots()
                .filter(|(at, _)| counts(&offers[*at].offer))
                .filter_map(|(at, _)| {
                    let by_price = by_price[at].as_ref()?;
                    let value: ValueAt<'_> = Box::new(move |p| by_price.value(p));
                    Some((at, value))
                })
                .collect();
            let list: Vec<Lot<'_>> = values
                .iter()
                .filter_map(|(at, value)| {
                    Some(Lot {
                        offer: &offers[*at].offer,
                        closes: variants[*at].looked.offer.closes?,
                        closing: &closing[*at],
                        value_at: value.as_ref(),
                    })
                })
                .collect();
            let nobody = OfferId::new("");
            bids_by_value(&list, best_other(decision, &nobody, &|o| !is_lot(o)))
        }
        Aim::Capability => {
            let mut order: Vec<&OfferId> = decision.machines.iter().map(|m| &m.offer).collect();
            order.extend(decision.alternatives.iter().map(|a| &a.offer));
            let rank = |offer: &OfferId| {
                let at = order.iter().position(|o| *o == offer);
                at.unwrap_or(usize::MAX)
            };
            let possible = |offer: &OfferId| {
                !decision.alternatives.iter().any(|a| {
                    a.offer == *offer
                        && a.status == Status::No
                        && a.shortfalls.iter().any(|s| s.of != "budget")
                })
            };
            let list: Vec<RankedLot<'_>> = lots()
                .filter(|(at, _)| counts(&offers[*at].offer) && possible(&offers[*at].offer))
                .map(|(at, closes)| RankedLot {
                    offer: &offers[at].offer,
                    closes,
                    closing: &closing[at],
                    ceiling: offers[at].highest_price.price,
                    rank: rank(&offers[at].offer),
                })
                .collect();
            let owned = order
                .iter()
                .find(|o| {
                    let named = decision.offer.as_ref() == Some(**o);
                    let would = decision
                        .alternatives
                        .iter()
                        .any(|a| a.offer == ***o && a.status == Status::WouldDo);
                    !is_lot(o) && (named || would)
                })
                .map(|o| (*o, rank(o)));
            bids_by_rank(&list, owned, shop.keep_chance)
        }
    }
}
