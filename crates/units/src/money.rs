//! Money. Stages compute in one currency, the folder's ([`Money`]); what people enter carries its
//! own currency ([`Price`]) and is converted once, at a stated and dated rate.

use std::fmt;
use std::str::FromStr;

quantity! {
    /// An amount in the folder's currency.
    Money "amount of money" "money" { amount to_amount 1.0, thousand to_thousand 1000.0 }
}

/// A currency by its ISO 4217 code.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency([u8; 3]);

impl Currency {
    /// United States dollar.
    pub const USD: Self = Self(*b"USD");
    /// Euro.
    pub const EUR: Self = Self(*b"EUR");
    /// Pound sterling.
    pub const GBP: Self = Self(*b"GBP");
    /// Canadian dollar.
    pub const CAD: Self = Self(*b"CAD");
    /// Swiss franc.
    pub const CHF: Self = Self(*b"CHF");

    /// The three-letter code.
    pub fn code(&self) -> &str {
        // Only ASCII capitals are ever stored.
        std::str::from_utf8(&self.0).unwrap_or("XXX")
    }

    /// The sign written before an amount, where one is in common use and unambiguous here.
    pub fn sign(&self) -> Option<&'static str> {
        match self.code() {
            "USD" => Some("$"),
            "EUR" => Some("€"),
            "GBP" => Some("£"),
            _ => None,
        }
    }
}

impl FromStr for Currency {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        let bytes = text.trim().as_bytes();
        match *bytes {
            [a, b, c] if bytes.iter().all(u8::is_ascii_alphabetic) => Ok(Self([
                a.to_ascii_uppercase(),
                b.to_ascii_uppercase(),
                c.to_ascii_uppercase(),
            ])),
            _ => Err(format!(
                "'{text}' is not a three-letter currency code such as USD or EUR"
            )),
        }
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

impl fmt::Debug for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

impl serde::Serialize for Currency {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(self.code())
    }
}

/// An amount as somebody stated it, in their own currency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Price {
    /// Number of currency units.
    pub amount: f64,
    /// Their currency; `None` means the folder's own.
    pub currency: Option<Currency>,
}

/// One currency's worth in the folder's currency on a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExchangeRate {
    /// The foreign currency.
    pub from: Currency,
    /// Folder currency units for one unit of `from`.
    pub rate: f64,
    /// The day the rate was read.
    pub on: jiff::civil::Date,
}
