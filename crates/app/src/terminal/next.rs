//! What was assumed, what to ask, what to do next.

use super::study::Page;
use super::table::{bullet, heading, paragraph, table};
use engine::choice::{Question, WayOut, WorthUnit};
use std::collections::BTreeMap;
use units::Money;

/// Questions printed; the JSON document has all.
const QUESTIONS: usize = 12;

/// Numbers nobody stated.
pub fn assumed(page: &Page<'_>) -> String {
    let mut out = heading("What was assumed");
    let rows = page
        .answer
        .offers()
        .map(|offer| {
            let lines = offer
                .all_in
                .lines
                .iter()
                .filter(|l| l.origin == "assumed")
                .count();
            vec![
                page.offer_name(&offer.offer),
                format!(
                    "{} of {}",
                    offer.missing.len(),
                    engine::machine::Field::ALL.len()
                ),
                format!("{lines} of {}", offer.all_in.lines.len()),
            ]
        })
        .collect();
    out.push_str(&table(
        &["offer", "properties not stated", "costs assumed"],
        &[1, 2],
        rows,
    ));
    let mut sources: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for line in page.answer.offers().flat_map(|o| &o.all_in.lines) {
        if line.origin == "assumed" {
            *sources
                .entry((line.name.as_str(), line.source.as_str()))
                .or_default() += 1;
        }
    }
    for (name, source) in sources.keys() {
        out.push_str(&bullet("-", &format!("{name}: {source}")));
    }
    out.push('\n');
    out
}

/// Worth more than twice its error.
fn matters(question: &Question) -> bool {
    let (Some(worth), Some(error)) = (question.worth, question.error) else {
        return false;
    };
    worth > 2.0 * error
}

/// What the answer is worth; nothing when it is lost in its error.
fn worth(page: &Page<'_>, question: &Question) -> String {
    match (question.worth, question.unit) {
        (Some(worth), WorthUnit::Money) if matters(question) => format!(
            ". Knowing it before you choose is worth about {}.",
            page.money(Money::amount(worth))
        ),
        (Some(worth), WorthUnit::Chance) if matters(question) => format!(
            ". Knowing it raises the chance of choosing the best one by {:.0} in 100.",
            100.0 * worth
        ),
        _ => String::new(),
    }
}

/// What to ask whom.
pub fn questions(page: &Page<'_>) -> String {
    let questions = &page.answer.questions;
    let mut out = heading("What to ask");
    if questions.is_empty() {
        out.push_str(&paragraph("Nothing the answer turns on."));
    }
    for (number, question) in questions.iter().take(QUESTIONS).enumerate() {
        let whom = question
            .offer
            .as_ref()
            .map_or("At your place".to_owned(), |o| page.offer_name(o));
        out.push_str(&bullet(
            &format!("{}.", number + 1),
            &format!(
                "{whom}: {}{}{}",
                question.about,
                super::flip::flip(page, question),
                worth(page, question)
            ),
        ));
    }
    if !questions.is_empty() && !questions.iter().any(matters) {
        out.push_str(&paragraph(
            "By what machines of their classes usually have, none of these answers is likely to \
             change the choice. Ask them all the same before you pay: usual is not certain.",
        ));
    }
    if questions.len() > QUESTIONS {
        out.push_str(&paragraph(&format!(
            "{} more in the JSON document.",
            questions.len() - QUESTIONS
        )));
    }
    out.push('\n');
    out
}

/// A way out in one sentence.
fn way_out(page: &Page<'_>, way: &WayOut) -> String {
    let mut changes = way.texts.clone();
    if way.money > Money::ZERO {
        changes.push(format!("raise the budget by {}", page.money(way.money)));
    }
    let mut text = format!(
        "A way out with {}: {}",
        page.offer_name(&way.offer),
        if changes.is_empty() {
            "nothing but its questions".to_owned()
        } else {
            changes.join(" and ")
        }
    );
    if way.ask_first {
        text.push_str(", once its questions are answered");
    }
    if !way.unpriced.is_empty() {
        text.push_str(&format!(
            "; get a price for: {}, which is in no sum here",
            way.unpriced.join("; ")
        ));
    }
    if let Some(outside) = way.outside_per_year {
        text.push_str(&format!(
            "; the parts given up cost {} a year outside",
            page.money(outside)
        ));
    }
    text.push('.');
    text
}

/// What to do next.
pub fn steps(page: &Page<'_>) -> String {
    let decision = &page.answer.decision;
    let mut steps: Vec<String> = Vec::new();
    if page.answer.questions.iter().any(|q| q.decisive) {
        steps.push("Ask the questions above, in their order; put the answers into the offer files and run this again.".into());
    }
    if let Some(chosen) = page.answer.chosen() {
        if let Some(price) = chosen.highest_price.price {
            steps.push(format!(
                "Pay no more than {} for {}: above that the budget is no longer kept with the chance you asked for.",
                page.money(price),
                chosen.name
            ));
        }
        for work in &chosen.site.works {
            steps.push(format!(
                "{}: {} ({} to {}, {} days). {}",
                work.name.replace('_', " "),
                work.why,
                page.money(work.low),
                page.money(work.high),
                work.lead_days,
                work.caution
            ));
        }
        steps.push(
            "See it run and measure it before any money changes hands; agree in writing what is included.".into(),
        );
    } else {
        for way in page.answer.ways_out.ways.iter().filter(|w| w.best).take(4) {
            steps.push(way_out(page, way));
        }
        for left_out in &page.answer.ways_out.left_out {
            steps.push(format!("Not looked at: {left_out}."));
        }
    }
    if decision.offer.is_some() && !page.answer.ways_out.ways.is_empty() {
        // Ways out of an answered purchase are alternatives, told in the JSON document.
        steps.push("Other ways are in the JSON document (--json).".into());
    }
    let mut out = heading("What to do next");
    for (number, step) in steps.iter().enumerate() {
        out.push_str(&bullet(&format!("{}.", number + 1), step));
    }
    out
}
