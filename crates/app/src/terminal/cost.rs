//! What each offer really costs.

use super::study::Page;
use super::table::{heading, paragraph, percent, table};
use engine::cycle::Bound;

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
            let bound = offer
                .times
                .iter()
                .flatten()
                .any(|t| t.bound == Bound::LowerBound);
            vec![
                page.offer_name(&offer.offer),
                page.money(sums.p10),
                page.money(sums.p50),
                page.money(sums.p80),
                percent(offer.all_in.over_budget_chance),
                offer
                    .highest_price
                    .price
                    .map_or("none".to_owned(), |p| page.money(p)),
                format!(
                    "{}{:.0} h",
                    if bound { "from " } else { "" },
                    offer.hours_per_year.to_h()
                ),
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
    out
}
