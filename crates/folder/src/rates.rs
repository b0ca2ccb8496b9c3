//! Other currencies, at the folder's own dated rates.

use crate::texts::{self, Wrong};
use units::{Currency, Entered, EnteredPrice, ExchangeRate, Money};

/// The folder's currency and what others are worth in it.
#[derive(Clone, Debug)]
pub(crate) struct Rates {
    pub(crate) own: Currency,
    pub(crate) rates: Vec<ExchangeRate>,
    /// Currencies whose rate was written but could not be read: that is reported once, where it
    /// stands, not at every price.
    pub(crate) excused: Vec<Currency>,
    /// True when not even the folder's own currency could be read.
    pub(crate) all_excused: bool,
}

impl Rates {
    /// Worth of one unit of a currency.
    pub(crate) fn of(&self, currency: Currency) -> Option<f64> {
        if currency == self.own {
            return Some(1.0);
        }
        self.rates
            .iter()
            .find(|r| r.from == currency)
            .map(|r| r.rate)
    }

    /// A price in the folder's currency, its spread with it. A bare dollar sign means the folder's
    /// own dollar.
    pub(crate) fn convert(&self, text: &str, price: EnteredPrice) -> Result<Entered<Money>, Wrong> {
        let bare = |c: Currency| {
            let named = text.to_uppercase();
            c == Currency::USD && !named.contains("US") && self.own.code().ends_with('D')
        };
        let currency = match price.currency {
            Some(currency) if !bare(currency) => currency,
            _ => self.own,
        };
        let excused = self.all_excused || self.excused.contains(&currency);
        let rate = self
            .of(currency)
            .or(excused.then_some(1.0))
            .ok_or_else(|| texts::no_rate(currency.code(), self.own.code()))?;
        let read = price.amount;
        Ok(Entered {
            likely: read.likely * rate,
            spread: read.spread.map(|m| m * rate),
            // A group of three digits in a sum of money leaves no doubt, whatever parts it; that a
            // bare sign was read as a dollar is worth a word only in a folder of another currency.
            remarks: read
                .remarks
                .into_iter()
                .filter(|remark| currency != self.own && remark.text.starts_with("read as "))
                .collect(),
        })
    }
}
