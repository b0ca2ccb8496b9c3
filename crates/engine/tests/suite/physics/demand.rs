//! What a part asks of any mill.

use super::build::*;
use engine::demand::{
    self, Basis, FeatureKind, ModelFacts, PlainPart, Shape, Side, TaskKind, ToolShape,
};
use units::{Area, Length, Volume};

#[test]
fn every_part_is_faced_and_flipped_and_features_add_their_sides() {
    let mut part = block([mm(100.0), mm(60.0), mm(20.0)]);
    part.allowance = mm(2.0);
    part.features = vec![feature(Side::Left, 2, holes(6.0, 12.0, None, None))];
    let d = demand::of(&part, &materials());
    assert_eq!(d.stock, [mm(104.0), mm(64.0), mm(24.0)]);
    assert_eq!(d.basis, Basis::Features);
    assert_eq!(d.setups.len(), 3);
    assert_eq!(d.setups[0].tasks[0].kind, TaskKind::Face);
    assert_eq!(d.setups[1].tasks[0].kind, TaskKind::Face);
    assert_eq!(d.setups[2].extent, [mm(64.0), mm(24.0), mm(104.0)]);
    let drill = &d.setups[2].tasks[0];
    assert_eq!(drill.count, 2);
    // Two holes of 6 x 12.
    let volume = 2.0 * std::f64::consts::PI / 4.0 * 36.0 * 12.0;
    assert!((drill.volume.to_mm3() - volume).abs() < 1e-9);
    let removed: f64 = d.tasks().map(|t| t.volume.to_mm3()).sum();
    assert!((d.removed.to_mm3() - removed).abs() < 1e-6);
    let share: f64 = d.setups.iter().map(|s| s.area_share).sum();
    assert!((share - 1.0).abs() < 1e-12);
}

#[test]
fn threads_are_drilled_at_nominal_less_pitch_and_fine_holes_reamed_or_bored() {
    // ISO 68-1 profile, tap drill nominal - pitch (from memory): M10 x 1.5 8.5, M6 x 1 5.0.
    let tasks = |kind| {
        let mut part = block([mm(100.0), mm(60.0), mm(30.0)]);
        part.features = vec![feature(Side::Top, 1, kind)];
        let d = demand::of(&part, &materials());
        d.setups[0]
            .tasks
            .iter()
            .map(|t| (t.kind, t.tool.shape, t.tool.diameter.to_mm()))
            .collect::<Vec<_>>()
    };
    assert_eq!(
        tasks(holes(10.0, 20.0, Some(1.5), None)),
        [
            (TaskKind::Drill, ToolShape::Drill, 8.5),
            (TaskKind::Tap, ToolShape::Tap, 10.0)
        ]
    );
    assert_eq!(
        tasks(holes(8.0, 20.0, None, Some(0.1))),
        [(TaskKind::Drill, ToolShape::Drill, 8.0)]
    );
    assert_eq!(
        tasks(holes(8.0, 20.0, None, Some(0.015))),
        [
            (TaskKind::Drill, ToolShape::Drill, 7.7),
            (TaskKind::Ream, ToolShape::Reamer, 8.0)
        ]
    );
    assert_eq!(
        tasks(holes(40.0, 20.0, None, Some(0.02))),
        [
            (TaskKind::Rough, ToolShape::Flat, 16.0),
            (TaskKind::Drill, ToolShape::Drill, 20.0),
            (TaskKind::Bore, ToolShape::Boring, 40.0),
        ]
    );
}

#[test]
fn a_pocket_is_roughed_with_a_large_tool_and_its_corners_finished_with_one_that_goes_in() {
    let mut part = block([mm(100.0), mm(60.0), mm(30.0)]);
    part.features = vec![feature(
        Side::Top,
        2,
        FeatureKind::Pocket {
            size: [mm(40.0), mm(30.0), mm(12.0)],
            corner_radius: mm(3.0),
        },
    )];
    let d = demand::of(&part, &materials());
    let find = |kind| {
        d.setups[0]
            .tasks
            .iter()
            .find(|t| t.kind == kind)
            .expect("task")
    };
    let (rough, side) = (find(TaskKind::Rough), find(TaskKind::Side));
    assert_eq!(rough.tool.diameter, mm(16.0));
    assert!((rough.volume.to_mm3() - 2.0 * 40.0 * 30.0 * 12.0).abs() < 1e-9);
    assert_eq!(side.tool.diameter, mm(6.0));
    assert_eq!((side.tool.reach, side.depth), (mm(12.0), mm(12.0)));
    assert!((side.area.to_mm2() - 2.0 * 2.0 * 70.0 * 12.0).abs() < 1e-9);
}

#[test]
fn lines_of_a_curved_surface_leave_the_permitted_scallop() {
    let mut part = block([mm(100.0), mm(60.0), mm(30.0)]);
    part.features = vec![feature(
        Side::Top,
        1,
        FeatureKind::Freeform {
            area: Area::cm2(50.0),
            depth: mm(10.0),
            radius: mm(4.0),
            scallop: mm(0.01),
        },
    )];
    let d = demand::of(&part, &materials());
    let task = d
        .tasks()
        .find(|t| t.kind == TaskKind::Freeform)
        .expect("freeform");
    assert_eq!((task.tool.diameter, task.tool.corner), (mm(8.0), mm(4.0)));
    // A ball of radius r leaves r - sqrt(r^2 - (step/2)^2) between lines.
    let half = 0.5 * task.stepover.expect("a step").to_mm();
    assert!((4.0 - (16.0 - half * half).sqrt() - 0.01).abs() < 1e-12);
}

#[test]
fn of_a_bare_model_only_the_bulk_is_known() {
    let mut part = block([mm(1.0); 3]);
    part.allowance = mm(1.0);
    part.shape = Shape::Model(ModelFacts {
        file: "models/x.stl".into(),
        box_sides: [mm(98.0), mm(58.0), mm(18.0)],
        volume: Volume::cm3(50.0),
        area: Area::cm2(300.0),
        watertight: true,
        plan: None,
    });
    let d = demand::of(&part, &materials());
    assert_eq!(d.basis, Basis::Bulk);
    // 100 x 60 x 20 less 50 cm3.
    assert!((d.removed.to_cm3() - 70.0).abs() < 1e-9);
    let tasks: f64 = d.tasks().map(|t| t.volume.to_cm3()).sum();
    assert!((tasks - 70.0).abs() < 1e-9);
    assert!((d.stock_mass.to_kg() - 0.12 * 2.7).abs() < 1e-12);
}

#[test]
fn strange_numbers_do_not_panic() {
    for x in [0.0, -5.0, 1.0e-12, 1.0e12, f64::NAN, f64::INFINITY] {
        let l = Length::mm(x);
        let part = PlainPart {
            allowance: l,
            tolerance: Some(l),
            features: vec![
                feature(
                    Side::Top,
                    0,
                    FeatureKind::Face {
                        cutter: Some(l),
                        pass_depth: Some(l),
                    },
                ),
                feature(
                    Side::Top,
                    3,
                    FeatureKind::Pocket {
                        size: [l, l, l],
                        corner_radius: l,
                    },
                ),
                feature(
                    Side::Back,
                    u32::MAX,
                    FeatureKind::Holes {
                        diameter: l,
                        depth: l,
                        pitch: Some(l),
                        tolerance: Some(l),
                    },
                ),
                feature(
                    Side::Right,
                    1,
                    FeatureKind::Profile {
                        depth: l,
                        corner_radius: Some(l),
                    },
                ),
                feature(
                    Side::Front,
                    1,
                    FeatureKind::Chamfer {
                        length: l,
                        width: l,
                    },
                ),
                feature(
                    Side::Bottom,
                    1,
                    FeatureKind::Freeform {
                        area: Area::mm2(x),
                        depth: l,
                        radius: l,
                        scallop: l,
                    },
                ),
            ],
            ..block([l, l, l])
        };
        let d = demand::of(&part, &materials());
        let m = machine(Default::default());
        let f = engine::fit::fit(&d, &m, &materials(), &practice());
        let _ = engine::cycle::time(&d, &f, &m, &materials(), &Default::default());
        let _ = engine::specification::specify(&[d], &materials(), &practice());
    }
}
