//! Does the floor carry it? One foot on a slab on ground, and a machine on its feet. A screen: joists,
//! soft ground and wide cracks go to an engineer.

mod westergaard;

pub use westergaard::{Slab, Stresses, elasticity, modulus_of_rupture};

use super::Room;
use super::answer::{SiteAnswer, SiteAsk, SiteLimit};
use super::texts;
use crate::entered::{Cracks, FloorKind};
use crate::machine::{Field, Machine};
use serde::Serialize;
use units::{Area, Force, GRAVITY_M_S2, Length, Mass, Stress, SubgradeModulus};

/// Concrete nobody tested: the least strength house codes accept for a slab, 2,500 psi (from memory).
pub const LEAST_STRENGTH: Stress = Stress::psi(2500.0);
/// Subgrade nobody tested: the lowest used in the published examples, 50 pci (ACI 360 wheel case).
pub const LEAST_SUBGRADE: SubgradeModulus = SubgradeModulus::pci(50.0);
/// Modulus of rupture over allowed stress. The published examples use 1.4 (posts) and 2 (wheels); a
/// slab whose making nobody watched takes the larger.
pub const SAFETY_FACTOR: f64 = 2.0;
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
/// Machines stand neither on thinner nor on thicker slabs than these when a flip is looked for.
const THICKNESS_SEARCH: [Length; 2] = [Length::mm(25.0), Length::mm(1000.0)];

/// One foot on a slab.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Foot {
    /// What it carries.
    pub load: Mass,
    /// Area it stands on.
    pub area: Area,
}

/// What is known of the slab.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Concrete {
    /// Thickness.
    pub thickness: Length,
    /// Compressive strength.
    pub strength: Stress,
    /// Subgrade.
    pub subgrade: SubgradeModulus,
    /// Modulus of rupture over allowed stress.
    pub safety: f64,
}

/// One foot's stresses against the allowed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FootCheck {
    /// Stresses by place.
    pub stress: Stresses,
    /// Allowed.
    pub allowed: Stress,
    /// Pressure under the foot itself; `None` under a point.
    pub pressure: Option<Stress>,
}

impl FootCheck {
    /// Carried wherever the foot stands.
    pub fn anywhere(&self) -> bool {
        self.stress.worst() <= self.allowed
    }

    /// Carried away from edges, joints and corners.
    pub fn inside(&self) -> bool {
        self.stress.interior <= self.allowed
    }
}

impl Concrete {
    /// Checks one foot.
    pub fn check(&self, foot: Foot) -> FootCheck {
        let slab = Slab {
            thickness: self.thickness,
            elasticity: elasticity(self.strength),
            subgrade: self.subgrade,
        };
        let force = Force::n(foot.load.to_kg() * GRAVITY_M_S2);
        FootCheck {
            stress: slab.stresses(force, foot.area),
            allowed: modulus_of_rupture(self.strength) / self.safety,
            pressure: (foot.area > Area::ZERO)
                .then(|| Stress::n_per_mm2(force.to_n() / foot.area.to_mm2())),
        }
    }

    /// Least thickness that carries a foot inside the slab, or none up to a metre.
    pub fn thickness_for(&self, foot: Foot) -> Option<Length> {
        let holds = |thickness: Length| Self { thickness, ..*self }.check(foot).inside();
        let [mut low, mut high] = THICKNESS_SEARCH;
        if !holds(high) {
            return None;
        }
        // Stress falls with thickness, so halving finds the flip; to a tenth of a millimetre.
        while (high - low).to_mm() > 0.1 {
            let middle = (low + high) * 0.5;
            if holds(middle) {
                high = middle
            } else {
                low = middle
            }
        }
        Some(high)
    }

    /// Largest load of a foot of an area that is carried inside the slab: stress is in proportion.
    pub fn load_for(&self, area: Area) -> Mass {
        let one = self.check(Foot {
            load: Mass::kg(1.0),
            area,
        });
        Mass::kg(one.allowed / one.stress.interior)
    }
}

/// Does the floor carry the machine?
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Carries {
    /// By every number, with the feet at their worst.
    Yes,
    /// Turns on something nobody stated.
    #[default]
    CannotSay,
    /// Not even with the weight evenly spread over the feet.
    No,
    /// Not for a screen: a structural engineer's.
    Engineer,
}

/// The floor compared.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Floor {
    /// Verdict.
    pub carries: Carries,
    /// What it stands on, as stated.
    pub kind: Option<FloorKind>,
    /// Load of one foot, evenly spread.
    pub foot_even: Option<Mass>,
    /// Load of the most loaded foot: by the drawing, or the even split doubled.
    pub foot_worst: Option<Mass>,
    /// Area of one foot, where stated; a point otherwise.
    pub foot_area_mm2: Option<f64>,
    /// Stress under the most loaded foot.
    pub stress_mpa: Option<Stresses>,
    /// Allowed stress.
    pub allowed_mpa: Option<Stress>,
    /// Thickness that would carry the most loaded foot away from edges.
    pub thickness_needed: Option<Length>,
    /// Distance from edges and open joints to keep: the slab's radius of stiffness.
    pub keep_from_edges: Option<Length>,
    /// What was taken for want of a statement.
    pub assumed: Vec<String>,
    /// Where the formulas come from.
    pub source: &'static str,
    /// What it must not be taken for.
    pub caution: &'static str,
}

/// Where the formulas come from.
pub const SOURCE: &str = "Westergaard's interior, edge and corner stresses (NPTEL Transportation Engineering lecture 29; Ioannides et al. 1985), allowed 9 sqrt(fc) over the safety factor (ACI 360R-10)";

/// Checks a machine on the room's floor.
pub(super) fn check(machine: &Machine, room: &Room, answer: &mut SiteAnswer) -> Floor {
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
    let concrete = |thickness| Concrete {
        thickness,
        strength: facts.concrete_strength.unwrap_or(LEAST_STRENGTH),
        subgrade: facts.subgrade.unwrap_or(LEAST_SUBGRADE),
        safety: SAFETY_FACTOR,
    };
    assumed(room, &mut floor.assumed);
    floor.thickness_needed = floor.foot_worst.and_then(|load| {
        concrete(Length::mm(100.0)).thickness_for(Foot {
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
    let concrete = concrete(thickness);
    floor.keep_from_edges = Some(
        Slab {
            thickness,
            elasticity: elasticity(concrete.strength),
            subgrade: concrete.subgrade,
        }
        .stiffness_radius(),
    );
    let most = concrete.load_for(feet.area);
    let Some((even, worst)) = floor.foot_even.zip(floor.foot_worst) else {
        // Weight is asked for by the way in too; here with the value at which it flips.
        let flips = feet.weight_for(most).to_kg();
        answer.ask(ask_machine(machine, Field::weight, Some(flips), "kg"));
        return floor;
    };
    let check = concrete.check(Foot {
        load: worst,
        area: feet.area,
    });
    floor.stress_mpa = Some(check.stress);
    floor.allowed_mpa = Some(check.allowed);
    let even_check = concrete.check(Foot {
        load: even,
        area: feet.area,
    });
    floor.carries = if check.inside() {
        Carries::Yes
    } else if even_check.inside() && feet.load.is_none() {
        answer.ask(ask_machine(
            machine,
            Field::foot_load,
            Some(most.to_kg()),
            "kg",
        ));
        Carries::CannotSay
    } else if !feet.area_stated {
        let side = side_for(&concrete, if feet.load.is_some() { worst } else { even });
        answer.ask(SiteAsk {
            at_least: true,
            ..ask_machine(machine, Field::foot_size, side.map(Length::to_mm), "mm")
        });
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

/// Joists, soft ground and broken slabs are no matter for a formula.
fn for_engineer(room: &Room) -> Option<&'static str> {
    match (room.facts.words.floor?, room.facts.words.cracks) {
        (FloorKind::Joists, _) => Some(texts::ASK_ENGINEER_JOISTS),
        (FloorKind::SoftGround, _) => Some(texts::ASK_ENGINEER_SOFT),
        (FloorKind::Slab, Some(Cracks::Wide)) => Some(texts::ASK_ENGINEER_CRACKS),
        (FloorKind::Slab, _) => None,
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
