//! Tip heights against closed forms and against all triangles of real parts.

use crate::shapes::{Random, block, data};
use geometry::contact::contact;
use geometry::height_map::HeightMap;
use geometry::mesh::Mesh;
use geometry::readers::read;
use geometry::tip_map::tip_map;
use geometry::tool_shape::ToolShape;
use glam::{DMat3, DVec2, DVec3, Vec3Swizzles, dvec2, dvec3};

fn tools() -> [ToolShape; 4] {
    [(4.0, 0.0), (4.0, 4.0), (4.0, 1.5), (0.5, 0.1)].map(|(r, c)| ToolShape::new(r, c).unwrap())
}

#[test]
fn only_sensible_tools_exist() {
    for (r, c) in [
        (0.0, 0.0),
        (-1.0, 0.0),
        (1.0, 2.0),
        (1.0, -0.1),
        (f64::NAN, 0.0),
        (1.0, f64::NAN),
    ] {
        assert!(ToolShape::new(r, c).is_err(), "{r} {c}");
    }
}

/// On a plane of slope s the corner's circle touches: tip = flat s + c (sqrt(1 + s^2) - 1).
#[test]
fn every_tool_on_a_sloping_plane() {
    let mut random = Random(4);
    for tool in tools() {
        for slope in [0.0, 0.1, 1.0, 5.0, 50.0] {
            let (sin, cos) = random.between(0.0, 6.3).sin_cos();
            let uphill = dvec2(cos, sin);
            let corner = |u: f64, v: f64| {
                let p = uphill * u + uphill.perp() * v;
                p.extend(slope * u)
            };
            let plane = [
                corner(-90.0, -80.0),
                corner(99.0, -70.0),
                corner(3.0, 120.0),
            ];
            let got = contact(&tool, DVec2::ZERO, &plane).unwrap().tip_z;
            let c = tool.corner_mm();
            let want = tool.flat_mm() * slope + c * ((1.0f64 + slope * slope).sqrt() - 1.0);
            assert!(
                (got - want).abs() < 1e-9 * (1.0 + want),
                "{tool:?} {slope}: {got} {want}"
            );
        }
    }
}

/// Sphere of latitude and longitude facets; they lie inside by at most the sagitta.
fn sphere(radius: f64, count: u32) -> (Mesh, f64) {
    let angle = |k: u32, n: u32| std::f64::consts::TAU * f64::from(k) / f64::from(n);
    let mut points = Vec::new();
    for i in 0..=count / 2 {
        for j in 0..count {
            let (a, b) = (angle(i, count), angle(j, count));
            points.push(dvec3(a.sin() * b.cos(), a.sin() * b.sin(), a.cos()) * radius);
        }
    }
    let mut triangles = Vec::new();
    for i in 0..count / 2 {
        for j in 0..count {
            let at = |i: u32, j: u32| i * count + j % count;
            triangles.push([at(i, j), at(i + 1, j), at(i + 1, j + 1)]);
            triangles.push([at(i, j), at(i + 1, j + 1), at(i, j + 1)]);
        }
    }
    let sagitta = 2.0 * radius * (1.0 - (std::f64::consts::PI / f64::from(count)).cos());
    (Mesh::new(points, triangles, None).unwrap(), sagitta)
}

#[test]
fn ball_and_bull_on_a_sphere() {
    let (mesh, sagitta) = sphere(10.0, 160);
    let map = HeightMap::new(&mesh, &DMat3::IDENTITY, 0.7).unwrap();
    for tool in tools() {
        let (c, flat) = (tool.corner_mm(), tool.flat_mm());
        for d in [0.0, 0.3, 2.0, 5.0, 8.0] {
            let off: f64 = (d - flat).max(0.0);
            let want = ((10.0 + c) * (10.0 + c) - off * off).sqrt() - c;
            let got = map.tip(&tool, dvec2(d, 0.0)).unwrap().tip_z;
            // A step off the sphere along its normal costs 1 / cos of it in height.
            let steep = (10.0 + c) / (want + c);
            assert!(
                got <= want + 1e-9 && got >= want - sagitta * steep,
                "{tool:?} {d} {got} {want}"
            );
        }
    }
}

/// Height alone does not see a wall 0.4 mm thick between samples; the tip map must, at any phase.
#[test]
fn a_thin_rib_holds_the_tool_at_any_phase() {
    let mut random = Random(8);
    for _ in 0..40 {
        let x = random.between(10.0, 20.0);
        let mut part = block(DVec3::ZERO, dvec3(30.0, 20.0, 1.0));
        part.append(&block(dvec3(x, 5.0, 1.0), dvec3(x + 0.4, 15.0, 11.0)));
        let step = random.between(0.3, 3.0);
        let map = HeightMap::new(&part, &DMat3::IDENTITY, step).unwrap();
        for tool in tools() {
            let at = dvec2(
                x + 0.2 + random.between(-0.1, 0.1),
                random.between(6.0, 14.0),
            );
            // Over the rib even a ball stands on its top or edge.
            let tip = map.tip(&tool, at).unwrap().tip_z;
            let reach = 0.1f64;
            assert!(
                tip <= 11.0 && tip >= 11.0 - tool.profile_mm(reach) - 1e-9,
                "{tip}"
            );
            let beyond = tool.radius_mm() + 0.2 + 1e-6;
            let free = map.tip(&tool, dvec2(x + 0.2 + beyond, 10.0)).unwrap().tip_z;
            assert_eq!(free, 1.0);
        }
    }
}

/// Two-sided check at random places of real parts from random directions: the tip is held by a
/// point that is on the part, and no point of the part, of many on every triangle, sticks into the
/// tool. The search must also find the same as a walk over all triangles.
#[test]
fn tips_on_real_parts_against_every_triangle() {
    let mut random = Random(11);
    for name in [
        "featuretype_mm.stl",
        "mfcad_10-10-11-11-11-23.stl",
        "mfcad_0-0-5-5-6-23.stl",
        "motor_antigravity_4004_custom_shaft.stl",
        "plate_holes.stl",
    ] {
        let mesh = read(&data(name), name).unwrap().mesh;
        for round in 0..3 {
            let turn = match round {
                0 => DMat3::IDENTITY,
                1 => DMat3::from_cols(DVec3::Y, DVec3::Z, DVec3::X),
                _ => DMat3::from_quat(random.rotation()),
            };
            let [low, high] = turned_bounds(&mesh, &turn);
            let size = (high - low).max_element();
            let map = HeightMap::new(&mesh, &turn, size / random.between(20.0, 150.0)).unwrap();
            let triangles: Vec<[DVec3; 3]> =
                mesh.iter_corners().map(|t| t.map(|p| turn * p)).collect();
            for share in [0.02, 0.1] {
                for corner in [0.0, 0.3, 1.0] {
                    let r = share * size;
                    let tool = ToolShape::new(r, corner * r).unwrap();
                    for _ in 0..4 {
                        let axis =
                            dvec2(random.between(low.x, high.x), random.between(low.y, high.y));
                        check_tip(&map, &triangles, &tool, axis, size, &mut random);
                    }
                }
            }
        }
    }
}

fn turned_bounds(mesh: &Mesh, turn: &DMat3) -> [DVec3; 2] {
    mesh.iter_corners()
        .flatten()
        .map(|p| *turn * p)
        .fold([DVec3::INFINITY, DVec3::NEG_INFINITY], |[l, h], p| {
            [l.min(p), h.max(p)]
        })
}

fn check_tip(
    map: &HeightMap,
    triangles: &[[DVec3; 3]],
    tool: &ToolShape,
    axis: DVec2,
    size: f64,
    random: &mut Random,
) {
    let rounding = 1e-9 * size;
    let found = map.tip(tool, axis);
    let all = triangles
        .iter()
        .filter_map(|t| contact(tool, axis, t))
        .map(|c| c.tip_z)
        .fold(f64::NEG_INFINITY, f64::max);
    let tip = found.map_or(f64::NEG_INFINITY, |f| f.tip_z);
    assert!(
        tip == all || (tip - all).abs() <= rounding,
        "{tip} against {all}: {tool:?} at {axis}"
    );
    let Some(found) = found else { return };
    let held =
        found.point.z - tool.profile_mm(found.point.xy().distance(axis).min(tool.radius_mm()));
    // Near the rim of a ball the profile is steep: compare where it is held, loosely, by height.
    assert!((held - tip).abs() <= 1e-4 * size, "{held} {tip}");
    assert!(map.obstacle(tool, axis, tip + rounding).is_none());
    assert!(map.obstacle(tool, axis, tip - rounding).is_some());
    let nearest = triangles
        .iter()
        .map(|t| distance_to_plane_inside(t, found.point))
        .fold(f64::INFINITY, f64::min);
    assert!(
        nearest <= 1e-6 * size,
        "held by a point {nearest} off the part"
    );
    for t in triangles {
        for _ in 0..12 {
            let (mut u, mut v) = (random.between(0.0, 1.0), random.between(0.0, 1.0));
            if u + v > 1.0 {
                (u, v) = (1.0 - u, 1.0 - v);
            }
            let p = t[0] + (t[1] - t[0]) * u + (t[2] - t[0]) * v;
            let bottom = tip + tool.profile_mm(p.xy().distance(axis));
            assert!(
                p.z <= bottom + rounding,
                "{p} sticks {} into {tool:?}",
                p.z - bottom
            );
        }
    }
}

/// Distance of `p` from the triangle: to its plane when over its inside, to its sides otherwise.
fn distance_to_plane_inside([a, b, c]: &[DVec3; 3], p: DVec3) -> f64 {
    let to_segment = |u: DVec3, v: DVec3| {
        let along = v - u;
        let t = if along == DVec3::ZERO {
            0.0
        } else {
            ((p - u).dot(along) / along.length_squared()).clamp(0.0, 1.0)
        };
        (u + along * t).distance(p)
    };
    let sides = to_segment(*a, *b)
        .min(to_segment(*b, *c))
        .min(to_segment(*c, *a));
    let n = (*b - *a).cross(*c - *a);
    let over = |u: DVec3, v: DVec3| n.dot((v - u).cross(p - u)) >= 0.0;
    if n != DVec3::ZERO && over(*a, *b) && over(*b, *c) && over(*c, *a) {
        return sides.min((p - *a).dot(n.normalize()).abs());
    }
    sides
}

/// The map agrees with single questions, and rows in parallel give the same as one thread.
#[test]
fn tip_maps_are_exact_at_their_nodes() {
    let mesh = read(&data("featuretype_mm.stl"), "").unwrap().mesh;
    let map = HeightMap::new(&mesh, &DMat3::IDENTITY, 1.0).unwrap();
    let tool = ToolShape::new(3.0, 1.0).unwrap();
    let tips = tip_map(&map, &tool, 2.0, -5.0);
    let one = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .unwrap();
    assert_eq!(
        one.install(|| tip_map(&map, &tool, 2.0, -5.0)).tip_z,
        tips.tip_z
    );
    for (k, z) in tips.tip_z.iter().enumerate().step_by(97) {
        let at = tips.origin + dvec2((k % tips.width) as f64, (k / tips.width) as f64) * 2.0;
        let want = map.tip(&tool, at).map_or(-5.0, |c| c.tip_z.max(-5.0));
        assert_eq!(*z, want);
    }
}

/// Laws: a smaller tool of the same kind never stands higher, and a mirrored part has mirrored
/// tips.
#[test]
fn laws_of_tips() {
    let mesh = read(&data("featuretype_mm.stl"), "").unwrap().mesh;
    let map = HeightMap::new(&mesh, &DMat3::IDENTITY, 1.3).unwrap();
    let mirror = DMat3::from_diagonal(dvec3(-1.0, 1.0, 1.0));
    let mirrored = HeightMap::new(&mesh, &mirror, 0.9).unwrap();
    let mut random = Random(21);
    for _ in 0..300 {
        let at = dvec2(random.between(-66.0, 66.0), random.between(-34.0, 34.0));
        let r = random.between(0.5, 9.0);
        for share in [0.0, 0.4, 1.0] {
            let tool = |r: f64| ToolShape::new(r, share * r).unwrap();
            let [small, large] = [tool(0.8 * r), tool(r)].map(|t| map.tip(&t, at).map(|c| c.tip_z));
            if let (Some(s), large) = (small, large) {
                assert!(large.is_some_and(|l| s <= l + 1e-9), "{s} {large:?}");
            }
            let flipped = mirrored.tip(&tool(r), dvec2(-at.x, at.y)).map(|c| c.tip_z);
            match (large, flipped) {
                (Some(a), Some(b)) => assert!((a - b).abs() < 1e-9),
                (a, b) => assert_eq!(a, b),
            }
        }
    }
}

fn triangles_of(mesh: &Mesh, keep: impl Fn([DVec3; 3]) -> bool, flip: bool) -> Mesh {
    let triangles = (0..mesh.triangles().len())
        .filter(|&t| keep(mesh.corners(t)))
        .map(|t| mesh.triangles()[t])
        .map(|[a, b, c]| if flip { [a, c, b] } else { [a, b, c] })
        .collect();
    Mesh::new(mesh.points().to_vec(), triangles, None).unwrap()
}

/// A prism along y over a quadrilateral of the xz plane whose sides cross: one of its two pieces
/// is turned inside out, though the skin is closed and encloses more than nothing.
fn crossed_prism() -> Mesh {
    let outline = [(0.0, 0.0), (20.0, 10.0), (20.0, 0.0), (0.0, 4.0)];
    let points = [0.0, 10.0]
        .iter()
        .flat_map(|&y| outline.map(|(x, z)| dvec3(x, y, z)))
        .collect();
    let mut triangles = vec![[0, 2, 1], [0, 3, 2], [4, 5, 6], [4, 6, 7]];
    for k in 0..4 {
        let next = (k + 1) % 4;
        triangles.extend([[k, next, next + 4], [k, next + 4, k + 4]]);
    }
    let mesh = Mesh::new(points, triangles, None).unwrap();
    let inward = geometry::measure::signed_volume(&mesh) < 0.0;
    triangles_of(&mesh, |_| true, inward)
}

/// Every triangle cut into four, five times.
fn finely(mesh: &Mesh) -> Mesh {
    let mut open: Vec<[DVec3; 3]> = mesh.iter_corners().collect();
    for _ in 0..5 {
        open = open
            .into_iter()
            .flat_map(|[a, b, c]| {
                let [p, q, r] = [(a + b) / 2.0, (b + c) / 2.0, (c + a) / 2.0];
                [[a, p, r], [p, b, q], [r, q, c], [p, q, r]]
            })
            .collect();
    }
    let triangles = (0..open.len() as u32).map(|t| [3 * t, 3 * t + 1, 3 * t + 2]);
    let points = open.into_iter().flatten().collect();
    Mesh::new(points, triangles.collect(), None)
        .unwrap()
        .welded()
}

/// Walls and undersides are left out where a sound skin makes them needless, and only there:
/// whatever the skin, the tip is that over all triangles.
#[test]
fn skins_open_inward_crossed_or_mirrored_hold_the_tool_as_all_their_triangles_do() {
    let box_of = |size: f64| block(DVec3::splat(10.0 - size), DVec3::splat(10.0 + size));
    let outer = box_of(9.0);
    let mut hollow = outer.clone();
    hollow.append(&triangles_of(&box_of(4.0), |_| true, true));
    let mut overlapping = outer.clone();
    overlapping.append(&block(dvec3(5.0, 5.0, 5.0), dvec3(25.0, 9.0, 24.0)));
    let mut inward_beside = outer.clone();
    let beside = block(dvec3(30.0, 0.0, 0.0), dvec3(36.0, 6.0, 6.0));
    inward_beside.append(&triangles_of(&beside, |_| true, true));
    let level = |z: f64| move |t: [DVec3; 3]| t.iter().all(|p| p.z == z);
    let skins = [
        ("sound", outer.clone()),
        ("inward", triangles_of(&outer, |_| true, true)),
        (
            "without top",
            triangles_of(&outer, |t| !level(19.0)(t), false),
        ),
        ("underside alone", triangles_of(&outer, level(1.0), false)),
        ("hollow", hollow),
        ("overlapping", overlapping),
        ("inward beside", inward_beside),
        ("crossed", crossed_prism()),
    ];
    let mut random = Random(77);
    let fine = skins.clone().map(|(name, mesh)| (name, finely(&mesh)));
    // The piece turned inside out shows between corners only: posts stand over those.
    let mut hidden = crossed_prism();
    for y in [-1.0, 9.0] {
        hidden.append(&block(dvec3(-1.0, y, -1.0), dvec3(1.0, y + 2.0, 6.0)));
    }
    hidden.append(&finely(&block(
        dvec3(30.0, 0.0, 0.0),
        dvec3(36.0, 6.0, 6.0),
    )));
    let hidden = [("crossed between corners", hidden)];
    for (name, mesh) in skins.into_iter().chain(fine).chain(hidden) {
        let turned = DMat3::from_quat(random.rotation());
        let mirror = DMat3::from_diagonal(dvec3(1.0, 1.0, -1.0));
        for turn in [DMat3::IDENTITY, turned, mirror, mirror * turned] {
            let map = HeightMap::new(&mesh, &turn, random.between(0.5, 3.0)).unwrap();
            let [low, high] = turned_bounds(&mesh, &turn);
            for tool in tools() {
                let places = if name.contains("between") { 24 } else { 8 };
                for _ in 0..places {
                    let axis = dvec2(random.between(low.x, high.x), random.between(low.y, high.y));
                    let want = mesh
                        .iter_corners()
                        .filter_map(|t| contact(&tool, axis, &t.map(|p| turn * p)))
                        .map(|c| c.tip_z)
                        .reduce(f64::max);
                    let got = map.tip(&tool, axis).map(|c| c.tip_z);
                    match (got, want) {
                        (Some(g), Some(w)) => {
                            assert!((g - w).abs() < 1e-6, "{name} {tool:?} {axis}: {g} {w}");
                        }
                        _ => assert_eq!(got, want, "{name} {tool:?} {axis}"),
                    }
                }
            }
        }
    }
}
