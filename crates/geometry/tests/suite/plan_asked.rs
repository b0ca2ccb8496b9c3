//! Plans with something asked of them: own cutters, threads and fits of holes, against closed forms
//! of a drilled cube.

use crate::plan::{DEPTH, DIAMETER, SIDE, as_model, bored_cube, drilled_cube, options};
use geometry::features::of;
use geometry::features::thread::TAP_DRILLS;
use geometry::mesh::Mesh;
use geometry::model::Model;
use geometry::plan::finish::{Finish, HoleFinish, Which, holes_meant, tap_drill_mm};
use geometry::plan::tasks::{PlannedKind, PlannedTask, PlannedTool};
use geometry::plan::tools::{Cutter, MOST_CUTTERS, cutter, listed, standard_cutters};
use geometry::plan::{Options, Plan, Shape, plan};
use glam::DVec3;
use std::f64::consts::FRAC_PI_4;
use units::Watch;

const Z: DVec3 = DVec3::Z;

fn planned_with(model: &Model, options: &Options) -> Plan {
    let features = of(model);
    plan(&Shape::of(model, &features), options, Watch::NOBODY).unwrap()
}

fn tasks(plan: &Plan) -> impl Iterator<Item = &PlannedTask> {
    plan.setups.iter().flat_map(|s| &s.tasks)
}

fn one(plan: &Plan, kind: PlannedKind) -> PlannedTask {
    let found: Vec<_> = tasks(plan).filter(|t| t.kind == kind).collect();
    assert_eq!(found.len(), 1, "{kind:?}: {found:?}");
    found[0].clone()
}

fn with_finish(finish: Finish) -> Options {
    Options {
        finish: vec![HoleFinish {
            hole: 0,
            step: 0,
            finish,
        }],
        ..options()
    }
}

fn near(a: f64, b: f64, by: f64) {
    assert!((a - b).abs() <= by, "{a}, expected {b} within {by}");
}

/// All tasks together are what is removed, whatever a hole becomes.
fn adds_up(model: &Model, plan: &Plan) {
    let side = SIDE + 2.0 * plan.allowance_mm;
    let removed = side.powi(3) - model.volume_mm3();
    let total: f64 = tasks(plan).map(|t| t.volume_mm3).sum();
    near(total + plan.left_mm3, removed, 1e-6 * removed);
}

#[test]
fn a_plain_hole_becomes_no_thread_unasked() {
    // 10.2 mm is the tap drill of M12.
    let model = as_model(&bored_cube(&[Z], 10.2));
    let features = of(&model);
    assert_eq!(features.holes[0].thread, Some("M12"));
    let plan = planned_with(&model, &options());
    let asked = [PlannedKind::Tap, PlannedKind::Thread, PlannedKind::Ream];
    assert!(tasks(&plan).all(|t| !asked.contains(&t.kind)));
}

#[test]
fn a_stated_thread_is_drilled_and_tapped() {
    let model = as_model(&bored_cube(&[Z], 10.2));
    let (nominal_mm, pitch_mm) = (12.0, 1.75);
    let plan = planned_with(
        &model,
        &with_finish(Finish::Thread {
            nominal_mm,
            pitch_mm,
            depth_mm: None,
        }),
    );
    let drill = one(&plan, PlannedKind::Drill);
    near(drill.diameter_mm, 10.2, 1e-9);
    let tap = one(&plan, PlannedKind::Tap);
    assert_eq!(tap.tool, PlannedTool::Tap);
    assert_eq!((tap.diameter_mm, tap.pitch_mm), (12.0, 1.75));
    // Three turns of lead stay above the floor; the tip still goes down to it.
    near(tap.cut_depth_mm, DEPTH - 3.0 * 1.75, 1e-3);
    near(tap.reach_mm, DEPTH, 0.01 * DEPTH);
    adds_up(&model, &plan);
    // A stated depth leaves the tip that much higher.
    let short = planned_with(
        &model,
        &with_finish(Finish::Thread {
            nominal_mm,
            pitch_mm,
            depth_mm: Some(6.0),
        }),
    );
    let tap = one(&short, PlannedKind::Tap);
    near(tap.cut_depth_mm, 6.0, 1e-9);
    near(tap.reach_mm, 6.0 + 3.0 * 1.75, 0.15);
}

#[test]
fn a_thread_drawn_at_its_nominal_diameter_is_drilled_smaller() {
    let model = as_model(&bored_cube(&[Z], 12.0));
    let plan = planned_with(
        &model,
        &with_finish(Finish::Thread {
            nominal_mm: 12.0,
            pitch_mm: 1.75,
            depth_mm: None,
        }),
    );
    let drill = one(&plan, PlannedKind::Drill);
    near(drill.diameter_mm, 10.2, 1e-9);
    let want = FRAC_PI_4 * 10.2 * 10.2 * DEPTH;
    near(drill.volume_mm3, want, 2e-3 * want);
    adds_up(&model, &plan);
}

#[test]
fn a_large_thread_is_milled() {
    let model = as_model(&bored_cube(&[Z], 28.0));
    let plan = planned_with(
        &model,
        &with_finish(Finish::Thread {
            nominal_mm: 30.0,
            pitch_mm: 2.0,
            depth_mm: Some(10.0),
        }),
    );
    let thread = one(&plan, PlannedKind::Thread);
    assert_eq!((thread.diameter_mm, thread.pitch_mm), (30.0, 2.0));
    assert!(tasks(&plan).all(|t| t.kind != PlannedKind::Tap && t.kind != PlannedKind::Drill));
    adds_up(&model, &plan);
}

#[test]
fn a_close_fit_is_drilled_and_reamed_and_a_coarse_one_only_drilled() {
    let model = as_model(&drilled_cube(&[Z]));
    // H7 of 10 mm is 15 um wide (ISO 286-1).
    let fit = |width_mm| Finish::Fit {
        diameter_mm: DIAMETER,
        width_mm,
    };
    let plan = planned_with(&model, &with_finish(fit(0.015)));
    let (drill, ream) = (
        one(&plan, PlannedKind::Drill),
        one(&plan, PlannedKind::Ream),
    );
    near(drill.diameter_mm, DIAMETER - 0.3, 1e-9);
    near(ream.diameter_mm, DIAMETER, 1e-9);
    let both = FRAC_PI_4 * DIAMETER * DIAMETER * DEPTH;
    near(drill.volume_mm3 + ream.volume_mm3, both, 1e-3 * both);
    adds_up(&model, &plan);
    let coarse = planned_with(&model, &with_finish(fit(0.2)));
    near(one(&coarse, PlannedKind::Drill).diameter_mm, DIAMETER, 1e-3);
    assert!(tasks(&coarse).all(|t| t.kind != PlannedKind::Ream));
}

#[test]
fn a_wide_seat_is_bored() {
    let model = as_model(&bored_cube(&[Z], 30.0));
    let plan = planned_with(
        &model,
        &with_finish(Finish::Fit {
            diameter_mm: 30.0,
            width_mm: 0.021,
        }),
    );
    let bore = one(&plan, PlannedKind::Bore);
    near(bore.diameter_mm, 30.0, 1e-9);
    assert!(tasks(&plan).all(|t| t.kind != PlannedKind::Ream));
    adds_up(&model, &plan);
}

#[test]
fn holes_are_meant_by_how_a_thread_is_usually_drawn() {
    for thread in TAP_DRILLS {
        let which = Which::Thread {
            nominal_mm: thread.nominal_mm,
            pitch_mm: thread.pitch_mm,
        };
        assert_eq!(
            tap_drill_mm(thread.nominal_mm, thread.pitch_mm),
            thread.drill_mm
        );
        for drawn in [thread.drill_mm, thread.minor_mm(), thread.nominal_mm] {
            let model = as_model(&bored_cube(&[Z], drawn));
            let features = of(&model);
            assert_eq!(
                holes_meant(&features.holes, &which, &[]).len(),
                1,
                "{} drawn {drawn}",
                thread.thread
            );
            let beside = [DVec3::new(drawn, 0.0, 0.0)];
            assert!(holes_meant(&features.holes, &which, &beside).is_empty());
            let above = [DVec3::new(0.1, 0.0, 99.0)];
            assert_eq!(holes_meant(&features.holes, &which, &above).len(), 1);
        }
    }
    let plain = as_model(&bored_cube(&[Z], 11.0));
    let m12 = Which::Thread {
        nominal_mm: 12.0,
        pitch_mm: 1.75,
    };
    assert!(holes_meant(&of(&plain).holes, &m12, &[]).is_empty());
}

fn own(diameter: f64, usable: f64, out: f64, holder: f64) -> Cutter {
    Cutter {
        shank_radius_mm: diameter / 2.0,
        out_mm: out,
        holder_radius_mm: holder,
        owned: true,
        ..cutter(diameter, 0.0, usable).unwrap()
    }
}

/// Diameters of end mills on the high walls of a plain cube; the other setup has a low strip of them,
/// where a short cutter reaches.
fn wall_cutters(own: &[Cutter]) -> Vec<f64> {
    let cutters = own.iter().copied().chain(standard_cutters()).collect();
    let plan = planned_with(
        &as_model(&drilled_cube(&[])),
        &Options {
            cutters,
            ..options()
        },
    );
    assert_eq!(plan.unreached_mm2, 0.0);
    let sides = tasks(&plan).filter(|t| t.kind == PlannedKind::Side && t.depth_mm > 30.0);
    sides.map(|t| t.diameter_mm).collect()
}

#[test]
fn own_cutters_come_first_where_one_of_fair_size_reaches() {
    let uses = |own: &[Cutter], d: f64| wall_cutters(own).contains(&d);
    assert!(uses(&[], 20.0) && !uses(&[], 12.0));
    assert!(uses(&[own(12.0, 70.0, 80.0, 21.0)], 12.0));
    // Less than half as wide as the widest that would do: bought.
    assert!(!uses(&[own(8.0, 70.0, 80.0, 21.0)], 8.0));
    // Too short beside a wall 60 mm high, in a holder that meets the part; not in one slimmer than
    // the cutter.
    assert!(!uses(&[own(12.0, 20.0, 50.0, 21.0)], 12.0));
    assert!(uses(&[own(12.0, 20.0, 50.0, 5.0)], 12.0));
}

#[test]
fn cutters_beyond_the_choice_are_counted_and_useless_ones_are_not() {
    let twice: Vec<Cutter> = [own(6.0, 20.0, 40.0, 21.0), own(6.0, 20.0, 40.0, 21.0)].into();
    assert_eq!(listed(&twice), (vec![twice[0]], 0));
    // A longer own one of the same size makes the standard one needless, a shorter one does not.
    let standard = cutter(6.0, 0.0, 48.0).unwrap();
    let (kept, left_out) = listed(&[own(6.0, 60.0, 60.0, 21.0), standard]);
    assert_eq!((kept.len(), left_out), (1, 0));
    let (kept, _) = listed(&[own(6.0, 30.0, 40.0, 21.0), standard]);
    assert_eq!(kept.len(), 2);
    // None shorter and cheaper in no way is lost without being told.
    let many: Vec<Cutter> = (0..200)
        .map(|k| own(3.0 + 0.1 * f64::from(k), 20.0, 40.0, 21.0))
        .chain(standard_cutters())
        .collect();
    let (kept, left_out) = listed(&many);
    assert_eq!(kept.len(), MOST_CUTTERS);
    assert_eq!(left_out, many.len() - MOST_CUTTERS);
    assert!(kept.iter().all(|c| c.owned));
}

#[test]
fn necks_serve_less_in_harder_material_but_flutes_stay() {
    use geometry::plan::tools::standard_cutters_for;
    for (full, half) in standard_cutters().iter().zip(standard_cutters_for(0.5)) {
        assert_eq!(full.shape, half.shape);
        assert!(half.usable_mm <= full.usable_mm && half.usable_mm >= 0.5 * full.usable_mm);
    }
}

/// A bar 400 long with a slot along it 8 wide and 60 deep: its middle is out of reach from the ends.
fn slotted_bar() -> Mesh {
    let outline = [
        [-19.0, -2.0],
        [19.0, -2.0],
        [19.0, 60.0],
        [4.0, 60.0],
        [4.0, 0.0],
        [-4.0, 0.0],
        [-4.0, 60.0],
        [-19.0, 60.0],
    ];
    let points = [0.0, 400.0].iter().flat_map(|y| {
        let end = outline.iter();
        end.map(move |[x, z]| DVec3::new(*x, *y, *z))
    });
    // Both legs and the floor, seen from -y; then the sides.
    let ends = [[1, 2, 3, 4], [5, 6, 7, 0], [0, 1, 4, 5]];
    let quads = ends
        .into_iter()
        .chain(ends.map(|[a, b, c, d]| [d + 8, c + 8, b + 8, a + 8]))
        .chain((0..8).map(|k| {
            let next = (k + 1) % 8;
            [k, k + 8, next + 8, next]
        }));
    let triangles = quads
        .flat_map(|[a, b, c, d]| [[a, b, c], [a, c, d]])
        .collect();
    Mesh::new(points.collect(), triangles, None).unwrap()
}

#[test]
fn a_deep_slot_asks_its_depth_of_a_tool_of_its_width() {
    let plan = planned_with(&as_model(&slotted_bar()), &options());
    assert_eq!(plan.unreached_mm2, 0.0);
    let floor = tasks(&plan).find(|t| t.kind == PlannedKind::Bottom && t.diameter_mm == 8.0);
    let reach = floor.expect("the slot's floor").reach_mm;
    assert!((reach - 60.0).abs() < 0.6, "{reach}");
    let ratio = plan.depth_to_diameter.expect("work inside the part");
    assert!((ratio - 7.5).abs() < 0.1, "{ratio}");
}
