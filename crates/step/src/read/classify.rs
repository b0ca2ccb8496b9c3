//! One pass over all instances: which of them play a part in shape.

use crate::brep::EntityId;
use crate::part21::{Entity, Part21};

/// Instances by role, in the order of the file.
#[derive(Debug, Default)]
pub(super) struct Roles {
    /// Representation contexts with units.
    pub contexts: Vec<EntityId>,
    /// Shape representations of all kinds.
    pub shape_representations: Vec<EntityId>,
    /// Product (or property) to representation.
    pub shape_definitions: Vec<EntityId>,
    /// Links between representations, with or without transformation.
    pub relationships: Vec<EntityId>,
    /// Links from those with transformation to assembly usages.
    pub placed_usages: Vec<EntityId>,
    /// Assembly usages.
    pub usages: Vec<EntityId>,
    /// Exact solids and surface models.
    pub solids: Vec<EntityId>,
    /// Property definitions.
    pub properties: Vec<EntityId>,
    /// Property to representation.
    pub property_representations: Vec<EntityId>,
    /// Links from shape aspects to single items of geometry.
    pub item_usages: Vec<EntityId>,
    /// Faces with a surface.
    pub faces: Vec<EntityId>,
}

impl Roles {
    pub fn of(file: &Part21<'_>) -> Self {
        let mut roles = Roles::default();
        for entity in file.iter() {
            if entity.is_complex() {
                roles.add_complex(&entity);
            } else {
                roles.add(entity.keyword(), entity.id);
            }
        }
        roles
    }

    fn add(&mut self, keyword: &[u8], id: EntityId) {
        match keyword {
            b"ADVANCED_FACE" | b"FACE_SURFACE" => self.faces.push(id),
            b"SHAPE_DEFINITION_REPRESENTATION" => self.shape_definitions.push(id),
            b"SHAPE_REPRESENTATION_RELATIONSHIP" | b"REPRESENTATION_RELATIONSHIP" => {
                self.relationships.push(id);
            }
            b"CONTEXT_DEPENDENT_SHAPE_REPRESENTATION" => self.placed_usages.push(id),
            b"NEXT_ASSEMBLY_USAGE_OCCURRENCE" => self.usages.push(id),
            b"PROPERTY_DEFINITION" => self.properties.push(id),
            b"PROPERTY_DEFINITION_REPRESENTATION" => self.property_representations.push(id),
            b"GEOMETRIC_ITEM_SPECIFIC_USAGE" => self.item_usages.push(id),
            _ if is_exact_item(keyword) => self.solids.push(id),
            _ if is_shape_representation(keyword) => self.shape_representations.push(id),
            _ => {}
        }
    }

    fn add_complex(&mut self, entity: &Entity<'_>) {
        let id = entity.id;
        let mut face = false;
        let mut solid = false;
        let mut representation = false;
        let mut drawing = false;
        for leaf in entity.leaves() {
            match leaf.keyword {
                b"GLOBAL_UNIT_ASSIGNED_CONTEXT" => self.contexts.push(id),
                b"REPRESENTATION_RELATIONSHIP" => self.relationships.push(id),
                b"NEXT_ASSEMBLY_USAGE_OCCURRENCE" => self.usages.push(id),
                b"FACE_SURFACE" => face = true,
                keyword if is_exact_item(keyword) => solid = true,
                keyword if is_shape_representation(keyword) => representation = true,
                keyword if is_drawing(keyword) => drawing = true,
                _ => {}
            }
        }
        if face {
            self.faces.push(id);
        }
        if solid {
            self.solids.push(id);
        }
        if representation && !drawing {
            self.shape_representations.push(id);
        }
    }
}

/// Names of representations that hold the shape of a product. Supplemental geometry
/// (CONSTRUCTIVE_GEOMETRY_REPRESENTATION) and drawings (DRAUGHTING_MODEL) are not among them.
pub(super) fn is_shape_representation(keyword: &[u8]) -> bool {
    keyword.ends_with(b"SHAPE_REPRESENTATION")
        && keyword != b"CONTEXT_DEPENDENT_SHAPE_REPRESENTATION"
}

/// Names of representations that hold views, annotation or construction geometry. Some systems
/// make one instance a drawing and a shape representation at once; its solids are copies.
pub(super) fn is_drawing(keyword: &[u8]) -> bool {
    keyword == b"CONSTRUCTIVE_GEOMETRY_REPRESENTATION"
        || keyword.ends_with(b"DRAUGHTING_MODEL")
        || keyword.ends_with(b"PRESENTATION_REPRESENTATION")
}

/// Exact solids and surface models.
pub(super) fn is_exact_item(keyword: &[u8]) -> bool {
    matches!(
        keyword,
        b"MANIFOLD_SOLID_BREP"
            | b"BREP_WITH_VOIDS"
            | b"FACETED_BREP"
            | b"SHELL_BASED_SURFACE_MODEL"
            | b"FACE_BASED_SURFACE_MODEL"
            | b"SOLID_REPLICA"
            | b"EXTRUDED_AREA_SOLID"
            | b"REVOLVED_AREA_SOLID"
    )
}

/// Solids made by operations rather than by faces; nobody writes them into these protocols, and
/// they are named rather than passed over.
pub(super) fn is_constructive(keyword: &[u8]) -> bool {
    matches!(
        keyword,
        b"CSG_SOLID"
            | b"BOOLEAN_RESULT"
            | b"EXTRUDED_FACE_SOLID"
            | b"REVOLVED_FACE_SOLID"
            | b"SWEPT_DISK_SOLID"
            | b"HALF_SPACE_SOLID"
            | b"BLOCK"
            | b"RIGHT_ANGULAR_WEDGE"
            | b"RIGHT_CIRCULAR_CYLINDER"
            | b"RIGHT_CIRCULAR_CONE"
            | b"SPHERE"
            | b"TORUS"
    )
}
