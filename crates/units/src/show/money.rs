//! Money as text: the currency's sign, commas between thousands, so many significant digits.

use super::rounding::{Rounding, decimals_for, fixed, grouped, number_text};
use crate::{Currency, Money, Price};

/// An amount of money in a currency (`None`: unnamed), to so many significant digits: "$18,900".
pub fn show_money(amount: Money, currency: Option<Currency>, digits: u8) -> String {
    let number = money_number(amount, digits);
    let (sign, number) = match number.strip_prefix('-') {
        Some(rest) => ("-", rest),
        None => ("", number.as_str()),
    };
    match currency {
        None => format!("{sign}{number}"),
        Some(c) => match c.sign() {
            Some(mark) => format!("{sign}{mark}{number}"),
            None => format!("{c} {sign}{number}"),
        },
    }
}

/// An uncertain amount: "about $19,000", to three significant digits.
pub fn show_about_money(amount: Money, currency: Option<Currency>) -> String {
    format!("about {}", show_money(amount, currency, 3))
}

/// A range of money, the currency once: "$10,000 to 14,000".
pub fn show_money_range(low: Money, high: Money, currency: Option<Currency>, digits: u8) -> String {
    let first = show_money(low, currency, digits);
    let second = money_number(high, digits);
    if money_number(low, digits) == second {
        first
    } else {
        format!("{first} to {second}")
    }
}

/// A price in its own currency.
pub fn show_price(price: Price, digits: u8) -> String {
    show_money(Money::amount(price.amount), price.currency, digits)
}

/// Digits of an amount: commas from 1,000 on, cents both or none.
fn money_number(amount: Money, digits: u8) -> String {
    let number = amount.to_amount();
    if !number.is_finite() {
        return number_text(number, Rounding::Decimals(0));
    }
    let mut text = fixed(number, decimals_for(number, digits).min(2));
    let cents = text.split('.').nth(1).unwrap_or("");
    if cents.chars().all(|c| c == '0') {
        text = text.split('.').next().unwrap_or("").to_owned();
    } else if cents.len() == 1 {
        text.push('0');
    }
    grouped(if text == "-0" { "0" } else { &text })
}
