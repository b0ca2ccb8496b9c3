//! What representations hold, and how links between them move it.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use glam::DMat4;

use super::classify::{is_constructive, is_exact_item};
use super::fields::{Outcome, Trouble};
use super::placement::{Geometry, inverse, matrix};
use super::products::{Link, representation_fields};
use super::reader::Reader;
use super::units::Contexts;
use crate::brep::EntityId;

/// What a representation holds.
#[derive(Clone, Debug, Default)]
pub(super) struct Contents {
    /// Axis placements, which say in whose coordinates a transformation is meant.
    pub placements: BTreeSet<EntityId>,
    pub context: Option<EntityId>,
    pub exact: Vec<EntityId>,
    pub tessellated: Vec<EntityId>,
    pub mapped: Vec<Mapped>,
}

/// A mapped item: another representation, placed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mapped {
    pub id: EntityId,
    pub representation: EntityId,
    pub here_from_there: DMat4,
}

/// Where representations are looked up.
pub(super) struct Shelf<'w, 'r, 'a> {
    reader: &'w Reader<'r, 'a>,
    contexts: &'w Contexts,
    /// Contexts looked up so far: an assembly of thousands of items is asked once, not once a part.
    context_of: RefCell<BTreeMap<EntityId, Option<EntityId>>>,
}

impl<'w, 'r, 'a> Shelf<'w, 'r, 'a> {
    pub fn new(reader: &'w Reader<'r, 'a>, contexts: &'w Contexts) -> Self {
        Shelf {
            reader,
            contexts,
            context_of: RefCell::default(),
        }
    }

    /// Items of a representation by what they are.
    pub fn contents(&self, id: EntityId) -> Outcome<Contents> {
        let mut fields = representation_fields(self.reader, id)?;
        let items = fields.skip(1)?.references()?;
        let context = fields.optional_reference()?;
        let mut contents = Contents {
            context,
            ..Contents::default()
        };
        for item in items {
            let Some(entity) = self.reader.file.get(item) else {
                let trouble = Trouble::new(item, "reference", "is referred to but not in the file");
                self.reader
                    .trouble(trouble, &format!("representation #{id} lacks it"), true);
                continue;
            };
            let is = |test: fn(&[u8]) -> bool| entity.leaves().any(|leaf| test(leaf.keyword));
            if entity.is("AXIS2_PLACEMENT_3D") {
                contents.placements.insert(item);
            } else if is(is_exact_item) {
                contents.exact.push(item);
            } else if is(is_tessellated) {
                contents.tessellated.push(item);
            } else if entity.is("MAPPED_ITEM") {
                match self.mapped(item, context) {
                    Ok(mapped) => contents.mapped.push(mapped),
                    Err(trouble) => {
                        self.reader
                            .trouble(trouble, "this copy of a part is missing", true)
                    }
                }
            } else if is(is_constructive) {
                self.reader.reserve(
                    &entity,
                    "a solid made by operations is not read".into(),
                    true,
                );
            }
        }
        Ok(contents)
    }

    fn geometry(&self, context: Option<EntityId>) -> Geometry<'_, '_, '_> {
        Geometry {
            reader: self.reader,
            scale: self.contexts.scale(context),
        }
    }

    /// `MAPPED_ITEM(name, REPRESENTATION_MAP(origin, representation), target)`.
    fn mapped(&self, id: EntityId, context: Option<EntityId>) -> Outcome<Mapped> {
        let mut fields = self.reader.fields(
            self.reader.entity(id)?,
            &["REPRESENTATION_ITEM", "MAPPED_ITEM"],
        )?;
        let source = fields.skip(1)?.reference()?;
        let target = fields.reference()?;
        let mut map = self
            .reader
            .fields(self.reader.entity(source)?, &["REPRESENTATION_MAP"])?;
        let origin = map.reference()?;
        let representation = map.reference()?;
        let there = self.context_of(representation);
        let origin = self.geometry(there).transformation(origin)?;
        let target = self.geometry(context).transformation(target)?;
        let back = inverse(&origin).ok_or_else(|| map.fail("an origin that cannot be undone"))?;
        Ok(Mapped {
            id,
            representation,
            here_from_there: target * back,
        })
    }

    fn context_of(&self, representation: EntityId) -> Option<EntityId> {
        if let Some(known) = self.context_of.borrow().get(&representation) {
            return *known;
        }
        let read = || {
            let mut fields = representation_fields(self.reader, representation).ok()?;
            fields.skip(2).ok()?.optional_reference().ok()?
        };
        let context = read();
        self.context_of.borrow_mut().insert(representation, context);
        context
    }

    /// From the coordinates of the first representation of a link to those of its second.
    /// `[first, second]` are their contents, where known.
    pub fn transformation(
        &self,
        link: &Link,
        id: EntityId,
        contents: [Option<&Contents>; 2],
    ) -> Outcome<DMat4> {
        let entity = self.reader.entity(id)?;
        let first = self.geometry(self.context_of(link.rep_1));
        let second = self.geometry(self.context_of(link.rep_2));
        if !entity.is("ITEM_DEFINED_TRANSFORMATION") {
            return second.operator(entity);
        }
        let mut fields = self
            .reader
            .fields(entity, &["ITEM_DEFINED_TRANSFORMATION"])?;
        let mut items = [fields.skip(2)?.reference()?, fields.reference()?];
        let holds = |side: usize, item: EntityId| {
            contents[side].is_some_and(|contents| contents.placements.contains(&item))
        };
        // Item 1 stands in representation 1. Where each stands in the other only, the writing
        // system has swapped them.
        let straight = holds(0, items[0]) || holds(1, items[1]);
        if !straight && holds(1, items[0]) && holds(0, items[1]) {
            items.swap(0, 1);
        }
        let item_1 = first.frame(items[0])?;
        let item_2 = second.frame(items[1])?;
        let back = inverse(&matrix(&item_1))
            .ok_or_else(|| fields.fail("an item that cannot be undone"))?;
        Ok(matrix(&item_2) * back)
    }
}

/// Ready-made triangles.
fn is_tessellated(keyword: &[u8]) -> bool {
    matches!(
        keyword,
        b"TESSELLATED_SOLID"
            | b"TESSELLATED_SHELL"
            | b"TRIANGULATED_FACE"
            | b"COMPLEX_TRIANGULATED_FACE"
            | b"TRIANGULATED_SURFACE_SET"
            | b"COMPLEX_TRIANGULATED_SURFACE_SET"
    )
}
