//! The table and what stands around it: footprint, overhang, column, door, slots, load; and the
//! accuracy a part asks for.

use super::budget::budget;
use super::practice::share;
use super::tally::{Tally, short};
use super::{Capability, Practice};
use crate::cutting::Materials;
use crate::demand::{Demand, Holding};
use crate::machine::{Field, Machine};
use crate::texts;
use units::{Length, Mass, Time};

/// Part footprint against the table. Standing over is mended by a sub-plate; where a shifted part
/// has its middle beyond the table's edge it is propped up as well.
pub(super) fn footprint(
    extent: [Length; 2],
    clampings: [u32; 2],
    machine: &Machine,
    practice: &Practice,
    tally: &mut Tally,
) {
    let p = &machine.properties;
    for (at, axis, capability, table) in [
        (0, 'X', Capability::TableX, p.table_x),
        (1, 'Y', Capability::TableY, p.table_y),
    ] {
        let Some(table) = table.stated() else {
            continue;
        };
        let side = extent[at];
        let margin = (table - side).to_mm();
        tally.margin(capability, margin);
        if !short(margin) {
            continue;
        }
        // Shifted for n clampings its middle lies up to (n - 1) / 2n of its length off the table's.
        let n = f64::from(clampings[at]);
        let off = side * ((n - 1.0) / (2.0 * n));
        let tips = off > 0.5 * table;
        let (mend, costs) = if tips {
            (texts::prop_up(axis), practice.mends.prop * n)
        } else {
            (texts::overhang(axis), Time::ZERO)
        };
        tally.limit(capability, -margin, mend, Some(costs), false);
    }
}

/// Any enclosed mill's door lets work of this width through (common practice, no source).
const ANY_DOOR: Length = Length::mm(300.0);

/// The machine's own door: what is too heavy to be carried in at will goes in flat, its shorter
/// side first.
pub(super) fn door(
    footprint: [Length; 2],
    demand: &Demand,
    machine: &Machine,
    practice: &Practice,
    tally: &mut Tally,
) {
    let need = footprint[0].min(footprint[1]);
    if demand.stock_mass <= practice.carried_stock || need <= ANY_DOOR {
        return;
    }
    let known = machine.properties.door_width;
    match known.stated() {
        Some(door) => {
            let margin = (door - need).to_mm();
            tally.margin(Capability::Door, margin);
            if short(margin) {
                tally.limit(
                    Capability::Door,
                    -margin,
                    texts::door_too_narrow(),
                    Some(share(practice.mends.outside, demand)),
                    true,
                );
            }
        }
        None => tally.ask(Field::door_width, known, need, true),
    }
}

/// Reach of a strap clamp from its bolt to where it presses (common practice, no source).
const CLAMP_REACH: Length = Length::mm(50.0);

/// T-slots against what holds the work, as far as they are stated: their width against the bolts, their
/// number and spacing against where bolts must stand. None of it rules a part out: a sub-plate bolted
/// down has its own holes.
pub(super) fn slots(on: SlotsOf<'_>, machine: &Machine, practice: &Practice, tally: &mut Tally) {
    widths(on.demand, machine, practice, tally);
    let p = &machine.properties;
    let count = p.slot_count.stated().map(|n| n.to_number());
    for (setup, &size_y) in on.demand.setups.iter().zip(on.sizes_y) {
        // A vise or a chuck is bolted down at two ends of one slot or across two; clamps on the work
        // itself stand on two sides of it, so in two slots.
        let (bolts, across) = match setup.holding {
            Holding::Vise => (1.0, None),
            Holding::Chuck => (2.0, None),
            Holding::Plate => (2.0, Some(size_y + 2.0 * CLAMP_REACH)),
        };
        let few = count.filter(|n| *n < bolts);
        let wide = across
            .zip(p.slot_spacing.stated())
            .map(|(across, spacing)| spacing - across)
            .filter(|by| short(-by.to_mm()));
        if let Some(by) = few.map(|_| size_y).or(wide) {
            tally.margin(Capability::Slots, -by.to_mm());
            tally.limit(
                Capability::Slots,
                by.to_mm(),
                texts::few_slots(few.is_some()),
                Some(share(practice.mends.other_holding, on.demand)),
                false,
            );
        }
    }
}

/// What is held on a table's slots.
#[derive(Clone, Copy)]
pub(super) struct SlotsOf<'a> {
    pub demand: &'a Demand,
    /// Depth along Y of each setup as it lies.
    pub sizes_y: &'a [Length],
}

/// 16 mm studs ask for 18 mm slots, 12 mm for 14 mm (ISO 299, from memory). Narrower ones take thinner
/// bolts and a lighter vise.
fn widths(demand: &Demand, machine: &Machine, practice: &Practice, tally: &mut Tally) {
    let Some(slot) = machine.properties.slot_width.stated() else {
        return;
    };
    let holds = |h: Holding| demand.setups.iter().any(|s| s.holding == h);
    let need = if holds(Holding::Vise) || holds(Holding::Chuck) {
        Length::mm(14.0)
    } else {
        Length::mm(10.0)
    };
    let margin = (slot - need).to_mm();
    tally.margin(Capability::Slots, margin);
    if short(margin) {
        tally.limit(
            Capability::Slots,
            -margin,
            texts::narrow_slots(),
            Some(share(practice.mends.other_holding, demand)),
            false,
        );
    }
}

/// Stock and holding against the permitted load.
pub(super) fn load(demand: &Demand, machine: &Machine, practice: &Practice, tally: &mut Tally) {
    let holding = demand
        .setups
        .iter()
        .map(|s| practice.mass(s.holding))
        .fold(Mass::ZERO, Mass::max);
    let need = demand.stock_mass + holding;
    let light = demand.stock_mass <= practice.light_stock;
    match machine.properties.table_load.stated() {
        Some(load) => {
            let margin = (load - need).to_kg();
            tally.margin(Capability::TableLoad, margin);
            if margin < 0.0 {
                let (mend, costs) = if light {
                    (texts::lighter_holding(), practice.mends.clamps)
                } else if demand.stock_mass <= load {
                    (
                        texts::without_vise(demand.stock_mass, holding),
                        practice.mends.clamps,
                    )
                } else {
                    (
                        texts::table_overloaded(demand.stock_mass, holding),
                        share(practice.mends.outside, demand),
                    )
                };
                tally.limit(Capability::TableLoad, -margin, mend, Some(costs), !light);
            }
        }
        None if light => {}
        None => tally.ask(Field::table_load, machine.properties.table_load, need, true),
    }
}

/// Stated accuracy against what the error budget leaves for it: a worse one rules the machine out,
/// however coarse the tolerance. One that is not stated is asked for, unless any machine on offer
/// would hold the tolerance, or none. No machine positions better than it repeats (ISO 230-2: the
/// accuracy spans the repeatability at every place), so that alone may say no.
pub(super) fn accuracy(
    demand: &Demand,
    machine: &Machine,
    materials: &Materials,
    practice: &Practice,
    further: u32,
    tally: &mut Tally,
) {
    let errors = &practice.errors;
    let Some(budget) = budget(demand, materials, machine, errors, further) else {
        return;
    };
    let need = budget.at_best;
    let [best, worst] = errors.machines;
    let known = machine.properties.positioning_accuracy;
    let short_of = |have: Length, tally: &mut Tally| {
        let mend = if budget.re_clamping > Length::ZERO {
            texts::one_clamping()
        } else {
            texts::too_coarse()
        };
        let (by, costs) = ((have - need).to_mm(), practice.mends.measure);
        tally.limit(Capability::Accuracy, by, mend, Some(costs), true);
    };
    let short = |have: Length| (need - have).to_mm() < -1.0e-9;
    let repeats = machine.properties.repeatability.stated();
    match known.stated() {
        Some(stated) => {
            tally.margin(Capability::Accuracy, (need - stated).to_mm());
            if short(stated) {
                short_of(stated, tally);
            } else if stated > budget.positioning {
                // Holds only with care.
                tally.limit(
                    Capability::Accuracy,
                    (stated - budget.positioning).to_mm(),
                    texts::with_care(),
                    Some(practice.mends.measure),
                    false,
                );
            }
        }
        None if need < best || repeats.is_some_and(short) => {
            let have = repeats.unwrap_or(best).max(best);
            tally.margin(Capability::Accuracy, (need - have).to_mm());
            short_of(have, tally);
        }
        None if need >= worst => {}
        None => tally.ask(Field::positioning_accuracy, known, need, false),
    }
}
