//! Standing on a floor plan: places for all at once, and an order in which each comes in while those
//! before it stand.

use super::{Matter, Member, Placed, SiteVerdict};
use crate::entered::{Block, Plan};
use crate::site::answer::SiteAsk;
use crate::site::on_plan::{footprint_of, load_of, to_place, way_of};
use crate::site::route::ComesIn;
use crate::site::stand::{Place, Several, several};
use crate::site::texts;
use units::{Area, Cancelled, Length, Watch};

const SOURCE: &str = "the room each wants as for one machine (stated, else common practice; NFPA 70 110.26 before a cabinet), and no machine in the room another wants; places in steps over the spots, at right angles to their edges";

/// What a plan says of their places.
#[derive(Clone, Debug, PartialEq)]
pub struct Places {
    /// The comparison.
    pub matter: Matter,
    /// Places in the order they are brought in, where all find one.
    pub places: Vec<Placed>,
    /// What must be asked.
    pub ask: Vec<SiteAsk>,
}

/// Finds places and an order. Depends on sizes, weights, voltages and what comes off the machines, on
/// nothing else of them.
pub fn places(members: &[Member<'_>], plan: &Plan, watch: Watch<'_>) -> Result<Places, Cancelled> {
    let sides = super::sides(members);
    let Some(sides) = sides.filter(|_| !plan.spots.is_empty()) else {
        // The questions of each alone name what is missing.
        return Ok(open(
            texts::ASK_PLAN_SPOT.to_owned(),
            texts::NO_PLACES_YET.to_owned(),
        ));
    };
    let footprints: Vec<_> = members
        .iter()
        .zip(&sides)
        .map(|(m, sides)| footprint_of(plan, m.machine, *sides))
        .collect();
    Ok(match several(plan, &footprints, watch)? {
        Several::TooLarge([wanted, there]) => {
            let areas = [wanted, there].map(|mm2| Area::mm2(mm2).to_m2());
            let mut out = settled(SiteVerdict::No, texts::spots_too_small(areas));
            (out.matter.need, out.matter.have) = (Some(areas[0]), Some(areas[1]));
            out
        }
        Several::NotFound => {
            let step = Several::step(plan);
            open(texts::ASK_SPOTS_FOR_ALL.to_owned(), texts::no_places(step))
        }
        Several::Tight(places) => {
            let tight = tightest(members, &places);
            let question = texts::ask_room_for_all(tight.as_deref().unwrap_or_default());
            open(question, texts::tight_places(tight.as_deref()))
        }
        Several::Stand(places) => bring_in(members, &sides, plan, &places, watch)?,
    })
}

fn settled(verdict: SiteVerdict, said: String) -> Places {
    Places {
        matter: Matter {
            what: "standing",
            verdict,
            need: None,
            have: None,
            unit: "m2",
            said,
            source: SOURCE,
            caution: texts::LIFTING_CAUTION,
        },
        places: Vec::new(),
        ask: Vec::new(),
    }
}

fn open(question: String, said: String) -> Places {
    Places {
        ask: vec![SiteAsk {
            input: "site/plan/together".to_owned(),
            question,
            flips_at: None,
            unit: "mm",
            at_least: true,
            likely: None,
        }],
        ..settled(SiteVerdict::CannotSay, said)
    }
}

/// The side at which most is short.
fn tightest(members: &[Member<'_>], places: &[Place]) -> Option<String> {
    let spaces = members.iter().zip(places).flat_map(|(member, place)| {
        let own = place.spaces.iter().filter(|s| s.name != "electrical");
        own.map(move |space| (member, space))
    });
    spaces
        .max_by(|a, b| {
            let short = |s: &crate::site::stand::Space| s.wanted_mm - s.there_mm;
            short(a.1).total_cmp(&short(b.1))
        })
        .map(|(member, space)| texts::room_short(&member.machine.offer, space))
}

/// Looks for an order in which every machine comes to its place past those already standing.
fn bring_in(
    members: &[Member<'_>],
    sides: &[[Length; 2]],
    plan: &Plan,
    places: &[Place],
    watch: Watch<'_>,
) -> Result<Places, Cancelled> {
    let own_room = members.iter().zip(places).flat_map(|(member, place)| {
        place.ask.iter().map(|open| SiteAsk {
            input: format!("offers/{}/{}", member.machine.offer, open.what),
            question: open.question.clone(),
            flips_at: Some(open.there_mm),
            unit: "mm",
            at_least: false,
            likely: None,
        })
    });
    let ask: Vec<SiteAsk> = own_room.collect();
    for order in orders(members.len()) {
        if !all_come_in(members, sides, plan, places, &order, watch)? {
            continue;
        }
        let verdict = if ask.is_empty() {
            SiteVerdict::Yes
        } else {
            SiteVerdict::CannotSay
        };
        let placed = order.iter().map(|at| Placed {
            offer: members[*at].machine.offer.clone(),
            spot: places[*at].spot.clone(),
            pose: places[*at].pose,
            footprint: places[*at].footprint.clone(),
            remarks: places[*at].remarks.clone(),
        });
        let first = &members[order[0]].machine.offer;
        return Ok(Places {
            places: placed.collect(),
            ..settled(verdict, texts::places_found(first, !ask.is_empty()))
        }
        .asking(ask));
    }
    Ok(open(
        texts::ASK_WAY_PAST.to_owned(),
        texts::NO_WAY_PAST.to_owned(),
    )
    .asking(ask))
}

impl Places {
    fn asking(mut self, more: Vec<SiteAsk>) -> Self {
        self.ask.extend(more);
        self
    }
}

/// True when in this order each comes to its place while those before it stand at theirs.
fn all_come_in(
    members: &[Member<'_>],
    sides: &[[Length; 2]],
    plan: &Plan,
    places: &[Place],
    order: &[usize],
    watch: Watch<'_>,
) -> Result<bool, Cancelled> {
    let mut standing = plan.clone();
    for at in order.iter().copied() {
        let Some(aim) = to_place(&standing, &places[at]) else {
            return Ok(false);
        };
        let load = load_of(plan, members[at].machine, sides[at]);
        // Only what is taken apart for the way in alone is taken apart here.
        let taken_apart = |m: &Member<'_>| {
            let way = m.alone.way.as_ref();
            way.is_some_and(|w| w.with_works().is_some())
        };
        let comes = |helps| -> Result<bool, Cancelled> {
            let off = members[at].comes_off;
            let way = way_of(&standing, &aim, &load, off, helps, watch)?;
            Ok(way.comes_in == ComesIn::Yes || way.with_works().is_some())
        };
        let comes_in = comes(false)? || taken_apart(&members[at]) && comes(true)?;
        if !comes_in {
            return Ok(false);
        }
        standing.blocks.push(Block {
            name: members[at].machine.offer.0.clone(),
            outline: places[at].footprint.iter().map(|c| (*c).into()).collect(),
            movable: false,
        });
    }
    Ok(true)
}

/// Every order of a few; of many, the one given and its reverse.
fn orders(count: usize) -> Vec<Vec<usize>> {
    if count > 3 {
        return vec![(0..count).collect(), (0..count).rev().collect()];
    }
    let mut all: Vec<Vec<usize>> = vec![Vec::new()];
    for _ in 0..count {
        all = all
            .into_iter()
            .flat_map(|order| {
                let next = (0..count)
                    .filter(|at| !order.contains(at))
                    .collect::<Vec<_>>();
                next.into_iter().map(move |at| {
                    let mut longer = order.clone();
                    longer.push(at);
                    longer
                })
            })
            .collect();
    }
    all
}
