//! Reach in bulk: bounds that hold, and the same answers as one by one.

use crate::shapes::{Random, block, data};
use geometry::dilation::{Grid, Shape, dilate};
use geometry::height_map::HeightMap;
use geometry::mesh::Mesh;
use geometry::reach::{BodyStep, Reach, Reacher, Tolerance, reach, reach_all, stick_out_all};
use geometry::readers::read;
use geometry::samples::{Sample, spread_samples, surface_samples};
use geometry::tip_bounds::TipBounds;
use geometry::tool_shape::ToolShape;
use glam::{DMat3, DVec2, DVec3, dvec2, dvec3};
use std::sync::atomic::AtomicBool;
use units::{Cancelled, Watch};

fn tool(radius: f64, corner: f64) -> ToolShape {
    ToolShape::new(radius, corner).unwrap()
}

fn model(name: &str) -> Mesh {
    read(&data(name), name).unwrap().mesh
}

/// Against the definition, cell by cell.
#[test]
fn dilation_is_the_largest_under_the_shape() {
    let mut random = Random(3);
    for (width, height, radius) in [
        (37, 61, 0.0),
        (70, 23, 1.0),
        (50, 130, 6.5),
        (9, 7, 20.0),
        (600, 210, 45.0),
    ] {
        let z = (0..width * height)
            .map(|_| match random.below(4) {
                0 => f32::NEG_INFINITY,
                _ => random.between(-5.0, 5.0) as f32,
            })
            .collect();
        let grid = Grid { width, height, z };
        // Nothing is taken off up to this distance: everywhere, or near the middle only.
        for level in [radius, 0.5 * radius] {
            let lower = |dx: usize, dy: usize| {
                let d = ((dx * dx + dy * dy) as f64).sqrt();
                (d <= radius).then(|| (d - level).max(0.0) as f32)
            };
            for margin in [0, 3] {
                let got = dilate(&grid, &Shape::new(radius as usize, lower), margin);
                assert_eq!(
                    (got.width, got.height),
                    (width + 2 * margin, height + 2 * margin)
                );
                // Each cell of small grids, some of large ones.
                for k in (0..got.z.len()).step_by(1 + got.z.len() / 10_000 * 37) {
                    let (x, y) = (k % got.width, k / got.width);
                    let want = largest_under(&grid, radius as i64, lower, [x, y], margin);
                    assert_eq!(got.z[k], want, "radius {radius} margin {margin} at {x} {y}");
                }
            }
        }
    }
}

fn largest_under(
    grid: &Grid,
    reach: i64,
    lower: impl Fn(usize, usize) -> Option<f32>,
    [x, y]: [usize; 2],
    margin: usize,
) -> f32 {
    let mut want = f32::NEG_INFINITY;
    for dy in -reach..=reach {
        for dx in -reach..=reach {
            let (i, j) = (x as i64 - margin as i64 + dx, y as i64 - margin as i64 + dy);
            if i < 0 || j < 0 || i >= grid.width as i64 || j >= grid.height as i64 {
                continue;
            }
            if let Some(l) = lower(dx.unsigned_abs() as usize, dy.unsigned_abs() as usize) {
                want = want.max(grid.z[j as usize * grid.width + i as usize] - l);
            }
        }
    }
    want
}

/// Real parts from skew directions: every exact tip lies between the bounds of its cell.
#[test]
fn tips_lie_between_their_bounds_whatever_the_phase() {
    let mut random = Random(5);
    for name in [
        "featuretype_mm.stl",
        "mfcad_0-0-5-5-6-23.stl",
        "octagonal_pocket.stl",
    ] {
        let mesh = model(name);
        for round in 0..2 {
            let turn = match round {
                0 => DMat3::IDENTITY,
                _ => DMat3::from_quat(random.rotation()),
            };
            let [low, high] = mesh.bounds().unwrap();
            let size = (high - low).length();
            let map = HeightMap::new(&mesh, &turn, size / random.between(90.0, 200.0)).unwrap();
            for (share, corner) in [(0.02, 0.0), (0.06, 0.0), (0.03, 1.0), (0.05, 0.3)] {
                let tool = tool(share * size, corner * share * size);
                for level in 0..2 {
                    let bounds = TipBounds::on_level(&map, &tool, level);
                    let (origin, width, height) = bounds.extent();
                    let extent = dvec2(width as f64, height as f64) * bounds.step_mm();
                    let mut decided = 0;
                    for _ in 0..150 {
                        let at = origin
                            + extent * dvec2(random.between(-0.1, 1.1), random.between(-0.1, 1.1));
                        let [low, high] = bounds.at(at);
                        let exact = map.tip(&tool, at).map_or(f64::NEG_INFINITY, |t| t.tip_z);
                        assert!(
                            low <= exact && exact <= high,
                            "{low} {exact} {high} at {at}"
                        );
                        decided += usize::from(high == low || high - low < 0.1 * size);
                    }
                    assert!(decided > 30, "bounds that say nothing: {decided}");
                }
            }
        }
    }
}

fn kind(reach: &Reach) -> u8 {
    match reach {
        Reach::Finished(_) => 2,
        Reach::Stepped(_) => 1,
        Reach::Unreached => 0,
    }
}

/// The law of the bulk path: the same answers as one by one, witnesses as good, whatever the
/// number of threads.
#[test]
fn many_at_once_answer_as_one_by_one() {
    let mut random = Random(77);
    let one = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .unwrap();
    for name in [
        "featuretype_mm.stl",
        "mfcad_10-10-11-11-11-23.stl",
        "plate_holes.stl",
        "base_interface_AP203.stl",
        "motor_antigravity_4004_custom_shaft.stl",
    ] {
        let mesh = model(name);
        let [low, high] = mesh.bounds().unwrap();
        let size = (high - low).length();
        let samples = spread_samples(&mesh, size / 12.0);
        for round in 0..2 {
            let turn = match round {
                0 => DMat3::IDENTITY,
                _ => DMat3::from_quat(random.rotation()),
            };
            let map = HeightMap::new(&mesh, &turn, size / 150.0).unwrap();
            let turned: Vec<Sample> = samples.iter().map(|s| s.turned(&turn)).collect();
            let floor = map.z_range()[0] + 0.1 * size * f64::from(round);
            let tolerance = Tolerance {
                gouge_mm: 1e-3 * size,
                ..Tolerance::default()
            };
            for (share, corner) in [(0.01, 0.0), (0.04, 0.0), (0.02, 1.0), (0.03, 0.2)] {
                let tool = tool(share * size, corner * share * size);
                let many =
                    reach_all(&map, &tool, &turned, floor, &tolerance, Watch::NOBODY).unwrap();
                let alone = one
                    .install(|| reach_all(&map, &tool, &turned, floor, &tolerance, Watch::NOBODY));
                assert_eq!(many, alone.unwrap());
                let eased = tool.eased(tolerance.gouge_mm);
                for (s, got) in turned.iter().zip(&many) {
                    let want = reach(&map, &tool, s.point, s.normal, floor, &tolerance);
                    assert_eq!(
                        kind(got),
                        kind(&want),
                        "{name} {tool:?} {s:?} {got:?} {want:?}"
                    );
                    let Some(tip) = got.tip() else { continue };
                    let z = tip.z + tolerance.gouge_mm;
                    assert!(map.obstacle(&eased, tip.truncate(), z).is_none(), "{tip}");
                    assert!(tip.truncate().distance(s.point.truncate()) <= tool.radius_mm() + 1e-9);
                }
            }
        }
    }
}

#[test]
fn a_cancelled_question_has_no_answer() {
    let mesh = block(DVec3::ZERO, DVec3::splat(10.0));
    let map = HeightMap::new(&mesh, &DMat3::IDENTITY, 1.0).unwrap();
    let flag = AtomicBool::new(true);
    let got = reach_all(
        &map,
        &tool(2.0, 0.0),
        &surface_samples(&mesh, 1.0),
        0.0,
        &Tolerance::default(),
        Watch::new(Some(&flag), None),
    );
    assert_eq!(got, Err(Cancelled));
}

/// A level face reached only through a slot hardly wider than the tool: the search over places
/// finds it wherever the sample lies, and finds none in a slot too narrow.
#[test]
fn a_place_with_little_play_is_found() {
    for (width, reached) in [(8.004, true), (7.997, false)] {
        for angle in [0.0, 0.3, 1.1] {
            let turn = DMat3::from_rotation_z(angle);
            let h = width / 2.0;
            let mut part = block(dvec3(-30.0, -20.0, -2.0), dvec3(30.0, 20.0, 0.0));
            part.append(&block(dvec3(-30.0, -20.0, 0.0), dvec3(-h, 20.0, 9.0)));
            part.append(&block(dvec3(h, -20.0, 0.0), dvec3(30.0, 20.0, 9.0)));
            let map = HeightMap::new(&part, &turn, 0.5).unwrap();
            for k in 0..20 {
                let x = (f64::from(k) / 10.0 - 0.95) * 0.99 * h;
                let point = turn * dvec3(x, 1.0, 0.0);
                let tolerance = Tolerance {
                    gouge_mm: 1e-3,
                    ..Tolerance::default()
                };
                let got = reach(&map, &tool(4.0, 0.0), point, DVec3::Z, -9.0, &tolerance);
                assert_eq!(got != Reach::Unreached, reached, "{width} {x}");
            }
        }
    }
}

/// A deep slot 8 wide asks 60 of an 8 mm tool: holder and spindle nose clear part, stock and plate.
#[test]
fn stick_out_clears_part_stock_and_clamp_plane() {
    let mut part = block(dvec3(-20.0, 0.0, -5.0), dvec3(20.0, 40.0, 0.0));
    part.append(&block(dvec3(-20.0, 0.0, 0.0), dvec3(-4.0, 40.0, 60.0)));
    part.append(&block(dvec3(4.0, 0.0, 0.0), dvec3(20.0, 40.0, 60.0)));
    let map = HeightMap::new(&part, &DMat3::IDENTITY, 0.5).unwrap();
    let tolerance = Tolerance::default();
    let reacher = Reacher::new(&map, &tool(4.0, 0.0), -5.0, &tolerance);
    let floor: Vec<Sample> = surface_samples(&part, 3.0)
        .into_iter()
        .filter(|s| s.point.z == 0.0 && s.normal.z > 0.5 && s.point.x.abs() < 4.0)
        .collect();
    assert!(floor.len() > 20);
    let asked = |steps: &[(f64, f64)], around: &[&HeightMap]| {
        let steps: Vec<BodyStep> = steps
            .iter()
            .map(|&(radius_mm, from_mm)| BodyStep { radius_mm, from_mm })
            .collect();
        stick_out_all(&reacher, &steps, around, &floor, 1e-6, Watch::NOBODY).unwrap()
    };
    let all = |found: Vec<Option<geometry::reach::StickOut>>, length: f64| {
        for s in found {
            let s = s.unwrap();
            assert!((s.length_mm - length).abs() < 1e-9, "{s:?} for {length}");
            assert!(s.least_mm <= s.length_mm);
        }
    };
    // A slim holder fits into the slot; a wide one stays above; a stepped one partly.
    all(asked(&[(3.9, 0.0)], &[]), 0.0);
    all(asked(&[(20.0, 0.0)], &[]), 60.0);
    all(asked(&[(3.9, 0.0), (20.0, 25.0)], &[]), 35.0);
    // Stock 6 mm above the part over one wall.
    let stock = block(dvec3(4.0, 0.0, 0.0), dvec3(20.0, 40.0, 66.0));
    let stock = HeightMap::new(&stock, &DMat3::IDENTITY, 1.0).unwrap();
    all(asked(&[(20.0, 0.0)], &[&stock]), 66.0);
}

/// On a floor beside one wall a holder wider than the tool is shortest away from the wall, and the
/// bound on what other places save is true.
#[test]
fn the_least_stick_out_over_all_places() {
    let mut part = block(dvec3(0.0, 0.0, -5.0), dvec3(60.0, 60.0, 0.0));
    part.append(&block(dvec3(-20.0, 0.0, -5.0), dvec3(0.0, 60.0, 30.0)));
    let map = HeightMap::new(&part, &DMat3::IDENTITY, 0.5).unwrap();
    let reacher = Reacher::new(&map, &tool(5.0, 0.0), -5.0, &Tolerance::default());
    for (x, want) in [(4.0, Some(30.0)), (7.0, Some(0.0)), (9.0, Some(0.0))] {
        let sample = Sample {
            point: dvec3(x, 30.0, 0.0),
            normal: DVec3::Z,
            area: 1.0,
            triangle: 0,
        };
        let steps = [BodyStep {
            radius_mm: 10.0,
            from_mm: 0.0,
        }];
        let got = stick_out_all(&reacher, &steps, &[], &[sample], 1e-6, Watch::NOBODY).unwrap();
        // From x the axis comes as far as x + 5; the holder is clear from 10 on.
        assert_eq!(got[0].map(|s| s.length_mm), want, "{x}");
        assert!(got[0].unwrap().least_mm <= got[0].unwrap().length_mm);
    }
}

/// More than one sample a triangle or one for many: areas add up, face by face.
#[test]
fn spread_samples_keep_the_area() {
    let mesh = model("featuretype_mm.stl");
    let want = geometry::measure::surface_area(&mesh);
    let mut last = usize::MAX;
    for spacing in [1.0, 4.0, 20.0] {
        let samples = spread_samples(&mesh, spacing);
        let total: f64 = samples.iter().map(|s| s.area).sum();
        assert!((total / want - 1.0).abs() < 1e-10, "{total} {want}");
        assert!(samples.len() <= last);
        last = samples.len();
        for s in &samples {
            let on = mesh.corners(s.triangle as usize);
            let n = (on[1] - on[0]).cross(on[2] - on[0]).normalize();
            assert!(n.dot(s.normal) > 1.0 - 1e-9 && n.dot(s.point - on[0]).abs() < 1e-9);
        }
    }
}

/// Seen points against all triangles: nothing over them by more than the tolerance.
#[test]
fn seen_points_have_nothing_over_them() {
    let mut random = Random(2);
    let tolerance = Tolerance::default();
    for name in [
        "featuretype_mm.stl",
        "mfcad_7-9-12-12-14-23.stl",
        "base_interface_AP203.stl",
    ] {
        let mesh = model(name);
        let turn = DMat3::from_quat(random.rotation());
        let map = HeightMap::new(&mesh, &turn, 0.8).unwrap();
        let samples: Vec<Sample> = surface_samples(&mesh, 6.0)
            .iter()
            .map(|s| s.turned(&turn))
            .step_by(5)
            .collect();
        let triangles: Vec<[DVec3; 3]> = mesh.iter_corners().map(|t| t.map(|p| turn * p)).collect();
        let seen =
            geometry::visibility::visible(&map, &samples, &tolerance, Watch::NOBODY).unwrap();
        let mut count = [0, 0];
        for (s, seen) in samples.iter().zip(seen) {
            let eye = s.point + s.normal * tolerance.gouge_mm;
            let hidden = triangles.iter().any(|t| over(t, eye, tolerance.gouge_mm));
            let want = s.normal.z >= -tolerance.square && !hidden;
            assert_eq!(seen, want, "{name} {s:?}");
            count[usize::from(seen)] += 1;
        }
        assert!(count[0] > 10 && count[1] > 10, "{count:?}");
    }
}

/// Moeller and Trumbore's test of the ray upwards (J. Graphics Tools 2(1), 1997).
fn over(t: &[DVec3; 3], eye: DVec3, beyond: f64) -> bool {
    let (e, f) = (t[1] - t[0], t[2] - t[0]);
    let p = DVec3::Z.cross(f);
    let det = e.dot(p);
    if det == 0.0 {
        return false;
    }
    let s = eye - t[0];
    let u = s.dot(p) / det;
    let q = s.cross(e);
    let v = DVec3::Z.dot(q) / det;
    u >= 0.0 && v >= 0.0 && u + v <= 1.0 && f.dot(q) / det > beyond
}

#[test]
fn beside_the_part_bounds_say_nothing_is_met() {
    let map = HeightMap::new(&block(DVec3::ZERO, DVec3::ONE), &DMat3::IDENTITY, 0.1).unwrap();
    let bounds = TipBounds::new(&map, &tool(1.0, 0.5));
    assert_eq!(bounds.at(DVec2::splat(9.0)), [f64::NEG_INFINITY; 2]);
}
