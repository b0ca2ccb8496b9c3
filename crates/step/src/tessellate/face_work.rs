//! One face on its way from boundaries to triangles and integrals.

use super::clip::clip;
use super::face::{FaceMesh, triangulate};
use super::grid::{Spacing, spacing};
use super::prepare::Prepared;
use crate::brep::{Face, Loop};
use crate::mass::{Integrals, integrate};
use crate::surfaces::chart::Chart;
use crate::trim::boundary::{Segment, cycles};
use crate::trim::domain::Domain;
use crate::trim::unroll::{Path, unroll};
use glam::{DVec2, DVec3};
use std::collections::BTreeMap;

#[derive(Clone, Debug)]
pub(super) struct FaceWork {
    pub chart: Chart,
    pub domain: Domain,
    pub mesh: FaceMesh,
    pub exact: Integrals,
    pub notes: Vec<String>,
}

pub(super) enum Outcome {
    Done(Box<FaceWork>),
    /// Edges to divide further, and by how much; and how many pieces cross, if any do.
    Finer(Vec<(usize, usize)>, usize),
    Failed(String),
}

/// Crossing pieces from which on a face whose pieces only cross more often when divided is given
/// up; edges that merely come close to each other cross in a few places.
const MANY_CROSSINGS: usize = 16;

/// What crossing chords are divided into per round.
const CROSSING: usize = 3;

/// Most pieces a chord is divided into in one round for straying sideways.
const STRAYING: usize = 8;

pub(super) struct Worker<'a> {
    pub solid: &'a Prepared,
    pub chart: &'a Chart,
    pub chord_mm: f64,
    pub angle_rad: f64,
    pub origin: DVec3,
    pub last: bool,
    pub crossed_before: usize,
}

impl Worker<'_> {
    pub fn face(&mut self, face: &Face) -> Outcome {
        let cycles = cycles(face, self.solid, self.chart.outward);
        let domain = match self.domain(face, &cycles) {
            Ok(found) => found,
            Err(reason) => return Outcome::Failed(reason),
        };
        if !self.last {
            let edges = self.straying(&domain);
            if !edges.is_empty() {
                return Outcome::Finer(edges, usize::MAX);
            }
        }
        let space = spacing(
            self.chart,
            domain.lo,
            domain.hi,
            self.chord_mm,
            self.angle_rad,
        );
        let mut notes = Vec::new();
        if domain.turned {
            notes.push("its boundaries run the wrong way round; turned".to_string());
        }
        let mesh = match triangulate(self.chart, &domain, &space, self.chord_mm, self.angle_rad) {
            Ok(mesh) => mesh,
            Err(conflict) => {
                let edges = conflict.edges(&domain);
                let count = conflict.pieces.len();
                let worse = count > MANY_CROSSINGS && count > self.crossed_before;
                if !self.last && !worse && !edges.is_empty() {
                    let edges = edges.into_iter().map(|e| (e, CROSSING)).collect();
                    return Outcome::Finer(edges, count);
                }
                notes
                    .push("its boundaries cross or touch; triangles may overlap there".to_string());
                clip(self.chart, &domain, space.metric)
            }
        };
        if mesh.coarse {
            notes.push(
                "its mesh is coarser than asked: too many points would be needed".to_string(),
            );
        }
        let exact = integrate(self.chart, &domain, self.solid, self.origin);
        Outcome::Done(Box::new(FaceWork {
            chart: self.chart.clone(),
            domain,
            mesh,
            exact,
            notes,
        }))
    }

    fn domain(&self, face: &Face, cycles: &[Vec<Segment>]) -> Result<Domain, String> {
        let tolerance = (2.0 * self.solid.join_mm).max(1e-7 * self.solid.diagonal_mm);
        // Steps before the domain is known: from the boundary's own box.
        let first = |steps: DVec2| -> Vec<Path> {
            cycles
                .iter()
                .map(|c| unroll(c, self.solid, self.chart, tolerance, steps))
                .collect()
        };
        let mut paths = first(DVec2::splat(0.3));
        let (mut lo, mut hi) = (DVec2::INFINITY, DVec2::NEG_INFINITY);
        for n in paths.iter().flat_map(|p| &p.nodes) {
            if !n.uv.is_finite() {
                return Err("its boundary could not be mapped onto the surface".into());
            }
            lo = lo.min(n.uv);
            hi = hi.max(n.uv);
        }
        if paths.is_empty() {
            (lo, hi) = (DVec2::ZERO, DVec2::ZERO);
        }
        let winds = paths.iter().any(|p| p.advance != DVec2::ZERO);
        if paths.is_empty() || winds && self.chart.range[1].is_none() {
            for pole in self.chart.poles.iter().flatten() {
                lo.y = lo.y.min(pole.v);
                hi.y = hi.y.max(pole.v);
            }
        }
        for k in 0..2 {
            let whole = paths.is_empty() || paths.iter().any(|p| p.advance.to_array()[k] != 0.0);
            if let (Some(period), true) = (self.chart.period[k], whole) {
                let (a, b) = (lo.to_array()[k], lo.to_array()[k] + period);
                if k == 0 {
                    (lo.x, hi.x) = (a, b.max(hi.x));
                } else {
                    (lo.y, hi.y) = (a, b.max(hi.y));
                }
            } else if let (Some([a, b]), true) = (self.chart.range[k], paths.is_empty()) {
                if k == 0 {
                    (lo.x, hi.x) = (a, b);
                } else {
                    (lo.y, hi.y) = (a, b);
                }
            }
        }
        let space: Spacing = spacing(self.chart, lo, hi, self.chord_mm, self.angle_rad);
        if self.chart.poles.iter().any(Option::is_some) {
            paths = first(space.steps);
        }
        let pole_vertices = [0, 1].map(|k| {
            face.loops.iter().find_map(|l| match l {
                Loop::Vertex(v) => {
                    let v = self.solid.vertex_of[*v];
                    let near = self.chart.pole_at(self.solid.vertices[v], tolerance) == Some(k);
                    near.then_some(v as u32)
                }
                Loop::Edges(_) | Loop::Poly(_) => None,
            })
        });
        let build =
            |paths| Domain::build(self.chart, paths, pole_vertices, space.steps, space.metric);
        let seams = self.seam_middles(face);
        if seams.is_empty() {
            return build(paths);
        }
        // On a closed surface either side of a boundary could be meant, and some writers get its
        // direction wrong; the seam lies in the face whatever they say.
        let domain = build(paths.clone());
        if domain
            .as_ref()
            .is_ok_and(|d| d.contains_any(self.chart, &seams))
        {
            return domain;
        }
        paths.iter_mut().for_each(Path::reverse);
        match build(paths) {
            Ok(mut other) if other.contains_any(self.chart, &seams) => {
                other.turned = true;
                Ok(other)
            }
            _ => domain,
        }
    }

    /// Parameters of the middles of the edges that a face on a closed surface uses twice.
    fn seam_middles(&self, face: &Face) -> Vec<DVec2> {
        if !self.chart.closed() {
            return Vec::new();
        }
        let mut uses: BTreeMap<usize, usize> = BTreeMap::new();
        for l in &face.loops {
            if let Loop::Edges(list) = l {
                for u in list {
                    *uses.entry(self.solid.alias[u.edge].0).or_default() += 1;
                }
            }
        }
        uses.into_iter()
            .filter(|&(e, n)| n == 2 && !self.solid.collapsed[e])
            .map(|(e, _)| {
                let [a, b] = self.solid.intervals[e];
                let middle = self.solid.edges[e].curve.point(0.5 * (a + b));
                self.chart.invert(middle, None)
            })
            .collect()
    }

    /// Edges whose pieces, straight in (u, v), leave the edge sideways on the surface by more than
    /// the chord tolerance: points put inside them would stick out of the face.
    fn straying(&self, domain: &Domain) -> Vec<(usize, usize)> {
        if matches!(self.chart.surface, crate::brep::Surface::Plane { .. }) {
            return Vec::new();
        }
        let mut out = Vec::new();
        for path in &domain.paths {
            for run in &path.runs {
                let Some((edge, forward)) = run.edge else {
                    continue;
                };
                let params = &self.solid.samples[edge].params;
                let off = |t: f64, uv: DVec2| {
                    let [p, d, _] = self.solid.edges[edge].curve.eval(t, 1);
                    let gap = self.chart.point(uv) - p;
                    let along = d.normalize_or_zero();
                    (gap - along * gap.dot(along)).length()
                };
                let at = |i: usize| params[run.sample(i, forward, params.len())];
                let mut worst = 0.0_f64;
                let mut before = off(at(0), path.uv(run.first));
                for i in 0..run.count {
                    let after = off(at(i + 1), path.uv(run.first + i + 1));
                    let uv = 0.5 * (path.uv(run.first + i) + path.uv(run.first + i + 1));
                    // An edge that lies off its surface altogether is no better for being divided.
                    let own = before.max(after);
                    worst = worst.max(off(0.5 * (at(i) + at(i + 1)), uv) - 2.0 * own);
                    before = after;
                }
                if worst > 1.5 * self.chord_mm && worst < 0.2 * self.solid.diagonal_mm {
                    let by = (worst / self.chord_mm).sqrt().ceil() as usize;
                    out.push((edge, by.clamp(2, STRAYING)));
                }
            }
        }
        out
    }
}
