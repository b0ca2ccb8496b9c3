//! Cases whose answer is known exactly: slots, pocket corners, walls, holes, slants.

use crate::shapes::{Random, block};
use geometry::height_map::HeightMap;
use geometry::mesh::Mesh;
use geometry::reach::{Reach, Tolerance, reach, stick_out_mm};
use geometry::samples::{Sample, surface_samples};
use geometry::tool_shape::ToolShape;
use glam::{DMat3, DVec2, DVec3, dvec3};

const LOW: f64 = -1e6;

fn tool(radius: f64, corner: f64) -> ToolShape {
    ToolShape::new(radius, corner).unwrap()
}

/// Map and samples of a part seen along `turn`'s Z.
fn seen(mesh: &Mesh, turn: DMat3, step: f64, spacing: f64) -> (HeightMap, Vec<Sample>) {
    let map = HeightMap::new(mesh, &turn, step).unwrap();
    let mut samples = surface_samples(mesh, spacing);
    for s in &mut samples {
        s.point = turn * s.point;
        s.normal = turn * s.normal;
    }
    (map, samples)
}

fn reached(map: &HeightMap, tool: &ToolShape, s: &Sample) -> Reach {
    reach(map, tool, s.point, s.normal, LOW, &Tolerance::default())
}

/// A slot along y between two blocks on a plate, floor at z = 0, walls at +-width / 2.
fn slot(width: f64, depth: f64, length: f64) -> Mesh {
    let h = width / 2.0;
    let mut part = block(dvec3(-h - 15.0, 0.0, -2.0), dvec3(h + 15.0, length, 0.0));
    part.append(&block(dvec3(-h - 15.0, 0.0, 0.0), dvec3(-h, length, depth)));
    part.append(&block(dvec3(h, 0.0, 0.0), dvec3(h + 15.0, length, depth)));
    part
}

fn in_slot(s: &Sample, turn: &DMat3, width: f64, depth: f64) -> bool {
    let p = turn.transpose() * s.point;
    let n = turn.transpose() * s.normal;
    let wall = (p.x.abs() - width / 2.0).abs() < 1e-9 && n.x * p.x < 0.0 && p.z > 0.0;
    let floor = p.z == 0.0 && n.z > 0.5 && p.x.abs() < width / 2.0;
    (wall || floor) && p.z < depth && (6.0..24.0).contains(&p.y)
}

#[test]
fn a_tool_enters_a_slot_of_its_width_and_no_narrower_one_at_any_phase() {
    let mut random = Random(31);
    for round in 0..16 {
        for (width, enters) in [(8.0, true), (8.5, true), (7.99, false), (7.8, false)] {
            let turn = DMat3::from_rotation_z(if round < 4 {
                0.0
            } else {
                random.between(0.0, 6.3)
            });
            let part = slot(width, 20.0, 30.0);
            let (map, samples) = seen(&part, turn, random.between(0.2, 2.5), 3.0);
            let mut count = 0;
            for s in samples.iter().filter(|s| in_slot(s, &turn, width, 20.0)) {
                let r = reached(&map, &tool(4.0, 0.0), s);
                assert_eq!(
                    matches!(r, Reach::Finished(_)),
                    enters,
                    "{width} {s:?} {r:?}"
                );
                count += 1;
            }
            assert!(count > 50, "{count} samples");
        }
    }
}

#[test]
fn a_deep_slot_asks_its_depth_of_the_holder_only() {
    let part = slot(8.0, 60.0, 30.0);
    let (map, samples) = seen(&part, DMat3::IDENTITY, 1.0, 3.0);
    for s in samples
        .iter()
        .filter(|s| s.point.z == 0.0 && in_slot(s, &DMat3::IDENTITY, 8.0, 60.0))
    {
        let tip = reached(&map, &tool(4.0, 0.0), s).tip().unwrap();
        let length = |radius: f64| stick_out_mm(&map, tip, radius, &Tolerance::default());
        assert_eq!((length(3.9), length(20.0)), (0.0, 60.0));
    }
}

/// A pocket 40 x 40 with corners of radius r, walls only, and a floor around one corner.
fn pocket_corner(r: f64, arc: u32) -> Mesh {
    let mut outline = vec![DVec2::new(0.0, 30.0)];
    for k in 0..=arc {
        let a = std::f64::consts::PI * (1.0 + 0.5 * f64::from(k) / f64::from(arc));
        outline.push(DVec2::new(r + r * a.cos(), r + r * a.sin()));
    }
    outline.push(DVec2::new(30.0, 0.0));
    let mut points = Vec::new();
    let mut triangles = Vec::new();
    for (k, p) in outline.iter().enumerate() {
        points.extend([p.extend(0.0), p.extend(10.0)]);
        if k > 0 {
            let i = 2 * k as u32;
            triangles.extend([[i - 2, i, i + 1], [i - 2, i + 1, i - 1]]);
        }
    }
    let mut mesh = Mesh::new(points, triangles, None).unwrap();
    let floor = [(0.0, 0.0), (8.0, 0.0), (8.0, 8.0), (0.0, 8.0)].map(|(x, y)| dvec3(x, y, 0.0));
    mesh.append(&Mesh::new(floor.to_vec(), vec![[0, 1, 2], [0, 2, 3]], None).unwrap());
    mesh
}

/// A tool of radius R leaves (R^2 - r^2)(1 - pi/4) of the floor in a corner of radius r < R.
#[test]
fn a_large_tool_leaves_the_corner_of_a_pocket() {
    let spacing = 0.1;
    for (r, big) in [(3.0, 5.0), (0.5, 4.0), (2.0, 6.0)] {
        let (map, samples) = seen(&pocket_corner(r, 64), DMat3::IDENTITY, 0.5, spacing);
        let left: f64 = samples
            .iter()
            .filter(|s| s.normal.z == 1.0)
            .filter(|s| {
                // On the pocket side of the rounded corner.
                let d = DVec2::splat(r) - s.point.truncate();
                d.min_element() < 0.0 || d.length() < r
            })
            .filter(|s| reached(&map, &tool(big, 0.0), s) == Reach::Unreached)
            .map(|s| s.area)
            .sum();
        let want = (big * big - r * r) * (1.0 - std::f64::consts::FRAC_PI_4);
        // Only pieces on the outline of what is left can be counted wrongly, half on average.
        let outline = std::f64::consts::FRAC_PI_2 * (big + r) + 2.0 * (big - r);
        assert!(
            (left - want).abs() < 0.25 * outline * spacing,
            "r {r} R {big}: {left} for {want}"
        );
    }
}

#[test]
fn a_ball_reaches_a_wall_only_its_radius_above_the_floor() {
    let (map, samples) = seen(&slot(30.0, 20.0, 30.0), DMat3::IDENTITY, 1.0, 0.7);
    let mut below = 0;
    for s in samples
        .iter()
        .filter(|s| s.normal.x == 1.0 && s.point.x == -15.0)
    {
        if s.point.z <= 0.0 {
            continue;
        }
        let got = reached(&map, &tool(4.0, 4.0), s) != Reach::Unreached;
        // The lowest tip touches the floor, so the centre is 4 above; a micrometre is allowed.
        assert_eq!(got, s.point.z >= 4.0 - 1e-3, "{}", s.point.z);
        below += usize::from(!got);
        // A bull-nose of corner 1.5 comes to 1.5 above the floor, a flat one all the way.
        let bull = reached(&map, &tool(4.0, 1.5), s) != Reach::Unreached;
        assert_eq!(bull, s.point.z >= 1.5 - 1e-3);
        assert!(matches!(
            reached(&map, &tool(4.0, 0.0), s),
            Reach::Finished(_)
        ));
    }
    assert!(below > 20);
}

#[test]
fn a_slanted_face_asks_for_its_direction_or_a_ball() {
    let face = vec![
        dvec3(0.0, 0.0, 0.0),
        dvec3(40.0, 0.0, 0.0),
        dvec3(40.0, 30.0, 0.0),
        dvec3(0.0, 30.0, 0.0),
    ];
    let plane = Mesh::new(face, vec![[0, 1, 2], [0, 2, 3]], None).unwrap();
    let tilt = DMat3::from_rotation_y(30f64.to_radians());
    let (map, samples) = seen(&plane, tilt, 1.0, 2.0);
    let (flat_map, flat_samples) = seen(&plane, DMat3::IDENTITY, 1.0, 2.0);
    for (s, square) in samples.iter().zip(&flat_samples) {
        assert!(matches!(
            reached(&map, &tool(4.0, 0.0), s),
            Reach::Stepped(_)
        ));
        assert!(matches!(
            reached(&map, &tool(4.0, 4.0), s),
            Reach::Finished(_)
        ));
        assert!(matches!(
            reached(&flat_map, &tool(4.0, 0.0), square),
            Reach::Finished(_)
        ));
    }
    let down = DMat3::from_rotation_y(std::f64::consts::PI);
    let (map, samples) = seen(&plane, down, 1.0, 2.0);
    assert!(
        samples
            .iter()
            .all(|s| reached(&map, &tool(4.0, 0.0), s) == Reach::Unreached)
    );
}

/// A tube of four outer walls with a round hole: reached along its axis, hidden from the side.
#[test]
fn a_hole_needs_its_axis() {
    let count = 48;
    let mut points = Vec::new();
    let mut triangles = Vec::new();
    for k in 0..count {
        let a = std::f64::consts::TAU * f64::from(k) / f64::from(count);
        let p = dvec3(10.0 + 5.0 * a.cos(), 10.0 + 5.0 * a.sin(), 0.0);
        points.extend([p, p + dvec3(0.0, 0.0, 12.0)]);
        let (i, j) = (2 * k, 2 * ((k + 1) % count));
        triangles.extend([[i, i + 1, j + 1], [i, j + 1, j]]);
    }
    let hole = Mesh::new(points, triangles, None).unwrap();
    let mut part = hole.clone();
    for (low, high) in [
        (dvec3(0.0, 0.0, 0.0), dvec3(4.0, 20.0, 12.0)),
        (dvec3(16.0, 0.0, 0.0), dvec3(20.0, 20.0, 12.0)),
        (dvec3(4.0, 0.0, 0.0), dvec3(16.0, 4.0, 12.0)),
        (dvec3(4.0, 16.0, 0.0), dvec3(16.0, 20.0, 12.0)),
    ] {
        part.append(&block(low, high));
    }
    let samples = surface_samples(&hole, 2.0);
    // A tool tangent to a facet at its end cuts into the next one by r (1 - cos of their turn).
    let chord = 3.0 * (1.0 - (std::f64::consts::TAU / f64::from(count)).cos());
    let tolerance = Tolerance {
        gouge_mm: chord,
        ..Tolerance::default()
    };
    let from_side = DMat3::from_cols(DVec3::Z, DVec3::X, DVec3::Y).transpose();
    for (turn, want) in [(DMat3::IDENTITY, true), (from_side, false)] {
        let map = HeightMap::new(&part, &turn, 0.8).unwrap();
        for s in &samples {
            let got = reach(
                &map,
                &tool(3.0, 0.0),
                turn * s.point,
                turn * s.normal,
                LOW,
                &tolerance,
            );
            assert_eq!(got != Reach::Unreached, want, "{s:?}");
        }
    }
}

/// The ceiling of a T-slot faces down, its lower walls lie under it: neither is reached.
#[test]
fn the_undercut_of_a_t_slot_is_unreached() {
    let mut part = block(dvec3(-30.0, 0.0, -2.0), dvec3(30.0, 40.0, 0.0));
    for side in [-1.0, 1.0] {
        let span = |a: f64, b: f64| if side > 0.0 { (a, b) } else { (-b, -a) };
        let (l, h) = span(10.0, 30.0);
        part.append(&block(dvec3(l, 0.0, 0.0), dvec3(h, 40.0, 8.0)));
        let (l, h) = span(5.0, 30.0);
        part.append(&block(dvec3(l, 0.0, 8.0), dvec3(h, 40.0, 16.0)));
    }
    let (map, samples) = seen(&part, DMat3::IDENTITY, 1.0, 2.0);
    for s in samples.iter().filter(|s| (6.0..34.0).contains(&s.point.y)) {
        let p = s.point;
        let got = reached(&map, &tool(4.0, 0.0), s) != Reach::Unreached;
        if p.z == 8.0 && s.normal.z < 0.0 && p.x.abs() < 10.0 {
            assert!(!got, "ceiling {p}");
        } else if p.x.abs() == 10.0 && s.normal.x * p.x < 0.0 && p.z < 8.0 {
            assert!(!got, "undercut wall {p}");
        } else if p.z == 0.0 && s.normal.z > 0.0 && p.x.abs() < 10.0 {
            assert_eq!(got, p.x.abs() < 5.0, "floor {p}");
        } else if p.x.abs() == 5.0 && s.normal.x * p.x < 0.0 {
            assert!(got, "neck {p}");
        }
    }
}

#[test]
fn samples_share_out_the_whole_area() {
    let mesh = slot(8.0, 20.0, 30.0);
    for spacing in [0.9, 5.0, 1e9] {
        let total: f64 = surface_samples(&mesh, spacing).iter().map(|s| s.area).sum();
        let want = geometry::measure::surface_area(&mesh);
        assert!((total / want - 1.0).abs() < 1e-12, "{total} {want}");
    }
}

/// The floor of the setup stops the tip.
#[test]
fn nothing_below_the_clamp_plane() {
    let (map, samples) = seen(&slot(8.0, 20.0, 30.0), DMat3::IDENTITY, 1.0, 3.0);
    for s in samples
        .iter()
        .filter(|s| in_slot(s, &DMat3::IDENTITY, 8.0, 20.0))
    {
        let got = reach(
            &map,
            &tool(4.0, 0.0),
            s.point,
            s.normal,
            5.0,
            &Tolerance::default(),
        );
        assert_eq!(got != Reach::Unreached, s.point.z >= 5.0);
    }
}
