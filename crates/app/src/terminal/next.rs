//! What was assumed, what to ask, what to do next.

use super::study::Page;
use super::table::{bullet, heading, paragraph, table};
use engine::choice::{Question, QuestionGroup, WayOut, Whom, WorthUnit};
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

/// What knowing something is worth.
fn worth(page: &Page<'_>, worth: Option<f64>, unit: WorthUnit) -> String {
    let worth = worth.unwrap_or(0.0);
    match unit {
        WorthUnit::Money => format!(
            "is worth about {} before you choose",
            page.money(Money::amount(worth))
        ),
        WorthUnit::Chance => format!(
            "raises the chance of choosing the best one by {:.0} in 100",
            100.0 * worth
        ),
    }
}

/// Who answers.
fn whom(page: &Page<'_>, group: &QuestionGroup) -> String {
    match &group.whom {
        Whom::Seller(offer) => page.offer_name(offer),
        Whom::Site => "At your place".to_owned(),
        Whom::Shop => "For your shop".to_owned(),
    }
}

/// What to ask whom: the call worth most first, in each the questions by worth.
pub fn questions(page: &Page<'_>) -> String {
    let questions = &page.answer.questions;
    let groups = &page.answer.question_groups;
    let mut out = heading("What to ask");
    if questions.is_empty() {
        out.push_str(&paragraph("Nothing the answer turns on."));
    }
    let asked = |g: &QuestionGroup| g.worth_asking || g.for_several;
    if !questions.is_empty() && !groups.iter().any(asked) {
        out.push_str(&paragraph(
            "By what machines of their classes usually have, no question is worth its trouble for \
             the choice. Ask them all the same before you pay: usual is not certain.",
        ));
    }
    let mut number = 0;
    let mut short: Vec<String> = Vec::new();
    for group in groups {
        if !told_in_full(page, group) {
            let count = match group.inputs.len() {
                1 => "1 question".to_owned(),
                n => format!("{n} questions"),
            };
            short.push(format!("{} ({count})", whom(page, group)));
            continue;
        }
        let own: Vec<&Question> = group
            .inputs
            .iter()
            .filter_map(|input| questions.iter().find(|q| q.input == *input))
            .take(QUESTIONS - number)
            .collect();
        if own.is_empty() {
            break;
        }
        let all = match (group.worth_asking, group.inputs.len()) {
            (false, _) if group.for_several => {
                "several machines that would be worth more turn on it".to_owned()
            }
            (false, _) => "not likely to change the choice".to_owned(),
            (true, 1) => format!("the answer {}", worth(page, group.worth, group.unit)),
            (true, _) => format!("knowing all of it {}", worth(page, group.worth, group.unit)),
        };
        out.push_str(&paragraph(&format!("{}: {all}.", whom(page, group))));
        for question in own {
            number += 1;
            let alone = if question.worth_asking && group.inputs.len() > 1 {
                format!(" Alone it {}.", worth(page, question.worth, question.unit))
            } else {
                String::new()
            };
            out.push_str(&bullet(
                &format!("{number}."),
                &format!(
                    "{}{}{alone}",
                    question.about,
                    super::flip::flip(page, question)
                ),
            ));
        }
    }
    let left: usize = groups
        .iter()
        .filter(|group| told_in_full(page, group))
        .map(|group| group.inputs.len())
        .sum();
    if left > number {
        out.push_str(&paragraph(&format!(
            "{} more in the JSON document.",
            left - number
        )));
    }
    if !short.is_empty() {
        out.push_str(&paragraph(&format!(
            "Not likely to change the choice, and in the JSON document with what would do: {}.",
            short.join("; ")
        )));
    }
    out.push('\n');
    out
}

/// True for questions that may change the choice, about what is chosen or would be best after an
/// answer, and about the place; with nothing chosen for all.
fn told_in_full(page: &Page<'_>, group: &QuestionGroup) -> bool {
    let decision = &page.answer.decision;
    let Whom::Seller(offer) = &group.whom else {
        return true;
    };
    let first = decision.ask_first.iter();
    decision.machines.is_empty()
        || group.worth_asking
        || group.for_several
        || decision.machines.iter().any(|m| m.offer == *offer)
        || first.clone().any(|a| a.would_be_best && a.offer == *offer)
}

/// A way out in one sentence.
fn way_out(page: &Page<'_>, way: &WayOut) -> String {
    let mut changes = way.texts_calling(&|part| page.part_name(part));
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
                "{} no more than {} for {}: above that the budget is no longer kept with the chance you asked for.",
                if page.lot(&chosen.offer) { "Bid" } else { "Pay" },
                page.at_most(price),
                chosen.name
            ));
        }
        let mut cautions: Vec<&str> = Vec::new();
        for work in &chosen.site.works {
            steps.push(format!(
                "{}: {} ({} to {}, {} days).",
                work.name.replace('_', " "),
                work.why,
                page.money(work.low),
                page.money(work.high),
                work.lead_days,
            ));
            if !cautions.contains(&work.caution) {
                cautions.push(work.caution);
                if let Some(step) = steps.last_mut() {
                    step.push(' ');
                    step.push_str(work.caution);
                }
            }
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
