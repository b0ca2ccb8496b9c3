//! `[finance]` and `[income_tax]` of `shop.toml`, and the seller's terms of an offer.

use crate::document::{Located, Node};
use crate::quantity::{self, Least};
use crate::rates::Rates;
use crate::section::Section;
use crate::shop::{date, scaled, share};
use crate::texts::{self, Wrong};
use engine::entered::{
    Finance, IncomeTax, LeaseEnd, LeasePrice, LeaseTerms, Loan, TaxTable, Way, WritingOff,
};
use engine::machine::{PartOf, SaleTerms};
use units::{Entered, Money, Number, Spread, Value};

/// Days of a month, on average.
const MONTH_DAYS: f64 = 365.25 / 12.0;
/// Longest loan, lease, schedule or wait that is believed, years. Common practice, no source.
const MOST_YEARS: f64 = 40.0;

/// Reads `[finance]`.
pub(crate) fn finance(section: &Section<'_>, rates: &Rates) -> Finance {
    let id = "shop/finance";
    let way = section.choice("way", &[("cash", 0), ("loan", 1), ("lease", 2)]);
    let rate: Option<Value<Number>> = share(section, "rate").map(|v| named(v, id, "rate"));
    let term = section.with("term", whole_months);
    let down = part_of(section, "down", id, rates);
    let payment = section.money("payment", id, Least::AboveZero, rates);
    let residual = part_of(section, "residual", id, rates);
    let end = section.choice("end", &[("buy", 0), ("hand back", 1), ("cheaper", 2)]);
    let return_fee = section.money("return_fee", id, Least::Zero, rates);
    let income = section.money("income", id, Least::Zero, rates);
    let way = match way {
        Some(1) => {
            section.require("rate", "what the lender asks a year: rate = \"7.5 %\"");
            section.require("term", "over how long it is paid back: term = \"5 years\"");
            not_of(
                section,
                "a loan",
                &["payment", "residual", "end", "return_fee"],
            );
            rate.zip(term)
                .map(|(rate, months)| Way::Loan(Box::new(Loan { rate, months, down })))
        }
        Some(2) => {
            section.require("term", "how long it is leased: term = \"48 months\"");
            let end = end.unwrap_or(0);
            if end != 1 {
                section.require(
                    "residual",
                    "what the machine is bought for at the end: residual = \"10 %\" of the price, or \"$1\"",
                );
            }
            if end == 0 && section.has("return_fee") {
                section.wrong("return_fee", texts::no_return());
            }
            let price = match (payment, rate) {
                (Some(_), Some(_)) => {
                    let place = section.place_of("rate");
                    section.push(texts::said_twice(place, "rate", "payment"));
                    None
                }
                (Some(payment), None) => Some(LeasePrice::Payment(payment)),
                // By a rate alone nobody knows the payments: what the machine is worth at the end decides.
                (None, Some(_)) if end == 1 && !section.has("residual") => {
                    section.wrong("rate", texts::rate_of_a_return());
                    None
                }
                (None, Some(rate)) => Some(LeasePrice::Rate(rate)),
                (None, None) => {
                    if !section.has("payment") && !section.has("rate") {
                        section.require("payment", "what is paid a month: payment = \"$620\"");
                    }
                    None
                }
            };
            let fee = return_fee.unwrap_or_else(|| {
                // Where no fee is written the lessor asks none.
                Value::stated(format!("{id}/return_fee"), Money::ZERO, section.place())
            });
            let end = match end {
                0 => LeaseEnd::Buy,
                1 => LeaseEnd::HandBack(fee),
                _ => LeaseEnd::Cheaper(fee),
            };
            let residual = match (&end, residual) {
                (LeaseEnd::HandBack(_), None) if !section.has("residual") => {
                    let id = format!("{id}/residual");
                    let nothing = Value::stated(id, Money::ZERO, section.place());
                    Some(PartOf::Amount(nothing))
                }
                (_, residual) => residual,
            };
            match (price, term, residual) {
                (Some(price), Some(months), Some(residual)) => {
                    Some(Way::Lease(Box::new(LeaseTerms {
                        price,
                        months,
                        down,
                        residual,
                        end,
                    })))
                }
                _ => None,
            }
        }
        _ => {
            not_of(
                section,
                "cash",
                &[
                    "rate",
                    "term",
                    "down",
                    "payment",
                    "residual",
                    "end",
                    "return_fee",
                ],
            );
            None
        }
    };
    Finance {
        way: way.unwrap_or_default(),
        income_per_year: income,
    }
}

/// Reports keys that say nothing with the way of paying chosen.
fn not_of(section: &Section<'_>, way: &str, keys: &[&'static str]) {
    for key in keys.iter().filter(|key| section.has(key)) {
        section.wrong(key, texts::says_nothing(way));
    }
}

/// Reads `[income_tax]`.
pub(crate) fn income_tax(section: &Section<'_>) -> Option<IncomeTax> {
    let id = "shop/income_tax";
    section.require("rate", "tax on one more unit of profit: rate = \"24 %\"");
    section.require(
        "write_off",
        "how the machine is written off, as your adviser says: write_off = \"us 7-year\"",
    );
    section.require(
        "on",
        "the day that was chosen, since tax rules change: on = \"2026-11-02\"",
    );
    let rate = share(section, "rate").map(|v| named(v, id, "rate"));
    let words = [
        ("us 5-year", 0),
        ("us 7-year", 1),
        ("us 7-year first quarter", 2),
        ("us 7-year last quarter", 3),
        ("straight line", 4),
        ("declining", 5),
    ];
    let how = section.choice("write_off", &words);
    let at_once = share(section, "at_once").map(|v| named(v, id, "at_once"));
    let years = section.with("years", whole_months);
    let part = share(section, "share").map(|v| named(v, id, "share"));
    let on = section.with("on", date);
    let losses = section.choice("losses", &[("wait", false), ("offset", true)]);
    let table = |table| Some(WritingOff::Table(table));
    if how == Some(4) {
        section.require("years", "over how many: years = \"7 years\"");
    }
    if how == Some(5) {
        section.require("share", "of what is left, a year: share = \"18 %\"");
    }
    let writing_off = match how? {
        0 => table(TaxTable::UsMacrs5HalfYear),
        1 => table(TaxTable::UsMacrs7HalfYear),
        2 => table(TaxTable::UsMacrs7FirstQuarter),
        3 => table(TaxTable::UsMacrs7LastQuarter),
        4 => years.map(|months| WritingOff::StraightLine {
            years: months.div_ceil(12),
        }),
        _ => part.map(|share| WritingOff::Declining { share }),
    };
    Some(IncomeTax {
        rate: rate?,
        writing_off: writing_off?,
        at_once: at_once.unwrap_or_else(|| {
            Value::stated(format!("{id}/at_once"), Number::ZERO, section.place())
        }),
        on: on?,
        losses_offset: losses.unwrap_or(false),
    })
}

/// Reads what a seller says beside the price.
pub(crate) fn terms(section: &Section<'_>, id: &str, rates: &Rates) -> SaleTerms {
    SaleTerms {
        deposit: part_of(section, "deposit", id, rates),
        delivery_months: months(section, "delivery", id),
        warranty_months: months(section, "warranty", id),
        parts_lead_days: duration(section, "parts_lead", id, MONTH_DAYS),
        resale: section.money("resale", id, Least::Zero, rates),
    }
}

/// A length of time in months.
pub(crate) fn months(section: &Section<'_>, key: &'static str, id: &str) -> Option<Value<Number>> {
    duration(section, key, id, 1.0)
}

/// The same input under the name of its table.
fn named(value: Value<Number>, id: &str, key: &str) -> Value<Number> {
    Value {
        id: units::InputId(format!("{id}/{key}")),
        ..value
    }
}

/// A share ("20 %") or a sum of money ("$4,000").
fn part_of(section: &Section<'_>, key: &'static str, id: &str, rates: &Rates) -> Option<PartOf> {
    let is_share = match section.get(key) {
        Some(Located {
            node: Node::Text(text),
            ..
        }) => text.contains('%'),
        _ => false,
    };
    if is_share {
        share(section, key).map(|v| PartOf::Share(named(v, id, key)))
    } else {
        section
            .money(key, id, Least::Zero, rates)
            .map(PartOf::Amount)
    }
}

/// A length of time in whole months.
fn whole_months(node: &Node) -> Result<u32, Wrong> {
    let read = in_months(node)?;
    let months = read.likely.to_number();
    if read.spread != Spread::None || (months - months.round()).abs() > 0.02 || months < 0.98 {
        return Err(texts::whole_months(&node.describe()));
    }
    Ok(months.round() as u32)
}

/// A length of time, "6 weeks", "1 | 2 | 4 months", as so many of a unit of which a month holds
/// `per_month`.
fn duration(
    section: &Section<'_>,
    key: &'static str,
    id: &str,
    per_month: f64,
) -> Option<Value<Number>> {
    let read: Entered<Number> =
        section.with(key, |node| Ok(scaled(in_months(node)?, per_month)))?;
    Some(read.value(format!("{id}/{key}"), section.place_of(key)))
}

fn in_months(node: &Node) -> Result<Entered<Number>, Wrong> {
    let Node::Text(text) = node else {
        return Err(texts::time_wanted(&node.describe()));
    };
    let text = text.trim();
    let units = [
        ("years", 12.0),
        ("year", 12.0),
        ("months", 1.0),
        ("month", 1.0),
        ("weeks", 7.0 / MONTH_DAYS),
        ("week", 7.0 / MONTH_DAYS),
        ("days", 1.0 / MONTH_DAYS),
        ("day", 1.0 / MONTH_DAYS),
    ];
    let (body, months) = units
        .iter()
        .find_map(|(word, months)| Some((text.strip_suffix(word)?, *months)))
        .ok_or_else(|| texts::time_wanted(&node.describe()))?;
    let number = Node::Text(body.trim().to_owned());
    let read = quantity::quantity::<Number>(&number, Least::Zero)?;
    let read: Entered<Number> = scaled(read, months);
    quantity::range(
        read.ends().0.to_number(),
        read.ends().1.to_number(),
        Least::Zero,
        12.0 * MOST_YEARS,
        "time",
        "months",
    )?;
    Ok(read)
}
