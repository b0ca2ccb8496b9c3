//! Very many fits of one machine as few: those that say the same are told once, at their hardest. What
//! is kept does not grow with the parts, but for four bytes each.

use super::{Asked, Capability, Fit, Verdict};
use std::collections::BTreeMap;

/// What makes two fits say the same: the verdict, the clampings, what rules out, what is asked, and
/// after an empty name what is taken for granted.
type Kind = (Verdict, u32, u32, Vec<Capability>, Vec<&'static str>);

fn kind(fit: &Fit) -> Kind {
    let mut short: Vec<Capability> = ruled_out(fit).collect();
    short.sort();
    short.dedup();
    let mut asked: Vec<&'static str> = fit.ask.iter().map(|a| a.about.key()).collect();
    asked.sort_unstable();
    asked.push("");
    asked.extend(fit.assumed.iter().map(|a| a.field.key()));
    (fit.verdict, fit.setups, fit.clampings, short, asked)
}

/// What rules a part out.
fn ruled_out(fit: &Fit) -> impl Iterator<Item = Capability> {
    let out = fit.limits.iter().filter(|l| l.rules_out);
    out.map(|l| l.capability)
}

/// The fits of one machine, one a part, told once for each kind: with the least margins of travel and
/// height, the largest shortfall that rules out, and the hardest value of each question. The part named
/// is the first of its kind.
pub fn gathered(fits: Vec<Fit>) -> Vec<Fit> {
    let mut kinds: BTreeMap<Kind, Fit> = BTreeMap::new();
    for (at, mut fit) in fits.into_iter().enumerate() {
        let at = at as u32;
        fit.setups_on = Vec::new();
        fit.limits.retain(|l| l.rules_out);
        fit.margins.retain(|m| m.capability <= Capability::NoseLow);
        match kinds.entry(kind(&fit)) {
            std::collections::btree_map::Entry::Vacant(slot) => {
                fit.stands_for = vec![at];
                slot.insert(fit);
            }
            std::collections::btree_map::Entry::Occupied(slot) => {
                let kept = slot.into_mut();
                kept.stands_for.push(at);
                harden(kept, fit);
            }
        }
    }
    let mut all: Vec<Fit> = kinds.into_values().collect();
    all.sort_by_key(|f| f.stands_for.first().copied());
    for fit in &mut all {
        fit.stands_for.shrink_to_fit();
    }
    all
}

/// Takes the harder of two fits of a kind, number by number.
fn harden(kept: &mut Fit, other: Fit) {
    kept.hand_changes = kept.hand_changes.max(other.hand_changes);
    kept.tools = kept.tools.max(other.tools);
    for margin in other.margins {
        match kept
            .margins
            .iter_mut()
            .find(|m| m.capability == margin.capability)
        {
            Some(own) => own.value = own.value.min(margin.value),
            None => kept.margins.push(margin),
        }
    }
    for limit in other.limits {
        match kept
            .limits
            .iter_mut()
            .find(|l| l.capability == limit.capability)
        {
            Some(own) if limit.short_by > own.short_by => *own = limit,
            Some(_) => {}
            None => kept.limits.push(limit),
        }
    }
    for assumed in other.assumed {
        let own = kept.assumed.iter_mut().find(|a| a.field == assumed.field);
        match own {
            Some(own) => own.harden(&assumed),
            None => kept.assumed.push(assumed),
        }
    }
    for ask in other.ask {
        let same: &dyn Fn(&Asked) -> bool = &|about| *about == ask.about;
        if let Some(own) = kept.ask.iter_mut().find(|a| same(&a.about)) {
            let harder = if ask.at_least {
                ask.flips_at > own.flips_at
            } else {
                ask.flips_at < own.flips_at
            };
            if own.likely != ask.likely {
                own.likely = None;
            }
            if harder {
                own.flips_at = ask.flips_at;
            }
        }
    }
}
