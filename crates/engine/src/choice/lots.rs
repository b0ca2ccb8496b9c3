//! Several lots that close one after another, of which at most one is to be bought: how high to bid
//! on each. Whoever bids more than all others wins and pays what the highest of them would have, so
//! the hammer price does not depend on one's own ceiling, and the closing prices of different lots
//! are taken as independent.
//!
//! Aim "value": solved backwards from the last lot. After it there is what can be bought without an
//! auction, or nothing; a lot is worth a bid up to the price at which it is worth as much as going
//! on. So the ceiling of an earlier lot is lower by what the later ones may still bring. Exact for
//! any number of lots.
//!
//! Aim "capability": there is no money to weigh, so the rule is simple and stated: bid up to what the
//! budget leaves, but let a lot go while something that serves better can be had, or can be won later
//! with the chance with which the budget is to be kept.

use crate::ids::OfferId;
use jiff::civil::Date;
use serde::Serialize;
use units::Money;

/// A lot.
pub struct Lot<'a> {
    /// Offer.
    pub offer: &'a OfferId,
    /// Day it closes.
    pub closes: Date,
    /// Hammer prices it may close at, as likely each.
    pub closing: &'a [f64],
    /// Mean value of having it at a hammer price, which falls as the price rises.
    pub value_at: &'a (dyn Fn(f64) -> f64 + Sync),
}

/// Why a lot is not bid on.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LetGo {
    /// Even as a gift it is worth less than going on; or the rest alone breaks the budget.
    NotAtAnyPrice,
    /// A number nobody stated decides whether it will do at all: up to the bid once the answers are
    /// good.
    AskFirst,
    /// This one serves better and needs no luck.
    HasBetter(OfferId),
    /// This later lot serves better and is likely won.
    LaterBetter(OfferId),
}

/// What to do about a lot.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Bid {
    /// Offer.
    pub offer: OfferId,
    /// Day it closes.
    #[serde(serialize_with = "day")]
    pub closes: Date,
    /// Highest hammer price to bid, premium, tax, rigging and freight on top; `None` to let it go.
    pub bid: Option<Money>,
    /// The same if no other lot came after it.
    pub bid_alone: Option<Money>,
    /// Chance that it closes at or below the bid.
    pub chance: f64,
    /// Under "value": mean worth of going on when this lot is reached, by this rule.
    pub worth: Option<f64>,
    /// Why not.
    pub let_go: Option<LetGo>,
}

impl Bid {
    /// The same for a lot that will do only if its answers are good: no bid yet. What is
    /// worth no price at all stays let go for that reason; what another would serve better is left
    /// open, since its place is known only once the answers are.
    pub fn asked_first(self) -> Self {
        let hopeless = self.bid_alone.is_none();
        Self {
            bid: None,
            chance: 0.0,
            let_go: if hopeless {
                self.let_go
            } else {
                Some(LetGo::AskFirst)
            },
            ..self
        }
    }
}

fn day<S: serde::Serializer>(date: &Date, to: S) -> Result<S::Ok, S::Error> {
    to.collect_str(date)
}

/// Bids under the aim "value", in the order of closing. `fallback` is the value of what is left when
/// no lot is won: the best that needs no auction, or nothing.
pub fn bids_by_value(lots: &[Lot<'_>], fallback: f64) -> Vec<Bid> {
    let mut order: Vec<&Lot<'_>> = lots.iter().collect();
    order.sort_by(|a, b| (a.closes, a.offer).cmp(&(b.closes, b.offer)));
    let mut going_on = fallback;
    let mut bids: Vec<Bid> = Vec::new();
    for lot in order.into_iter().rev() {
        let bid = highest(lot.value_at, going_on);
        let count = lot.closing.len().max(1) as f64;
        let mut won = 0.0;
        let mut worth = 0.0;
        for price in lot.closing {
            if bid.is_some_and(|bid| *price <= bid) {
                won += 1.0;
                worth += (lot.value_at)(*price);
            } else {
                worth += going_on;
            }
        }
        if !lot.closing.is_empty() {
            going_on = worth / count;
        }
        bids.push(Bid {
            offer: lot.offer.clone(),
            closes: lot.closes,
            bid: bid.map(Money::amount),
            bid_alone: highest(lot.value_at, fallback).map(Money::amount),
            chance: won / count,
            worth: Some(going_on),
            let_go: bid.is_none().then_some(LetGo::NotAtAnyPrice),
        });
    }
    bids.reverse();
    bids
}

/// Highest price at which a falling function is at least so much, by halving to a cent; `None` when
/// it is less even at nothing.
pub fn highest(value_at: &dyn Fn(f64) -> f64, least: f64) -> Option<f64> {
    if value_at(0.0) < least {
        return None;
    }
    let (mut low, mut high) = (0.0, 1.0);
    while value_at(high) >= least {
        low = high;
        high *= 2.0;
        // Nothing sold here costs a billion: the value does not fall with the price.
        if high > 1e9 {
            return None;
        }
    }
    while high - low > 0.005 {
        let middle = 0.5 * (low + high);
        if value_at(middle) >= least {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(low)
}

/// A lot under the aim "capability".
pub struct RankedLot<'a> {
    /// Offer.
    pub offer: &'a OfferId,
    /// Day it closes.
    pub closes: Date,
    /// Hammer prices it may close at, as likely each.
    pub closing: &'a [f64],
    /// Highest hammer price that keeps the budget with the chance; `None` when the rest breaks it.
    pub ceiling: Option<Money>,
    /// Place in the order of the decision: smaller serves better.
    pub rank: usize,
}

/// Bids under the aim "capability". `owned` is the best purchase that needs no auction, with its
/// place.
pub fn bids_by_rank(
    lots: &[RankedLot<'_>],
    owned: Option<(&OfferId, usize)>,
    keep_chance: f64,
) -> Vec<Bid> {
    let chance = |lot: &RankedLot<'_>| {
        let Some(ceiling) = lot.ceiling else {
            return 0.0;
        };
        let below = lot.closing.iter().filter(|p| **p <= ceiling.to_amount());
        below.count() as f64 / lot.closing.len().max(1) as f64
    };
    let mut bids: Vec<Bid> = lots
        .iter()
        .map(|lot| {
            let later = lots.iter().find(|other| {
                (other.closes, other.offer) > (lot.closes, lot.offer)
                    && other.rank < lot.rank
                    && chance(other) >= keep_chance
            });
            let let_go = match (lot.ceiling, owned, later) {
                (None, ..) => Some(LetGo::NotAtAnyPrice),
                (_, Some((offer, rank)), _) if rank < lot.rank => {
                    Some(LetGo::HasBetter(offer.clone()))
                }
                (_, _, Some(later)) => Some(LetGo::LaterBetter(later.offer.clone())),
                _ => None,
            };
            Bid {
                offer: lot.offer.clone(),
                closes: lot.closes,
                bid: lot.ceiling.filter(|_| let_go.is_none()),
                bid_alone: lot.ceiling,
                chance: if let_go.is_none() { chance(lot) } else { 0.0 },
                worth: None,
                let_go,
            }
        })
        .collect();
    bids.sort_by(|a, b| (a.closes, &a.offer).cmp(&(b.closes, &b.offer)));
    bids
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn two_lots_are_bid_on_as_the_best_of_all_pairs_of_ceilings() {
        // Values 9,000 and 10,000 less 1.2 times the price; five closing prices each; 500 without.
        let (a, b) = (OfferId::new("a"), OfferId::new("b"));
        let first = [2000.0, 3500.0, 5000.0, 6500.0, 8000.0];
        let second = [3000.0, 4500.0, 6000.0, 7500.0, 9000.0];
        let value_a = |p: f64| 9000.0 - 1.2 * p;
        let value_b = |p: f64| 10_000.0 - 1.2 * p;
        let lot = |offer, day, closing, value_at| Lot {
            offer,
            closes: date(2026, 12, day),
            closing,
            value_at,
        };
        let lots = [
            lot(&b, 9, &second[..], &value_b as &(dyn Fn(f64) -> f64 + Sync)),
            lot(&a, 5, &first[..], &value_a),
        ];
        let bids = bids_by_value(&lots, 500.0);
        assert_eq!(bids[0].offer, a);
        // Every pair of ceilings that could matter, every pair of closing prices.
        let mut best = f64::MIN;
        for bid_a in (0..100).map(|i| f64::from(i) * 100.0) {
            for bid_b in (0..100).map(|i| f64::from(i) * 100.0) {
                let mut sum = 0.0;
                for p in first {
                    for q in second {
                        sum += if p <= bid_a {
                            value_a(p)
                        } else if q <= bid_b {
                            value_b(q)
                        } else {
                            500.0
                        };
                    }
                }
                best = f64::max(best, sum / 25.0);
            }
        }
        assert!(
            (bids[0].worth.unwrap() - best).abs() < 1e-6,
            "{bids:?} {best}"
        );
        // The later lot lowers the ceiling of the earlier one, by its worth over going on alone.
        let alone = (9000.0 - 500.0) / 1.2;
        assert!((bids[0].bid_alone.unwrap().to_amount() - alone).abs() < 0.01);
        let going_on = bids[1].worth.unwrap();
        assert!(going_on > 500.0);
        let lower = (9000.0 - going_on) / 1.2;
        assert!((bids[0].bid.unwrap().to_amount() - lower).abs() < 0.01);
        assert!((bids[1].bid.unwrap().to_amount() - 9500.0 / 1.2).abs() < 0.01);
    }

    #[test]
    fn a_worse_lot_is_let_go_for_a_likely_better_one() {
        let (a, b, c) = (OfferId::new("a"), OfferId::new("b"), OfferId::new("c"));
        let closing = [4000.0, 5000.0, 6000.0, 7000.0];
        let lot = |offer, day, ceiling, rank| RankedLot {
            offer,
            closes: date(2026, 12, day),
            closing: &closing,
            ceiling: Some(Money::amount(ceiling)),
            rank,
        };
        // The better one closes later and is won in every draw.
        let bids = bids_by_rank(&[lot(&a, 5, 6500.0, 3), lot(&b, 9, 7500.0, 1)], None, 0.8);
        assert_eq!(bids[0].let_go, Some(LetGo::LaterBetter(b.clone())));
        assert_eq!(
            (bids[1].bid, bids[1].chance),
            (Some(Money::amount(7500.0)), 1.0)
        );
        // In half of the draws is not enough to wait for.
        let bids = bids_by_rank(&[lot(&a, 5, 6500.0, 3), lot(&b, 9, 5500.0, 1)], None, 0.8);
        assert_eq!(
            (bids[0].bid, bids[0].chance),
            (Some(Money::amount(6500.0)), 0.75)
        );
        let bids = bids_by_rank(&[lot(&a, 5, 6500.0, 3)], Some((&c, 2)), 0.8);
        assert_eq!(bids[0].let_go, Some(LetGo::HasBetter(c)));
        // What turns on an answer gets no bid, but is told how far one could go.
        let asked = bids[0].clone().asked_first();
        assert_eq!((asked.bid, asked.chance), (None, 0.0));
        assert_eq!(asked.bid_alone, Some(Money::amount(6500.0)));
        assert_eq!(asked.let_go, Some(LetGo::AskFirst));
    }

    #[test]
    fn what_is_worth_nothing_even_as_a_gift_is_let_go() {
        assert_eq!(highest(&|p| -1.0 - p, 0.0), None);
        assert!((highest(&|p| 10.0 - p, 4.0).unwrap() - 6.0).abs() < 0.01);
        assert_eq!(highest(&|_| 1.0, 0.0), None);
    }
}
