//! How many parts are clamped side by side for one loading: rows of vises or chucks, plates, a post
//! on the rotary axis. What a large table buys when there are many parts.

use super::lie::{Lie, On};
use super::{Practice, StackUp};
use crate::demand::{Demand, Holding, Setup};
use crate::machine::Machine;
use units::{Angle, Length, Mass};

/// Parts clamped side by side in one setup; at most a batch. Counts only on numbers that are stated:
/// both travels, the table's size and load.
pub(super) fn per_loading(on: On<'_>, lie: &Lie, stack: &StackUp) -> u32 {
    let On {
        demand,
        setup,
        machine,
        practice,
        ..
    } = on;
    let straight = [0.0, std::f64::consts::FRAC_PI_2]
        .iter()
        .any(|&a| lie.angle == Angle::rad(a));
    let batch = demand.batch.to_number().clamp(1.0, 1.0e4) as u32;
    if lie.clampings() != 1 || !straight || batch == 1 {
        return 1;
    }
    on_table(demand, setup, lie, machine, practice)
        .max(on_post(setup, lie, stack, machine, practice))
        .clamp(1, batch)
}

/// Pieces of a pitch beside the first that fit into what is left.
fn beside(left: Length, pitch: Length) -> u32 {
    let n = left.to_mm().max(0.0) / pitch.to_mm().max(1.0) + 1.0e-9;
    n.min(1.0e4) as u32
}

fn on_table(
    demand: &Demand,
    setup: &Setup,
    lie: &Lie,
    machine: &Machine,
    practice: &Practice,
) -> u32 {
    let p = &machine.properties;
    let (Some(tx), Some(ty), Some(x), Some(y), Some(load)) = (
        p.table_x.stated(),
        p.table_y.stated(),
        p.travel_x.stated(),
        p.travel_y.stated(),
        p.table_load.stated(),
    ) else {
        return 1;
    };
    let rows = practice.rows;
    let [size_x, size_y] = lie.size;
    let in_row = |width: Length| {
        let pitch = width.max(size_x + rows.gap);
        1 + beside((x - lie.need[0]).min(tx - width), pitch)
    };
    let (most, each) = match setup.holding {
        Holding::Vise => (in_row(rows.vise_width), practice.masses[0]),
        Holding::Chuck => (in_row(rows.chuck_width), practice.masses[2]),
        Holding::Plate => {
            let along = 1 + beside((x - lie.need[0]).min(tx - size_x), size_x + rows.gap);
            let across = 1 + beside((y - lie.need[1]).min(ty - size_y), size_y + rows.gap);
            (along.saturating_mul(across), Mass::ZERO)
        }
    };
    let plate = if setup.holding == Holding::Plate {
        practice.masses[1]
    } else {
        Mass::ZERO
    };
    let one = (each + demand.stock_mass).to_kg().max(1.0e-6);
    let borne = ((load - plate).to_kg().max(0.0) / one + 1.0e-9).min(1.0e4) as u32;
    most.min(borne)
}

/// Four sides of a square post along the rotary axis, one row of parts on each.
fn on_post(
    setup: &Setup,
    lie: &Lie,
    stack: &StackUp,
    machine: &Machine,
    practice: &Practice,
) -> u32 {
    let p = &machine.properties;
    let rotary = practice.rotary;
    let (Some(axes), Some(tx), Some(x), Some(high)) = (
        p.rotary_axes.stated(),
        p.table_x.stated(),
        p.travel_x.stated(),
        stack.nose_high,
    ) else {
        return 1;
    };
    let half = 0.5 * practice.rows.post;
    let z = setup.extent[2];
    let swing = (half + z).to_mm().hypot(0.5 * lie.size[1].to_mm());
    let top = rotary.centre + half + z + stack.clearance + stack.longest_tool;
    if axes.to_number() < 1.0
        || !Length::mm(swing).fits(rotary.centre - rotary.clear)
        || !top.fits(high)
    {
        return 1;
    }
    let pitch = lie.size[0] + practice.rows.gap;
    let left = (x - lie.need[0]).min(tx - rotary.length - lie.size[0]);
    if left < Length::ZERO {
        return 1;
    }
    4 * (1 + beside(left, pitch))
}
