//! Ear clipping that always finishes: the last resort when boundaries cross and cannot be refined.
//!
//! Every boundary piece ends up in exactly one triangle, so neighbours still fit; where boundaries
//! cross some triangles overlap, and the caller says so.

use super::face::FaceMesh;
use crate::surfaces::chart::Chart;
use crate::trim::domain::Domain;
use crate::trim::polygon::area;
use crate::trim::unroll::Node;
use glam::DVec2;

/// Corner tests that every face may take: rings of a hundred corners are searched in full.
const BASE_BUDGET: usize = 2_000_000;
/// And this many more per corner. A damaged gear of 70 faces with 500 corners each took 5 s at
/// 30 million a face.
const BUDGET_PER_CORNER: usize = 1_000;

/// Triangulates by clipping.
pub fn clip(chart: &Chart, domain: &Domain, metric: DVec2) -> FaceMesh {
    let mut out = FaceMesh {
        new_points: domain.new_points.clone(),
        ..FaceMesh::default()
    };
    let mut ring = joined(domain, metric);
    ring.dedup_by(|a, b| a.id == b.id && a.uv == b.uv);
    let mut add = |t: [Node; 3]| {
        let ids = t.map(|n| n.id);
        if ids[0] == ids[1] || ids[1] == ids[2] || ids[2] == ids[0] {
            return;
        }
        let uv = t.map(|n| n.uv);
        let (ids, uv) = if chart.outward {
            (ids, uv)
        } else {
            ([ids[0], ids[2], ids[1]], [uv[0], uv[2], uv[1]])
        };
        out.triangles.push(ids);
        out.uv.push(uv);
    };
    // Looking for good ears costs up to the cube of the number of corners; damaged files must not
    // get that much, so beyond a linear budget any ear will do.
    let mut budget = BASE_BUDGET + BUDGET_PER_CORNER * ring.len();
    while ring.len() > 3 {
        let n = ring.len();
        if budget == 0 {
            let last = n - 1;
            add([ring[last - 1], ring[last], ring[0]]);
            ring.pop();
            continue;
        }
        let corner = |i: usize| [ring[(i + n - 1) % n], ring[i], ring[(i + 1) % n]];
        let mut best: Option<(f64, usize)> = None;
        for i in 0..n {
            let t = corner(i);
            let [a, b, c] = t.map(|k| k.uv * metric);
            let size = 0.5 * (b - a).perp_dot(c - a);
            let lengths = a.distance_squared(b) + b.distance_squared(c) + c.distance_squared(a);
            let mut quality = if lengths > 0.0 { size / lengths } else { 0.0 };
            budget = budget.saturating_sub(n);
            let blocked = ring.iter().any(|k| {
                let p = k.uv * metric;
                ![a, b, c].contains(&p)
                    && (b - a).perp_dot(p - a) > 0.0
                    && (c - b).perp_dot(p - b) > 0.0
                    && (a - c).perp_dot(p - c) > 0.0
            });
            if blocked {
                quality -= 10.0;
            }
            if best.is_none_or(|q| quality > q.0) {
                best = Some((quality, i));
            }
            // A decent ear need not wait for the best one.
            if quality > 0.05 {
                break;
            }
        }
        let Some((_, i)) = best else { break };
        add(corner(i));
        ring.remove(i);
    }
    if let [a, b, c] = ring[..] {
        add([a, b, c]);
    }
    out
}

/// Outer polygon with all holes joined to it by bridges.
fn joined(domain: &Domain, metric: DVec2) -> Vec<Node> {
    let Some((outer, holes)) = domain.polygons.split_first() else {
        return Vec::new();
    };
    let mut ring = outer.clone();
    let mut holes: Vec<&Vec<Node>> = holes.iter().filter(|h| h.len() > 2).collect();
    let right = |h: &Vec<Node>| h.iter().map(|n| n.uv.x).fold(f64::NEG_INFINITY, f64::max);
    holes.sort_by(|a, b| right(b).total_cmp(&right(a)));
    for hole in holes {
        let mut hole = hole.clone();
        if area(&hole.iter().map(|n| n.uv).collect::<Vec<_>>()) > 0.0 {
            hole.reverse();
        }
        let mut best = (f64::INFINITY, 0, 0);
        for (i, a) in ring.iter().enumerate() {
            for (j, b) in hole.iter().enumerate() {
                let d = ((a.uv - b.uv) * metric).length_squared();
                if d < best.0 {
                    best = (d, i, j);
                }
            }
        }
        let (_, i, j) = best;
        hole.rotate_left(j);
        hole.push(hole[0]);
        let back = ring[i];
        ring.splice(i + 1..i + 1, hole.into_iter().chain([back]));
    }
    ring
}
