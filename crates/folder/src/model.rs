//! Model files of parts: found, read, measured. A unit is never guessed.

use crate::hole_work::{Work, on_holes};
use crate::section::Section;
use crate::source::{Source, Unread};
use crate::texts;
use engine::demand::Plan;
use engine::entered::ModelFacts;
use geometry::model::{self, Model, ModelError};
use geometry::plan::Options;
use geometry::readers::ReadError;
use geometry::unit::{LengthUnit, UnitNeeded};
use std::sync::Arc;
use units::{Area, Length, Volume};

/// Who works out how a model is made: whoever has a cache, or nobody.
#[derive(Clone, Copy)]
pub struct Plans<'a>(pub Option<&'a PlanOf<'a>>);

/// The plan of a model from its file's bytes under options; `None` when there is none.
pub type PlanOf<'a> = dyn Fn(&[u8], &Model, &Options) -> Option<Arc<Plan>> + 'a;

/// What a part asks of its model's plan.
pub(crate) struct Asked<'a> {
    /// Cutters, marks, faces left.
    pub(crate) options: Options,
    /// Threads and fits of holes.
    pub(crate) work: &'a [Work],
}

impl Plans<'_> {
    /// Nobody: parts with models are then judged by their bulk.
    pub const NONE: Plans<'static> = Plans(None);

    fn of(&self, bytes: &[u8], model: &Model, options: &Options) -> Option<Arc<Plan>> {
        self.0.and_then(|plan| plan(bytes, model, options))
    }
}

/// What is measured of the model under the key `model`; everything wrong with it reported.
pub(crate) fn read(
    section: &Section<'_>,
    file: &str,
    stated: Option<LengthUnit>,
    source: &Source,
    plans: &Plans<'_>,
    asked: Asked<'_>,
) -> Option<ModelFacts> {
    let place = || section.place_of("model");
    let outside = file.starts_with(['/', '\\'])
        || file.contains(':')
        || file.split(['/', '\\']).any(|p| p == "..");
    if outside {
        section.push(texts::model_outside(place(), file));
        return None;
    }
    let bytes = match source.read(file) {
        Ok(bytes) => bytes,
        Err(Unread::Missing) => {
            section.push(texts::model_missing(place(), file));
            return None;
        }
        Err(Unread::Refused(why)) => {
            section.push(texts::model_unreadable(place(), file, &why));
            return None;
        }
        Err(Unread::TooLarge(bytes)) => {
            section.push(texts::too_large(place(), bytes));
            return None;
        }
    };
    if bytes.is_empty() {
        section.push(texts::model_empty(place(), file));
        return None;
    }
    let model = match model::load(&bytes, file, stated) {
        Ok(model) => model,
        Err(ModelError::Read(ReadError::Empty { .. })) => {
            section.push(texts::model_empty(place(), file));
            return None;
        }
        Err(ModelError::Unit(needed)) => {
            section.push(without_unit(section, file, &needed));
            return None;
        }
        Err(error) => {
            section.push(texts::model_unreadable(place(), file, &error.to_string()));
            return None;
        }
    };
    for reservation in &model.reservations {
        section.push(texts::model_reservation(place(), file, reservation));
    }
    let (around, measures) = (&model.smallest_box, &model.measures);
    if around.extents.iter().any(|side| *side <= 0.0) {
        section.push(texts::model_flat(place(), file));
        return None;
    }
    let damage = &measures.damage;
    // An exact model says itself where it does not close.
    if model.exact.is_none() && !damage.is_sound() {
        section.push(texts::model_damaged(
            place(),
            file,
            &damage.sentences("mm").join(" "),
        ));
    }
    let mut options = asked.options;
    if !asked.work.is_empty() {
        if model.bodies.is_empty() {
            let features = geometry::features::of(&model);
            options.finish = on_holes(asked.work, &features.holes, section);
        } else {
            section.push(texts::holes_of_several_bodies(place()));
        }
    }
    Some(ModelFacts {
        file: file.to_owned(),
        box_sides: around.extents.map(Length::mm),
        volume: Volume::mm3(model.volume_mm3().abs()),
        area: Area::mm2(model.area_mm2()),
        watertight: model.watertight(),
        plan: plans.of(&bytes, &model, &options),
    })
}

fn without_unit(section: &Section<'_>, file: &str, needed: &UnitNeeded) -> units::Problem {
    let readings: Vec<String> = needed
        .readings
        .iter()
        .take(2)
        .map(|reading| {
            let [a, b, c] = reading.size_mm;
            format!(
                "{a:.0} x {b:.0} x {c:.0} mm if drawn in {}",
                plural(reading.unit)
            )
        })
        .collect();
    let likely = needed.likely().map_or("mm", LengthUnit::symbol);
    texts::model_without_unit(
        section.place_of("model"),
        file,
        &readings.join(", "),
        likely,
    )
}

fn plural(unit: LengthUnit) -> &'static str {
    match unit {
        LengthUnit::Micrometre => "micrometres",
        LengthUnit::Millimetre => "millimetres",
        LengthUnit::Centimetre => "centimetres",
        LengthUnit::Inch => "inches",
        LengthUnit::Foot => "feet",
        LengthUnit::Metre => "metres",
    }
}
