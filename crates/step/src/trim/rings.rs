//! Rings (boundaries that wind about a period) and the cuts that open the band between two.

use super::polygon::{along, touch};
use super::unroll::{NEW, Node, Path, Run};
use crate::surfaces::chart::Chart;
use glam::{DVec2, DVec3};

/// A ring on a line of constant v made of new mesh vertices, travelling by `advance_u`.
pub fn synthetic(
    chart: &Chart,
    start: DVec2,
    advance_u: f64,
    pieces: usize,
    id: impl Fn(usize, DVec3) -> u32,
) -> Path {
    let nodes = (0..pieces)
        .map(|i| {
            let uv = start + DVec2::new(advance_u * i as f64 / pieces as f64, 0.0);
            Node {
                uv,
                id: id(i, chart.point(uv)),
            }
        })
        .collect();
    Path {
        nodes,
        runs: vec![Run {
            edge: None,
            first: 0,
            count: pieces,
            skip: 0,
        }],
        advance: DVec2::new(advance_u, 0.0),
    }
}

/// Where a band is cut open: from node `from` of the first ring to node `to` of the second, the
/// second moved by `shift`.
#[derive(Clone, Copy, Debug)]
pub struct Cut {
    /// Node of the first ring.
    pub from: usize,
    /// Node of the second ring.
    pub to: usize,
    /// Movement of the second ring.
    pub shift: DVec2,
}

/// Shortest straight cut between two rings that touches no boundary on its way.
pub fn find_cut(
    first: &Path,
    second: &Path,
    others: &[Path],
    chart: &Chart,
    metric: DVec2,
) -> Option<Cut> {
    // All pairs of up to 96 nodes each; more adds nothing but time.
    let stride = |n: usize| n.div_ceil(96).max(1);
    let advance = first.advance;
    let length2 = advance.length_squared();
    let mut pairs: Vec<(f64, Cut)> = Vec::new();
    for from in (0..first.nodes.len()).step_by(stride(first.nodes.len())) {
        for to in (0..second.nodes.len()).step_by(stride(second.nodes.len())) {
            let gap = first.nodes[from].uv - second.nodes[to].uv;
            let turns = (gap.dot(advance) / length2).round();
            let shift = turns * advance;
            let d = ((second.nodes[to].uv + shift - first.nodes[from].uv) * metric).length();
            pairs.push((d, Cut { from, to, shift }));
        }
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let copies: Vec<DVec2> = {
        let [pu, pv] = chart.period.map(|p| p.unwrap_or(0.0));
        let mut list = Vec::new();
        for k in -2..=2 {
            for l in -2..=2 {
                let s = DVec2::new(f64::from(k) * pu, f64::from(l) * pv);
                if !list.contains(&s) {
                    list.push(s);
                }
            }
        }
        list
    };
    pairs.into_iter().take(600).map(|p| p.1).find(|cut| {
        let a = first.nodes[cut.from].uv;
        let b = second.nodes[cut.to].uv + cut.shift;
        a != b
            && clear(first, a, b, &copies)
            && clear(second, a, b, &copies)
            && others.iter().all(|o| clear(o, a, b, &copies))
    })
}

/// True when the line a-b meets no piece of the path or its copies, save at its own ends.
fn clear(path: &Path, a: DVec2, b: DVec2, copies: &[DVec2]) -> bool {
    // Copies of one corner differ by rounding only.
    let slack = 1e-9 * (1.0 + a.abs().max(b.abs()).max_element());
    let same = |p: DVec2, q: DVec2| (p - q).abs().max_element() <= slack;
    for i in 0..path.nodes.len() {
        let (c0, d0) = (path.uv(i), path.uv(i + 1));
        for &s in copies {
            let (c, d) = (c0 + s, d0 + s);
            let at_end = [(a, b), (b, a)]
                .iter()
                .any(|&(e, f)| (same(c, e) && !along(e, f, d)) || (same(d, e) && !along(e, f, c)));
            if !at_end && touch(a, b, c, d) {
                return false;
            }
        }
    }
    true
}

/// Corners of the band between two rings, cut open: along the first, across, along the second,
/// and back. Also the two straight pieces of the cut, in travel direction.
pub fn open_band(
    first: &Path,
    second: &Path,
    cut: Cut,
    chart: &Chart,
    steps: DVec2,
    new_points: &mut Vec<DVec3>,
) -> (Vec<Node>, [[DVec2; 2]; 2]) {
    let mut polygon = Vec::new();
    let a = first.nodes[cut.from].uv;
    let b = second.nodes[cut.to].uv + cut.shift;
    let ratio = (b - a).abs() / steps;
    let pieces = ratio.x.max(ratio.y).ceil().clamp(1.0, 2000.0) as usize;
    let base = new_points.len() as u32;
    let mut across = Vec::new();
    for i in 1..pieces {
        let uv = a.lerp(b, i as f64 / pieces as f64);
        new_points.push(chart.point(uv));
        across.push(Node {
            uv,
            id: NEW + base + i as u32 - 1,
        });
    }
    let n1 = first.nodes.len();
    for i in cut.from..=cut.from + n1 {
        polygon.push(Node {
            uv: first.uv(i),
            id: first.nodes[i % n1].id,
        });
    }
    polygon.extend(across.iter().map(|n| Node {
        uv: n.uv + first.advance,
        ..*n
    }));
    // The second ring travels back: start it one period on, so that it ends above the start.
    let n2 = second.nodes.len();
    let start = cut.shift + first.advance;
    for j in cut.to..=cut.to + n2 {
        polygon.push(Node {
            uv: second.uv(j) + start,
            id: second.nodes[j % n2].id,
        });
    }
    polygon.extend(across.iter().rev());
    (polygon, [[a + first.advance, b + first.advance], [b, a]])
}
