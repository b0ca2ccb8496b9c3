//! What people state of costs, and what they have paid, in the place of estimates.

use super::line::Line;
use super::lines::same_name;
use super::texts;
use crate::entered::Shop;
use crate::machine::Offer;
use units::{Money, Value};

/// Puts what is stated and paid in the place of estimates: the shop's costs, those of the offer, then
/// the ledger's payments.
pub(super) fn apply(shop: &Shop, offer: Option<&Offer>, lines: &mut Vec<Line>) {
    for cost in &shop.costs {
        put(lines, &cost.name, &cost.amount, texts::STATED);
    }
    for (name, amount) in offer.iter().flat_map(|o| &o.costs) {
        put(lines, name, amount, texts::STATED_OFFER);
    }
    let own = offer.map(|o| &o.id);
    let mut paid: Vec<(&str, Value<Money>)> = Vec::new();
    for entry in &shop.paid {
        // A deposit is part of the price, which stands as it is.
        if same_name(&entry.line, DEPOSIT) || entry.offer.is_some() && entry.offer.as_ref() != own {
            continue;
        }
        match paid
            .iter_mut()
            .find(|(line, _)| same_name(line, &entry.line))
        {
            Some((_, sum)) => sum.likely += entry.amount,
            None => {
                let id = format!("ledger/{}", entry.line);
                let amount = Value::stated(id, entry.amount, entry.place.clone());
                paid.push((&entry.line, amount));
            }
        }
    }
    for (line, amount) in paid {
        replace(lines, line, amount, texts::PAID);
    }
}

/// What a ledger calls a payment toward the price.
const DEPOSIT: &str = "deposit";

/// Names of one-off lines there can be, beside those of a folder's own: what stands before a colon
/// names all lines that begin so.
pub const NAMES: [&str; 18] = [
    Line::PRICE,
    DEPOSIT,
    Line::PREMIUM,
    "tax",
    "freight",
    "rigging",
    "tooling",
    "workholding",
    "measuring",
    "coolant",
    "software",
    "training",
    "inspection",
    "repair reserve",
    "insurance",
    "contingency",
    "warranty",
    "risk",
];

/// Puts a stated cost in the place of the lines it names, or after all others.
pub(super) fn put(lines: &mut Vec<Line>, name: &str, amount: &Value<Money>, why: &str) {
    // The price is the seller's to state; a cost line cannot take its name.
    if !same_name(name, Line::PRICE) {
        replace(lines, name, amount.clone(), why);
    }
}

fn replace(lines: &mut Vec<Line>, name: &str, amount: Value<Money>, why: &str) {
    let meant = |line: &Line| -> Option<String> {
        if same_name(&line.name, name) {
            return Some(line.name.clone());
        }
        let (head, _) = line.name.split_once(": ")?;
        let own = same_name(head, name) && !line.name.starts_with(Line::OPTION);
        own.then(|| head.to_owned())
    };
    let Some((at, name)) = lines
        .iter()
        .enumerate()
        .find_map(|(at, l)| Some((at, meant(l)?)))
    else {
        lines.push(Line::fixed(name, amount, why));
        return;
    };
    let line = Line::fixed(name, amount, why);
    let mut kept = 0;
    lines.retain(|l| {
        kept += 1;
        kept <= at + 1 || meant(l).is_none()
    });
    lines[at] = line;
}
