//! Holes, corners and the kind of job, on real meshes and on built ones.

use crate::shapes::data;
use geometry::features::fit::fit_faces;
use geometry::features::hole::holes;
use geometry::model::load;
use geometry::unit::LengthUnit;

#[test]
fn look() {
    for name in [
        "featuretype_mm.stl",
        "featuretype.3mf",
        "plate_holes.stl",
        "nist_ctc_01_asme1_rd.stl",
        "nist_ctc_01_asme1_ap242-e1.stl",
        "motor_antigravity_4004_custom_shaft.stl",
        "base_interface_AP203.stl",
    ] {
        let unit = if name.ends_with("3mf") {
            LengthUnit::Inch
        } else {
            LengthUnit::Millimetre
        };
        let m = load(&data(name), name, Some(unit)).unwrap();
        let s = fit_faces(&m.mesh);
        let h = holes(&s, 20.0);
        println!("== {name} {} faces", s.faces.len());
        for h in &h {
            println!(
                "{:.4} depth {:.4} {} toward {:.2} at {:.3} {:?} {:?} {} {} {}",
                h.diameter_mm,
                h.depth_mm,
                h.through,
                h.toward,
                h.at,
                h.ends,
                h.thread,
                h.alike,
                h.interrupted,
                h.both_sides
            );
            println!("     {:?}", h.steps);
        }
    }
}

#[test]
fn look_faces() {
    for name in [
        "nist_ctc_01_asme1_rd.stl",
        "motor_antigravity_4004_custom_shaft.stl",
        "featuretype_mm.stl",
    ] {
        let m = load(&data(name), name, Some(LengthUnit::Millimetre)).unwrap();
        let s = fit_faces(&m.mesh);
        println!("== {name} {}", s.faces.len());
        for f in &s.faces {
            if !matches!(f.surface, geometry::features::face::Surface::Plane { .. }) {
                println!(
                    "{:?} {} {} {:.3}",
                    f.surface,
                    f.concave,
                    f.triangles.len(),
                    f.area_mm2
                );
            }
        }
    }
}

#[test]
fn look_corners() {
    use geometry::features::{corner::*, job::milling_job};
    use glam::DVec3;
    let axes = [
        DVec3::X,
        DVec3::NEG_X,
        DVec3::Y,
        DVec3::NEG_Y,
        DVec3::Z,
        DVec3::NEG_Z,
    ];
    for name in [
        "mfcad_0-0-5-5-6-23.stl",
        "mfcad_10-10-11-11-11-23.stl",
        "mfcad_7-9-12-12-14-23.stl",
        "octagonal_pocket.stl",
        "featuretype_mm.stl",
        "featuretype.3mf",
        "plate_holes.stl",
        "nist_ctc_01_asme1_rd.stl",
        "nist_ctc_01_asme1_ap242-e1.stl",
        "motor_antigravity_4004_custom_shaft.stl",
        "base_interface_AP203.stl",
    ] {
        let unit = if name.ends_with("3mf") {
            LengthUnit::Inch
        } else if name.starts_with("oct") {
            LengthUnit::Metre
        } else {
            LengthUnit::Millimetre
        };
        let m = load(&data(name), name, Some(unit)).unwrap();
        let s = fit_faces(&m.mesh);
        let h = holes(&s, 20.0);
        println!(
            "== {name} {} faces {} holes {:?}",
            s.faces.len(),
            h.len(),
            milling_job(&s)
        );
        for c in inside_corners(&s, &axes, &h) {
            println!(
                "  r {:.4} len {:.3} sweep {:.1} axis {:.4} {}",
                c.radius_mm,
                c.length_mm,
                c.sweep_rad.to_degrees(),
                c.axis,
                c.engraved
            );
        }
        println!("  sharp {}", sharp_inside_corners(&s, &axes).len());
    }
}
