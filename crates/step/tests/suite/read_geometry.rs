//! Curves, surfaces, faces and solids.

use glam::DVec3;
use step::brep::{Brep, Curve, EdgeUse, Loop, Surface};

use crate::text::{assert_near, block, context, context_mm, product, read};

const INCH: &str = "(CONVERSION_BASED_UNIT('INCH',#891)LENGTH_UNIT()NAMED_UNIT($))";
const DEGREE: &str = "(CONVERSION_BASED_UNIT('DEGREE',#893)NAMED_UNIT($)PLANE_ANGLE_UNIT())";
const PARTS: &str = "#891=LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),#892);#892=(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.));\
    #893=PLANE_ANGLE_MEASURE_WITH_UNIT(PLANE_ANGLE_MEASURE(0.0174532925199432957),#894);#894=(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.));\n";

/// Points and placements shared by the tests: #10 the origin, #11 at (1,2,3), #12 along x, #20 the
/// upright placement at #11, #31 to #33 unit directions.
const COMMON: &str = "#10=CARTESIAN_POINT('',(0.,0.,0.));#11=CARTESIAN_POINT('',(1.,2.,3.));#12=CARTESIAN_POINT('',(5.,0.,0.));\
    #13=CARTESIAN_POINT('',(5.,5.,0.));#14=CARTESIAN_POINT('',(0.,5.,0.));\
    #20=AXIS2_PLACEMENT_3D('',#11,$,$);#21=AXIS1_PLACEMENT('',#10,#33);\
    #31=DIRECTION('',(1.,0.,0.));#32=DIRECTION('',(0.,2.,0.));#33=DIRECTION('',(0.,0.,1.));\
    #40=VERTEX_POINT('',#10);#41=VERTEX_POINT('',#12);\n";

/// A solid of one face on surface #50 with a vertex loop, in inches and degrees.
fn on_surface(surface: &str) -> Brep {
    read(
        &(context(100, INCH, DEGREE)
            + PARTS
            + COMMON
            + &product(200, "p", "#60", 100)
            + "#60=MANIFOLD_SOLID_BREP('',#61);#61=CLOSED_SHELL('',(#62));#62=ADVANCED_FACE('',(#63),#50,.T.);\
           #63=FACE_BOUND('',#64,.T.);#64=VERTEX_LOOP('',#40);\n"
            + surface),
    )
}

#[track_caller]
fn surface(text: &str) -> Surface {
    let brep = on_surface(text);
    let face = brep.solids.first().and_then(|s| s.faces.first());
    face.unwrap_or_else(|| panic!("{:?}", brep.reservations))
        .surface
        .clone()
}

/// A solid of one face whose loop is edge #70 on curve #50, in inches and degrees.
fn on_curve(curve: &str) -> Brep {
    read(
        &(context(100, INCH, DEGREE)
            + PARTS
            + COMMON
            + &product(200, "p", "#60", 100)
            + "#60=MANIFOLD_SOLID_BREP('',#61);#61=CLOSED_SHELL('',(#62));#62=ADVANCED_FACE('',(#63),#65,.T.);\
           #63=FACE_BOUND('',#64,.T.);#64=EDGE_LOOP('',(#66));#65=PLANE('',#20);#66=ORIENTED_EDGE('',*,*,#70,.F.);\
           #70=EDGE_CURVE('',#40,#41,#50,.T.);\n"
            + curve),
    )
}

#[track_caller]
fn curve(text: &str) -> Curve {
    let brep = on_curve(text);
    let edge = brep.solids.first().and_then(|s| s.edges.first());
    edge.unwrap_or_else(|| panic!("{:?}", brep.reservations))
        .curve
        .clone()
}

#[test]
fn elementary_surfaces() {
    let Surface::Plane { frame } = surface("#50=PLANE('',#20);") else {
        panic!("plane")
    };
    assert_near(frame.origin, [25.4, 50.8, 76.2]);
    assert_near(frame.z, [0.0, 0.0, 1.0]);
    assert_near(frame.x, [1.0, 0.0, 0.0]);
    let Surface::Cylinder { radius, .. } = surface("#50=CYLINDRICAL_SURFACE('',#20,2.);") else {
        panic!("cylinder")
    };
    assert_eq!(radius, 50.8);
    let Surface::Cone {
        radius, half_angle, ..
    } = surface("#50=CONICAL_SURFACE('',#20,0.,45);")
    else {
        panic!("cone")
    };
    assert_eq!(radius, 0.0);
    assert!((half_angle.tan() - 1.0).abs() < 1e-15);
    let Surface::Sphere { radius, .. } = surface("#50=SPHERICAL_SURFACE('',#20,1.);") else {
        panic!("sphere")
    };
    assert_eq!(radius, 25.4);
    let Surface::Torus { major, minor, .. } = surface("#50=TOROIDAL_SURFACE('',#20,3.,1.);") else {
        panic!("torus")
    };
    assert_eq!((major, minor), (3.0 * 25.4, 25.4));
    let text = "#50=DEGENERATE_TOROIDAL_SURFACE('',#20,1.,3.,.F.);";
    let Surface::Torus { select_outer, .. } = surface(text) else {
        panic!("torus")
    };
    assert!(!select_outer);
}

#[test]
fn placements_are_made_square() {
    let cases = [
        // Reference direction not square to the axis.
        ("(0.,0.,3.)", "(2.,0.,5.)", [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]),
        // Along the axis: the default of ISO 10303-42.
        ("(1.,0.,0.)", "(1.,0.,0.)", [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]),
        (
            "(0.,1.,0.)",
            "(0.,-1.,0.)",
            [0.0, 1.0, 0.0],
            [1.0, 0.0, 0.0],
        ),
        // Huge and tiny components.
        (
            "(0.,1E200,0.)",
            "(1E-200,0.,0.)",
            [0.0, 1.0, 0.0],
            [1.0, 0.0, 0.0],
        ),
    ];
    for (z, x, frame_z, frame_x) in cases {
        let text = format!(
            "#50=PLANE('',#51);#51=AXIS2_PLACEMENT_3D('',#10,#52,#53);#52=DIRECTION('',{z});#53=DIRECTION('',{x});"
        );
        let Surface::Plane { frame } = surface(&text) else {
            panic!("plane")
        };
        assert_near(frame.z, frame_z);
        assert_near(frame.x, frame_x);
        assert_near(frame.y, frame.z.cross(frame.x).to_array());
    }
}

#[test]
fn swept_surfaces() {
    let line = "#51=LINE('',#10,#52);#52=VECTOR('',#32,2.);#53=VECTOR('',#33,3.);";
    let Surface::Extrusion { curve, direction } = surface(&format!(
        "#50=SURFACE_OF_LINEAR_EXTRUSION('',#51,#53);{line}"
    )) else {
        panic!("extrusion")
    };
    assert_near(direction, [0.0, 0.0, 76.2]);
    let Curve::Line { direction, .. } = *curve else {
        panic!("line")
    };
    // The direction (0,2,0) only directs; the magnitude is 2 inches.
    assert_near(direction, [0.0, 50.8, 0.0]);
    let Surface::Revolution { axis, origin, .. } =
        surface(&format!("#50=SURFACE_OF_REVOLUTION('',#51,#21);{line}"))
    else {
        panic!("revolution")
    };
    assert_near(axis, [0.0, 0.0, 1.0]);
    assert_near(origin, [0.0; 3]);
}

#[test]
fn offset_trimmed_and_bounded_surfaces() {
    let cylinder = "#51=CYLINDRICAL_SURFACE('',#20,2.);";
    let Surface::Offset { distance, basis } =
        surface(&format!("#50=OFFSET_SURFACE('',#51,-0.5,.F.);{cylinder}"))
    else {
        panic!("offset")
    };
    assert_eq!(distance, -12.7);
    assert!(matches!(*basis, Surface::Cylinder { .. }));
    let text = format!("#50=RECTANGULAR_TRIMMED_SURFACE('',#51,0.,90.,1.,2.,.T.,.F.);{cylinder}");
    let Surface::RectangularTrimmed {
        u,
        v,
        u_sense,
        v_sense,
        ..
    } = surface(&text)
    else {
        panic!("trimmed")
    };
    assert!((u[1] - std::f64::consts::FRAC_PI_2).abs() < 1e-15);
    assert_eq!(v, [25.4, 50.8]);
    assert!(u_sense && !v_sense);
    let bounded = surface(&format!(
        "#50=CURVE_BOUNDED_SURFACE('',#51,(),.T.);{cylinder}"
    ));
    assert!(matches!(bounded, Surface::Cylinder { .. }));
    // A replica is moved and scaled.
    let replica = format!(
        "#50=SURFACE_REPLICA('',#51,#52);#52=CARTESIAN_TRANSFORMATION_OPERATOR_3D('','',$,$,$,#12,2.,$);{cylinder}"
    );
    let Surface::Cylinder { radius, frame } = surface(&replica) else {
        panic!("cylinder")
    };
    assert!((radius - 101.6).abs() < 1e-12);
    assert_near(frame.origin, [7.0 * 25.4, 4.0 * 25.4, 6.0 * 25.4]);
}

#[test]
fn spline_surfaces_of_all_forms() {
    let net = "((#10,#14),(#12,#13))";
    let plain = format!("1,1,{net},.UNSPECIFIED.,.F.,.F.,.F.");
    for text in [
        format!(
            "#50=B_SPLINE_SURFACE_WITH_KNOTS('',{plain},(2,2),(2,2),(0.,1.),(0.,1.),.UNSPECIFIED.);"
        ),
        format!("#50=BEZIER_SURFACE('',{plain});"),
        format!("#50=QUASI_UNIFORM_SURFACE('',{plain});"),
        format!(
            "#50=(BOUNDED_SURFACE()B_SPLINE_SURFACE({plain})BEZIER_SURFACE()GEOMETRIC_REPRESENTATION_ITEM()REPRESENTATION_ITEM('')SURFACE());"
        ),
    ] {
        let Surface::BSpline(s) = surface(&text) else {
            panic!("spline")
        };
        assert_eq!(s.u_knots, [0.0, 0.0, 1.0, 1.0], "{text}");
        assert_eq!(s.v_knots, [0.0, 0.0, 1.0, 1.0]);
        assert!(s.weights.is_none());
        // Rows run along u.
        assert_near(s.points[s.v_count], [127.0, 0.0, 0.0]);
    }
    let rational = format!(
        "#50=(BOUNDED_SURFACE()B_SPLINE_SURFACE({plain})B_SPLINE_SURFACE_WITH_KNOTS((2,2),(2,2),(0.,1.),(-1.,3.),.UNSPECIFIED.)\
         GEOMETRIC_REPRESENTATION_ITEM()RATIONAL_B_SPLINE_SURFACE(((1.,2.),(3.,4.)))REPRESENTATION_ITEM('')SURFACE());"
    );
    let Surface::BSpline(s) = surface(&rational) else {
        panic!("spline")
    };
    assert_eq!(s.weights.as_deref(), Some(&[1.0, 2.0, 3.0, 4.0][..]));
    assert_eq!(s.v_knots, [-1.0, -1.0, 3.0, 3.0]);
}

#[test]
fn elementary_curves() {
    let Curve::Circle { radius, frame } = curve("#50=CIRCLE('',#20,2.);") else {
        panic!("circle")
    };
    assert_eq!(radius, 50.8);
    assert_near(frame.origin, [25.4, 50.8, 76.2]);
    let Curve::Ellipse { rx, ry, .. } = curve("#50=ELLIPSE('',#20,2.,1.);") else {
        panic!("ellipse")
    };
    assert_eq!((rx, ry), (50.8, 25.4));
    let Curve::Parabola { focal, .. } = curve("#50=PARABOLA('',#20,2.);") else {
        panic!("parabola")
    };
    assert_eq!(focal, 50.8);
    let Curve::Hyperbola { rx, ry, .. } = curve("#50=HYPERBOLA('',#20,2.,1.);") else {
        panic!("hyperbola")
    };
    assert_eq!((rx, ry), (50.8, 25.4));
    let Curve::Polyline { points } = curve("#50=POLYLINE('',(#10,#12,#13));") else {
        panic!("polyline")
    };
    assert_eq!(points.len(), 3);
    assert_near(points[2], [127.0, 127.0, 0.0]);
}

#[test]
fn spline_curves_of_all_forms() {
    let knots = |text: &str| {
        let Curve::BSpline(s) = curve(text) else {
            panic!("spline")
        };
        s.knots
    };
    let four = "(#10,#12,#13,#14)";
    assert_eq!(
        knots(&format!(
            "#50=B_SPLINE_CURVE_WITH_KNOTS('',2,{four},.UNSPECIFIED.,.F.,.F.,(3,1,3),(0.,0.3,1.),.UNSPECIFIED.);"
        )),
        [0.0, 0.0, 0.0, 0.3, 1.0, 1.0, 1.0]
    );
    assert_eq!(
        knots(&format!(
            "#50=UNIFORM_CURVE('',2,{four},.UNSPECIFIED.,.F.,.F.);"
        )),
        [-2.0, -1.0, 0.0, 1.0, 2.0, 3.0, 4.0]
    );
    assert_eq!(
        knots(&format!(
            "#50=QUASI_UNIFORM_CURVE('',2,{four},.UNSPECIFIED.,.F.,.F.);"
        )),
        [0.0, 0.0, 0.0, 1.0, 2.0, 2.0, 2.0]
    );
    assert_eq!(
        knots(&format!(
            "#50=BEZIER_CURVE('',3,{four},.UNSPECIFIED.,.F.,.F.);"
        )),
        [0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.0]
    );
    // Two quadratic Bezier pieces.
    assert_eq!(
        knots("#50=BEZIER_CURVE('',2,(#10,#12,#13,#14,#10),.UNSPECIFIED.,.F.,.F.);"),
        [0.0, 0.0, 0.0, 1.0, 1.0, 2.0, 2.0, 2.0]
    );
    let rational = "#50=(BOUNDED_CURVE()B_SPLINE_CURVE(2,(#10,#12,#13),.UNSPECIFIED.,.F.,.F.)B_SPLINE_CURVE_WITH_KNOTS((3,3),(0.,1.),.UNSPECIFIED.)\
        CURVE()GEOMETRIC_REPRESENTATION_ITEM()RATIONAL_B_SPLINE_CURVE((1.,0.5,1.))REPRESENTATION_ITEM(''));";
    let Curve::BSpline(s) = curve(rational) else {
        panic!("spline")
    };
    assert_eq!(s.weights.as_deref(), Some(&[1.0, 0.5, 1.0][..]));
}

#[test]
fn curves_on_surfaces_give_their_form_in_space() {
    for kind in ["SURFACE_CURVE", "SEAM_CURVE", "INTERSECTION_CURVE"] {
        let found = curve(&format!(
            "#50={kind}('',#51,(#52,#53),.PCURVE_S1.);#51=CIRCLE('',#20,2.);"
        ));
        assert!(matches!(found, Curve::Circle { .. }), "{kind}");
    }
    let complex = "#50=(BOUNDED_CURVE()BOUNDED_SURFACE_CURVE()CURVE()GEOMETRIC_REPRESENTATION_ITEM()REPRESENTATION_ITEM('')SURFACE_CURVE(#51,(#52),.CURVE_3D.));#51=CIRCLE('',#20,2.);";
    assert!(matches!(curve(complex), Curve::Circle { .. }));
}

#[test]
fn trimmed_curves_by_parameter_or_point() {
    let trims = |trims: &str| {
        let Curve::Trimmed {
            t0, t1, same_sense, ..
        } = curve(&format!(
            "#50=TRIMMED_CURVE('',#51,{trims},.F.,.PARAMETER.);#51=CIRCLE('',#52,5.);#52=AXIS2_PLACEMENT_3D('',#10,$,$);"
        ))
        else {
            panic!("trimmed")
        };
        assert!(!same_sense);
        (t0, t1)
    };
    let quarter = std::f64::consts::FRAC_PI_2;
    let near =
        |(a, b): (f64, f64)| assert!(a.abs() < 1e-15 && (b - quarter).abs() < 1e-15, "{a} {b}");
    near(trims("(PARAMETER_VALUE(0.)),(PARAMETER_VALUE(90.))"));
    near(trims("(#12),(#14)"));
    near(trims(
        "(#12,PARAMETER_VALUE(0.)),(PARAMETER_VALUE(90.),#14)",
    ));
    // Radians where degrees are in force: the point tells.
    near(trims(
        "(#12,PARAMETER_VALUE(0.)),(PARAMETER_VALUE(1.5707963267948966),#14)",
    ));
    // Lines have a plain parameter: multiples of their vector.
    let Curve::Trimmed { t1, .. } = curve(
        "#50=TRIMMED_CURVE('',#51,(PARAMETER_VALUE(0.)),(#12),.T.,.CARTESIAN.);#51=LINE('',#10,#52);#52=VECTOR('',#31,2.);",
    ) else {
        panic!("trimmed")
    };
    assert!((t1 - 2.5).abs() < 1e-15);
}

#[test]
fn composite_offset_and_replicated_curves() {
    let circle = "#51=CIRCLE('',#20,2.);";
    let text = format!(
        "#50=COMPOSITE_CURVE('',(#52,#53),.F.);#52=COMPOSITE_CURVE_SEGMENT(.CONTINUOUS.,.T.,#51);#53=COMPOSITE_CURVE_SEGMENT(.DISCONTINUOUS.,.F.,#51);{circle}"
    );
    let Curve::Composite { segments } = curve(&text) else {
        panic!("composite")
    };
    assert_eq!(
        segments.iter().map(|s| s.1).collect::<Vec<_>>(),
        [true, false]
    );
    let Curve::Offset {
        distance,
        reference,
        ..
    } = curve(&format!("#50=OFFSET_CURVE_3D('',#51,1.,.F.,#33);{circle}"))
    else {
        panic!("offset")
    };
    assert_eq!(distance, 25.4);
    assert_near(reference, [0.0, 0.0, 1.0]);
    let text = format!(
        "#50=CURVE_REPLICA('',#51,#52);#52=CARTESIAN_TRANSFORMATION_OPERATOR_3D('','',$,$,$,#10,0.5,$);{circle}"
    );
    let Curve::Circle { radius, frame } = curve(&text) else {
        panic!("circle")
    };
    assert!((radius - 25.4).abs() < 1e-13);
    assert_near(frame.origin, [12.7, 25.4, 38.1]);
}

/// A square with an oriented edge on each side, the bound and the shell oriented as asked.
fn square(bound: &str, sense: &str, shell: &str) -> Brep {
    read(
        &(context_mm(100)
            + COMMON
            + &product(200, "p", "#60", 100)
            + "#42=VERTEX_POINT('',#13);#43=VERTEX_POINT('',#14);#50=PLANE('',#51);#51=AXIS2_PLACEMENT_3D('',#10,$,$);\
           #81=EDGE_CURVE('',#40,#41,#85,.T.);#82=EDGE_CURVE('',#41,#42,#86,.T.);#83=EDGE_CURVE('',#43,#42,#87,.T.);#84=EDGE_CURVE('',#40,#43,#88,.T.);\
           #85=LINE('',#10,#89);#86=LINE('',#12,#90);#87=LINE('',#14,#89);#88=LINE('',#10,#90);#89=VECTOR('',#31,1.);#90=VECTOR('',#32,1.);\
           #91=ORIENTED_EDGE('',*,*,#81,.T.);#92=ORIENTED_EDGE('',*,*,#82,.T.);#93=ORIENTED_EDGE('',*,*,#83,.F.);#94=ORIENTED_EDGE('',*,*,#84,.F.);\
           #64=EDGE_LOOP('',(#91,#92,#93,#94));"
            + &format!(
                "#63=FACE_OUTER_BOUND('',#64,{bound});#62=ADVANCED_FACE('',(#63),#50,{sense});{shell}"
            )),
    )
}

#[test]
fn orientations_add_up() {
    let plain = "#60=MANIFOLD_SOLID_BREP('',#61);#61=CLOSED_SHELL('',(#62));";
    let forward = [(0, true), (1, true), (2, false), (3, false)]
        .map(|(edge, forward)| EdgeUse { edge, forward });
    let mut backward = forward;
    backward.reverse();
    let backward = backward.map(|u| EdgeUse {
        forward: !u.forward,
        ..u
    });
    let cases = [
        (".T.", ".T.", plain, true, forward),
        (".F.", ".T.", plain, true, backward),
        (".F.", ".F.", plain, false, backward),
        // Turning the shell turns sense and loops.
        (
            ".T.",
            ".T.",
            "#60=MANIFOLD_SOLID_BREP('',#61);#61=ORIENTED_CLOSED_SHELL('',*,#65,.F.);#65=CLOSED_SHELL('',(#62));",
            false,
            backward,
        ),
        (
            ".F.",
            ".F.",
            "#60=MANIFOLD_SOLID_BREP('',#61);#61=ORIENTED_CLOSED_SHELL('',*,#65,.F.);#65=CLOSED_SHELL('',(#62));",
            true,
            forward,
        ),
        (
            ".T.",
            ".T.",
            "#60=MANIFOLD_SOLID_BREP('',#61);#61=CLOSED_SHELL('',(#65));#65=ORIENTED_FACE('',*,#62,.F.);",
            false,
            backward,
        ),
        (
            ".T.",
            ".F.",
            "#60=(BREP_WITH_VOIDS(())GEOMETRIC_REPRESENTATION_ITEM()MANIFOLD_SOLID_BREP(#61)REPRESENTATION_ITEM('')SOLID_MODEL());#61=CLOSED_SHELL('',(#62));",
            false,
            forward,
        ),
    ];
    for (bound, sense, shell, same_sense, uses) in cases {
        let brep = square(bound, sense, shell);
        assert_eq!(brep.solids.len(), 1, "{:?}", brep.reservations);
        let face = &brep.solids[0].faces[0];
        assert_eq!(face.same_sense, same_sense, "{bound} {sense} {shell}");
        // Edges are numbered in the order met, which is that of the file.
        assert_eq!(
            face.loops,
            [Loop::Edges(uses.to_vec())].to_vec(),
            "{bound} {sense} {shell}"
        );
        assert_eq!(face.outer, Some(0));
    }
}

#[test]
fn subedges_and_nested_oriented_edges() {
    let brep = read(
        &(context_mm(100)
            + COMMON
            + &product(200, "p", "#60", 100)
            + "#60=MANIFOLD_SOLID_BREP('',#61);#61=CLOSED_SHELL('',(#62));#62=FACE_SURFACE('',(#63),#65,.T.);\
           #63=FACE_BOUND('',#64,.T.);#64=EDGE_LOOP('',(#66,#67));#65=PLANE('',#20);\
           #66=ORIENTED_EDGE('',*,*,#68,.F.);#68=ORIENTED_EDGE('',*,*,#69,.F.);#69=SUBEDGE('',#41,#40,#70);\
           #67=ORIENTED_EDGE('',*,*,#70,.T.);#70=EDGE_CURVE('',#40,#41,#50,.F.);#50=CIRCLE('',#20,2.);"),
    );
    let solid = &brep.solids[0];
    assert_eq!(solid.edges.len(), 2, "{:?}", brep.reservations);
    let Loop::Edges(uses) = &solid.faces[0].loops[0] else {
        panic!("edges")
    };
    // Twice backwards is forwards.
    assert!(uses[0].forward && uses[1].forward);
    let sub = solid.edges.iter().find(|e| e.id == 69).unwrap();
    assert!(matches!(sub.curve, Curve::Circle { .. }) && !sub.same_sense);
}

#[test]
fn edges_of_no_length_are_left_out() {
    let data = |loop_edges: &str| {
        context_mm(100)
            + COMMON
            + &product(200, "p", "#60", 100)
            + "#60=MANIFOLD_SOLID_BREP('',#61);#61=CLOSED_SHELL('',(#62));#62=ADVANCED_FACE('',(#63),#65,.T.);\
               #63=FACE_BOUND('',#64,.T.);#65=PLANE('',#20);\
               #66=ORIENTED_EDGE('',*,*,#70,.T.);#70=EDGE_CURVE('',#40,#40,#50,.T.);#50=CIRCLE('',#20,2.);\
               #67=ORIENTED_EDGE('',*,*,#71,.T.);#71=EDGE_CURVE('',#40,#40,#51,.T.);#51=LINE('',#10,#52);#52=VECTOR('',#53,0.);#53=DIRECTION('',(0.,0.,0.));\
               #68=ORIENTED_EDGE('',*,*,#72,.T.);#72=EDGE_CURVE('',#40,#41,#51,.T.);"
            + &format!("#64=EDGE_LOOP('',({loop_edges}));")
    };
    let kept = read(&data("#66,#67"));
    assert_eq!(kept.solids[0].faces.len(), 1, "{:?}", kept.reservations);
    assert_eq!(kept.solids[0].edges.len(), 1);
    // Between different vertices the curve is needed.
    let lost = read(&data("#66,#68"));
    assert!(lost.solids[0].faces.is_empty());
    assert!(
        lost.reservations
            .iter()
            .any(|r| r.text.contains("face #62 is missing"))
    );
}

#[test]
fn voids_are_turned_as_the_file_says() {
    let data = context_mm(100)
        + &block(1000, 9.0, 9.0, 9.0)
        + &block(1100, 1.0, 1.0, 1.0)
        + &product(200, "p", "#60", 100)
        + "#60=BREP_WITH_VOIDS('',#1001,(#61));#61=ORIENTED_CLOSED_SHELL('',*,#1101,.F.);";
    let brep = read(&data);
    // The two blocks also stand for themselves, outside any representation.
    let solid = brep
        .solids
        .iter()
        .find(|s| s.id == 60)
        .expect("the hollow block");
    assert_eq!(solid.faces.len(), 12);
    let Loop::Poly(outer) = &solid.faces[0].loops[0] else {
        panic!("polygon")
    };
    let Loop::Poly(inner) = &solid.faces[6].loops[0] else {
        panic!("polygon")
    };
    let normal = |corners: &[usize]| {
        let p = |k: usize| solid.vertices[corners[k]];
        (p(1) - p(0)).cross(p(2) - p(1)).normalize()
    };
    // First side of each: the bottom. Out of the material is down outside, up inside.
    assert_near(normal(outer), [0.0, 0.0, -1.0]);
    assert_near(normal(inner), [0.0, 0.0, 1.0]);
}

#[test]
fn faceted_solids_have_polygons_with_planes() {
    let brep =
        read(&(context_mm(100) + &block(1000, 1.0, 2.0, 3.0) + &product(200, "p", "#1000", 100)));
    let solid = &brep.solids[0];
    assert_eq!(
        (solid.vertices.len(), solid.edges.len(), solid.faces.len()),
        (8, 0, 6)
    );
    let normals: DVec3 = solid
        .faces
        .iter()
        .map(|f| match f.surface {
            Surface::Plane { frame } => frame.z * frame.z.abs(),
            _ => DVec3::NAN,
        })
        .sum();
    assert_near(normals, [0.0; 3]);
    assert!(solid.closed);
}

#[test]
fn surface_models_that_close_are_solids() {
    let model = |shell: &str, more: &str| {
        read(
            &(context_mm(100)
                + &block(1000, 1.0, 2.0, 3.0)
                + &product(200, "p", "#60", 100)
                + &format!("#60=SHELL_BASED_SURFACE_MODEL('',({shell}));{more}")),
        )
    };
    let faces = |k: std::ops::Range<u32>| {
        k.map(|k| format!("#{}", 1010 + k))
            .collect::<Vec<_>>()
            .join(",")
    };
    let all = model("#61", &format!("#61=OPEN_SHELL('',({}));", faces(0..6)));
    // The faceted block itself stands outside any representation and is read as well.
    let found = all.solids.iter().find(|s| s.id == 60).unwrap();
    assert!(found.closed);
    // One shell a face: together they close.
    let single: Vec<_> = (0..6)
        .map(|k| format!("#{}=OPEN_SHELL('',(#{}));", 61 + k, 1010 + k))
        .collect();
    let apart = model("#61,#62,#63,#64,#65,#66", &single.concat());
    assert!(
        apart
            .solids
            .iter()
            .any(|s| s.id == 60 && s.closed && s.faces.len() == 6)
    );
}

#[test]
fn surface_models_without_common_edges_may_close() {
    // Two half balls, each face with vertices and edges of its own; the second a little off.
    let half = |first: u64, shift: f64, sense: &str, forward: &str| {
        let n = |k: u64| first + k;
        format!(
            "#{}=OPEN_SHELL('',(#{}));#{}=ADVANCED_FACE('',(#{}),#{},{sense});#{}=FACE_BOUND('',#{},.T.);\
             #{}=EDGE_LOOP('',(#{},#{}));#{}=ORIENTED_EDGE('',*,*,#{},{forward});#{}=ORIENTED_EDGE('',*,*,#{},{forward});\
             #{}=EDGE_CURVE('',#{},#{},#{},.T.);#{}=EDGE_CURVE('',#{},#{},#{},.T.);\
             #{}=VERTEX_POINT('',#{});#{}=VERTEX_POINT('',#{});#{}=CARTESIAN_POINT('',({:?},0.,0.));#{}=CARTESIAN_POINT('',(-5.,0.,0.));\
             #{}=CIRCLE('',#{},5.);#{}=SPHERICAL_SURFACE('',#{},5.);#{}=AXIS2_PLACEMENT_3D('',#10,$,$);\n",
            n(0),
            n(1),
            n(1),
            n(2),
            n(3),
            n(2),
            n(4),
            n(4),
            n(5),
            n(6),
            n(5),
            n(7),
            n(6),
            n(8),
            n(7),
            n(9),
            n(10),
            n(13),
            n(8),
            n(10),
            n(9),
            n(13),
            n(9),
            n(11),
            n(10),
            n(12),
            n(11),
            5.0 + shift,
            n(12),
            n(13),
            n(14),
            n(3),
            n(14),
            n(14)
        )
    };
    let model = |shift: f64, second: &str| {
        let data = context_mm(100)
            + COMMON
            + &product(200, "p", "#60", 100)
            + "#60=SHELL_BASED_SURFACE_MODEL('',(#300,#400));"
            + &half(300, 0.0, ".T.", ".T.")
            + &half(400, shift, ".T.", second);
        read(&data)
    };
    // The context states 1e-5 mm.
    assert!(model(5e-6, ".F.").solids[0].closed);
    assert!(!model(5e-3, ".F.").solids[0].closed);
    // Both run the same way round: the same half twice.
    assert!(!model(0.0, ".T.").solids[0].closed);
}

#[test]
fn open_surfaces_count_only_without_solids() {
    let open = "#60=SHELL_BASED_SURFACE_MODEL('',(#61));#61=OPEN_SHELL('',(#62));#62=ADVANCED_FACE('',(#63),#50,.T.);\
        #63=FACE_BOUND('',#64,.T.);#64=POLY_LOOP('',(#10,#12,#13));#50=PLANE('',#20);";
    let alone = read(&(context_mm(100) + COMMON + &product(200, "p", "#60", 100) + open));
    assert_eq!(alone.solids.len(), 1);
    assert!(!alone.solids[0].closed);
    assert_eq!(alone.loose_faces, 0);
    let beside = read(
        &(context_mm(100)
            + COMMON
            + &block(1000, 1.0, 1.0, 1.0)
            + &product(200, "p", "#60,#1000", 100)
            + open),
    );
    assert_eq!(beside.solids.len(), 1);
    assert!(beside.solids[0].closed);
    assert_eq!(beside.loose_faces, 1);
    assert!(
        beside
            .reservations
            .iter()
            .any(|r| r.entity == Some(60) && r.text.contains("not counted"))
    );
}

#[test]
fn unreadable_faces_are_named_and_the_rest_comes_out() {
    let cases = [
        ("#50=MYSTERY_SURFACE('',1.);", "MYSTERY_SURFACE"),
        ("#50=CYLINDRICAL_SURFACE('',#20,-2.);", "a radius of -2"),
        (
            "#50=CYLINDRICAL_SURFACE('',#20,'two');",
            "expected a number",
        ),
        ("#50=CYLINDRICAL_SURFACE('',#999,1.);", "not in the file"),
        ("#50=CYLINDRICAL_SURFACE('',#20);", "missing"),
        ("#50=CONICAL_SURFACE('',#20,1.,1.6);", "half angle 91.6"),
        ("#50=OFFSET_SURFACE('',#50,1.,.F.);", "in a circle"),
        (
            "#50=BEZIER_SURFACE('',2,1,((#10,#14),(#12,#13)),.UNSPECIFIED.,.F.,.F.,.F.);",
            "too few",
        ),
        (
            "#50=B_SPLINE_SURFACE_WITH_KNOTS('',1,1,((#10,#14),(#12,#13)),$,.F.,.F.,.F.,(2,1000000000),(2,2),(0.,1.),(0.,1.),$);",
            "need 4 knots",
        ),
        (
            "#50=B_SPLINE_SURFACE_WITH_KNOTS('',1,1,((#10,#14),(#12,#13)),$,.F.,.F.,.F.,(2,2),(2,2),(1.,0.),(0.,1.),$);",
            "knots decrease",
        ),
        (
            "#50=PLANE('',#51);#51=AXIS2_PLACEMENT_3D('',#10,#52,$);#52=DIRECTION('',(0.,0.,0.));",
            "length zero",
        ),
    ];
    for (text, expected) in cases {
        let data = context_mm(100)
            + COMMON
            + &block(1000, 1.0, 1.0, 1.0)
            + &product(200, "p", "#60", 100)
            + "#60=MANIFOLD_SOLID_BREP('',#61);#61=CLOSED_SHELL('',(#62,#1010));#62=ADVANCED_FACE('',(#63),#50,.T.);\
               #63=FACE_BOUND('',#64,.T.);#64=VERTEX_LOOP('',#40);"
            + text;
        let brep = read(&data);
        let solid = brep
            .solids
            .iter()
            .find(|s| s.id == 60)
            .expect("the solid is kept");
        assert_eq!(solid.faces.len(), 1, "{text}");
        let said: Vec<_> = brep
            .reservations
            .iter()
            .filter(|r| r.loses_geometry)
            .collect();
        assert!(
            said.iter()
                .any(|r| (r.text.contains(expected) || r.kind == expected)
                    && r.text.contains("face #62 is missing")),
            "{expected}: {said:?}"
        );
    }
}

#[test]
fn stated_properties_are_attached() {
    let data = context_mm(100)
        + &block(1000, 10.0, 10.0, 10.0)
        + &product(200, "p", "#1000", 100)
        + "#300=PROPERTY_DEFINITION('geometric validation property','',#203);#301=PROPERTY_DEFINITION_REPRESENTATION(#300,#302);\
           #302=REPRESENTATION('volume',(#303),#100);#303=MEASURE_REPRESENTATION_ITEM('volume measure',VOLUME_MEASURE(1.),#304);\
           #304=DERIVED_UNIT((#305));#305=DERIVED_UNIT_ELEMENT(#306,3.);#306=(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.CENTI.,.METRE.));\
           #310=PROPERTY_DEFINITION('geometric validation property','',#203);#311=PROPERTY_DEFINITION_REPRESENTATION(#310,#312);\
           #312=REPRESENTATION('surface area',(#313),#100);#313=(AREA_MEASURE_WITH_UNIT()MEASURE_REPRESENTATION_ITEM()MEASURE_WITH_UNIT(AREA_MEASURE(600.),#314)REPRESENTATION_ITEM('surface area measure'));\
           #314=DERIVED_UNIT((#315));#315=DERIVED_UNIT_ELEMENT(#101,2.);\
           #320=PROPERTY_DEFINITION('geometric validation property','',#203);#321=PROPERTY_DEFINITION_REPRESENTATION(#320,#322);\
           #322=REPRESENTATION('centroid',(#323),#100);#323=CARTESIAN_POINT('centre point',(5.,5.,5.));";
    let brep = read(&data);
    let stated = brep.solids[0].stated;
    assert!(
        (stated.volume_mm3.unwrap() - 1000.0).abs() < 1e-9,
        "{:?}",
        brep.reservations
    );
    assert_eq!(stated.area_mm2, Some(600.0));
    assert_eq!(stated.centroid_mm, Some(DVec3::splat(5.0)));
}

#[test]
fn names_decode() {
    let data = context_mm(100)
        + &block(1000, 1.0, 1.0, 1.0)
        + &product(200, "Fl\\X2\\00E4\\X0\\che", "#1000", 100);
    assert_eq!(read(&data).solids[0].name, "Fläche");
}

#[test]
fn a_file_without_solids_says_so() {
    let brep = read("#1=CARTESIAN_POINT('',(0.,0.,0.));");
    assert!(brep.solids.is_empty());
    assert!(
        brep.reservations
            .iter()
            .any(|r| r.kind == "file" && r.text.contains("no solid"))
    );
}

#[test]
fn cancelling_stops() {
    let flag = std::sync::atomic::AtomicBool::new(true);
    let data = crate::text::file(
        &(context_mm(100) + &block(1000, 1.0, 1.0, 1.0) + &product(200, "p", "#1000", 100)),
    );
    let options = step::read::ReadOptions {
        cancel: Some(&flag),
    };
    assert_eq!(
        step::read::read(data.as_bytes(), &options).unwrap_err(),
        step::StepError::Cancelled
    );
}
