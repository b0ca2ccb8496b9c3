//! The way in and the place to stand, by bare boxes: the machine upright, its smaller side first.

use super::answer::{SiteAnswer, SiteAsk, SiteLimit, likely_below};
use super::{Room, texts};
use crate::machine::{Field, Known, Machine};
use serde::Serialize;
use units::{LENGTH_SLACK, Length, Mass};

/// Room a rigger needs beside the machine in a doorway, both sides together, and above it on
/// skates. Common practice, no source.
const DOOR_CLEARANCE: Length = Length::mm(50.0);
/// Room above the standing machine. Common practice, no source.
const CEILING_CLEARANCE: Length = Length::mm(50.0);
/// Area doors, service and chips take, as a multiple of the footprint: 100 sq ft of machine needs
/// 300 (cost-of-ownership guide, site and purchase checks B02 and topic 10 row 20; weak source).
pub(super) const SERVICE_AREA: f64 = 3.0;

/// Margins of the way in; `None` where a number is missing.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Standing {
    /// Left in the width of the door.
    pub door_width_spare: Option<Length>,
    /// Left in the height of the door.
    pub door_height_spare: Option<Length>,
    /// Left under the ceiling.
    pub ceiling_spare: Option<Length>,
    /// Left along the spot, turned as it fits best.
    pub spot_spare: Option<Length>,
    /// Machine stands turned by 90 degrees.
    pub turned: bool,
    /// Weight to be moved.
    pub weight: Option<Mass>,
    /// Clearance asked in the door.
    pub clearance: Length,
    /// What it must not be taken for.
    pub caution: &'static str,
}

/// One comparison: a side of the machine must be at most an opening less a clearance.
struct Passage {
    what: &'static str,
    field: Field,
    side: Known<Length>,
    opening: Option<Length>,
    clearance: Length,
    question: &'static str,
    mend: &'static str,
}

impl Passage {
    fn check(&self, machine: &Machine, answer: &mut SiteAnswer) -> Option<Length> {
        match (self.side.stated(), self.opening) {
            (Some(side), Some(opening)) => {
                let spare = opening - self.clearance - side;
                if spare.to_mm() < -LENGTH_SLACK.to_mm() {
                    answer.reasons.push(SiteLimit {
                        what: self.what,
                        short_by: -spare.to_mm(),
                        unit: "mm",
                        mend: self.mend.to_owned(),
                        rules_out: true,
                    });
                }
                Some(spare)
            }
            (stated, opening) => {
                if stated.is_none() {
                    let limit = opening.map(|o| (o - self.clearance).to_mm());
                    answer.ask(ask_machine(machine, self.field, limit, self.side));
                }
                if opening.is_none() {
                    let need = self.side.stated().map(|s| (s + self.clearance).to_mm());
                    answer.ask(ask_site(self.what, self.question, need));
                }
                None
            }
        }
    }
}

fn ask_machine(
    machine: &Machine,
    field: Field,
    limit_mm: Option<f64>,
    side: Known<Length>,
) -> SiteAsk {
    SiteAsk {
        input: format!("offers/{}/{}", machine.offer, field.key()),
        question: field.ask().to_owned(),
        flips_at: limit_mm,
        unit: "mm",
        at_least: false,
        likely: limit_mm.and_then(|limit| likely_below(side, limit)),
    }
}

fn ask_site(what: &str, question: &str, need_mm: Option<f64>) -> SiteAsk {
    SiteAsk {
        input: format!("site/{what}"),
        question: question.to_owned(),
        flips_at: need_mm,
        unit: "mm",
        at_least: true,
        likely: None,
    }
}

/// The side that goes through the door: the smaller one. When only one side is stated and it
/// passes, that answers; when it does not, the other one might, so the other is asked for.
fn side_through_door(machine: &Machine, room: &Room) -> (Field, Known<Length>) {
    let p = &machine.properties;
    let passes = |side: Length| {
        room.door_width
            .is_some_and(|door| side.fits(door - DOOR_CLEARANCE))
    };
    match (p.length, p.width) {
        (Known::Yes(l), Known::Yes(w)) if l < w => (Field::length, p.length),
        (Known::Yes(l), w) if w.stated().is_none() && passes(l) => (Field::length, p.length),
        (l, Known::Yes(w)) if l.stated().is_none() && !passes(w) => (Field::length, l),
        (_, width) => (Field::width, width),
    }
}

/// The height that goes through the door: the stated height for moving; else the standing height
/// when that already passes; else the height for moving is asked for, since a machine too tall
/// with Z up may well pass with Z down or the head off.
fn height_through_door(machine: &Machine, room: &Room) -> (Field, Known<Length>) {
    let p = &machine.properties;
    let passes = |height: Length| {
        room.door_height
            .is_none_or(|door| height.fits(door - DOOR_CLEARANCE))
    };
    match (p.height_moving, p.height) {
        (Known::Yes(_), _) => (Field::height_moving, p.height_moving),
        (_, Known::Yes(standing)) if !passes(standing) => (Field::height_moving, p.height_moving),
        _ => (Field::height, p.height),
    }
}

pub(super) fn check(machine: &Machine, room: &Room, answer: &mut SiteAnswer) -> Standing {
    let p = &machine.properties;
    let (field, side) = side_through_door(machine, room);
    let mut standing = Standing {
        clearance: DOOR_CLEARANCE,
        caution: texts::LIFTING_CAUTION,
        weight: p.weight.stated(),
        ..Standing::default()
    };
    standing.door_width_spare = Passage {
        what: "door_width",
        field,
        side,
        opening: room.door_width,
        clearance: DOOR_CLEARANCE,
        question: texts::ASK_DOOR_WIDTH,
        mend: texts::DOOR_WIDTH,
    }
    .check(machine, answer);
    let (field, side) = height_through_door(machine, room);
    standing.door_height_spare = Passage {
        what: "door_height",
        field,
        side,
        opening: room.door_height,
        clearance: DOOR_CLEARANCE,
        question: texts::ASK_DOOR_HEIGHT,
        mend: texts::DOOR_HEIGHT,
    }
    .check(machine, answer);
    standing.ceiling_spare = Passage {
        what: "ceiling",
        field: Field::height,
        side: p.height,
        opening: room.ceiling,
        clearance: CEILING_CLEARANCE,
        question: texts::ASK_CEILING,
        mend: texts::CEILING,
    }
    .check(machine, answer);
    spot(machine, room, answer, &mut standing);
    if standing.weight.is_none() {
        answer.ask(SiteAsk {
            input: format!("offers/{}/{}", machine.offer, Field::weight.key()),
            question: Field::weight.ask().to_owned(),
            flips_at: None,
            unit: "kg",
            at_least: false,
            likely: None,
        });
    }
    standing
}

fn spot(machine: &Machine, room: &Room, answer: &mut SiteAnswer, standing: &mut Standing) {
    let p = &machine.properties;
    for (field, side) in [(Field::length, p.length), (Field::width, p.width)] {
        if side.stated().is_none() {
            let longest = room.spot_length.zip(room.spot_width).map(|(l, w)| l.max(w));
            answer.ask(ask_machine(
                machine,
                field,
                longest.map(Length::to_mm),
                side,
            ));
        }
    }
    let (Some(spot_length), Some(spot_width)) = (room.spot_length, room.spot_width) else {
        answer.ask(ask_site("spot", texts::ASK_SPOT, None));
        return;
    };
    let (Some(length), Some(width)) = (p.length.stated(), p.width.stated()) else {
        return;
    };
    let spare = |l: Length, w: Length| (spot_length - l).min(spot_width - w);
    let (straight, turned) = (spare(length, width), spare(width, length));
    standing.turned = turned > straight;
    let best = straight.max(turned);
    standing.spot_spare = Some(best);
    if best.to_mm() < -LENGTH_SLACK.to_mm() {
        answer.reasons.push(SiteLimit {
            what: "spot",
            short_by: -best.to_mm(),
            unit: "mm",
            mend: texts::SPOT.to_owned(),
            rules_out: true,
        });
    }
    let short = SERVICE_AREA * (length * width).to_m2() - (spot_length * spot_width).to_m2();
    if short > 0.0 {
        answer.reasons.push(SiteLimit {
            what: "service_area",
            short_by: short,
            unit: "m2",
            mend: texts::SERVICE.to_owned(),
            rules_out: false,
        });
    }
}
