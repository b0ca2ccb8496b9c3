//! `firstchip.part/1`.

use super::Note;
use geometry::format::Format;
use geometry::model::Model;
use geometry::stock::Stock;
use serde::Serialize;
use serde_json::Value;
use units::Severity;

/// Several models.
#[derive(Debug, Serialize)]
pub struct Parts {
    schema: &'static str,
    /// One document a model.
    pub parts: Vec<Part>,
    /// Remarks about the run.
    pub notes: Vec<Note>,
}

impl Parts {
    /// Gathers the documents.
    pub fn new(parts: Vec<Part>) -> Self {
        Self {
            schema: "firstchip.parts/1",
            parts,
            notes: Vec::new(),
        }
    }
}

/// One model, or one body of it.
#[derive(Clone, Debug, Serialize)]
pub struct Part {
    schema: &'static str,
    /// File as given.
    pub model: String,
    format: &'static str,
    /// Unit of the file's numbers.
    pub unit: String,
    solids: usize,
    faces: Option<usize>,
    /// True when the surface closes.
    pub watertight: bool,
    /// Volume.
    pub volume_mm3: f64,
    area_mm2: f64,
    bounds_mm: [[f64; 3]; 2],
    /// Sides of the smallest box.
    pub box_mm: [f64; 3],
    /// Raw stock.
    pub stock_mm: [f64; 3],
    removed_mm3: f64,
    milling_job: &'static str,
    setups: Vec<Value>,
    holes: Vec<Value>,
    inside_radius_mm: Option<f64>,
    depth_to_diameter: Option<f64>,
    unreached_mm2: Option<f64>,
    stepped_mm2: Option<f64>,
    sharp_inside_corners: Option<usize>,
    /// Remarks.
    pub notes: Vec<Note>,
}

/// Raw stock is sawn this much larger than the part on every side, mm (common practice, no source:
/// a tenth of an inch to clean up).
const STOCK_ALLOWANCE_MM: f64 = 2.5;

impl Part {
    /// From a model in millimetres.
    pub fn new(name: &str, model: &Model) -> Self {
        let measures = &model.measures;
        let stock = Stock::around(&model.smallest_box, STOCK_ALLOWANCE_MM);
        let mut notes: Vec<Note> = model
            .reservations
            .iter()
            .map(|text| Note::new(Severity::Warning, name, text.clone()))
            .collect();
        let damage = measures.damage.sentences("mm");
        let severity = if measures.damage.is_sound() {
            Severity::Info
        } else {
            Severity::Warning
        };
        notes.extend(
            damage
                .into_iter()
                .map(|text| Note::new(severity, name, text)),
        );
        if measures.damage.is_open() {
            notes.push(Note::new(
                Severity::Warning,
                name,
                "the volume of a surface that does not close is only as good as its holes are small",
            ));
        }
        notes.push(Note::new(
            Severity::Info,
            name,
            "setups, tasks, holes and reach are not worked out from the shape yet; state them as \
             features of the part in parts.toml",
        ));
        Self {
            schema: "firstchip.part/1",
            model: name.to_owned(),
            format: match model.format {
                Format::StlBinary | Format::StlText => "stl",
                Format::ThreeMf => "3mf",
                Format::Obj => "obj",
                Format::Step => "step",
            },
            unit: model.unit.symbol().to_owned(),
            solids: measures.bodies.iter().map(|b| b.shells.len()).sum(),
            faces: None,
            watertight: measures.damage.is_watertight(),
            volume_mm3: measures.volume,
            area_mm2: measures.area,
            bounds_mm: measures.bounds.map(|corner| corner.to_array()),
            box_mm: model.smallest_box.extents,
            stock_mm: stock.size_mm,
            removed_mm3: stock.removed_mm3(measures.volume),
            milling_job: "doubtful",
            setups: Vec::new(),
            holes: Vec::new(),
            inside_radius_mm: None,
            depth_to_diameter: None,
            unreached_mm2: None,
            stepped_mm2: None,
            sharp_inside_corners: None,
            notes,
        }
    }
}
