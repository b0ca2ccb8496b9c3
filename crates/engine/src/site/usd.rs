//! Default costs are known in US dollars; a folder may be kept in another currency.

use crate::entered::Shop;
use units::{Currency, Money};

/// How default costs in US dollars become the folder's money.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UsdRate {
    /// Folder currency units for one dollar.
    pub rate: f64,
    /// False when the folder states no rate and dollars are taken one for one.
    pub stated: bool,
}

impl UsdRate {
    /// From the shop's currency and its dated rates.
    pub fn of(shop: &Shop) -> Self {
        if shop.currency == Currency::USD {
            return Self {
                rate: 1.0,
                stated: true,
            };
        }
        let found = shop
            .rates
            .iter()
            .filter(|r| r.from == Currency::USD && r.rate.is_finite() && r.rate > 0.0)
            .max_by_key(|r| r.on);
        Self {
            rate: found.map_or(1.0, |r| r.rate),
            stated: found.is_some(),
        }
    }

    /// Dollars in the folder's currency.
    pub fn money(self, dollars: f64) -> Money {
        Money::amount(dollars * self.rate)
    }

    /// The source, with a remark when dollars were taken one for one.
    pub fn source(self, source: &str) -> String {
        if self.stated {
            source.to_owned()
        } else {
            format!("{source}; dollars taken one for one, as the folder states no dollar rate")
        }
    }
}
