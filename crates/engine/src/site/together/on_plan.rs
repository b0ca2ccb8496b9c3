//! Standing on a floor plan: places for all at once, and an order in which each comes in while those
//! before it stand.

use super::{Matter, Member, Placed, SiteVerdict, texts};
use crate::entered::{Block, Plan};
use crate::site::answer::SiteAsk;
use crate::site::on_plan::{footprint_of, load_of, to_place, way_of};
use crate::site::route::{ComesIn, Load, WayIn};
use crate::site::stand::{Place, Several, several};
use crate::site::texts::{ASK_PLAN_SPOT, LIFTING_CAUTION};
use units::{Area, Cancelled, Length, System, Watch};

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
/// nothing else of them; its texts are in `system`.
pub fn places(
    members: &[Member<'_>],
    plan: &Plan,
    system: System,
    watch: Watch<'_>,
) -> Result<Places, Cancelled> {
    let sides = super::sides(members);
    let Some(sides) = sides.filter(|_| !plan.spots.is_empty()) else {
        // The questions of each alone name what is missing.
        return Ok(open(
            ASK_PLAN_SPOT.to_owned(),
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
            let areas = [wanted, there].map(Area::mm2);
            let mut out = settled(SiteVerdict::No, texts::spots_too_small(areas, system));
            let [wanted, there] = areas.map(|area| Some(area.to_m2()));
            (out.matter.need, out.matter.have) = (wanted, there);
            out
        }
        Several::NotFound => {
            let step = Several::step(plan);
            open(
                texts::ASK_SPOTS_FOR_ALL.to_owned(),
                texts::no_places(step, system),
            )
        }
        Several::Tight(places) => {
            let tight = tightest(members, &places, system);
            let question = texts::ask_room_for_all(tight.as_deref().unwrap_or_default());
            open(question, texts::tight_places(tight.as_deref()))
        }
        Several::Stand(places) => {
            let told = places.into_iter().map(|place| place.told_in(system));
            bring_in(members, &sides, plan, &told.collect::<Vec<_>>(), watch)?
        }
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
            caution: LIFTING_CAUTION,
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
fn tightest(members: &[Member<'_>], places: &[Place], system: System) -> Option<String> {
    let spaces = members.iter().zip(places).flat_map(|(member, place)| {
        let own = place.spaces.iter().filter(|s| s.name != "electrical");
        own.map(move |space| (member, space))
    });
    spaces
        .max_by(|a, b| {
            let short = |s: &crate::site::stand::Space| s.wanted_mm - s.there_mm;
            short(a.1).total_cmp(&short(b.1))
        })
        .map(|(member, space)| texts::room_short(&member.machine.offer, space, system))
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
        let Some(ways) = all_come_in(members, sides, plan, places, &order, watch)? else {
            continue;
        };
        let verdict = if ask.is_empty() {
            SiteVerdict::Yes
        } else {
            SiteVerdict::CannotSay
        };
        let placed = order.iter().zip(ways).map(|(at, comes)| Placed {
            offer: members[*at].machine.offer.clone(),
            place: places[*at].clone(),
            comes,
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

/// The load and way of each in this order while those before it stand at their places; `None` where
/// one does not come in so.
fn all_come_in(
    members: &[Member<'_>],
    sides: &[[Length; 2]],
    plan: &Plan,
    places: &[Place],
    order: &[usize],
    watch: Watch<'_>,
) -> Result<Option<Vec<(Load, WayIn)>>, Cancelled> {
    let mut ways = Vec::new();
    let mut standing = plan.clone();
    for at in order.iter().copied() {
        let Some(aim) = to_place(&standing, &places[at]) else {
            return Ok(None);
        };
        let load = load_of(plan, members[at].machine, sides[at]);
        // Only what is taken apart for the way in alone is taken apart here.
        let taken_apart = |m: &Member<'_>| {
            let way = m.alone.way.as_ref();
            way.is_some_and(|w| w.with_works().is_some())
        };
        let comes = |helps| -> Result<Option<WayIn>, Cancelled> {
            let off = members[at].comes_off;
            let way = way_of(&standing, &aim, &load, off, helps, watch)?;
            let comes_in = way.comes_in == ComesIn::Yes || way.with_works().is_some();
            Ok(comes_in.then_some(way))
        };
        let mut way = comes(false)?;
        if way.is_none() && taken_apart(&members[at]) {
            way = comes(true)?;
        }
        let Some(way) = way else {
            return Ok(None);
        };
        ways.push((load, way));
        standing.blocks.push(Block {
            name: members[at].machine.offer.0.clone(),
            outline: places[at].footprint.iter().map(|c| (*c).into()).collect(),
            movable: false,
        });
    }
    Ok(Some(ways))
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
