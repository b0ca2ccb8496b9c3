//! `firstchip.part/1`.

use super::Note;
use super::features::{HoleSaid, Said};
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
    /// yes, no or doubtful.
    pub milling_job: &'static str,
    setups: Vec<Value>,
    /// Holes.
    pub holes: Vec<HoleSaid>,
    /// Smallest rounded inside corner.
    pub inside_radius_mm: Option<f64>,
    depth_to_diameter: Option<f64>,
    unreached_mm2: Option<f64>,
    stepped_mm2: Option<f64>,
    /// Inside corners without a radius.
    pub sharp_inside_corners: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    count: Option<usize>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    bodies: Vec<Part>,
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
        // An exact model says itself where it does not close; its mesh only repeats that.
        let damage = match &model.exact {
            Some(_) => Vec::new(),
            None => measures.damage.sentences("mm"),
        };
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
        if !model.watertight() && measures.damage.is_open() {
            notes.push(Note::new(
                Severity::Warning,
                name,
                "the volume of a surface that does not close is only as good as its holes are small",
            ));
        }
        notes.push(Note::new(
            Severity::Info,
            name,
            "setups, tasks and reach are not worked out from the shape yet; state them as \
             features of the part in parts.toml",
        ));
        let said = Said::of(name, model);
        notes.extend(said.notes);
        Self {
            schema: "firstchip.part/1",
            model: name.to_owned(),
            format: match model.format {
                Format::StlBinary | Format::StlText => "stl",
                Format::ThreeMf => "3mf",
                Format::Obj => "obj",
                Format::Step => "step",
            },
            unit: model.unit.clone(),
            solids: model.solids(),
            faces: model.faces(),
            watertight: model.watertight(),
            volume_mm3: model.volume_mm3(),
            area_mm2: model.area_mm2(),
            bounds_mm: model.bounds_mm().map(|corner| corner.to_array()),
            box_mm: model.smallest_box.extents,
            stock_mm: stock.size_mm,
            removed_mm3: stock.removed_mm3(model.volume_mm3()),
            milling_job: said.milling_job,
            setups: Vec::new(),
            holes: said.holes,
            inside_radius_mm: said.inside_radius_mm,
            depth_to_diameter: None,
            unreached_mm2: None,
            stepped_mm2: None,
            sharp_inside_corners: Some(said.sharp_inside_corners),
            count: None,
            bodies: model
                .bodies
                .iter()
                .map(|body| {
                    let own = if body.name.is_empty() {
                        name
                    } else {
                        &body.name
                    };
                    Self {
                        count: Some(body.count),
                        ..Self::new(own, &body.model)
                    }
                })
                .collect(),
            notes,
        }
    }
}
