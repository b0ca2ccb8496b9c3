//! A solid as faces with surfaces, whatever they were read from.

use crate::mesh::Mesh;
use crate::shells::edge_uses;
use glam::DVec3;

/// Turn below which two faces run smoothly into each other, rad: half a chord of a circle of
/// eight, the coarsest tessellation taken for round.
pub const SMOOTH_RAD: f64 = 0.4;

/// Surface of a face, in millimetres, part frame. Directions are unit vectors.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Surface {
    /// Plane; the normal points out of the material.
    Plane {
        /// Out of the material.
        normal: DVec3,
        /// A point on it.
        origin: DVec3,
    },
    /// Cylinder.
    Cylinder {
        /// Axis, either sense.
        axis: DVec3,
        /// Point on the axis.
        origin: DVec3,
        /// Radius, mm.
        radius_mm: f64,
    },
    /// Cone.
    Cone {
        /// Axis, towards the wide end.
        axis: DVec3,
        /// Tip.
        apex: DVec3,
        /// Angle between axis and surface, rad.
        half_angle_rad: f64,
    },
    /// Sphere.
    Sphere {
        /// Centre.
        centre: DVec3,
        /// Radius, mm.
        radius_mm: f64,
    },
    /// Torus.
    Torus {
        /// Axis, either sense.
        axis: DVec3,
        /// Centre.
        centre: DVec3,
        /// From the centre to the middle of the tube, mm.
        major_mm: f64,
        /// Radius of the tube, mm.
        minor_mm: f64,
    },
    /// Anything else.
    Other,
}

/// One face of a solid.
#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    /// Its surface.
    pub surface: Surface,
    /// For round surfaces: true when the material is outside (holes, inside fillets).
    pub concave: bool,
    /// Triangles of the mesh on it, ascending.
    pub triangles: Vec<u32>,
    /// Area of those triangles, mm2.
    pub area_mm2: f64,
}

/// How two faces meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Border {
    /// Face on the other side.
    pub other: u32,
    /// Length along which they form an outside edge, mm.
    pub convex_mm: f64,
    /// Length along which they form an inside edge, mm.
    pub concave_mm: f64,
    /// Length along which one runs smoothly into the other, mm.
    pub smooth_mm: f64,
    /// Middle of the longest shared mesh edge.
    pub middle: DVec3,
    /// Direction of that edge.
    pub along: DVec3,
}

/// A solid's faces and how they meet.
#[derive(Clone, Debug)]
pub struct SolidFaces<'m> {
    /// The triangles behind the faces, millimetres.
    pub mesh: &'m Mesh,
    /// Faces.
    pub faces: Vec<Face>,
    /// Face of every triangle.
    pub face_of_triangle: Vec<u32>,
    /// Borders of every face, by ascending neighbour.
    pub borders: Vec<Vec<Border>>,
    /// The mesh with equal points joined, triangles in the same order.
    pub(crate) welded: Mesh,
    /// For every triangle the one across each of its edges, from its first corner on;
    /// `u32::MAX` where there is none or more than one.
    pub(crate) neighbours: Vec<[u32; 3]>,
}

impl<'m> SolidFaces<'m> {
    /// Faces from a surface for each face number and the face number of each triangle. Numbers
    /// without a surface are [`Surface::Other`]. Planes are turned to point out of the material,
    /// and whether a round face is hollow is read from its triangles.
    pub fn new(mesh: &'m Mesh, surfaces: &[Surface], face_of_triangle: &[u32]) -> SolidFaces<'m> {
        Self::with_welded(mesh, mesh.welded(), surfaces, face_of_triangle)
    }

    pub(crate) fn with_welded(
        mesh: &'m Mesh,
        welded: Mesh,
        surfaces: &[Surface],
        face_of_triangle: &[u32],
    ) -> SolidFaces<'m> {
        let named = face_of_triangle.iter().max().map_or(0, |m| *m as usize + 1);
        let mut faces: Vec<Face> = (0..named.max(surfaces.len()))
            .map(|f| Face {
                surface: surfaces.get(f).copied().unwrap_or(Surface::Other),
                concave: false,
                triangles: Vec::new(),
                area_mm2: 0.0,
            })
            .collect();
        let mut side = vec![0.0; faces.len()];
        for (t, [a, b, c]) in mesh.iter_corners().enumerate().take(face_of_triangle.len()) {
            let f = face_of_triangle[t] as usize;
            let doubled = (b - a).cross(c - a);
            faces[f].triangles.push(t as u32);
            faces[f].area_mm2 += doubled.length() / 2.0;
            side[f] += doubled.dot(outward(&faces[f].surface, (a + b + c) / 3.0));
        }
        for (face, side) in faces.iter_mut().zip(side) {
            if let Surface::Plane { normal, .. } = &mut face.surface {
                *normal *= 1f64.copysign(side);
            } else {
                face.concave = side < 0.0;
            }
        }
        let (borders, neighbours) = borders(&welded, face_of_triangle, faces.len());
        SolidFaces {
            mesh,
            faces,
            face_of_triangle: face_of_triangle.to_vec(),
            borders,
            welded,
            neighbours,
        }
    }
}

/// Direction away from axis or centre at a point near the surface, zero where there is none.
fn outward(surface: &Surface, p: DVec3) -> DVec3 {
    let radial = |axis: DVec3, origin: DVec3| {
        let d = p - origin;
        (d - d.dot(axis) * axis).normalize_or_zero()
    };
    match *surface {
        Surface::Plane { normal, .. } => normal,
        Surface::Cylinder { axis, origin, .. } => radial(axis, origin),
        Surface::Cone {
            axis,
            apex,
            half_angle_rad,
        } => radial(axis, apex) * libm::cos(half_angle_rad) - axis * libm::sin(half_angle_rad),
        Surface::Sphere { centre, .. } => (p - centre).normalize_or_zero(),
        Surface::Torus {
            axis,
            centre,
            major_mm,
            ..
        } => (p - centre - radial(axis, centre) * major_mm).normalize_or_zero(),
        Surface::Other => DVec3::ZERO,
    }
}

/// Borders of every face, and the triangle across each edge of every triangle.
fn borders(
    welded: &Mesh,
    face_of_triangle: &[u32],
    count: usize,
) -> (Vec<Vec<Border>>, Vec<[u32; 3]>) {
    let mut neighbours = vec![[u32::MAX; 3]; welded.triangles().len()];
    let normal = |t: u32| {
        let [a, b, c] = welded.corners(t as usize);
        (b - a).cross(c - a).normalize_or_zero()
    };
    let mut pieces: Vec<(u32, Border)> = Vec::new();
    for group in edge_uses(welded).chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
        let [one, two] = group else { continue };
        if one.3 != two.3 {
            for (own, other) in [(one, two), (two, one)] {
                let corners = welded.triangles()[own.2 as usize];
                let from = if own.3 { own.0 } else { own.1 };
                if let Some(k) = corners.iter().position(|&c| c == from) {
                    neighbours[own.2 as usize][k] = other.2;
                }
            }
        }
        let (a, b) = (
            face_of_triangle[one.2 as usize],
            face_of_triangle[two.2 as usize],
        );
        if a == b || one.3 == two.3 {
            continue;
        }
        let [p, q] = [one.0, one.1].map(|i| welded.points()[i as usize]);
        let along = if one.3 { q - p } else { p - q };
        let (na, nb) = (normal(one.2), normal(two.2));
        let turn = libm::atan2(na.cross(nb).dot(along.normalize_or_zero()), na.dot(nb));
        let length = along.length();
        let piece = |other| Border {
            other,
            convex_mm: if turn > SMOOTH_RAD { length } else { 0.0 },
            concave_mm: if turn < -SMOOTH_RAD { length } else { 0.0 },
            smooth_mm: if turn.abs() <= SMOOTH_RAD {
                length
            } else {
                0.0
            },
            middle: (p + q) / 2.0,
            along: along.normalize_or_zero(),
        };
        pieces.push((a, piece(b)));
        pieces.push((b, piece(a)));
    }
    let length = |b: &Border| b.convex_mm + b.concave_mm + b.smooth_mm;
    pieces.sort_by(|x, y| {
        (x.0, x.1.other)
            .cmp(&(y.0, y.1.other))
            .then(length(&y.1).total_cmp(&length(&x.1)))
    });
    let mut out = vec![Vec::new(); count];
    for group in pieces.chunk_by(|x, y| (x.0, x.1.other) == (y.0, y.1.other)) {
        let mut border = group[0].1;
        for (_, more) in &group[1..] {
            border.convex_mm += more.convex_mm;
            border.concave_mm += more.concave_mm;
            border.smooth_mm += more.smooth_mm;
        }
        out[group[0].0 as usize].push(border);
    }
    (out, neighbours)
}
