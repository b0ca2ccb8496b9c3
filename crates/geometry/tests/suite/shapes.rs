//! Simple bodies with closed-form sizes, and test data.

use geometry::mesh::Mesh;
use glam::{DVec3, dvec3};

/// Bytes of a file in `tests/data`.
pub fn data(name: &str) -> Vec<u8> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(name);
    std::fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// Axis-aligned block.
pub fn block(low: DVec3, high: DVec3) -> Mesh {
    let p = |i: u32| {
        let pick = |bit: u32, axis: usize| {
            if i >> bit & 1 == 0 {
                low[axis]
            } else {
                high[axis]
            }
        };
        dvec3(pick(0, 0), pick(1, 1), pick(2, 2))
    };
    let quads = [
        [0, 2, 3, 1],
        [4, 5, 7, 6],
        [0, 1, 5, 4],
        [2, 6, 7, 3],
        [0, 4, 6, 2],
        [1, 3, 7, 5],
    ];
    let triangles = quads
        .iter()
        .flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]])
        .collect();
    Mesh::new((0..8).map(p).collect(), triangles, None).unwrap()
}

/// Small deterministic generator (Vigna's splitmix64) for random but repeatable cases.
pub struct Random(pub u64);

impl Random {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Between `low` and `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn below(&mut self, n: usize) -> usize {
        (self.next() % n as u64) as usize
    }

    pub fn point(&mut self, size: f64) -> DVec3 {
        dvec3(
            self.between(-size, size),
            self.between(-size, size),
            self.between(-size, size),
        )
    }

    pub fn rotation(&mut self) -> glam::DQuat {
        loop {
            let q = glam::DVec4::new(
                self.between(-1.0, 1.0),
                self.between(-1.0, 1.0),
                self.between(-1.0, 1.0),
                self.between(-1.0, 1.0),
            );
            if (0.01..1.0).contains(&q.length_squared()) {
                return glam::DQuat::from_vec4(q.normalize());
            }
        }
    }
}

/// Binary STL of a mesh.
pub fn binary_stl(mesh: &Mesh, header: &[u8]) -> Vec<u8> {
    let mut out = header.to_vec();
    out.resize(80, b' ');
    out.extend((mesh.triangles().len() as u32).to_le_bytes());
    for corners in mesh.iter_corners() {
        out.extend([0; 12]);
        for c in corners.iter().flat_map(|p| p.to_array()) {
            out.extend((c as f32).to_le_bytes());
        }
        out.extend([0; 2]);
    }
    out
}

/// Text STL of a mesh as one solid, lines ended by `newline`.
pub fn text_stl(mesh: &Mesh, newline: &str) -> String {
    let mut lines = vec!["solid part of facet 1".to_string()];
    for corners in mesh.iter_corners() {
        lines.push("facet normal 0 0 0".into());
        lines.push("outer loop".into());
        lines.extend(
            corners
                .iter()
                .map(|p| format!("vertex {} {:e} {}", p.x, p.y, p.z)),
        );
        lines.push("endloop".into());
        lines.push("endfacet".into());
    }
    lines.push("endsolid part".into());
    lines.join(newline) + newline
}

/// A 3MF package around one model part.
pub fn threemf(model: &str) -> Vec<u8> {
    use std::io::Write;
    let mut zip = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let options = zip::write::SimpleFileOptions::default();
    zip.start_file("_rels/.rels", options).unwrap();
    zip.write_all(br#"<Relationships><Relationship Target="/3D/m.model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>"#).unwrap();
    zip.start_file("3D/m.model", options).unwrap();
    zip.write_all(model.as_bytes()).unwrap();
    zip.finish().unwrap().into_inner()
}
