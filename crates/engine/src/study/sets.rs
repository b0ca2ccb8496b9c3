//! Several machines of a study that stand and run at once: the exact search, with what cannot be
//! named kept out of it, and what was kept out told.

use super::Context;
use super::looked::Looked;
use crate::choice::purchase::{Bought, Found, Purchase, search_until};
use crate::entered::Plan;
use crate::money::lines::same_name;
use crate::site::together::{Member, Places, Premises, Together, but_for_places, places};
use crate::site::{Room, SiteVerdict, UsdRate, plan_key};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::sync::Arc;
use units::{Cancelled, Draw, System, Watch};

/// Several machines evaluated at most: the best by their means.
const JOINTS: usize = 8;

/// Rounds of keeping sets out of the search at most, each of them a search. Every round keeps out what
/// the plan says of all option sets of the offers it looked at.
const ROUNDS: usize = 8;

/// Sets kept out that are told at most, those that would be worth most.
const TOLD: usize = 6;

/// What a search over sets came to.
pub(super) struct Sets {
    /// Sets of several machines that may be named, the most valuable first.
    pub named: Vec<(Bought, Arc<Together>)>,
    /// Some of those kept out.
    pub others: Vec<(Bought, Arc<Together>)>,
    /// Worth of the best found that may be named, a single machine among them; without end below
    /// where there is none.
    pub best: f64,
    /// Nothing that may be named is worth more.
    pub most: f64,
    /// False where the best takes works that are in no worth of the search.
    pub as_searched: bool,
    /// True when the search was told to stop before its end.
    pub stopped: bool,
}

/// The best sets of the machines at some places; places in what is found are among these.
pub(super) fn sets(
    context: &Context<'_>,
    looked: &[Looked<'_>],
    of: &[usize],
    mut purchase: Purchase,
    watch: Watch<'_>,
) -> Result<Sets, Cancelled> {
    let ground = Ground::of(context, looked, of);
    let mut all = Sets {
        named: Vec::new(),
        others: Vec::new(),
        best: f64::NEG_INFINITY,
        most: f64::INFINITY,
        as_searched: true,
        stopped: false,
    };
    let mut compared: BTreeMap<Vec<usize>, Arc<Together>> = BTreeMap::new();
    for round in 0..ROUNDS {
        watch.check()?;
        let found: Found = search_until(&purchase, &[], &|| watch.enough());
        all.stopped |= found.stopped;
        // Every round keeps out more, so what the last one cannot exceed holds.
        all.most = all.most.min(found.most);
        let first = found.sets.first().map(|s| s.machines.clone());
        let single = found.sets.iter().find(|s| s.machines.len() < 2);
        let single = single.map_or(f64::NEG_INFINITY, |s| s.worth);
        let several: Vec<Bought> = found
            .sets
            .into_iter()
            .filter(|s| s.machines.len() > 1)
            .take(JOINTS)
            .collect();
        let new: Vec<&Vec<usize>> = several
            .iter()
            .map(|s| &s.machines)
            .filter(|s| !compared.contains_key(*s))
            .collect();
        let more: Vec<(Vec<usize>, Arc<Together>)> = new
            .into_par_iter()
            .map(|set| Ok((set.clone(), Arc::new(ground.together(set, watch)?))))
            .collect::<Result<_, Cancelled>>()?;
        compared.extend(more);
        let (named, out): (Vec<_>, Vec<_>) = several
            .into_iter()
            .map(|set| {
                let together = compared[&set.machines].clone();
                (set, together)
            })
            .partition(|(_, together)| together.verdict == SiteVerdict::Yes);
        all.best = named
            .first()
            .map_or(single, |(set, _)| set.worth.max(single));
        // What works cost beyond those of each alone is in no mean of the search.
        let as_searched =
            |(set, t): &(Bought, Arc<Together>)| set.worth < single || t.works.is_empty();
        all.as_searched = named.first().is_none_or(as_searched);
        let stands = first.is_none_or(|first| {
            first.len() < 2 || named.iter().any(|(set, _)| set.machines == first)
        });
        all.named = named;
        let kept_out: Vec<Vec<usize>> = out.iter().map(|(set, _)| set.machines.clone()).collect();
        let told = TOLD.saturating_sub(all.others.len());
        all.others.extend(out.into_iter().take(told));
        if stands {
            break;
        }
        if round == 0 {
            purchase.apart.extend(ground.apart(&purchase));
        }
        for set in kept_out {
            purchase.apart.extend(ground.alike(&purchase, &set, watch)?);
            purchase.apart.insert(set);
        }
    }
    Ok(all)
}

/// What sets are compared on.
struct Ground<'a> {
    context: &'a Context<'a>,
    looked: &'a [Looked<'a>],
    of: &'a [usize],
    room: Room,
    owns_compressor: bool,
}

impl<'a> Ground<'a> {
    fn of(context: &'a Context<'_>, looked: &'a [Looked<'_>], of: &'a [usize]) -> Self {
        let shop = context.inputs.shop;
        Self {
            context,
            looked,
            of,
            room: Room::resolve(context.inputs.site, Draw::Likely),
            owns_compressor: shop.owned.iter().any(|o| same_name(o, "compressor")),
        }
    }

    fn premises(&self) -> Premises<'_> {
        Premises {
            room: &self.room,
            plan: self.plan(),
            owns_compressor: self.owns_compressor,
            usd: UsdRate::of(self.context.inputs.shop),
            system: self.system(),
        }
    }

    fn system(&self) -> System {
        self.context.inputs.shop.system()
    }

    fn plan(&self) -> Option<&Plan> {
        self.context.inputs.site.plan.as_ref()
    }

    fn members(&self, set: &[usize]) -> Vec<Member<'_>> {
        let member = |place: &usize| {
            let looked = &self.looked[self.of[*place]];
            Member {
                machine: &looked.machine,
                alone: &looked.site,
                comes_off: &looked.offer.dismantling,
            }
        };
        set.iter().map(member).collect()
    }

    fn together(&self, set: &[usize], watch: Watch<'_>) -> Result<Together, Cancelled> {
        let members = self.members(set);
        let answer = but_for_places(&members, &self.premises());
        let Some(plan) = self.plan().filter(|_| answer.needs_places()) else {
            return Ok(answer);
        };
        let keys = members.iter().map(|m| {
            let offer = m.machine.offer.clone();
            (offer, plan_key(m.machine, m.comes_off))
        });
        let system = self.system();
        let key = (plan.clone(), keys.collect(), system);
        let shelf = &self.context.memo.places;
        let found = shelf.try_get(&key, || places(&members, plan, system, watch))?;
        Ok(answer.with_places(Places::clone(&found)))
    }

    /// Every pair that is out whatever its places.
    fn apart(&self, purchase: &Purchase) -> Vec<Vec<usize>> {
        let machines = &purchase.machines;
        let premises = self.premises();
        (0..machines.len())
            .into_par_iter()
            .flat_map_iter(|b| (0..b).map(move |a| [a, b]))
            .filter(|[a, b]| machines[*a].offer != machines[*b].offer)
            .filter(|pair| {
                let answer = but_for_places(&self.members(pair), &premises);
                answer.verdict != SiteVerdict::Yes
            })
            .map(Vec::from)
            .collect()
    }

    /// The same of a pair's offers with other options, places counted.
    fn alike(
        &self,
        purchase: &Purchase,
        set: &[usize],
        watch: Watch<'_>,
    ) -> Result<Vec<Vec<usize>>, Cancelled> {
        let [a, b] = set else {
            return Ok(Vec::new());
        };
        let same = |with: usize| {
            let offer = purchase.machines[with].offer;
            let of = move |m: &usize| purchase.machines[*m].offer == offer;
            (0..purchase.machines.len()).filter(of)
        };
        let pairs = same(*a).flat_map(|a| same(*b).map(move |b| vec![a.min(b), a.max(b)]));
        let mut out = Vec::new();
        for pair in pairs {
            if self.together(&pair, watch)?.verdict != SiteVerdict::Yes {
                out.push(pair);
            }
        }
        Ok(out)
    }
}
