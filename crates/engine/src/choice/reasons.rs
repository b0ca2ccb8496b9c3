//! Why the chosen one, why not each other, and what to ask first.

use super::candidate::Situation;
use super::decision::{Alternative, AskFirst, Judged, Shortfall, Shown, Status};
use super::{questions, texts};
use crate::entered::Aim;
use crate::fit::{Capability, Fit, Limit};
use crate::ids::OfferId;
use std::collections::{BTreeMap, BTreeSet};
use units::{Money, Time};

pub(super) fn why(situation: &Situation<'_>, shown: &Shown<'_>) -> Vec<String> {
    let judged = shown.judged;
    let mut why = Vec::new();
    let Some(at) = shown.chosen else {
        if shown.buy_nothing {
            why.extend(nothing(situation, shown));
            return why;
        }
        why.push(texts::none(
            situation,
            shown.among,
            judged.iter().any(|j| j.status == Status::AskFirst),
            !situation
                .wishes
                .iter()
                .any(|w| w.outside_per_year.is_some()),
        ));
        // Where only the hours are short, the purchase that comes nearest tells by how much.
        let usable = judged
            .iter()
            .filter(|j| j.candidate.gives_up.is_empty() && j.candidate.may_do(situation.wishes));
        let short: Option<Vec<Time>> = usable.map(|j| j.candidate.hours_short).collect();
        if let Some(least) = short.into_iter().flatten().min_by(Time::total_cmp) {
            why.push(texts::hours_short(least));
        }
        if situation.aim == Aim::Value && shown.actions.count() > 0 {
            why.push(texts::nothing_unknown(situation, shown.actions.value(0)));
        }
        return why;
    };
    let chance = shown.chance(at);
    match shown.actions.single(at) {
        Some(single) => {
            let best = &judged[single];
            why.push(texts::chosen(situation, best.candidate, &best.score));
        }
        None => why.push(texts::several(&names(judged, shown.actions.offers(at)))),
    }
    why.push(texts::kept(situation, shown.actions.over_share(at), chance));
    if let Some(single) = shown.actions.single(at) {
        let best = judged[single].candidate;
        if best.in_draws.is_some() {
            why.push(texts::does(best.does_share(situation.wishes)));
        }
    }
    if situation.aim == Aim::Value {
        let actions = shown.actions;
        why.push(texts::worth(
            situation,
            actions.value(at),
            actions.over_cost(at),
        ));
        if let Some(next) =
            (0..actions.count()).find(|n| *n != at && actions.offers(*n) != actions.offers(at))
        {
            why.push(texts::worth_before(
                situation,
                &names(judged, actions.offers(next)),
                actions.value(at) - actions.value(next),
                actions.ahead(at, next),
            ));
        }
        return why;
    }
    let Some(best) = shown.single() else {
        return why;
    };
    if let Some(next) = judged[best + 1..]
        .iter()
        .find(|j| j.status == Status::WouldDo && j.candidate.offer != judged[best].candidate.offer)
    {
        let best = &judged[best];
        let (_, criterion) = best.score.compare(&next.score);
        why.push(texts::before(
            situation,
            next.candidate,
            criterion,
            &best.score,
            &next.score,
        ));
    }
    why
}

/// Why buying nothing is worth most.
fn nothing(situation: &Situation<'_>, shown: &Shown<'_>) -> Option<String> {
    let best = (0..shown.actions.count()).next()?;
    Some(texts::nothing(
        situation,
        &names(shown.judged, shown.actions.offers(best)),
        shown.actions.value(best),
        shown.chances.none,
    ))
}

pub(super) fn alternatives(situation: &Situation<'_>, shown: &Shown<'_>) -> Vec<Alternative> {
    let judged = shown.judged;
    let chosen: &[&crate::ids::OfferId] = shown.chosen.map_or(&[], |at| shown.actions.offers(at));
    // Of an offer's option sets the one that came furthest speaks for it.
    let mut others: Vec<(usize, &Judged<'_>)> = judged
        .iter()
        .enumerate()
        .filter(|(_, j)| !chosen.contains(&j.candidate.offer) && j.candidate.gives_up.is_empty())
        .collect();
    others.sort_by_key(|(_, j)| j.status);
    let mut seen = BTreeSet::new();
    others.retain(|(_, j)| seen.insert(j.candidate.offer));
    others
        .into_iter()
        .map(|(at, j)| {
            let (mut reasons, shortfalls) = nos(situation, j);
            if j.status == Status::WouldDo {
                reasons.insert(0, behind(situation, shown, at));
            }
            if j.status == Status::AskFirst {
                reasons.push(texts::ask(&questions::inputs(j.candidate, situation)));
            }
            Alternative {
                offer: j.candidate.offer.clone(),
                options: j.candidate.options.to_vec(),
                status: j.status,
                reasons,
                shortfalls,
                chance_best: shown.chance_of_offer(j.candidate.offer),
                value: (situation.aim == Aim::Value && j.value.is_finite())
                    .then(|| Money::amount(j.value)),
            }
        })
        .collect()
}

/// What people call some offers.
fn names<'a>(judged: &'a [Judged<'_>], offers: &[&OfferId]) -> Vec<&'a str> {
    let all = || judged.iter().map(|j| j.candidate);
    let named = |id: &&OfferId| all().find(|c| c.offer == *id).map(|c| c.name);
    offers.iter().filter_map(named).collect()
}

/// Why a purchase that would do was not chosen.
fn behind(situation: &Situation<'_>, shown: &Shown<'_>, at: usize) -> String {
    let own = &shown.judged[at];
    match (shown.chosen, situation.aim) {
        (None, _) => texts::not_worth_it(situation, own.value),
        (Some(chosen), Aim::Value) => {
            let ahead = shown
                .actions
                .of_judged(at)
                .map(|other| shown.actions.ahead(chosen, other));
            texts::worth_behind(
                situation,
                &names(shown.judged, shown.actions.offers(chosen)),
                shown.actions.value(chosen) - own.value,
                ahead.unwrap_or(0.5),
            )
        }
        (Some(_), Aim::Capability) => match shown.single() {
            None => String::new(),
            Some(best) => {
                let best = &shown.judged[best];
                let (_, criterion) = best.score.compare(&own.score);
                texts::behind(
                    situation,
                    best.candidate,
                    criterion,
                    &best.score,
                    &own.score,
                )
            }
        },
    }
}

/// What rules a part out, each capability once with its largest shortfall over the setups.
fn worst_limits(fit: &Fit) -> Vec<&Limit> {
    let mut worst: BTreeMap<Capability, &Limit> = BTreeMap::new();
    for limit in fit.limits.iter().filter(|l| l.rules_out) {
        let kept = worst.entry(limit.capability).or_insert(limit);
        if limit.short_by > kept.short_by {
            *kept = limit;
        }
    }
    worst.into_values().collect()
}

/// Parts told one by one among the reasons against a candidate.
const MOST_TOLD: usize = 20;

/// Every reason against a candidate, with what is short.
fn nos(situation: &Situation<'_>, j: &Judged<'_>) -> (Vec<String>, Vec<Shortfall>) {
    let mut reasons = Vec::new();
    let mut shortfalls = Vec::new();
    let missed = j.candidate.missed(situation.wishes);
    // Of very many the first few are told, and how many more there are.
    let told = missed.len().min(MOST_TOLD);
    let more = missed.len() - told;
    for (part, fit) in missed.into_iter().take(told) {
        for limit in worst_limits(fit) {
            reasons.push(texts::part_does_not_fit(situation, part, limit));
            shortfalls.push(Shortfall {
                of: texts::capability(limit.capability),
                short_by: limit.short_by,
                unit: limit.capability.unit(),
            });
        }
        if fit.limits.iter().all(|l| !l.rules_out) {
            reasons.push(texts::part_no_reason(part));
        }
    }
    if more > 0 {
        reasons.push(texts::more_do_not_fit(more));
    }
    for limit in j.candidate.site.reasons.iter().filter(|r| r.rules_out) {
        reasons.push(texts::does_not_go_in(situation, limit));
        shortfalls.push(Shortfall {
            of: limit.what.to_owned(),
            short_by: limit.short_by,
            unit: limit.unit,
        });
    }
    let wishes = situation.wishes;
    if j.candidate
        .is_doubtful(situation, |at| wishes[at].must_make)
    {
        let share = j.candidate.does_share(wishes);
        reasons.push(texts::too_doubtful(situation, share));
    }
    if let Some(hours) = j.candidate.hours_short {
        reasons.push(texts::hours_short(hours));
        shortfalls.push(Shortfall {
            of: "hours".to_owned(),
            short_by: hours.to_h(),
            unit: "h",
        });
    }
    if !j.candidate.keeps_budget(situation.keep_chance) {
        let extra: Money = j.candidate.extra_budget(situation.keep_chance);
        reasons.push(texts::over_budget(
            situation,
            j.candidate.all_in.over_budget_chance,
            extra,
        ));
        shortfalls.push(Shortfall {
            of: "budget".to_owned(),
            short_by: extra.to_amount(),
            unit: "money",
        });
    }
    if situation.aim == Aim::Value && j.candidate.worth.is_none() && reasons.is_empty() {
        // Where some part has a price, only what is proven to be worse is left without a value.
        let priced = situation
            .wishes
            .iter()
            .any(|w| w.outside_per_year.is_some());
        let why = if priced {
            texts::NOT_BETTER
        } else {
            texts::NO_OUTSIDE_PRICE
        };
        reasons.push(why.to_owned());
    }
    (reasons, shortfalls)
}

pub(super) fn ask_first(situation: &Situation<'_>, shown: &Shown<'_>) -> Vec<AskFirst> {
    let mut seen = BTreeSet::new();
    let before = |at: usize| match situation.aim {
        Aim::Capability => shown.single().is_none_or(|best| at < best),
        Aim::Value => {
            let best = shown.chosen.map_or(0.0, |best| shown.actions.value(best));
            shown.judged[at].value > best
        }
    };
    shown
        .judged
        .iter()
        .enumerate()
        .filter(|(_, j)| j.status == Status::AskFirst && seen.insert(j.candidate.offer))
        .map(|(at, j)| AskFirst {
            offer: j.candidate.offer.clone(),
            options: j.candidate.options.to_vec(),
            with: Vec::new(),
            questions: questions::inputs(j.candidate, situation),
            would_be_best: before(at),
            does_chance: j
                .candidate
                .is_doubtful(situation, |at| situation.wishes[at].must_make)
                .then(|| j.candidate.does_share(situation.wishes)),
        })
        .collect()
}
