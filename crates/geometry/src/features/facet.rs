//! Flat patches of a mesh: the triangles that a tessellator cut one flat piece into.
//!
//! A strip of a cylinder is one patch however often it was subdivided, and only the points where
//! three patches meet lie on the true curved surface; points added along chords do not.

use crate::mesh::Mesh;
use crate::shells::edge_uses;
use glam::DVec3;

/// Slope of one triangle against its patch that still counts as flat, rad. Twenty times the f32
/// noise of a 1 mm triangle 300 mm from the origin; half the turn of a circle of 3000 chords.
const FLAT: f64 = 1e-3;

/// A border between two patches, all its edges together.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Link {
    /// Patch on the other side.
    pub other: u32,
    /// Length of all shared edges, mm.
    pub length: f64,
    /// Turn between the normals, rad; positive at outside (convex) edges.
    pub turn: f64,
}

/// The flat patches of a mesh.
pub(crate) struct Facets {
    /// Patch of every triangle.
    pub of_triangle: Vec<u32>,
    /// Unit normal, zero when the patch has no area.
    pub normal: Vec<DVec3>,
    /// Area, mm2.
    pub area: Vec<f64>,
    /// Centroid.
    pub centre: Vec<DVec3>,
    corner_start: Vec<u32>,
    corners: Vec<u32>,
    link_start: Vec<u32>,
    links: Vec<Link>,
    /// Rounding of the coordinates, mm.
    pub noise: f64,
}

impl Facets {
    /// Points of the patch where at least three patches meet, or at an open border.
    pub fn corners(&self, facet: u32) -> &[u32] {
        let f = facet as usize;
        &self.corners[self.corner_start[f] as usize..self.corner_start[f + 1] as usize]
    }

    /// Borders of the patch.
    pub fn links(&self, facet: u32) -> &[Link] {
        let f = facet as usize;
        &self.links[self.link_start[f] as usize..self.link_start[f + 1] as usize]
    }

    /// Number of patches.
    pub fn len(&self) -> usize {
        self.area.len()
    }
}

/// Rounding of coordinates stored as f32, the coarsest a mesh format uses.
pub(crate) fn coordinate_noise(mesh: &Mesh) -> f64 {
    let largest = mesh
        .points()
        .iter()
        .fold(0.0f64, |m, p| m.max(p.abs().max_element()));
    2.0 * f64::from(f32::EPSILON) * largest
}

/// Splits a welded mesh into flat patches.
pub(crate) fn facets(mesh: &Mesh) -> Facets {
    let noise = coordinate_noise(mesh);
    let uses = edge_uses(mesh);
    let doubled: Vec<DVec3> = mesh
        .iter_corners()
        .map(|[a, b, c]| (b - a).cross(c - a))
        .collect();
    let of_triangle = patches(mesh, &uses, &doubled, noise);
    let count = of_triangle.iter().max().map_or(0, |m| *m as usize + 1);
    let mut normal = vec![DVec3::ZERO; count];
    let mut area = vec![0.0; count];
    let mut centre = vec![DVec3::ZERO; count];
    let mut plain_centre = vec![(DVec3::ZERO, 0.0); count];
    for (t, corners) in mesh.iter_corners().enumerate() {
        let (f, size) = (of_triangle[t] as usize, doubled[t].length() / 2.0);
        let middle = (corners[0] + corners[1] + corners[2]) / 3.0;
        normal[f] += doubled[t];
        area[f] += size;
        centre[f] += middle * size;
        plain_centre[f].0 += middle;
        plain_centre[f].1 += 1.0;
    }
    for f in 0..count {
        normal[f] = normal[f].normalize_or_zero();
        centre[f] = if area[f] > 0.0 {
            centre[f] / area[f]
        } else {
            plain_centre[f].0 / plain_centre[f].1
        };
    }
    let (link_start, links) = links(mesh, &uses, &of_triangle, &normal, count);
    let (corner_start, corners) = corners(mesh, &uses, &of_triangle, count);
    Facets {
        of_triangle,
        normal,
        area,
        centre,
        corner_start,
        corners,
        link_start,
        links,
        noise,
    }
}

/// Grows patches from the largest triangles; the patch normal gains accuracy as it grows.
fn patches(mesh: &Mesh, uses: &[(u32, u32, u32, bool)], doubled: &[DVec3], noise: f64) -> Vec<u32> {
    let n = mesh.triangles().len();
    let mut neighbour = vec![[u32::MAX; 3]; n];
    let edge_of = |t: u32, a: u32, b: u32| {
        let c = mesh.triangles()[t as usize];
        (0..3).find(|&k| {
            let (p, q) = (c[k], c[(k + 1) % 3]);
            (p.min(q), p.max(q)) == (a, b)
        })
    };
    for group in uses.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
        if let [one, two] = group
            && one.3 != two.3
        {
            for (from, to) in [(one, two), (two, one)] {
                if let Some(k) = edge_of(from.2, from.0, from.1) {
                    neighbour[from.2 as usize][k] = to.2;
                }
            }
        }
    }
    let mut order: Vec<u32> = (0..n as u32).collect();
    order.sort_by(|&a, &b| {
        doubled[b as usize]
            .length_squared()
            .total_cmp(&doubled[a as usize].length_squared())
            .then(a.cmp(&b))
    });
    let mut facet = vec![u32::MAX; n];
    let mut next = 0;
    let mut open: Vec<u32> = Vec::new();
    for seed in order {
        if facet[seed as usize] != u32::MAX {
            continue;
        }
        facet[seed as usize] = next;
        open.push(seed);
        let mut sum = doubled[seed as usize];
        while let Some(t) = open.pop() {
            let corners = mesh.triangles()[t as usize];
            for k in 0..3 {
                let u = neighbour[t as usize][k];
                if u == u32::MAX || facet[u as usize] != u32::MAX {
                    continue;
                }
                let (p, q) = (corners[k], corners[(k + 1) % 3]);
                let Some(&apex) = mesh.triangles()[u as usize]
                    .iter()
                    .find(|&&c| c != p && c != q)
                else {
                    continue;
                };
                let [p, q, apex] = [p, q, apex].map(|i| mesh.points()[i as usize]);
                let flat = sum.normalize_or_zero();
                let height = doubled[u as usize].length() / (q - p).length();
                let off = flat.dot(apex - p).abs();
                let folded = height > 8.0 * noise && doubled[u as usize].dot(flat) < 0.0;
                if off <= noise + FLAT * height && !folded {
                    facet[u as usize] = next;
                    sum += doubled[u as usize];
                    open.push(u);
                }
            }
        }
        next += 1;
    }
    facet
}

fn links(
    mesh: &Mesh,
    uses: &[(u32, u32, u32, bool)],
    of_triangle: &[u32],
    normal: &[DVec3],
    count: usize,
) -> (Vec<u32>, Vec<Link>) {
    let mut pairs: Vec<(u32, u32, f64, f64)> = Vec::new();
    for group in uses.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
        let [one, two] = group else { continue };
        let (a, b) = (of_triangle[one.2 as usize], of_triangle[two.2 as usize]);
        if a == b || one.3 == two.3 {
            continue;
        }
        let (p, q) = (mesh.points()[one.0 as usize], mesh.points()[one.1 as usize]);
        let along = if one.3 { q - p } else { p - q };
        let (na, nb) = (normal[a as usize], normal[b as usize]);
        let cross = na.cross(nb);
        let turn = libm::atan2(cross.length(), na.dot(nb)).copysign(cross.dot(along));
        pairs.push((a, b, along.length(), turn));
        pairs.push((b, a, along.length(), turn));
    }
    pairs.sort_by(|x, y| (x.0, x.1).cmp(&(y.0, y.1)).then(y.2.total_cmp(&x.2)));
    let mut start = vec![0u32; count + 1];
    let mut out = Vec::new();
    for group in pairs.chunk_by(|x, y| (x.0, x.1) == (y.0, y.1)) {
        let (from, other, _, turn) = group[0];
        out.push(Link {
            other,
            length: group.iter().map(|g| g.2).sum(),
            turn,
        });
        start[from as usize + 1] += 1;
    }
    for f in 0..count {
        start[f + 1] += start[f];
    }
    (start, out)
}

fn corners(
    mesh: &Mesh,
    uses: &[(u32, u32, u32, bool)],
    of_triangle: &[u32],
    count: usize,
) -> (Vec<u32>, Vec<u32>) {
    let mut at_border = vec![false; mesh.points().len()];
    for group in uses.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
        if group.len() != 2 {
            at_border[group[0].0 as usize] = true;
            at_border[group[0].1 as usize] = true;
        }
    }
    let mut around: Vec<(u32, u32)> = mesh
        .triangles()
        .iter()
        .enumerate()
        .flat_map(|(t, c)| c.map(|p| (p, of_triangle[t])))
        .collect();
    around.sort_unstable();
    around.dedup();
    let mut by_facet: Vec<(u32, u32)> = Vec::new();
    for group in around.chunk_by(|a, b| a.0 == b.0) {
        if group.len() >= 3 || at_border[group[0].0 as usize] {
            by_facet.extend(group.iter().map(|&(p, f)| (f, p)));
        }
    }
    by_facet.sort_unstable();
    let mut start = vec![0u32; count + 1];
    for &(f, _) in &by_facet {
        start[f as usize + 1] += 1;
    }
    for f in 0..count {
        start[f + 1] += start[f];
    }
    (start, by_facet.into_iter().map(|(_, p)| p).collect())
}
