//! Solids that no product shows: in representations of their own, or in none.

use std::collections::BTreeSet;

use glam::DMat4;

use super::classify::Roles;
use super::contents::Contents;
use super::fields::Trouble;
use super::occurrences::{Group, Walk};
use crate::brep::EntityId;

impl Walk<'_, '_, '_> {
    /// Representations with solids that no product shows.
    pub fn visit_representations(&mut self, roles: &Roles) {
        let holds =
            |c: &Contents| !(c.exact.is_empty() && c.tessellated.is_empty() && c.mapped.is_empty());
        let left: Vec<EntityId> = roles
            .shape_representations
            .iter()
            .filter(|id| !self.visited_representations.contains(id))
            .filter(|id| {
                self.contents.get(id).is_some_and(holds) || self.products.placed_in.contains_key(id)
            })
            .copied()
            .collect();
        let mapped: BTreeSet<EntityId> = self
            .contents
            .values()
            .flat_map(|c| c.mapped.iter().map(|m| m.representation))
            .collect();
        self.only_new = Some(
            self.found
                .exact
                .keys()
                .chain(self.found.tessellated.keys())
                .copied()
                .collect(),
        );
        let is_root = |id: &EntityId| !mapped.contains(id) && !self.products.placed.contains(id);
        let (roots, rest): (Vec<_>, Vec<_>) = left.into_iter().partition(is_root);
        for id in roots.into_iter().chain(rest) {
            if self.visited_representations.contains(&id) {
                continue;
            }
            let placed = BTreeSet::new();
            let mut shown = BTreeSet::new();
            let mut group = Group {
                product: None,
                seen: BTreeSet::new(),
                placed: &placed,
                shown: &mut shown,
            };
            let before = self.found.exact.len() + self.found.tessellated.len();
            self.representation(id, DMat4::IDENTITY, &mut group);
            if self.found.exact.len() + self.found.tessellated.len() > before
                && !self.products.representations.is_empty()
            {
                let trouble = Trouble::new(id, "SHAPE_REPRESENTATION", "belongs to no product");
                self.reader
                    .trouble(trouble, "its solids are counted where they stand", false);
            }
        }
    }

    /// Solids that no representation holds.
    pub fn visit_the_rest(&mut self, roles: &Roles) {
        self.only_new = None;
        let parents = self.parents_of_replicas(roles);
        for id in &roles.solids {
            let Some(entity) = self.reader.file.get(*id) else {
                continue;
            };
            let surface =
                entity.is("SHELL_BASED_SURFACE_MODEL") || entity.is("FACE_BASED_SURFACE_MODEL");
            // Surfaces of drawings and the parents of replicas stand outside on purpose.
            if surface
                || entity.is("SOLID_REPLICA")
                || self.found.exact.contains_key(id)
                || parents.contains(id)
                || self.gave_up
            {
                continue;
            }
            self.reader.reserve(
                &entity,
                "stands in no shape representation; the first length unit of the file is taken"
                    .into(),
                false,
            );
            self.record(true, *id, None, None, DMat4::IDENTITY);
        }
    }

    fn parents_of_replicas(&self, roles: &Roles) -> BTreeSet<EntityId> {
        let solids = roles
            .solids
            .iter()
            .filter_map(|id| self.reader.file.get(*id));
        solids
            .filter(|solid| solid.is("SOLID_REPLICA"))
            .filter_map(|solid| {
                let mut fields = self
                    .reader
                    .fields(solid, &["REPRESENTATION_ITEM", "SOLID_REPLICA"])
                    .ok()?;
                fields.skip(1).ok()?.reference().ok()
            })
            .collect()
    }
}
