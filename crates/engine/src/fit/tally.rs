//! Gathers margins, reasons and questions, and draws the verdict from them.

use super::{Ask, Asked, Capability, Limit, Margin, Verdict};
use crate::ids::OfferId;
use crate::machine::{Field, Known};
use std::collections::BTreeMap;
use units::{LENGTH_SLACK, Length, Quantity, Time};

pub(super) struct Tally {
    offer: OfferId,
    margins: BTreeMap<Capability, f64>,
    pub limits: Vec<Limit>,
    pub ask: Vec<Ask>,
}

impl Tally {
    pub fn new(offer: &OfferId) -> Self {
        Self {
            offer: offer.clone(),
            margins: BTreeMap::new(),
            limits: Vec::new(),
            ask: Vec::new(),
        }
    }

    /// Keeps the least margin of a capability.
    pub fn margin(&mut self, capability: Capability, value: f64) {
        self.margins
            .entry(capability)
            .and_modify(|m| *m = m.min(value))
            .or_insert(value);
    }

    /// A reason; of alike ones the worst is kept.
    pub fn limit(
        &mut self,
        capability: Capability,
        short_by: f64,
        mend: String,
        costs: Option<Time>,
        rules_out: bool,
    ) {
        self.limits.push(Limit {
            capability,
            short_by,
            mend,
            costs,
            rules_out,
        });
    }

    /// A question; of questions about one property the hardest is kept.
    pub fn ask<Q: Quantity>(&mut self, field: Field, known: Known<Q>, flips_at: Q, at_least: bool) {
        let flips_at = flips_at.base();
        let likely = match known {
            Known::Default { low, high, .. } => {
                let (low, high) = (low.base(), high.base());
                if at_least {
                    answer(low >= flips_at, high < flips_at)
                } else {
                    answer(high <= flips_at, low > flips_at)
                }
            }
            _ => None,
        };
        self.keep(Asked::Property(field), flips_at, at_least, likely);
    }

    /// The question for the taper: holders of at most this gauge length would do.
    pub fn ask_taper(&mut self, longest: Length) {
        self.keep(Asked::Taper, longest.base(), false, None);
    }

    fn keep(&mut self, about: Asked, flips_at: f64, at_least: bool, likely: Option<bool>) {
        let ask = Ask {
            about,
            input: format!("offers/{}/{}", self.offer, about.key()),
            flips_at,
            at_least,
            likely,
        };
        match self.ask.iter_mut().find(|a| a.about == about) {
            Some(old) => {
                let harder = if at_least {
                    ask.flips_at > old.flips_at
                } else {
                    ask.flips_at < old.flips_at
                };
                if harder {
                    *old = ask;
                }
            }
            None => self.ask.push(ask),
        }
    }

    /// Everything another one gathered.
    pub fn absorb(&mut self, other: Self) {
        for (capability, value) in other.margins {
            self.margin(capability, value);
        }
        self.limits.extend(other.limits);
        for ask in other.ask {
            self.keep(ask.about, ask.flips_at, ask.at_least, ask.likely);
        }
    }

    /// `more` when some setup takes more than its own clamping.
    pub fn verdict(&self, more: bool) -> Verdict {
        if self.limits.iter().any(|l| l.rules_out) {
            Verdict::DoesNotFit
        } else if !self.ask.is_empty() {
            Verdict::CannotSay
        } else if more {
            Verdict::FitsWithMoreClampings
        } else {
            Verdict::Fits
        }
    }

    pub fn finish(self) -> (Vec<Margin>, Vec<Limit>, Vec<Ask>) {
        let margins = self
            .margins
            .into_iter()
            .map(|(capability, value)| Margin { capability, value })
            .collect();
        let mut limits: Vec<Limit> = Vec::new();
        for limit in self.limits {
            match limits
                .iter_mut()
                .find(|l| l.capability == limit.capability && l.rules_out == limit.rules_out)
            {
                Some(old) => {
                    let costs = match (old.costs, limit.costs) {
                        (Some(a), Some(b)) => Some(a + b),
                        (a, b) => a.or(b),
                    };
                    if limit.short_by > old.short_by {
                        *old = limit;
                    }
                    old.costs = costs;
                }
                None => limits.push(limit),
            }
        }
        // What rules out first.
        limits.sort_by_key(|l| (!l.rules_out, l.capability));
        (margins, limits, self.ask)
    }
}

fn answer(yes: bool, no: bool) -> Option<bool> {
    match (yes, no) {
        (true, _) => Some(true),
        (_, true) => Some(false),
        _ => None,
    }
}

/// Short by more than rounding.
pub(super) fn short(margin_mm: f64) -> bool {
    margin_mm < -LENGTH_SLACK.to_mm()
}
