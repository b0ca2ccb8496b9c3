//! Boundaries of faces.

use super::fields::{Outcome, Trouble};
use super::topology::Topology;
use crate::brep::{EdgeUse, EntityId, Loop};

impl Topology<'_, '_, '_, '_> {
    /// One `FACE_BOUND`, its orientation applied, and whether the file calls it outer.
    pub fn bound(&mut self, id: EntityId, flip: bool) -> Outcome<(Loop, bool)> {
        let reader = self.reader();
        let entity = reader.entity(id)?;
        let outer = entity.is("FACE_OUTER_BOUND");
        if !outer && !entity.is("FACE_BOUND") {
            return Err(Trouble::of(&entity, "expected a FACE_BOUND"));
        }
        let mut fields = reader.fields(entity, &["REPRESENTATION_ITEM", "FACE_BOUND"])?;
        let inner = fields.skip(1)?.reference()?;
        let reverse = fields.logical(true)? == flip;
        Ok((self.boundary(inner, reverse)?, outer))
    }

    fn boundary(&mut self, id: EntityId, reverse: bool) -> Outcome<Loop> {
        let reader = self.reader();
        let entity = reader.entity(id)?;
        if entity.is("EDGE_LOOP") {
            let mut fields = reader.fields(entity, &["REPRESENTATION_ITEM", "PATH"])?;
            let mut uses = Vec::new();
            for edge in fields.skip(1)?.references()? {
                let (edge, forward) = match self.edge(edge, 0) {
                    Ok(found) => found,
                    // Nothing is lost with an edge of no length, whatever its curve.
                    Err(_) if self.is_point(edge, 0) => continue,
                    Err(trouble) => return Err(trouble),
                };
                uses.push(EdgeUse {
                    edge,
                    forward: forward ^ reverse,
                });
            }
            if uses.is_empty() {
                return Err(fields.fail("a loop without edges"));
            }
            if reverse {
                uses.reverse();
            }
            return Ok(Loop::Edges(uses));
        }
        if entity.is("POLY_LOOP") {
            let mut fields = reader.fields(entity, &["REPRESENTATION_ITEM", "POLY_LOOP"])?;
            let mut corners = Vec::new();
            for point in fields.skip(1)?.references()? {
                let corner = self.vertex(point)?;
                if corners.last() != Some(&corner) {
                    corners.push(corner);
                }
            }
            if corners.len() > 1 && corners.first() == corners.last() {
                corners.pop();
            }
            if corners.len() < 3 {
                return Err(fields.fail("a polygon of fewer than three points"));
            }
            if reverse {
                corners.reverse();
            }
            return Ok(Loop::Poly(corners));
        }
        if entity.is("VERTEX_LOOP") {
            let mut fields = reader.fields(entity, &["REPRESENTATION_ITEM", "VERTEX_LOOP"])?;
            let vertex = fields.skip(1)?.reference()?;
            return Ok(Loop::Vertex(self.vertex(vertex)?));
        }
        Err(Trouble::of(&entity, "is not a boundary this reader knows"))
    }
}
