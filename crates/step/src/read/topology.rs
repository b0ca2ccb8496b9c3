//! Shells, faces and edges: one table of vertices and edges for each solid.

use glam::DVec3;

use super::fields::{Outcome, Trouble};
use super::placement::{Geometry, frame_from};
use super::reader::{MAX_DEPTH, Reader};
use crate::brep::{Curve, Edge, EntityId, Face, Loop, Surface};
use crate::part21::Entity;

const NONE: u32 = u32::MAX;

/// Vertices, edges and faces of one solid while it is built.
#[derive(Debug, Default)]
pub(super) struct Parts {
    pub vertices: Vec<DVec3>,
    pub edges: Vec<Edge>,
    pub faces: Vec<Face>,
    /// Faces that could not be read.
    pub lost_faces: Vec<EntityId>,
}

/// Which vertex, edge or face of the solid an instance has become. One table for all solids of a
/// file (an instance is only one of the three); what a solid touched is cleared after it.
pub(super) struct Slots {
    slots: Vec<u32>,
    touched: Vec<usize>,
}

impl Slots {
    pub fn new(instances: usize) -> Self {
        Slots {
            slots: vec![NONE; instances],
            touched: Vec::new(),
        }
    }

    pub fn get(&self, place: usize) -> Option<usize> {
        match self.slots.get(place) {
            Some(&slot) if slot != NONE => Some(slot as usize),
            _ => None,
        }
    }

    pub fn set(&mut self, place: usize, value: usize) {
        self.slots[place] = value as u32;
        self.touched.push(place);
    }

    pub fn clear(&mut self) {
        for place in self.touched.drain(..) {
            self.slots[place] = NONE;
        }
    }
}

/// Builds one solid.
pub(super) struct Topology<'t, 'g, 'r, 'a> {
    pub geometry: Geometry<'g, 'r, 'a>,
    pub slots: &'t mut Slots,
    pub parts: Parts,
}

impl<'g, 'r, 'a> Topology<'_, 'g, 'r, 'a> {
    pub fn reader(&self) -> &'g Reader<'r, 'a> {
        self.geometry.reader
    }

    /// Adds all faces of a shell; `flip` turns them over.
    pub fn shell(&mut self, id: EntityId, flip: bool, depth: usize) -> Outcome<()> {
        let entity = self.reader().entity(id)?;
        if depth > MAX_DEPTH {
            return Err(Trouble::of(
                &entity,
                "shells refer to each other in a circle",
            ));
        }
        let oriented = ["ORIENTED_CLOSED_SHELL", "ORIENTED_OPEN_SHELL"]
            .into_iter()
            .find(|k| entity.is(k));
        if let Some(own) = oriented {
            let mut fields = self
                .reader()
                .fields(entity, &["REPRESENTATION_ITEM", "CONNECTED_FACE_SET", own])?;
            let element = fields.skip(2)?.reference()?;
            let same = fields.logical(true)?;
            return self.shell(element, flip ^ !same, depth + 1);
        }
        let mut fields = self
            .reader()
            .fields(entity, &["REPRESENTATION_ITEM", "CONNECTED_FACE_SET"])?;
        for face in fields.skip(1)?.references()? {
            if self.reader().is_cancelled() {
                return Ok(());
            }
            self.add_face(face, flip);
        }
        Ok(())
    }

    /// Adds one face, or says why not.
    pub fn add_face(&mut self, id: EntityId, flip: bool) {
        if let Some(place) = self.reader().file.place(id) {
            if self.slots.get(place).is_some() {
                let entity = self.reader().file.get(id);
                if let Some(entity) = entity {
                    self.reader().reserve(
                        &entity,
                        "stands twice in its solid and counts once".into(),
                        false,
                    );
                }
                return;
            }
            self.slots.set(place, self.parts.faces.len());
        }
        match self.face(id, flip, 0) {
            Ok(face) => self.parts.faces.push(face),
            Err(trouble) => {
                self.parts.lost_faces.push(id);
                self.reader()
                    .trouble(trouble, &format!("face #{id} is missing"), true);
            }
        }
    }

    fn face(&mut self, id: EntityId, flip: bool, depth: usize) -> Outcome<Face> {
        let entity = self.reader().entity(id)?;
        if depth > MAX_DEPTH {
            return Err(Trouble::of(
                &entity,
                "faces refer to each other in a circle",
            ));
        }
        if entity.is("ORIENTED_FACE") {
            let mut fields = self
                .reader()
                .fields(entity, &["REPRESENTATION_ITEM", "FACE", "ORIENTED_FACE"])?;
            let element = fields.skip(2)?.reference()?;
            let same = fields.logical(true)?;
            return self.face(element, flip ^ !same, depth + 1);
        }
        let mut chain = vec!["REPRESENTATION_ITEM", "FACE"];
        let surfaced = entity.is("ADVANCED_FACE") || entity.is("FACE_SURFACE");
        if surfaced {
            chain.push("FACE_SURFACE");
        } else if entity.is("SUBFACE") {
            chain.push("SUBFACE");
        } else if !entity.is("FACE") {
            return Err(Trouble::of(&entity, "is not a face this reader knows"));
        }
        let mut fields = self.reader().fields(entity, &chain)?;
        let bounds = fields.skip(1)?.references()?;
        // The surface first: an unknown one is the more telling message.
        let stated = if surfaced {
            let surface = self.geometry.surface(fields.reference()?, 0)?;
            Some((surface, fields.logical(true)?))
        } else if entity.is("SUBFACE") {
            Some(self.parent_surface(fields.reference()?, depth)?)
        } else {
            None
        };
        let mut loops = Vec::with_capacity(bounds.len());
        let mut outer = None;
        for bound in bounds {
            let (boundary, is_outer) = self.bound(bound, flip)?;
            if is_outer && outer.is_none() {
                outer = Some(loops.len());
            }
            loops.push(boundary);
        }
        let (surface, same_sense) = match stated {
            Some((surface, same_sense)) => (surface, same_sense ^ flip),
            None => (self.plane_of(&entity, &loops)?, true),
        };
        Ok(Face {
            id,
            surface,
            same_sense,
            loops,
            outer,
        })
    }

    /// Surface and sense of the face that a subface is cut from.
    fn parent_surface(&mut self, id: EntityId, depth: usize) -> Outcome<(Surface, bool)> {
        let entity = self.reader().entity(id)?;
        if depth > MAX_DEPTH {
            return Err(Trouble::of(
                &entity,
                "faces refer to each other in a circle",
            ));
        }
        if entity.is("SUBFACE") {
            let mut fields = self
                .reader()
                .fields(entity, &["REPRESENTATION_ITEM", "FACE", "SUBFACE"])?;
            let parent = fields.skip(2)?.reference()?;
            return self.parent_surface(parent, depth + 1);
        }
        let mut fields = self
            .reader()
            .fields(entity, &["REPRESENTATION_ITEM", "FACE", "FACE_SURFACE"])?;
        let surface = self.geometry.surface(fields.skip(2)?.reference()?, 0)?;
        Ok((surface, fields.logical(true)?))
    }

    /// A bare `FACE` lies in the plane of its boundaries (Newell's normal).
    fn plane_of(&self, entity: &Entity<'a>, loops: &[Loop]) -> Outcome<Surface> {
        let mut normal = DVec3::ZERO;
        let mut origin = None;
        for boundary in loops {
            let corners: Vec<usize> = match boundary {
                Loop::Poly(corners) => corners.clone(),
                Loop::Vertex(corner) => vec![*corner],
                Loop::Edges(uses) => uses
                    .iter()
                    .map(|u| {
                        let edge = &self.parts.edges[u.edge];
                        if u.forward { edge.start } else { edge.end }
                    })
                    .collect(),
            };
            let first = self.parts.vertices[corners[0]];
            origin.get_or_insert(first);
            for pair in corners.windows(2) {
                let (a, b) = (
                    self.parts.vertices[pair[0]] - first,
                    self.parts.vertices[pair[1]] - first,
                );
                normal += a.cross(b);
            }
        }
        match (origin, normal.try_normalize()) {
            (Some(origin), Some(normal)) => Ok(Surface::Plane {
                frame: frame_from(origin, Some(normal), None),
            }),
            _ => Err(Trouble::of(
                entity,
                "a face without surface whose boundary has no plane",
            )),
        }
    }

    /// Index of a vertex: a `VERTEX_POINT`, or a `CARTESIAN_POINT` of a poly loop.
    pub fn vertex(&mut self, id: EntityId) -> Outcome<usize> {
        let reader = self.reader();
        let entity = reader.entity(id)?;
        let place = reader.file.place(id).unwrap_or(usize::MAX);
        if let Some(index) = self.slots.get(place) {
            return Ok(index);
        }
        let position = if entity.is("CARTESIAN_POINT") {
            self.geometry.point(id)?
        } else if entity.is("VERTEX_POINT") {
            let mut fields = reader.fields(entity, &["REPRESENTATION_ITEM", "VERTEX_POINT"])?;
            self.geometry.point(fields.skip(1)?.reference()?)?
        } else {
            return Err(Trouble::of(&entity, "is not a vertex with a point"));
        };
        let index = self.parts.vertices.len();
        self.parts.vertices.push(position);
        self.slots.set(place, index);
        Ok(index)
    }

    /// Index of an edge and whether it runs as it was asked for; oriented edges are looked through.
    pub fn edge(&mut self, id: EntityId, depth: usize) -> Outcome<(usize, bool)> {
        let reader = self.reader();
        let entity = reader.entity(id)?;
        if depth > MAX_DEPTH {
            return Err(Trouble::of(
                &entity,
                "edges refer to each other in a circle",
            ));
        }
        if entity.is("ORIENTED_EDGE") {
            let mut fields =
                reader.fields(entity, &["REPRESENTATION_ITEM", "EDGE", "ORIENTED_EDGE"])?;
            let element = fields.skip(3)?.reference()?;
            let same = fields.logical(true)?;
            let (edge, forward) = self.edge(element, depth + 1)?;
            return Ok((edge, forward == same));
        }
        let place = reader.file.place(id).unwrap_or(usize::MAX);
        if let Some(index) = self.slots.get(place) {
            return Ok((index, true));
        }
        let own = ["EDGE_CURVE", "SUBEDGE"].into_iter().find(|k| entity.is(k));
        let mut chain = vec!["REPRESENTATION_ITEM", "EDGE"];
        chain.extend(own);
        if own.is_none() && !entity.is("EDGE") {
            return Err(Trouble::of(&entity, "is not an edge this reader knows"));
        }
        let mut fields = reader.fields(entity, &chain)?;
        let start = self.vertex(fields.skip(1)?.reference()?)?;
        let end = self.vertex(fields.reference()?)?;
        let (curve, same_sense) = match own {
            Some("EDGE_CURVE") => {
                let ends = [start, end].map(|v| self.parts.vertices[v]);
                let curve = self.geometry.edge_curve(fields.reference()?, ends)?;
                (curve, fields.logical(true)?)
            }
            Some(_) => self.parent_curve(fields.reference()?, depth + 1)?,
            None => {
                let (a, b) = (self.parts.vertices[start], self.parts.vertices[end]);
                if a == b {
                    return Err(fields.fail("an edge without curve between one point"));
                }
                (
                    Curve::Line {
                        origin: a,
                        direction: b - a,
                    },
                    true,
                )
            }
        };
        let index = self.parts.edges.len();
        self.parts.edges.push(Edge {
            id,
            curve,
            start,
            end,
            same_sense,
        });
        self.slots.set(place, index);
        Ok((index, true))
    }

    /// True for an edge that begins and ends in one place. Systems write them at poles, with
    /// vectors of length zero or without a curve.
    pub fn is_point(&mut self, id: EntityId, depth: usize) -> bool {
        let mut ends = || -> Outcome<bool> {
            let reader = self.geometry.reader;
            let entity = reader.entity(id)?;
            if entity.is("ORIENTED_EDGE") && depth < MAX_DEPTH {
                let mut fields =
                    reader.fields(entity, &["REPRESENTATION_ITEM", "EDGE", "ORIENTED_EDGE"])?;
                let element = fields.skip(3)?.reference()?;
                return Ok(self.is_point(element, depth + 1));
            }
            if !entity.is("EDGE_CURVE") {
                return Ok(false);
            }
            let mut fields =
                reader.fields(entity, &["REPRESENTATION_ITEM", "EDGE", "EDGE_CURVE"])?;
            let (start, end) = (fields.skip(1)?.reference()?, fields.reference()?);
            if start != end {
                let (start, end) = (self.vertex(start)?, self.vertex(end)?);
                return Ok(self.parts.vertices[start] == self.parts.vertices[end]);
            }
            // A closed edge has length unless its line has none.
            let curve = reader.entity(fields.reference()?)?;
            Ok(curve.is("LINE"))
        };
        ends().unwrap_or(false)
    }

    /// Curve and sense of the edge that a subedge is cut from.
    fn parent_curve(&mut self, id: EntityId, depth: usize) -> Outcome<(Curve, bool)> {
        let (edge, forward) = self.edge(id, depth)?;
        let edge = &self.parts.edges[edge];
        Ok((edge.curve.clone(), edge.same_sense == forward))
    }
}
