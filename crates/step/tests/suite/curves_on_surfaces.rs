//! Curves in the parameters of surfaces, against what they are in space.

use std::f64::consts::FRAC_PI_2;

use glam::{DVec2, DVec3};
use step::brep::{Brep, Curve, CurveOnSurface, Frame, Surface};

use crate::text::{self, context, product, read};

#[track_caller]
fn assert_near(found: DVec3, expected: DVec3) {
    text::assert_near(found, expected.to_array());
}

const UPRIGHT: Frame = Frame {
    origin: DVec3::new(1.0, 2.0, 3.0),
    x: DVec3::X,
    y: DVec3::Y,
    z: DVec3::Z,
};

/// A helix of pitch 1.5 mm and twenty turns: no closed form in the file format, no ends of its own.
#[test]
fn helix_on_a_cylinder() {
    let (radius, pitch) = (4.0, 1.5);
    let surface = Surface::Cylinder {
        frame: UPRIGHT,
        radius,
    };
    // A step of the curve is a quarter turn and a quarter of the pitch.
    let uv = Curve::Line {
        origin: DVec3::new(0.0, 0.5, 0.0),
        direction: DVec3::new(1.0, pitch / 4.0, 0.0),
    };
    let unit = DVec2::new(FRAC_PI_2, 1.0);
    let helix = Curve::OnSurface(Box::new(CurveOnSurface::new(surface, uv, unit)));
    assert_eq!(helix.range(), None);
    assert_eq!(helix.period(), None);
    for k in 0..160 {
        let t = f64::from(k) * 0.5 + 0.123;
        let (sin, cos) = (FRAC_PI_2 * t).sin_cos();
        let height = 0.5 + pitch / 4.0 * t;
        let [p, d, dd] = helix.eval(t, 2);
        let rate = radius * FRAC_PI_2;
        assert_near(
            p,
            UPRIGHT.origin + DVec3::new(radius * cos, radius * sin, height),
        );
        assert_near(d, DVec3::new(-rate * sin, rate * cos, pitch / 4.0));
        assert_near(dd, -rate * FRAC_PI_2 * DVec3::new(cos, sin, 0.0));
        // The right turn among twenty.
        assert!(
            (helix.closest(p) - t).abs() < 1e-9,
            "{t}: {}",
            helix.closest(p)
        );
    }
    // Eighth turns, so that pieces stay short.
    assert!(helix.breaks(0.0, 80.0).len() >= 160);
}

/// A solid of one face with one edge between two points, in a file of inches and degrees.
fn solid(from: &str, to: &str, surface: &str, uv: &str) -> Brep {
    const INCH: &str = "(CONVERSION_BASED_UNIT('INCH',#891)LENGTH_UNIT()NAMED_UNIT($))";
    const DEGREE: &str = "(CONVERSION_BASED_UNIT('DEGREE',#893)NAMED_UNIT($)PLANE_ANGLE_UNIT())";
    read(
        &(context(100, INCH, DEGREE)
            + &product(200, "p", "#60", 100)
            + "#891=LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),#892);#892=(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.));\
               #893=PLANE_ANGLE_MEASURE_WITH_UNIT(PLANE_ANGLE_MEASURE(0.0174532925199432957),#894);#894=(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.));\
               #60=MANIFOLD_SOLID_BREP('',#61);#61=CLOSED_SHELL('',(#62));#62=ADVANCED_FACE('',(#63),#50,.T.);\
               #63=FACE_BOUND('',#64,.T.);#64=EDGE_LOOP('',(#66));#66=ORIENTED_EDGE('',*,*,#70,.T.);\
               #70=EDGE_CURVE('',#40,#41,#80,.T.);#80=PCURVE('',#50,#81);#81=DEFINITIONAL_REPRESENTATION('',(#82),#83);\
               #83=(GEOMETRIC_REPRESENTATION_CONTEXT(2)PARAMETRIC_REPRESENTATION_CONTEXT()REPRESENTATION_CONTEXT('',''));\
               #20=AXIS2_PLACEMENT_3D('',#10,$,$);#10=CARTESIAN_POINT('',(0.,0.,0.));#40=VERTEX_POINT('',#11);#41=VERTEX_POINT('',#12);"
            + &format!(
                "#11=CARTESIAN_POINT('',{from});#12=CARTESIAN_POINT('',{to});#50={surface};{uv}\n"
            )),
    )
}

#[track_caller]
fn edge(from: &str, to: &str, surface: &str, uv: &str) -> Curve {
    let brep = solid(from, to, surface, uv);
    let edge = brep.solids.first().and_then(|s| s.edges.first());
    edge.unwrap_or_else(|| panic!("{:?}", brep.reservations))
        .curve
        .clone()
}

#[test]
fn closed_forms_are_taken() {
    let uv = |origin: &str, direction: &str| {
        format!(
            "#82=LINE('',#84,#85);#84=CARTESIAN_POINT('',{origin});#85=VECTOR('',#86,1.);\
             #86=DIRECTION('',{direction});"
        )
    };
    // In degrees, as the file says, and in radians, as some systems write nevertheless.
    for quarter in ["90.", "1.5707963267948966"] {
        let found = edge(
            "(0.,2.,0.)",
            "(0.,2.,3.)",
            "CYLINDRICAL_SURFACE('',#20,2.)",
            &uv(&format!("({quarter},0.)"), "(0.,1.)"),
        );
        let Curve::Line { origin, direction } = found else {
            panic!("{found:?}")
        };
        assert_near(origin, DVec3::new(0.0, 50.8, 0.0));
        assert_near(direction, DVec3::new(0.0, 0.0, 25.4));
    }
    let found = edge(
        "(2.,0.,1.)",
        "(0.,-2.,1.)",
        "CYLINDRICAL_SURFACE('',#20,2.)",
        &uv("(0.,1.)", "(-1.,0.)"),
    );
    let Curve::Circle { frame, radius } = found else {
        panic!("{found:?}")
    };
    assert!((radius - 50.8).abs() < 1e-12);
    assert_near(frame.origin, DVec3::new(0.0, 0.0, 25.4));
    assert_near(frame.z, -DVec3::Z);

    let arc =
        "#82=CIRCLE('',#84,2.);#84=AXIS2_PLACEMENT_2D('',#85,$);#85=CARTESIAN_POINT('',(1.,1.));";
    let found = edge("(3.,1.,0.)", "(1.,3.,0.)", "PLANE('',#20)", arc);
    let Curve::Circle { frame, radius } = found else {
        panic!("{found:?}")
    };
    assert!((radius - 50.8).abs() < 1e-12);
    assert_near(frame.origin, DVec3::new(25.4, 25.4, 0.0));
}

#[test]
fn a_curve_that_misses_its_edge_is_not_taken() {
    let uv = "#82=LINE('',#84,#85);#84=CARTESIAN_POINT('',(0.,7.));#85=VECTOR('',#86,1.);#86=DIRECTION('',(1.,0.));";
    let brep = solid("(0.,0.,0.)", "(5.,0.,0.)", "PLANE('',#20)", uv);
    let said = brep
        .reservations
        .iter()
        .any(|r| r.loses_geometry && r.text.contains("does not meet the ends of its edge"));
    assert!(said, "{:?}", brep.reservations);
}
