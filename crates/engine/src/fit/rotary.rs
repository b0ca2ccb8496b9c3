//! Setups taken together in one clamping on a 4th axis, or on two rotary axes.

use super::Held;
use super::arrange::Group;
use super::stack::stacked;
use super::turn::Region;
use super::{Practice, StackUp};
use crate::demand::{Demand, Setup};
use crate::machine::Machine;
use glam::DVec3;
use units::{Angle, Length};

/// Directions closer to square than this are square: a thousandth of a degree.
const SQUARE: f64 = 1.7e-5;

/// For each end of the part it could be held by, the setups one clamping on the machine's rotary axes
/// reaches; only ways that reach two sides or more on which something is cut. Every number it rests on
/// must be stated; so where the nose range is asked for, a rotary axis may do with less than the question
/// says.
pub(super) fn ways(
    demand: &Demand,
    machine: &Machine,
    practice: &Practice,
    gauge: Length,
) -> Vec<Group> {
    let axes = machine.properties.rotary_axes.stated();
    let axes = axes.map_or(0.0, |n| n.to_number());
    if axes < 1.0 || demand.setups.len() < 2 {
        return Vec::new();
    }
    let ends = [
        DVec3::X,
        DVec3::NEG_X,
        DVec3::Y,
        DVec3::NEG_Y,
        DVec3::Z,
        DVec3::NEG_Z,
    ];
    let mut ways: Vec<Group> = Vec::new();
    for free in ends {
        // One axis turns about the held end's direction; two tilt it as well, so that every direction
        // but the held end's own is reached.
        let joins = |s: &Setup| {
            let along = s.toward.dot(free);
            along.abs() < SQUARE || (axes >= 2.0 && along > 0.0)
        };
        let of = |s: &Setup| {
            if joins(s) {
                member(s, free, machine, practice, gauge)
            } else {
                None
            }
        };
        let way: Group = demand.setups.iter().map(of).collect();
        let cut = demand.setups.iter().zip(&way);
        let cut = cut.filter(|(s, stack)| stack.is_some() && !s.tasks.is_empty());
        if cut.count() >= 2 && !ways.contains(&way) {
            ways.push(way);
        }
    }
    ways
}

/// The stack-up of a setup on the rotary axis, where swing, travels and heights allow it.
fn member(
    setup: &Setup,
    free: DVec3,
    machine: &Machine,
    practice: &Practice,
    gauge: Length,
) -> Option<StackUp> {
    let p = &machine.properties;
    let rotary = practice.rotary;
    let lies = setup.setup_from_part.transform_vector3(free);
    let need = Region::of(setup).need(Angle::ZERO);
    let [x, y, z] = setup.extent;
    // The turned axis lies along the machine's X; one that stands up is tilted, and then either way
    // round does.
    let (length, width, need) = if lies.x.abs() > 1.0 - SQUARE || lies.z.abs() > 1.0 - SQUARE {
        (x, y, need)
    } else if lies.y.abs() > 1.0 - SQUARE {
        (y, x, [need[1], need[0]])
    } else {
        return None;
    };
    let swing = Length::mm(0.5 * width.to_mm().hypot(z.to_mm()));
    let reaches = swing.fits(rotary.centre - rotary.clear)
        && need[0].fits(p.travel_x.stated()?)
        && need[1].fits(p.travel_y.stated()?)
        && (length + rotary.length).fits(p.table_x.stated()?);
    let stack = stacked(setup, machine, practice, gauge, Held::Rotary);
    (reaches && stack.nose_high_need.fits(stack.nose_high?)).then_some(stack)
}
