//! One entry for a model of any format: bytes to a mesh in millimetres with its measures.

use crate::format::Format;
use crate::measure::{Measures, measure};
use crate::mesh::{InvalidMesh, Mesh};
use crate::oriented_box::{OrientedBox, smallest_box};
use crate::readers::{self, ReadError};
use crate::unit::{self, LengthUnit, UnitFound, UnitNeeded};

/// A model, in millimetres.
#[derive(Clone, Debug)]
pub struct Model {
    /// Format it was read as.
    pub format: Format,
    /// Unit of the file's numbers.
    pub unit: LengthUnit,
    /// True when the file itself names the unit.
    pub unit_in_file: bool,
    /// All bodies together.
    pub mesh: Mesh,
    /// Volume, area, soundness, of the mesh.
    pub measures: Measures,
    /// Smallest box.
    pub smallest_box: OrientedBox,
    /// Things read with a reservation, each a full sentence.
    pub reservations: Vec<String>,
}

/// Why a model cannot be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ModelError {
    /// The file could not be read.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// The unit is nowhere stated.
    #[error(transparent)]
    Unit(#[from] UnitNeeded),
    /// Its numbers are no mesh.
    #[error("the model is no usable mesh: {0}")]
    Mesh(#[from] InvalidMesh),
}

/// Reads a model. `stated` is the unit the user gives; it overrides the file's own.
pub fn load(
    bytes: &[u8],
    file_name: &str,
    stated: Option<LengthUnit>,
) -> Result<Model, ModelError> {
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
    let measures = measure(&mesh);
    let smallest_box = smallest_box(mesh.points()).ok_or(ReadError::Empty { format: "model" })?;
    Ok(Model {
        format: read.format,
        unit,
        unit_in_file: matches!(read.unit, UnitFound::Stated(_)),
        mesh,
        measures,
        smallest_box,
        reservations,
    })
}
