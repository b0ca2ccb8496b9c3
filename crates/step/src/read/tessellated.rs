//! AP242 tessellated geometry, for products that have no exact shape.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::rc::Rc;

use glam::{DMat4, DVec3};

use super::fields::{Fields, Outcome, Trouble};
use super::occurrences::Occurrences;
use super::placement::{Geometry, matrix};
use super::reader::{MAX_DEPTH, Reader};
use super::units::Contexts;
use super::winding;
use crate::brep::{EntityId, TessellatedSolid};
use crate::part21::{Args, Entity};

/// Reads all tessellated items whose product is not in `exact_products`.
pub(super) fn read(
    reader: &Reader<'_, '_>,
    contexts: &Contexts,
    found: &Occurrences,
    exact_products: &BTreeSet<EntityId>,
) -> Vec<TessellatedSolid> {
    let mut all = Vec::new();
    let mut lists = BTreeMap::new();
    for (id, occurrence) in &found.tessellated {
        let covered = match occurrence.product {
            Some(product) => exact_products.contains(&product),
            None => !found.exact.is_empty(),
        };
        if covered || reader.is_cancelled() {
            continue;
        }
        let geometry = Geometry {
            reader,
            scale: contexts.scale(occurrence.context),
        };
        let mut mesh = Mesh {
            geometry,
            lists: &mut lists,
            welded: HashMap::new(),
            solid: TessellatedSolid {
                id: *id,
                name: occurrence.name.clone(),
                vertices: Vec::new(),
                triangles: Vec::new(),
                face_of_triangle: Vec::new(),
                placements: occurrence.placements.clone(),
            },
            faces: 0,
        };
        if let Err(trouble) = mesh.item(*id, 0) {
            reader.trouble(trouble, &format!("tessellated #{id} is incomplete"), true);
        }
        let mut solid = mesh.solid;
        if solid.triangles.is_empty() {
            continue;
        }
        let turned = winding::agree(&solid.vertices, &mut solid.triangles);
        if turned > 0 {
            let trouble = Trouble::new(*id, "tessellated geometry", "some faces are inside out");
            reader.trouble(
                trouble,
                &format!("{turned} triangles were turned over"),
                false,
            );
        }
        all.push(solid);
    }
    all
}

struct Mesh<'m, 'g, 'r, 'a> {
    geometry: Geometry<'g, 'r, 'a>,
    /// Coordinate lists read so far; faces of a solid often share one.
    lists: &'m mut BTreeMap<EntityId, Rc<Vec<DVec3>>>,
    /// Vertices by the bits of their position: faces with lists of their own repeat the points of
    /// their common borders exactly.
    welded: HashMap<[u64; 3], u32>,
    solid: TessellatedSolid,
    faces: u32,
}

impl<'a> Mesh<'_, '_, '_, 'a> {
    fn item(&mut self, id: EntityId, depth: usize) -> Outcome<()> {
        let reader = self.geometry.reader;
        let entity = reader.entity(id)?;
        if depth > MAX_DEPTH {
            return Err(Trouble::of(
                &entity,
                "tessellated items refer to each other in a circle",
            ));
        }
        if depth == 0 && entity.is("REPOSITIONED_TESSELLATED_ITEM") {
            self.reposition(entity)?;
        }
        for own in ["TESSELLATED_SOLID", "TESSELLATED_SHELL"] {
            if entity.is(own) {
                let mut fields = reader.fields(entity, &["REPRESENTATION_ITEM", own])?;
                for face in fields.skip(1)?.references()? {
                    if let Err(trouble) = self.item(face, depth + 1) {
                        reader.trouble(trouble, &format!("face #{face} is missing"), true);
                    }
                }
                return Ok(());
            }
        }
        let face = entity.is("TRIANGULATED_FACE") || entity.is("COMPLEX_TRIANGULATED_FACE");
        let set =
            entity.is("TRIANGULATED_SURFACE_SET") || entity.is("COMPLEX_TRIANGULATED_SURFACE_SET");
        if !face && !set {
            return Err(Trouble::of(
                &entity,
                "is not a tessellated face this reader knows",
            ));
        }
        self.face(entity, face)
    }

    fn reposition(&mut self, entity: Entity<'a>) -> Outcome<()> {
        let reader = self.geometry.reader;
        let mut fields = reader.fields(entity, &["REPOSITIONED_TESSELLATED_ITEM"])?;
        let frame = self.geometry.frame(fields.reference()?)?;
        let here: DMat4 = matrix(&frame);
        self.solid
            .placements
            .iter_mut()
            .for_each(|placement| *placement *= here);
        Ok(())
    }

    /// A face has `geometric_link` between normals and point indices, a surface set has not.
    fn face(&mut self, entity: Entity<'a>, has_link: bool) -> Outcome<()> {
        let chain: &[&str] = match (
            has_link,
            entity.is("COMPLEX_TRIANGULATED_FACE") || entity.is("COMPLEX_TRIANGULATED_SURFACE_SET"),
        ) {
            (true, false) => &[
                "REPRESENTATION_ITEM",
                "TESSELLATED_FACE",
                "TRIANGULATED_FACE",
            ],
            (true, true) => &[
                "REPRESENTATION_ITEM",
                "TESSELLATED_FACE",
                "COMPLEX_TRIANGULATED_FACE",
            ],
            (false, false) => &[
                "REPRESENTATION_ITEM",
                "TESSELLATED_SURFACE_SET",
                "TRIANGULATED_SURFACE_SET",
            ],
            (false, true) => &[
                "REPRESENTATION_ITEM",
                "TESSELLATED_SURFACE_SET",
                "COMPLEX_TRIANGULATED_SURFACE_SET",
            ],
        };
        let mut fields = self.geometry.reader.fields(entity, chain)?;
        let points = self.coordinates(fields.skip(1)?.reference()?)?;
        // Number of points and normals are not needed.
        fields.skip(if has_link { 3 } else { 2 })?;
        let indices = fields.counts()?;
        let face = self.faces;
        self.faces += 1;
        let corner = |k: usize| -> Option<DVec3> {
            let k = k.checked_sub(1)?;
            let k = if indices.is_empty() {
                k
            } else {
                indices.get(k)?.checked_sub(1)?
            };
            points.get(k).copied()
        };
        let mut outside = 0;
        let mut add = |t: &[usize]| {
            let corners: Option<Vec<DVec3>> = t.iter().map(|k| corner(*k)).collect();
            match corners.as_deref() {
                Some(&[a, b, c]) => self.triangle(face, [a, b, c]),
                _ => outside += 1,
            }
        };
        if chain[2].starts_with("COMPLEX") {
            for strip in rows(&mut fields)? {
                for (k, t) in strip.windows(3).enumerate() {
                    // Every other triangle of a strip runs the other way round.
                    if k % 2 == 0 {
                        add(t)
                    } else {
                        add(&[t[1], t[0], t[2]])
                    }
                }
            }
            for fan in rows(&mut fields)? {
                for t in fan.windows(2).skip(1) {
                    add(&[fan[0], t[0], t[1]]);
                }
            }
        } else {
            for triangle in rows(&mut fields)? {
                add(&triangle);
            }
        }
        if outside > 0 {
            return Err(fields.fail(format!("{outside} triangles point at no vertex")));
        }
        Ok(())
    }

    fn triangle(&mut self, face: u32, corners: [DVec3; 3]) {
        let corners = corners.map(|p| {
            // + 0.0 makes one zero of the two.
            let key = p.to_array().map(|x| (x + 0.0).to_bits());
            *self.welded.entry(key).or_insert_with(|| {
                self.solid.vertices.push(p);
                (self.solid.vertices.len() - 1) as u32
            })
        });
        let [a, b, c] = corners;
        // Strips turn corners by repeating a point.
        if a != b && b != c && c != a {
            self.solid.triangles.push(corners);
            self.solid.face_of_triangle.push(face);
        }
    }

    fn coordinates(&mut self, id: EntityId) -> Outcome<Rc<Vec<DVec3>>> {
        if let Some(list) = self.lists.get(&id) {
            return Ok(Rc::clone(list));
        }
        let mut fields = self.geometry.reader.fields(
            self.geometry.reader.entity(id)?,
            &["REPRESENTATION_ITEM", "COORDINATES_LIST"],
        )?;
        let rows = fields
            .skip(2)?
            .rows(|mut row| Ok(DVec3::new(row.real()?, row.real()?, row.real()?)))?;
        let factor = self.geometry.scale.length_mm;
        let points: Vec<DVec3> = rows.into_iter().map(|p| p * factor).collect();
        if points.iter().any(|p| !p.is_finite()) {
            return Err(fields.fail("a point beyond all measure"));
        }
        let list = Rc::new(points);
        self.lists.insert(id, Rc::clone(&list));
        Ok(list)
    }
}

fn rows(fields: &mut Fields<'_>) -> Outcome<Vec<Vec<usize>>> {
    fields.rows(Args::counts)
}
