//! First the verdict and how sure it is.

use super::study::Page;
use super::table::{bullet, heading, paragraph, percent};
use engine::choice::{KeepingBudget, ToBuy};
use engine::entered::Aim;
use units::{Length, show_room};

/// The verdict.
pub fn section(page: &Page<'_>) -> String {
    let decision = &page.answer.decision;
    let mut out = heading(&format!("The answer for {}", page.entered.shop.name));
    let draws = percent(decision.chance_best);
    let likely = if page.answer.is_large() {
        LIKELY_LARGE
    } else {
        LIKELY
    };
    out.push_str(&paragraph(&if decision.buy_nothing {
        format!(
            "Buy nothing: have the parts made outside. Against the {} purchases you entered that is \
             worth most in {draws} of the draws. {likely}",
            decision.among
        )
    } else if decision.machines.is_empty() {
        format!(
            "No offer can be named outright: among the {} purchases entered, none is known to make \
             every part you must make, go in, and {}.",
            decision.among,
            match decision.aim {
                Aim::Capability => "keep the budget",
                Aim::Value => "be worth more than buying nothing",
            }
        )
    } else {
        let bought: Vec<String> = decision.machines.iter().map(|m| named(page, m)).collect();
        let what = match &decision.machines[..] {
            [one] if page.lot(&one.offer) => "Bid for",
            _ => "Buy",
        };
        format!(
            "{what} {}. Of the {} purchases you entered it is the best in {draws} of the draws. \
             {likely}",
            bought.join(", together with "),
            decision.among,
        )
    }));
    if !decision.ties.is_empty() {
        let names: Vec<String> = decision.ties.iter().map(|o| page.offer_name(o)).collect();
        out.push_str(&paragraph(&format!(
            "A tie: the draws cannot tell it from {}. Decide between them by what no number says.",
            names.join(" and ")
        )));
    }
    if decision.stopped {
        out.push_str(&paragraph(&stopped(page)));
    } else if let Some(gap) = decision.gap {
        out.push_str(&paragraph(&format!(
            "The search takes losses as made good at once and the likely sizes as right, which bounds \
             the best there is from above: something else among what you entered may be worth up to {} \
             more, no more than that.",
            page.money(gap)
        )));
    } else if !decision.proven {
        out.push_str(&paragraph(
            "That nothing better is among what you entered is not proven: the search was cut short, \
             or the hours there are do not suffice in every draw.",
        ));
    }
    for why in &decision.why {
        out.push_str(&bullet("-", why));
    }
    for first in decision
        .ask_first
        .iter()
        // Of several machines the reasons tell.
        .filter(|a| a.would_be_best && a.with.is_empty())
        .take(2)
    {
        let name = page.offer_name(&first.offer);
        let text = match (first.does_chance, first.questions.len()) {
            // More than the ranges is open: how often they let it do says nothing yet.
            (Some(share), 1) => format!(
                "{name} would come before it, but with the ranges you gave it goes in and makes every \
                 part you must make in only {} of the draws: ask first.",
                percent(share)
            ),
            (_, 1) => {
                format!("{name} would come before it if one answer turned out well: ask first.")
            }
            (_, n) => {
                format!("{name} would come before it if {n} answers turned out well: ask first.")
            }
        };
        out.push_str(&bullet("-", &text));
    }
    if let Some(kept) = &decision.keeping_budget
        && decision.offer.is_some()
    {
        out.push_str(&bullet("-", &promise(page, kept)));
    }
    if decision.machines.len() > 1 {
        for machine in &decision.machines {
            let parts: Vec<String> = machine.make.iter().map(|p| page.part_name(p)).collect();
            let on = page.offer_name(&machine.offer);
            out.push_str(&bullet(
                "-",
                &format!("Make on {on}: {}.", parts.join(", ")),
            ));
        }
    }
    for set in decision.together.iter().filter(|s| s.chosen) {
        for placed in &set.together.places {
            if let Some([x, y, turned]) = placed.place.pose {
                let at = |mm: f64| show_room(Length::mm(mm), page.system);
                out.push_str(&bullet(
                    "-",
                    &format!(
                        "Stand {} in {}: its middle at {}, {} on the plan, turned {turned:.0} \
                         degrees.",
                        page.offer_name(&placed.offer),
                        placed.place.spot,
                        at(x),
                        at(y)
                    ),
                ));
            }
            for remark in &placed.place.remarks {
                let on = page.offer_name(&placed.offer);
                out.push_str(&bullet("-", &format!("{on} there: {remark}.")));
            }
        }
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

/// What is not known because the search was stopped.
fn stopped(page: &Page<'_>) -> String {
    let decision = &page.answer.decision;
    let unsure = match decision.gap {
        _ if decision.proven => {
            "yet nothing better can be among what you entered. What to make on the other machines was \
             not worked out to the end, so they may be worth more than told here."
                .to_owned()
        }
        Some(gap) => format!(
            "so something else among what you entered, or making other parts, may be worth up to {} \
             more, no more than that. {ANOTHER}",
            page.money(gap)
        ),
        None => format!("and by how much something else may be better cannot be said. {ANOTHER}"),
    };
    format!("The search was stopped before its end, by the time you gave or by Ctrl-C, {unsure}")
}

/// What a stop makes of an answer.
const ANOTHER: &str = "Given longer, or on another machine, the answer may be another.";

/// What the draws leave out.
const LIKELY: &str = "The draws vary costs, the budget, how long cutting and handling take, and whether \
                      the parts fit and the machine goes in where you gave ranges. A number you gave \
                      as one value is taken as right, so this is not all the doubt there is.";
const LIKELY_LARGE: &str = "With so many parts and offers the draws vary costs and the budget only: \
                            whether the parts fit and how long they take is taken at its likely \
                            value, so this is not all the doubt there is.";

/// A machine with its options.
fn named(page: &Page<'_>, machine: &ToBuy) -> String {
    let name = page.offer_name(&machine.offer);
    if machine.options.is_empty() {
        name
    } else {
        format!("{name} (option: {})", machine.options.join(", "))
    }
}

/// What the budget as a promise would choose.
fn promise(page: &Page<'_>, kept: &KeepingBudget) -> String {
    let chance = percent(page.entered.shop.keep_chance);
    if kept.same {
        return format!(
            "It is also the choice when the budget must be kept with a chance of {chance}."
        );
    }
    let names: Vec<String> = kept.offers.iter().map(|o| page.offer_name(o)).collect();
    if names.is_empty() {
        return format!(
            "If the budget had to be kept with a chance of {chance}, buying nothing would be best."
        );
    }
    format!(
        "If the budget had to be kept with a chance of {chance}, it would be {}, worth {}.",
        names.join(" and "),
        page.money(kept.value)
    )
}
