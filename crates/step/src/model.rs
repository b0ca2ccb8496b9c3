//! A whole file as meshes and properties: solids, where they stand, and what to be careful about.

use crate::brep::{Brep, EntityId, Reservation, Solid, StatedProperties, TessellatedSolid};
use crate::mass::Integrals;
use crate::tessellate::mesh::triangle_area;
use crate::tessellate::{
    Closure, FaceInfo, Mesh, SolidMesh, SurfaceKind, TessellationOptions, tessellate,
};
use glam::{DMat4, DVec3};
use rayon::prelude::*;

/// Everything of a file that is shape, ready for use.
#[derive(Clone, Debug, Default)]
pub struct Model {
    /// Schema named in the header.
    pub schema: String,
    /// Length units as the file names them; all numbers here are millimetres regardless.
    pub length_units: Vec<String>,
    /// Solids, exact ones first.
    pub solids: Vec<SolidModel>,
    /// Faces of the file that belong to no solid and are not counted.
    pub loose_faces: usize,
    /// What was left out or doubtful.
    pub reservations: Vec<Reservation>,
}

/// One solid with all its occurrences.
#[derive(Clone, Debug, Default)]
pub struct SolidModel {
    /// Instance in the file.
    pub id: EntityId,
    /// Product name, as far as one is found.
    pub name: String,
    /// False for a bare shell, which encloses nothing.
    pub closed: bool,
    /// Triangles in the solid's own coordinates.
    pub mesh: Mesh,
    /// Whether every edge of the mesh is used exactly twice.
    pub closure: Closure,
    /// Faces in the order of the mesh's face numbers; `None` where one could not be read.
    pub faces: Vec<Option<FaceInfo>>,
    /// Volume of one occurrence, mm^3; `None` for a bare shell.
    pub volume_mm3: Option<f64>,
    /// Area of one occurrence, mm^2.
    pub area_mm2: f64,
    /// Centroid in the solid's own coordinates, mm.
    pub centroid_mm: DVec3,
    /// Area of faces left out, estimated from their boundaries, mm^2.
    pub missing_area_mm2: f64,
    /// True when volume and area come from exact surfaces, false when from triangles.
    pub exact: bool,
    /// Largest distance between mesh and surface, mm.
    pub chord_mm: f64,
    /// root_from_solid, one per occurrence.
    pub placements: Vec<DMat4>,
    /// Smallest and largest root coordinates of every occurrence, mm.
    pub bounds_mm: Vec<[DVec3; 2]>,
    /// Validation properties the file carries.
    pub stated: StatedProperties,
}

/// Length scale of a placement.
fn scale_of(placement: &DMat4) -> f64 {
    placement.determinant().abs().cbrt()
}

impl Model {
    /// Meshes and measures a boundary representation; `None` when cancelled.
    pub fn build(
        brep: Brep,
        options: &TessellationOptions,
        cancelled: &(dyn Fn() -> bool + Sync),
    ) -> Option<Self> {
        let built: Vec<Option<(SolidModel, Vec<Reservation>)>> = brep
            .solids
            .par_iter()
            .map(|solid| exact_solid(solid, options, cancelled))
            .collect();
        let mut model = Self {
            schema: brep.schema,
            length_units: brep.length_units,
            loose_faces: brep.loose_faces,
            reservations: brep.reservations,
            ..Self::default()
        };
        for part in built {
            let (solid, notes) = part?;
            model.solids.push(solid);
            model.reservations.extend(notes);
        }
        for total in &brep.stated_totals {
            let parts: Vec<&SolidModel> = total
                .solids
                .iter()
                .filter_map(|&i| model.solids.get(i))
                .collect();
            let notes = compare_total(&parts, &total.stated);
            model
                .reservations
                .extend(notes.into_iter().map(|text| Reservation {
                    entity: Some(total.product),
                    kind: "product".into(),
                    text,
                    loses_geometry: false,
                }));
        }
        for t in brep.tessellated {
            model.solids.push(ready_made(t, &mut model.reservations));
        }
        // The reader says so of a file already, and knows more of it.
        let said = model
            .reservations
            .iter()
            .any(|r| r.kind == "file" && r.text.contains("no solid"));
        if model.solids.is_empty() && !said {
            model.reservations.push(Reservation {
                entity: None,
                kind: "file".into(),
                text: "the file holds no solid".into(),
                loses_geometry: false,
            });
        }
        Some(model)
    }

    /// All occurrences in root coordinates as one mesh; faces are numbered through.
    pub fn mesh(&self) -> Mesh {
        let mut out = Mesh::default();
        let mut faces = 0;
        for s in &self.solids {
            for p in &s.placements {
                out.append(&s.mesh, p, faces);
                faces += s.faces.len() as u32;
            }
        }
        out
    }

    /// Volume of all occurrences of solids, mm^3.
    pub fn volume_mm3(&self) -> f64 {
        self.sum(|s, k| s.volume_mm3.unwrap_or(0.0) * k.powi(3))
    }

    /// Area of all occurrences, mm^2.
    pub fn area_mm2(&self) -> f64 {
        self.sum(|s, k| s.area_mm2 * k * k)
    }

    fn sum(&self, value: impl Fn(&SolidModel, f64) -> f64) -> f64 {
        self.solids
            .iter()
            .flat_map(|s| s.placements.iter().map(move |p| (s, scale_of(p))))
            .map(|(s, k)| value(s, k))
            .sum()
    }

    /// Centroid of all occurrences by volume, mm; `None` without volume.
    pub fn centroid_mm(&self) -> Option<DVec3> {
        let mut moment = DVec3::ZERO;
        for s in &self.solids {
            for p in &s.placements {
                let v = s.volume_mm3.unwrap_or(0.0) * scale_of(p).powi(3);
                moment += v * p.transform_point3(s.centroid_mm);
            }
        }
        let volume = self.volume_mm3();
        (volume != 0.0).then(|| moment / volume)
    }

    /// Smallest and largest coordinates; `None` when there is nothing.
    pub fn bounds_mm(&self) -> Option<[DVec3; 2]> {
        self.solids
            .iter()
            .flat_map(|s| s.bounds_mm.iter().copied())
            .reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])])
    }

    /// Number of solids, every occurrence counted; bare shells are none.
    pub fn solid_count(&self) -> usize {
        self.solids
            .iter()
            .filter(|s| s.closed)
            .map(|s| s.placements.len())
            .sum()
    }

    /// Number of faces in solids, every occurrence counted.
    pub fn face_count(&self) -> usize {
        self.solids
            .iter()
            .map(|s| s.placements.len() * s.faces.len())
            .sum()
    }

    /// True when there is a solid and every one closes.
    pub fn watertight(&self) -> bool {
        !self.solids.is_empty()
            && self
                .solids
                .iter()
                .all(|s| s.closed && s.closure.watertight())
    }
}

fn exact_solid(
    solid: &Solid,
    options: &TessellationOptions,
    cancelled: &(dyn Fn() -> bool + Sync),
) -> Option<(SolidModel, Vec<Reservation>)> {
    let m = tessellate(solid, options, cancelled)?;
    let mut notes = m.reservations.clone();
    let about = |text: String, loses_geometry: bool| Reservation {
        entity: Some(solid.id),
        kind: if solid.closed { "solid" } else { "shell" }.into(),
        text,
        loses_geometry,
    };
    if m.missing_area_mm2 > 0.0 {
        let text = format!(
            "faces with at least {:.6} mm^2 of about {:.6} mm^2 are missing",
            m.missing_area_mm2,
            m.missing_area_mm2 + m.area_mm2
        );
        notes.push(about(text, true));
    }
    if !m.closure.watertight() && solid.closed {
        let ids: Vec<String> = m
            .mesh
            .faces_with_open_edges()
            .iter()
            .take(8)
            .filter_map(|f| solid.faces.get(*f as usize))
            .map(|f| format!("#{}", f.id))
            .collect();
        let text = format!(
            "the mesh does not close: {} open and {} inconsistent edges, at faces {}",
            m.closure.open_edges,
            m.closure.bad_edges,
            ids.join(", ")
        );
        notes.push(about(text, false));
    }
    if m.inside_out {
        notes.push(about(
            "all faces pointed inwards; turned over".into(),
            false,
        ));
    }
    if solid.closed && m.closure.watertight() {
        // Chords stay within their tolerance of the surface, so this is what they can add up to.
        let (mesh, exact) = (m.mesh.volume_mm3(), m.volume_mm3);
        if (mesh - exact).abs() > 1.5 * m.chord_mm * m.area_mm2 + 1e-9 * exact.abs() {
            let text =
                format!("mesh volume {mesh:.6} mm^3 and exact volume {exact:.6} mm^3 disagree");
            notes.push(about(text, false));
        }
    }
    notes.extend(
        compare_stated(solid, &m)
            .into_iter()
            .map(|t| about(t, false)),
    );
    let bounds_mm = solid
        .placements
        .iter()
        .map(|p| placed_bounds(&m, p))
        .collect();
    let model = SolidModel {
        id: solid.id,
        name: solid.name.clone(),
        closed: solid.closed,
        volume_mm3: solid.closed.then_some(m.volume_mm3),
        area_mm2: m.area_mm2,
        centroid_mm: m.centroid_mm,
        missing_area_mm2: m.missing_area_mm2,
        exact: true,
        chord_mm: m.chord_mm,
        closure: m.closure,
        mesh: m.mesh,
        faces: m.faces,
        placements: solid.placements.clone(),
        bounds_mm,
        stated: solid.stated,
    };
    Some((model, notes))
}

/// Exact reach along the root axes, carried back into the solid's own coordinates.
fn placed_bounds(m: &SolidMesh, placement: &DMat4) -> [DVec3; 2] {
    let shift = placement.w_axis.truncate();
    let rows = placement.transpose();
    let reach = |axis: usize, sign: f64| {
        let d = sign * rows.col(axis).truncate();
        let length = d.length();
        if length == 0.0 {
            0.0
        } else {
            m.reach(d / length) * length
        }
    };
    let high = DVec3::new(reach(0, 1.0), reach(1, 1.0), reach(2, 1.0));
    let low = -DVec3::new(reach(0, -1.0), reach(1, -1.0), reach(2, -1.0));
    [low + shift, high + shift]
}

/// What the faces of a solid, or of all solids of a product, give.
struct Found {
    volume_mm3: Option<f64>,
    area_mm2: f64,
    centroid_mm: DVec3,
    size_mm: f64,
}

fn compare_stated(solid: &Solid, m: &SolidMesh) -> Vec<String> {
    let size = m.mesh.bounds();
    let found = Found {
        volume_mm3: solid.closed.then_some(m.volume_mm3),
        area_mm2: m.area_mm2,
        centroid_mm: m.centroid_mm,
        size_mm: (size[1] - size[0]).length(),
    };
    compare(&found, &solid.stated)
}

fn compare_total(parts: &[&SolidModel], stated: &StatedProperties) -> Vec<String> {
    let volume: f64 = parts.iter().filter_map(|s| s.volume_mm3).sum();
    let moment: DVec3 = parts
        .iter()
        .map(|s| s.volume_mm3.unwrap_or(0.0) * s.centroid_mm)
        .sum();
    let (mut lo, mut hi) = (DVec3::INFINITY, DVec3::NEG_INFINITY);
    for s in parts {
        let b = s.mesh.bounds();
        (lo, hi) = (lo.min(b[0]), hi.max(b[1]));
    }
    let found = Found {
        volume_mm3: (volume != 0.0).then_some(volume),
        area_mm2: parts.iter().map(|s| s.area_mm2).sum(),
        centroid_mm: moment / volume,
        size_mm: (hi - lo).length(),
    };
    compare(&found, stated)
}

/// Stated validation properties that differ from what the faces give. Writers round to six or
/// more digits and integrate at best to 1e-4 (common practice, no source).
fn compare(found: &Found, stated: &StatedProperties) -> Vec<String> {
    let mut out = Vec::new();
    let off = |got: f64, stated: f64| (got - stated).abs() > 1e-3 * stated.abs().max(got.abs());
    if let (Some(v), Some(got)) = (stated.volume_mm3, found.volume_mm3)
        && off(got, v)
    {
        out.push(format!(
            "the file states a volume of {v:.6} mm^3, its faces enclose {got:.6}"
        ));
    }
    if let Some(a) = stated.area_mm2
        && off(found.area_mm2, a)
    {
        out.push(format!(
            "the file states an area of {a:.6} mm^2, its faces have {:.6}",
            found.area_mm2
        ));
    }
    if let (Some(c), Some(_)) = (stated.centroid_mm, found.volume_mm3) {
        let gap = c.distance(found.centroid_mm);
        if gap > 1e-3 * found.size_mm {
            out.push(format!(
                "the file states a centroid {gap:.6} mm away from the one its faces give"
            ));
        }
    }
    out
}

/// A solid that the file already holds as triangles.
fn ready_made(t: TessellatedSolid, notes: &mut Vec<Reservation>) -> SolidModel {
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
