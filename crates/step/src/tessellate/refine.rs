//! Adding points until every triangle keeps the tolerance.

use super::face::{Cdt, Corner, inside_faces};
use super::grid::Spacing;
use crate::brep::Surface;
use crate::surfaces::chart::Chart;
use crate::trim::unroll::NEW;
use glam::{DVec2, DVec3};
use spade::Triangulation;
use std::collections::HashSet;

/// Passes of halving. A dozen do for most faces; each adds points only along the fronts of sparse
/// regions, so that faces cut up by many holes take more.
const PASSES: usize = 60;
/// Most points added to one face.
const MOST_POINTS: usize = 150_000;

/// True where parameter steps alone decide, without looking at the surface.
pub(crate) fn exact_steps(chart: &Chart) -> bool {
    matches!(
        chart.surface,
        Surface::Plane { .. }
            | Surface::Cylinder { .. }
            | Surface::Cone { .. }
            | Surface::Sphere { .. }
            | Surface::Torus { .. }
    )
}

/// Inserts midpoints of inner edges that stray from the surface.
pub(crate) fn refine(
    chart: &Chart,
    cdt: &mut Cdt,
    even: &[[usize; 2]],
    spacing: &Spacing,
    chord_mm: f64,
    angle_rad: f64,
    new_points: &mut Vec<DVec3>,
) {
    if matches!(chart.surface, Surface::Plane { .. }) {
        return;
    }
    let exact = exact_steps(chart);
    // Edges found good stay good; most survive from pass to pass.
    let mut good: HashSet<(usize, usize)> = HashSet::new();
    for _ in 0..PASSES {
        let mut state = vec![false; cdt.num_all_faces()];
        for f in inside_faces(cdt, even) {
            state[f.index()] = true;
        }
        let mut wanted: Vec<DVec2> = Vec::new();
        for edge in cdt.undirected_edges() {
            if edge.is_constraint_edge() {
                continue;
            }
            let d = edge.as_directed();
            if !state[d.face().fix().index()] || !state[d.rev().face().fix().index()] {
                continue;
            }
            let [a, b] = edge.vertices();
            let (i, j) = (a.fix().index(), b.fix().index());
            let key = (i.min(j), i.max(j));
            if !exact && good.contains(&key) {
                continue;
            }
            let (a, b) = (a.data(), b.data());
            let (p, q) = (a.at / spacing.metric, b.at / spacing.metric);
            let strays = if exact {
                strays_by_steps(chart, spacing, p, q)
            } else {
                strays(chart, (p, a), (q, b), chord_mm, angle_rad)
            };
            if strays {
                wanted.push(0.5 * (p + q));
            } else if !exact {
                good.insert(key);
            }
        }
        if wanted.is_empty() || cdt.num_vertices() > MOST_POINTS {
            return;
        }
        for uv in wanted {
            let before = cdt.num_vertices();
            let id = NEW + new_points.len() as u32;
            let corner = Corner::new(chart, uv, uv * spacing.metric, id);
            if cdt.insert(corner).is_ok() && cdt.num_vertices() > before {
                new_points.push(corner.point);
            }
        }
    }
}

/// On surfaces of constant bend the parameter steps say it all.
fn strays_by_steps(chart: &Chart, spacing: &Spacing, a: DVec2, b: DVec2) -> bool {
    let mut d = (b - a).abs() / spacing.steps;
    if let Surface::Sphere { .. } = chart.surface {
        d.x *= (0.5 * (a.y + b.y)).cos();
    }
    // Grid cells have unit sides, so their diagonals must pass; where only one direction bends, its
    // step alone counts.
    let allowed = if spacing.steps.is_finite() { 2.2 } else { 1.1 };
    d.length_squared() > allowed
}

fn strays(
    chart: &Chart,
    (a, from): (DVec2, &Corner),
    (b, to): (DVec2, &Corner),
    chord_mm: f64,
    angle_rad: f64,
) -> bool {
    let (pa, pb) = (from.point, to.point);
    let m = 0.5 * (a + b);
    let j = chart.surface.eval(m.x, m.y, 1);
    let n = j.u.cross(j.v).normalize_or_zero();
    let chord_middle = 0.5 * (pa + pb);
    let mut gap = j.p - chord_middle;
    let mut normal = n;
    if gap.length() > chord_mm {
        // Parameters may run unevenly along the chord: step to the foot of its middle first.
        let (a2, b2, c2) = (j.u.length_squared(), j.u.dot(j.v), j.v.length_squared());
        let det = a2 * c2 - b2 * b2;
        if det > 1e-12 * (a2 * c2) {
            let (gu, gv) = (gap.dot(j.u), gap.dot(j.v));
            let foot = m + DVec2::new(b2 * gv - c2 * gu, b2 * gu - a2 * gv) / det;
            let k = chart.surface.eval(foot.x, foot.y, 1);
            gap = k.p - chord_middle;
            normal = k.u.cross(k.v).normalize_or(n);
        }
    }
    let off = gap.dot(normal).abs();
    if off > chord_mm {
        return true;
    }
    // Turning matters only where the chord is long enough to show it and bends at all: twisted
    // surfaces turn along straight lines.
    if pa.distance(pb) < 4.0 * chord_mm || off < 0.05 * chord_mm {
        return false;
    }
    let (na, nb) = (from.normal, to.normal);
    na != DVec3::ZERO && nb != DVec3::ZERO && na.angle_between(nb) > 2.0 * angle_rad
}
