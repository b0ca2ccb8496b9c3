//! STEP files: the `step` crate's solids as one mesh, with what is exact about them.

use crate::features::exact;
use crate::features::face::Surface;
use crate::mesh::{InvalidMesh, Mesh};
use glam::{DMat4, DVec3};
use step::{StepError, TessellationOptions};

/// What a STEP file knows exactly, all occurrences together, millimetres.
#[derive(Clone, Debug, PartialEq)]
pub struct Exact {
    /// Volume of all solids.
    pub volume_mm3: f64,
    /// Area of all solids and shells.
    pub area_mm2: f64,
    /// Lowest and highest corner.
    pub bounds_mm: [DVec3; 2],
    /// Solids, every occurrence counted.
    pub solids: usize,
    /// Faces, every occurrence counted.
    pub faces: usize,
    /// True when every solid closes.
    pub watertight: bool,
}

/// A STEP file, or one solid of it.
#[derive(Clone, Debug)]
pub struct StepShape {
    /// Triangles.
    pub mesh: Mesh,
    /// Surface of every face of the mesh; empty when the file holds triangles only.
    pub surfaces: Vec<Surface>,
    /// Exact numbers.
    pub exact: Exact,
    /// Name of the product, for a single solid.
    pub name: String,
    /// How often a single solid occurs.
    pub count: usize,
    /// Where it stands each time, from where its mesh has it; the identity first.
    pub occurrences: Vec<DMat4>,
}

/// A STEP file read.
#[derive(Clone, Debug)]
pub struct StepRead {
    /// Everything together; `None` when the file holds no shape.
    pub whole: Option<StepShape>,
    /// Each solid by itself, when there are several.
    pub bodies: Vec<StepShape>,
    /// Length units as the file names them.
    pub units: Vec<String>,
    /// Reservations, each a full sentence.
    pub reservations: Vec<String>,
}

/// Why a STEP file gives no shape.
#[derive(Debug, thiserror::Error)]
pub enum StepReadError {
    /// The bytes are no STEP file.
    #[error(transparent)]
    File(#[from] StepError),
    /// Its numbers are no mesh.
    #[error(transparent)]
    Mesh(#[from] InvalidMesh),
}

/// Reads a STEP file with the default mesh tolerance.
pub fn read(bytes: &[u8]) -> Result<StepRead, StepReadError> {
    let model = step::load(bytes, &TessellationOptions::default(), None)?;
    let reservations = model
        .reservations
        .iter()
        .map(|r| match r.entity {
            Some(id) => format!("{} #{id}: {}", r.kind, r.text),
            None => r.text.clone(),
        })
        .collect();
    let units = model.length_units.clone();
    let whole = shape(&model)?;
    let mut bodies = Vec::new();
    if model
        .solids
        .iter()
        .map(|s| s.placements.len())
        .sum::<usize>()
        > 1
    {
        for solid in &model.solids {
            let count = solid.placements.len();
            let occurrences = match solid.placements.first() {
                Some(first) => {
                    let back = first.inverse();
                    let others = solid.placements[1..].iter().map(|p| *p * back);
                    std::iter::once(DMat4::IDENTITY).chain(others).collect()
                }
                None => Vec::new(),
            };
            let mut one = solid.clone();
            one.placements.truncate(1);
            one.bounds_mm.truncate(1);
            let single = step::Model {
                solids: vec![one],
                ..step::Model::default()
            };
            if let Some(body) = shape(&single)? {
                bodies.push(StepShape {
                    count,
                    occurrences,
                    name: solid.name.clone(),
                    ..body
                });
            }
        }
    }
    Ok(StepRead {
        whole,
        bodies,
        units,
        reservations,
    })
}

fn shape(model: &step::Model) -> Result<Option<StepShape>, InvalidMesh> {
    let Some(bounds_mm) = model.bounds_mm() else {
        return Ok(None);
    };
    let mesh = model.mesh();
    if mesh.triangles.is_empty() {
        return Ok(None);
    }
    Ok(Some(StepShape {
        mesh: Mesh::new(mesh.points, mesh.triangles, Some(mesh.face_of_triangle))?,
        surfaces: if exact::only_triangles(model) {
            Vec::new()
        } else {
            exact::surfaces(model)
        },
        exact: Exact {
            volume_mm3: model.volume_mm3(),
            area_mm2: model.area_mm2(),
            bounds_mm,
            solids: model.solid_count(),
            faces: model.face_count(),
            watertight: model.watertight(),
        },
        name: String::new(),
        count: 1,
        occurrences: vec![DMat4::IDENTITY],
    }))
}
