//! One entry for a model of any format: bytes to a mesh in millimetres with its measures.

use crate::features::face::Surface;
use crate::format::{self, Format};
use crate::measure::{Measures, measure};
use crate::mesh::{InvalidMesh, Mesh};
use crate::oriented_box::{OrientedBox, smallest_box};
use crate::readers::step::{Exact, StepReadError, StepShape};
use crate::readers::{self, ReadError};
use crate::unit::{self, LengthUnit, UnitFound, UnitNeeded};
use glam::{DMat4, DVec3};

/// A model, in millimetres.
#[derive(Clone, Debug)]
pub struct Model {
    /// Format it was read as.
    pub format: Format,
    /// Unit of the file's numbers, as stated or as the file names it.
    pub unit: String,
    /// All bodies together.
    pub mesh: Mesh,
    /// Volume, area, soundness, of the mesh.
    pub measures: Measures,
    /// Exact surface of every face of the mesh (STEP); empty when the file has none.
    pub surfaces: Vec<Surface>,
    /// What the file knows exactly (STEP).
    pub exact: Option<Exact>,
    /// Smallest box.
    pub smallest_box: OrientedBox,
    /// Each body by itself, with how often it occurs; empty for a single body.
    pub bodies: Vec<Body>,
    /// Things read with a reservation, each a full sentence.
    pub reservations: Vec<String>,
}

/// One body of a model of several.
#[derive(Clone, Debug)]
pub struct Body {
    /// Name, where the file gives one.
    pub name: String,
    /// How often it occurs.
    pub count: usize,
    /// Where it stands each time, from where its own mesh has it; the identity first. Only the
    /// first is known of alike bodies of a plain mesh.
    pub occurrences: Vec<DMat4>,
    /// The body, by itself.
    pub model: Model,
}

/// Why a model cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum ModelError {
    /// The file could not be read.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// The STEP file could not be read.
    #[error(transparent)]
    Step(#[from] StepReadError),
    /// The file holds no shape.
    #[error("the file holds no solid{0}; export the part again as a solid body")]
    NoSolid(String),
    /// The unit is nowhere stated.
    #[error(transparent)]
    Unit(#[from] UnitNeeded),
    /// Its numbers are no mesh.
    #[error("the model is no usable mesh: {0}")]
    Mesh(#[from] InvalidMesh),
}

impl Model {
    fn of_mesh(format: Format, unit: &str, mesh: Mesh) -> Result<Self, ModelError> {
        let measures = measure(&mesh);
        let smallest_box =
            smallest_box(mesh.points()).ok_or(ReadError::Empty { format: "model" })?;
        Ok(Self {
            format,
            unit: unit.to_owned(),
            mesh,
            measures,
            surfaces: Vec::new(),
            exact: None,
            smallest_box,
            bodies: Vec::new(),
            reservations: Vec::new(),
        })
    }

    fn of_step(unit: &str, shape: StepShape) -> Result<Self, ModelError> {
        let mut model = Self::of_mesh(Format::Step, unit, shape.mesh)?;
        model.surfaces = shape.surfaces;
        model.exact = Some(shape.exact);
        Ok(model)
    }

    /// Volume, exact where the file is, mm^3.
    pub fn volume_mm3(&self) -> f64 {
        self.exact
            .as_ref()
            .map_or(self.measures.volume, |e| e.volume_mm3)
    }

    /// Area, exact where the file is, mm^2.
    pub fn area_mm2(&self) -> f64 {
        self.exact
            .as_ref()
            .map_or(self.measures.area, |e| e.area_mm2)
    }

    /// Lowest and highest corner, mm.
    pub fn bounds_mm(&self) -> [DVec3; 2] {
        self.exact
            .as_ref()
            .map_or(self.measures.bounds, |e| e.bounds_mm)
    }

    /// True when the surface closes.
    pub fn watertight(&self) -> bool {
        match &self.exact {
            Some(exact) => exact.watertight,
            None => self.measures.damage.is_watertight(),
        }
    }

    /// Number of bodies, each occurrence counted.
    pub fn solids(&self) -> usize {
        match &self.exact {
            Some(exact) => exact.solids,
            None => self.measures.bodies.iter().map(|b| b.shells.len()).sum(),
        }
    }

    /// Number of faces, where the file has any.
    pub fn faces(&self) -> Option<usize> {
        self.exact.as_ref().map(|e| e.faces)
    }
}

/// Reads a model. `stated` is the unit the user gives; it overrides the file's own, except in STEP
/// files, which always name theirs.
pub fn load(
    bytes: &[u8],
    file_name: &str,
    stated: Option<LengthUnit>,
) -> Result<Model, ModelError> {
    if format::detect(bytes, file_name) == Some(Format::Step) {
        return load_step(bytes, stated);
    }
    let read = readers::read(bytes, file_name)?;
    let unit = unit::settle(&read.mesh, read.unit, stated)?;
    let mut reservations = read.reservations;
    if let (UnitFound::Stated(own), Some(stated)) = (read.unit, stated)
        && own != stated
    {
        reservations.push(format!(
            "the file says its unit is {own}, but {stated} was stated and is used"
        ));
    }
    let mesh = unit::in_millimetres(&read.mesh, unit)?;
    let mut model = Model::of_mesh(read.format, unit.symbol(), mesh)?;
    model.reservations = reservations;
    model.bodies = mesh_bodies(&model)?;
    Ok(model)
}

fn load_step(bytes: &[u8], stated: Option<LengthUnit>) -> Result<Model, ModelError> {
    let read = readers::step::read(bytes)?;
    let symbols: Vec<String> = read
        .units
        .iter()
        .map(|name| LengthUnit::from_name(name).map_or(name.clone(), |u| u.symbol().to_owned()))
        .collect();
    let unit = symbols.join(" and ");
    let Some(whole) = read.whole else {
        let why: Vec<&str> = read.reservations.iter().map(String::as_str).collect();
        let why = if why.is_empty() {
            String::new()
        } else {
            format!(" ({})", why.join("; "))
        };
        return Err(ModelError::NoSolid(why));
    };
    let mut model = Model::of_step(&unit, whole)?;
    model.reservations = read.reservations;
    if let Some(stated) = stated
        && stated.symbol() != unit
    {
        model.reservations.push(format!(
            "a STEP file names its own unit ({unit}), so the stated {stated} is not used"
        ));
    }
    for shape in read.bodies {
        let (name, count) = (shape.name.clone(), shape.count);
        model.bodies.push(Body {
            name,
            count,
            occurrences: shape.occurrences.clone(),
            model: Model::of_step(&unit, shape)?,
        });
    }
    Ok(model)
}

/// Bodies of a mesh, alike ones once, when there are several.
fn mesh_bodies(whole: &Model) -> Result<Vec<Body>, ModelError> {
    if whole.solids() < 2 {
        return Ok(Vec::new());
    }
    let mut bodies = Vec::new();
    for group in &whole.measures.bodies {
        let Some(&first) = group.shells.first() else {
            continue;
        };
        let mesh = whole.mesh.subset(&whole.measures.shells[first].triangles);
        bodies.push(Body {
            name: String::new(),
            count: group.shells.len(),
            occurrences: vec![DMat4::IDENTITY],
            model: Model::of_mesh(whole.format, &whole.unit, mesh)?,
        });
    }
    Ok(bodies)
}
