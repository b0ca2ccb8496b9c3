//! Laws of reach on random parts: smaller tools, longer reach, turned and mirrored models, finer
//! grids.

use crate::shapes::block;
use geometry::height_map::HeightMap;
use geometry::machined::MachinedBounds;
use geometry::mesh::Mesh;
use geometry::reach::{BodyStep, Reach, Reacher, Tolerance, reach_all, stick_out_all};
use geometry::samples::{Sample, surface_samples};
use geometry::tip_bounds::TipBounds;
use geometry::tool_shape::ToolShape;
use glam::{DMat3, DVec2, dvec3};
use proptest::prelude::*;
use units::Watch;

/// Blocks standing on a plate 40 x 30, one of them turned, one leaning.
fn part(blocks: &[([f64; 2], [f64; 3], f64, f64)]) -> Mesh {
    let mut out = block(dvec3(0.0, 0.0, -3.0), dvec3(40.0, 30.0, 0.0));
    for ([x, y], [a, b, c], turn, lean) in blocks {
        let body = block(dvec3(-a, -b, -2.0), dvec3(*a, *b, *c));
        let turn = glam::DMat4::from_translation(dvec3(*x, *y, 0.0))
            * glam::DMat4::from_rotation_z(*turn)
            * glam::DMat4::from_rotation_x(*lean);
        out.append(&body.transformed(&turn).unwrap());
    }
    out
}

fn parts() -> impl Strategy<Value = Mesh> {
    let one = (
        [4.0..36.0, 4.0..26.0],
        [1.0..8.0, 1.0..8.0, 2.0..12.0],
        0.0..3.0,
        -0.5..0.5,
    );
    prop::collection::vec(one, 1..4).prop_map(|blocks| part(&blocks))
}

fn answers(mesh: &Mesh, turn: &DMat3, tool: &ToolShape, step: f64, samples: &[Sample]) -> Vec<u8> {
    let map = HeightMap::new(mesh, turn, step).unwrap();
    let turned: Vec<Sample> = samples.iter().map(|s| s.turned(turn)).collect();
    let floor = map.z_range()[0];
    reach_all(
        &map,
        tool,
        &turned,
        floor,
        &Tolerance::default(),
        Watch::NOBODY,
    )
    .unwrap()
    .iter()
    .map(|r| match r {
        Reach::Finished(_) => 2,
        Reach::Stepped(_) => 1,
        Reach::Unreached => 0,
    })
    .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn a_smaller_tool_of_the_same_shape_never_reaches_less(
        mesh in parts(), r in 0.5..4.0, share in 0.5..0.97, corner in 0..3u8, step in 0.3..1.5,
    ) {
        let tool = |r: f64| {
            ToolShape::new(r, [0.0, 0.4, 1.0][usize::from(corner)] * r).unwrap()
        };
        let samples = surface_samples(&mesh, 3.0);
        let large = answers(&mesh, &DMat3::IDENTITY, &tool(r), step, &samples);
        let small = answers(&mesh, &DMat3::IDENTITY, &tool(share * r), step, &samples);
        for ((l, s), sample) in large.iter().zip(&small).zip(&samples) {
            prop_assert!(s >= l, "{sample:?}");
        }
    }

    #[test]
    fn turning_or_mirroring_the_model_turns_the_answer(
        mesh in parts(), r in 0.5..4.0, corner in 0..3u8, angle in 0.0..6.3, mirror: bool,
    ) {
        let tool = ToolShape::new(r, [0.0, 0.3, 1.0][usize::from(corner)] * r).unwrap();
        let samples = surface_samples(&mesh, 3.0);
        let sign = if mirror { -1.0 } else { 1.0 };
        let turn = DMat3::from_rotation_z(angle) * DMat3::from_diagonal(dvec3(sign, 1.0, 1.0));
        let straight = answers(&mesh, &DMat3::IDENTITY, &tool, 0.7, &samples);
        let turned = answers(&mesh, &turn, &tool, 0.45, &samples);
        // Rounding decides only where a sample lies exactly on the limit of what is reached.
        let moved = straight.iter().zip(&turned).filter(|(a, b)| a != b).count();
        prop_assert!(moved * 500 <= samples.len(), "{moved} of {}", samples.len());
    }

    #[test]
    fn a_wider_body_asks_no_less_and_more_length_never_reaches_less(
        mesh in parts(), r in 0.5..3.0, wide in 3.0..20.0, wider in 0.0..10.0,
    ) {
        let map = HeightMap::new(&mesh, &DMat3::IDENTITY, 0.6).unwrap();
        let tool = ToolShape::new(r, 0.0).unwrap();
        let reacher = Reacher::new(&map, &tool, -3.0, &Tolerance::default());
        let samples = surface_samples(&mesh, 4.0);
        let asked = |radius_mm: f64| {
            let steps = [BodyStep { radius_mm, from_mm: 0.0 }];
            stick_out_all(&reacher, &steps, &[], &samples, 1e-6, Watch::NOBODY).unwrap()
        };
        let (slim, fat) = (asked(wide), asked(wide + wider));
        for (s, f) in slim.iter().zip(&fat) {
            prop_assert_eq!(s.is_some(), f.is_some());
            if let (Some(s), Some(f)) = (s, f) {
                // The true least of the slim body is between its own bounds and below the fat
                // one's; the lower bounds alone need not be in order, as cells widen with bodies.
                prop_assert!(s.least_mm <= f.length_mm + 1e-6);
                prop_assert!(s.least_mm <= s.length_mm && f.least_mm <= f.length_mm);
                // The tip is a witness: at that length the body is clear.
                let body = ToolShape::new(wide, 0.0).unwrap().eased(1e-3);
                let end = s.tip.z + s.length_mm;
                prop_assert!(map.obstacle(&body, s.tip.truncate(), end + 1e-5).is_none());
            }
        }
        // So of two lengths the longer serves every sample the shorter does.
        let served = |length: f64| slim.iter().flatten().filter(|s| s.length_mm <= length).count();
        prop_assert!(served(5.0) <= served(8.0));
    }

    #[test]
    fn refining_changes_areas_by_less_than_the_stated_error(
        mesh in parts(), r in 1.0..4.0, corner in 0..3u8,
    ) {
        let tool = ToolShape::new(r, [0.0, 0.3, 1.0][usize::from(corner)] * r).unwrap();
        // The classification is exact at any step: nothing changes at all.
        let samples = surface_samples(&mesh, 3.0);
        let [coarse, fine] = [1.3, 0.4].map(|step| {
            answers(&mesh, &DMat3::IDENTITY, &tool, step, &samples)
        });
        prop_assert_eq!(coarse, fine);
        // What is machined: the bounds of the finer grid overlap those of the coarser.
        let over = [DVec2::ZERO, DVec2::new(40.0, 30.0)];
        let [c, f] = [1.0, 0.5].map(|step| {
            let map = HeightMap::new(&mesh, &DMat3::IDENTITY, step).unwrap();
            let tips = TipBounds::on_level(&map, &tool, 0);
            MachinedBounds::new(&tips, &tool, -3.0).volume_mm3(over)
        });
        prop_assert!(f[0] <= c[1] && c[0] <= f[1], "{c:?} {f:?}");
        prop_assert!(f[1] - f[0] <= c[1] - c[0]);
    }
}

/// A straight floor fillet and a drafted wall ask for a ball or bull: a flat tool steps them.
#[test]
fn a_fillet_or_draft_asks_for_a_rounded_tool() {
    let (radius, count) = (3.0, 24);
    // Floor y in 0..20 at z = 0, fillet up to a wall at y = 23, profile swept along x.
    let mut profile = vec![DVec2::new(0.0, 0.0)];
    for k in 0..=count {
        let a = std::f64::consts::FRAC_PI_2 * f64::from(k) / f64::from(count);
        profile.push(DVec2::new(
            20.0 + radius * a.sin(),
            radius * (1.0 - a.cos()),
        ));
    }
    profile.push(DVec2::new(23.0, 15.0));
    // A draft of 3 degrees above the wall.
    profile.push(DVec2::new(23.0 + 10.0 * 3f64.to_radians().tan(), 25.0));
    let mut points = Vec::new();
    let mut triangles = Vec::new();
    for (k, p) in profile.iter().enumerate() {
        points.extend([dvec3(0.0, p.x, p.y), dvec3(30.0, p.x, p.y)]);
        if k > 0 {
            let i = 2 * k as u32;
            triangles.extend([[i - 2, i - 1, i + 1], [i - 2, i + 1, i]]);
        }
    }
    let mesh = Mesh::new(points, triangles, None).unwrap();
    // A circle of radius c tangent to a facet at its end comes nearest, at angle t along the
    // fillet, to A (1 - cos t) - B sin t with A = r - c and B half a facet: A - hypot(A, B) at worst.
    let (apart, half) = (
        radius - 2.5,
        radius * (std::f64::consts::FRAC_PI_4 / f64::from(count)).sin(),
    );
    let tolerance = Tolerance {
        gouge_mm: apart.hypot(half) - apart + 1e-3,
        ..Tolerance::default()
    };
    let map = HeightMap::new(&mesh, &DMat3::IDENTITY, 0.5).unwrap();
    let samples: Vec<Sample> = surface_samples(&mesh, 0.5)
        .into_iter()
        .filter(|s| (6.0..24.0).contains(&s.point.x) && s.point.y > 4.0)
        .collect();
    let found = |r: f64, c: f64| {
        let tool = ToolShape::new(r, c).unwrap();
        reach_all(&map, &tool, &samples, -1.0, &tolerance, Watch::NOBODY).unwrap()
    };
    let (flat, ball, bull) = (found(4.0, 0.0), found(2.5, 2.5), found(5.0, 2.0));
    let too_round = found(4.0, 4.0);
    let mut seen = [0; 3];
    for (k, s) in samples.iter().enumerate() {
        let (y, z) = (s.point.y, s.point.z);
        if z > 15.0 {
            seen[0] += 1;
            assert!(matches!(flat[k], Reach::Stepped(_)), "draft {s:?}");
        } else if y > 20.2 && z < 2.8 {
            seen[1] += 1;
            assert!(
                !matches!(flat[k], Reach::Finished(_)),
                "fillet {s:?} {:?}",
                flat[k]
            );
            // Deep in the fillet a ball of larger radius than its own does not come.
            if (20.8..22.0).contains(&y) {
                assert_eq!(too_round[k], Reach::Unreached, "{s:?}");
            }
        } else {
            seen[2] += 1;
        }
        assert!(matches!(ball[k], Reach::Finished(_)), "ball {s:?}");
        assert!(matches!(bull[k], Reach::Finished(_)), "bull {s:?}");
    }
    assert!(seen.iter().all(|n| *n > 50), "{seen:?}");
}
