//! First the verdict and how sure it is.

use super::study::Page;
use super::table::{bullet, heading, paragraph, percent};

/// The verdict.
pub fn section(page: &Page<'_>) -> String {
    let decision = &page.answer.decision;
    let mut out = heading(&format!("The answer for {}", page.entered.shop.name));
    match &decision.offer {
        Some(offer) => {
            let with = if decision.options.is_empty() {
                String::new()
            } else {
                format!(" with {}", decision.options.join(" and "))
            };
            out.push_str(&paragraph(&format!(
                "Buy {}{with}. Of the {} purchases you entered it is the best in {} of the draws of \
                 costs and budget. Whether the parts fit and how long they take is taken at its \
                 likely value and not drawn, so this is not all the doubt there is.",
                page.offer_name(offer),
                decision.among,
                percent(decision.chance_best),
            )));
        }
        None => out.push_str(&paragraph(&format!(
            "No offer can be named outright: among the {} purchases entered, none is known to make \
             every part you must make, go in, and keep the budget.",
            decision.among
        ))),
    }
    for why in &decision.why {
        out.push_str(&bullet("-", why));
    }
    for first in decision
        .ask_first
        .iter()
        .filter(|a| a.would_be_best)
        .take(2)
    {
        out.push_str(&bullet(
            "-",
            &format!(
                "{} would come before it if {} turned out well: ask first.",
                page.offer_name(&first.offer),
                match first.questions.len() {
                    1 => "one answer".to_owned(),
                    n => format!("{n} answers"),
                },
            ),
        ));
    }
    if !decision.farm_out.is_empty() {
        let names: Vec<String> = decision
            .farm_out
            .iter()
            .map(|p| page.part_name(p))
            .collect();
        out.push_str(&bullet(
            "-",
            &format!("Farm out or do without: {}.", names.join(", ")),
        ));
    }
    out.push('\n');
    out
}
