//! A solid made ready: vertices and edges that lie on each other joined, every edge split once.

use super::edges::{EdgeSamples, Split, sample};
use crate::brep::{Edge, Loop, Solid, Surface};
use crate::curves::interval::edge_interval;
use crate::surfaces::chart::Chart;
use glam::DVec3;
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// Vertices and edges of a solid as the faces share them.
#[derive(Clone, Debug, Default)]
pub struct Prepared {
    /// Vertex positions.
    pub vertices: Vec<DVec3>,
    /// For every vertex of the file the one that stands for it.
    pub vertex_of: Vec<usize>,
    /// Edges, between vertices that stand for others.
    pub edges: Vec<Edge>,
    /// For every edge the one that stands for it, and whether that one runs the other way.
    pub alias: Vec<(usize, bool)>,
    /// Edges of no length.
    pub collapsed: Vec<bool>,
    /// Edges whose curve cannot be evaluated, with the reason.
    pub broken: BTreeMap<usize, String>,
    /// Parameters of every edge's curve at its start and end.
    pub intervals: Vec<[f64; 2]>,
    /// The split edges.
    pub samples: Vec<EdgeSamples>,
    /// Mesh vertices used by vertices and edges together.
    pub shared_count: u32,
    /// Diagonal of the box around vertices and edges, mm.
    pub diagonal_mm: f64,
    /// Distance below which things count as being in the same place, mm.
    pub join_mm: f64,
    /// Number of edges joined because the file did not share them.
    pub sewn: usize,
}

impl Prepared {
    /// Joins what lies together; edges are not split yet.
    pub fn new(solid: &Solid) -> Self {
        let mut out = Self {
            vertices: solid.vertices.clone(),
            vertex_of: (0..solid.vertices.len()).collect(),
            edges: solid.edges.clone(),
            alias: (0..solid.edges.len()).map(|e| (e, false)).collect(),
            collapsed: vec![false; solid.edges.len()],
            ..Self::default()
        };
        for (i, e) in solid.edges.iter().enumerate() {
            let count = solid.vertices.len();
            if e.start >= count || e.end >= count {
                out.broken.insert(i, "a vertex is missing".into());
            } else if let Some(problem) = e.curve.problem() {
                out.broken.insert(i, problem);
            }
        }
        let size = crate::curves::extent(&solid.vertices);
        // 1e-7 of the part is the resolution CAD kernels work at for metre-sized parts; files
        // state 1e-7 to 1e-2 mm, and wider claims would swallow small features.
        let stated = solid.uncertainty_mm.unwrap_or(1e-5);
        out.join_mm = stated.clamp(1e-9 * size.max(1e-6), (1e-4 * size).max(1e-9));
        out.intervals = (0..out.edges.len())
            .into_par_iter()
            .map(|i| out.interval(i))
            .collect();
        out.sew(solid);
        out.collapse();
        out.diagonal_mm = out.measure(solid);
        out
    }

    fn interval(&self, i: usize) -> [f64; 2] {
        if self.broken.contains_key(&i) {
            [0.0, 0.0]
        } else {
            let t = edge_interval(&self.edges[i], &self.vertices, self.join_mm);
            if t.iter().all(|t| t.is_finite()) {
                t
            } else {
                [0.0, 0.0]
            }
        }
    }

    fn middle(&self, i: usize) -> DVec3 {
        let [a, b] = self.intervals[i];
        self.edges[i].curve.point(0.5 * (a + b))
    }

    fn measure(&self, solid: &Solid) -> f64 {
        let mut points = self.vertices.clone();
        // Closed surfaces have little or no boundary to go by.
        for face in &solid.faces {
            let bare = !face.loops.iter().any(|l| match l {
                Loop::Edges(list) => list.len() > 2,
                Loop::Poly(_) => true,
                Loop::Vertex(_) => false,
            });
            let flat = matches!(
                face.surface,
                Surface::Plane { .. } | Surface::Cylinder { .. } | Surface::Cone { .. }
            );
            if bare
                && !flat
                && let Ok(chart) = Chart::new(&face.surface, true, &[], 1e-6)
            {
                points.extend(chart.samples());
            }
        }
        for (i, e) in self.edges.iter().enumerate() {
            if !self.broken.contains_key(&i) {
                let [a, b] = self.intervals[i];
                points.extend((1..4).map(|k| e.curve.point(a + (b - a) * f64::from(k) / 4.0)));
            }
        }
        points.retain(|p| p.is_finite());
        crate::curves::extent(&points)
    }

    /// Shells whose faces do not share edges are sewn where edges used once lie on each other.
    fn sew(&mut self, solid: &Solid) {
        let mut uses = vec![0_u32; self.edges.len()];
        for face in &solid.faces {
            for l in &face.loops {
                if let Loop::Edges(list) = l {
                    for u in list {
                        if let Some(n) = uses.get_mut(u.edge) {
                            *n += 1;
                        }
                    }
                }
            }
        }
        let free: Vec<usize> = (0..self.edges.len())
            .filter(|&e| uses[e] == 1 && !self.broken.contains_key(&e))
            .collect();
        if free.len() < 2 {
            return;
        }
        let mut ends: Vec<usize> = free
            .iter()
            .flat_map(|&e| [self.edges[e].start, self.edges[e].end])
            .collect();
        ends.sort_unstable();
        ends.dedup();
        self.merge_close(&ends);
        let mut groups: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
        for &e in &free {
            let (a, b) = (self.edges[e].start, self.edges[e].end);
            groups.entry((a.min(b), a.max(b))).or_default().push(e);
        }
        for list in groups.values() {
            let mut taken = vec![false; list.len()];
            for i in 0..list.len() {
                if taken[i] {
                    continue;
                }
                let (a, middle) = (list[i], self.middle(list[i]));
                for j in i + 1..list.len() {
                    let b = list[j];
                    let t = self.edges[b].curve.closest(middle);
                    if taken[j]
                        || self.edges[b].curve.point(t).distance(middle) > 10.0 * self.join_mm
                    {
                        continue;
                    }
                    self.alias[b] = (a, self.runs_against(a, b, t));
                    (taken[i], taken[j]) = (true, true);
                    self.sewn += 1;
                    break;
                }
            }
        }
    }

    /// Whether edge `b`, passing the middle of edge `a` at parameter `t`, runs the other way.
    fn runs_against(&self, a: usize, b: usize, t: f64) -> bool {
        let sign = |e: usize| (self.intervals[e][1] - self.intervals[e][0]).signum();
        let [p, q] = self.intervals[a];
        let along_a = self.edges[a].curve.eval(0.5 * (p + q), 1)[1] * sign(a);
        let along_b = self.edges[b].curve.eval(t, 1)[1] * sign(b);
        along_a.dot(along_b) < 0.0
    }

    fn merge_close(&mut self, list: &[usize]) {
        let mut order: Vec<usize> = list.to_vec();
        order.sort_by(|&a, &b| self.vertices[a].x.total_cmp(&self.vertices[b].x));
        for i in 0..order.len() {
            for j in i + 1..order.len() {
                let (p, q) = (self.vertices[order[i]], self.vertices[order[j]]);
                if q.x - p.x > self.join_mm {
                    break;
                }
                if p.distance(q) <= self.join_mm {
                    self.merge(order[i], order[j]);
                }
            }
        }
        self.apply_merges();
    }

    fn root(&self, mut v: usize) -> usize {
        while self.vertex_of[v] != v {
            v = self.vertex_of[v];
        }
        v
    }

    fn merge(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        self.vertex_of[a.max(b)] = a.min(b);
    }

    fn apply_merges(&mut self) {
        for v in 0..self.vertex_of.len() {
            self.vertex_of[v] = self.root(v);
        }
        for (i, e) in self.edges.iter_mut().enumerate() {
            if !self.broken.contains_key(&i) {
                e.start = self.vertex_of[e.start];
                e.end = self.vertex_of[e.end];
            }
        }
    }

    /// Edges shorter than the resolution vanish, and their ends become one.
    fn collapse(&mut self) {
        let mut merged = false;
        for i in 0..self.edges.len() {
            if self.broken.contains_key(&i) {
                continue;
            }
            let (s, e) = (
                self.vertices[self.edges[i].start],
                self.vertices[self.edges[i].end],
            );
            let limit = self.join_mm.min(1e-6);
            if s.distance(e) <= limit && self.middle(i).distance(s) <= limit {
                self.collapsed[i] = true;
                self.merge(self.edges[i].start, self.edges[i].end);
                merged = true;
            }
        }
        if merged {
            self.apply_merges();
        }
    }

    /// Splits all edges.
    pub fn split(&mut self, chord_mm: f64, angle_rad: f64) {
        let samples: Vec<EdgeSamples> = (0..self.edges.len())
            .into_par_iter()
            .map(|i| {
                self.sampled(
                    i,
                    Split {
                        chord_mm,
                        angle_rad,
                        divide: 1,
                    },
                )
            })
            .collect();
        self.samples = samples;
        let mut next = self.vertices.len() as u32;
        for s in &mut self.samples {
            s.first_interior = next;
            next += s.points.len().saturating_sub(2) as u32;
        }
        self.shared_count = next;
    }

    /// Splits some edges again, each piece into as many as `divide` says. Their samples get new
    /// numbers, so that faces that do not use them stay as they are.
    pub fn split_again(
        &mut self,
        which: &BTreeSet<usize>,
        divide: &BTreeMap<usize, usize>,
        chord_mm: f64,
        angle_rad: f64,
    ) {
        for &i in which {
            let divide = divide.get(&i).copied().unwrap_or(1);
            let mut s = self.sampled(
                i,
                Split {
                    chord_mm,
                    angle_rad,
                    divide,
                },
            );
            s.first_interior = self.shared_count;
            self.shared_count += s.points.len().saturating_sub(2) as u32;
            self.samples[i] = s;
        }
    }

    fn sampled(&self, i: usize, split: Split) -> EdgeSamples {
        if self.broken.contains_key(&i) || self.collapsed[i] || self.alias[i].0 != i {
            return EdgeSamples::default();
        }
        sample(&self.edges[i], self.intervals[i], &self.vertices, split)
    }

    /// Positions of all shared mesh vertices.
    pub fn shared_points(&self) -> Vec<DVec3> {
        let mut points = self.vertices.clone();
        points.resize(self.shared_count as usize, DVec3::ZERO);
        for s in &self.samples {
            if s.points.len() > 2 {
                let first = s.first_interior as usize;
                points[first..first + s.points.len() - 2]
                    .copy_from_slice(&s.points[1..s.points.len() - 1]);
            }
        }
        points
    }
}
