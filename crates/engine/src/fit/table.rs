//! The table: what it carries, what stands over it; and the accuracy a part asks for.

use super::tally::{Tally, short};
use super::{Capability, Practice};
use crate::demand::{Demand, Holding};
use crate::machine::{Field, Machine};
use crate::texts;
use units::{Length, Mass};

/// Part footprint against the table; standing over is mended by a sub-plate and rules nothing out.
pub(super) fn footprint(extent: [Length; 2], machine: &Machine, tally: &mut Tally) {
    let p = &machine.properties;
    for (axis, capability, table, side) in [
        ('X', Capability::TableX, p.table_x, extent[0]),
        ('Y', Capability::TableY, p.table_y, extent[1]),
    ] {
        if let Some(table) = table.stated() {
            let margin = (table - side).to_mm();
            tally.margin(capability, margin);
            if short(margin) {
                tally.limit(capability, -margin, texts::overhang(axis), None, false);
            }
        }
    }
}

/// What stands behind the spindle axis when the far edge comes under it, against the column. Work
/// no wider than the travel passes, as the table itself does; wider work is turned round, so this
/// only tells how it must lie.
pub(super) fn throat(depth: Length, machine: &Machine, tally: &mut Tally) {
    if let Some(throat) = machine.properties.throat.stated() {
        let margin = (throat - depth).to_mm();
        tally.margin(Capability::Throat, margin);
        if short(margin) {
            tally.limit(
                Capability::Throat,
                -margin,
                texts::column_in_the_way(),
                None,
                false,
            );
        }
    }
}

/// Stock and holding against the permitted load.
pub(super) fn load(demand: &Demand, machine: &Machine, practice: &Practice, tally: &mut Tally) {
    let holding = demand
        .setups
        .iter()
        .map(|s| s.holding)
        .map(|h: Holding| practice.mass(h))
        .fold(Mass::ZERO, Mass::max);
    let need = demand.stock_mass + holding;
    let light = demand.stock_mass <= practice.light_stock;
    match machine.properties.table_load.stated() {
        Some(load) => {
            let margin = (load - need).to_kg();
            tally.margin(Capability::TableLoad, margin);
            if margin < 0.0 {
                let mend = if light {
                    texts::lighter_holding()
                } else {
                    texts::table_overloaded(demand.stock_mass, holding)
                };
                tally.limit(Capability::TableLoad, -margin, mend, None, !light);
            }
        }
        None if light => {}
        None => tally.ask(Field::table_load, machine.properties.table_load, need, true),
    }
}

/// Stated accuracy against the finest tolerance; ordinary tolerances ask nothing.
pub(super) fn accuracy(demand: &Demand, machine: &Machine, practice: &Practice, tally: &mut Tally) {
    let Some(tolerance) = demand
        .tolerance
        .filter(|t| *t < practice.ordinary_tolerance)
    else {
        return;
    };
    let need = tolerance * practice.accuracy_share;
    let known = machine.properties.positioning_accuracy;
    match known.stated() {
        Some(stated) => {
            let margin = (need - stated).to_mm();
            tally.margin(Capability::Accuracy, margin);
            if margin < -1.0e-9 {
                tally.limit(
                    Capability::Accuracy,
                    -margin,
                    texts::too_coarse(),
                    None,
                    true,
                );
            }
        }
        None => tally.ask(Field::positioning_accuracy, known, need, false),
    }
}
