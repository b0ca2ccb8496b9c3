//! Tips, their bounds and reach on every visible mesh, against the tool tried on every triangle.

use checks::brute::tip_mm;
use geometry::height_map::HeightMap;
use geometry::mesh::Mesh;
use geometry::readers::read;
use geometry::tip_bounds::TipBounds;
use geometry::tip_map::tip_map;
use geometry::tool_shape::ToolShape;
use glam::{DMat3, DQuat, DVec2, DVec3, dvec2, dvec3};
use std::path::Path;

/// Meshes kept with the geometry crate, with their licences.
fn meshes() -> Vec<(String, Mesh)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../geometry/tests/data");
    let mut names: Vec<String> = std::fs::read_dir(&folder)
        .expect("the folder of test models")
        .filter_map(|e| e.ok()?.file_name().into_string().ok())
        .filter(|n| n.ends_with(".stl"))
        .collect();
    names.sort();
    names
        .into_iter()
        .map(|n| {
            let bytes = std::fs::read(folder.join(&n)).expect("a model");
            let mesh = read(&bytes, &n).expect("a mesh").mesh;
            (n, mesh)
        })
        .collect()
}

/// Vigna's splitmix64.
struct Random(u64);

impl Random {
    fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }
}

#[test]
fn tips_on_every_mesh_against_every_triangle() {
    let mut random = Random(41);
    let meshes = meshes();
    assert!(meshes.len() >= 10, "{} meshes", meshes.len());
    for (name, mesh) in &meshes {
        for round in 0..2 {
            let turn = if round == 0 {
                DMat3::from_cols(DVec3::Y, DVec3::Z, DVec3::X)
            } else {
                let axis = dvec3(random.share(), random.share(), 0.1 + random.share());
                DMat3::from_quat(DQuat::from_axis_angle(
                    axis.normalize(),
                    random.between(0.2, 3.0),
                ))
            };
            let mut triangles: Vec<[DVec3; 3]> =
                mesh.iter_corners().map(|t| t.map(|p| turn * p)).collect();
            let top = |t: &[DVec3; 3]| t[0].z.max(t[1].z).max(t[2].z);
            triangles.sort_by(|a, b| top(b).total_cmp(&top(a)));
            let (low, high) = triangles
                .iter()
                .flatten()
                .fold((DVec3::INFINITY, DVec3::NEG_INFINITY), |(l, h), p| {
                    (l.min(*p), h.max(*p))
                });
            let size = (high - low).length();
            let map =
                HeightMap::new(mesh, &turn, size / random.between(60.0, 200.0)).expect("a part");
            for (share, corner) in [(0.01, 0.0), (0.05, 0.0), (0.04, 1.0), (0.03, 0.3)] {
                let r = share * size;
                let tool = ToolShape::new(r, corner * r).expect("a tool");
                let bounds = TipBounds::new(&map, &tool);
                for _ in 0..4 {
                    let axis = dvec2(
                        random.between(low.x - r, high.x + r),
                        random.between(low.y - r, high.y + r),
                    );
                    check(name, &map, &bounds, &tool, axis, &triangles, size);
                }
            }
        }
    }
}

fn check(
    name: &str,
    map: &HeightMap,
    bounds: &TipBounds,
    tool: &ToolShape,
    axis: DVec2,
    triangles: &[[DVec3; 3]],
    size: f64,
) {
    // Search by thirds of a function level at its top stops a square root of rounding away from
    // the place, but not from the height; the rim of a ball is steep, hence some more.
    let rounding = 1e-7 * size;
    let [r, c] = [tool.radius_mm(), tool.corner_mm()];
    let want = tip_mm(r, c, axis, triangles);
    let got = map.tip(tool, axis).map_or(f64::NEG_INFINITY, |t| t.tip_z);
    // A place only just within the radius may be met by one and missed by the other.
    let near = || {
        let [slim, stout] =
            [r * (1.0 - 1e-9), r * (1.0 + 1e-9)].map(|r| tip_mm(r, c.min(r), axis, triangles));
        slim - rounding <= got && got <= stout + rounding
    };
    assert!(
        got == want || (got - want).abs() <= rounding || near(),
        "{name} {tool:?} {axis}: {got} for {want}"
    );
    let [low, high] = bounds.at(axis);
    assert!(
        low <= want + rounding && want - rounding <= high,
        "{name} {tool:?} {axis}: {want} not in {low} to {high}"
    );
}

/// The map of all places is the same as the questions it is made of, and never optimistic.
#[test]
fn tip_maps_against_every_triangle() {
    let (name, mesh) = meshes().swap_remove(0);
    let map = HeightMap::new(&mesh, &DMat3::IDENTITY, 1.0).expect("a part");
    let tool = ToolShape::new(3.0, 1.0).expect("a tool");
    let [low, high] = mesh.bounds().expect("a part");
    let tips = tip_map(&map, &tool, (high - low).max_element() / 12.0, low.z - 1.0);
    let triangles: Vec<[DVec3; 3]> = mesh.iter_corners().collect();
    for (k, z) in tips.tip_z.iter().enumerate().step_by(11) {
        let node = dvec2((k % tips.width) as f64, (k / tips.width) as f64);
        let want = tip_mm(3.0, 1.0, tips.origin + node * tips.step_mm, &triangles);
        let want = want.max(low.z - 1.0);
        assert!((z - want).abs() < 1e-6, "{name} node {k}: {z} {want}");
    }
}
