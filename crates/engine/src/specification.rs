//! What a machine must have to make all the parts: every capability with the part that drives it.
//! Need is what does with a second clamping, a riser or a slower cut; comfort is without.

mod beside;
mod classes;

pub use classes::{ClassPicture, ClassShort, ClassWhy, class_picture};

use crate::cutting::{EFFICIENCY, Limits, Materials, best_cut_within, least_drilling_torque};
use crate::cycle::changes_per_piece;
use crate::demand::{Demand, TaskKind};
use crate::fit::{
    Capability, MOST_ALONG_X, MOST_ALONG_Y, Practice, StackUp, budget, distinct_tools,
    least_travel, lowest_stack, stack_up, tool_centre_travel,
};
use crate::ids::{OfferId, PartId};
use crate::machine::{Known, Machine, Properties};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use units::{Length, Mass, Power, Quantity, Rpm, Time, Torque};

/// One line of the specification, in the capability's base unit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Requirement {
    /// Which capability.
    pub capability: Capability,
    /// Without this, some part cannot be made.
    pub need: f64,
    /// With this, none needs a second clamping, a slower cut or a change by hand.
    pub comfort: f64,
    /// Unit of both.
    pub unit: &'static str,
    /// True when less is better: the lowest nose, accuracy.
    pub at_most: bool,
    /// Part that drives the need.
    pub driver: PartId,
    /// Part that drives the comfort.
    pub comfort_driver: PartId,
    /// The need when the driver is dropped or made outside; `None` when no other part asks.
    pub need_without_driver: Option<f64>,
    /// The comfort when its driver is dropped or made outside.
    pub comfort_without_driver: Option<f64>,
    /// True when only wishes drive it, or when less of it only costs time.
    pub want: bool,
    /// Hours a year of standing by that its lack costs, where that is the reason for it (pockets).
    pub hours_per_year: Option<Time>,
}

/// Tools from which a changer is a want: past four or five, changing by hand is what an operator
/// does all day (common practice, no source).
const TOOLS_BY_HAND: usize = 5;
/// Power a cut may be lessened to before it is no longer worth making: a tenth of the usual one
/// (common practice, no source).
const LEAST_SHARE: f64 = 0.1;

/// Need and comfort one part puts on a capability.
struct Asked {
    need: f64,
    comfort: f64,
    at_most: bool,
    /// Less of it costs time only.
    soft: bool,
}

/// What one part asks for.
struct Asks<'a> {
    demand: &'a Demand,
    of: Vec<(Capability, Asked)>,
}

/// The specification all parts together ask for, in the order of [`Capability`]. Wishes count only
/// where no other part asks for the capability more: then the line is marked as a want.
pub fn specify(demands: &[Demand], materials: &Materials, practice: &Practice) -> Vec<Requirement> {
    // Parts that must be made first, so that a wish never takes their line.
    let mut order: Vec<&Demand> = demands.iter().collect();
    order.sort_by_key(|d| d.want);
    let asks: Vec<Asks<'_>> = order
        .into_iter()
        .map(|demand| Asks {
            demand,
            of: of_part(demand, materials, practice),
        })
        .collect();
    let mut lines = lines(&asks, None);
    let drivers: BTreeSet<PartId> = lines
        .values()
        .flat_map(|l| [l.driver.clone(), l.comfort_driver.clone()])
        .collect();
    // What is asked for when a driver is dropped: the smaller machine that then becomes possible.
    for driver in drivers {
        let without = self::lines(&asks, Some(&driver));
        for line in lines.values_mut() {
            let left = without.get(&line.capability);
            if line.driver == driver {
                line.need_without_driver = left.map(|l| l.need);
            }
            if line.comfort_driver == driver {
                line.comfort_without_driver = left.map(|l| l.comfort);
            }
        }
    }
    if let Some(line) = lines.get_mut(&Capability::Pockets) {
        let hand_change = practice.habits.hand_change;
        let changes: f64 = demands
            .iter()
            .map(|d| changes_per_piece(d, |_| 1) * d.per_year.to_number().max(0.0))
            .sum();
        line.hours_per_year = Some(hand_change * changes);
    }
    lines.into_values().collect()
}

fn lines(asks: &[Asks<'_>], dropped: Option<&PartId>) -> BTreeMap<Capability, Requirement> {
    let mut lines: BTreeMap<Capability, Requirement> = BTreeMap::new();
    let wishes: BTreeSet<&PartId> = asks
        .iter()
        .filter(|a| a.demand.want)
        .map(|a| &a.demand.part)
        .collect();
    for Asks { demand, of } in asks.iter().filter(|a| Some(&a.demand.part) != dropped) {
        for (capability, asked) in of {
            let capability = *capability;
            let worse = |new: f64, old: f64| {
                if asked.at_most { new < old } else { new > old }
            };
            match lines.get_mut(&capability) {
                None => {
                    lines.insert(
                        capability,
                        Requirement {
                            capability,
                            need: asked.need,
                            comfort: asked.comfort,
                            unit: capability.unit(),
                            at_most: asked.at_most,
                            driver: demand.part.clone(),
                            comfort_driver: demand.part.clone(),
                            need_without_driver: None,
                            comfort_without_driver: None,
                            want: demand.want || asked.soft,
                            hours_per_year: None,
                        },
                    );
                }
                Some(line) => {
                    // A wish raises the comfort, never the need of what must be made.
                    let counts = !demand.want || wishes.contains(&line.driver);
                    if counts && worse(asked.need, line.need) {
                        line.need = asked.need;
                        line.driver = demand.part.clone();
                    }
                    line.want = line.want && (demand.want || asked.soft);
                    let most = if demand.want {
                        // Making the wish at all is comfort enough.
                        asked.need
                    } else {
                        asked.comfort
                    };
                    if worse(most, line.comfort) {
                        line.comfort = most;
                        line.comfort_driver = demand.part.clone();
                    }
                }
            }
        }
    }
    lines
}

/// A machine that limits nothing, to read off what the usual cuts take.
fn ample() -> Machine {
    Machine {
        offer: OfferId::new(""),
        properties: Properties {
            spindle_power: Known::Yes(Power::kw(1.0e6)),
            spindle_torque: Known::Yes(Torque::nm(1.0e6)),
            spindle_rpm_max: Known::Yes(Rpm::rpm(1.0e6)),
            ..Properties::default()
        },
        taper: None,
        taper_default: None,
    }
}

fn of_part(
    demand: &Demand,
    materials: &Materials,
    practice: &Practice,
) -> Vec<(Capability, Asked)> {
    let mut asked: BTreeMap<Capability, Asked> = BTreeMap::new();
    let mut put = |capability, need: f64, comfort: f64, at_most: bool, soft: bool| {
        let a = asked.entry(capability).or_insert(Asked {
            need,
            comfort,
            at_most,
            soft,
        });
        a.soft &= soft;
        let worst = if at_most { f64::min } else { f64::max };
        a.need = worst(a.need, need);
        a.comfort = worst(a.comfort, comfort);
    };
    let machine = ample();
    let (gauge, shortest) = (practice.gauge(&machine), practice.shortest_gauge(&machine));
    for setup in &demand.setups {
        // The longer way along X, as any mill's X is its longer axis.
        let [a, b] = tool_centre_travel(setup);
        let (x, y) = (a.max(b), a.min(b));
        // The need of each axis is for a machine that is short along that axis only.
        let travel = [
            (Capability::TravelX, x, MOST_ALONG_X),
            (Capability::TravelY, y, MOST_ALONG_Y),
        ];
        for (capability, need, most) in travel {
            let again = least_travel(need, most, practice.overlap).min(need);
            put(capability, again.to_mm(), need.to_mm(), false, false);
        }
        // Need in the lowest work holding with the shortest holders there are, comfort in the usual one
        // with the longest usual ones.
        let short = lowest_stack(setup, &machine, practice, shortest);
        let long = stack_up(setup, &machine, practice, gauge);
        let z = |s: &StackUp| (s.nose_high_need - s.nose_low_need).to_mm();
        put(Capability::TravelZ, z(&short), z(&long), false, false);
        put(
            Capability::NoseHigh,
            short.nose_high_need.to_mm(),
            long.nose_high_need.to_mm(),
            false,
            false,
        );
        // A higher nose asks for a riser; comfort is without.
        put(
            Capability::NoseLow,
            long.nose_low_need.to_mm(),
            stack_up(setup, &machine, practice, shortest)
                .nose_low_need
                .to_mm(),
            true,
            true,
        );
        let [ex, ey, _] = setup.extent;
        put(Capability::TableX, 0.0, ex.max(ey).to_mm(), false, true);
        put(Capability::TableY, 0.0, ex.min(ey).to_mm(), false, true);
        let load = demand.stock_mass + practice.mass(setup.holding);
        let need = if demand.stock_mass <= practice.light_stock {
            demand.stock_mass
        } else {
            load
        };
        put(
            Capability::TableLoad,
            Mass::to_kg(need),
            load.to_kg(),
            false,
            false,
        );
    }
    let limits = Limits::of(&machine);
    if let Some((material, limits)) = materials.0.get(&demand.material).zip(limits) {
        for task in demand.tasks() {
            let Ok(cut) = best_cut_within(task, material, &limits) else {
                continue;
            };
            let power = cut.power.base() / EFFICIENCY;
            let torque = cut.torque.base() / EFFICIENCY;
            // A weak spindle takes a stated pass in several, so it costs time, never the part.
            put(Capability::Power, power * LEAST_SHARE, power, false, true);
            // But a deep hole that is only drilled is not made without its torque, however slowly.
            let least = least_drilling_torque(task, material).base() / EFFICIENCY;
            let need = (torque * LEAST_SHARE).max(least);
            put(Capability::Torque, need, torque, false, least <= 0.0);
            // A tool may turn at half its speed and only take longer; taps ask for none.
            if task.kind != TaskKind::Tap {
                let rpm = cut.rpm.to_rpm();
                put(Capability::SpindleSpeed, 0.0, rpm, false, true);
            }
        }
    }
    for (capability, comfort) in beside::of_part(demand) {
        put(capability, 0.0, comfort, false, true);
    }
    let tools = distinct_tools(demand);
    if tools.len() >= TOOLS_BY_HAND {
        put(Capability::Pockets, 0.0, tools.len() as f64, false, true);
    }
    for tool in &tools {
        let length = |gauge: Length| (gauge + practice.stick_out(tool.reach)).to_mm();
        put(
            Capability::ToolLength,
            length(shortest),
            length(gauge),
            false,
            true,
        );
    }
    // Re-clamping eats into the tolerance, so a machine that needs it must position more finely;
    // what is needed is without.
    let left = budget(demand, materials, &machine, &practice.errors, 0);
    if let Some(left) = left.filter(|b| b.at_best < practice.errors.machines[1]) {
        let (need, comfort) = (left.at_best.to_mm(), left.positioning.to_mm());
        put(Capability::Accuracy, need, comfort, true, false);
    }
    asked.into_iter().collect()
}
