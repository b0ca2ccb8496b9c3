//! Product structure and placements.

use glam::{DMat4, DVec3};
use step::brep::Brep;

use crate::text::{
    assert_near, block, bounds, context_mm, placement, product, read, usage, usage_of,
};

const X: [f64; 3] = [1.0, 0.0, 0.0];
const Y: [f64; 3] = [0.0, 1.0, 0.0];
const Z: [f64; 3] = [0.0, 0.0, 1.0];
const O: [f64; 3] = [0.0, 0.0, 0.0];

/// A block as product #200 with frame #500 at its origin, an assembly #220, and more.
fn assembly(more: &str) -> Brep {
    let data = context_mm(100)
        + &block(1000, 1.0, 2.0, 3.0)
        + &placement(500, O, Z, X)
        + &product(200, "block", "#1000,#500", 100)
        + &product(220, "whole", "#500", 100)
        + more;
    read(&data)
}

#[test]
fn one_part_placed_twice() {
    let brep = assembly(
        &(placement(510, [10.0, 20.0, 30.0], Z, Y)
            + &placement(520, [0.0, 0.0, -5.0], X, Y)
            + &usage(300, 220, 200, 500, 510)
            + &usage(320, 220, 200, 500, 520)),
    );
    assert!(brep.reservations.is_empty(), "{:?}", brep.reservations);
    assert_eq!(brep.solids.len(), 1);
    let solid = &brep.solids[0];
    assert_eq!(solid.name, "block");
    assert_eq!(solid.placements.len(), 2);
    // Quarter turn about z: x goes to y.
    assert_near(
        solid.placements[0].transform_point3(DVec3::new(1.0, 2.0, 3.0)),
        [8.0, 21.0, 33.0],
    );
    // z goes to x, x to y, y to z.
    assert_near(
        solid.placements[1].transform_point3(DVec3::new(1.0, 2.0, 3.0)),
        [3.0, 1.0, -3.0],
    );
}

#[test]
fn swapped_representations_are_put_right() {
    let place = placement(510, [10.0, 0.0, 0.0], Z, X);
    // rep_1 is the assembly here, and item_1 stands in it.
    let brep = assembly(&(place + &usage_of(300, 220, 200, 225, 205, 510, 500)));
    assert_near(bounds(&brep)[0], [10.0, 0.0, 0.0]);
}

#[test]
fn swapped_items_are_put_right() {
    // Products are in order, but item 1 is an item of the assembly and item 2 one of the part.
    let data = context_mm(100)
        + &block(1000, 1.0, 2.0, 3.0)
        + &placement(500, O, Z, X)
        + &placement(510, [10.0, 0.0, 0.0], Z, Y)
        + &product(200, "block", "#1000,#500", 100)
        + &product(220, "whole", "#510", 100)
        + &usage(300, 220, 200, 510, 500);
    let place = read(&data).solids[0].placements[0];
    assert_near(place.transform_point3(DVec3::X), [10.0, 1.0, 0.0]);
}

#[test]
fn large_flat_assemblies_are_linear() {
    // Every usage asks for the contexts of the same long representation.
    let count = 5000u64;
    let items: Vec<String> = (0..count)
        .map(|k| format!("#{}", 100_000 + 10 * k))
        .collect();
    let mut data = context_mm(100)
        + &block(1000, 1.0, 2.0, 3.0)
        + &placement(500, O, Z, X)
        + &product(200, "block", "#1000,#500", 100)
        + &product(220, "whole", &items.join(","), 100);
    for k in 0..count {
        let at = 100_000 + 10 * k;
        data += &placement(at, [k as f64, 0.0, 0.0], Z, X);
        data += &usage(200_000 + 10 * k, 220, 200, 500, at);
    }
    let brep = read(&data);
    assert!(
        brep.reservations.is_empty(),
        "{:?}",
        brep.reservations.first()
    );
    assert_eq!(brep.solids[0].placements.len(), 5000);
}

#[test]
fn item_one_need_not_be_the_origin() {
    // The frame at (1,2,3) in the block comes to lie on (11,2,3) turned about z.
    let places = placement(510, [1.0, 2.0, 3.0], Z, X) + &placement(520, [11.0, 2.0, 3.0], Z, Y);
    let brep = assembly(&(places + &usage(300, 220, 200, 510, 520)));
    let p = brep.solids[0].placements[0];
    assert_near(
        p.transform_point3(DVec3::new(1.0, 2.0, 3.0)),
        [11.0, 2.0, 3.0],
    );
    assert_near(
        p.transform_point3(DVec3::new(2.0, 2.0, 3.0)),
        [11.0, 3.0, 3.0],
    );
}

#[test]
fn assemblies_nest() {
    // whole = 2 x pair, pair = 2 x block: four blocks.
    let places = placement(510, [10.0, 0.0, 0.0], Z, X) + &placement(520, [0.0, 100.0, 0.0], Z, Y);
    let brep = assembly(
        &(places
            + &product(240, "pair", "#500", 100)
            + &usage(300, 240, 200, 500, 500)
            + &usage(310, 240, 200, 500, 510)
            + &usage(320, 220, 240, 500, 500)
            + &usage(330, 220, 240, 500, 520)),
    );
    assert!(brep.reservations.is_empty(), "{:?}", brep.reservations);
    let origins: Vec<_> = brep.solids[0]
        .placements
        .iter()
        .map(|p| p.transform_point3(DVec3::ZERO))
        .collect();
    assert_eq!(origins.len(), 4);
    for (found, expected) in
        origins
            .iter()
            .zip([O, [10.0, 0.0, 0.0], [0.0, 100.0, 0.0], [0.0, 110.0, 0.0]])
    {
        assert_near(*found, expected);
    }
}

#[test]
fn shape_linked_without_transformation_either_way() {
    for link in ["#205,#400", "#400,#205"] {
        let data = context_mm(100)
            + &block(1000, 1.0, 2.0, 3.0)
            + &placement(500, O, Z, X)
            + &product(200, "block", "#500", 100)
            + &format!(
                "#400=ADVANCED_BREP_SHAPE_REPRESENTATION('',(#1000,#500),#100);\n#401=SHAPE_REPRESENTATION_RELATIONSHIP('','',{link});"
            );
        let brep = read(&data);
        assert_eq!(brep.solids.len(), 1, "{link}");
        assert_eq!(brep.solids[0].placements, [DMat4::IDENTITY]);
        assert_eq!(brep.solids[0].name, "block");
    }
}

#[test]
fn a_solid_in_two_linked_representations_counts_once() {
    let data = context_mm(100)
        + &block(1000, 1.0, 2.0, 3.0)
        + &placement(500, O, Z, X)
        + &product(200, "block", "#500,#1000", 100)
        + "#400=ADVANCED_BREP_SHAPE_REPRESENTATION('',(#1000,#500),#100);\n#401=SHAPE_REPRESENTATION_RELATIONSHIP('','',#205,#400);";
    assert_eq!(read(&data).solids[0].placements.len(), 1);
}

fn operator(first: u64, axes: [&str; 3], origin: u64, scale: &str) -> String {
    format!(
        "#{first}=CARTESIAN_TRANSFORMATION_OPERATOR_3D('','',$,{},{},#{origin},{scale},{});\n",
        axes[0], axes[1], axes[2]
    )
}

/// Mapped item of the block under an operator.
fn mapped(operator: &str) -> Brep {
    let data = context_mm(100)
        + &block(1000, 1.0, 2.0, 3.0)
        + &placement(500, O, Z, X)
        + "#510=CARTESIAN_POINT('',(10.,0.,0.));#511=DIRECTION('',(1.,0.,0.));#512=DIRECTION('',(0.,1.,0.));\
           #513=DIRECTION('',(0.,0.,1.));#514=DIRECTION('',(0.,-1.,0.));\n"
        + "#400=ADVANCED_BREP_SHAPE_REPRESENTATION('',(#1000),#100);#401=REPRESENTATION_MAP(#500,#400);\n"
        + operator
        + &product(200, "p", "#402", 100)
        + "#402=MAPPED_ITEM('',#401,#403);";
    read(&data)
}

#[test]
fn mapped_items_scale_and_mirror() {
    let brep = mapped(&operator(403, ["#511", "#512", "#513"], 510, "2.5"));
    assert_eq!(
        brep.solids[0].placements.len(),
        1,
        "{:?}",
        brep.reservations
    );
    assert_near(bounds(&brep)[1], [12.5, 5.0, 7.5]);
    assert_near(bounds(&brep)[0], [10.0, 0.0, 0.0]);

    let brep = mapped(&operator(403, ["#511", "#514", "#513"], 510, "1."));
    assert!((brep.solids[0].placements[0].determinant() + 1.0).abs() < 1e-15);
    assert_near(bounds(&brep)[0], [10.0, -2.0, 0.0]);
    assert_near(bounds(&brep)[1], [11.0, 0.0, 3.0]);

    // Everything omitted but the origin; and the short form some systems write.
    let brep = mapped("#403=CARTESIAN_TRANSFORMATION_OPERATOR_3D('','',$,$,$,#510,$,$);");
    assert_near(bounds(&brep)[1], [11.0, 2.0, 3.0]);
    let brep = mapped("#403=CARTESIAN_TRANSFORMATION_OPERATOR_3D('',$,$,#510,$,$);");
    assert_near(bounds(&brep)[1], [11.0, 2.0, 3.0]);
}

#[test]
fn mapped_items_by_placement() {
    let brep = mapped(&placement(403, [0.0, 0.0, 7.0], X, Y));
    assert_near(bounds(&brep)[0], [0.0, 0.0, 7.0]);
    assert_near(bounds(&brep)[1], [3.0, 1.0, 9.0]);
}

#[test]
fn mapped_product_and_usage_count_once() {
    // A usage without placement whose part is shown by a mapped item, and one with both.
    let map = "#401=REPRESENTATION_MAP(#500,#205);#402=MAPPED_ITEM('',#401,#510);\n";
    let base = context_mm(100)
        + &block(1000, 1.0, 2.0, 3.0)
        + &placement(500, O, Z, X)
        + &placement(510, [10.0, 0.0, 0.0], Z, X)
        + &product(200, "block", "#1000", 100)
        + &product(220, "whole", "#402", 100)
        + map;
    for how in [
        "#300=NEXT_ASSEMBLY_USAGE_OCCURRENCE('','','',#220,#200,$);".to_owned(),
        usage(300, 220, 200, 500, 510),
        String::new(),
    ] {
        let brep = read(&(base.clone() + &how));
        assert_eq!(brep.solids[0].placements.len(), 1, "{how}");
        assert_near(bounds(&brep)[0], [10.0, 0.0, 0.0]);
    }
}

#[test]
fn representations_placed_without_products() {
    // The style without usages: a relationship with transformation between two shapes.
    let data = context_mm(100)
        + &block(1000, 1.0, 2.0, 3.0)
        + &placement(500, O, Z, X)
        + &placement(510, [10.0, 0.0, 0.0], Z, X)
        + &placement(520, [20.0, 0.0, 0.0], Z, X)
        + &product(200, "p", "#500", 100)
        + "#400=ADVANCED_BREP_SHAPE_REPRESENTATION('',(#1000),#100);\n"
        + "#410=(REPRESENTATION_RELATIONSHIP('','',#400,#205)REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION(#411)SHAPE_REPRESENTATION_RELATIONSHIP());#411=ITEM_DEFINED_TRANSFORMATION('','',#500,#510);\n"
        + "#420=(REPRESENTATION_RELATIONSHIP('','',#400,#205)REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION(#421)SHAPE_REPRESENTATION_RELATIONSHIP());#421=ITEM_DEFINED_TRANSFORMATION('','',#500,#520);\n";
    let brep = read(&data);
    let xs: Vec<f64> = brep.solids[0]
        .placements
        .iter()
        .map(|p| p.w_axis.x)
        .collect();
    assert_eq!(xs, [10.0, 20.0]);
}

#[test]
fn a_usage_without_placement_is_said() {
    let brep = assembly("#300=NEXT_ASSEMBLY_USAGE_OCCURRENCE('','','',#220,#200,$);");
    assert_eq!(brep.solids[0].placements, [DMat4::IDENTITY]);
    assert!(
        brep.reservations
            .iter()
            .any(|r| r.entity == Some(300) && r.text.contains("no placement"))
    );
}

#[test]
fn circles_end() {
    // block -> whole -> block, and an assembly in itself.
    let brep = assembly(
        &(usage(300, 220, 200, 500, 500)
            + &usage(310, 200, 220, 500, 500)
            + &usage(320, 220, 220, 500, 500)),
    );
    assert_eq!(brep.solids.len(), 1);
    let texts: Vec<_> = brep.reservations.iter().map(|r| r.text.as_str()).collect();
    assert!(
        texts.iter().any(|t| t.contains("contains itself")),
        "{texts:?}"
    );
    assert!(
        texts.iter().any(|t| t.contains("part of itself")),
        "{texts:?}"
    );
}

#[test]
fn doubling_assemblies_end() {
    // Forty levels of two: 2^40 blocks are not counted out.
    let mut more = String::new();
    let mut below = 200;
    for level in 0..40 {
        let here = 2000 + 100 * level;
        more += &product(here, "level", "#500", 100);
        more += &usage(here + 20, here, below, 500, 500);
        more += &usage(here + 40, here, below, 500, 500);
        below = here;
    }
    let brep = assembly(&more);
    assert!(brep.solids[0].placements.len() < 300_000);
    assert!(
        brep.reservations
            .iter()
            .any(|r| r.text.contains("the rest is missing") && r.loses_geometry)
    );
}

#[test]
fn solids_without_product_or_representation() {
    let data = context_mm(100)
        + &block(1000, 1.0, 2.0, 3.0)
        + &block(1100, 1.0, 1.0, 1.0)
        + "#400=ADVANCED_BREP_SHAPE_REPRESENTATION('',(#1000),#100);";
    let brep = read(&data);
    assert_eq!(brep.solids.len(), 2);
    assert!(
        brep.reservations
            .iter()
            .any(|r| r.entity == Some(1100) && r.text.contains("no shape representation"))
    );
}

#[test]
fn replicas_stand_where_they_are_sent() {
    let data = context_mm(100)
        + &block(1000, 1.0, 2.0, 3.0)
        + &product(200, "p", "#402", 100)
        + "#402=SOLID_REPLICA('',#1000,#403);#403=CARTESIAN_TRANSFORMATION_OPERATOR_3D('','',$,$,$,#404,3.,$);#404=CARTESIAN_POINT('',(5.,0.,0.));";
    let brep = read(&data);
    assert_eq!(brep.solids.len(), 1);
    assert_near(bounds(&brep)[0], [5.0, 0.0, 0.0]);
    assert_near(bounds(&brep)[1], [8.0, 6.0, 9.0]);
}

#[test]
fn drawings_are_no_parts() {
    // A view maps the shape of the part; one system makes it a shape representation as well.
    let data = context_mm(100)
        + &block(1000, 1.0, 2.0, 3.0)
        + &placement(500, O, Z, X)
        + &placement(510, [10.0, 0.0, 0.0], Z, X)
        + &product(200, "p", "#1000", 100)
        + "#401=REPRESENTATION_MAP(#500,#205);#402=MAPPED_ITEM('',#401,#510);\
           #403=(CHARACTERIZED_OBJECT('','')CHARACTERIZED_REPRESENTATION()DRAUGHTING_MODEL()REPRESENTATION('',(#402),#100)SHAPE_REPRESENTATION());\
           #404=DRAUGHTING_MODEL('',(#402),#100);";
    let brep = read(&data);
    assert_eq!(brep.solids[0].placements, [DMat4::IDENTITY]);
    assert!(brep.reservations.is_empty(), "{:?}", brep.reservations);
}
