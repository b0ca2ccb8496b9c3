//! `firstchip.part/1`.

use super::features::{FlatSaid, HoleSaid, PatternSaid, Said, ThinSaid};
use super::setups::{self, AxesSaid, SetupSaid};
use super::{Note, remarks};
use engine::demand::{OwnTools, Plan};
use geometry::format::Format;
use geometry::model::Model;
use geometry::stock::Stock;
use serde::Serialize;
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
    /// Mass of the raw stock, where the material is named.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stock_mass_kg: Option<f64>,
    /// yes, no or doubtful.
    pub milling_job: &'static str,
    /// Clampings.
    pub setups: Vec<SetupSaid>,
    /// Clampings on machines with more axes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clampings: Option<AxesSaid>,
    /// Holes.
    pub holes: Vec<HoleSaid>,
    /// Alike holes in circles, rows and grids.
    pub patterns: Vec<PatternSaid>,
    /// Smallest rounded inside corner.
    pub inside_radius_mm: Option<f64>,
    /// Largest over tasks.
    pub depth_to_diameter: Option<f64>,
    /// Surface no cutter reaches.
    pub unreached_mm2: Option<f64>,
    /// Surface cut in steps only.
    pub stepped_mm2: Option<f64>,
    /// Engraved marks, which cost no setup.
    pub marks_mm2: Option<f64>,
    /// True when no smaller set of directions does.
    pub proven: Option<bool>,
    /// Inside corners without a radius.
    pub sharp_inside_corners: Option<usize>,
    thin: Vec<ThinSaid>,
    flats: Vec<FlatSaid>,
    undercut_mm2: f64,
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
    /// From a model in millimetres, with the plan of its one body, or of each of its bodies.
    pub fn new(name: &str, model: &Model, plans: &[Plan], own: &OwnTools) -> Self {
        let measures = &model.measures;
        let allowance_mm = plans.first().map_or(STOCK_ALLOWANCE_MM, |p| p.allowance_mm);
        let stock = Stock::around(&model.smallest_box, allowance_mm);
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
        let said = Said::of(name, model);
        notes.extend(said.notes);
        let single = match plans {
            [plan] if model.bodies.is_empty() => Some(plan),
            _ => None,
        };
        if let Some(plan) = single {
            notes.extend(remarks::of_plan(name, plan, &said.holes));
        }
        let setups: Vec<SetupSaid> = plans.iter().flat_map(|p| setups::setups(p, own)).collect();
        if !own.is_empty() && single.is_some() {
            notes.push(remarks::of_tools(name, &setups));
        }
        let counted = || {
            let counts = model.bodies.iter().map(|b| b.count as f64);
            plans.iter().zip(counts.chain(std::iter::repeat(1.0)))
        };
        let total = |of: fn(&Plan) -> f64| -> Option<f64> {
            (!plans.is_empty()).then(|| counted().map(|(p, n)| n * of(p)).sum::<f64>() + 0.0)
        };
        let sharp = counted().map(|(p, n)| p.sharp_inside_corners * n as usize);
        let sharp_inside_corners = if plans.is_empty() {
            said.sharp_inside_corners
        } else {
            sharp.sum()
        };
        let least = plans.iter().filter_map(|p| p.inside_radius_mm);
        let deepest = plans.iter().filter_map(|p| p.depth_to_diameter);
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
            stock_mass_kg: None,
            milling_job: said.milling_job,
            setups,
            clampings: single.map(setups::axes),
            holes: said.holes,
            patterns: said.patterns,
            inside_radius_mm: least.min_by(f64::total_cmp),
            depth_to_diameter: deepest.max_by(f64::total_cmp),
            unreached_mm2: total(|p| p.unreached_mm2),
            stepped_mm2: total(|p| p.stepped_mm2),
            marks_mm2: total(|p| p.marks_mm2),
            proven: (!plans.is_empty()).then(|| plans.iter().all(|p| p.proven)),
            sharp_inside_corners: Some(sharp_inside_corners),
            thin: said.thin,
            flats: said.flats,
            undercut_mm2: said.undercut_mm2,
            count: None,
            bodies: model
                .bodies
                .iter()
                .enumerate()
                .map(|(b, body)| {
                    let title = if body.name.is_empty() {
                        name
                    } else {
                        &body.name
                    };
                    Self {
                        count: Some(body.count),
                        ..Self::new(title, &body.model, plans.get(b..b + 1).unwrap_or(&[]), own)
                    }
                })
                .collect(),
            notes,
        }
    }
}
