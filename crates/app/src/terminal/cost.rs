//! What each offer really costs.

use super::study::Page;
use super::table::{heading, paragraph, percent, table};
use crate::contract::study::hours_band;
use engine::money::Line;
use engine::study::OfferAnswer;

/// All-in cost of every offer.
pub fn section(page: &Page<'_>) -> String {
    let mut out = heading("What it really costs");
    out.push_str(&paragraph(
        "All-in, to the first good part. In one case of ten it is less than the first number, in \
         two of ten more than the third.",
    ));
    let rows = page
        .answer
        .offers()
        .map(|offer| {
            let sums = &offer.all_in.percentiles;
            vec![
                page.offer_name(&offer.offer),
                page.money(sums.p10),
                page.money(sums.p50),
                page.money(sums.p80),
                percent(offer.all_in.over_budget_chance),
                offer
                    .highest_price
                    .price
                    .map_or("none".to_owned(), |p| page.at_most(p)),
                hours(offer),
            ]
        })
        .collect();
    out.push_str(&table(
        &[
            "offer",
            "1 in 10",
            "half",
            "8 in 10",
            "over budget",
            "pay at most",
            "hours a year",
        ],
        &[1, 2, 3, 4, 5, 6],
        rows,
    ));
    out.push_str(&risks(page));
    out.push_str(&drivers(page));
    out
}

/// What may happen or not, of every offer.
fn risks(page: &Page<'_>) -> String {
    let mut rows: Vec<Vec<String>> = Vec::new();
    for offer in page.answer.offers() {
        for line in &offer.all_in.lines {
            let Some(chance) = line.chance else { continue };
            let name = line.name.strip_prefix(Line::RISK).unwrap_or(&line.name);
            rows.push(vec![
                page.offer_name(&offer.offer),
                name.to_owned(),
                percent(chance),
                page.money(line.mean),
            ]);
        }
    }
    if rows.is_empty() {
        return String::new();
    }
    let mut out = paragraph(
        "What happens or does not, by the chances you state, less what a warranty's months take; all of \
         it is in the sums above.",
    );
    let heads = ["offer", "what may happen", "chance", "on average"];
    out.push_str(&table(&heads, &[2, 3], rows));
    out
}

/// Hours a year with their band; of a lower bound its least.
fn hours(offer: &OfferAnswer) -> String {
    let [low, high] = hours_band(offer);
    if offer.counts.lower_bounds > 0 {
        return format!("from {low:.0} h");
    }
    if high - low < 1.0 {
        return format!("{:.0} h", offer.hours_per_year.to_h());
    }
    format!("{low:.0} to {high:.0} h")
}

/// Drivers printed of the purchase looked at.
const DRIVERS: usize = 5;

/// What moves the cost of the chosen offer, or of the first, most.
fn drivers(page: &Page<'_>) -> String {
    let Some(offer) = page.answer.chosen().or_else(|| page.answer.offers().next()) else {
        return String::new();
    };
    let rows: Vec<Vec<String>> = offer
        .drivers
        .iter()
        .take(DRIVERS)
        .map(|driver| {
            let (low, high) = (driver.at_low, driver.at_high);
            vec![
                name(&driver.input.0, &offer.offer.0),
                page.money(low.min(high)),
                page.money(low.max(high)),
                percent(driver.variance_share),
            ]
        })
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    let mut out = paragraph(&format!(
        "What moves the all-in cost of {} most, each number alone from its lower to its upper \
         tenth:",
        page.offer_name(&offer.offer)
    ));
    let heads = ["number", "down to", "up to", "share of the doubt"];
    out.push_str(&table(&heads, &[1, 2, 3], rows));
    out
}

/// An input's name without the offer it belongs to.
fn name(input: &str, offer: &str) -> String {
    let own = input.strip_prefix(&format!("offers/{offer}/"));
    own.unwrap_or(input).replace('/', ": ").replace('_', " ")
}
