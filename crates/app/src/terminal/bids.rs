//! The changer question, what to bid on lots, and the highest price by what an offer brings.

use super::study::Page;
use super::table::{heading, paragraph, percent, table};
use engine::choice::{Bid, LetGo};
use engine::study::Side;
use units::Money;

/// Each, where there is something to say.
pub fn section(page: &Page<'_>) -> String {
    let mut out = changer(page);
    out.push_str(&paying(page));
    if page.answer.bids.is_empty() {
        return out;
    }
    out.push_str(&heading("What to bid"));
    out.push_str(&paragraph(
        "Hammer prices: premium, tax, freight and rigging come on top and are counted. One machine is \
         bought; whoever outbids all others pays what the next would have. Set each ceiling before the \
         day, and do not raise it in the room.",
    ));
    let rows = page.answer.bids.iter().map(|b| row(page, b)).collect();
    out.push_str(&table(
        &[
            "closes",
            "lot",
            "bid at most",
            "if it were the last",
            "won in",
            "",
        ],
        &[2, 3, 4],
        rows,
    ));
    out
}

fn row(page: &Page<'_>, bid: &Bid) -> Vec<String> {
    let money = |m: Option<Money>| m.map_or("nothing".to_owned(), |m| page.at_most(m));
    let why = match &bid.let_go {
        None => String::new(),
        Some(LetGo::AskFirst) => "ask first: with good answers, the price before this".to_owned(),
        Some(LetGo::NotAtAnyPrice) => "not worth it at any price".to_owned(),
        Some(LetGo::HasBetter(offer)) => {
            format!("let it go: {} serves better", page.offer_name(offer))
        }
        Some(LetGo::LaterBetter(offer)) => format!(
            "let it go: {} comes later, serves better and is likely won",
            page.offer_name(offer)
        ),
    };
    vec![
        bid.closes.to_string(),
        page.offer_name(&bid.offer),
        if matches!(bid.let_go, Some(LetGo::AskFirst)) {
            "not yet".to_owned()
        } else {
            money(bid.bid)
        },
        money(bid.bid_alone),
        percent(bid.chance),
        why,
    ]
}

/// A small new mill with a changer against a used full-size centre.
fn changer(page: &Page<'_>) -> String {
    let Some(question) = &page.answer.changer_question else {
        return String::new();
    };
    let mut out = heading("Small and new with a changer, or used and full size");
    let row = |side: &Side| {
        let asked = match side.cannot_say {
            0 => String::new(),
            n => format!(", {n} to ask"),
        };
        vec![
            page.offer_name(&side.offer),
            page.money(side.p50),
            page.money(side.p80),
            percent(side.over_budget_chance),
            format!("{}{asked}", side.makes),
            side.clampings.to_string(),
            format!("{:.0} h", side.attended_h),
            format!("{:.0} h", side.saved_by_changer_h),
        ]
    };
    out.push_str(&table(
        &[
            "offer",
            "all-in, half",
            "8 in 10",
            "over budget",
            "parts",
            "clampings",
            "attended a year",
            "its changer saves",
        ],
        &[1, 2, 3, 5, 6, 7],
        vec![row(&question.small), row(&question.full_size)],
    ));
    let (more, chance) = (question.costs_more, question.dearer_chance);
    out.push_str(&paragraph(&if more >= Money::ZERO {
        format!(
            "The used one costs {} more in half of the draws, and is the dearer one in {}.",
            page.money(more),
            percent(chance)
        )
    } else {
        format!(
            "The used one costs {} less in half of the draws, and is the cheaper one in {}.",
            page.money(Money::ZERO - more),
            percent(1.0 - chance)
        )
    }));
    out.push('\n');
    out
}

/// Highest prices by value.
fn paying(page: &Page<'_>) -> String {
    let money = |m: Option<Money>| m.map_or("nothing".to_owned(), |m| page.at_most(m));
    let rows: Vec<Vec<String>> = page
        .answer
        .offers()
        .filter_map(|offer| {
            let paying = offer.worth_paying.as_ref()?;
            Some(vec![
                page.offer_name(&offer.offer),
                money(offer.highest_price.price),
                money(paying.against_others),
                money(paying.against_nothing),
            ])
        })
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    let mut out = heading("The highest price still worth paying");
    out.push_str(&table(
        &[
            "offer",
            "that keeps the budget",
            "before another is worth more",
            "before nothing is worth more",
        ],
        &[1, 2, 3],
        rows,
    ));
    out
}
