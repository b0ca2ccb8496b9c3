//! Solids given as an area and how it moves, against closed forms.

use std::f64::consts::PI;
use step::{Model, TessellationOptions};

use crate::text::{RADIAN, context, context_mm, file, product};

const DEGREE: &str = "(CONVERSION_BASED_UNIT('DEGREE',#893)NAMED_UNIT($)PLANE_ANGLE_UNIT())";
const MM: &str = "(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))";
const METRE: &str = "(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT($,.METRE.))";

/// Solid #60 on area #61, which lies in the plane z = 3 and has the boundaries named.
fn load(context: &str, solid: &str, boundaries: &str, more: &str) -> Model {
    let text = file(
        &(context.to_string()
            + "#893=PLANE_ANGLE_MEASURE_WITH_UNIT(PLANE_ANGLE_MEASURE(0.0174532925199432957),#894);\
               #894=(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.));"
            + &product(200, "p", "#60", 100)
            + &format!("#60={solid};#61=CURVE_BOUNDED_SURFACE('',#62,({boundaries}),.F.);")
            + "#62=PLANE('',#20);#20=AXIS2_PLACEMENT_3D('',#10,$,$);#10=CARTESIAN_POINT('',(0.,0.,3.));\
               #11=CARTESIAN_POINT('',(8.,0.,3.));#12=CARTESIAN_POINT('',(8.,6.,3.));#13=CARTESIAN_POINT('',(0.,6.,3.));\
               #14=CARTESIAN_POINT('',(4.,3.,3.));#21=AXIS2_PLACEMENT_3D('',#14,$,$);\
               #31=DIRECTION('',(0.,0.,1.));#32=DIRECTION('',(0.,0.6,-0.8));#33=DIRECTION('',(0.,1.,0.));\
               #70=COMPOSITE_CURVE('',(#71),.F.);#71=COMPOSITE_CURVE_SEGMENT(.CONTINUOUS.,.T.,#72);\
               #72=POLYLINE('',(#10,#11,#12,#13,#10));\
               #80=COMPOSITE_CURVE('',(#81),.F.);#81=COMPOSITE_CURVE_SEGMENT(.CONTINUOUS.,.T.,#82);\
               #82=CIRCLE('',#21,2.);\n"
            + more),
    );
    step::load(text.as_bytes(), &TessellationOptions::default(), None).expect("a STEP file")
}

#[track_caller]
fn check(model: &Model, faces: usize, volume_mm3: f64, area_mm2: f64) {
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * b;
    assert!(model.watertight(), "{:?}", model.reservations);
    assert_eq!(model.face_count(), faces);
    assert!(
        near(model.volume_mm3(), volume_mm3),
        "volume {} instead of {volume_mm3}: {:?}",
        model.volume_mm3(),
        model.reservations
    );
    assert!(
        near(model.area_mm2(), area_mm2),
        "area {} instead of {area_mm2}",
        model.area_mm2()
    );
    assert!(
        !model
            .reservations
            .iter()
            .any(|r| r.text.contains("inwards")),
        "{:?}",
        model.reservations
    );
}

#[test]
fn plate_with_a_hole() {
    let solid = "EXTRUDED_AREA_SOLID('',#61,#31,5.)";
    let model = load(&context_mm(100), solid, "#70,#80", "");
    let flat = 48.0 - 4.0 * PI;
    let walls = 5.0 * (28.0 + 4.0 * PI);
    check(&model, 7, 5.0 * flat, 2.0 * flat + walls);
    let bounds = model.bounds_mm().expect("bounds");
    assert!(bounds[0].distance(glam::DVec3::new(0.0, 0.0, 3.0)) < 1e-9);
    assert!(bounds[1].distance(glam::DVec3::new(8.0, 6.0, 8.0)) < 1e-9);

    let model = load(&context(100, METRE, RADIAN), solid, "#80,#70", "");
    check(&model, 7, 5e9 * flat, 1e6 * (2.0 * flat + walls));
}

/// An oblique prism: base times height, and slanted walls.
#[test]
fn extruded_askew_and_downwards() {
    let solid = "EXTRUDED_AREA_SOLID('',#61,#32,5.)";
    let model = load(&context_mm(100), solid, "#70", "");
    check(
        &model,
        6,
        48.0 * 4.0,
        2.0 * 48.0 + 2.0 * 8.0 * 5.0 + 2.0 * 6.0 * 4.0,
    );
}

/// Half a disc from an arc and a line, each written against the boundary.
#[test]
fn segments_against_their_curves() {
    let more = "#90=COMPOSITE_CURVE('',(#91,#92),.F.);\
        #91=COMPOSITE_CURVE_SEGMENT(.CONTINUOUS.,.F.,#93);#92=COMPOSITE_CURVE_SEGMENT(.CONTINUOUS.,.F.,#94);\
        #93=TRIMMED_CURVE('',#82,(PARAMETER_VALUE(0.)),(PARAMETER_VALUE(3.14159265358979312)),.T.,.PARAMETER.);\
        #94=POLYLINE('',(#95,#96));#95=CARTESIAN_POINT('',(2.,3.,3.));#96=CARTESIAN_POINT('',(6.,3.,3.));";
    let solid = "EXTRUDED_AREA_SOLID('',#61,#31,5.)";
    let model = load(&context_mm(100), solid, "#90", more);
    check(&model, 4, 10.0 * PI, 4.0 * PI + 5.0 * (4.0 + 2.0 * PI));
}

/// Pappus: a torus about the line x = -1.
#[test]
fn circle_turned_all_the_way() {
    let more = "#50=AXIS1_PLACEMENT('',#51,#33);#51=CARTESIAN_POINT('',(-1.,0.,3.));";
    let solid = "REVOLVED_AREA_SOLID('',#61,#50,360.)";
    let model = load(&context(100, MM, DEGREE), solid, "#80", more);
    check(
        &model,
        1,
        2.0 * PI * 5.0 * 4.0 * PI,
        2.0 * PI * 5.0 * 4.0 * PI,
    );
}

/// One side of the rectangle lies on the axis; a quarter turn either way is a wedge of a cylinder,
/// a whole one a cylinder.
#[test]
fn rectangle_turned_about_its_side() {
    let more = "#50=AXIS1_PLACEMENT('',#10,#33);";
    for angle in ["90.", "-90."] {
        let solid = format!("REVOLVED_AREA_SOLID('',#61,#50,{angle})");
        let model = load(&context(100, MM, DEGREE), &solid, "#70", more);
        let sector = 16.0 * PI;
        check(
            &model,
            5,
            6.0 * sector,
            2.0 * sector + 6.0 * 4.0 * PI + 2.0 * 48.0,
        );
    }
    let solid = "REVOLVED_AREA_SOLID('',#61,#50,360.)";
    let model = load(&context(100, MM, DEGREE), solid, "#70", more);
    let disc = 64.0 * PI;
    check(&model, 3, 6.0 * disc, 2.0 * disc + 6.0 * 16.0 * PI);
}

#[test]
fn what_cannot_be_swept_is_named() {
    let axis = "#50=AXIS1_PLACEMENT('',#14,#33);";
    let open = "#97=COMPOSITE_CURVE('',(#98),.F.);#98=COMPOSITE_CURVE_SEGMENT(.CONTINUOUS.,.T.,#99);\
        #99=POLYLINE('',(#10,#11,#12));";
    let cases = [
        (
            "EXTRUDED_AREA_SOLID('',#61,#33,5.)",
            "#70",
            "",
            "moves within its plane",
        ),
        (
            "EXTRUDED_AREA_SOLID('',#61,#31,0.)",
            "#70",
            "",
            "a depth of 0",
        ),
        (
            "EXTRUDED_AREA_SOLID('',#61,#31,5.)",
            "#97",
            open,
            "a gap of 10.0",
        ),
        (
            "REVOLVED_AREA_SOLID('',#61,#50,1.)",
            "#70",
            axis,
            "both sides of the axis",
        ),
        (
            "REVOLVED_AREA_SOLID('',#61,#50,7.)",
            "#70",
            axis,
            "a turn by 401",
        ),
        (
            "REVOLVED_AREA_SOLID('',#61,#50,1.)",
            "#70",
            "#50=AXIS1_PLACEMENT('',#51,#33);#51=CARTESIAN_POINT('',(0.,0.,2.));",
            "the axis does not lie in the plane",
        ),
    ];
    for (solid, boundary, more, expected) in cases {
        let model = load(&context_mm(100), solid, boundary, more);
        assert_eq!(model.solid_count(), 0, "{solid}");
        let said = model
            .reservations
            .iter()
            .any(|r| r.loses_geometry && r.text.contains(expected) && r.text.contains("#60"));
        assert!(said, "{solid}: {:?}", model.reservations);
    }
}
