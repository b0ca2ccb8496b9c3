//! What the decision says to people.

use super::candidate::{Candidate, Situation};
use super::rank::{Criterion, Score};
use super::ways_out::Change;
use crate::entered::Aim;
use crate::fit::{Capability, Limit};
use crate::ids::PartId;
use crate::site::SiteLimit;
use units::{
    Area, Currency, Force, Length, Mass, Money, Power, Rounding, Rpm, Speed, System, Time, Torque,
    number_text, show, show_money,
};

pub const NO_OUTSIDE_PRICE: &str =
    "no part it makes has an outside price, so there is cost but no value to compare";

pub const NOT_BETTER: &str =
    "what it could bring at best is worth less than what was compared, or than buying nothing";

pub fn none(situation: &Situation<'_>, among: usize, some_ask: bool, no_prices: bool) -> String {
    if among == 0 {
        return "nothing was entered to choose from".to_owned();
    }
    if situation.aim == Aim::Value && no_prices {
        return format!("{NO_OUTSIDE_PRICE}; give outside prices or set the aim to capability");
    }
    let hope = if some_ask {
        "; ask the questions first, an answer may change this"
    } else {
        "; see the ways out"
    };
    match situation.aim {
        Aim::Capability => format!(
            "none of the {among} purchases entered makes every part you must make, goes in, and keeps the budget with a chance of {}{hope}",
            percent(situation.keep_chance)
        ),
        Aim::Value => format!(
            "none of the {among} purchases entered can be named as worth more than buying nothing{hope}",
        ),
    }
}

pub fn chosen(situation: &Situation<'_>, candidate: &Candidate<'_>, score: &Score) -> String {
    let needs = situation.wishes.iter().filter(|w| w.must_make).count();
    let wants = situation.wishes.len() - needs;
    format!(
        "{} makes all {needs} parts you must make and {} of {wants} others, in {} clampings and about {} machine hours a year",
        candidate.name,
        score.wanted,
        score.clampings,
        hours(score)
    )
}

pub fn kept(situation: &Situation<'_>, over: f64, best: f64) -> String {
    format!(
        "it keeps the budget in {} of the draws ({} asked) and is the best of what you entered in {}",
        percent(1.0 - over),
        percent(situation.keep_chance),
        percent(best)
    )
}

/// How often the ranges given let the chosen one do.
pub fn does(share: f64) -> String {
    format!(
        "with the ranges you gave it goes in and makes every part you must make in {} of the draws",
        percent(share)
    )
}

/// That they let it do too rarely.
pub fn too_doubtful(situation: &Situation<'_>, share: f64) -> String {
    format!("{} ({} asked)", does(share), percent(situation.keep_chance))
}

/// Offers bought together.
pub fn several(offers: &[&str]) -> String {
    format!(
        "{} together make more of the money than any one machine",
        names(offers)
    )
}

/// What was compared of machines that stand and run at once.
pub fn at_once(compared: &[&str]) -> String {
    format!("at once: {}", compared.join("; "))
}

pub const AT_ONCE_CAUTION: &str = "that they stand and run at once is a screen only: before you pay, a licensed electrician decides on the supply and competent riggers on the moving";

pub const ONE_POOL: &str = "the hours somebody is at the machines, setting, loading and looking after them, are counted together; each machine runs no more than the hours there are, while the other may run too";

/// Machines that would be worth more together and do not stand and run at once.
pub fn not_at_once(situation: &Situation<'_>, offers: &[&str], more: f64, why: &[&str]) -> String {
    format!(
        "{} together would be worth {} more, but do not stand and run at once: {}",
        names(offers),
        amount(situation.currency, more),
        why.join("; ")
    )
}

/// Machines that would be worth more together where it cannot be said.
pub fn at_once_unknown(
    situation: &Situation<'_>,
    offers: &[&str],
    more: f64,
    why: &[&str],
    questions: &[&str],
) -> String {
    format!(
        "{} together would be worth {} more, but whether they stand and run at once cannot be said ({}); ask first: {}",
        names(offers),
        amount(situation.currency, more),
        why.join("; "),
        questions.join(" ")
    )
}

pub fn worth(situation: &Situation<'_>, value: f64, over_cost: f64) -> String {
    let over = if over_cost > 0.5 {
        format!(
            ", after {} for going over the budget at {} of the over-run",
            amount(situation.currency, over_cost),
            percent(situation.over_budget_rate)
        )
    } else {
        String::new()
    };
    format!(
        "it is worth {} over the horizon in the mean, against buying everything outside{over}",
        amount(situation.currency, value)
    )
}

/// Why buying nothing is worth most.
pub fn nothing(situation: &Situation<'_>, best: &[&str], value: f64, chance: f64) -> String {
    format!(
        "having everything made outside is worth more than any purchase entered, in {} of the draws: the best of them, {}, would cost {} over the horizon beyond what it saves",
        percent(chance),
        names(best),
        amount(situation.currency, -value)
    )
}

/// Buying nothing is not known to be better.
pub fn nothing_unknown(situation: &Situation<'_>, value: f64) -> String {
    let open: Vec<&str> = situation
        .wishes
        .iter()
        .filter(|w| w.must_make && w.outside_per_year.is_none())
        .map(|w| w.part.0.as_str())
        .collect();
    format!(
        "the best purchase would cost {} over the horizon beyond what the priced parts save, but no outside price is stated for {}: until it is, nobody can say whether buying nothing is better",
        amount(situation.currency, -value),
        open.join(", ")
    )
}

pub fn hours_short(hours: Time) -> String {
    format!(
        "the parts you must make ask for {:.0} hours a year more than there are",
        hours.to_h().ceil()
    )
}

fn names(offers: &[&str]) -> String {
    offers.join(" and ")
}

pub fn before(
    situation: &Situation<'_>,
    next: &Candidate<'_>,
    by: Criterion,
    best: &Score,
    other: &Score,
) -> String {
    format!(
        "it comes before {}: {}",
        next.name,
        criterion(situation, by, best, other)
    )
}

pub fn behind(
    situation: &Situation<'_>,
    best: &Candidate<'_>,
    by: Criterion,
    score: &Score,
    own: &Score,
) -> String {
    format!(
        "would do, but {} serves better: {}",
        best.name,
        criterion(situation, by, score, own)
    )
}

pub fn worth_before(situation: &Situation<'_>, next: &[&str], by: f64, ahead: f64) -> String {
    format!(
        "it is worth {} more than {} in the mean, and more in {} of the draws",
        amount(situation.currency, by),
        names(next),
        percent(ahead)
    )
}

pub fn worth_behind(situation: &Situation<'_>, best: &[&str], by: f64, ahead: f64) -> String {
    format!(
        "would do, but {} is worth {} more in the mean, and more in {} of the draws",
        names(best),
        amount(situation.currency, by),
        percent(ahead)
    )
}

pub fn not_worth_it(situation: &Situation<'_>, npv: f64) -> String {
    format!(
        "would do, but is worth {} over the horizon: not more than buying nothing",
        amount(situation.currency, npv)
    )
}

fn criterion(situation: &Situation<'_>, by: Criterion, better: &Score, worse: &Score) -> String {
    match by {
        Criterion::Wanted => format!(
            "{} against {} parts beyond those you must make",
            better.wanted, worse.wanted
        ),
        Criterion::Clampings => {
            format!("{} against {} clampings", better.clampings, worse.clampings)
        }
        Criterion::Hours => format!(
            "about {} against {} machine hours a year",
            hours(better),
            hours(worse)
        ),
        Criterion::Headroom => format!(
            "{} against {} of room left in travel and height at the tightest",
            room(situation, better),
            room(situation, worse)
        ),
        Criterion::Cost => format!(
            "alike in what it makes, and cheaper all-in ({} against {})",
            amount(situation.currency, better.cost.to_amount()),
            amount(situation.currency, worse.cost.to_amount())
        ),
        Criterion::Name => "no difference in anything compared; told apart by name only".to_owned(),
    }
}

pub fn ask(inputs: &[String]) -> String {
    format!("cannot be said until asked: {}", inputs.join(", "))
}

pub fn part_does_not_fit(situation: &Situation<'_>, part: &PartId, limit: &Limit) -> String {
    let mend = if limit.mend.is_empty() {
        String::new()
    } else {
        format!(" ({})", limit.mend)
    };
    format!(
        "cannot make {part}: {} short by {}{mend}",
        capability(limit.capability).replace('_', " "),
        quantity(situation, limit.short_by, limit.capability.unit()).trim_end()
    )
}

pub fn part_no_reason(part: &PartId) -> String {
    format!("cannot make {part}")
}

pub fn does_not_go_in(situation: &Situation<'_>, limit: &SiteLimit) -> String {
    format!(
        "does not go in: {} short by {} ({})",
        limit.what.replace('_', " "),
        quantity(situation, limit.short_by, limit.unit),
        limit.mend
    )
}

pub fn over_budget(situation: &Situation<'_>, over: f64, extra: Money) -> String {
    let counted = match situation.aim {
        Aim::Capability => String::new(),
        Aim::Value => format!(
            "; the over-run is counted at {} of it",
            percent(situation.over_budget_rate)
        ),
    };
    format!(
        "over the budget in {} of the draws; {} more would keep it with the chance of {}{counted}",
        percent(over),
        amount(situation.currency, extra.to_amount()),
        percent(situation.keep_chance)
    )
}

pub fn change(change: &Change, again: &[String], called: &dyn Fn(&PartId) -> String) -> String {
    match change {
        Change::FarmOut(part) => format!("farm out {} or do without it", called(part)),
        Change::GiveUp(part) => format!("give up {}", called(part)),
        Change::ClampAgain => format!("clamp {} more often than asked", again.join(" and ")),
        Change::TakeOption(option) => format!("take the option {option}"),
        Change::LeaveOption(option) => format!("do without the option {option}"),
        Change::Dismantle(what) => format!("for the way in: {what}"),
        Change::SiteWork(what) => format!("at your place: more {}", what.replace('_', " ")),
        Change::MoreHours(hours) => format!("find {hours} more hours a year"),
    }
}

pub fn too_many_changes(offer: &str, most: usize) -> String {
    format!("ways out of {offer} that ask for more than {most} changes besides money")
}

pub fn some_parts(offer: &str, most: usize) -> String {
    format!("ways out of {offer} that give up parts other than the {most} that save most")
}

/// Name of a capability as in JSON.
pub fn capability(capability: Capability) -> String {
    let mut name = String::new();
    for c in format!("{capability:?}").chars() {
        if c.is_uppercase() && !name.is_empty() {
            name.push('_');
        }
        name.extend(c.to_lowercase());
    }
    name
}

fn hours(score: &Score) -> String {
    let h = score.hours_per_year.to_h();
    if h < 10.0 {
        format!("{h:.1}")
    } else {
        format!("{h:.0}")
    }
}

fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

fn room(situation: &Situation<'_>, score: &Score) -> String {
    match score.headroom {
        None => "an unknown amount".to_owned(),
        Some(room) => show(room, system(situation)),
    }
}

/// Money to three digits, in the folder's currency.
fn amount(currency: Currency, number: f64) -> String {
    show_money(Money::amount(number), Some(currency), 3)
}

fn system(situation: &Situation<'_>) -> System {
    if situation.us_units {
        System::Us
    } else {
        System::Metric
    }
}

/// A shortfall in the reader's system, from its base unit.
fn quantity(situation: &Situation<'_>, number: f64, unit: &str) -> String {
    let system = system(situation);
    match unit {
        "mm" => show(Length::mm(number), system),
        "m2" => show(Area::m2(number), system),
        "kg" => show(Mass::kg(number), system),
        "kW" => show(Power::kw(number), system),
        "N m" => show(Torque::nm(number), system),
        "1/min" => show(Rpm::rpm(number), system),
        "N" => show(Force::n(number), system),
        "m/min" => show(Speed::m_min(number), system),
        _ => format!("{} {unit}", number_text(number, Rounding::Significant(3))),
    }
}

/// Further parts that do not fit.
pub(super) fn more_do_not_fit(more: usize) -> String {
    format!("{more} more parts do not fit either")
}
