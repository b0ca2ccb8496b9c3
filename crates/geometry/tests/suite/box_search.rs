//! The smallest box against closed forms, laws and an independent search.

use crate::shapes::{Random, block, data};
use geometry::hull::Hull;
use geometry::oriented_box::{OrientedBox, smallest_box};
use geometry::readers::read;
use glam::{DMat3, DVec3, dvec3};

fn close(found: &OrientedBox, want: [f64; 3], relative: f64) {
    for (f, w) in found.extents.iter().zip(want) {
        assert!(
            (f - w).abs() <= relative * want[0],
            "{found:?} against {want:?}"
        );
    }
}

fn contains(found: &OrientedBox, points: &[DVec3]) {
    let half = DVec3::from_array(found.extents) / 2.0 * (1.0 + 1e-9) + DVec3::splat(1e-9);
    for p in points {
        let local = found.part_from_box.transpose() * (*p - found.centre);
        assert!(
            local.abs().cmple(half).all(),
            "{p} outside by {}",
            local.abs() - half
        );
    }
    assert!((found.part_from_box.determinant() - 1.0).abs() < 1e-9);
    assert!(found.extents.is_sorted_by(|a, b| a >= b));
}

#[test]
fn turned_blocks_are_found_exactly() {
    let mut random = Random(1);
    for _ in 0..20 {
        let size = dvec3(
            random.between(1.0, 9.0),
            random.between(1.0, 9.0),
            random.between(0.01, 9.0),
        );
        let turn = random.rotation();
        let shift = random.point(100.0);
        let points: Vec<DVec3> = block(DVec3::ZERO, size)
            .points()
            .iter()
            .map(|p| turn * *p + shift)
            .collect();
        let found = smallest_box(&points).unwrap();
        let mut want = size.to_array();
        want.sort_by(|a, b| b.total_cmp(a));
        close(&found, want, 1e-9);
        contains(&found, &points);
        assert!(found.proven > 0.998);
    }
}

/// The smallest box of a regular tetrahedron of edge a is a cube of side a / sqrt 2 and touches no
/// face: a search over face directions alone misses it.
#[test]
fn tetrahedron_in_a_cube() {
    let corners = [
        dvec3(1.0, 1.0, 1.0),
        dvec3(1.0, -1.0, -1.0),
        dvec3(-1.0, 1.0, -1.0),
        dvec3(-1.0, -1.0, 1.0),
    ];
    let mut random = Random(2);
    for _ in 0..5 {
        let turn = random.rotation();
        let points = corners.map(|p| turn * p);
        let found = smallest_box(&points).unwrap();
        close(&found, [2.0, 2.0, 2.0], 1e-9);
        contains(&found, &points);
    }
}

#[test]
fn degenerate_clouds() {
    assert!(smallest_box(&[]).is_none());
    close(&smallest_box(&[DVec3::ONE; 5]).unwrap(), [0.0; 3], 1e-12);
    let line: Vec<DVec3> = (0..9)
        .map(|i| dvec3(1.0, 2.0, 2.0) * f64::from(i))
        .collect();
    close(&smallest_box(&line).unwrap(), [24.0, 0.0, 0.0], 1e-12);
    // A rectangle in a tilted plane, with points inside and repeated.
    let (u, v) = (dvec3(0.6, 0.8, 0.0), dvec3(0.0, 0.0, 1.0));
    let flat: Vec<DVec3> = (0..60)
        .map(|i| u * f64::from(i % 6) + v * f64::from(i / 6 % 4))
        .collect();
    close(&smallest_box(&flat).unwrap(), [5.0, 3.0, 0.0], 1e-9);
    let aligned: Vec<DVec3> = (0..12)
        .map(|i| dvec3(f64::from(i % 4), f64::from(i / 4), 7.0))
        .collect();
    assert_eq!(smallest_box(&aligned).unwrap().extents, [3.0, 2.0, 0.0]);
}

#[test]
fn an_aligned_block_stays_aligned() {
    let found = smallest_box(block(DVec3::ZERO, dvec3(2.0, 2.0, 2.0)).points()).unwrap();
    for axis in [
        found.part_from_box.x_axis,
        found.part_from_box.y_axis,
        found.part_from_box.z_axis,
    ] {
        assert_eq!(axis.abs().max_element(), 1.0);
    }
}

/// Many points on coordinate planes, edges and corners of a lattice: all kinds of degeneracy.
#[test]
fn hull_of_a_lattice_is_its_box() {
    let points: Vec<DVec3> = (0..1000)
        .map(|i| {
            dvec3(
                f64::from(i % 10),
                f64::from(i / 10 % 10),
                f64::from(i / 100),
            )
        })
        .collect();
    let Hull::Solid {
        points: corners,
        triangles,
    } = Hull::of(&points)
    else {
        panic!()
    };
    assert!(
        corners
            .iter()
            .all(|p| [p.x, p.y, p.z].iter().all(|c| *c == 0.0 || *c == 9.0) || on_rim(p))
    );
    assert_eq!(triangles.len(), 2 * corners.len() - 4, "Euler");
    close(&smallest_box(&points).unwrap(), [9.0; 3], 1e-12);
}

fn on_rim(p: &DVec3) -> bool {
    [p.x, p.y, p.z].iter().any(|c| *c == 0.0 || *c == 9.0)
}

#[test]
fn hull_contains_every_point_and_is_convex() {
    let mut random = Random(5);
    for (count, snapped) in [(5, false), (50, true), (3000, false), (3000, true)] {
        let points: Vec<DVec3> = (0..count)
            .map(|_| {
                let p = random.point(8.0);
                if snapped { p.round() } else { p }
            })
            .collect();
        let Hull::Solid {
            points: corners,
            triangles,
        } = Hull::of(&points)
        else {
            panic!()
        };
        assert_eq!(triangles.len(), 2 * corners.len() - 4);
        for t in &triangles {
            let [a, b, c] = t.map(|i| corners[i as usize]);
            let n = (b - a).cross(c - a);
            assert!(n.length() > 0.0);
            for p in &points {
                assert!(n.dot(*p - a) <= 1e-9 * n.length(), "{p} outside");
            }
        }
    }
}

/// Laws: turning the cloud does not change the box; the box holds all points, is never larger
/// than the aligned one, and no box of ten thousand random turns beats it by more than the proof.
#[test]
fn laws_of_random_clouds() {
    let mut random = Random(9);
    for count in [4, 7, 12, 40] {
        let points: Vec<DVec3> = (0..count).map(|_| random.point(5.0)).collect();
        let found = smallest_box(&points).unwrap();
        contains(&found, &points);
        let volume_along = |frame: DMat3| -> f64 {
            (0..3)
                .map(|k| {
                    let d: Vec<f64> = points.iter().map(|p| frame.col(k).dot(*p)).collect();
                    d.iter().copied().fold(f64::MIN, f64::max)
                        - d.iter().copied().fold(f64::MAX, f64::min)
                })
                .product()
        };
        assert!(found.volume() <= volume_along(DMat3::IDENTITY) * (1.0 + 1e-9));
        for _ in 0..10_000 {
            let other = volume_along(DMat3::from_quat(random.rotation()));
            assert!(other >= found.volume() * found.proven, "{other} {found:?}");
        }
        let turn = random.rotation();
        let turned: Vec<DVec3> = points.iter().map(|p| turn * *p).collect();
        let again = smallest_box(&turned).unwrap();
        // Both are within the proof of the true smallest.
        assert!(
            (again.volume() / found.volume() - 1.0).abs() < 1.1e-3,
            "{found:?} {again:?}"
        );
    }
}

#[test]
fn round_and_real_parts_are_proven_too() {
    let cylinder: Vec<DVec3> = (0..400)
        .map(|i| {
            let a = std::f64::consts::TAU * f64::from(i / 2) / 200.0;
            dvec3(a.cos() * 10.0, a.sin() * 10.0, f64::from(i % 2) * 30.0)
        })
        .collect();
    let found = smallest_box(&cylinder).unwrap();
    close(&found, [30.0, 20.0, 20.0], 1e-3);
    assert!(found.proven > 0.95, "{found:?}");
    let shaft = read(&data("motor_antigravity_4004_custom_shaft.stl"), "").unwrap();
    let found = smallest_box(shaft.mesh.points()).unwrap();
    contains(&found, shaft.mesh.points());
    assert!(found.proven > 0.95, "{found:?}");
}
