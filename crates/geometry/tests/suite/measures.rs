//! Volume, area, bounds, bodies and damage.

use crate::shapes::{Random, block, data};
use geometry::measure::measure;
use geometry::mesh::Mesh;
use geometry::oriented_box::smallest_box;
use geometry::readers::read;
use geometry::shells::ShellKind;
use glam::{DMat4, DVec3, dvec3};

#[test]
fn real_models_against_reference_measures() {
    let truth: serde_json::Value = serde_json::from_slice(&data("truth.json")).unwrap();
    let models = truth.as_object().unwrap();
    assert_eq!(models.len(), 12);
    for (name, want) in models {
        let model = read(&data(name), name).unwrap();
        let m = measure(&model.mesh);
        assert_eq!(
            model.mesh.triangles().len() as u64,
            want["triangles"].as_u64().unwrap()
        );
        // f32 coordinates: each relative 6e-8 of its size; on volume and area well below 1e-6
        // of a compact part, 1e-5 of a plate a hundred times wider than thick.
        for (got, key) in [(m.volume, "volume_file_units"), (m.area, "area_file_units")] {
            let want = want[key].as_f64().unwrap();
            assert!(
                (got / want - 1.0).abs() < 1e-5,
                "{name} {key}: {got} against {want}"
            );
        }
        if let Some(closed) = want.get("watertight") {
            assert_eq!(
                m.damage.is_watertight(),
                closed.as_bool().unwrap(),
                "{name} {:?}",
                m.damage
            );
            // The reference joins pieces through single points, so only sound models compare.
            if m.damage.is_sound() {
                let bodies = want["body_count"].as_u64().unwrap();
                assert_eq!(m.shells.len() as u64, bodies, "{name}");
            }
            for (k, got) in m.bounds.iter().enumerate() {
                for axis in 0..3 {
                    let want = want["bounds"][k][axis].as_f64().unwrap();
                    assert!((got[axis] - want).abs() < 1e-12, "{name}");
                }
            }
            let found = smallest_box(model.mesh.points()).unwrap();
            for k in 0..3 {
                let want = want["oriented_extents_sorted"][2 - k].as_f64().unwrap();
                assert!(
                    (found.extents[k] / want - 1.0).abs() < 1e-6,
                    "{name} {found:?}"
                );
            }
        } else {
            // Two of them hold collinear triangles, along which the surface touches itself.
            assert!(!m.damage.is_open(), "{name}: {:?}", m.damage);
        }
    }
}

#[test]
fn open_model_says_where_it_is_open() {
    let model = read(&data("featuretype.3mf"), "").unwrap();
    let m = measure(&model.mesh);
    assert!(m.damage.is_open() && m.damage.open_edges > 0 && m.damage.open_length > 0.0);
    let said = m.damage.sentences("in");
    assert!(said[0].contains("open edges"), "{said:?}");
}

#[test]
fn block_far_from_its_origin_keeps_its_digits() {
    let far = dvec3(1e6, -2e6, 3e6);
    let m = measure(&block(far, far + dvec3(1.0, 2.0, 3.0)));
    assert!((m.volume - 6.0).abs() < 1e-8 && (m.area - 22.0).abs() < 1e-8);
    assert!((m.centroid - far - dvec3(0.5, 1.0, 1.5)).length() < 1e-8);
    assert!(m.damage.is_sound() && m.damage.sentences("mm").is_empty());
}

/// Drops or flips each of a few triangles and looks for exactly that in the report.
#[test]
fn damage_is_counted() {
    let sound = block(DVec3::ZERO, dvec3(1.0, 2.0, 3.0));
    let edit = |change: &dyn Fn(&mut Vec<[u32; 3]>)| {
        let mut triangles = sound.triangles().to_vec();
        change(&mut triangles);
        measure(&Mesh::new(sound.points().to_vec(), triangles, None).unwrap()).damage
    };
    let hole = edit(&|t| {
        t.remove(0);
    });
    assert_eq!(hole.open_edges, 3);
    assert!((hole.open_length - (1.0 + 2.0 + 5f64.sqrt())).abs() < 1e-12);
    let flipped = edit(&|t| t[0].swap(0, 1));
    assert_eq!((flipped.flipped_edges, flipped.open_edges), (3, 0));
    assert!(flipped.is_open());
    let inside_out = edit(&|t| t.iter_mut().for_each(|t| t.swap(0, 1)));
    assert_eq!(inside_out.inside_out_shells, 1);
    assert!(!inside_out.is_sound() && inside_out.is_watertight());
    let repeated = edit(&|t| t.push([t[0][1], t[0][2], t[0][0]]));
    assert_eq!(
        (repeated.repeated_triangles, repeated.tangled_edges),
        (1, 3)
    );
    let sliver = edit(&|t| t.push([0, 0, 1]));
    assert_eq!(sliver.degenerate_triangles, 1);
}

#[test]
fn touching_bodies_and_cavities_are_told_apart() {
    let mut outer = block(DVec3::ZERO, DVec3::splat(10.0));
    let inner = block(DVec3::splat(4.0), DVec3::splat(6.0));
    let flipped: Vec<[u32; 3]> = inner
        .triangles()
        .iter()
        .map(|&[a, b, c]| [a, c, b])
        .collect();
    outer.append(&Mesh::new(inner.points().to_vec(), flipped, None).unwrap());
    let m = measure(&outer);
    assert_eq!(
        m.shells.iter().map(|s| s.kind).collect::<Vec<_>>(),
        [ShellKind::Body, ShellKind::Cavity]
    );
    assert!((m.volume - 992.0).abs() < 1e-9 && m.damage.is_sound());

    for (shift, edges, points) in [(dvec3(1.0, 1.0, 0.0), 1, 0), (DVec3::ONE, 0, 1)] {
        let mut two = block(DVec3::ZERO, DVec3::ONE);
        two.append(&block(shift, shift + DVec3::ONE));
        let m = measure(&two.welded());
        assert_eq!(
            (m.damage.touching_edges, m.damage.touching_points),
            (edges, points)
        );
        assert_eq!(m.shells.len(), 2);
        assert!((m.volume - 2.0).abs() < 1e-12);
    }
}

#[test]
fn equal_bodies_are_grouped_and_mirror_images_are_not() {
    // A wedge without any symmetry.
    let points = vec![
        DVec3::ZERO,
        dvec3(3.0, 0.0, 0.0),
        dvec3(0.5, 2.0, 0.0),
        dvec3(0.2, 0.3, 1.0),
    ];
    let triangles = vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]];
    let wedge = Mesh::new(points, triangles, None).unwrap();
    let mut random = Random(3);
    let mut all = wedge.clone();
    for k in 1..4 {
        let turn = DMat4::from_rotation_translation(
            random.rotation(),
            dvec3(9.0 * f64::from(k), 0.0, 0.0),
        );
        all.append(&wedge.transformed(&turn).unwrap());
    }
    let mirror = DMat4::from_scale_rotation_translation(
        dvec3(-1.0, 1.0, 1.0),
        random.rotation(),
        dvec3(0.0, 9.0, 0.0),
    );
    all.append(&wedge.transformed(&mirror).unwrap());
    for x in [50.0, 60.0] {
        all.append(&block(dvec3(x, 0.0, 0.0), dvec3(x + 1.0, 2.0, 3.0)));
    }
    let m = measure(&all);
    let counts: Vec<usize> = m.bodies.iter().map(|b| b.shells.len()).collect();
    assert_eq!(counts, [4, 1, 2]);
    assert!(m.damage.is_sound());
}
