//! Solids that the file holds as triangles already.

use super::SolidModel;
use crate::brep::{Reservation, TessellatedSolid};
use crate::mass::Integrals;
use crate::tessellate::mesh::triangle_area;
use crate::tessellate::{FaceInfo, Mesh, SurfaceKind};
use glam::DVec3;

/// The solid with its mesh put in order; what is wrong with it goes to the notes.
pub(super) fn ready_made(t: TessellatedSolid, notes: &mut Vec<Reservation>) -> SolidModel {
    let count = t.vertices.len();
    let mut mesh = Mesh {
        points: t.vertices,
        ..Mesh::default()
    };
    let faces = t
        .face_of_triangle
        .iter()
        .max()
        .map_or(0, |m| *m as usize + 1);
    let mut areas = vec![0.0; faces];
    let mut dropped = 0;
    for (tri, f) in t.triangles.iter().zip(&t.face_of_triangle) {
        if tri.iter().any(|k| *k as usize >= count) {
            dropped += 1;
            continue;
        }
        if tri[0] == tri[1] || tri[1] == tri[2] || tri[2] == tri[0] {
            continue;
        }
        areas[*f as usize] += triangle_area(tri.map(|k| mesh.points[k as usize]));
        mesh.triangles.push(*tri);
        mesh.face_of_triangle.push(*f);
    }
    weld(&mut mesh);
    mesh.compact();
    let closure = mesh.closure();
    let mut say = |text: String, loses_geometry: bool| {
        notes.push(Reservation {
            entity: Some(t.id),
            kind: "tessellated solid".into(),
            text,
            loses_geometry,
        });
    };
    if dropped > 0 {
        say(
            format!("{dropped} triangles name corners that do not exist"),
            true,
        );
    }
    say(
        "only triangles in the file: volume and area are those of the triangles".into(),
        false,
    );
    if !closure.watertight() {
        say(
            format!(
                "the mesh does not close: {} open and {} inconsistent edges",
                closure.open_edges, closure.bad_edges
            ),
            false,
        );
    }
    let sum = by_triangles(&mesh);
    let bounds_mm = t
        .placements
        .iter()
        .map(|p| {
            let mut placed = Mesh::default();
            placed.append(&mesh, p, 0);
            placed.bounds()
        })
        .collect();
    SolidModel {
        id: t.id,
        name: t.name,
        closed: closure.watertight(),
        closure,
        faces: areas
            .into_iter()
            .map(|area_mm2| {
                Some(FaceInfo {
                    id: t.id,
                    surface: SurfaceKind::Triangles,
                    convex: None,
                    area_mm2,
                    along_mm: [0.0; 2],
                    sweep_rad: 0.0,
                })
            })
            .collect(),
        volume_mm3: closure.watertight().then_some(sum.volume),
        area_mm2: sum.area,
        centroid_mm: if sum.volume == 0.0 {
            DVec3::ZERO
        } else {
            sum.moment / sum.volume
        },
        mesh,
        placements: t.placements,
        bounds_mm,
        ..SolidModel::default()
    }
}

/// Joins corners at exactly the same place: face sets often carry their own copies.
fn weld(mesh: &mut Mesh) {
    let key = |p: DVec3| (p + DVec3::ZERO).to_array().map(f64::to_bits);
    let mut order: Vec<u32> = (0..mesh.points.len() as u32).collect();
    order.sort_by_key(|&i| (key(mesh.points[i as usize]), i));
    let mut stands_for: Vec<u32> = (0..mesh.points.len() as u32).collect();
    for w in order.windows(2) {
        if key(mesh.points[w[0] as usize]) == key(mesh.points[w[1] as usize]) {
            stands_for[w[1] as usize] = stands_for[w[0] as usize];
        }
    }
    for t in &mut mesh.triangles {
        *t = t.map(|k| stands_for[k as usize]);
    }
}

fn by_triangles(mesh: &Mesh) -> Integrals {
    let mut sum = Integrals::default();
    for i in 0..mesh.triangles.len() {
        let [a, b, c] = mesh.corners(i);
        let volume = a.dot(b.cross(c)) / 6.0;
        sum += Integrals {
            area: triangle_area([a, b, c]),
            volume,
            moment: volume * (a + b + c) / 4.0,
        };
    }
    sum
}
