//! Directions, setups and tasks, against recorded access analyses, closed forms and laws.
//!
//! Directions of the real models were recorded with them: `access` is line of sight on an OCCT mesh
//! with a tool of no diameter and any length (40000 samples, 0.1 % of the area left out), so a
//! lower bound; `by_eye` a machinist's look at renders.

use crate::shapes::data;
use geometry::features::of;
use geometry::mesh::Mesh;
use geometry::model::{Model, load};
use geometry::plan::tasks::PlannedKind;
use geometry::plan::{Directions, Options, Plan, Shape, directions, plan};
use geometry::unit::LengthUnit;
use glam::{DMat4, DVec3, dvec3};
use std::f64::consts::{FRAC_PI_3, FRAC_PI_4, TAU};
use units::Watch;

pub fn options() -> Options {
    Options {
        samples: 2500,
        ..Options::default()
    }
}

fn step_model(name: &str) -> Model {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../step/tests/data/models");
    let bytes = std::fs::read(folder.join(name)).unwrap();
    load(&bytes, name, None).unwrap()
}

fn found(model: &Model, options: &Options) -> Directions {
    let features = of(model);
    directions(&Shape::of(model, &features), options, Watch::NOBODY).unwrap()
}

pub fn chosen(found: &Directions) -> Vec<DVec3> {
    let toward = |c: &usize| found.candidates[*c].toward;
    found.chosen.directions.iter().map(toward).collect()
}

pub fn same_set(a: &[DVec3], b: &[DVec3]) -> bool {
    let within =
        |a: &[DVec3], b: &[DVec3]| a.iter().all(|d| b.iter().any(|e| d.distance(*e) < 0.02));
    a.len() == b.len() && within(a, b) && within(b, a)
}

pub fn planned(model: &Model) -> Plan {
    let features = of(model);
    plan(&Shape::of(model, &features), &options(), Watch::NOBODY).unwrap()
}

pub fn as_model(mesh: &Mesh) -> Model {
    let stl = crate::shapes::binary_stl(mesh, b"part");
    load(&stl, "part.stl", Some(LengthUnit::Millimetre)).unwrap()
}

const X: DVec3 = DVec3::X;
const Y: DVec3 = DVec3::Y;
const Z: DVec3 = DVec3::Z;

#[test]
fn directions_of_real_models_are_those_recorded() {
    let tilted = |x: f64, y: f64, z: f64| dvec3(x, y, z).normalize();
    #[rustfmt::skip]
    let table: [(&str, Vec<DVec3>, &str); 8] = [
        ("mfcad_0-0-5-5-6-23.step", vec![X, -X],
         "by eye; one of eight sets of two by access, the only opposite pair"),
        ("mfcad_10-10-11-11-11-23.step", vec![X, -X, Y, Z],
         "access and by eye"),
        ("mfcad_7-9-12-12-14-23.step", vec![-Y, Z, -Z],
         "one of five sets of three by access; the others have a direction off the box or no pair"),
        ("featuretype.STEP", vec![Y, Z],
         "one of two by access; by eye three, or two when the bevel is milled from Y"),
        ("base_interface_AP203.STEP", vec![Z, -Z],
         "by eye; access also lets an endless tool mill the 600 mm wide underside from the edge, \
          which no end mill does"),
        ("nist_ctc_01_asme1_rd.stp", vec![-Y, Z, -Z],
         "by eye, with the engraved mark on +X apart; access takes +X for +Z, whose floors lie \
          deeper from there than any end mill is long"),
        ("nist_ftc_10_asme1_rb.stp", vec![X, Y, -Y, Z, -Z],
         "access and by eye"),
        ("nist_ftc_06_asme1_rd.stp",
         vec![Y, Z, -Z, tilted(0.0, 0.894, -0.447), tilted(0.906, 0.423, 0.0), tilted(-0.906, 0.423, 0.0)],
         "access; by eye a floor of five"),
    ];
    for (name, want, why) in table {
        let model = step_model(name);
        // Its spheres and necks take finer sampling to tell slivers from pieces.
        let samples = if want.len() > 5 { 6000 } else { 2500 };
        let found = found(
            &model,
            &Options {
                samples,
                ..Options::default()
            },
        );
        let got = chosen(&found);
        assert!(found.chosen.proven, "{name}");
        assert!(
            same_set(&got, &want),
            "{name}: {got:.3?}, recorded {want:.3?} ({why})"
        );
    }
}

#[test]
fn a_step_that_opens_behind_a_narrower_one_is_told() {
    let model = step_model("nist_ftc_06_asme1_rd.stp");
    let features = of(&model);
    let found = found(&model, &options());
    let closed: Vec<f64> = found
        .steps
        .iter()
        .zip(&found.steps_served)
        .filter(|(_, served)| **served == 0)
        .map(|(s, _)| s.diameter_mm)
        .collect();
    // The drawing calls them ".812 cbore" of "2x .562 thru", spotfaced from behind.
    assert_eq!(
        closed.len(),
        2,
        "{closed:?} of {} holes",
        features.holes.len()
    );
    assert!(
        closed.iter().all(|d| (d - 0.8125 * 25.4).abs() < 0.01),
        "{closed:?}"
    );
}

#[test]
fn mesh_and_step_of_one_part_agree() {
    let exact = chosen(&found(&step_model("featuretype.STEP"), &options()));
    let bytes = data("featuretype_mm.stl");
    let mesh = load(&bytes, "f.stl", Some(LengthUnit::Millimetre)).unwrap();
    assert!(same_set(&exact, &chosen(&found(&mesh, &options()))));
}

/// A square patch of a face about `centre`, with a flat-bottomed hole when `depth` says so. Border
/// points lie at the angles of the hole's chords, so neighbours share them.
const CHORDS: usize = 32;

fn patch(out: &mut Vec<[DVec3; 3]>, centre: DVec3, u: DVec3, v: DVec3, radius: f64, depth: f64) {
    let normal = u.cross(v).normalize();
    let (eu, ev) = (u.normalize(), v.normalize());
    let angle = |k: usize| TAU * (k % CHORDS) as f64 / CHORDS as f64;
    let rim = |k: usize, down: f64| {
        centre + (eu * angle(k).cos() + ev * angle(k).sin()) * radius - normal * down
    };
    let border = |k: usize| {
        let (c, s) = (angle(k).cos(), angle(k).sin());
        centre + (u * c + v * s) / c.abs().max(s.abs())
    };
    for k in 0..CHORDS {
        let (a, b) = (border(k), border(k + 1));
        out.extend([[a, b, rim(k + 1, 0.0)], [a, rim(k + 1, 0.0), rim(k, 0.0)]]);
        if depth > 0.0 {
            let [p, q, r, s] = [
                rim(k, 0.0),
                rim(k + 1, 0.0),
                rim(k + 1, depth),
                rim(k, depth),
            ];
            out.extend([[p, q, r], [p, r, s]]);
        }
        out.push([rim(k, depth), rim(k + 1, depth), centre - normal * depth]);
    }
}

fn soup(triangles: &[[DVec3; 3]]) -> Mesh {
    let points: Vec<DVec3> = triangles.iter().flatten().copied().collect();
    let corners = (0..points.len() as u32 / 3).map(|t| [3 * t, 3 * t + 1, 3 * t + 2]);
    let mesh = Mesh::new(points.clone(), corners.collect(), None).unwrap();
    mesh.welded_within(1e-9)
}

pub const SIDE: f64 = 60.0;
pub const DIAMETER: f64 = 10.0;
pub const DEPTH: f64 = 15.0;

/// A cube about the origin with a blind hole in the middle of each named side.
pub fn drilled_cube(drilled: &[DVec3]) -> Mesh {
    bored_cube(drilled, DIAMETER)
}

/// The same with holes of another diameter, mm.
pub fn bored_cube(drilled: &[DVec3], diameter: f64) -> Mesh {
    let mut out = Vec::new();
    for (n, u) in [(X, Y), (-X, -Y), (Y, Z), (-Y, -Z), (Z, X), (-Z, -X)] {
        let h = SIDE / 2.0;
        let depth = if drilled.contains(&n) { DEPTH } else { 0.0 };
        patch(
            &mut out,
            n * h,
            u * h,
            n.cross(u) * h,
            diameter / 2.0,
            depth,
        );
    }
    soup(&out)
}

/// A hexagonal bar along Z with a hole in each flat.
fn radial_bar() -> Mesh {
    let (mut out, apothem, half) = (Vec::new(), 30.0, 20.0);
    let wide = apothem * (FRAC_PI_3 / 2.0).tan();
    for k in 0..6 {
        let a = FRAC_PI_3 * f64::from(k);
        let n = dvec3(a.cos(), a.sin(), 0.0);
        let u = Z.cross(n) * wide;
        patch(&mut out, n * apothem, u, Z * half, 4.0, 10.0);
        // The ends as fans over the border points of the patch.
        let border = |k: usize, z: f64| {
            let t = TAU * k as f64 / CHORDS as f64;
            let (c, s) = (t.cos(), t.sin());
            n * apothem + u * (c / s.abs()) + Z * z
        };
        for k in CHORDS / 8..3 * CHORDS / 8 {
            let m = CHORDS - k;
            out.push([border(k + 1, half), border(k, half), Z * half]);
            out.push([border(m, -half), border(m - 1, -half), -Z * half]);
        }
    }
    soup(&out)
}

#[test]
fn three_drilled_sides_take_three_directions_and_six_radial_holes_six() {
    let three = as_model(&drilled_cube(&[X, Y, Z]));
    assert!(three.watertight());
    let found_three = found(&three, &options());
    assert!(same_set(&chosen(&found_three), &[X, Y, Z]));
    assert!(found_three.chosen.proven);

    let bar = as_model(&radial_bar());
    assert!(bar.watertight());
    let want: Vec<DVec3> = (0..6)
        .map(|k| FRAC_PI_3 * f64::from(k))
        .map(|a| dvec3(a.cos(), a.sin(), 0.0))
        .collect();
    let plan = planned(&bar);
    let got: Vec<DVec3> = plan.setups.iter().map(|s| s.toward).collect();
    assert!(same_set(&got, &want), "{got:.3?}");
    // All six are square to the bar's axis.
    assert_eq!(plan.groups.fourth_axis, 1);
    assert_eq!(plan.groups.three_plus_two, 1);
}

#[test]
fn volumes_of_a_drilled_cube_in_closed_form() {
    let model = as_model(&drilled_cube(&[X, Y, Z]));
    let plan = planned(&model);
    assert_eq!(plan.setups.len(), 3);
    // A rotary axis turns two of three square directions, a tilting table all.
    assert_eq!(
        (plan.groups.fourth_axis, plan.groups.three_plus_two),
        (2, 1)
    );
    let side = SIDE + 2.0 * plan.allowance_mm;
    let removed = side.powi(3) - model.volume_mm3();
    let tasks = || plan.setups.iter().flat_map(|s| &s.tasks);
    let total: f64 = tasks().map(|t| t.volume_mm3).sum();
    assert!(
        (total + plan.left_mm3 - removed).abs() < 1e-6 * removed,
        "{total} of {removed}"
    );
    let drills: Vec<_> = tasks().filter(|t| t.kind == PlannedKind::Drill).collect();
    assert_eq!(drills.len(), 3);
    for d in drills {
        assert!((d.diameter_mm - DIAMETER).abs() < 1e-3);
        assert!((d.cut_depth_mm - DEPTH).abs() < 1e-3);
        assert!((d.reach_mm - DEPTH).abs() < 0.01 * DEPTH, "{}", d.reach_mm);
        let want = FRAC_PI_4 * DIAMETER * DIAMETER * DEPTH;
        assert!((d.volume_mm3 - want).abs() < 1e-3 * want);
    }
    // The first side milled takes the whole slab above it; cells are off by half a layer.
    let first = &plan.setups[0].tasks[0];
    assert_eq!(first.kind, PlannedKind::Face);
    let slab = side * side * plan.allowance_mm;
    let layer = side * side * (side.powi(3) / 120_000.0).cbrt() / 2.0;
    assert!(
        (first.volume_mm3 - slab).abs() < layer,
        "{} of {slab}",
        first.volume_mm3
    );
    // Every side but the three tops is some setup's wall.
    assert_eq!(plan.unreached_mm2, 0.0);
    let must: f64 = 6.0 * SIDE * SIDE + 3.0 * DEPTH * TAU * DIAMETER / 2.0;
    assert!(
        (plan.must_mm2 - must).abs() < 0.005 * must,
        "{} of {must}",
        plan.must_mm2
    );
}

#[test]
fn turning_or_mirroring_the_part_turns_the_answer() {
    let mesh = load(
        &data("mfcad_7-9-12-12-14-23.stl"),
        "m.stl",
        Some(LengthUnit::Millimetre),
    )
    .unwrap()
    .mesh;
    let here = chosen(&found(&as_model(&mesh), &options()));
    let turn = DMat4::from_axis_angle(dvec3(1.0, 2.0, -0.5).normalize(), 0.7);
    let mirror = DMat4::from_scale(dvec3(1.0, 1.0, -1.0));
    for (name, moved) in [("turned", turn), ("mirrored", mirror)] {
        let there = found(&as_model(&mesh.transformed(&moved).unwrap()), &options());
        let want: Vec<DVec3> = here.iter().map(|d| moved.transform_vector3(*d)).collect();
        let sets: Vec<Vec<DVec3>> = there
            .chosen
            .sets
            .iter()
            .map(|s| s.iter().map(|c| there.candidates[*c].toward).collect())
            .collect();
        // Of sets alike in every respect the first in order is taken, and the order turns too.
        assert!(
            sets.iter().any(|s| same_set(s, &want)),
            "{name}: {sets:.3?}, want {want:.3?}"
        );
        assert_eq!(there.chosen.directions.len(), here.len(), "{name}");
    }
}

#[test]
fn fewer_cutters_never_serve_more() {
    let mesh = load(
        &data("featuretype_mm.stl"),
        "f.stl",
        Some(LengthUnit::Millimetre),
    )
    .unwrap();
    let all = found(&mesh, &options());
    let mut few = options();
    few.cutters.retain(|c| c.shape.radius_mm() >= 2.0);
    let fewer = found(&mesh, &few);
    let mut lost = 0;
    for (a, b) in all.served.iter().zip(&fewer.served) {
        assert_eq!(b & !a, 0);
        lost += u32::from(a != b);
    }
    // The pocket's corners of R 2.54 and the narrow slots lose their small cutters.
    assert!(lost > 0);
}

#[test]
fn marks_cost_a_setup_only_when_they_must_be_cut() {
    let model = step_model("nist_ctc_01_asme1_rd.stp");
    let mut all = options();
    all.must_reach_marks = true;
    let with = chosen(&found(&model, &all));
    // The mark is on the +X side.
    assert!(with.iter().any(|d| d.distance(X) < 0.02), "{with:.3?}");
}

#[test]
fn work_can_be_stopped() {
    let flag = std::sync::atomic::AtomicBool::new(true);
    let model = as_model(&drilled_cube(&[]));
    let features = of(&model);
    let watch = Watch::new(Some(&flag), None);
    assert!(plan(&Shape::of(&model, &features), &options(), watch).is_err());
}
