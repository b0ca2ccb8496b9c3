//! Adding points until every triangle keeps the tolerance.

use super::face::{Cdt, Corner, inside_faces};
use super::grid::Spacing;
use crate::brep::Surface;
use crate::surfaces::chart::Chart;
use crate::trim::unroll::NEW;
use glam::{DVec2, DVec3};
use spade::handles::FixedVertexHandle;
use spade::{Point2, PositionInTriangulation, Triangulation};
use std::collections::HashSet;

/// Passes of halving. A dozen do for most faces; each adds points only along the fronts of sparse
/// regions, so that faces cut up by many holes take more.
const PASSES: usize = 60;
/// Most points added to one face. Real faces at the default tolerance take some thousands; control
/// points thrown far out by a damaged file would take any number.
const MOST_POINTS: usize = 25_000;
/// What every face may add.
const LEAST_ALLOWANCE: usize = 6_000;
/// And this many more per corner present before: long boundaries belong to large faces.
const PER_CORNER: usize = 20;

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

/// Inserts midpoints of inner edges that stray from the surface; false when it gave up on the way.
pub(crate) fn refine(
    chart: &Chart,
    cdt: &mut Cdt,
    even: &[[usize; 2]],
    spacing: &Spacing,
    chord_mm: f64,
    angle_rad: f64,
    new_points: &mut Vec<DVec3>,
) -> bool {
    if matches!(chart.surface, Surface::Plane { .. }) {
        return true;
    }
    let allowance = (LEAST_ALLOWANCE + PER_CORNER * cdt.num_vertices()).min(MOST_POINTS);
    let most = new_points.len() + allowance;
    let exact = exact_steps(chart);
    // Edges found good stay good; most survive from pass to pass.
    let mut good: HashSet<(usize, usize)> = HashSet::new();
    for _ in 0..PASSES {
        let mut state = vec![false; cdt.num_all_faces()];
        for f in inside_faces(cdt, even) {
            state[f.index()] = true;
        }
        let mut wanted: Vec<(DVec2, FixedVertexHandle)> = Vec::new();
        for edge in cdt.undirected_edges() {
            if edge.is_constraint_edge() {
                continue;
            }
            let d = edge.as_directed();
            if !state[d.face().fix().index()] || !state[d.rev().face().fix().index()] {
                continue;
            }
            let [a, b] = edge.vertices();
            let hint = a.fix();
            let (i, j) = (a.fix().index(), b.fix().index());
            let key = (i.min(j), i.max(j));
            if !exact && good.contains(&key) {
                continue;
            }
            let (a, b) = (a.data(), b.data());
            let (p, q) = (a.at / spacing.metric, b.at / spacing.metric);
            let strays = if exact {
                let span = strays_by_steps(chart, spacing, p, q);
                // Beside a boundary piece that spans more, splitting would go on for ever: the piece
                // is a chord of a curve on the surface and within tolerance as it is.
                let width = |a: DVec2, b: DVec2| ((b - a) / spacing.steps).length();
                let beside = [d.next(), d.prev(), d.rev().next(), d.rev().prev()]
                    .iter()
                    .filter(|e| e.is_constraint_edge())
                    .map(|e| e.vertices().map(|v| *v.data()))
                    .filter(|[a, b]| a.id != b.id)
                    .map(|[a, b]| width(a.at / spacing.metric, b.at / spacing.metric))
                    .fold(0.0, f64::max);
                span && width(p, q) > 0.75 * beside
            } else {
                strays(chart, (p, a), (q, b), chord_mm, angle_rad)
            };
            if strays {
                wanted.push((0.5 * (p + q), hint));
            } else if !exact {
                good.insert(key);
            }
        }
        if wanted.is_empty() {
            return true;
        }
        let mut added = false;
        for (uv, hint) in wanted {
            if new_points.len() >= most {
                return false;
            }
            let at = uv * spacing.metric;
            // Inserting where a vertex is would overwrite it, and on the boundary would split what
            // the neighbours share.
            let free = match cdt.locate_with_hint(Point2::new(at.x, at.y), hint) {
                PositionInTriangulation::OnFace(_) => true,
                PositionInTriangulation::OnEdge(e) => !cdt.directed_edge(e).is_constraint_edge(),
                _ => false,
            };
            if free {
                let corner = Corner::new(chart, uv, at, NEW + new_points.len() as u32);
                if cdt.insert_with_hint(corner, hint).is_ok() {
                    new_points.push(corner.point);
                    added = true;
                }
            }
        }
        // What is left cannot be split: it is as short as numbers go.
        if !added {
            return true;
        }
    }
    false
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
    if d.length_squared() <= allowed {
        return false;
    }
    // Steps are those of the tightest bend; where the radius changes along v, look again here.
    if let Surface::Cone { .. } | Surface::Torus { .. } = chart.surface {
        let middle = 0.5 * (a + b);
        let here = chart
            .steps_at(middle, spacing.chord_mm, spacing.angle_rad)
            .max(spacing.steps);
        return ((b - a) / here).length_squared() > allowed;
    }
    true
}

fn strays(
    chart: &Chart,
    (a, from): (DVec2, &Corner),
    (b, to): (DVec2, &Corner),
    chord_mm: f64,
    angle_rad: f64,
) -> bool {
    let (pa, pb) = (from.point, to.point);
    if pa.distance(pb) < chord_mm {
        return false;
    }
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
