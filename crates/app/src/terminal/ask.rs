//! What the first evening comes to: a line after each answer, and the search brief at the end.

use super::needs;
use super::study::Page;
use super::table::{bullet, heading, paragraph, table};
use crate::commands::ask::First;
use crate::contract::study::name;
use engine::ids::ClassId;
use engine::money::Ceiling;
use engine::specification::ClassPicture;
use engine::study::Answer;
use folder::Study as Entered;
use units::{Money, System, show_money};

/// What is known after an answer, in a line or two.
pub fn so_far(entered: &Entered, answer: &Answer) -> String {
    let within: Vec<(&str, String, bool)> = answer
        .ceilings
        .iter()
        .filter_map(|ceiling| {
            let price = ceiling.room.price?;
            let least = ceiling.usual.map(|u| u[0]);
            let picture = answer.classes.iter().find(|c| c.class == ceiling.class)?;
            let may = picture.enough || may_do(picture);
            (may && least.is_none_or(|l| price >= l)).then(|| {
                let price = show_money(price, Some(entered.shop.currency), 3);
                (ceiling.name.as_str(), price, picture.enough)
            })
        })
        .collect();
    let of = |sure: bool| {
        let all: Vec<String> = within
            .iter()
            .filter(|(.., enough)| *enough == sure)
            .map(|(name, price, _)| format!("{name} up to {price}"))
            .collect();
        all.join("; ")
    };
    match (of(true), of(false)) {
        (sure, may) if sure.is_empty() && may.is_empty() => {
            "   so far: no class of machine both makes these parts and stays within the budget\n"
                .to_owned()
        }
        (sure, may) if sure.is_empty() => format!("   so far, to be asked about: {may}\n"),
        (sure, may) if may.is_empty() => format!("   so far: {sure}\n"),
        (sure, may) => format!("   so far: {sure}\n   to be asked about: {may}\n"),
    }
}

/// True for a class of which it cannot be said of some part, and that fails at none.
fn may_do(picture: &ClassPicture) -> bool {
    picture.not_made.is_empty() && !picture.open.is_empty()
}

/// Everything the budget pays besides a machine, largest first: of the class that leaves most for
/// the machine among those that serve, or among all when none serves.
fn besides(page: &Page<'_>) -> String {
    let serves = |class: &ClassId| {
        let picture = page.answer.classes.iter().find(|p| p.class == *class);
        picture.is_some_and(|p| p.enough)
    };
    let ceilings = page.answer.ceilings.iter();
    let roomiest = ceilings.max_by(|a, b| {
        let room = |c: &Ceiling| c.room.likely.to_amount();
        (serves(&a.class).cmp(&serves(&b.class))).then(room(a).total_cmp(&room(b)))
    });
    let Some(ceiling) = roomiest else {
        return String::new();
    };
    // Lines of one kind ("tooling: holders", "tooling: cutters") are one sum here.
    let mut sums: Vec<(&str, f64, bool)> = Vec::new();
    for line in &ceiling.besides {
        let kind = line.name.split(':').next().unwrap_or_default();
        let (mean, assumed) = (line.mean.to_amount(), line.origin == "assumed");
        match sums.iter_mut().find(|(k, ..)| *k == kind) {
            Some(sum) => {
                sum.1 += mean;
                sum.2 |= assumed;
            }
            None => sums.push((kind, mean, assumed)),
        }
    }
    sums.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(b.0)));
    let mut out = heading("What the budget pays besides the machine");
    out.push_str(&paragraph(&format!(
        "For {}, {}, in the mean of all draws.",
        ceiling.name.to_lowercase(),
        name(&ceiling.condition)
    )));
    let rows = sums
        .iter()
        .filter(|(_, mean, _)| *mean > 0.0)
        .map(|(kind, mean, assumed)| {
            let known = if *assumed {
                "assumed: replace it by a quotation"
            } else {
                "stated"
            };
            vec![
                (*kind).to_owned(),
                page.money(Money::amount(*mean)),
                known.to_owned(),
            ]
        })
        .collect();
    out.push_str(&table(&["", "about", ""], &[1], rows));
    out
}

/// The brief.
pub fn describe(first: &First) -> String {
    let page = Page {
        entered: &first.entered,
        answer: &first.answer,
        system: if first.entered.shop.us_units {
            System::Us
        } else {
            System::Metric
        },
        currency: first.entered.shop.currency,
    };
    let mut out = needs::ceilings(&page);
    out.push_str(&needs::classes(&page));
    out.push_str(&heading("What to look for"));
    let brief = &first.brief;
    let open = |class: &ClassId| {
        let picture = first.answer.classes.iter().find(|p| p.class == *class);
        picture.is_some_and(may_do)
    };
    let rows = brief
        .classes
        .iter()
        .map(|c| {
            vec![
                c.name.clone(),
                c.taper.clone().unwrap_or_default(),
                c.price_ceiling
                    .map_or("nothing left".to_owned(), |p| page.money(p)),
                match (c.serves, c.within_reach) {
                    (false, reach) if open(&c.class) => {
                        if reach {
                            "may do: ask first"
                        } else {
                            "may do, but costs more"
                        }
                    }
                    (true, true) => "look here",
                    (true, false) => "would do, but costs more",
                    (false, true) => "affordable, but not enough",
                    (false, false) => "neither",
                }
                .to_owned(),
            ]
        })
        .collect();
    out.push_str(&table(&["class", "nose", "pay at most", ""], &[2], rows));
    out.push_str(&besides(&page));
    out.push_str(&needs::specification(&page));
    if let Some(tools) = brief.pockets {
        out.push_str(&paragraph(&format!(
            "A changer with {tools} places would hold the tools of a part; fewer means changing by \
             hand."
        )));
    }
    out.push_str(&heading("What to ask every seller"));
    for (number, ask) in brief.must_ask.iter().enumerate() {
        out.push_str(&bullet(&format!("{}.", number + 1), ask.question));
    }
    out.push('\n');
    out.push_str(&heading("Traps of used machines"));
    for trap in &brief.traps {
        let text = format!(
            "Others found: {}. So: {}. ({})",
            trap.trap, trap.instead, trap.source
        );
        out.push_str(&bullet("-", &text));
    }
    out.push('\n');
    out
}
