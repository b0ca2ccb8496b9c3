//! Shape: whatever the bytes, the result holds together.
//!
//!     cargo +nightly fuzz run read fuzz/corpus/read crates/step/tests/data/generated
#![no_main]

use libfuzzer_sys::fuzz_target;
use step::brep::Loop;

fuzz_target!(|data: &[u8]| {
    let Ok(brep) = step::read::read(data, &Default::default()) else {
        return;
    };
    for solid in &brep.solids {
        assert!(!solid.placements.is_empty());
        assert!(solid.vertices.iter().all(|v| v.is_finite()));
        for edge in &solid.edges {
            assert!(edge.start < solid.vertices.len() && edge.end < solid.vertices.len());
        }
        for boundary in solid.faces.iter().flat_map(|face| &face.loops) {
            match boundary {
                Loop::Edges(uses) => assert!(uses.iter().all(|u| u.edge < solid.edges.len())),
                Loop::Poly(corners) => assert!(corners.iter().all(|c| *c < solid.vertices.len())),
                Loop::Vertex(corner) => assert!(*corner < solid.vertices.len()),
            }
        }
    }
    for solid in &brep.tessellated {
        let count = solid.vertices.len() as u32;
        assert!(solid.triangles.iter().flatten().all(|k| *k < count));
        assert_eq!(solid.triangles.len(), solid.face_of_triangle.len());
    }
});
