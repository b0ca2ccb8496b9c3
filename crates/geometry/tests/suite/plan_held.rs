//! How parts are held: what a vise can hold, what its jaws hide, the clamping that forces; faces
//! left as the stock is. Against hand-counted boxes.

use crate::plan::{SIDE, as_model, chosen, drilled_cube, options, same_set};
use crate::shapes::block;
use geometry::features::of;
use geometry::model::Model;
use geometry::plan::clamp::{Hold, ways_to_hold};
use geometry::plan::tasks::PlannedKind;
use geometry::plan::view::View;
use geometry::plan::{Options, Plan, Shape, directions, plan};
use glam::{DMat3, DVec3, dvec3};
use units::Watch;

const X: DVec3 = DVec3::X;
const Y: DVec3 = DVec3::Y;
const Z: DVec3 = DVec3::Z;

fn planned_with(model: &Model, options: &Options) -> Plan {
    let features = of(model);
    plan(&Shape::of(model, &features), options, Watch::NOBODY).unwrap()
}

fn box_model(size: DVec3) -> Model {
    as_model(&block(DVec3::ZERO, size))
}

/// Ways to hold a box with Z up.
fn ways(size: DVec3, options: &Options) -> Vec<(Hold, DVec3, f64)> {
    let model = box_model(size);
    let features = of(&model);
    let shape = Shape::of(&model, &features);
    let view = View::new(&shape, Z, DMat3::IDENTITY, options.allowance_mm, 0.0).unwrap();
    let found = ways_to_hold(&shape, options, &view);
    found
        .iter()
        .map(|c| (c.hold, c.across.abs(), c.grip_mm))
        .collect()
}

#[test]
fn a_vise_holds_what_it_opens_to_narrow_side_first() {
    let usual = options();
    // 0.25 of 20 + 5 mm is 6.25; 2.5 of it is stock under the part.
    let both = ways(dvec3(120.0, 60.0, 20.0), &usual);
    assert_eq!(both, [(Hold::Vise, Y, 3.75), (Hold::Vise, X, 3.75)]);
    // 196 + 5 mm is wider than the jaws open.
    let narrow_only = ways(dvec3(196.0, 60.0, 20.0), &usual);
    assert_eq!(narrow_only, [(Hold::Vise, Y, 3.75)]);
    let none = ways(dvec3(300.0, 196.0, 20.0), &usual);
    assert_eq!(none, [(Hold::Plate, DVec3::ZERO, 0.0)]);
    // Tall parts are gripped 10 mm, thin ones 3, the stock under them included.
    assert_eq!(ways(dvec3(60.0, 60.0, 100.0), &usual)[0].2, 7.5);
    assert_eq!(ways(dvec3(60.0, 60.0, 5.0), &usual)[0].2, 0.5);
    // With enough stock to grip nothing of the part is in the jaws.
    let thick = Options {
        allowance_mm: 12.0,
        ..usual
    };
    assert_eq!(ways(dvec3(60.0, 60.0, 20.0), &thick)[0].2, 0.0);
}

#[test]
fn what_the_jaws_hide_in_every_setup_costs_a_clamping() {
    // Two drilled sides next to each other: two directions make all, but the sides square to both
    // can only be gripped across, and their common lower corner is in the jaws both times.
    let model = as_model(&drilled_cube(&[Y, Z]));
    let fine = Options {
        samples: 12_000,
        ..options()
    };
    let features = of(&model);
    let found = directions(&Shape::of(&model, &features), &fine, Watch::NOBODY).unwrap();
    assert!(same_set(&chosen(&found), &[Y, Z]));
    let held = planned_with(&model, &fine);
    assert_eq!(held.setups.len(), 3);
    let again: Vec<usize> = (0..3).filter(|k| held.setups[*k].clamp.again).collect();
    assert_eq!(again.len(), 1);
    let (own, before) = (&held.setups[again[0]], &held.setups[again[0] - 1]);
    assert_eq!(own.toward, before.toward);
    assert!(own.clamp.across.dot(before.clamp.across).abs() < 1e-6);
    // Two corners of the gripped height squared; a point stands for this area.
    let grip = before.clamp.grip_mm;
    let each = 6.0 * SIDE * SIDE / 12_000.0;
    let want = 2.0 * grip * grip;
    assert!(
        (before.clamp.forced_mm2 - want).abs() <= 4.0 * each * (grip / each.sqrt()),
        "{} of {want}",
        before.clamp.forced_mm2
    );
    let made: f64 = own.tasks.iter().map(|t| t.must_mm2).sum();
    assert!((made - before.clamp.forced_mm2).abs() < 1e-6, "{made}");
    assert!(own.tasks.iter().all(|t| t.kind == PlannedKind::Side));
    assert_eq!(held.unreached_mm2, 0.0);
    // The shares are still shares of one surface.
    let shares: f64 = held.setups.iter().map(|s| s.area_share).sum();
    assert!((shares - 1.0).abs() < 1e-9);
}

#[test]
fn stock_to_grip_or_a_plate_saves_the_clamping() {
    let model = as_model(&drilled_cube(&[Y, Z]));
    let thick = Options {
        allowance_mm: 12.0,
        ..options()
    };
    assert_eq!(planned_with(&model, &thick).setups.len(), 2);
    let no_vise = Options {
        vise_opening_mm: 50.0,
        ..options()
    };
    let on_plates = planned_with(&model, &no_vise);
    assert_eq!(on_plates.setups.len(), 2);
    assert!(on_plates.setups.iter().all(|s| s.clamp.hold == Hold::Plate));
    // Three drilled sides can be gripped so that each corner is free once.
    let three = as_model(&drilled_cube(&[X, Y, Z]));
    let plan = planned_with(&three, &options());
    assert_eq!(plan.setups.len(), 3);
    assert!(plan.setups.iter().all(|s| !s.clamp.again));
}

#[test]
fn faces_left_as_stock_lower_the_setups() {
    let model = as_model(&drilled_cube(&[Z]));
    let all = planned_with(&model, &options());
    let left = planned_with(&model, &options().with_stock_faces_left());
    assert!(all.setups.len() >= 2, "{}", all.setups.len());
    assert_eq!(left.setups.len(), 1);
    assert_eq!(left.setups[0].toward, Z);
    // What is left is the hole with its floor: no face, no wall, and no stock beside the part.
    let kinds: Vec<_> = left.setups[0].tasks.iter().map(|t| t.kind).collect();
    assert_eq!(kinds, [PlannedKind::Drill, PlannedKind::Bottom]);
    let extent = left.setups[0].extent_mm;
    assert!(extent.iter().all(|e| (e - SIDE).abs() < 1e-6), "{extent:?}");
}
