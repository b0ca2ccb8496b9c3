//! Readers: odd but legal files, broken files, and any bytes at all.

use crate::shapes::{Random, binary_stl, block, data, text_stl, threemf};
use geometry::format::{Format, detect};
use geometry::measure::measure;
use geometry::readers::{Place, ReadError, read};
use geometry::unit::{LengthUnit, UnitFound};
use glam::{DVec3, dvec3};

fn cube() -> geometry::mesh::Mesh {
    block(DVec3::ZERO, dvec3(1.0, 2.0, 3.0))
}

#[test]
fn binary_stl_that_begins_with_solid() {
    for header in [&b"solid cube"[..], b"solid \n facet normal", b"binary"] {
        let bytes = binary_stl(&cube(), header);
        assert_eq!(detect(&bytes, "x.obj"), Some(Format::StlBinary));
        let model = read(&bytes, "").unwrap();
        assert_eq!(model.mesh.points().len(), 8);
        assert!((measure(&model.mesh).volume - 6.0).abs() < 1e-12);
    }
}

#[test]
fn binary_stl_with_wrong_counts() {
    let mut bytes = binary_stl(&cube(), b"");
    bytes.extend(b"trailing");
    let model = read(&bytes, "part.STL").unwrap();
    assert_eq!(model.mesh.triangles().len(), 12);
    assert_eq!(model.reservations.len(), 1, "{:?}", model.reservations);

    bytes[80] = 200;
    let error = read(&bytes, "part.stl").unwrap_err();
    assert!(
        matches!(
            &error,
            ReadError::Malformed {
                place: Place::Byte(80),
                ..
            }
        ),
        "{error}"
    );
    assert!(error.to_string().contains("200"), "{error}");
    let error = read(&bytes[..60], "part.stl").unwrap_err();
    assert!(matches!(
        error,
        ReadError::Malformed {
            place: Place::Byte(60),
            ..
        }
    ));
    bytes.truncate(84);
    bytes[80] = 0;
    assert_eq!(
        read(&bytes, "").unwrap_err(),
        ReadError::Empty { format: "stl" }
    );
}

#[test]
fn stl_coordinates_must_be_finite() {
    let mut bytes = binary_stl(&cube(), b"");
    bytes[84 + 50 * 3 + 16..][..4].copy_from_slice(&f32::NAN.to_le_bytes());
    let error = read(&bytes, "").unwrap_err();
    assert!(
        matches!(
            error,
            ReadError::Malformed {
                place: Place::Triangle(4),
                ..
            }
        ),
        "{error}"
    );
    for bad in ["nan", "inf", "1e999", "1,5"] {
        let text = text_stl(&cube(), "\n").replacen("vertex 1", &format!("vertex {bad}"), 1);
        let error = read(text.as_bytes(), "x.stl").unwrap_err();
        assert!(
            matches!(
                error,
                ReadError::Malformed {
                    place: Place::Line(_),
                    ..
                }
            ),
            "{error}"
        );
        assert!(error.to_string().contains(bad), "{error}");
    }
}

#[test]
fn text_stl_in_any_dress() {
    let plain = read(text_stl(&cube(), "\n").as_bytes(), "").unwrap().mesh;
    let upper = text_stl(&cube(), "\r\n").to_uppercase();
    assert_eq!(read(upper.as_bytes(), "").unwrap().mesh, plain);
    assert_eq!(
        read(text_stl(&cube(), "\r").as_bytes(), "").unwrap().mesh,
        plain
    );
    let unnamed = text_stl(&cube(), "\n").replacen("solid part of facet 1", "solid", 1);
    assert_eq!(read(unnamed.as_bytes(), "").unwrap().mesh, plain);

    let two =
        text_stl(&cube(), "\n") + &text_stl(&block(DVec3::splat(5.0), DVec3::splat(6.0)), "\n");
    let two = read(two.as_bytes(), "").unwrap();
    assert_eq!(two.mesh.triangles().len(), 24);
    assert_eq!(two.reservations.len(), 1);

    let cut = &text_stl(&cube(), "\n")[..300];
    assert!(read(cut.as_bytes(), "x.stl").is_err());
    assert_eq!(
        read(b"solid nothing\nendsolid nothing\n", "").unwrap_err(),
        ReadError::Empty { format: "stl" }
    );
}

/// `stl_io` as outside judge on the real files it can tell from text.
#[test]
fn stl_as_another_reader_sees_it() {
    for name in [
        "featuretype_inch.stl",
        "motor_antigravity_4004_custom_shaft.stl",
    ] {
        let mut bytes = data(name);
        let ours = read(&bytes, name).unwrap().mesh;
        bytes[..5].copy_from_slice(b"other");
        let theirs = stl_io::read_stl(&mut std::io::Cursor::new(&bytes)).unwrap();
        assert_eq!(ours.triangles().len(), theirs.faces.len());
        let size = ours
            .points()
            .iter()
            .map(|p| p.abs().max_element())
            .fold(0.0, f64::max);
        for (corners, face) in ours.iter_corners().zip(&theirs.faces) {
            for (p, &i) in corners.iter().zip(&face.vertices) {
                let v: [f32; 3] = theirs.vertices[i].into();
                // Welding moves a corner by at most the rounding at the largest coordinate.
                assert!((*p - DVec3::from_array(v.map(f64::from))).length() <= 1.3e-7 * size);
            }
        }
    }
}

const OBJ: &str = "# block\nmtllib none.mtl\nv 0 0 0\nv 4 0 0\nv 4 2 0\nv 2 2 0\nv 2 4 0\nv 0 4 0\n\
v 0 0 1\nv 4 0 1\nv 4 2 1\nv 2 2 1\nv 2 4 1\nv 0 4 1\nusemtl red\ng l-shape\n\
f 6 5 4 3 2 1\nf -6//1 -5//1 -4//1 -3//1 \\\n -2//1 -1//1\nf 1/1 2/2 8/3 7/4\nf 2 3 9 8\nf 3 4 10 9\n\
f 4 5 11 10\nf 5 6 12 11\nf 6 1 7 12\nl 1 2\n";

#[test]
fn obj_with_concave_polygons_and_negative_indices() {
    let model = read(OBJ.as_bytes(), "l.txt").unwrap();
    assert_eq!(model.format, Format::Obj);
    let m = measure(&model.mesh);
    assert!(
        (m.volume - 12.0).abs() < 1e-12 && (m.area - 40.0).abs() < 1e-12,
        "{m:?}"
    );
    assert!(m.damage.is_watertight(), "{:?}", m.damage);
    assert_eq!(
        model.mesh.face_of_triangle().unwrap().iter().max(),
        Some(&7)
    );
    assert_eq!(model.reservations.len(), 1);
    // The other reader wants the texture corners named here to exist and no continued lines.
    let plain = OBJ
        .replace("//1", "")
        .replace("/1", "")
        .replace("/2 ", " ")
        .replace("/3", "")
        .replace("/4", "")
        .replace("\\\n", "")
        .replace("l 1 2\n", "");
    let (theirs, _) = tobj::load_obj_buf(
        &mut plain.as_bytes(),
        &tobj::LoadOptions {
            triangulate: true,
            ..Default::default()
        },
        |_| Err(tobj::LoadError::GenericFailure),
    )
    .unwrap();
    let count: usize = theirs.iter().map(|m| m.mesh.indices.len() / 3).sum();
    assert_eq!(count, model.mesh.triangles().len());
}

#[test]
fn obj_errors_name_the_line() {
    for (text, line, word) in [
        ("v 0 0 0\nv 1 x 0\nf 1 1 1", 2, "x"),
        ("v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 4", 4, "4"),
        ("v 0 0 0\nv 1 0 0\nv 0 1 0\nf 0 1 2", 4, "0"),
        ("v 0 0 0\nv 1 0 0\nv 0 1 0\nf -4 1 2", 4, "-4"),
        ("v 0 0 0\nv 1 0 0\n\nf 1 2", 4, "2 corners"),
        ("v 0 0\n", 1, "three"),
    ] {
        let error = read(text.as_bytes(), "p.obj").unwrap_err();
        assert!(
            matches!(&error, ReadError::Malformed { place: Place::Line(n), .. } if *n == line),
            "{error}"
        );
        assert!(error.to_string().contains(word), "{error}");
    }
    assert_eq!(
        read(b"v 0 0 0\n", "p.obj").unwrap_err(),
        ReadError::Empty { format: "obj" }
    );
}

/// A unit tetrahedron, an assembly of it and a mirrored, moved and doubled copy.
fn assembly(unit: &str, mirrored: &str) -> String {
    format!(
        "<model {unit}><resources><object id=\"1\"><mesh><vertices><vertex x=\"0\" y=\"0\" z=\"0\"/>\
         <vertex x=\"1\" y=\"0\" z=\"0\"/><vertex x=\"0\" y=\"1\" z=\"0\"/><vertex x=\"0\" y=\"0\" z=\"1\"/>\
         </vertices><triangles><triangle v1=\"0\" v2=\"2\" v3=\"1\"/><triangle v1=\"0\" v2=\"1\" v3=\"3\"/>\
         <triangle v1=\"1\" v2=\"2\" v3=\"3\"/><triangle v1=\"2\" v2=\"0\" v3=\"3\"/></triangles></mesh></object>\
         <object id=\"2\"><components><component objectid=\"1\"/><component objectid=\"1\" transform=\"{mirrored}\"/>\
         </components></object></resources><build><item objectid=\"2\" transform=\"1 0 0 0 1 0 0 0 1 10 20 30\"/>\
         </build></model>"
    )
}

#[test]
fn threemf_applies_units_components_and_mirrors() {
    let text = assembly("unit=\"inch\"", "-2 0 0 0 2 0 0 0 2 5 0 0");
    let model = read(&threemf(&text), "").unwrap();
    assert_eq!(model.unit, UnitFound::Stated(LengthUnit::Inch));
    let m = measure(&model.mesh);
    assert!((m.volume - 9.0 / 6.0).abs() < 1e-12, "{}", m.volume);
    assert!(m.damage.is_sound() && m.shells.len() == 2, "{:?}", m.damage);
    assert_eq!(m.bounds, [dvec3(10.0, 20.0, 30.0), dvec3(15.0, 22.0, 32.0)]);

    let unstated = read(&threemf(&assembly("", "1 0 0 0 1 0 0 0 1 5 0 0")), "").unwrap();
    assert_eq!(unstated.unit, UnitFound::Stated(LengthUnit::Millimetre));
    assert_eq!(measure(&unstated.mesh).bodies.len(), 1);
}

#[test]
fn threemf_errors_name_the_piece() {
    let good = assembly("unit=\"inch\"", "1 0 0 0 1 0 0 0 1 5 0 0");
    for (from, to, word) in [
        ("unit=\"inch\"", "unit=\"cubit\"", "cubit"),
        ("x=\"1\"", "x=\"1,0\"", "1,0"),
        ("v2=\"2\"", "v2=\"9\"", "9"),
        (
            "<component objectid=\"1\"",
            "<component objectid=\"2\"",
            "nested",
        ),
        ("item objectid=\"2\"", "item objectid=\"7\"", "object 7"),
        ("1 10 20 30", "1 10 20", "transform"),
        ("</mesh>", "</mash>", "mash"),
    ] {
        let error = read(&threemf(&good.replacen(from, to, 1)), "p.3mf")
            .unwrap_err()
            .to_string();
        assert!(
            error.contains(word) && error.contains("3D/m.model"),
            "{error}"
        );
    }
    let nothing = "<model><resources/><build/></model>";
    assert_eq!(
        read(&threemf(nothing), "").unwrap_err(),
        ReadError::Empty { format: "3mf" }
    );
}

/// Nested components stand for 2^30 tetrahedra in a page of text; they must be refused quickly.
#[test]
fn threemf_bomb_is_refused() {
    let tetra = assembly("", "1 0 0 0 1 0 0 0 1 5 0 0");
    let nested: String = (3..33)
        .map(|i| {
            let c = format!("<component objectid=\"{}\"/>", i - 1);
            format!("<object id=\"{i}\"><components>{c}{c}{c}{c}</components></object>")
        })
        .collect();
    let bomb = tetra
        .replace("</resources>", &(nested + "</resources>"))
        .replace("item objectid=\"2\"", "item objectid=\"32\"");
    assert!(read(&threemf(&bomb), "").is_err());
}

#[test]
fn unknown_and_empty_files() {
    for bytes in [&b""[..], b"hello there", b"\0\0\0"] {
        assert!(matches!(
            read(bytes, "part.dat"),
            Err(ReadError::UnknownFormat { .. })
        ));
    }
    assert_eq!(
        read(b"ISO-10303-21;\nHEADER;", "p").unwrap_err(),
        ReadError::OtherReader { format: "step" }
    );
}

/// Any bytes give a mesh or an error, never a panic. Seeds are fixed, so a failure repeats.
#[test]
fn broken_bytes_never_panic() {
    let files = [
        (binary_stl(&cube(), b"solid"), "a.stl"),
        (text_stl(&cube(), "\n").into_bytes(), "a.stl"),
        (OBJ.as_bytes().to_vec(), "a.obj"),
        (
            threemf(&assembly("unit=\"inch\"", "1 0 0 0 1 0 0 0 1 5 0 0")),
            "a.3mf",
        ),
    ];
    let mut random = Random(7);
    let mut refused = 0;
    for round in 0..4000 {
        let (original, name) = &files[round % files.len()];
        let mut bytes = original.clone();
        for _ in 0..=random.below(6) {
            let at = random.below(bytes.len());
            match random.below(4) {
                0 => bytes[at] = random.next() as u8,
                1 => bytes.truncate(at.max(1)),
                2 => {
                    let end = (at + random.below(40)).min(bytes.len());
                    let copy = bytes[at..end].to_vec();
                    bytes.splice(at..at, copy);
                }
                _ => bytes[at] ^= 1 << random.below(8),
            }
        }
        refused += usize::from(read(&bytes, name).is_err());
    }
    assert!(refused > 500, "mutations hardly broke anything: {refused}");
    // The model part itself, past the checksum of the package.
    let text = assembly("unit=\"inch\"", "1 0 0 0 1 0 0 0 1 5 0 0");
    for _ in 0..500 {
        let mut bytes = text.clone().into_bytes();
        let at = random.below(bytes.len());
        bytes[at] = b" <>\"/0129-exvz"[random.below(14)];
        let _ = read(&threemf(&String::from_utf8(bytes).unwrap()), "a.3mf");
    }
}
