//! A machine on its feet on the room's floor.

use super::{
    Carries, Concrete, Floor, Foot, SAFETY_FACTOR, SOURCE, Slab, elasticity, pad_side, soil,
};
use crate::entered::{Cracks, FloorKind};
use crate::machine::{Field, Machine};
use crate::site::answer::{SiteAnswer, SiteAsk, SiteLimit};
use crate::site::{Room, texts};
use units::{Area, Length, Mass, Stress};

/// A foot nobody measured counts as a point: Westergaard's special theory keeps its stress finite,
/// and no real foot gives more.
const LEAST_FOOT: Area = Area::ZERO;
/// Side of a foot for judging what is close: 44 square inches for four bare feet (builders' forum,
/// bonnevilleamerica.com, a 2,500 lb mill).
const USUAL_SIDE: Length = Length::inch(3.3);
/// A rigid body on three or four points may stand on two: each then carries half (Navy manual, for
/// the legs of a lift). An even split over n feet is thus at most doubled.
const UNEVEN: f64 = 2.0;
/// Feet of a machine whose drawing nobody has seen. Common practice, no source.
const USUAL_FEET: f64 = 4.0;

/// Checks a machine on the room's floor.
pub(in crate::site) fn check(machine: &Machine, room: &Room, answer: &mut SiteAnswer) -> Floor {
    let facts = &room.facts;
    let p = &machine.properties;
    let mut floor = Floor {
        kind: facts.words.floor,
        source: SOURCE,
        caution: texts::FLOOR_CAUTION,
        ..Floor::default()
    };
    if let Some(engineer) = for_engineer(room) {
        floor.carries = Carries::Engineer;
        floor.assumed.extend(for_the_engineer(room, machine));
        answer.ask(ask("site/floor", engineer, None, "", true));
        return floor;
    }
    let weight = p.weight.stated();
    let feet = Feet::of(machine, &mut floor.assumed);
    floor.foot_area_mm2 = feet.area_stated.then(|| feet.area.to_mm2());
    if let Some(weight) = weight {
        floor.foot_even = Some(feet.even(weight));
        floor.foot_worst = Some(feet.worst(weight));
    }
    let ends = |thickness| {
        let (strength, subgrade) = (facts.concrete_strength, facts.subgrade);
        Concrete::worst_and_best(thickness, strength, subgrade, SAFETY_FACTOR)
    };
    assumed(room, &mut floor.assumed);
    floor.thickness_needed = floor.foot_worst.and_then(|load| {
        ends(Length::mm(100.0))[0].thickness_for(Foot {
            load,
            area: feet.area,
        })
    });
    let Some(thickness) = facts.slab_thickness.filter(|_| facts.words.floor.is_some()) else {
        let question = if facts.words.floor.is_none() {
            texts::ASK_FLOOR
        } else {
            texts::ASK_SLAB
        };
        let flips = floor.thickness_needed.map(Length::to_mm);
        answer.ask(ask("site/slab_thickness", question, flips, "mm", true));
        return floor;
    };
    let [poor, good] = ends(thickness);
    floor.keep_from_edges = Some(
        Slab {
            thickness,
            elasticity: elasticity(poor.strength),
            subgrade: poor.subgrade,
        }
        .stiffness_radius(),
    );
    let Some((even, worst)) = floor.foot_even.zip(floor.foot_worst) else {
        // Weight is asked for by the way in too; here with the value at which it flips.
        let flips = feet.weight_for(poor.load_for(feet.area)).to_kg();
        answer.ask(ask_machine(machine, Field::weight, Some(flips), "kg"));
        return floor;
    };
    let area = feet.area;
    let check = poor.check(Foot { load: worst, area });
    floor.stress_mpa = Some(check.stress);
    floor.allowed_mpa = Some(check.allowed);
    let sure_load = if feet.load.is_some() { worst } else { even };
    let carried_at_best = good
        .check(Foot {
            load: sure_load,
            area,
        })
        .inside();
    floor.carries = if check.inside() {
        Carries::Yes
    } else if carried_at_best || !feet.area_stated {
        ask_what_flips(machine, room, &feet, &poor, [even, worst], answer);
        Carries::CannotSay
    } else {
        answer.reasons.push(SiteLimit {
            what: "floor",
            short_by: floor
                .thickness_needed
                .map_or(0.0, |needed| (needed - thickness).to_mm()),
            unit: "mm",
            mend: texts::FLOOR.to_owned(),
            rules_out: true,
        });
        Carries::No
    };
    floor
}

/// Asks what nobody stated of feet, concrete and ground, each with the value at which it alone makes
/// a yes of it, the others at their worst.
fn ask_what_flips(
    machine: &Machine,
    room: &Room,
    feet: &Feet,
    poor: &Concrete,
    [even, worst]: [Mass; 2],
    answer: &mut SiteAnswer,
) {
    let area = feet.area;
    let foot = Foot { load: worst, area };
    let most = poor.load_for(area);
    let load_helps = feet.load.is_none() && even <= most;
    if load_helps {
        answer.ask(ask_machine(
            machine,
            Field::foot_load,
            Some(most.to_kg()),
            "kg",
        ));
    }
    if !feet.area_stated && !load_helps {
        let load = if feet.load.is_some() { worst } else { even };
        answer.ask(SiteAsk {
            at_least: true,
            ..ask_machine(
                machine,
                Field::foot_size,
                side_for(poor, load).map(Length::to_mm),
                "mm",
            )
        });
    }
    if room.facts.concrete_strength.is_none() {
        let flips = poor.strength_for(foot).map(Stress::to_mpa);
        answer.ask(ask(
            "site/concrete_strength",
            texts::ASK_STRENGTH,
            flips,
            "MPa",
            true,
        ));
    }
    if room.facts.subgrade.is_none()
        && let Some(flips) = poor.subgrade_for(foot)
    {
        let flips = Some(flips.to_mpa_m());
        answer.ask(ask(
            "site/subgrade",
            texts::ASK_SUBGRADE,
            flips,
            "MPa/m",
            true,
        ));
    }
}

/// Joists, soft ground and broken slabs are no matter for a formula.
fn for_engineer(room: &Room) -> Option<&'static str> {
    match (room.facts.words.floor?, room.facts.words.cracks) {
        (FloorKind::Joists, _) => Some(texts::ASK_ENGINEER_JOISTS),
        (FloorKind::SoftGround, _) => Some(texts::ASK_ENGINEER_SOFT),
        (FloorKind::Slab, Some(Cracks::Wide)) => Some(texts::ASK_ENGINEER_CRACKS),
        (FloorKind::Slab, _) => None,
    }
}

/// What to take to the engineer: usual designs of elevated floors, or the pad soft ground wants.
fn for_the_engineer(room: &Room, machine: &Machine) -> Option<String> {
    match room.facts.words.floor? {
        FloorKind::Joists => Some(texts::ELEVATED.to_owned()),
        FloorKind::SoftGround => {
            let weight = machine.properties.weight.stated()?;
            let side = pad_side(weight, soil::UNKNOWN.pressure);
            Some(texts::pad_on_soil(side, soil::UNKNOWN.name))
        }
        FloorKind::Slab => None,
    }
}

fn assumed(room: &Room, list: &mut Vec<String>) {
    if room.facts.concrete_strength.is_none() {
        list.push(texts::ASSUMED_STRENGTH.to_owned());
    }
    if room.facts.subgrade.is_none() {
        list.push(texts::ASSUMED_SUBGRADE.to_owned());
    }
}

/// How a machine stands.
struct Feet {
    count: f64,
    area: Area,
    area_stated: bool,
    load: Option<Mass>,
    spacing: Option<Length>,
    /// Share of the weight on the more loaded row of feet, front or back.
    row_share: Option<f64>,
}

/// Share of the more loaded of two rows of feet by the lever rule: the rows lie `spacing` apart and
/// centred on a depth, the centre of gravity `gravity` from its front. Closer rows make the share
/// larger, so the spacing of the two closest feet errs to the safe side.
fn row_share(gravity: Length, depth: Length, spacing: Length) -> f64 {
    let off = (gravity - depth * 0.5).abs() / spacing;
    (0.5 + off).min(1.0)
}

impl Feet {
    fn of(machine: &Machine, list: &mut Vec<String>) -> Self {
        let p = &machine.properties;
        let count = p.foot_count.stated().map(units::Quantity::base);
        let size = p.foot_size.stated();
        let load = p.foot_load.stated();
        let spacing = p.foot_spacing.stated();
        let row_share = p
            .gravity_from_front
            .stated()
            .zip(p.width.stated())
            .zip(spacing.filter(|s| *s > Length::ZERO))
            .map(|((gravity, depth), spacing)| row_share(gravity, depth, spacing));
        if load.is_none() {
            list.push(texts::ASSUMED_FEET.to_owned());
            if row_share.is_some() {
                list.push(texts::ASSUMED_LEVER.to_owned());
            }
        }
        if size.is_none() {
            list.push(texts::ASSUMED_FOOT_SIZE.to_owned());
        }
        Self {
            count: count.unwrap_or(USUAL_FEET).max(1.0),
            area: size.map_or(LEAST_FOOT, |s| s * s),
            area_stated: size.is_some(),
            load,
            spacing,
            row_share,
        }
    }

    /// Feet of a group that stand so close that they press on the same ground: two within three
    /// foot widths. Common practice, no source.
    fn together(&self) -> f64 {
        let side = self.area.to_mm2().sqrt().max(USUAL_SIDE.to_mm());
        match self.spacing {
            Some(spacing) if spacing.to_mm() < 3.0 * side => 2.0,
            _ => 1.0,
        }
    }

    fn even(&self, weight: Mass) -> Mass {
        weight / self.count * self.together()
    }

    fn worst(&self, weight: Mass) -> Mass {
        let split = weight * self.worst_share();
        self.load.unwrap_or(split).max(weight / self.count) * self.together()
    }

    /// Share of the weight on the most loaded foot where no drawing says it: the even share of its
    /// row, doubled. On four feet the two that a rigid body may stand on then balance it exactly.
    fn worst_share(&self) -> f64 {
        let row = self.row_share.unwrap_or(0.5);
        (UNEVEN * 2.0 * row / self.count).min(1.0)
    }

    /// Weight whose worst foot carries `most`.
    fn weight_for(&self, most: Mass) -> Mass {
        most / (self.worst_share() * self.together())
    }
}

/// Side of a square foot or plate under which a load is carried.
fn side_for(concrete: &Concrete, load: Mass) -> Option<Length> {
    let holds = |side: Length| {
        concrete
            .check(Foot {
                load,
                area: side * side,
            })
            .inside()
    };
    // Plates beyond a metre no longer act as one foot.
    (5..=100)
        .map(|step| Length::mm(10.0 * f64::from(step)))
        .find(|side| holds(*side))
}

fn ask(
    input: &str,
    question: &str,
    flips_at: Option<f64>,
    unit: &'static str,
    at_least: bool,
) -> SiteAsk {
    SiteAsk {
        input: input.to_owned(),
        question: question.to_owned(),
        flips_at,
        unit,
        at_least,
        likely: None,
    }
}

fn ask_machine(
    machine: &Machine,
    field: Field,
    flips_at: Option<f64>,
    unit: &'static str,
) -> SiteAsk {
    ask(
        &format!("offers/{}/{}", machine.offer, field.key()),
        field.ask(),
        flips_at,
        unit,
        false,
    )
}
