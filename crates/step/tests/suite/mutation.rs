//! Damaged files: no panic, and time linear in the size. Seeded, so that a failure comes again.

use crate::damage::damaged;
use std::path::PathBuf;
use std::sync::mpsc;
use std::time::Duration;
use step::TessellationOptions;

fn seeds() -> Vec<(String, Vec<u8>)> {
    let data = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/data");
    let names = [
        "models/motor_antigravity_4004_custom_shaft.STEP",
        "generated/sphere_full.step",
        "generated/cone_to_apex.step",
        "generated/tessellated_bracket.step",
        "generated/assembly_inch.step",
        "generated/revolved_spline.step",
        "generated/open_shell.step",
    ];
    names
        .iter()
        .map(|n| ((*n).to_owned(), std::fs::read(data.join(n)).expect(n)))
        .collect()
}

#[test]
fn damaged_files_never_panic() {
    for (name, seed) in seeds() {
        for round in 0..150u64 {
            let bytes = damaged(&seed, round);
            let outcome =
                std::panic::catch_unwind(|| step::read::read(&bytes, &Default::default()).is_ok());
            assert!(outcome.is_ok(), "{name}, round {round}: panicked");
        }
    }
}

/// Time no damaged file of some ten kB may take, in any profile: it is there to end a hang, and
/// the longest of these files takes some hundredths of it.
const HANG: Duration = Duration::from_secs(60);

#[test]
fn damaged_surfaces_are_meshed_without_a_panic_or_a_hang() {
    let names = [
        "extruded_periodic_spline",
        "loft_smooth",
        "nurbs_sphere",
        "revolved_spline_part_turn",
        "sweep_twisted_bar",
        "torus_apple_part_turn",
    ];
    let data = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/data/generated");
    let (sender, receiver) = mpsc::channel();
    std::thread::spawn(move || {
        for name in names {
            let seed = std::fs::read(data.join(format!("{name}.step"))).expect(name);
            for round in 0..40 {
                let bytes = damaged(&seed, round);
                let options = TessellationOptions::default();
                let outcome = std::panic::catch_unwind(|| {
                    step::load(&bytes, &options, None).map(|m| m.mesh().triangles.len())
                });
                let most = match outcome {
                    Ok(Ok(triangles)) => Ok(triangles),
                    Ok(Err(_)) => Ok(0),
                    Err(_) => Err("panicked"),
                };
                let _ = sender.send(Some((name, round, most)));
            }
        }
        let _ = sender.send(None);
    });
    let mut last = ("none yet", 0);
    loop {
        match receiver.recv_timeout(HANG) {
            Ok(Some((name, round, outcome))) => {
                // Memory stays bounded as well: no face takes more than its allowance of points.
                let triangles = outcome.unwrap_or_else(|e| panic!("{name}, round {round}: {e}"));
                assert!(triangles < 500_000, "{name}, round {round}: {triangles}");
                last = (name, round);
            }
            Ok(None) => break,
            Err(e) => panic!("{e} after {last:?}"),
        }
    }
}

#[test]
fn every_reference_may_be_wrong() {
    // Each reference of a small file in turn leads to each of a few others.
    let (_, seed) = &seeds()[1];
    let text = String::from_utf8(seed.clone()).unwrap();
    let hashes: Vec<usize> = text.match_indices('#').map(|(k, _)| k).collect();
    for at in hashes {
        let digits = text[at + 1..]
            .bytes()
            .take_while(u8::is_ascii_digit)
            .count();
        for other in ["1", "10", "15", "16", "17", "18", "22", "31", "32", "9999"] {
            let changed = format!("{}#{other}{}", &text[..at], &text[at + 1 + digits..]);
            // Found or not, it must come back.
            let _ = step::read::read(changed.as_bytes(), &Default::default());
        }
    }
}

/// Files made to blow up: each must come back, and without more than a linear amount of work.
/// The limit on memory is that the results stay small.
#[test]
fn hostile_files_stay_harmless() {
    use crate::text::{block, context_mm, file, product};
    // Composite curves that double at each of forty levels.
    let mut doubling = String::from(
        "#1=CIRCLE('',#9,1.);#9=AXIS2_PLACEMENT_3D('',#8,$,$);#8=CARTESIAN_POINT('',(0.,0.,0.));",
    );
    for level in 0..40 {
        let (here, below) = (
            1000 + 10 * level,
            if level == 0 {
                1
            } else {
                1000 + 10 * (level - 1)
            },
        );
        doubling += &format!(
            "#{here}=COMPOSITE_CURVE('',(#{0},#{1}),.F.);#{0}=COMPOSITE_CURVE_SEGMENT(.CONTINUOUS.,.T.,#{below});#{1}=COMPOSITE_CURVE_SEGMENT(.CONTINUOUS.,.T.,#{below});",
            here + 1,
            here + 2
        );
    }
    let shallow = 1000 + 10 * 10;
    for curve in [shallow, 1000 + 10 * 20, 1000 + 10 * 39] {
        let data = doubling.clone()
            + &context_mm(100)
            + &product(200, "p", "#60", 100)
            + &format!(
                "#60=MANIFOLD_SOLID_BREP('',#61);#61=CLOSED_SHELL('',(#62));#62=ADVANCED_FACE('',(#63),#65,.T.);#65=PLANE('',#9);\
               #63=FACE_BOUND('',#64,.T.);#64=EDGE_LOOP('',(#66));#66=ORIENTED_EDGE('',*,*,#67,.T.);#67=EDGE_CURVE('',#68,#68,#{curve},.T.);#68=VERTEX_POINT('',#8);"
            );
        let brep = step::read::read(file(&data).as_bytes(), &Default::default()).unwrap();
        let lost = brep.reservations.iter().any(|r| r.loses_geometry);
        assert_eq!(lost, curve != shallow, "{curve}: {:?}", brep.reservations);
    }
    // A hundred thousand faces that are one face.
    let many = vec!["#1010"; 100_000].join(",");
    let data = context_mm(100)
        + &block(1000, 1.0, 1.0, 1.0)
        + &product(200, "p", "#60", 100)
        + &format!("#60=MANIFOLD_SOLID_BREP('',#61);#61=CLOSED_SHELL('',({many}));");
    let brep = step::read::read(file(&data).as_bytes(), &Default::default()).unwrap();
    assert_eq!(
        brep.solids.iter().find(|s| s.id == 60).unwrap().faces.len(),
        1
    );
    assert!(brep.reservations.len() < 2000);
    // Nothing but brackets, quotes, comments, hashes.
    for junk in [
        "(",
        ")",
        "'",
        "\"",
        "/*",
        "#1=",
        "#1=A(",
        "#1=(A(",
        "\\X2\\",
        "'\n#1=;\n",
        "/",
        "=",
    ] {
        let text = format!(
            "ISO-10303-21;HEADER;ENDSEC;DATA;#1=A();{}",
            junk.repeat(100_000)
        );
        let _ = step::read::read(text.as_bytes(), &Default::default());
    }
}

/// A generated file in which numbers were changed; its triangulation once ran out of its points.
#[test]
fn a_damaged_spline_solid_is_read_without_a_panic() {
    let file = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data/damaged/nurbs_round_parts_numbers.step");
    let bytes = std::fs::read(file).expect("the damaged file");
    let model = step::load(&bytes, &step::TessellationOptions::default(), None).expect("a file");
    // Something is wrong with it, and that is said.
    assert!(!model.reservations.is_empty());
}
