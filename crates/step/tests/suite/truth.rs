//! Files of other systems and generated ones against what the C++ kernel says of them.

use serde_json::Value;
use std::path::PathBuf;
use step::{Model, SurfaceKind, TessellationOptions};

/// The kernel integrates each face to 1e-7; its faces and ours then differ by how far edges stray
/// from surfaces in the file.
const CLOSE: f64 = 3e-6;

/// Where the recorded kernel value is the weaker one, with what tells so.
const KERNEL_OFF: &[(&str, f64, &str)] = &[
    (
        "featuretype.STEP",
        5e-4,
        "plain integrator; the adaptive ones give 190447.659215 (Gauss) and 190447.659209 (Gauss-Kronrod)",
    ),
    ("nist_ctc_01_asme1_rd.stp", 5e-6, "plain integrator"),
    (
        "shelled_loft",
        1e-5,
        "edges lie off the offset surfaces, so that where faces end is a matter of definition",
    ),
    ("shelled_revolved_spline", 2.5e-5, "the same"),
    ("sweep_along_spline", 1e-5, "the same, on a swept surface"),
    ("scaled_unevenly", 1.2e-5, "the same, on a sheared one"),
    (
        "extruded_ellipse",
        4e-4,
        "area; half axes 20 and 9, height 30: 3963.3869 by the series of the perimeter",
    ),
    (
        "extruded_periodic_spline",
        4e-6,
        "area; with a tolerance of 1e-9 the kernel gives 3964.784005",
    ),
];

fn data(folder: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(folder)
}

fn truth(folder: &str) -> Vec<(String, Value)> {
    let text = std::fs::read_to_string(data(folder).join("truth.json")).expect("truth.json");
    let all: Value = serde_json::from_str(&text).expect("valid JSON");
    let map = all.as_object().expect("a table").clone();
    assert!(map.len() >= 10, "no cases in {folder}");
    map.into_iter().collect()
}

fn load(folder: &str, name: &str, options: &TessellationOptions) -> Model {
    let file = if name.contains('.') {
        name.to_string()
    } else {
        format!("{name}.step")
    };
    let bytes = std::fs::read(data(folder).join(file)).expect("model file");
    step::load(&bytes, options, None).expect("a STEP file")
}

fn number(v: &Value) -> f64 {
    v.as_f64().expect("a number")
}

/// All differences of one file, in words.
fn differences(name: &str, m: &Model, t: &Value, problems: &mut Vec<String>) {
    let slack = KERNEL_OFF
        .iter()
        .find(|k| k.0 == name)
        .map_or(CLOSE, |k| k.1);
    let mut check = |what: &str, got: f64, want: f64, tolerance: f64| {
        if (got - want).abs() > tolerance {
            problems.push(format!(
                "{name}: {what} {got} instead of {want} (allowed {tolerance:e})"
            ));
        }
    };
    let open = t["kind"] == "open";
    check("solids", m.solid_count() as f64, number(&t["solids"]), 0.0);
    if !open {
        let volume = number(&t["volume_mm3"]);
        check("volume", m.volume_mm3(), volume, slack * volume);
        let mesh = m.mesh().volume_mm3();
        let chord = m.solids.iter().map(|s| s.chord_mm).fold(0.0, f64::max);
        // Every point of the mesh lies within the chord tolerance of the surface.
        check(
            "mesh volume",
            mesh,
            m.volume_mm3(),
            1.5 * chord * m.area_mm2() + 1e-9 * volume,
        );
    }
    check("faces", m.face_count() as f64, number(&t["faces"]), 0.0);
    let area = number(&t["area_mm2"]);
    check("area", m.area_mm2(), area, slack * area);
    let bounds = m.bounds_mm().expect("not empty");
    let diagonal = (bounds[1] - bounds[0]).length();
    for (side, b) in bounds.iter().enumerate() {
        for (axis, x) in b.to_array().into_iter().enumerate() {
            let want = number(&t["bounds_mm"][side][axis]);
            // The kernel adds its vertex tolerance of 1e-7 and steps of its own search.
            check("bound", x, want, (2e-6 * diagonal).clamp(1e-6, 0.02));
        }
    }
    let valid = t["valid"].as_bool().unwrap_or(true) && !open;
    if m.watertight() != valid {
        let closures: Vec<_> = m.solids.iter().map(|s| s.closure).collect();
        problems.push(format!(
            "{name}: watertight {} instead of {valid}: {closures:?}",
            m.watertight()
        ));
    }
    radii(name, m, t, problems);
}

/// Every cylinder the kernel sees is found, with its radius to 1e-6.
fn radii(name: &str, m: &Model, t: &Value, problems: &mut Vec<String>) {
    let mut found: Vec<f64> = Vec::new();
    for s in &m.solids {
        for p in &s.placements {
            for f in s.faces.iter().flatten() {
                if let SurfaceKind::Cylinder { radius_mm, .. } = f.placed(p).surface {
                    found.push(radius_mm);
                }
            }
        }
    }
    for want in t["cylinder_radii_mm"]
        .as_array()
        .into_iter()
        .flatten()
        .map(number)
    {
        // The record keeps five decimals of some files.
        let close = |r: &f64| (r - want).abs() <= 1e-6 * want + 5e-6;
        match found.iter().position(close) {
            Some(i) => drop(found.swap_remove(i)),
            None => problems.push(format!("{name}: no cylinder of radius {want}")),
        }
    }
}

fn compare(folder: &str, options: &TessellationOptions) {
    let mut problems = Vec::new();
    for (name, t) in truth(folder) {
        let m = load(folder, &name, options);
        differences(&name, &m, &t, &mut problems);
    }
    assert!(problems.is_empty(), "{}", problems.join("\n"));
}

#[test]
fn files_of_other_systems() {
    compare("models", &TessellationOptions::default());
}

#[test]
fn files_of_other_systems_at_a_stated_tolerance() {
    let options = TessellationOptions {
        chord_mm: Some(0.05),
        angle_rad: 0.2,
        ..TessellationOptions::default()
    };
    compare("models", &options);
}

#[test]
fn generated_files() {
    compare("generated", &TessellationOptions::default());
}

#[test]
fn values_known_better_than_recorded() {
    let m = load(
        "models",
        "featuretype.STEP",
        &TessellationOptions::default(),
    );
    assert!(
        (m.volume_mm3() / 190_447.659_212_28 - 1.0).abs() < 1e-9,
        "{}",
        m.volume_mm3()
    );
    let m = load(
        "generated",
        "extruded_ellipse",
        &TessellationOptions::default(),
    );
    let volume = std::f64::consts::PI * 20.0 * 9.0 * 30.0;
    assert!(
        (m.volume_mm3() / volume - 1.0).abs() < 1e-12,
        "{}",
        m.volume_mm3()
    );
    let m = load("generated", "nurbs_sphere", &TessellationOptions::default());
    let volume = 4000.0 / 3.0 * std::f64::consts::PI;
    assert!(
        (m.volume_mm3() / volume - 1.0).abs() < 1e-12,
        "{}",
        m.volume_mm3()
    );
}

/// The exact values must not move with the mesh.
#[test]
fn properties_do_not_depend_on_the_mesh() {
    for name in [
        "shelled_loft",
        "offset_face_solid",
        "cone_fused_torus",
        "sweep_along_spline",
    ] {
        let at = |chord_of_diagonal: f64| {
            let options = TessellationOptions {
                chord_of_diagonal,
                ..TessellationOptions::default()
            };
            load("generated", name, &options)
        };
        let (coarse, fine) = (at(2e-3), at(5e-5));
        let off = |a: f64, b: f64| (a / b - 1.0).abs();
        assert!(off(coarse.volume_mm3(), fine.volume_mm3()) < 1e-8, "{name}");
        assert!(off(coarse.area_mm2(), fine.area_mm2()) < 1e-8, "{name}");
        let gap = |m: &Model| (m.mesh().volume_mm3() - m.volume_mm3()).abs();
        assert!(
            gap(&fine) < gap(&coarse),
            "{name}: {} {}",
            gap(&fine),
            gap(&coarse)
        );
    }
}

#[test]
fn same_mesh_whatever_the_thread_count() {
    let text = std::fs::read(data("models").join("nist_ftc_10_asme1_rb.stp")).expect("file");
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("pool");
        pool.install(|| {
            step::load(&text, &TessellationOptions::default(), None)
                .expect("model")
                .mesh()
        })
    };
    assert_eq!(with(1), with(3));
}

/// Distance from a point to the exact surface of a face, where there is a closed form.
fn distance(p: glam::DVec3, surface: SurfaceKind) -> Option<f64> {
    Some(match surface {
        SurfaceKind::Plane { origin, normal } => (p - origin).dot(normal),
        SurfaceKind::Cylinder {
            origin,
            axis,
            radius_mm,
        } => (p - origin).cross(axis).length() - radius_mm,
        SurfaceKind::Cone {
            apex,
            axis,
            half_angle_rad,
        } => {
            let d = p - apex;
            let (s, c) = half_angle_rad.sin_cos();
            d.cross(axis).length() * c - d.dot(axis) * s
        }
        SurfaceKind::Sphere { centre, radius_mm } => p.distance(centre) - radius_mm,
        SurfaceKind::Torus {
            centre,
            axis,
            major_mm,
            minor_mm,
        } => {
            let d = p - centre;
            (d.cross(axis).length() - major_mm).hypot(d.dot(axis)) - minor_mm
        }
        _ => return None,
    })
}

#[test]
fn meshes_keep_the_chord_tolerance() {
    let chord = 0.01;
    let options = TessellationOptions {
        chord_mm: Some(chord),
        angle_rad: 0.5,
        ..TessellationOptions::default()
    };
    let mut problems = Vec::new();
    let mut checked = 0;
    let cases = [
        ("models", "nist_ftc_06_asme1_rd.stp"),
        ("models", "nist_ftc_10_asme1_rb.stp"),
        ("models", "motor_antigravity_4004_custom_shaft.STEP"),
        ("generated", "cone_fused_torus"),
        ("generated", "cone_through_torus"),
        ("generated", "sphere_wedge"),
        ("generated", "torus_cut_by_planes"),
        ("generated", "cylinders_crossing_equal"),
        ("generated", "fillet_all_edges"),
    ];
    for (folder, name) in cases {
        let m = load(folder, name, &options);
        for s in &m.solids {
            let mut worst = (0.0_f64, 0);
            for (i, f) in s.mesh.face_of_triangle.iter().enumerate() {
                let Some(face) = &s.faces[*f as usize] else {
                    continue;
                };
                let [a, b, c] = s.mesh.corners(i);
                for p in [
                    (a + b + c) / 3.0,
                    (a + b) / 2.0,
                    (b + c) / 2.0,
                    (c + a) / 2.0,
                ] {
                    let Some(d) = distance(p, face.surface) else {
                        continue;
                    };
                    checked += 1;
                    if d.abs() > worst.0 {
                        worst = (d.abs(), face.id);
                    }
                }
            }
            // Edges keep it against their curve, faces against their surface: the two may add up.
            if worst.0 > 2.0 * chord {
                problems.push(format!(
                    "{name}: {} mm off at face #{} {:?}",
                    worst.0,
                    worst.1,
                    s.faces.iter().flatten().find(|f| f.id == worst.1)
                ));
            }
        }
    }
    assert!(checked > 100_000, "only {checked} points");
    assert!(problems.is_empty(), "{}", problems.join("\n"));
}
