//! Units, contexts and header facts.

use step::brep::Surface;

use crate::text::{RADIAN, assert_near, block, bounds, context, context_mm, product, read};

const DEGREE: &str = "(CONVERSION_BASED_UNIT('DEGREE',#901)NAMED_UNIT(#902)PLANE_ANGLE_UNIT())";
const DEGREE_PARTS: &str = "#901=PLANE_ANGLE_MEASURE_WITH_UNIT(PLANE_ANGLE_MEASURE(0.0174532925199433),#903);\n\
    #902=DIMENSIONAL_EXPONENTS(0.,0.,0.,0.,0.,0.,0.);\n#903=(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.));\n";

fn block_in(length: &str, more: &str) -> step::brep::Brep {
    let data = context(100, length, RADIAN)
        + &block(1000, 2.0, 3.0, 4.0)
        + &product(200, "p", "#1000", 100)
        + more;
    read(&data)
}

#[test]
fn si_prefixes_scale() {
    let cases = [
        ("$", 1e3, "m"),
        (".MILLI.", 1.0, "mm"),
        (".CENTI.", 10.0, "cm"),
        (".DECI.", 100.0, "dm"),
        (".KILO.", 1e6, "km"),
        (".MICRO.", 1e-3, "um"),
        (".NANO.", 1e-6, "nm"),
    ];
    for (prefix, factor, name) in cases {
        let brep = block_in(
            &format!("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT({prefix},.METRE.))"),
            "",
        );
        assert_near(bounds(&brep)[1], [2.0 * factor, 3.0 * factor, 4.0 * factor]);
        assert_eq!(brep.length_units, [name]);
        let stated = brep.solids[0].uncertainty_mm.unwrap();
        assert!((stated / (1e-5 * factor) - 1.0).abs() < 1e-12);
    }
}

#[test]
fn conversion_units_scale() {
    // Foot by inch by millimetre.
    let inch = "#301=LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),#302);\n\
        #302=(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.));\n#303=DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.);\n\
        #304=LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(12.),#305);\n\
        #305=(CONVERSION_BASED_UNIT('INCH',#301)LENGTH_UNIT()NAMED_UNIT(#303));\n";
    let brep = block_in(
        "(CONVERSION_BASED_UNIT('INCH',#301)LENGTH_UNIT()NAMED_UNIT(#303))",
        inch,
    );
    assert_near(bounds(&brep)[1], [50.8, 76.2, 101.6]);
    assert_eq!(brep.length_units, ["inch"]);
    let brep = block_in(
        "(CONVERSION_BASED_UNIT('FOOT',#304)LENGTH_UNIT()NAMED_UNIT(#303))",
        inch,
    );
    assert_near(bounds(&brep)[1], [609.6, 914.4, 1219.2]);
    assert_eq!(brep.length_units, ["foot"]);
}

#[test]
fn contexts_of_one_file_may_differ() {
    let inch = "(CONVERSION_BASED_UNIT('INCH',#301)LENGTH_UNIT()NAMED_UNIT(#303))";
    let parts = "#301=LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),#101);\n#303=DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.);\n";
    let data = context_mm(100)
        + &context(120, inch, RADIAN)
        + parts
        + &block(1000, 1.0, 1.0, 1.0)
        + &block(1100, 1.0, 1.0, 1.0)
        + &product(200, "metric", "#1000", 100)
        + &product(220, "inch", "#1100", 120);
    let brep = read(&data);
    assert_eq!(brep.solids.len(), 2);
    let size = |k: usize| {
        brep.solids[k]
            .vertices
            .iter()
            .map(|v| v.x)
            .fold(0.0, f64::max)
    };
    assert_eq!((size(0), size(1)), (1.0, 25.4));
    assert_eq!(brep.solids[1].name, "inch");
    assert_eq!(brep.length_units, ["mm", "inch"]);
}

#[test]
fn angles_in_degrees() {
    let cone = "#1000=MANIFOLD_SOLID_BREP('',#1001);#1001=CLOSED_SHELL('',(#1002));\n\
        #1002=ADVANCED_FACE('',(#1003),#1006,.T.);#1003=FACE_BOUND('',#1004,.T.);#1004=VERTEX_LOOP('',#1005);\n\
        #1005=VERTEX_POINT('',#1008);#1006=CONICAL_SURFACE('',#1007,5.,30.);\n\
        #1007=AXIS2_PLACEMENT_3D('',#1008,$,$);#1008=CARTESIAN_POINT('',(0.,0.,0.));\n";
    let data = context(
        100,
        "(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))",
        DEGREE,
    ) + DEGREE_PARTS
        + cone
        + &product(200, "c", "#1000", 100);
    let brep = read(&data);
    let Surface::Cone {
        half_angle, radius, ..
    } = brep.solids[0].faces[0].surface
    else {
        panic!("expected a cone, found {:?}", brep.reservations)
    };
    // The stated factor has fifteen digits.
    assert!((half_angle - std::f64::consts::PI / 6.0).abs() < 1e-14);
    assert_eq!(radius, 5.0);
}

#[test]
fn missing_units_are_said() {
    let data = "#100=(GEOMETRIC_REPRESENTATION_CONTEXT(3)REPRESENTATION_CONTEXT('',''));\n"
        .to_owned()
        + &block(1000, 2.0, 3.0, 4.0)
        + &product(200, "p", "#1000", 100);
    let brep = read(&data);
    assert_eq!(brep.solids.len(), 1);
    assert!(
        brep.reservations
            .iter()
            .any(|r| r.text.contains("states no length unit"))
    );
}

#[test]
fn broken_units_are_named() {
    for (length, expected) in [
        (
            "(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MEGALO.,.METRE.))",
            "prefix that does not exist",
        ),
        (
            "(CONVERSION_BASED_UNIT('INCH',#777)LENGTH_UNIT()NAMED_UNIT($))",
            "not in the file",
        ),
        (
            "(CONVERSION_BASED_UNIT('X',#800)LENGTH_UNIT()NAMED_UNIT($))",
            "in a circle",
        ),
        (
            "(CONVERSION_BASED_UNIT('X',#802)LENGTH_UNIT()NAMED_UNIT($))",
            "a unit of 0",
        ),
    ] {
        let brep = block_in(
            length,
            "#800=LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(2.),#101);\
            #802=LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(0.),#803);#803=(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT($,.METRE.));",
        );
        assert_eq!(brep.solids.len(), 1, "{length}");
        let texts: Vec<_> = brep.reservations.iter().map(|r| r.text.as_str()).collect();
        assert!(
            texts.iter().any(|t| t.contains(expected)),
            "{expected}: {texts:?}"
        );
    }
}
