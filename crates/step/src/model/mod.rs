//! A whole file as meshes and properties: solids, where they stand, and what to be careful about.

mod exact;
mod stated;
mod triangles;

use crate::brep::{Brep, EntityId, Reservation, StatedProperties};
use crate::tessellate::{Closure, FaceInfo, Mesh, TessellationOptions};
use exact::exact_solid;
use glam::{DMat4, DVec3};
use rayon::prelude::*;
use stated::compare_total;
use triangles::ready_made;

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
