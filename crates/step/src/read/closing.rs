//! Does a shell close? Surface models do not say; their faces may not even share edges.

use std::collections::BTreeMap;

use glam::DVec3;

use super::topology::Parts;
use crate::brep::Loop;
use crate::curves::interval::edge_interval;

/// True when every edge is used as often one way as the other: the shell has no border. Edges
/// count as one when they have the same ends and middle within the tolerance, since systems that
/// export surfaces write each face with edges of its own. Whole closed surfaces (a sphere with a
/// vertex loop) have no edges and close as well.
pub(super) fn closes(parts: &Parts, tolerance_mm: f64) -> bool {
    if parts.faces.is_empty() || !parts.lost_faces.is_empty() {
        return false;
    }
    let welded = weld(&parts.vertices, tolerance_mm);
    let places = same_places(parts, &welded, tolerance_mm);
    let mut balance: BTreeMap<Place, (i32, u32)> = BTreeMap::new();
    let mut count = |place: Place, forward: bool| {
        let (sum, uses) = balance.entry(place).or_default();
        *sum += if forward { 1 } else { -1 };
        *uses += 1;
    };
    for boundary in parts.faces.iter().flat_map(|face| &face.loops) {
        match boundary {
            Loop::Edges(uses) => {
                for u in uses {
                    let (place, along) = places[u.edge];
                    count(place, u.forward == along);
                }
            }
            Loop::Poly(corners) => {
                let next = corners.iter().cycle().skip(1);
                for (a, b) in corners.iter().zip(next) {
                    let (a, b) = (welded[*a], welded[*b]);
                    if a != b {
                        count(
                            Place {
                                low: a.min(b),
                                high: a.max(b),
                                middle: 0,
                            },
                            a < b,
                        );
                    }
                }
            }
            Loop::Vertex(_) => {}
        }
    }
    balance.iter().all(|(place, (sum, uses))| {
        // Which way a ring runs is not compared: its ends are the same.
        uses % 2 == 0 && (*sum == 0 || place.low == place.high)
    })
}

/// Where an edge is: its welded ends, and which of the curves between them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Place {
    low: usize,
    high: usize,
    middle: usize,
}

/// The place of every edge, and whether it runs there from the lower end to the higher.
fn same_places(parts: &Parts, welded: &[usize], tolerance_mm: f64) -> Vec<(Place, bool)> {
    let mut middles: BTreeMap<(usize, usize), Vec<DVec3>> = BTreeMap::new();
    let mut places = Vec::with_capacity(parts.edges.len());
    for edge in &parts.edges {
        let (start, end) = (welded[edge.start], welded[edge.end]);
        let [t0, t1] = edge_interval(edge, &parts.vertices, tolerance_mm);
        let middle = edge.curve.point(0.5 * (t0 + t1));
        // Two exports of one curve may differ by more than their ends do.
        let near = 10.0 * tolerance_mm;
        let key = (start.min(end), start.max(end));
        let known = middles.entry(key).or_default();
        let at = known
            .iter()
            .position(|other| other.distance(middle) <= near)
            .unwrap_or(known.len());
        if at == known.len() {
            known.push(middle);
        }
        places.push((
            Place {
                low: key.0,
                high: key.1,
                middle: at,
            },
            start <= end,
        ));
    }
    places
}

/// For every vertex the first one in the same place.
fn weld(vertices: &[DVec3], tolerance_mm: f64) -> Vec<usize> {
    let cell = |p: DVec3| (p / (2.0 * tolerance_mm)).floor().as_i64vec3().to_array();
    let mut cells: BTreeMap<[i64; 3], Vec<usize>> = BTreeMap::new();
    let mut first = Vec::with_capacity(vertices.len());
    for (index, p) in vertices.iter().enumerate() {
        let here = cell(*p);
        let mut found = None;
        for offset in 0..27 {
            let beside = [offset % 3 - 1, offset / 3 % 3 - 1, offset / 9 - 1];
            let key = std::array::from_fn(|axis| here[axis].saturating_add(beside[axis]));
            let near = cells.get(&key).into_iter().flatten();
            found = near
                .copied()
                .find(|other| vertices[*other].distance(*p) <= tolerance_mm);
            if found.is_some() {
                break;
            }
        }
        match found {
            Some(other) => first.push(other),
            None => {
                cells.entry(here).or_default().push(index);
                first.push(index);
            }
        }
    }
    first
}
