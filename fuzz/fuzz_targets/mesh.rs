//! Meshes and measures: whatever the bytes, it comes back, and the mesh holds together.
//!
//!     cargo +nightly fuzz run mesh fuzz/corpus/mesh crates/step/tests/data/generated
#![no_main]

use libfuzzer_sys::fuzz_target;
use step::TessellationOptions;

fuzz_target!(|data: &[u8]| {
    let Ok(model) = step::load(data, &TessellationOptions::default(), None) else {
        return;
    };
    for solid in &model.solids {
        let mesh = &solid.mesh;
        assert_eq!(mesh.triangles.len(), mesh.face_of_triangle.len());
        let count = mesh.points.len() as u32;
        assert!(mesh.triangles.iter().flatten().all(|k| *k < count));
        let faces = solid.faces.len() as u32;
        assert!(mesh.face_of_triangle.iter().all(|f| *f < faces));
        assert_eq!(solid.placements.len(), solid.bounds_mm.len());
    }
});
