//! Connected pieces of a mesh, and which of them are bodies, cavities or inside out.

use crate::measure::{signed_volume, surface_area};
use crate::mesh::Mesh;
use crate::self_crossing::crosses_itself;
use glam::DVec3;

/// What a connected piece of surface is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ShellKind {
    /// Outside of a body.
    Body,
    /// Closed hollow inside a body (faces inward, as it should).
    Cavity,
    /// A body whose triangles face inward.
    InsideOut,
    /// Encloses nothing: open, or flat.
    Open,
}

/// One connected piece of surface.
#[derive(Clone, Debug)]
pub struct Shell {
    /// Triangles of the mesh in it, ascending.
    pub triangles: Vec<u32>,
    /// What it is.
    pub kind: ShellKind,
    /// Signed volume, file units cubed.
    pub volume: f64,
    /// Area, file units squared.
    pub area: f64,
}

/// Sorted edges (low point, high point) with the triangle and whether it runs low to high.
pub(crate) fn edge_uses(mesh: &Mesh) -> Vec<(u32, u32, u32, bool)> {
    let mut uses = Vec::with_capacity(3 * mesh.triangles().len());
    for (t, &[a, b, c]) in mesh.triangles().iter().enumerate() {
        for (p, q) in [(a, b), (b, c), (c, a)] {
            if p != q {
                uses.push((p.min(q), p.max(q), t as u32, p < q));
            }
        }
    }
    uses.sort_unstable();
    uses
}

/// True when some edge is not run once each way.
pub(crate) fn has_open_edges(mesh: &Mesh) -> bool {
    edge_uses(mesh)
        .chunk_by(|a, b| (a.0, a.1) == (b.0, b.1))
        .any(|group| group.iter().filter(|u| u.3).count() * 2 != group.len())
}

/// Pieces connected through shared edges, in order of their first triangle.
pub fn shells(mesh: &Mesh) -> Vec<Shell> {
    let uses = edge_uses(mesh);
    let mut sets = DisjointSets::new(mesh.triangles().len());
    let mut open = vec![false; mesh.triangles().len()];
    for group in uses.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
        let balance: i32 = group.iter().map(|u| if u.3 { 1 } else { -1 }).sum();
        // Where two bodies touch along an edge, nothing tells which of the four belong together;
        // such an edge alone joins nothing. An unbalanced edge is damage within one piece.
        if group.len() == 2 || balance != 0 {
            group.iter().for_each(|u| sets.join(group[0].2, u.2));
        }
        if balance != 0 {
            group.iter().for_each(|u| open[u.2 as usize] = true);
        }
    }
    let mut shell_of_root = vec![usize::MAX; mesh.triangles().len()];
    let mut groups: Vec<Vec<u32>> = Vec::new();
    for t in 0..mesh.triangles().len() as u32 {
        let slot = &mut shell_of_root[sets.root(t) as usize];
        if *slot == usize::MAX {
            *slot = groups.len();
            groups.push(Vec::new());
        }
        groups[*slot].push(t);
    }
    let mut shells: Vec<Shell> = groups
        .into_iter()
        .map(|triangles| {
            let part = mesh.subset(&triangles);
            let volume = signed_volume(&part);
            let closed = !triangles.iter().any(|&t| open[t as usize]);
            let kind = match (closed, volume) {
                (false, _) => ShellKind::Open,
                (true, v) if v > 0.0 => ShellKind::Body,
                (true, v) if v < 0.0 => ShellKind::InsideOut,
                (true, _) => ShellKind::Open,
            };
            Shell {
                triangles,
                kind,
                volume,
                area: surface_area(&part),
            }
        })
        .collect();
    mark_cavities(mesh, &mut shells);
    shells
}

/// Whether each triangle is of a closed shell that faces outward and passes nowhere through itself.
pub(crate) fn of_bodies(mesh: &Mesh) -> Vec<bool> {
    let mut out = vec![false; mesh.triangles().len()];
    for shell in shells(mesh) {
        if shell.kind == ShellKind::Body && !crosses_itself(mesh, &shell.triangles) {
            shell.triangles.iter().for_each(|&t| out[t as usize] = true);
        }
    }
    out
}

/// An inward-facing shell inside an outward-facing one is a cavity.
fn mark_cavities(mesh: &Mesh, shells: &mut [Shell]) {
    let bodies: Vec<Mesh> = shells
        .iter()
        .filter(|s| s.kind == ShellKind::Body)
        .map(|s| mesh.subset(&s.triangles))
        .collect();
    for shell in shells.iter_mut().filter(|s| s.kind == ShellKind::InsideOut) {
        let inner = mesh.subset(&shell.triangles);
        let (Some([low, high]), Some(&probe)) = (inner.bounds(), inner.points().first()) else {
            continue;
        };
        let inside = bodies.iter().any(|body| {
            body.bounds()
                .is_some_and(|[l, h]| l.cmple(low).all() && h.cmpge(high).all())
                && winding_number(body, probe) > 0.5
        });
        if inside {
            shell.kind = ShellKind::Cavity;
        }
    }
}

/// How often a closed surface wraps around `point`: 1 inside, 0 outside, fractions when open.
///
/// Sum of solid angles by the formula of A. van Oosterom and J. Strackee, "The Solid Angle of a
/// Plane Triangle", IEEE Trans. Biomed. Eng. BME-30 (1983).
pub fn winding_number(mesh: &Mesh, point: DVec3) -> f64 {
    let total: crate::sum::Sum = mesh
        .iter_corners()
        .map(|corners| {
            let [a, b, c] = corners.map(|p| p - point);
            let (la, lb, lc) = (a.length(), b.length(), c.length());
            let triple = a.dot(b.cross(c));
            let below = la * lb * lc + a.dot(b) * lc + b.dot(c) * la + c.dot(a) * lb;
            2.0 * libm::atan2(triple, below)
        })
        .collect();
    total.value() / (4.0 * std::f64::consts::PI)
}

/// Union-find with path halving; the lower number is always the root, so results do not depend on
/// the order of joining.
struct DisjointSets {
    parent: Vec<u32>,
}

impl DisjointSets {
    fn new(count: usize) -> DisjointSets {
        DisjointSets {
            parent: (0..count as u32).collect(),
        }
    }

    fn root(&mut self, mut i: u32) -> u32 {
        while self.parent[i as usize] != i {
            let up = self.parent[self.parent[i as usize] as usize];
            self.parent[i as usize] = up;
            i = up;
        }
        i
    }

    fn join(&mut self, a: u32, b: u32) {
        let (a, b) = (self.root(a), self.root(b));
        self.parent[a.max(b) as usize] = a.min(b);
    }
}
