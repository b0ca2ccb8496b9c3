//! Senses turned over twice, and other units.

use super::{Text, assert_same, load, number, split};
use crate::damage::Random;
use step::Model;

const FILES: [&str; 10] = [
    "bezier_top",
    "bracket_foot",
    "chamfers",
    "cone_fused_torus",
    "cylinder_seam_notched",
    "drafted_block",
    "fillet_all_edges",
    "loft_smooth",
    "torus_cut_obliquely",
    "voids",
];

fn turned(sense: &str) -> String {
    match sense {
        ".T." => ".F.".into(),
        ".F." => ".T.".into(),
        other => panic!("{other} is no sense"),
    }
}

fn set(text: &mut Text, id: u64, keyword: &str, fields: &[String]) {
    text.instances
        .insert(id, format!("{keyword}({})", fields.join(",")));
}

/// Turns over one field of a simple instance.
fn turn(text: &mut Text, id: u64, field: usize) {
    let (keyword, mut fields) = text.simple(id);
    let keyword = keyword.to_string();
    fields[field] = turned(&fields[field]);
    set(text, id, &keyword, &fields);
}

fn references(list: &str) -> Vec<u64> {
    split(list.trim_matches(['(', ')']), ',')
        .iter()
        .map(|r| number(r))
        .collect()
}

#[test]
fn edges_against_their_curves() {
    for (round, name) in (200..).zip(FILES) {
        let mut random = Random::of_round(round);
        let mut text = Text::of(name);
        let want = load(&text.written());
        let uses = text.all("ORIENTED_EDGE");
        for edge in text.all("EDGE_CURVE") {
            if random.below(2) == 0 {
                continue;
            }
            let (_, mut fields) = text.simple(edge);
            fields.swap(1, 2);
            fields[4] = turned(&fields[4]);
            set(&mut text, edge, "EDGE_CURVE", &fields);
            for &used in &uses {
                if number(&text.simple(used).1[3]) == edge {
                    turn(&mut text, used, 4);
                }
            }
        }
        // Chords of edges run the other way, so panels of integration end elsewhere.
        assert_same(name, &load(&text.written()), &want, 1e-8);
    }
}

#[test]
fn bounds_against_their_loops() {
    for (round, name) in (300..).zip(FILES) {
        let mut random = Random::of_round(round);
        let mut text = Text::of(name);
        let want = load(&text.written());
        let mut bounds = text.all("FACE_BOUND");
        bounds.extend(text.all("FACE_OUTER_BOUND"));
        for bound in bounds {
            let edge_loop = number(&text.simple(bound).1[1]);
            if random.below(2) == 0 || text.simple(edge_loop).0 != "EDGE_LOOP" {
                continue;
            }
            turn(&mut text, bound, 2);
            let (_, mut fields) = text.simple(edge_loop);
            let mut edges = references(&fields[1]);
            edges.reverse();
            for used in &edges {
                turn(&mut text, *used, 4);
            }
            let list: Vec<String> = edges.iter().map(|e| format!("#{e}")).collect();
            fields[1] = format!("({})", list.join(","));
            set(&mut text, edge_loop, "EDGE_LOOP", &fields);
        }
        assert_same(name, &load(&text.written()), &want, 1e-8);
    }
}

/// The surface with its normal turned over, if it is one of the two kinds that can be.
fn turned_surface(text: &mut Text, surface: u64) -> Option<u64> {
    let first = text.instances.keys().next_back().expect("instances") + 1;
    if !text.instances[&surface].starts_with(|c: char| c.is_ascii_uppercase()) {
        return None;
    }
    match text.simple(surface) {
        ("PLANE", fields) => {
            let (_, mut placement) = text.simple(number(&fields[1]));
            let (_, z) = text.simple(number(&placement[2]));
            let turned: Vec<String> = split(z[1].trim_matches(['(', ')']), ',')
                .iter()
                .map(|x| format!("{:?}", -x.parse::<f64>().expect("a number")))
                .collect();
            let z = ["''".to_string(), format!("({})", turned.join(","))];
            placement[2] = format!("#{first}");
            set(text, first, "DIRECTION", &z);
            set(text, first + 1, "AXIS2_PLACEMENT_3D", &placement);
            let plane = ["''".to_string(), format!("#{}", first + 1)];
            set(text, first + 2, "PLANE", &plane);
            Some(first + 2)
        }
        ("B_SPLINE_SURFACE_WITH_KNOTS", mut fields) => {
            let rows: Vec<Vec<u64>> = split(&fields[3][1..fields[3].len() - 1], ',')
                .iter()
                .map(|row| references(row))
                .collect();
            let columns: Vec<String> = (0..rows[0].len())
                .map(|j| {
                    let column: Vec<String> = rows.iter().map(|r| format!("#{}", r[j])).collect();
                    format!("({})", column.join(","))
                })
                .collect();
            fields[3] = format!("({})", columns.join(","));
            for (a, b) in [(1, 2), (5, 6), (8, 9), (10, 11)] {
                fields.swap(a, b);
            }
            set(text, first, "B_SPLINE_SURFACE_WITH_KNOTS", &fields);
            Some(first)
        }
        _ => None,
    }
}

#[test]
fn faces_against_their_surfaces() {
    const MORE: [&str; 4] = [
        "fillet_variable",
        "loft_ruled",
        "loft_square_to_round",
        "nurbs_bracket",
    ];
    let (mut flat, mut free) = (0, 0);
    for name in FILES.into_iter().chain(MORE) {
        let mut text = Text::of(name);
        let want = load(&text.written());
        for face in text.all("ADVANCED_FACE") {
            let (_, mut fields) = text.simple(face);
            let Some(surface) = turned_surface(&mut text, number(&fields[2])) else {
                continue;
            };
            match text.simple(surface).0 {
                "PLANE" => flat += 1,
                _ => free += 1,
            }
            fields[2] = format!("#{surface}");
            fields[3] = turned(&fields[3]);
            set(&mut text, face, "ADVANCED_FACE", &fields);
        }
        assert_same(name, &load(&text.written()), &want, 1e-8);
    }
    assert!(flat > 50 && free > 5, "{flat} planes, {free} splines");
}

/// The file with the unit of the given kind replaced by `unit`; `extra` holds further instances.
fn with_unit(text: &Text, kind: &str, unit: &str, extra: &[(u64, String)]) -> Text {
    let mut text = text.clone();
    let mut found = 0;
    for body in text.instances.values_mut() {
        if body.contains(kind) && body.contains("SI_UNIT") {
            *body = unit.to_string();
            found += 1;
        }
    }
    assert!(found > 0);
    text.instances.extend(extra.iter().cloned());
    text
}

#[test]
fn other_units_of_length() {
    let measure = |value: f64, base: u64| {
        vec![
            (
                900_001,
                format!("LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE({value:?}),#{base})"),
            ),
            (
                900_002,
                "(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.CENTI.,.METRE.))".to_string(),
            ),
            (
                900_003,
                "DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.)".into(),
            ),
        ]
    };
    let by_conversion = |name: &str| {
        format!("(CONVERSION_BASED_UNIT('{name}',#900001)LENGTH_UNIT()NAMED_UNIT(#900003))")
    };
    let si = |prefix: &str| format!("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT({prefix},.METRE.))");
    // BIPM, The International System of Units (9th edition), table 7; inch 25.4 mm and foot
    // 304.8 mm: NIST SP 811, appendix B.8.
    let cases = [
        (si(".CENTI."), 10.0, Vec::new()),
        (si("$"), 1000.0, Vec::new()),
        (si(".MICRO."), 1e-3, Vec::new()),
        (si(".DECI."), 100.0, Vec::new()),
        (by_conversion("INCH"), 25.4, measure(2.54, 900_002)),
        (by_conversion("FOOT"), 304.8, measure(30.48, 900_002)),
    ];
    for name in ["bracket_foot", "cone_fused_torus", "voids", "two_bodies"] {
        let text = Text::of(name);
        let mm = with_unit(&text, "LENGTH_UNIT", &si(".MILLI."), &[]);
        let want = load(&mm.written());
        for (unit, factor, extra) in &cases {
            let factor: f64 = *factor;
            let got = load(&with_unit(&text, "LENGTH_UNIT", unit, extra).written());
            let near = |what: &str, got: f64, want: f64| {
                assert!(
                    (got / want - 1.0).abs() < 1e-8,
                    "{name}, {unit}: {what} {got} instead of {want}"
                );
            };
            assert_eq!(got.solid_count(), want.solid_count(), "{name}, {unit}");
            assert!(got.watertight(), "{name}, {unit}: {:?}", got.reservations);
            near(
                "volume",
                got.volume_mm3(),
                want.volume_mm3() * factor.powi(3),
            );
            near("area", got.area_mm2(), want.area_mm2() * factor.powi(2));
            let diagonal = |m: &Model| {
                let b = m.bounds_mm().expect("bounds");
                b[1].distance(b[0])
            };
            near("size", diagonal(&got), diagonal(&want) * factor);
        }
    }
}

/// The file with its plane angles in degrees; parameters of surfaces are left in radians.
pub fn in_degrees(text: &Text) -> Text {
    let degree = "(CONVERSION_BASED_UNIT('DEGREE',#900001)NAMED_UNIT(#900003)PLANE_ANGLE_UNIT())";
    let extra = [
        (
            900_001,
            "PLANE_ANGLE_MEASURE_WITH_UNIT(PLANE_ANGLE_MEASURE(0.0174532925199432957),#900002)"
                .to_string(),
        ),
        (
            900_002,
            "(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))".into(),
        ),
        (
            900_003,
            "DIMENSIONAL_EXPONENTS(0.,0.,0.,0.,0.,0.,0.)".into(),
        ),
    ];
    let mut text = with_unit(text, "PLANE_ANGLE_UNIT", degree, &extra);
    for cone in text.all("CONICAL_SURFACE") {
        let (_, mut fields) = text.simple(cone);
        let angle: f64 = fields[3].parse().expect("a number");
        fields[3] = format!("{:?}", angle.to_degrees());
        set(&mut text, cone, "CONICAL_SURFACE", &fields);
    }
    text
}

#[test]
fn angles_in_degrees() {
    for name in ["cone_fused_torus", "cone_through_torus", "cone_to_apex"] {
        let text = Text::of(name);
        assert!(!text.all("CONICAL_SURFACE").is_empty(), "{name}");
        let want = load(&text.written());
        let got = load(&in_degrees(&text).written());
        assert_same(name, &got, &want, 1e-9);
    }
}
