//! Real files of other systems, and generated ones, against what the OCCT kernel says of them.

use std::collections::BTreeMap;
use std::path::PathBuf;

use serde_json::Value;
use step::brep::{Brep, Surface};

fn data(folder: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(folder)
}

fn truth(folder: &str) -> serde_json::Map<String, Value> {
    let text = std::fs::read_to_string(data(folder).join("truth.json")).expect("truth.json");
    serde_json::from_str(&text).expect("truth.json is JSON")
}

fn read(folder: &str, file: &str) -> Brep {
    let bytes = std::fs::read(data(folder).join(file)).expect(file);
    step::read::read(&bytes, &Default::default()).unwrap_or_else(|e| panic!("{file}: {e}"))
}

fn kind(surface: &Surface) -> &'static str {
    match surface {
        Surface::Plane { .. } => "plane",
        Surface::Cylinder { .. } => "cylinder",
        Surface::Cone { .. } => "cone",
        Surface::Sphere { .. } => "sphere",
        Surface::Torus { .. } => "torus",
        Surface::BSpline(_) => "bspline",
        Surface::Extrusion { .. } => "extrusion",
        Surface::Revolution { .. } => "revolution",
        Surface::Offset { .. } => "offset",
        Surface::RectangularTrimmed { basis, .. } => kind(basis),
    }
}

/// Solids, faces, kinds of surfaces and cylinder radii of all occurrences.
fn compare(name: &str, brep: &Brep, truth: &Value) {
    let mut solids = 0;
    let mut kinds: BTreeMap<String, u64> = BTreeMap::new();
    let mut radii = Vec::new();
    for solid in brep.solids.iter().filter(|s| s.closed) {
        solids += solid.placements.len();
        for _ in &solid.placements {
            for face in &solid.faces {
                *kinds.entry(kind(&face.surface).into()).or_default() += 1;
                if let Surface::Cylinder { radius, .. } = face.surface {
                    radii.push(radius);
                }
            }
        }
    }
    assert_eq!(
        solids as u64,
        truth["solids"].as_u64().unwrap(),
        "{name}: solids"
    );
    assert_eq!(
        kinds.values().sum::<u64>(),
        truth["faces"].as_u64().unwrap(),
        "{name}: faces"
    );
    let expected: BTreeMap<String, u64> =
        serde_json::from_value(truth["face_types"].clone()).expect("face_types");
    // The kernel reads a degenerate torus as a torus and wrote it as a revolution.
    if !name.starts_with("torus_apple") && !name.starts_with("torus_lemon") {
        assert_eq!(kinds, expected, "{name}: kinds of surfaces");
    }
    radii.sort_by(f64::total_cmp);
    let expected: Vec<f64> = truth["cylinder_radii_mm"]
        .as_array()
        .unwrap()
        .iter()
        .map(|r| r.as_f64().unwrap())
        .collect();
    assert_eq!(radii.len(), expected.len(), "{name}: cylinders");
    for (found, expected) in radii.iter().zip(&expected) {
        // Relative 1e-6; the record of the real files has six decimals.
        assert!(
            (found - expected).abs() <= 1e-6 * expected + 5e-7,
            "{name}: radius {found}, expected {expected}"
        );
    }
}

#[test]
fn real_files_are_read_whole() {
    let truth = truth("models");
    assert_eq!(truth.len(), 10);
    for (name, expected) in &truth {
        let brep = read("models", name);
        compare(name, &brep, expected);
        assert!(
            brep.reservations.is_empty(),
            "{name}: {:?}",
            brep.reservations
        );
        assert_eq!(brep.loose_faces, 0, "{name}");
        assert!(!brep.schema.is_empty(), "{name}");
        assert!(!brep.solids[0].name.is_empty(), "{name}");
        let unit = &brep.length_units[0];
        let expected_unit = expected["length_units"][0].as_str().unwrap();
        assert!(
            unit == expected_unit || (unit == "millimetre" && expected_unit == "mm"),
            "{name}: {unit}"
        );
    }
}

#[test]
fn stated_properties_of_a_real_file() {
    let truth = truth("models");
    let name = "nist_ctc_01_asme1_ap242-e1.stp";
    let stated = read("models", name).solids[0].stated;
    // The writing system and the kernel agree to seven digits.
    let expected = |key: &str| truth[name][key].as_f64().unwrap();
    assert!((stated.volume_mm3.unwrap() / expected("volume_mm3") - 1.0).abs() < 1e-6);
    assert!((stated.area_mm2.unwrap() / expected("area_mm2") - 1.0).abs() < 1e-6);
    let centroid = stated.centroid_mm.unwrap();
    for (axis, found) in centroid.to_array().into_iter().enumerate() {
        assert!((found - truth[name]["centroid_mm"][axis].as_f64().unwrap()).abs() < 1e-4);
    }
}

#[test]
fn generated_files_are_read_whole() {
    let truth = truth("generated");
    assert!(truth.len() > 55);
    for (name, expected) in &truth {
        let brep = read("generated", &format!("{name}.step"));
        let lossy: Vec<_> = brep
            .reservations
            .iter()
            .filter(|r| r.loses_geometry)
            .collect();
        assert!(lossy.is_empty(), "{name}: {lossy:?}");
        match expected["kind"].as_str().unwrap() {
            "open" => {
                assert_eq!(brep.solids.len(), 1);
                assert!(!brep.solids[0].closed);
                assert_eq!(
                    brep.solids[0].faces.len() as u64,
                    expected["faces"].as_u64().unwrap()
                );
            }
            "tessellated" => {
                assert!(brep.solids.is_empty());
                let [solid] = &brep.tessellated[..] else {
                    panic!("{name}: one solid")
                };
                assert_eq!(
                    solid.triangles.len() as u64,
                    expected["triangles"].as_u64().unwrap()
                );
                assert_eq!(solid.placements.len(), 1);
                let faces = solid.face_of_triangle.iter().max().unwrap() + 1;
                assert_eq!(u64::from(faces), expected["faces"].as_u64().unwrap());
                let volume: f64 = solid
                    .triangles
                    .iter()
                    .map(|t| t.map(|k| solid.vertices[k as usize]))
                    .map(|[a, b, c]| a.dot(b.cross(c)) / 6.0)
                    .sum();
                let expected = expected["volume_mm3"].as_f64().unwrap();
                assert!(
                    (volume / expected - 1.0).abs() < 1e-9,
                    "{name}: {volume}, {expected}"
                );
            }
            _ => compare(name, &brep, expected),
        }
    }
}
