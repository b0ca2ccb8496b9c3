//! Free-form walls on meshes: which of them lie along an axis, by how they were made.

use crate::shapes::Random;
use geometry::features::face::{SolidFaces, Surface};
use geometry::mesh::Mesh;
use geometry::oriented_box::smallest_box;
use geometry::plan::Shape;
use geometry::plan::prism::wall_axes;
use glam::{DVec3, dvec3};

const HIGH: f64 = 5.0;

/// A wavy wall 60 mm long facing -Y. Its points lie on the surface exactly, those of inner rows at
/// odd places along it, as tessellators put them; `lean(x)` is its slope off Z.
fn wall(columns: u32, lean: impl Fn(f64) -> f64) -> Mesh {
    const ROWS: u32 = 6;
    let mut random = Random(11);
    let mut points = Vec::new();
    for row in 0..=ROWS {
        for column in 0..=columns {
            let inner = (1..ROWS).contains(&row) && (1..columns).contains(&column);
            let odd = if inner {
                random.between(-0.3, 0.3)
            } else {
                0.0
            };
            let x = 60.0 * (f64::from(column) + odd) / f64::from(columns);
            let z = HIGH * f64::from(row) / f64::from(ROWS);
            points.push(dvec3(x, 4.0 * (x / 7.0).sin() + lean(x) * z, z));
        }
    }
    let at = |column: u32, row: u32| row * (columns + 1) + column;
    let quads = (0..ROWS).flat_map(|r| (0..columns).map(move |c| (c, r)));
    let triangles = quads.flat_map(|(c, r)| {
        let [p, q, s, t] = [at(c, r), at(c + 1, r), at(c + 1, r + 1), at(c, r + 1)];
        [[p, q, s], [p, s, t]]
    });
    Mesh::new(points, triangles.collect(), None).unwrap()
}

fn axis(mesh: &Mesh) -> Option<DVec3> {
    let solid = SolidFaces::new(mesh, &[Surface::Other], &vec![0; mesh.triangles().len()]);
    let shape = Shape {
        solid: &solid,
        holes: &[],
        smallest_box: &smallest_box(mesh.points()).unwrap(),
        volume_mm3: 0.0,
    };
    wall_axes(&shape, &[DVec3::X, DVec3::Y, DVec3::Z])[0]
}

#[test]
fn a_wall_is_known_by_its_outline_though_its_facets_lean() {
    for columns in [30, 60, 150] {
        let mesh = wall(columns, |_| 0.0);
        let lean = |[a, b, c]: [DVec3; 3]| (b - a).cross(c - a).normalize().z.abs();
        let most = mesh.iter_corners().map(lean).fold(0.0, f64::max);
        assert!(most > 2e-3, "{columns}: {most}");
        assert_eq!(axis(&mesh), Some(DVec3::Z), "{columns}");
    }
}

/// No flat tool along Z finishes these.
#[test]
fn drafted_and_twisted_walls_are_none() {
    for columns in [12, 40, 150] {
        for slope in [0.005, 0.02, 0.1] {
            assert_eq!(axis(&wall(columns, |_| slope)), None, "{columns} {slope}");
        }
    }
    // Leaning one way at one end and the other way at the other, also by less than facets turn
    // against each other, down to what the mesh's own facets lean by.
    for (columns, least) in [(20, 0.1), (40, 0.03), (150, 0.01)] {
        for slope in [0.4, 0.2, least] {
            let twisted = wall(columns, |x| slope * (x - 30.0) / 30.0);
            assert_eq!(axis(&twisted), None, "{columns} {slope}");
        }
    }
}
