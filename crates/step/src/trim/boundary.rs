//! Loops of a face as cycles of segments, without seams and without edges of no length.

use crate::brep::{Face, Loop};
use crate::tessellate::prepare::Prepared;

/// One step along a boundary.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// Along an edge, from its start to its end when `forward`.
    Edge {
        /// Index of the edge.
        edge: usize,
        /// Direction of travel.
        forward: bool,
    },
    /// Straight between two vertices (polygonal loops).
    Straight {
        /// Vertex left.
        from: usize,
        /// Vertex reached.
        to: usize,
    },
}

impl Segment {
    fn reversed(self) -> Self {
        match self {
            Segment::Edge { edge, forward } => Segment::Edge {
                edge,
                forward: !forward,
            },
            Segment::Straight { from, to } => Segment::Straight { from: to, to: from },
        }
    }
}

/// Boundaries of a face, oriented with the face to the left when looking against `du x dv` of its
/// chart (`outward` tells whether that is the outward side).
pub fn cycles(face: &Face, solid: &Prepared, outward: bool) -> Vec<Vec<Segment>> {
    let mut cycles: Vec<Vec<Segment>> = Vec::new();
    for boundary in &face.loops {
        let mut cycle: Vec<Segment> = match boundary {
            Loop::Vertex(_) => continue,
            Loop::Edges(uses) => uses
                .iter()
                .filter_map(|u| {
                    let (edge, flip) = solid.alias[u.edge];
                    (!solid.collapsed[edge]).then_some(Segment::Edge {
                        edge,
                        forward: u.forward != flip,
                    })
                })
                .collect(),
            Loop::Poly(corners) => {
                let ids: Vec<usize> = corners.iter().map(|&c| solid.vertex_of[c]).collect();
                (0..ids.len())
                    .map(|i| Segment::Straight {
                        from: ids[i],
                        to: ids[(i + 1) % ids.len()],
                    })
                    .filter(|s| !matches!(s, Segment::Straight { from, to } if from == to))
                    .collect()
            }
        };
        if !outward {
            cycle.reverse();
            for s in &mut cycle {
                *s = s.reversed();
            }
        }
        if !cycle.is_empty() {
            cycles.push(cycle);
        }
    }
    drop_pairs(cycles)
}

/// Removes segments used once in each direction and closes what is left up again: within one cycle
/// `A s B s'` falls apart into `A` and `B`; between two, `A s` and `B s'` join to `A B`.
fn drop_pairs(mut cycles: Vec<Vec<Segment>>) -> Vec<Vec<Segment>> {
    // Quick exit for the usual face.
    let total: usize = cycles.iter().map(Vec::len).sum();
    let mut keys: Vec<(usize, usize)> = Vec::with_capacity(total);
    for s in cycles.iter().flatten() {
        keys.push(match *s {
            Segment::Edge { edge, .. } => (usize::MAX, edge),
            Segment::Straight { from, to } => (from.min(to), from.max(to)),
        });
    }
    keys.sort_unstable();
    if keys.windows(2).all(|w| w[0] != w[1]) {
        return cycles;
    }
    while let Some((a, i, b, j)) = find_pair(&cycles) {
        if a == b {
            let cycle = cycles.swap_remove(a);
            let inner = cycle[i + 1..j].to_vec();
            let outer = [&cycle[j + 1..], &cycle[..i]].concat();
            cycles.extend([inner, outer].into_iter().filter(|c| !c.is_empty()));
        } else {
            let (first, second) = (cycles[a].clone(), cycles[b].clone());
            let joined = [&first[i + 1..], &first[..i], &second[j + 1..], &second[..j]].concat();
            cycles.remove(a.max(b));
            cycles.remove(a.min(b));
            if !joined.is_empty() {
                cycles.push(joined);
            }
        }
    }
    cycles
}

fn find_pair(cycles: &[Vec<Segment>]) -> Option<(usize, usize, usize, usize)> {
    let mut all: Vec<(Segment, usize, usize)> = Vec::new();
    for (a, cycle) in cycles.iter().enumerate() {
        for (i, &s) in cycle.iter().enumerate() {
            if let Some(&(_, b, j)) = all.iter().find(|(t, _, _)| *t == s.reversed()) {
                return Some(if a == b { (a, j, a, i) } else { (b, j, a, i) });
            }
            all.push((s, a, i));
        }
    }
    None
}
