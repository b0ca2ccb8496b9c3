//! What each machine asks of floor, supply and air, beside what there is.

use super::study::Page;
use super::table::{bullet, heading, paragraph, table};
use engine::site::air::Enough;
use engine::site::floor::{Carries, Floor};
use engine::site::{ELECTRICAL_CAUTION, Electrical, FLOOR_CAUTION, PERMISSIONS};
use units::show;

/// The section.
pub fn section(page: &Page<'_>) -> String {
    let mut out = heading("Will it stand and run at your place");
    let rows = page
        .answer
        .offers()
        .map(|offer| {
            let site = &offer.site;
            let e = &site.electrical;
            vec![
                page.offer_name(&offer.offer),
                floor(page, &site.floor),
                e.need_amps
                    .map_or("?".to_owned(), |a| format!("{:.0} A", a.to_a())),
                e.spare_amps
                    .map_or("?".to_owned(), |a| format!("{:.0} A", a.to_a())),
                wiring(e),
                between(e).to_owned(),
                match site.air.enough {
                    Enough::Yes => "enough",
                    Enough::CannotSay => "ask",
                    Enough::No => "too little",
                }
                .to_owned(),
            ]
        })
        .collect();
    out.push_str(&table(
        &[
            "offer",
            "floor",
            "supply",
            "left",
            "wire and breaker",
            "between",
            "air",
        ],
        &[2, 3],
        rows,
    ));
    out.push_str(&paragraph(
        "supply: what the panel must be able to give; left: what then remains of it, less than \
         nothing when it is too small. The floor's answer holds away from edges and joints.",
    ));
    let asked: Vec<&str> = page
        .answer
        .offers()
        .flat_map(|o| &o.site.ask_works)
        .filter(|a| a.input.starts_with("site/"))
        .map(|a| a.question.as_str())
        .collect();
    let mut told: Vec<&str> = Vec::new();
    for question in asked {
        if !told.contains(&question) {
            told.push(question);
            out.push_str(&bullet(
                "-",
                &format!("turns cost, not the answer: {question}"),
            ));
        }
    }
    let mut taken: Vec<&str> = Vec::new();
    for assumed in page.answer.offers().flat_map(|o| &o.site.floor.assumed) {
        if !taken.contains(&assumed.as_str()) {
            taken.push(assumed);
        }
    }
    for assumed in taken {
        out.push_str(&bullet(
            "-",
            &format!("taken for the floor, not stated: {assumed}"),
        ));
    }
    let who: Vec<&str> = PERMISSIONS.iter().map(|p| p.who).collect();
    out.push_str(&bullet(
        "-",
        &format!(
            "ask leave before you sign: {}. What to ask each is in the JSON document.",
            who.join(", ")
        ),
    ));
    out.push_str(&paragraph(ELECTRICAL_CAUTION));
    out.push_str(&paragraph(FLOOR_CAUTION));
    out.push('\n');
    out
}

fn floor(page: &Page<'_>, floor: &Floor) -> String {
    let needed = floor
        .thickness_needed
        .map(|needed| show(needed, page.system));
    match (floor.carries, needed) {
        (Carries::Yes, Some(needed)) => format!("yes ({needed} do)"),
        (Carries::Yes, None) => "yes".to_owned(),
        (Carries::CannotSay, _) => "ask".to_owned(),
        (Carries::Engineer, _) => "engineer".to_owned(),
        (Carries::No, Some(needed)) => format!("no ({needed} needed)"),
        (Carries::No, None) => "no".to_owned(),
    }
}

fn wiring(e: &Electrical) -> String {
    let Some(supply) = &e.supply else {
        return e.no_supply.clone().unwrap_or_else(|| "?".to_owned());
    };
    let first = supply.source.as_ref().unwrap_or(&supply.machine);
    let guess = if e.estimated { ", estimated" } else { "" };
    format!(
        "{} x {}, {} A{guess}",
        first.wires, first.conductor, first.breaker_a
    )
}

fn between(e: &Electrical) -> &'static str {
    match (e.converter, e.transformer) {
        (Some(true), Some(true)) => "converter, transformer",
        (Some(true), _) => "converter",
        (_, Some(true)) => "transformer",
        (Some(false), Some(false)) => "nothing",
        _ => "?",
    }
}
