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

/// Two blocks of one product, 6 and 24 mm^3, for which the file states `volume` together.
fn two_blocks_stating(volume: f64) -> step::Model {
    use crate::text::{block, context_mm, file, product};
    let data = context_mm(100)
        + &block(1000, 1.0, 2.0, 3.0)
        + &block(1100, 2.0, 3.0, 4.0)
        + &product(200, "pair", "#1000,#1100", 100)
        + &format!(
            "#300=PROPERTY_DEFINITION('geometric validation property','volume',#203);\n\
             #301=PROPERTY_DEFINITION_REPRESENTATION(#300,#302);\n\
             #302=REPRESENTATION('volume',(#303),#100);\n\
             #303=MEASURE_REPRESENTATION_ITEM('volume measure',VOLUME_MEASURE({volume:?}),#304);\n\
             #304=DERIVED_UNIT((#305));\n#305=DERIVED_UNIT_ELEMENT(#101,3.);\n"
        );
    step::load(file(&data).as_bytes(), &Default::default(), None).expect("a STEP file")
}

#[test]
fn stated_totals_of_several_solids_are_compared() {
    let right = two_blocks_stating(30.0);
    assert_eq!(right.solid_count(), 2);
    assert!(right.reservations.is_empty(), "{:?}", right.reservations);
    let wrong = two_blocks_stating(31.0);
    let said: Vec<&str> = wrong.reservations.iter().map(|r| &r.text[..]).collect();
    assert_eq!(
        said,
        ["the file states a volume of 31.000000 mm^3, its faces enclose 30.000000"]
    );
}

#[test]
fn a_file_without_solids_says_so_once() {
    let empty = crate::text::file("#1=CARTESIAN_POINT('',(0.,0.,0.));");
    let model = step::load(empty.as_bytes(), &Default::default(), None).expect("a STEP file");
    let said = model.reservations.iter();
    assert_eq!(said.filter(|r| r.text.contains("no solid")).count(), 1);
}

/// The kernel takes item 1 of a transformation to item 2 as well; these bounds are its.
#[test]
fn a_moved_first_item_moves_the_part_as_the_kernel_has_it() {
    let bytes = std::fs::read(data("generated").join("assembly_inch.step")).expect("file");
    let text = String::from_utf8(bytes).expect("ASCII");
    let from = "ITEM_DEFINED_TRANSFORMATION('','',#11,#15)";
    assert!(text.contains(from));
    let text = text
        .replace(from, "ITEM_DEFINED_TRANSFORMATION('','',#200000,#15)")
        .replace(
            "ENDSEC;\nEND-ISO",
            "#200000=AXIS2_PLACEMENT_3D('',#200001,#200002,#200003);\
             #200001=CARTESIAN_POINT('',(1.,2.,3.));#200002=DIRECTION('',(0.,1.,0.));\
             #200003=DIRECTION('',(0.,0.,1.));\nENDSEC;\nEND-ISO",
        );
    let model = step::load(text.as_bytes(), &Default::default(), None).expect("a STEP file");
    let [lo, hi] = model.bounds_mm().expect("not empty");
    let kernel = [
        glam::DVec3::new(-71.19999999999459, -20.3999999999946, -45.7999999999946),
        glam::DVec3::new(17.22680116471685, 39.599999999994, 65.52213636748561),
    ];
    assert!(lo.distance(kernel[0]) < 1e-9, "{lo}");
    assert!(hi.distance(kernel[1]) < 1e-9, "{hi}");
}
