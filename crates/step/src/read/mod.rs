//! From instances to shape: AP203 (both editions, CONFIG_CONTROL_DESIGN too), AP214 and AP242.
//!
//! The path: `classify` sorts the instances that matter into roles in one pass; `products` reads
//! the product structure; `occurrences` walks it from the roots and says where every solid stands;
//! `solids` then builds each distinct solid once, in millimetres and radians of its own context
//! (`units`).
//!
//! Files are damaged, systems disagree, and schemas allow more than anybody writes. Whatever
//! cannot be read becomes a [`Reservation`] that names the entity; the rest still comes out. Two
//! limits keep hostile files harmless: nesting depth, and a budget of bytes looked at that is
//! linear in the size of the file.

mod classify;
mod closing;
mod conics;
mod contents;
mod curves;
mod fields;
mod loops;
mod occurrences;
mod orphans;
mod pcurves;
mod placement;
mod products;
mod reader;
mod solids;
mod splines;
mod stated;
mod surfaces;
mod swept;
mod tessellated;
mod topology;
mod units;
mod winding;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::atomic::AtomicBool;

use crate::brep::{Brep, EntityId, Reservation, Solid};
use crate::part21::{Part21, Part21Error};
use classify::Roles;
use occurrences::Occurrences;
use products::Products;
use reader::Reader;
use solids::Built;
use units::Contexts;

/// How to read.
#[derive(Clone, Copy, Debug, Default)]
pub struct ReadOptions<'a> {
    /// Set to true from elsewhere to give up; looked at between faces.
    pub cancel: Option<&'a AtomicBool>,
}

/// Why nothing at all could be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StepError {
    /// The bytes are no Part 21 file, or hold no instance.
    #[error(transparent)]
    Syntax(#[from] Part21Error),
    /// The caller gave up.
    #[error("reading was cancelled")]
    Cancelled,
}

/// Reads everything of a file that is shape.
///
/// # Errors
/// When the bytes are no STEP file or the caller cancelled. A file without any solid is no error:
/// the result is empty and says so in its reservations.
pub fn read(bytes: &[u8], options: &ReadOptions<'_>) -> Result<Brep, StepError> {
    let file = Part21::index(bytes)?;
    let reader = Reader::new(&file, options.cancel);
    for problem in file.problems() {
        let line = file.line(problem.offset);
        reader.note("syntax", format!("line {line}: {}", problem.text), true);
    }
    let unkept = file.problem_count() - file.problems().len();
    if unkept > 0 {
        reader.note(
            "syntax",
            format!("{unkept} further syntax problems are not listed"),
            true,
        );
    }
    let roles = Roles::of(&file);
    let contexts = Contexts::read(&reader, &roles);
    let products = Products::read(&reader, &roles);
    let found = Occurrences::find(&reader, &roles, &contexts, &products);
    if reader.is_cancelled() {
        return Err(StepError::Cancelled);
    }

    let mut brep = Brep {
        schema: file.header().schemas.join(", "),
        length_units: contexts.length_names(),
        ..Brep::default()
    };
    let mut builder = solids::Builder::new(&reader);
    let mut built_of_product: BTreeMap<EntityId, Vec<usize>> = BTreeMap::new();
    let mut open_shells = Vec::new();
    let mut exact_products = BTreeSet::new();
    for (id, occurrence) in &found.exact {
        let scale = contexts.scale(occurrence.context);
        for mut built in builder.build(*id, scale, contexts.uncertainty(occurrence.context)) {
            if reader.is_cancelled() {
                return Err(StepError::Cancelled);
            }
            let mut placements = occurrence.placements.clone();
            if let Some(own) = built.own_placement {
                placements.iter_mut().for_each(|p| *p *= own);
            }
            if let Some(product) = occurrence.product {
                exact_products.insert(product);
            }
            let solid = Solid {
                id: built.id,
                name: occurrence.name.clone(),
                vertices: std::mem::take(&mut built.vertices),
                edges: std::mem::take(&mut built.edges),
                faces: std::mem::take(&mut built.faces),
                placements,
                closed: built.closed,
                uncertainty_mm: contexts.uncertainty(occurrence.context),
                stated: Default::default(),
            };
            if solid.closed {
                if let Some(product) = occurrence.product {
                    built_of_product
                        .entry(product)
                        .or_default()
                        .push(brep.solids.len());
                }
                brep.solids.push(solid);
            } else {
                open_shells.push((occurrence.product, built, solid));
            }
        }
    }
    keep_open_shells(&reader, &mut brep, &built_of_product, open_shells);
    brep.stated_totals = stated::attach(
        &reader,
        &roles,
        &contexts,
        &products,
        &built_of_product,
        &mut brep.solids,
    );
    brep.tessellated = tessellated::read(&reader, &contexts, &found, &exact_products);
    if brep.solids.is_empty() && brep.tessellated.is_empty() {
        reader.note(
            "file",
            "the file holds no solid and no shell that can be read".into(),
            false,
        );
    } else if !brep.solids.iter().any(|s| s.closed) && brep.tessellated.is_empty() {
        reader.note(
            "file",
            "the file holds open surfaces only, no solid".into(),
            false,
        );
    }
    let in_solids: BTreeSet<EntityId> = brep
        .solids
        .iter()
        .flat_map(|solid| solid.faces.iter().map(|face| face.id))
        .chain(builder.lost_faces().iter().copied())
        .collect();
    brep.loose_faces = roles
        .faces
        .iter()
        .filter(|face| !in_solids.contains(face))
        .count();
    brep.reservations = reader.into_reservations();
    Ok(brep)
}

/// Open shells count only where the product has no solid: beside solids they are annotation or
/// construction surfaces, which added up to 23 % false volume in real files.
fn keep_open_shells(
    reader: &Reader<'_, '_>,
    brep: &mut Brep,
    built_of_product: &BTreeMap<EntityId, Vec<usize>>,
    shells: Vec<(Option<EntityId>, Built, Solid)>,
) {
    let any_solid = !brep.solids.is_empty();
    for (product, built, solid) in shells {
        let beside_solid = match product {
            Some(product) => built_of_product.contains_key(&product),
            None => any_solid,
        };
        if beside_solid {
            let text = format!(
                "an open surface of {} faces beside the solids is not counted",
                solid.faces.len()
            );
            reader.remark(Reservation {
                entity: Some(built.id),
                kind: built.kind,
                text,
                loses_geometry: false,
            });
        } else {
            brep.solids.push(solid);
        }
    }
}
