//! Solids and surface models, each built once.

use std::collections::BTreeSet;

use glam::{DMat4, DVec3};

use super::closing::closes;
use super::fields::{Outcome, Trouble};
use super::placement::Geometry;
use super::reader::{MAX_DEPTH, Reader};
use super::topology::{Parts, Slots, Topology};
use super::units::Scale;
use crate::brep::{Edge, EntityId, Face};

/// What one solid, or one shell of a surface model, has become.
#[derive(Debug)]
pub(super) struct Built {
    pub id: EntityId,
    pub kind: String,
    pub vertices: Vec<DVec3>,
    pub edges: Vec<Edge>,
    pub faces: Vec<Face>,
    pub closed: bool,
    /// A replica stands elsewhere than its parent.
    pub own_placement: Option<DMat4>,
}

/// Builds solids one after the other.
pub(super) struct Builder<'g, 'r, 'a> {
    reader: &'g Reader<'r, 'a>,
    slots: Slots,
    lost_faces: BTreeSet<EntityId>,
    /// Stated for the context of the solid at hand.
    uncertainty_mm: Option<f64>,
}

impl<'g, 'r, 'a> Builder<'g, 'r, 'a> {
    pub fn new(reader: &'g Reader<'r, 'a>) -> Self {
        Builder {
            reader,
            slots: Slots::new(reader.file.len()),
            lost_faces: BTreeSet::new(),
            uncertainty_mm: None,
        }
    }

    /// Faces that belong to a solid but could not be read.
    pub fn lost_faces(&self) -> &BTreeSet<EntityId> {
        &self.lost_faces
    }

    /// Builds a solid, or every shell of a surface model.
    pub fn build(&mut self, id: EntityId, scale: Scale, uncertainty_mm: Option<f64>) -> Vec<Built> {
        self.uncertainty_mm = uncertainty_mm;
        match self.item(id, scale, 0) {
            Ok(built) => built,
            Err(trouble) => {
                self.reader
                    .trouble(trouble, &format!("the solid #{id} is missing"), true);
                Vec::new()
            }
        }
    }

    fn item(&mut self, id: EntityId, scale: Scale, depth: usize) -> Outcome<Vec<Built>> {
        let entity = self.reader.entity(id)?;
        if depth > MAX_DEPTH {
            return Err(Trouble::of(
                &entity,
                "solids refer to each other in a circle",
            ));
        }
        if entity.is("SOLID_REPLICA") {
            let mut fields = self
                .reader
                .fields(entity, &["REPRESENTATION_ITEM", "SOLID_REPLICA"])?;
            let parent = fields.skip(1)?.reference()?;
            let geometry = Geometry {
                reader: self.reader,
                scale,
            };
            let operator = geometry.operator(self.reader.entity(fields.reference()?)?)?;
            let mut built = self.item(parent, scale, depth + 1)?;
            for solid in &mut built {
                solid.own_placement =
                    Some(operator * solid.own_placement.unwrap_or(DMat4::IDENTITY));
            }
            return Ok(built);
        }
        let model = ["SHELL_BASED_SURFACE_MODEL", "FACE_BASED_SURFACE_MODEL"]
            .into_iter()
            .find(|k| entity.is(k));
        if let Some(own) = model {
            let mut fields = self.reader.fields(entity, &["REPRESENTATION_ITEM", own])?;
            return Ok(self.surface_model(id, own, &fields.skip(1)?.references()?, scale));
        }
        if entity.is("EXTRUDED_AREA_SOLID") || entity.is("REVOLVED_AREA_SOLID") {
            let geometry = Geometry {
                reader: self.reader,
                scale,
            };
            let parts = geometry.swept_area(entity)?;
            return Ok(vec![self.finish(id, entity.kind(), parts, true)]);
        }
        let voids = entity.is("BREP_WITH_VOIDS");
        let mut chain = vec!["REPRESENTATION_ITEM", "MANIFOLD_SOLID_BREP"];
        if voids {
            chain.push("BREP_WITH_VOIDS");
        }
        let mut fields = self.reader.fields(entity, &chain)?;
        let mut shells = vec![fields.skip(1)?.reference()?];
        if voids {
            shells.extend(fields.references()?);
        }
        let parts = self.shells(&shells, scale);
        Ok(vec![self.finish(id, entity.kind(), parts, true)])
    }

    /// Faces of several shells with common tables; what fails is said and left out.
    fn shells(&mut self, ids: &[EntityId], scale: Scale) -> Parts {
        let geometry = Geometry {
            reader: self.reader,
            scale,
        };
        let mut topology = Topology {
            geometry,
            slots: &mut self.slots,
            parts: Parts::default(),
        };
        for id in ids {
            if let Err(trouble) = topology.shell(*id, false, 0) {
                self.reader
                    .trouble(trouble, &format!("shell #{id} is missing"), true);
            }
        }
        let parts = topology.parts;
        self.slots.clear();
        self.lost_faces.extend(&parts.lost_faces);
        parts
    }

    /// Every shell that closes is a solid of its own; the open ones stay together, since systems
    /// that export surfaces write one shell a face.
    fn surface_model(
        &mut self,
        id: EntityId,
        own: &str,
        shells: &[EntityId],
        scale: Scale,
    ) -> Vec<Built> {
        let mut all = Vec::new();
        let mut open = Vec::new();
        for shell in shells {
            let parts = self.shells(&[*shell], scale);
            if self.is_closed(&parts) {
                let name = if shells.len() == 1 { id } else { *shell };
                all.push(self.finish(name, own.into(), parts, true));
            } else if shells.len() == 1 {
                all.push(self.finish(id, own.into(), parts, false));
                return all;
            } else {
                open.push(*shell);
            }
        }
        if !open.is_empty() {
            let parts = self.shells(&open, scale);
            let closed = self.is_closed(&parts);
            all.push(self.finish(id, own.into(), parts, closed));
        }
        all
    }

    fn is_closed(&self, parts: &Parts) -> bool {
        let size = parts
            .vertices
            .iter()
            .fold(0.0, |size: f64, v| size.max(v.abs().max_element()));
        // What is stated may be finer than the numbers in the file; ten decimals of the largest
        // coordinate are there even in terse files.
        closes(parts, self.uncertainty_mm.unwrap_or(1e-5).max(1e-7 * size))
    }

    fn finish(&self, id: EntityId, kind: String, parts: Parts, closed: bool) -> Built {
        if parts.faces.is_empty() {
            let text = "has no face that can be read";
            self.reader
                .trouble(Trouble::new(id, &kind, text), "nothing of it is left", true);
        }
        Built {
            id,
            kind,
            vertices: parts.vertices,
            edges: parts.edges,
            faces: parts.faces,
            closed,
            own_placement: None,
        }
    }
}
