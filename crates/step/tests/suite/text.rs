//! Small STEP files written as text.

use glam::DVec3;
use step::brep::Brep;

/// A file of the given data section.
pub fn file(data: &str) -> String {
    format!(
        "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION(('test'),'2;1');\n\
         FILE_NAME('t.step','2026-01-01T00:00:00',('a'),('o'),'p','system','');\n\
         FILE_SCHEMA(('AUTOMOTIVE_DESIGN'));\nENDSEC;\nDATA;\n{data}\nENDSEC;\nEND-ISO-10303-21;\n"
    )
}

/// Reads a file made of the given data section.
pub fn read(data: &str) -> Brep {
    step::read::read(file(data).as_bytes(), &Default::default()).expect("it is a STEP file")
}

/// Context `#first` in millimetres and radians; uses ten names.
pub fn context_mm(first: u64) -> String {
    context(
        first,
        "(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))",
        RADIAN,
    )
}

pub const RADIAN: &str = "(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))";

/// Context `#first` with the given units; uses ten names.
pub fn context(first: u64, length: &str, angle: &str) -> String {
    let [a, b, c, d] = [1, 2, 3, 4].map(|k| first + k);
    format!(
        "#{first}=(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((#{d}))\
         GLOBAL_UNIT_ASSIGNED_CONTEXT((#{a},#{b},#{c}))REPRESENTATION_CONTEXT('','3D'));\n\
         #{a}={length};\n#{b}={angle};\n#{c}=(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT());\n\
         #{d}=UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(1.E-5),#{a},'distance_accuracy_value','');\n"
    )
}

/// Faceted block from the origin to `(x, y, z)` as `#first`; uses 50 names.
pub fn block(first: u64, x: f64, y: f64, z: f64) -> String {
    let mut out = format!(
        "#{first}=FACETED_BREP('block',#{});\n#{}=CLOSED_SHELL('',({}));\n",
        first + 1,
        first + 1,
        (0..6)
            .map(|k| format!("#{}", first + 10 + k))
            .collect::<Vec<_>>()
            .join(",")
    );
    for corner in 0..8u64 {
        let at = |bit: u64, size: f64| if corner >> bit & 1 == 1 { size } else { 0.0 };
        out += &format!(
            "#{}=CARTESIAN_POINT('',({:?},{:?},{:?}));\n",
            first + 2 + corner,
            at(0, x),
            at(1, y),
            at(2, z)
        );
    }
    // Counter-clockwise seen from outside.
    let sides = [
        [0, 2, 3, 1],
        [4, 5, 7, 6],
        [0, 1, 5, 4],
        [2, 6, 7, 3],
        [0, 4, 6, 2],
        [1, 3, 7, 5],
    ];
    for (k, side) in (0u64..).zip(sides) {
        let corners = side.map(|c: u64| format!("#{}", first + 2 + c)).join(",");
        out += &format!(
            "#{}=FACE('',(#{}));\n#{}=FACE_OUTER_BOUND('',#{},.T.);\n#{}=POLY_LOOP('',({corners}));\n",
            first + 10 + k,
            first + 20 + k,
            first + 20 + k,
            first + 30 + k,
            first + 30 + k,
        );
    }
    out
}

/// Product `#first` shown by `#first+5` with the given items and context; uses ten names.
pub fn product(first: u64, name: &str, items: &str, context: u64) -> String {
    let n = |k: u64| first + k;
    format!(
        "#{first}=PRODUCT_DEFINITION('d','',#{},$);\n#{}=PRODUCT_DEFINITION_FORMATION('','',#{});\n\
         #{}=PRODUCT('{name}','{name}','',());\n#{}=PRODUCT_DEFINITION_SHAPE('','',#{first});\n\
         #{}=SHAPE_DEFINITION_REPRESENTATION(#{},#{});\n#{}=SHAPE_REPRESENTATION('',({items}),#{context});\n",
        n(1),
        n(1),
        n(2),
        n(2),
        n(3),
        n(4),
        n(3),
        n(5),
        n(5)
    )
}

/// Placement `#first`; uses four names.
pub fn placement(first: u64, origin: [f64; 3], z: [f64; 3], x: [f64; 3]) -> String {
    let triple = |v: [f64; 3]| format!("({:?},{:?},{:?})", v[0], v[1], v[2]);
    format!(
        "#{first}=AXIS2_PLACEMENT_3D('',#{},#{},#{});\n#{}=CARTESIAN_POINT('',{});\n\
         #{}=DIRECTION('',{});\n#{}=DIRECTION('',{});\n",
        first + 1,
        first + 2,
        first + 3,
        first + 1,
        triple(origin),
        first + 2,
        triple(z),
        first + 3,
        triple(x)
    )
}

/// One use of product `child` in `parent`, the frame `from` of the child's representation laid on
/// the frame `to` of the parent's; `#first` is the usage; uses ten names.
pub fn usage(first: u64, parent: u64, child: u64, from: u64, to: u64) -> String {
    usage_of(first, parent, child, child + 5, parent + 5, from, to)
}

/// As [`usage`], with the two representations named.
pub fn usage_of(
    first: u64,
    parent: u64,
    child: u64,
    rep_1: u64,
    rep_2: u64,
    from: u64,
    to: u64,
) -> String {
    let n = |k: u64| first + k;
    format!(
        "#{first}=NEXT_ASSEMBLY_USAGE_OCCURRENCE('1','','',#{parent},#{child},$);\n\
         #{}=PRODUCT_DEFINITION_SHAPE('','',#{first});\n\
         #{}=CONTEXT_DEPENDENT_SHAPE_REPRESENTATION(#{},#{});\n\
         #{}=(REPRESENTATION_RELATIONSHIP('','',#{rep_1},#{rep_2})\
         REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION(#{})SHAPE_REPRESENTATION_RELATIONSHIP());\n\
         #{}=ITEM_DEFINED_TRANSFORMATION('','',#{from},#{to});\n",
        n(1),
        n(2),
        n(3),
        n(1),
        n(3),
        n(4),
        n(4)
    )
}

/// Bounds of all occurrences of all solids, by their vertices.
pub fn bounds(brep: &Brep) -> [DVec3; 2] {
    let mut low = DVec3::INFINITY;
    let mut high = DVec3::NEG_INFINITY;
    for solid in &brep.solids {
        for placement in &solid.placements {
            for vertex in &solid.vertices {
                let p = placement.transform_point3(*vertex);
                low = low.min(p);
                high = high.max(p);
            }
        }
    }
    [low, high]
}

/// Asserts that two points are equal up to rounding.
#[track_caller]
pub fn assert_near(found: DVec3, expected: [f64; 3]) {
    let expected = DVec3::from_array(expected);
    let size = 1.0 + expected.length();
    assert!(
        (found - expected).length() <= 1e-12 * size,
        "found {found}, expected {expected}"
    );
}
