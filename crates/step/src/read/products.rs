//! Product structure: which representation shows which product, and what is assembled from what.

use std::collections::{BTreeMap, BTreeSet};

use super::classify::{Roles, is_drawing, is_shape_representation};
use super::fields::{Fields, Outcome, Trouble};
use super::reader::Reader;
use crate::brep::EntityId;
use crate::part21::Entity;

/// A link between two representations.
#[derive(Clone, Copy, Debug)]
pub(super) struct Link {
    pub rep_1: EntityId,
    pub rep_2: EntityId,
    /// `ITEM_DEFINED_TRANSFORMATION` or operator; `None` when both share their coordinates.
    pub transformation: Option<EntityId>,
}

/// One use of a product in another.
#[derive(Clone, Copy, Debug)]
pub(super) struct Usage {
    pub id: EntityId,
    pub child: EntityId,
}

/// Everything a file says about products.
#[derive(Debug, Default)]
pub(super) struct Products {
    /// Representations of each product definition.
    pub representations: BTreeMap<EntityId, Vec<EntityId>>,
    /// Product definition of each representation that shows one.
    pub product_of: BTreeMap<EntityId, EntityId>,
    /// Usages under each product definition.
    pub usages: BTreeMap<EntityId, Vec<Usage>>,
    /// Product definitions that are used in another.
    pub used: BTreeSet<EntityId>,
    /// Where a usage places its product.
    pub placement_of_usage: BTreeMap<EntityId, Link>,
    /// Representations in the same coordinates, both ways.
    pub same: BTreeMap<EntityId, Vec<EntityId>>,
    /// Links with transformation that no usage speaks for, by the representation they lead into.
    pub placed_in: BTreeMap<EntityId, Vec<Link>>,
    /// Representations that such links place elsewhere.
    pub placed: BTreeSet<EntityId>,
}

impl Products {
    pub fn read(reader: &Reader<'_, '_>, roles: &Roles) -> Self {
        let mut products = Products::default();
        let strict = roles.shape_definitions.iter().map(|id| (id, true));
        let loose = roles.property_representations.iter().map(|id| (id, false));
        for (id, strict) in strict.chain(loose) {
            match shape_of_product(reader, *id) {
                Ok(Some((product, representation))) => {
                    products
                        .representations
                        .entry(product)
                        .or_default()
                        .push(representation);
                    products.product_of.entry(representation).or_insert(product);
                }
                Err(trouble) if strict => {
                    reader.trouble(trouble, "the link from product to shape is lost", false);
                }
                Ok(None) | Err(_) => {}
            }
        }
        for id in &roles.usages {
            match usage(reader, *id) {
                Ok((parent, child)) => {
                    products
                        .usages
                        .entry(parent)
                        .or_default()
                        .push(Usage { id: *id, child });
                    products.used.insert(child);
                }
                Err(trouble) => reader.trouble(trouble, "this use of a part is missing", true),
            }
        }
        let mut spoken_for = BTreeSet::new();
        for id in &roles.placed_usages {
            match placed_usage(reader, *id) {
                Ok((relationship, usage)) => {
                    spoken_for.insert(relationship);
                    match link(reader, relationship) {
                        Ok(link) => {
                            products.placement_of_usage.entry(usage).or_insert(link);
                        }
                        Err(trouble) => reader.trouble(trouble, "this part stands unmoved", true),
                    }
                }
                Err(trouble) => reader.trouble(trouble, "the placement of a part is lost", true),
            }
        }
        for id in roles
            .relationships
            .iter()
            .filter(|id| !spoken_for.contains(id))
        {
            if let Ok(link) = link(reader, *id) {
                products.add_link(reader, link);
            }
        }
        products
    }

    fn add_link(&mut self, reader: &Reader<'_, '_>, link: Link) {
        let shape = |id| reader.file.get(id).is_some_and(|entity| is_shape(&entity));
        // Links into drawings, property lists or supplemental geometry lead to no part.
        if link.rep_1 == link.rep_2 || !shape(link.rep_1) || !shape(link.rep_2) {
            return;
        }
        if link.transformation.is_some() {
            self.placed_in.entry(link.rep_2).or_default().push(link);
            self.placed.insert(link.rep_1);
        } else {
            self.same.entry(link.rep_1).or_default().push(link.rep_2);
            self.same.entry(link.rep_2).or_default().push(link.rep_1);
        }
    }
}

/// True for the representations that hold shape of products.
pub(super) fn is_shape(entity: &Entity<'_>) -> bool {
    entity
        .leaves()
        .any(|leaf| is_shape_representation(leaf.keyword))
        && !entity.leaves().any(|leaf| is_drawing(leaf.keyword))
}

/// Attributes `name, items, context` of a representation.
pub(super) fn representation_fields<'a>(
    reader: &Reader<'_, 'a>,
    id: EntityId,
) -> Outcome<Fields<'a>> {
    reader.fields(reader.entity(id)?, &["REPRESENTATION"])
}

/// `SHAPE_DEFINITION_REPRESENTATION`: product definition and representation, when the shape is
/// that of a whole product.
fn shape_of_product(
    reader: &Reader<'_, '_>,
    id: EntityId,
) -> Outcome<Option<(EntityId, EntityId)>> {
    let mut fields = reader.fields(reader.entity(id)?, &["PROPERTY_DEFINITION_REPRESENTATION"])?;
    let definition = reader.entity(fields.reference()?)?;
    let representation = fields.reference()?;
    if !definition.is("PRODUCT_DEFINITION_SHAPE") || !is_shape(&reader.entity(representation)?) {
        return Ok(None);
    }
    let mut fields = reader.fields(definition, &["PROPERTY_DEFINITION"])?;
    let product = reader.entity(fields.skip(2)?.reference()?)?;
    Ok(is_product_definition(&product).then_some((product.id, representation)))
}

pub(super) fn is_product_definition(entity: &Entity<'_>) -> bool {
    entity.is("PRODUCT_DEFINITION") || entity.is("PRODUCT_DEFINITION_WITH_ASSOCIATED_DOCUMENTS")
}

/// `NEXT_ASSEMBLY_USAGE_OCCURRENCE`: parent and child.
fn usage(reader: &Reader<'_, '_>, id: EntityId) -> Outcome<(EntityId, EntityId)> {
    let entity = reader.entity(id)?;
    let mut fields = reader.fields(entity, &["PRODUCT_DEFINITION_RELATIONSHIP"])?;
    let parent = fields.skip(3)?.reference()?;
    let child = fields.reference()?;
    if parent == child {
        return Err(Trouble::of(
            &entity,
            "a product is said to be part of itself",
        ));
    }
    Ok((parent, child))
}

/// `CONTEXT_DEPENDENT_SHAPE_REPRESENTATION`: relationship and usage.
fn placed_usage(reader: &Reader<'_, '_>, id: EntityId) -> Outcome<(EntityId, EntityId)> {
    let mut fields = reader.fields(
        reader.entity(id)?,
        &["CONTEXT_DEPENDENT_SHAPE_REPRESENTATION"],
    )?;
    let relationship = fields.reference()?;
    let shape = reader.entity(fields.reference()?)?;
    let mut fields = reader.fields(shape, &["PROPERTY_DEFINITION"])?;
    Ok((relationship, fields.skip(2)?.reference()?))
}

/// A representation relationship, with or without transformation.
fn link(reader: &Reader<'_, '_>, id: EntityId) -> Outcome<Link> {
    let entity = reader.entity(id)?;
    let transformed = entity.is("REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION");
    let mut chain = vec!["REPRESENTATION_RELATIONSHIP"];
    if transformed {
        chain.push("REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION");
    }
    let mut fields = reader.fields(entity, &chain)?;
    let rep_1 = fields.skip(2)?.reference()?;
    let rep_2 = fields.reference()?;
    let transformation = if transformed {
        Some(fields.reference()?)
    } else {
        None
    };
    Ok(Link {
        rep_1,
        rep_2,
        transformation,
    })
}

/// Name of a product by its definition; empty when the path to it is broken.
pub(super) fn product_name(reader: &Reader<'_, '_>, definition: EntityId) -> String {
    let name = || -> Outcome<String> {
        let mut definition = reader.fields(reader.entity(definition)?, &["PRODUCT_DEFINITION"])?;
        let formation = definition.skip(2)?.reference()?;
        let mut formation =
            reader.fields(reader.entity(formation)?, &["PRODUCT_DEFINITION_FORMATION"])?;
        let product = formation.skip(2)?.reference()?;
        let mut product = reader.fields(reader.entity(product)?, &["PRODUCT"])?;
        let id = product.text()?;
        let name = product.text()?;
        Ok(if name.trim().is_empty() { id } else { name })
    };
    name().unwrap_or_default()
}
