//! Cost lines and what the draws say of their sum.

use serde::Serialize;
use units::{Money, Number, Spread, Value};

/// What a share is taken of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ShareOf {
    /// The line named [`Line::PRICE`].
    Price,
    /// Price, options and buyer's premium: what tax is charged on.
    Purchase,
    /// Every other line whose own number is still uncertain, the machine's price aside: what is paid or
    /// quoted no longer rises, and a price asked for is agreed before anything is paid.
    Uncertain,
}

/// How much a line costs.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount {
    /// An amount.
    Fixed(Value<Money>),
    /// A share of other lines, so that it moves with them in every draw.
    Share {
        /// Of what.
        of: ShareOf,
        /// Which share.
        share: Value<Number>,
    },
    /// So many times so much, both uncertain.
    Times {
        /// How many.
        count: Value<Number>,
        /// Of what each.
        each: Value<Money>,
    },
    /// The same once more with a factor that other lines share.
    Scaled {
        /// The factor.
        by: Value<Number>,
        /// How many.
        count: Value<Number>,
        /// Of what each.
        each: Value<Money>,
    },
}

/// One one-off or yearly cost.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Name ("freight").
    pub name: String,
    /// Amount with origin, spread and group.
    pub amount: Amount,
    /// Why it is there.
    pub why: String,
}

impl Line {
    /// Name of the line that is the machine's own price.
    pub const PRICE: &'static str = "price";
    /// Name of the buyer's premium.
    pub const PREMIUM: &'static str = "premium";
    /// What the names of taken options begin with.
    pub const OPTION: &'static str = "option: ";
    /// What the names of warranties bought begin with.
    pub const WARRANTY: &'static str = "warranty: ";
    /// What the names of costs that come with a chance begin with.
    pub const RISK: &'static str = "risk: ";

    /// A line of a fixed amount.
    pub fn fixed(name: impl Into<String>, amount: Value<Money>, why: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            amount: Amount::Fixed(amount),
            why: why.into(),
        }
    }

    /// A line that is a share of others.
    pub fn share(
        name: impl Into<String>,
        of: ShareOf,
        share: Value<Number>,
        why: impl Into<String>,
    ) -> Self {
        Self {
            name: name.into(),
            amount: Amount::Share { of, share },
            why: why.into(),
        }
    }

    /// The line times a factor other lines share; a share of others follows them anyway.
    #[must_use]
    pub(super) fn scaled_by(self, by: Option<Value<Number>>) -> Self {
        let Some(by) = by else {
            return self;
        };
        let amount = match self.amount {
            Amount::Fixed(each) => Amount::Times { count: by, each },
            Amount::Times { count, each } => Amount::Scaled { by, count, each },
            other => other,
        };
        Self { amount, ..self }
    }

    /// True for what tax is charged on.
    pub(super) fn is_purchase(&self) -> bool {
        self.name == Self::PRICE
            || self.name == Self::PREMIUM
            || self.name.starts_with(Self::OPTION)
            || self.name.starts_with(Self::WARRANTY)
    }

    /// True for what is neither paid nor quoted: its own number has a spread, and it is not the
    /// machine's price.
    pub(crate) fn is_estimate(&self) -> bool {
        let open = match &self.amount {
            Amount::Fixed(v) => v.spread != Spread::None,
            Amount::Share { of, share } => {
                *of != ShareOf::Uncertain && share.spread != Spread::None
            }
            Amount::Times { count, each } => {
                count.spread != Spread::None || each.spread != Spread::None
            }
            Amount::Scaled { by, count, each } => {
                let numbers = [by, count].into_iter().any(|v| v.spread != Spread::None);
                numbers || each.spread != Spread::None
            }
        };
        open && self.name != Self::PRICE
    }

    /// Chance that it comes at all; `None` for a line that does in any case.
    pub fn chance(&self) -> Option<f64> {
        match &self.amount {
            Amount::Times { count, .. } => match count.spread {
                Spread::Either { chance, .. } => Some(chance),
                _ => None,
            },
            _ => None,
        }
    }

    /// True for what is written off with the machine beside its price: cost is what a thing costs
    /// where it stands, tax, freight and installation among it (IRS Publication 551, basis of
    /// assets; from memory).
    pub(super) fn is_capital(&self) -> bool {
        let name = self.name.split(':').next().unwrap_or_default();
        ["tax", "freight", "rigging"].contains(&name)
    }

    /// True for what is sold with the machine one day.
    pub(super) fn keeps_value(&self) -> bool {
        self.name == Self::PRICE || self.name.starts_with(Self::OPTION)
    }

    /// One word: measured, stated, assumed.
    pub fn origin_word(&self) -> &'static str {
        self.origin().word()
    }

    /// Origin of the number; the weaker one of two.
    pub fn origin(&self) -> &units::Origin {
        match &self.amount {
            Amount::Fixed(v) => &v.origin,
            Amount::Share { share, .. } => &share.origin,
            Amount::Times { count, each } | Amount::Scaled { count, each, .. }
                if count.origin.is_assumed() && !each.origin.is_assumed() =>
            {
                &count.origin
            }
            Amount::Times { each, .. } | Amount::Scaled { each, .. } => &each.origin,
        }
    }
}

/// What the draws say of a sum.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
#[allow(missing_docs, reason = "percentiles by their names")]
pub struct Percentiles {
    pub p10: Money,
    pub p50: Money,
    pub p80: Money,
    pub p90: Money,
    pub mean: Money,
}
