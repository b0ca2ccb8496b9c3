//! Triangles of one face: constrained Delaunay triangulation of its domain in scaled parameters.

use super::grid::{Spacing, interior_points};
use super::refine::{exact_steps, refine};
use crate::surfaces::chart::Chart;
use crate::trim::domain::Domain;
use crate::trim::polygon::touch;
use crate::trim::unroll::NEW;
use glam::{DVec2, DVec3};
use spade::handles::{FixedFaceHandle, FixedVertexHandle, InnerTag};
use spade::{ConstrainedDelaunayTriangulation, HasPosition, Point2, Triangulation};
use std::collections::BTreeMap;

/// A corner of the triangulation in scaled parameters.
#[derive(Clone, Copy, Debug)]
pub struct Corner {
    /// Scaled position.
    pub at: DVec2,
    /// Mesh vertex.
    pub id: u32,
    /// Point of the surface; kept where refinement looks at it.
    pub point: DVec3,
    /// Normal there, up to sign.
    pub normal: DVec3,
}

impl Corner {
    /// A corner at (u, v), `at` in scaled parameters.
    pub fn new(chart: &Chart, uv: DVec2, at: DVec2, id: u32) -> Self {
        if exact_steps(chart) {
            return Self {
                at,
                id,
                point: chart.point(uv),
                normal: DVec3::ZERO,
            };
        }
        let j = chart.surface.eval(uv.x, uv.y, 1);
        Self {
            at,
            id,
            point: j.p,
            normal: j.u.cross(j.v).normalize_or_zero(),
        }
    }

    /// A corner on the boundary, whose mesh vertex exists already.
    fn on_boundary(chart: &Chart, uv: DVec2, at: DVec2, id: u32) -> Self {
        if exact_steps(chart) {
            return Self {
                at,
                id,
                point: DVec3::ZERO,
                normal: DVec3::ZERO,
            };
        }
        Self::new(chart, uv, at, id)
    }
}

impl HasPosition for Corner {
    type Scalar = f64;
    fn position(&self) -> Point2<f64> {
        Point2::new(self.at.x, self.at.y)
    }
}

pub(crate) type Cdt = ConstrainedDelaunayTriangulation<Corner>;

/// Triangles of a face.
#[derive(Clone, Debug, Default)]
pub struct FaceMesh {
    /// Corner indices, shared ones below [`NEW`].
    pub triangles: Vec<[u32; 3]>,
    /// Parameters of every triangle's corners.
    pub uv: Vec<[DVec2; 3]>,
    /// The face's own mesh vertices.
    pub new_points: Vec<DVec3>,
    /// True when the tolerance was not reached within the limit on points.
    pub coarse: bool,
}

/// Boundary pieces that cross each other, as pairs of (u, v).
#[derive(Clone, Debug, Default)]
pub struct Conflict {
    /// Ends of the pieces.
    pub pieces: Vec<[DVec2; 2]>,
}

impl Conflict {
    /// Edges with a piece that meets one of the conflicting ones.
    pub fn edges(&self, domain: &Domain) -> Vec<usize> {
        let mut out = Vec::new();
        for path in &domain.paths {
            for run in &path.runs {
                let Some((edge, _)) = run.edge else { continue };
                let hit = (run.first..run.first + run.count).any(|i| {
                    let (a, b) = (path.uv(i), path.uv(i + 1));
                    self.pieces.iter().any(|[c, d]| touch(a, b, *c, *d))
                });
                if hit {
                    out.push(edge);
                }
            }
        }
        out.sort_unstable();
        out.dedup();
        out
    }
}

/// Triangulates a domain.
pub fn triangulate(
    chart: &Chart,
    domain: &Domain,
    spacing: &Spacing,
    chord_mm: f64,
    angle_rad: f64,
) -> Result<FaceMesh, Conflict> {
    let metric = spacing.metric;
    let mut corners: Vec<Corner> = Vec::new();
    let mut seen: BTreeMap<(u64, u64), usize> = BTreeMap::new();
    let mut pieces: Vec<[usize; 2]> = Vec::new();
    let mut conflict = Conflict::default();
    for polygon in &domain.polygons {
        let mut indices = Vec::with_capacity(polygon.len());
        for node in polygon {
            let at = scaled(node.uv, metric);
            let key = (at.x.to_bits(), at.y.to_bits());
            let index = *seen.entry(key).or_insert_with(|| {
                corners.push(Corner::on_boundary(chart, node.uv, at, node.id));
                corners.len() - 1
            });
            if corners[index].id != node.id {
                conflict.pieces.push([node.uv, node.uv]);
            }
            indices.push(index);
        }
        for i in 0..indices.len() {
            let piece = [indices[i], indices[(i + 1) % indices.len()]];
            if piece[0] != piece[1] {
                pieces.push(piece);
            }
        }
    }
    if !conflict.pieces.is_empty() || corners.len() < 3 {
        return Err(conflict);
    }
    let mut new_points = domain.new_points.clone();
    for uv in interior_points(chart, domain, spacing) {
        let at = scaled(uv, metric);
        if seen.contains_key(&(at.x.to_bits(), at.y.to_bits())) {
            continue;
        }
        let corner = Corner::new(chart, uv, at, NEW + new_points.len() as u32);
        new_points.push(corner.point);
        corners.push(corner);
    }
    let total = corners.len();
    let uv_of = |c: usize, list: &[Corner]| list[c].at / metric;
    let mut skipped = Vec::new();
    let loaded = if crowded(&corners) {
        load_mixed(&mut corners, &mut pieces, &mut skipped)
    } else {
        load(&corners, &pieces, &mut skipped)
    };
    let Some(mut cdt) = loaded else {
        return Err(conflict);
    };
    for e in &skipped {
        conflict
            .pieces
            .push([uv_of(e[0], &corners), uv_of(e[1], &corners)]);
    }
    if !conflict.pieces.is_empty() || cdt.num_vertices() != total {
        return Err(conflict);
    }
    let handle = FixedVertexHandle::from_index;
    for p in &pieces {
        if !cdt.exists_constraint(handle(p[0]), handle(p[1])) {
            conflict
                .pieces
                .push([uv_of(p[0], &corners), uv_of(p[1], &corners)]);
        }
    }
    if !conflict.pieces.is_empty() {
        return Err(conflict);
    }
    let even = even_pieces(&pieces);
    let reached = refine(
        chart,
        &mut cdt,
        &even,
        spacing,
        chord_mm,
        angle_rad,
        &mut new_points,
    );
    // Refinement must not have touched the boundary.
    for p in &pieces {
        if !cdt.exists_constraint(handle(p[0]), handle(p[1])) {
            conflict
                .pieces
                .push([uv_of(p[0], &corners), uv_of(p[1], &corners)]);
        }
    }
    if !conflict.pieces.is_empty() {
        return Err(conflict);
    }
    let mut out = FaceMesh {
        new_points,
        coarse: !reached,
        ..FaceMesh::default()
    };
    for f in inside_faces(&cdt, &even) {
        let v = cdt.face(f).vertices().map(|v| *v.data());
        let [a, b, c] = v.map(|v| v.id);
        if a == b || b == c || c == a {
            continue;
        }
        let [p, q, r] = v.map(|v| v.at / metric);
        if chart.outward {
            out.triangles.push([a, b, c]);
            out.uv.push([p, q, r]);
        } else {
            out.triangles.push([a, c, b]);
            out.uv.push([p, r, q]);
        }
    }
    Ok(out)
}

/// Triangulation of the corners with the pieces as constraints, but for those `skipped` because
/// they cross others. Vertices are numbered as the corners.
fn load(corners: &[Corner], pieces: &[[usize; 2]], skipped: &mut Vec<[usize; 2]>) -> Option<Cdt> {
    Cdt::try_bulk_load_cdt(corners.to_vec(), pieces.to_vec(), |e| skipped.push(e)).ok()
}

/// Mixes the corners up and loads them one by one, which takes about the same time wherever they
/// lie.
fn load_mixed(
    corners: &mut [Corner],
    pieces: &mut [[usize; 2]],
    skipped: &mut Vec<[usize; 2]>,
) -> Option<Cdt> {
    let n = corners.len();
    // Steps of the golden section visit every index once where step and count share no divisor.
    let mut step = (0.618 * n as f64) as usize | 1;
    while gcd(step, n) != 1 {
        step += 2;
    }
    let order: Vec<usize> = (0..n).map(|i| i * step % n).collect();
    let mut place = vec![0; n];
    for (new, &old) in order.iter().enumerate() {
        place[old] = new;
    }
    let mixed: Vec<Corner> = order.iter().map(|&old| corners[old]).collect();
    corners.copy_from_slice(&mixed);
    for p in pieces.iter_mut() {
        *p = p.map(|old| place[old]);
    }
    let mut cdt = Cdt::new();
    for corner in corners.iter() {
        cdt.insert(*corner).ok()?;
    }
    if cdt.num_vertices() != n {
        return None;
    }
    for &[a, b] in pieces.iter() {
        let ends = [a, b].map(FixedVertexHandle::from_index);
        if cdt.can_add_constraint(ends[0], ends[1]) {
            cdt.add_constraint(ends[0], ends[1]);
        } else {
            skipped.push([a, b]);
        }
    }
    Some(cdt)
}

fn gcd(a: usize, b: usize) -> usize {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// True when most corners crowd in a small part of their box, as damage makes them. Loading in bulk
/// adds corners in rings about the middle of the box, and that is quadratic then: 4000 corners took
/// half a second.
fn crowded(corners: &[Corner]) -> bool {
    let crowds = |along: fn(&Corner) -> f64| {
        let mut list: Vec<f64> = corners.iter().map(along).collect();
        list.sort_by(f64::total_cmp);
        let at = |part: usize| list[(list.len() - 1) * part / 8];
        at(7) - at(1) < 0.1 * (at(8) - at(0))
    };
    corners.len() > 500 && (crowds(|c| c.at.x) || crowds(|c| c.at.y))
}

/// Scaled parameters. The triangulation refuses numbers next to nothing, and minus zero would
/// count as a point of its own.
fn scaled(uv: DVec2, metric: DVec2) -> DVec2 {
    let clean = |x: f64| if x.abs() < 1e-30 { 0.0 } else { x };
    let at = uv * metric;
    DVec2::new(clean(at.x), clean(at.y))
}

/// Pieces that lie on the boundary an even number of times: they separate nothing.
fn even_pieces(pieces: &[[usize; 2]]) -> Vec<[usize; 2]> {
    let mut sorted: Vec<[usize; 2]> = pieces
        .iter()
        .map(|p| [p[0].min(p[1]), p[0].max(p[1])])
        .collect();
    sorted.sort_unstable();
    sorted
        .chunk_by(|a, b| a == b)
        .filter(|group| group.len() % 2 == 0)
        .map(|group| group[0])
        .collect()
}

/// Triangles inside the domain, by crossing parity from the outside.
pub(crate) fn inside_faces(cdt: &Cdt, even: &[[usize; 2]]) -> Vec<FixedFaceHandle<InnerTag>> {
    // Per face: 0 unknown, 1 outside, 2 inside.
    let mut state = vec![0_u8; cdt.num_all_faces()];
    let mut queue = Vec::new();
    let outer = cdt.outer_face().fix().index();
    state[outer] = 1;
    for edge in cdt.convex_hull() {
        queue.push((edge.fix(), 1_u8));
    }
    while let Some((edge, from)) = queue.pop() {
        let e = cdt.directed_edge(edge);
        let other = e.rev().face();
        if state[other.fix().index()] != 0 {
            continue;
        }
        let wall = e.is_constraint_edge() && {
            let (a, b) = (e.from().fix().index(), e.to().fix().index());
            even.is_empty() || even.binary_search(&[a.min(b), a.max(b)]).is_err()
        };
        let now = if wall { 3 - from } else { from };
        state[other.fix().index()] = now;
        if let Some(inner) = other.as_inner() {
            for next in inner.adjacent_edges() {
                queue.push((next.fix(), now));
            }
        }
    }
    cdt.fixed_inner_faces()
        .filter(|f| state[f.index()] == 2)
        .collect()
}
