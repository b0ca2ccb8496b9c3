//! Machines on a floor plan: the way in and the place to stand instead of the bare boxes of a
//! narrowest door and a spot.

use super::answer::{SiteAnswer, SiteAsk, SiteLimit};
use super::route::{
    ComesIn, ComesOff, Effort, Fineness, Help, Load, StepKind, WayIn, is_convex, way_in,
};
use super::stand::{Footprint, Place, Stands, stand};
use super::works::taking_apart;
use super::{SiteVerdict, UsdRate, texts};
use crate::entered::{Plan, Spot};
use crate::machine::{Dismantling, Field, Known, Machine};
use glam::DVec2;
use rayon::prelude::*;
use std::collections::BTreeMap;
use units::{Cancelled, Length, Mass, System, Voltage, Watch};

/// Kept on every side on the way in: 50 mm in a doorway, both sides together, as for bare boxes.
/// Common practice, no source.
const CLEARANCE: Length = Length::mm(25.0);
/// Boxes of poses in a study, where every offer asks; `firstchip route` looks closer.
const CELL_MM: f64 = 20.0;

/// How near to the best place the way must end; the rest is done with bars on the spot. Common
/// practice, no source.
const PLACE_SLACK_MM: f64 = 100.0;

/// What the plan itself answers, so that the boxes of the room are not asked for.
const BY_BOXES: [&str; 5] = [
    "door_width",
    "door_height",
    "ceiling",
    "spot",
    "service_area",
];

/// Way in and place of one machine.
#[derive(Clone, Debug, PartialEq)]
pub struct OnPlan {
    /// Way in; `None` when length or width are not stated.
    pub way: Option<WayIn>,
    /// The load it was asked for.
    pub load: Option<Load>,
    /// Place; likewise.
    pub place: Option<Place>,
}

/// The numbers of a machine that the plan is asked about, as bits so that they order, and what comes
/// off it.
pub type PlanKey = ([u64; 6], String);

/// Answers for every machine of a study, each asked once.
#[derive(Clone, Debug, Default)]
pub struct PlanAnswers(BTreeMap<PlanKey, OnPlan>);

/// What tells machines apart on a plan.
pub fn key(machine: &Machine, comes_off: &[Dismantling]) -> PlanKey {
    let p = &machine.properties;
    let bits = |n: Option<f64>| n.unwrap_or(f64::NAN).to_bits();
    let numbers = [
        bits(p.length.stated().map(Length::to_mm)),
        bits(p.width.stated().map(Length::to_mm)),
        bits(p.height.stated().map(Length::to_mm)),
        bits(p.height_moving.stated().map(Length::to_mm)),
        bits(p.weight.stated().map(Mass::to_kg)),
        bits(p.supply_volts.stated().map(Voltage::to_v)),
    ];
    (numbers, format!("{comes_off:?}"))
}

impl PlanAnswers {
    /// Answers for machines, each with what comes off it; those `known` of the same plan are taken
    /// from there.
    pub fn of<'a>(
        plan: &Plan,
        machines: impl Iterator<Item = (&'a Machine, &'a [Dismantling])>,
        known: &Self,
        watch: Watch<'_>,
    ) -> Result<Self, Cancelled> {
        let different: BTreeMap<PlanKey, (&Machine, &[Dismantling])> =
            machines.map(|(m, off)| (key(m, off), (m, off))).collect();
        let answers = different
            .into_par_iter()
            .map(|(key, (machine, off))| match known.0.get(&key) {
                Some(answer) => Ok((key, answer.clone())),
                None => Ok((key, on_plan(plan, machine, off, watch)?)),
            })
            .collect::<Result<BTreeMap<_, _>, Cancelled>>()?;
        Ok(Self(answers))
    }

    /// Puts the answer for a machine in the place of what bare boxes said, with works at a rate and
    /// the place told in a reader's units.
    pub fn apply(
        &self,
        machine: &Machine,
        comes_off: &[Dismantling],
        (usd, system): (UsdRate, System),
        answer: &mut SiteAnswer,
    ) {
        let Some(found) = self.0.get(&key(machine, comes_off)) else {
            return;
        };
        answer.reasons.retain(|r| !BY_BOXES.contains(&r.what));
        answer.ask.retain(|a| {
            !BY_BOXES
                .iter()
                .any(|what| a.input == format!("site/{what}"))
        });
        if let Some(way) = &found.way {
            judge_way(machine, way, usd, answer);
        }
        let place = found.place.clone().map(|place| place.told_in(system));
        if let Some(place) = &place {
            judge_place(machine, place, answer);
        }
        answer.way = found.way.clone();
        answer.load = found.load.clone();
        answer.place = place;
        answer.goes_in = if answer.reasons.iter().any(|r| r.rules_out) {
            SiteVerdict::No
        } else if answer.ask.is_empty() {
            SiteVerdict::Yes
        } else {
            SiteVerdict::CannotSay
        };
    }
}

fn on_plan(
    plan: &Plan,
    machine: &Machine,
    comes_off: &[Dismantling],
    watch: Watch<'_>,
) -> Result<OnPlan, Cancelled> {
    let p = &machine.properties;
    let (Some(length), Some(width)) = (p.length.stated(), p.width.stated()) else {
        return Ok(OnPlan {
            way: None,
            load: None,
            place: None,
        });
    };
    let footprint = footprint_of(plan, machine, [length, width]);
    let place = (!plan.spots.is_empty())
        .then(|| stand(plan, &footprint, watch))
        .transpose()?;
    let load = load_of(plan, machine, [length, width]);
    // To the best place first; where no way leads there, to anywhere in the spots; and only for a
    // load that does not pass the search for the one that does, and for what would help.
    let mut way = None;
    if let Some(aim) = place.as_ref().and_then(|p| to_place(plan, p)) {
        way = Some(way_of(plan, &aim, &load, comes_off, false, watch)?);
    }
    for helps in [false, true] {
        if way.as_ref().is_none_or(|w| w.comes_in != ComesIn::Yes) {
            way = Some(way_of(plan, plan, &load, comes_off, helps, watch)?);
        }
    }
    Ok(OnPlan {
        way,
        load: Some(load),
        place,
    })
}

/// The machine as it is placed.
pub(super) fn footprint_of(
    plan: &Plan,
    machine: &Machine,
    [length, width]: [Length; 2],
) -> Footprint {
    let p = &machine.properties;
    Footprint {
        length,
        width,
        height: p.height.stated(),
        // North American supplies of up to 240 V are at most 150 V to ground (from memory); for
        // others the stricter depth stands.
        to_ground: p
            .supply_volts
            .stated()
            .map(|v| Voltage::v(if v.to_v() <= 250.0 { 120.0 } else { 277.0 })),
        clearances: plan.clearances,
    }
}

/// The machine as it is moved.
pub(super) fn load_of(plan: &Plan, machine: &Machine, [length, width]: [Length; 2]) -> Load {
    let p = &machine.properties;
    Load {
        length,
        width,
        height: p.height_moving.stated().or(p.height.stated()),
        weight: p.weight.stated(),
        carrier: plan.carrier,
        clearance: CLEARANCE,
    }
}

/// A way on a plan whose spots are what is aimed at.
pub(super) fn way_of(
    plan: &Plan,
    aim: &Plan,
    load: &Load,
    comes_off: &[Dismantling],
    helps: bool,
    watch: Watch<'_>,
) -> Result<WayIn, Cancelled> {
    // Frames of doors come off for every machine; parts stated below the plan perhaps.
    let (frames, parts): (Vec<_>, Vec<_>) = plan
        .dismantling
        .iter()
        .cloned()
        .partition(|o| o.door.is_some());
    let surely: Vec<Dismantling> = comes_off.iter().cloned().chain(frames).collect();
    let off = ComesOff {
        surely: &surely,
        perhaps: &parts,
    };
    let effort = Effort {
        fineness: Fineness { cell_mm: CELL_MM },
        largest: helps,
        helps,
        within: 0.02,
    };
    way_in(aim, load, &off, &effort, watch)
}

/// The plan with the place of the machine, a little widened, for its only spot.
pub(super) fn to_place(plan: &Plan, place: &Place) -> Option<Plan> {
    let [front_left, _, back_right, _] = place.footprint[..] else {
        return None;
    };
    let middle = DVec2::from(front_left).midpoint(DVec2::from(back_right));
    let outline: Vec<DVec2> = place
        .footprint
        .iter()
        .map(|corner| {
            let out = DVec2::from(*corner) - middle;
            DVec2::from(*corner)
                + PLACE_SLACK_MM * std::f64::consts::SQRT_2 * out.normalize_or_zero()
        })
        .collect();
    is_convex(&outline).then(|| Plan {
        spots: vec![Spot {
            name: place.spot.clone(),
            outline,
        }],
        ..plan.clone()
    })
}

fn judge_way(machine: &Machine, way: &WayIn, usd: UsdRate, answer: &mut SiteAnswer) {
    if way.comes_in == ComesIn::Yes {
        return;
    }
    let sticks = way.sticks.as_ref();
    let short_by = sticks.and_then(|s| s.short_by_mm);
    let reason = |rules_out| SiteLimit {
        what: "route",
        short_by: short_by.unwrap_or_default(),
        unit: "mm",
        mend: texts::route_mend(way),
        rules_out,
    };
    if let Some(help) = way.with_works() {
        answer.reasons.push(reason(false));
        answer.works.push(taking_apart(help, way.comes_in, usd));
        return;
    }
    let in_height = sticks.is_some_and(|s| s.in_height);
    let moving = machine.properties.height_moving;
    match way.comes_in {
        ComesIn::Yes => {}
        // A machine too tall with Z up may pass with Z down or the head off.
        ComesIn::No if in_height && !matches!(moving, Known::Yes(_)) => {
            let height = machine.properties.height.stated().map(Length::to_mm);
            answer.ask(SiteAsk {
                input: format!("offers/{}/{}", machine.offer, Field::height_moving.key()),
                question: Field::height_moving.ask().to_owned(),
                flips_at: height.zip(short_by).map(|(height, short)| height - short),
                unit: "mm",
                at_least: false,
                likely: None,
            });
        }
        ComesIn::No => {
            let open: Vec<&Help> = way.helps.iter().filter(|h| !h.ask.is_empty()).collect();
            answer.reasons.push(reason(open.is_empty()));
            for help in open {
                ask_for_help(machine, help, answer);
            }
        }
        ComesIn::CannotSay => {
            let questions = if way.ask.is_empty() {
                vec![texts::ASK_NARROWEST.to_owned()]
            } else {
                way.ask.clone()
            };
            for (n, question) in questions.into_iter().enumerate() {
                answer.ask(SiteAsk {
                    input: format!("site/plan/{n}"),
                    question,
                    flips_at: None,
                    unit: "mm",
                    at_least: true,
                    likely: None,
                });
            }
        }
    }
}

/// Asks what stands between a help and a yes, with the width at which it flips.
fn ask_for_help(machine: &Machine, help: &Help, answer: &mut SiteAnswer) {
    let of_door = help.steps.iter().all(|s| s.kind == StepKind::FrameOff);
    for question in &help.ask {
        let input = if of_door {
            format!("site/plan/{}", help.what)
        } else {
            format!("offers/{}/{}", machine.offer, help.what)
        };
        answer.ask(SiteAsk {
            input,
            question: question.clone(),
            flips_at: help.flips_mm.map(|[_, width]| width),
            unit: "mm",
            at_least: of_door,
            likely: None,
        });
    }
}

fn judge_place(machine: &Machine, place: &Place, answer: &mut SiteAnswer) {
    match place.stands {
        Stands::Yes => {
            for ask in &place.ask {
                answer.ask(SiteAsk {
                    input: format!("offers/{}/{}", machine.offer, ask.what),
                    question: ask.question.clone(),
                    flips_at: Some(ask.there_mm),
                    unit: "mm",
                    at_least: false,
                    likely: None,
                });
            }
            for space in &place.spaces {
                let short_by = space.wanted_mm - space.there_mm;
                if short_by > 1.0 {
                    answer.reasons.push(SiteLimit {
                        what: "standing_room",
                        short_by,
                        unit: "mm",
                        mend: texts::standing_mend(space),
                        rules_out: false,
                    });
                }
            }
        }
        Stands::No => answer.reasons.push(SiteLimit {
            what: "place",
            short_by: place.above_mm.map_or(0.0, |left| (-left).max(0.0)),
            unit: "mm",
            mend: texts::SPOT.to_owned(),
            rules_out: true,
        }),
        Stands::CannotSay => answer.ask(SiteAsk {
            input: "site/plan/spot".to_owned(),
            question: texts::ASK_SPOT_CLOSER.to_owned(),
            flips_at: None,
            unit: "mm",
            at_least: true,
            likely: None,
        }),
    }
}
