//! AP242 triangles.

use crate::text::{block, context_mm, product, read};

/// A tetrahedron: one plain face with point indices, one strip, and the rest a fan.
fn tetrahedron(base: &str) -> String {
    context_mm(100)
        + &product(200, "p", "#60", 100)
        + &format!(
            "#60=TESSELLATED_SOLID('',(#61,#62),$);#63=COORDINATES_LIST('',6,((9.,9.,9.),(0.,0.,0.),(1.,0.,0.),(0.,1.,0.),(0.,0.,1.),(7.,7.,7.)));\
             #61=TRIANGULATED_FACE('',#63,3,((0.,0.,-1.)),$,(2,4,3),{base});\
             #62=COMPLEX_TRIANGULATED_FACE('',#64,4,(),$,(),((1,2,4,3)),((4,3,1)));\
             #64=COORDINATES_LIST('',4,((0.,0.,0.),(1.,0.,0.),(0.,1.,0.),(0.,0.,1.)));"
        )
}

fn volume(solid: &step::brep::TessellatedSolid) -> f64 {
    solid
        .triangles
        .iter()
        .map(|t| {
            let [a, b, c] = t.map(|k| solid.vertices[k as usize]);
            a.dot(b.cross(c)) / 6.0
        })
        .sum()
}

#[test]
fn faces_strips_and_fans_close_up() {
    let brep = read(&tetrahedron("((1,2,3))"));
    assert_eq!(brep.tessellated.len(), 1, "{:?}", brep.reservations);
    let solid = &brep.tessellated[0];
    // Points of different lists in the same place are one vertex.
    assert_eq!(solid.vertices.len(), 4);
    assert_eq!(solid.triangles.len(), 4);
    assert_eq!(solid.face_of_triangle, [0, 1, 1, 1]);
    assert!(
        (volume(solid) - 1.0 / 6.0).abs() < 1e-15,
        "{}",
        volume(solid)
    );
    assert!(brep.reservations.is_empty(), "{:?}", brep.reservations);
}

#[test]
fn inside_out_faces_are_turned() {
    let brep = read(&tetrahedron("((1,3,2))"));
    assert!((volume(&brep.tessellated[0]) - 1.0 / 6.0).abs() < 1e-15);
    assert!(
        brep.reservations
            .iter()
            .any(|r| r.text.contains("turned over") && !r.loses_geometry)
    );
}

#[test]
fn triangles_that_point_nowhere_are_said() {
    let brep = read(&tetrahedron("((1,2,3),(1,2,8))"));
    assert_eq!(brep.tessellated[0].triangles.len(), 4);
    assert!(
        brep.reservations
            .iter()
            .any(|r| r.entity == Some(61) && r.loses_geometry)
    );
}

#[test]
fn exact_shape_goes_before_triangles() {
    let data = tetrahedron("((1,2,3))") + &block(1000, 1.0, 1.0, 1.0);
    let both = data.replace(
        "SHAPE_REPRESENTATION('',(#60)",
        "SHAPE_REPRESENTATION('',(#60,#1000)",
    );
    let brep = read(&both);
    assert_eq!((brep.solids.len(), brep.tessellated.len()), (1, 0));
}

#[test]
fn tessellated_representation_linked_to_the_shape() {
    let data = tetrahedron("((1,2,3))").replace(
        "SHAPE_REPRESENTATION('',(#60)",
        "SHAPE_REPRESENTATION('',()",
    ) + "#70=TESSELLATED_SHAPE_REPRESENTATION('',(#60),#100);#71=SHAPE_REPRESENTATION_RELATIONSHIP('','',#205,#70);";
    let brep = read(&data);
    assert_eq!(brep.tessellated.len(), 1);
    assert_eq!(brep.tessellated[0].placements.len(), 1);
    assert_eq!(brep.tessellated[0].name, "p");
}
