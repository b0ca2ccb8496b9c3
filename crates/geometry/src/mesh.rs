//! Triangles with shared corners: the one shape type the rest of the crate works on.

use crate::shells::of_bodies;
use glam::{DMat4, DVec3};
use std::collections::HashMap;
use std::sync::OnceLock;

/// A triangle mesh. Corners are counter-clockwise seen from outside.
///
/// Nothing is promised about soundness: see [`crate::measure`] for holes, flipped and degenerate
/// triangles. Coordinates are finite; indices are in range (the constructors check).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    points: Vec<DVec3>,
    triangles: Vec<[u32; 3]>,
    face_of_triangle: Option<Vec<u32>>,
    bodies: Bodies,
}

/// Whether each triangle bounds a sound body, once asked. Follows from the rest, so that it makes
/// no difference between meshes.
#[derive(Clone, Debug, Default)]
struct Bodies(OnceLock<Vec<bool>>);

impl PartialEq for Bodies {
    fn eq(&self, _: &Bodies) -> bool {
        true
    }
}

/// Why points and triangles do not make a mesh.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum InvalidMesh {
    /// A corner index points past the last point.
    #[error("triangle {triangle} names point {index}, but there are only {points} points")]
    IndexOutOfRange {
        /// Triangle, counted from 0.
        triangle: usize,
        /// Index it names, counted from 0.
        index: u32,
        /// Number of points.
        points: usize,
    },
    /// A coordinate is infinite or not a number.
    #[error("point {point} has a coordinate that is not a finite number")]
    NotFinite {
        /// Point, counted from 0.
        point: usize,
    },
    /// The list of faces is not as long as the list of triangles.
    #[error("{faces} face numbers for {triangles} triangles")]
    FaceCount {
        /// Face numbers given.
        faces: usize,
        /// Triangles given.
        triangles: usize,
    },
}

impl Mesh {
    /// A mesh from points and triangles as they stand (no welding).
    pub fn new(
        points: Vec<DVec3>,
        triangles: Vec<[u32; 3]>,
        face_of_triangle: Option<Vec<u32>>,
    ) -> Result<Mesh, InvalidMesh> {
        if let Some(point) = points.iter().position(|p| !p.is_finite()) {
            return Err(InvalidMesh::NotFinite { point });
        }
        for (triangle, corners) in triangles.iter().enumerate() {
            if let Some(&index) = corners.iter().find(|&&i| i as usize >= points.len()) {
                return Err(InvalidMesh::IndexOutOfRange {
                    triangle,
                    index,
                    points: points.len(),
                });
            }
        }
        if let Some(faces) = &face_of_triangle
            && faces.len() != triangles.len()
        {
            return Err(InvalidMesh::FaceCount {
                faces: faces.len(),
                triangles: triangles.len(),
            });
        }
        Ok(Mesh {
            points,
            triangles,
            face_of_triangle,
            bodies: Bodies::default(),
        })
    }

    /// Corner points.
    pub fn points(&self) -> &[DVec3] {
        &self.points
    }

    /// Corner indices of every triangle.
    pub fn triangles(&self) -> &[[u32; 3]] {
        &self.triangles
    }

    /// For every triangle the face it came from, when the source knows faces.
    pub fn face_of_triangle(&self) -> Option<&[u32]> {
        self.face_of_triangle.as_deref()
    }

    /// The three corners of triangle `index`.
    ///
    /// # Panics
    /// When `index` is not below the number of triangles.
    pub fn corners(&self, index: usize) -> [DVec3; 3] {
        self.triangles[index].map(|i| self.points[i as usize])
    }

    /// Whether each triangle is of a closed shell that faces outward. Found once per mesh.
    pub(crate) fn of_bodies(&self) -> &[bool] {
        self.bodies.0.get_or_init(|| of_bodies(self))
    }

    /// The corners of all triangles in order.
    pub fn iter_corners(&self) -> impl ExactSizeIterator<Item = [DVec3; 3]> + '_ {
        self.triangles
            .iter()
            .map(|t| t.map(|i| self.points[i as usize]))
    }

    /// Lowest and highest corner of the axis-aligned box, `None` without points in use.
    pub fn bounds(&self) -> Option<[DVec3; 2]> {
        let mut corners = self.iter_corners().flatten();
        let first = corners.next()?;
        Some(corners.fold([first, first], |[low, high], p| [low.min(p), high.max(p)]))
    }

    /// The mesh with every point moved by `to_from_self`. A mirroring transform also swaps two
    /// corners of each triangle, so that outside stays outside.
    pub fn transformed(&self, to_from_self: &DMat4) -> Result<Mesh, InvalidMesh> {
        let mirrored = to_from_self.determinant() < 0.0;
        let points = self
            .points
            .iter()
            .map(|&p| to_from_self.transform_point3(p))
            .collect();
        let triangles = self
            .triangles
            .iter()
            .map(|&[a, b, c]| if mirrored { [a, c, b] } else { [a, b, c] })
            .collect();
        Mesh::new(points, triangles, self.face_of_triangle.clone())
    }

    /// Adds the triangles of `other`, sharing no points with those already here; its faces are
    /// numbered after ours.
    pub fn append(&mut self, other: &Mesh) {
        self.bodies = Bodies::default();
        let offset = self.points.len() as u32;
        self.points.extend_from_slice(&other.points);
        if self.face_of_triangle.is_some() || other.face_of_triangle.is_some() {
            let before = self.triangles.len();
            let own = self.face_of_triangle.get_or_insert_with(|| vec![0; before]);
            let first = own.iter().max().map_or(0, |m| m + 1);
            match &other.face_of_triangle {
                Some(faces) => own.extend(faces.iter().map(|f| f + first)),
                None => own.extend(std::iter::repeat_n(first, other.triangles.len())),
            }
        }
        self.triangles
            .extend(other.triangles.iter().map(|t| t.map(|i| i + offset)));
    }

    /// Only the triangles at `indices`, with only the points they use.
    pub fn subset(&self, indices: &[u32]) -> Mesh {
        let mut new_index = vec![u32::MAX; self.points.len()];
        let mut out = Mesh::default();
        for &t in indices {
            let corners = self.triangles[t as usize].map(|i| {
                let slot = &mut new_index[i as usize];
                if *slot == u32::MAX {
                    *slot = out.points.len() as u32;
                    out.points.push(self.points[i as usize]);
                }
                *slot
            });
            out.triangles.push(corners);
        }
        out.face_of_triangle = self
            .face_of_triangle
            .as_ref()
            .map(|faces| indices.iter().map(|&t| faces[t as usize]).collect());
        out
    }

    /// Merges points no farther apart than `tolerance`, keeping the first of each group.
    ///
    /// Meant for rounding only, far below anything a tool could cut (see
    /// [`crate::readers::stl`]): more would close real gaps unseen.
    pub fn welded_within(&self, tolerance: f64) -> Mesh {
        if !(tolerance > 0.0 && tolerance.is_finite()) {
            return self.welded();
        }
        let cell = 4.0 * tolerance;
        let key = |p: DVec3| (p / cell).floor().to_array().map(|c| c as i64);
        let mut seen: HashMap<[i64; 3], Vec<u32>> = HashMap::new();
        let mut first: Vec<u32> = (0..self.points.len() as u32).collect();
        for (i, &p) in self.points.iter().enumerate() {
            let (low, high) = (
                key(p - DVec3::splat(tolerance)),
                key(p + DVec3::splat(tolerance)),
            );
            let mut found: Option<u32> = None;
            for x in low[0]..=high[0] {
                for y in low[1]..=high[1] {
                    for z in low[2]..=high[2] {
                        for &other in seen.get(&[x, y, z]).into_iter().flatten() {
                            let near = self.points[other as usize].distance(p) <= tolerance;
                            if near && found.is_none_or(|f| other < f) {
                                found = Some(other);
                            }
                        }
                    }
                }
            }
            match found {
                Some(other) => first[i] = other,
                None => seen.entry(key(p)).or_default().push(i as u32),
            }
        }
        let mut merged = self.clone();
        merged
            .triangles
            .iter_mut()
            .for_each(|t| *t = t.map(|i| first[i as usize]));
        merged.welded()
    }

    /// Merges points with exactly equal coordinates (`-0` equals `0`).
    pub fn welded(&self) -> Mesh {
        let mut welder = Welder::default();
        let triangles = self
            .triangles
            .iter()
            .map(|t| t.map(|i| welder.add(self.points[i as usize])))
            .collect();
        Mesh {
            points: welder.points,
            triangles,
            face_of_triangle: self.face_of_triangle.clone(),
            bodies: Bodies::default(),
        }
    }
}

/// Gives equal points equal numbers, in order of first appearance.
#[derive(Default)]
pub(crate) struct Welder {
    points: Vec<DVec3>,
    index_of: HashMap<[u64; 3], u32>,
}

impl Welder {
    pub(crate) fn add(&mut self, point: DVec3) -> u32 {
        // Adding 0.0 turns -0.0 into 0.0.
        let key = point.to_array().map(|c| (c + 0.0).to_bits());
        let next = self.points.len() as u32;
        let index = *self.index_of.entry(key).or_insert(next);
        if index == next {
            self.points.push(point + DVec3::ZERO);
        }
        index
    }

    pub(crate) fn into_points(self) -> Vec<DVec3> {
        self.points
    }
}
