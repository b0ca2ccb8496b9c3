//! Following a cycle of segments through the parameters of a surface.

use super::boundary::Segment;
use crate::surfaces::chart::Chart;
use crate::tessellate::prepare::Prepared;
use glam::{DVec2, DVec3};

/// A corner of a boundary polygon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Node {
    /// Parameters, unrolled.
    pub uv: DVec2,
    /// Mesh vertex: below [`NEW`] one shared by the solid, from there on one of the face's own.
    pub id: u32,
}

/// First vertex number of those that belong to a single face.
pub const NEW: u32 = 1 << 31;

/// Where on the boundary an edge runs: `nodes[first ..= first + count]` are its samples.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Index of the edge; `None` for straight lines in (u, v).
    pub edge: Option<(usize, bool)>,
    /// Node it starts at.
    pub first: usize,
    /// Number of pieces.
    pub count: usize,
    /// Pieces of the edge that lie before, in travel direction: those of another run.
    pub skip: usize,
}

impl Run {
    /// Which of the edge's `samples`, in its own direction, the run's corner `i` is.
    pub fn sample(&self, i: usize, forward: bool, samples: usize) -> usize {
        if forward {
            self.skip + i
        } else {
            samples - 1 - self.skip - i
        }
    }
}

/// A closed boundary in (u, v). The node after the last is the first one moved by `advance`.
#[derive(Clone, Debug, Default)]
pub struct Path {
    /// Corners.
    pub nodes: Vec<Node>,
    /// What lies between them.
    pub runs: Vec<Run>,
    /// Whole periods travelled on the way round.
    pub advance: DVec2,
}

impl Path {
    /// Corner `i`, counted on beyond the end.
    pub fn uv(&self, i: usize) -> DVec2 {
        let n = self.nodes.len();
        self.nodes[i % n].uv + self.advance * (i / n) as f64
    }

    /// Signed area enclosed; meaningful only without advance.
    pub fn area(&self) -> f64 {
        let o = self.nodes.first().map_or(DVec2::ZERO, |n| n.uv);
        (0..self.nodes.len())
            .map(|i| 0.5 * (self.uv(i) - o).perp_dot(self.uv(i + 1) - o))
            .sum()
    }

    /// Moves all corners.
    pub fn shift(&mut self, by: DVec2) {
        for n in &mut self.nodes {
            n.uv += by;
        }
    }

    /// Lets the path begin at corner `k`; an edge that corner lies inside makes two runs.
    pub fn open_at(&mut self, k: usize) {
        let n = self.nodes.len();
        let nodes = (k..k + n).map(|i| Node {
            uv: self.uv(i),
            ..self.nodes[i % n]
        });
        self.nodes = nodes.collect();
        let (mut ahead, mut behind) = (Vec::new(), Vec::new());
        for run in &self.runs {
            if run.first >= k {
                ahead.push(Run {
                    first: run.first - k,
                    ..*run
                });
                continue;
            }
            let before = run.count.min(k - run.first);
            behind.push(Run {
                first: run.first + n - k,
                count: before,
                ..*run
            });
            if before < run.count {
                ahead.push(Run {
                    first: 0,
                    count: run.count - before,
                    skip: run.skip + before,
                    ..*run
                });
            }
        }
        ahead.append(&mut behind);
        self.runs = ahead;
    }

    /// Turns the direction of travel around; edges must not be in two runs yet.
    pub fn reverse(&mut self) {
        let n = self.nodes.len();
        let start = self.nodes[0];
        let back = self.advance;
        self.nodes.reverse();
        self.nodes.rotate_right(1);
        for (i, node) in self.nodes.iter_mut().enumerate() {
            if i > 0 {
                node.uv -= back;
            }
        }
        self.nodes[0] = start;
        self.advance = -back;
        self.runs.reverse();
        for run in &mut self.runs {
            run.first = n - run.first - run.count;
            run.edge = run.edge.map(|(e, f)| (e, !f));
        }
    }
}

/// A segment's samples in travel order.
pub(crate) struct Trace {
    pub points: Vec<DVec3>,
    pub ids: Vec<u32>,
    pub params: Option<Vec<f64>>,
    pub edge: Option<(usize, bool)>,
}

pub(crate) fn trace(segment: Segment, solid: &Prepared) -> Trace {
    match segment {
        Segment::Straight { from, to } => Trace {
            points: vec![solid.vertices[from], solid.vertices[to]],
            ids: vec![from as u32, to as u32],
            params: None,
            edge: None,
        },
        Segment::Edge { edge, forward } => {
            let s = &solid.samples[edge];
            let e = &solid.edges[edge];
            let last = s.points.len() - 1;
            let id = |i: usize| -> u32 {
                if i == 0 {
                    e.start as u32
                } else if i == last {
                    e.end as u32
                } else {
                    s.first_interior + i as u32 - 1
                }
            };
            let mut order: Vec<usize> = (0..=last).collect();
            if !forward {
                order.reverse();
            }
            Trace {
                points: order.iter().map(|&i| s.points[i]).collect(),
                ids: order.iter().map(|&i| id(i)).collect(),
                params: Some(order.iter().map(|&i| s.params[i]).collect()),
                edge: Some((edge, forward)),
            }
        }
    }
}

/// Follows a cycle around. `pole_tolerance_mm` decides which vertices are poles.
pub fn unroll(
    cycle: &[Segment],
    solid: &Prepared,
    chart: &Chart,
    pole_tolerance_mm: f64,
    steps: DVec2,
) -> Path {
    let mut traces: Vec<Trace> = cycle.iter().map(|&s| trace(s, solid)).collect();
    // Start away from poles, where u means something.
    if let Some(i) = traces
        .iter()
        .position(|t| chart.pole_at(t.points[0], pole_tolerance_mm).is_none())
    {
        traces.rotate_left(i);
    }
    let mut path = Path::default();
    let mut last: Option<DVec2> = None;
    let mut first_pole = None;
    for t in &traces {
        let poles: Vec<Option<usize>> = [t.points[0], t.points[t.points.len() - 1]]
            .iter()
            .map(|p| chart.pole_at(*p, pole_tolerance_mm))
            .collect();
        let hint = if poles[0].is_some() { None } else { last };
        let mut uv = trace_uv(t, solid, chart, hint, [poles[0], poles[1]]);
        match (poles[0], last) {
            (Some(k), Some(from)) => {
                let by = pole_jump(chart, k, from.x, uv[0].x);
                for p in &mut uv {
                    p.x += by;
                }
                add_pole_line(&mut path, chart, k, from.x, uv[0].x, t.ids[0], steps);
            }
            (Some(k), None) => first_pole = Some(k),
            _ => {}
        }
        let first = path.nodes.len();
        path.runs.push(Run {
            edge: t.edge,
            first,
            count: uv.len() - 1,
            skip: 0,
        });
        let corners = uv.iter().zip(&t.ids).take(uv.len() - 1);
        path.nodes.extend(corners.map(|(&uv, &id)| Node { uv, id }));
        last = uv.last().copied();
    }
    let (Some(end), Some(start)) = (last, path.nodes.first().copied()) else {
        return path;
    };
    if let Some(k) = first_pole {
        let by = pole_jump(chart, k, end.x, start.uv.x);
        add_pole_line(&mut path, chart, k, end.x, start.uv.x + by, start.id, steps);
        path.advance = DVec2::new(by, 0.0);
    } else {
        let gap = (end - start.uv).to_array();
        let whole = |k: usize| chart.period[k].map_or(0.0, |p| (gap[k] / p).round() * p);
        path.advance = DVec2::new(whole(0), whole(1));
    }
    path
}

/// Shift of u, by whole periods, with which a boundary leaves a pole: with the face on the left,
/// travel along the upper pole runs against u, along the lower one with u. Arriving and leaving in
/// the same direction means going all the way round.
fn pole_jump(chart: &Chart, pole: usize, from: f64, to: f64) -> f64 {
    let Some(p) = chart.period[0] else { return 0.0 };
    let ahead = if pole == 1 { from - to } else { to - from };
    let mut turn = ahead.rem_euclid(p);
    if turn < 1e-6 * p {
        turn += p;
    }
    let target = if pole == 1 { from - turn } else { from + turn };
    target - to
}

fn add_pole_line(
    path: &mut Path,
    chart: &Chart,
    pole: usize,
    from: f64,
    to: f64,
    id: u32,
    steps: DVec2,
) {
    let v = chart.poles[pole].map_or(0.0, |p| p.v);
    let width = (to - from).abs();
    if width == 0.0 {
        return;
    }
    let step = if steps.x.is_finite() { steps.x } else { width };
    let n = (width / step).ceil().clamp(1.0, 256.0) as usize;
    path.runs.push(Run {
        edge: None,
        first: path.nodes.len(),
        count: n,
        skip: 0,
    });
    for i in 0..n {
        let u = from + (to - from) * i as f64 / n as f64;
        path.nodes.push(Node {
            uv: DVec2::new(u, v),
            id,
        });
    }
}

/// Parameters of every sample, without jumps.
fn trace_uv(
    t: &Trace,
    solid: &Prepared,
    chart: &Chart,
    hint: Option<DVec2>,
    poles: [Option<usize>; 2],
) -> Vec<DVec2> {
    let n = t.points.len();
    let mut uv = vec![DVec2::ZERO; n];
    let (from, to) = (
        usize::from(poles[0].is_some()),
        n - usize::from(poles[1].is_some()),
    );
    let at = |i: usize, s: f64| -> DVec3 {
        match (&t.params, t.edge) {
            (Some(params), Some((edge, _))) => solid.edges[edge]
                .curve
                .point(params[i] + s * (params[i + 1] - params[i])),
            _ => t.points[i].lerp(t.points[i + 1], s),
        }
    };
    let mut previous = hint;
    for (i, slot) in uv.iter_mut().enumerate().take(to).skip(from) {
        *slot = match previous {
            Some(h) if i > from => follow(chart, h, t.points[i], &|s| at(i - 1, s), 0.0, 1.0, 0),
            hint => chart.invert(t.points[i], hint),
        };
        previous = Some(*slot);
    }
    // An edge between two poles with nothing between: its middle says which meridian it is.
    if from >= to {
        let m = chart.invert(at(0, 0.5), None);
        for (i, k) in [(0, poles[0]), (n - 1, poles[1])] {
            uv[i] = DVec2::new(m.x, k.and_then(|k| chart.poles[k]).map_or(m.y, |p| p.v));
        }
        return uv;
    }
    // At a pole u is the limit along the edge.
    for (end, k) in [(0, poles[0]), (n - 1, poles[1])] {
        let Some(pole) = k.and_then(|k| chart.poles[k]) else {
            continue;
        };
        let (i, s, beside) = if end == 0 {
            (0, 1e-3, uv[1])
        } else {
            (n - 2, 1.0 - 1e-3, uv[n - 2])
        };
        let limit = chart.invert(at(i, s), Some(beside));
        uv[end] = DVec2::new(limit.x, pole.v);
    }
    uv
}

/// Next parameters after `from`, halving the step while it is too long to tell which way round it
/// went.
fn follow(
    chart: &Chart,
    from: DVec2,
    target: DVec3,
    at: &dyn Fn(f64) -> DVec3,
    s0: f64,
    s1: f64,
    depth: u32,
) -> DVec2 {
    let direct = chart.invert(target, Some(from));
    let step = (direct - from).abs().to_array();
    let long = (0..2).any(|k| chart.period[k].is_some_and(|p| step[k] > 0.2 * p));
    if !long || depth >= 14 {
        return direct;
    }
    let middle = 0.5 * (s0 + s1);
    let half = follow(chart, from, at(middle), at, s0, middle, depth + 1);
    follow(chart, half, target, at, middle, s1, depth + 1)
}
