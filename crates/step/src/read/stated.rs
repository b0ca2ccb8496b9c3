//! Geometric validation properties: volume, area and centroid that the writing system computed.
//! (CAx-IF recommended practices for geometric and assembly validation properties.)

use std::collections::BTreeMap;

use super::classify::Roles;
use super::fields::Outcome;
use super::placement::Geometry;
use super::products::{Products, is_product_definition, representation_fields};
use super::reader::Reader;
use super::units::{Contexts, UnitKind, read_unit};
use crate::brep::{EntityId, Solid, StatedProperties, StatedTotal};

/// Attaches stated properties to solids: those of a product to its only solid, those of a single
/// item to that item. Those of a product of several solids are returned.
pub(super) fn attach(
    reader: &Reader<'_, '_>,
    roles: &Roles,
    contexts: &Contexts,
    products: &Products,
    solids_of_product: &BTreeMap<EntityId, Vec<usize>>,
    solids: &mut [Solid],
) -> Vec<StatedTotal> {
    let mut totals: BTreeMap<EntityId, StatedTotal> = BTreeMap::new();
    let mut representations: BTreeMap<EntityId, Vec<EntityId>> = BTreeMap::new();
    for id in &roles.property_representations {
        if let Ok((property, representation)) = pair(reader, *id) {
            representations
                .entry(property)
                .or_default()
                .push(representation);
        }
    }
    for id in &roles.properties {
        let Ok(Some(definition)) = validated(reader, *id) else {
            continue;
        };
        let product = product_behind(reader, definition);
        let several = product.and_then(|p| solids_of_product.get_key_value(&p));
        let stated = match several {
            Some((_, list)) if list.len() == 1 => &mut solids[list[0]].stated,
            Some((product, list)) => {
                let total = totals.entry(*product).or_insert_with(|| StatedTotal {
                    product: *product,
                    solids: list.clone(),
                    stated: StatedProperties::default(),
                });
                &mut total.stated
            }
            None => match item_behind(reader, roles, definition, solids) {
                Some(solid) => &mut solids[solid].stated,
                None => continue,
            },
        };
        for representation in representations.get(id).map_or(&[][..], Vec::as_slice) {
            if let Err(trouble) = read_values(reader, contexts, *representation, stated) {
                reader.trouble(trouble, "this stated property is not compared", false);
            }
        }
    }
    // An assembly that shows one product twice states values of the product, not of the sum: right
    // as it is. Products without any representation have nothing to compare.
    debug_assert!(products.representations.len() >= solids_of_product.len());
    totals.into_values().collect()
}

fn pair(reader: &Reader<'_, '_>, id: EntityId) -> Outcome<(EntityId, EntityId)> {
    let mut fields = reader.fields(reader.entity(id)?, &["PROPERTY_DEFINITION_REPRESENTATION"])?;
    Ok((fields.reference()?, fields.reference()?))
}

/// What a `geometric validation property` is about.
fn validated(reader: &Reader<'_, '_>, id: EntityId) -> Outcome<Option<EntityId>> {
    let mut fields = reader.fields(reader.entity(id)?, &["PROPERTY_DEFINITION"])?;
    let name = fields.text()?.to_lowercase();
    let definition = fields.skip(1)?.reference()?;
    Ok((name == "geometric validation property").then_some(definition))
}

fn product_behind(reader: &Reader<'_, '_>, definition: EntityId) -> Option<EntityId> {
    let entity = reader.file.get(definition)?;
    if is_product_definition(&entity) {
        return Some(definition);
    }
    if !entity.is("PRODUCT_DEFINITION_SHAPE") {
        return None;
    }
    let mut fields = reader.fields(entity, &["PROPERTY_DEFINITION"]).ok()?;
    let product = fields.skip(2).ok()?.reference().ok()?;
    reader
        .file
        .get(product)
        .filter(is_product_definition)
        .map(|_| product)
}

/// The solid that a shape aspect points to by `GEOMETRIC_ITEM_SPECIFIC_USAGE`.
fn item_behind(
    reader: &Reader<'_, '_>,
    roles: &Roles,
    definition: EntityId,
    solids: &[Solid],
) -> Option<usize> {
    roles.item_usages.iter().find_map(|id| {
        let mut fields = reader
            .fields(
                reader.entity(*id).ok()?,
                &["ITEM_IDENTIFIED_REPRESENTATION_USAGE"],
            )
            .ok()?;
        let about = fields.skip(2).ok()?.reference().ok()?;
        let item = fields.skip(1).ok()?.reference().ok()?;
        (about == definition).then(|| solids.iter().position(|s| s.id == item))?
    })
}

fn read_values(
    reader: &Reader<'_, '_>,
    contexts: &Contexts,
    representation: EntityId,
    stated: &mut StatedProperties,
) -> Outcome<()> {
    let mut fields = representation_fields(reader, representation)?;
    let items = fields.skip(1)?.references()?;
    let context = fields.optional_reference()?;
    for id in items {
        let item = reader.entity(id)?;
        if item.is("CARTESIAN_POINT") {
            let geometry = Geometry {
                reader,
                scale: contexts.scale(context),
            };
            stated.centroid_mm = Some(geometry.point(id)?);
            continue;
        }
        if !item.is("MEASURE_REPRESENTATION_ITEM") {
            continue;
        }
        let mut fields = reader.fields(item, &["REPRESENTATION_ITEM", "MEASURE_WITH_UNIT"])?;
        let name = fields.text()?.to_lowercase();
        let value = fields.real()?;
        let unit = read_unit(reader, fields.reference()?, 0)?;
        // Named volume and area units give no length; their base is not known here.
        let UnitKind::Power(power) = unit.kind else {
            continue;
        };
        if power == 3.0 && name.contains("volume") {
            stated.volume_mm3 = Some(value * unit.factor);
        } else if power == 2.0 && name.contains("area") {
            stated.area_mm2 = Some(value * unit.factor);
        }
    }
    Ok(())
}
