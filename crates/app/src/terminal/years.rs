//! How a purchase is paid and what its years bring.

use super::study::Page;
use super::table::{heading, paragraph, percent, table};
use engine::money::{Financing, Payback, Worth};
use engine::study::OfferAnswer;

/// Years of every offer; what comes in only where something does.
pub fn section(page: &Page<'_>) -> String {
    let offers: Vec<&OfferAnswer> = page.answer.offers().collect();
    let Some(first) = offers.first() else {
        return String::new();
    };
    let years = page.entered.shop.horizon_years.likely.to_number();
    let mut out = heading("What the years cost and bring");
    out.push_str(&paragraph(&paid(&first.financing)));
    if first.financing.cost_alone {
        out.push_str(&paragraph(
            "No part has an outside price and the machine brings no other income, so this is cost \
             alone: no value, rate of return or payback can be told.",
        ));
    }
    let rows = offers
        .iter()
        .map(|offer| {
            let f = &offer.financing;
            vec![
                page.offer_name(&offer.offer),
                page.money(f.own_money.p50),
                page.money(offer.running.percentiles.p50),
                page.money(f.resale.p50),
                page.money(f.cost.p50),
            ]
        })
        .collect();
    let heads = ["offer", "own money", "a year", "sold for", "all years, now"];
    out.push_str(&table(&heads, &[1, 2, 3, 4], rows));
    out.push_str(&paragraph(&format!(
        "Over {years:.0} years; in half of the cases it is less. 'All years, now' is everything that \
         goes out less what the machine is sold for, at its worth now."
    )));
    if !first.financing.cost_alone {
        out.push_str(&value(page, &offers));
    }
    out
}

/// What comes in, held against what goes out.
fn value(page: &Page<'_>, offers: &[&OfferAnswer]) -> String {
    let parts = &page.entered.parts;
    let free = parts.iter().filter(|p| p.outside_price.is_none()).count();
    let mut out = paragraph(
        "Value is what comes in over the years less everything that goes out, each sum at its worth \
         now; a part brings what an outside shop charges or it sells for.",
    );
    if free > 0 {
        out.push_str(&paragraph(&format!(
            "{free} of {} parts have no outside price: what they cost counts, and nothing comes in \
             for them.",
            parts.len()
        )));
    }
    if let Some(tax) = offers
        .first()
        .and_then(|o| o.financing.written_off.as_ref())
    {
        out.push_str(&paragraph(&format!("Income tax: {tax}.")));
    }
    let rows = offers
        .iter()
        .filter_map(|offer| {
            let worth = offer.worth.as_ref()?;
            Some(vec![
                page.offer_name(&offer.offer),
                page.money(worth.npv.p10),
                page.money(worth.npv.p50),
                back(&worth.discounted),
                rate(worth),
                even(worth),
            ])
        })
        .collect();
    let heads = [
        "offer",
        "value, 1 in 10",
        "half",
        "paid back",
        "return",
        "break-even, pieces",
    ];
    out.push_str(&table(&heads, &[1, 2, 3, 4, 5], rows));
    out
}

fn paid(financing: &Financing) -> String {
    match financing.way {
        "loan" => format!("Paid by a loan in {} payments a month.", financing.payments),
        "lease" => {
            let ends = match financing.handed_back_chance {
                Some(1.0) => "handed back at the end, where the years end too".to_owned(),
                Some(back) if back > 0.0 => format!(
                    "bought or handed back at the end, whichever costs less: handed back in {} of the \
                     cases",
                    percent(back)
                ),
                _ => "bought at the end".to_owned(),
            };
            format!(
                "Leased in {} payments a month and {ends}; ended sooner, all of them fall due.",
                financing.payments
            )
        }
        _ => "Paid from your own money.".to_owned(),
    }
}

/// Discounted payback in words.
fn back(payback: &Payback) -> String {
    match payback.p50 {
        Some(years) => format!("{years:.1} years"),
        None => "not in time".to_owned(),
    }
}

/// The rate in half of the draws, where there is one to tell.
fn rate(worth: &Worth) -> String {
    let irr = &worth.irr;
    if irr.several_chance >= 0.5 {
        return "several: none counts".to_owned();
    }
    match irr.p50 {
        Some(rate) if irr.none_chance < 0.5 => percent(rate),
        _ => "none".to_owned(),
    }
}

fn even(worth: &Worth) -> String {
    match worth.break_even.map(|b| b.pieces_per_year[1]) {
        Some(Some(pieces)) => format!("{pieces:.0} a year"),
        Some(None) => "never".to_owned(),
        None => String::new(),
    }
}
