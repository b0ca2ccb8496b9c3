//! Why the chosen one, why not each other, and what to ask first.

use super::candidate::Situation;
use super::decision::{Alternative, AskFirst, Chances, Judged, Shortfall, Status, npv};
use super::{questions, texts};
use crate::entered::Aim;
use crate::fit::{Capability, Fit, Limit};
use std::collections::{BTreeMap, BTreeSet};
use units::Money;

pub(super) fn why(
    situation: &Situation<'_>,
    judged: &[Judged<'_>],
    chosen: Option<usize>,
    chances: &Chances,
) -> Vec<String> {
    let mut why = Vec::new();
    let Some(at) = chosen else {
        why.push(texts::none(
            situation,
            judged.len(),
            judged.iter().any(|j| j.status == Status::AskFirst),
            judged.iter().all(|j| j.candidate.worth.is_none()),
        ));
        return why;
    };
    let best = &judged[at];
    why.push(texts::chosen(situation, best.candidate, &best.score));
    why.push(texts::kept(
        situation,
        best.candidate,
        chances.of_offer(judged, best.candidate.offer),
    ));
    if let Some(next) = judged[at + 1..]
        .iter()
        .find(|j| j.status == Status::WouldDo && j.candidate.offer != best.candidate.offer)
    {
        why.push(match situation.aim {
            Aim::Capability => {
                let (_, criterion) = best.score.compare(&next.score);
                texts::before(
                    situation,
                    next.candidate,
                    criterion,
                    &best.score,
                    &next.score,
                )
            }
            Aim::Value => texts::worth_before(situation, next.candidate, npv(best) - npv(next)),
        });
    }
    why
}

pub(super) fn alternatives(
    situation: &Situation<'_>,
    judged: &[Judged<'_>],
    chosen: Option<usize>,
    chances: &Chances,
) -> Vec<Alternative> {
    let chosen_offer = chosen.map(|at| judged[at].candidate.offer);
    // Of an offer's option sets the one that came furthest speaks for it.
    let mut others: Vec<&Judged<'_>> = judged
        .iter()
        .filter(|j| Some(j.candidate.offer) != chosen_offer)
        .collect();
    others.sort_by_key(|j| j.status);
    let mut seen = BTreeSet::new();
    others.retain(|j| seen.insert(j.candidate.offer));
    others
        .into_iter()
        .map(|j| {
            let (mut reasons, shortfalls) = nos(situation, j);
            if j.status == Status::WouldDo {
                reasons.push(match (chosen, situation.aim) {
                    (Some(best), Aim::Capability) => {
                        let best = &judged[best];
                        let (_, criterion) = best.score.compare(&j.score);
                        texts::behind(situation, best.candidate, criterion, &best.score, &j.score)
                    }
                    (Some(best), Aim::Value) => texts::worth_behind(
                        situation,
                        judged[best].candidate,
                        npv(&judged[best]) - npv(j),
                    ),
                    (None, _) => texts::not_worth_it(situation, npv(j)),
                });
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
                chance_best: chances.of_offer(judged, j.candidate.offer),
            }
        })
        .collect()
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
    if situation.aim == Aim::Value && j.candidate.worth.is_none() {
        reasons.push(texts::NO_OUTSIDE_PRICE.to_owned());
    }
    (reasons, shortfalls)
}

pub(super) fn ask_first(
    situation: &Situation<'_>,
    judged: &[Judged<'_>],
    chosen: Option<usize>,
) -> Vec<AskFirst> {
    let mut seen = BTreeSet::new();
    judged
        .iter()
        .enumerate()
        .filter(|(_, j)| j.status == Status::AskFirst && seen.insert(j.candidate.offer))
        .map(|(at, j)| AskFirst {
            offer: j.candidate.offer.clone(),
            options: j.candidate.options.to_vec(),
            questions: questions::inputs(j.candidate, situation),
            would_be_best: chosen.is_none_or(|best| at < best),
        })
        .collect()
}
