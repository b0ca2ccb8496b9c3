//! One solid: all its faces, its mesh, its exact properties, and what went wrong.

use super::TessellationOptions;
use super::face_work::{FaceWork, Outcome, Worker};
use super::info::{FaceInfo, describe};
use super::mesh::{Closure, Mesh, triangle_area};
use super::prepare::Prepared;
use crate::brep::{Face, Loop, Reservation, Solid};
use crate::mass::Integrals;
use crate::mass::bounds::{edge_reach, face_reach};
use crate::surfaces::chart::Chart;
use crate::trim::boundary::{Segment, cycles};
use crate::trim::unroll::{NEW, trace};
use glam::DVec3;
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// Mesh and exact properties of one solid in its own coordinates.
#[derive(Clone, Debug, Default)]
pub struct SolidMesh {
    /// Triangles; faces are numbered as in `faces`.
    pub mesh: Mesh,
    /// What every face is; `None` where one could not be read.
    pub faces: Vec<Option<FaceInfo>>,
    /// Exact volume, mm^3.
    pub volume_mm3: f64,
    /// Exact area, mm^2.
    pub area_mm2: f64,
    /// Exact centroid of the volume, mm.
    pub centroid_mm: DVec3,
    /// Whether the mesh closes.
    pub closure: Closure,
    /// Chord tolerance used, mm.
    pub chord_mm: f64,
    /// Area of faces left out, estimated from their boundaries, mm^2.
    pub missing_area_mm2: f64,
    /// True when all faces pointed inwards and were turned over.
    pub inside_out: bool,
    /// What was doubtful or left out.
    pub reservations: Vec<Reservation>,
    work: Vec<Option<FaceWork>>,
    /// Where each face's triangles start in the mesh.
    first_triangle: Vec<usize>,
    prepared: Prepared,
}

/// Rounds of dividing edges whose chords stray or cross.
const ROUNDS: usize = 4;
/// Most pieces a chord ends up in; edges that still cross then cross in truth.
const MOST_DIVISION: usize = 30;
/// Most pieces of an edge that is divided again.
const MOST_PIECES: usize = 4_000;

/// Meshes and measures a solid. `cancelled` is asked between faces.
pub fn tessellate(
    solid: &Solid,
    options: &TessellationOptions,
    cancelled: &(dyn Fn() -> bool + Sync),
) -> Option<SolidMesh> {
    let mut prepared = Prepared::new(solid);
    let chord_mm = options.chord_for(prepared.diagonal_mm);
    let angle_rad = options.angle();
    prepared.split(chord_mm, angle_rad);
    let origin = middle(&prepared);
    let charts: Vec<Result<Chart, String>> = solid
        .faces
        .par_iter()
        .map(|face| {
            if cancelled() {
                Err(String::new())
            } else {
                chart_of(face, &prepared)
            }
        })
        .collect();
    let mut results: Vec<Option<Outcome>> = (0..solid.faces.len()).map(|_| None).collect();
    let mut todo: Vec<usize> = (0..solid.faces.len()).collect();
    let mut divide: BTreeMap<usize, usize> = BTreeMap::new();
    let mut stuck = false;
    // Per face, how many pieces crossed in the round before; more of them after dividing are edges
    // that cross in truth.
    let mut crossing = vec![usize::MAX; solid.faces.len()];
    for round in 0..=ROUNDS {
        let last = round == ROUNDS || stuck;
        let part: Vec<(usize, Outcome)> = todo
            .par_iter()
            .map(|&i| {
                if cancelled() {
                    return (i, Outcome::Failed(String::new()));
                }
                let outcome = match &charts[i] {
                    Ok(chart) => {
                        let mut w = Worker {
                            solid: &prepared,
                            chart,
                            chord_mm,
                            angle_rad,
                            origin,
                            last,
                            crossed_before: crossing[i],
                        };
                        w.face(&solid.faces[i])
                    }
                    Err(reason) => Outcome::Failed(reason.clone()),
                };
                (i, outcome)
            })
            .collect();
        let mut again: BTreeMap<usize, usize> = BTreeMap::new();
        for (i, outcome) in part {
            if let Outcome::Finer(edges, crossings) = &outcome {
                crossing[i] = *crossings;
                for &(e, by) in edges {
                    let most = again.entry(e).or_insert(by);
                    *most = by.max(*most);
                }
            }
            results[i] = Some(outcome);
        }
        if cancelled() {
            return None;
        }
        if again.is_empty() {
            break;
        }
        again.retain(|e, by| {
            let so_far = divide.entry(*e).or_insert(1);
            let pieces = prepared.samples[*e].points.len() * *by;
            let grows = *so_far * *by <= MOST_DIVISION && pieces <= MOST_PIECES;
            if grows {
                *so_far *= *by;
            }
            grows
        });
        stuck = again.is_empty();
        let again: BTreeSet<usize> = again.into_keys().collect();
        prepared.split_again(&again, &divide, chord_mm, angle_rad);
        todo = (0..solid.faces.len())
            .filter(|&i| {
                matches!(results[i], Some(Outcome::Finer(..)))
                    || uses_any(&solid.faces[i], &prepared, &again)
            })
            .collect();
    }
    Some(assemble(solid, prepared, results, chord_mm, origin))
}

fn middle(prepared: &Prepared) -> DVec3 {
    let points = prepared.shared_points();
    let (mut lo, mut hi) = (DVec3::INFINITY, DVec3::NEG_INFINITY);
    for p in points.iter().filter(|p| p.is_finite()) {
        lo = lo.min(*p);
        hi = hi.max(*p);
    }
    let m = 0.5 * (lo + hi);
    if m.is_finite() { m } else { DVec3::ZERO }
}

fn uses_any(face: &Face, prepared: &Prepared, edges: &BTreeSet<usize>) -> bool {
    face.loops.iter().any(|l| match l {
        Loop::Edges(list) => list
            .iter()
            .any(|u| edges.contains(&prepared.alias[u.edge].0)),
        Loop::Vertex(_) | Loop::Poly(_) => false,
    })
}

fn chart_of(face: &Face, prepared: &Prepared) -> Result<Chart, String> {
    for l in &face.loops {
        match l {
            Loop::Edges(list) => {
                for u in list {
                    if u.edge >= prepared.edges.len() {
                        return Err("a loop names an edge that does not exist".into());
                    }
                    if let Some(reason) = prepared.broken.get(&u.edge) {
                        return Err(format!("edge #{}: {reason}", prepared.edges[u.edge].id));
                    }
                }
            }
            Loop::Vertex(v) if *v >= prepared.vertices.len() => {
                return Err("a loop names a vertex that does not exist".into());
            }
            Loop::Poly(list) if list.iter().any(|v| *v >= prepared.vertices.len()) => {
                return Err("a loop names a vertex that does not exist".into());
            }
            Loop::Vertex(_) | Loop::Poly(_) => {}
        }
    }
    let mut points: Vec<DVec3> = Vec::new();
    for cycle in cycles(face, prepared, true) {
        for s in cycle {
            points.extend(trace(s, prepared).points);
        }
    }
    // Local searches may end this far off: files are less exact than they claim.
    let accept = (10.0 * prepared.join_mm).max(1e-6 * prepared.diagonal_mm);
    Chart::new(&face.surface, face.same_sense, &points, accept)
}

fn assemble(
    solid: &Solid,
    prepared: Prepared,
    results: Vec<Option<Outcome>>,
    chord_mm: f64,
    origin: DVec3,
) -> SolidMesh {
    let mut out = SolidMesh {
        chord_mm,
        ..SolidMesh::default()
    };
    let mut mesh = Mesh {
        points: prepared.shared_points(),
        ..Mesh::default()
    };
    let mut sum = Integrals::default();
    for (i, result) in results.into_iter().enumerate() {
        let face = &solid.faces[i];
        out.first_triangle.push(mesh.triangles.len());
        let mut say = |text: String, loses_geometry: bool| {
            out.reservations.push(Reservation {
                entity: Some(face.id),
                kind: "ADVANCED_FACE".into(),
                text,
                loses_geometry,
            });
        };
        let work = match result {
            Some(Outcome::Done(work)) => work,
            Some(Outcome::Failed(reason)) => {
                say(format!("left out: {reason}"), true);
                out.missing_area_mm2 += boundary_area(face, &prepared);
                out.faces.push(None);
                out.work.push(None);
                continue;
            }
            Some(Outcome::Finer(..)) | None => {
                say("left out: its boundaries cross".into(), true);
                out.faces.push(None);
                out.work.push(None);
                continue;
            }
        };
        let base = mesh.points.len() as u32;
        let global = |id: u32| if id >= NEW { base + (id - NEW) } else { id };
        mesh.points.extend_from_slice(&work.mesh.new_points);
        let mut area = 0.0;
        let mut rim = 0.0;
        for t in &work.mesh.triangles {
            let t = t.map(global);
            area += triangle_area(t.map(|k| mesh.points[k as usize]));
            mesh.triangles.push(t);
            mesh.face_of_triangle.push(i as u32);
        }
        for p in &work.domain.polygons {
            let at = |n: &crate::trim::unroll::Node| mesh.points[global(n.id) as usize];
            rim += (0..p.len())
                .map(|k| at(&p[k]).distance(at(&p[(k + 1) % p.len()])))
                .sum::<f64>();
        }
        for note in &work.notes {
            say(note.clone(), false);
        }
        // Two independent ways to the same area: disagreement means that one is wrong. Chords may
        // take off at most their tolerance along the rim and a percent or so of a tight bend.
        let exact = work.exact.area;
        let allowed = 0.03 * exact.abs() + 2.0 * chord_mm * rim;
        if (area - exact).abs() > allowed || exact.is_nan() {
            say(
                format!("mesh area {area:.6} mm^2 and exact area {exact:.6} mm^2 disagree"),
                false,
            );
        }
        sum += work.exact;
        out.faces
            .push(Some(describe(face.id, &work.chart, &work.domain, exact)));
        out.work.push(Some(*work));
    }
    mesh.compact();
    if solid.closed && sum.volume < 0.0 {
        for t in &mut mesh.triangles {
            t.swap(1, 2);
        }
        sum.volume = -sum.volume;
        sum.moment = -sum.moment;
        for face in out.faces.iter_mut().flatten() {
            face.turn_over();
        }
        out.inside_out = true;
    }
    out.closure = mesh.closure();
    out.mesh = mesh;
    out.volume_mm3 = sum.volume;
    out.area_mm2 = sum.area;
    out.centroid_mm = if sum.volume != 0.0 {
        origin + sum.moment / sum.volume
    } else {
        origin
    };
    out.prepared = prepared;
    out
}

/// Area of the flat-ish patch that a face's boundary spans: a lower estimate of what is missing.
fn boundary_area(face: &Face, prepared: &Prepared) -> f64 {
    let known = |s: &Segment| match s {
        Segment::Edge { edge, .. } => !prepared.broken.contains_key(edge),
        Segment::Straight { .. } => true,
    };
    let valid = face.loops.iter().all(|l| match l {
        Loop::Edges(list) => list.iter().all(|u| u.edge < prepared.edges.len()),
        Loop::Poly(list) => list.iter().all(|v| *v < prepared.vertices.len()),
        Loop::Vertex(_) => true,
    });
    if !valid {
        return 0.0;
    }
    let mut sum = DVec3::ZERO;
    for cycle in cycles(face, prepared, true) {
        let points: Vec<DVec3> = cycle
            .iter()
            .filter(|s| known(s))
            .flat_map(|s| trace(*s, prepared).points)
            .collect();
        for i in 0..points.len() {
            let o = points[0];
            sum += 0.5 * (points[i] - o).cross(points[(i + 1) % points.len()] - o);
        }
    }
    sum.length()
}

impl SolidMesh {
    /// Largest `p . direction` over the solid, mm; exact on edges and curved faces.
    pub fn reach(&self, direction: DVec3) -> f64 {
        let p = &self.prepared;
        let mut best = self
            .mesh
            .points
            .iter()
            .map(|q| q.dot(direction))
            .fold(f64::NEG_INFINITY, f64::max);
        let coarse = best;
        // Chords stay within their tolerance, so only what comes this close can reach farther.
        let slack = 3.0 * self.chord_mm;
        for e in 0..p.edges.len() {
            let near = p.samples.get(e).is_some_and(|s| {
                s.points.len() > 2 && s.points.iter().any(|q| q.dot(direction) > coarse - slack)
            });
            if near {
                best = best.max(edge_reach(p, e, direction));
            }
        }
        let heights: Vec<f64> = self.mesh.points.iter().map(|q| q.dot(direction)).collect();
        for (work, &first) in self.work.iter().zip(&self.first_triangle) {
            let Some(work) = work else { continue };
            let mut top: Option<(f64, usize)> = None;
            for i in 0..work.mesh.uv.len() {
                let h = self.mesh.triangles[first + i]
                    .iter()
                    .map(|k| heights[*k as usize])
                    .fold(f64::NEG_INFINITY, f64::max);
                if h > coarse - slack && top.is_none_or(|t| h > t.0) {
                    top = Some((h, i));
                }
            }
            let Some((_, i)) = top else { continue };
            // Corners sit on the rim, where an ascent cannot start: step inside.
            let [a, b, c] = work.mesh.uv[i];
            let start = (a + b + c) / 3.0;
            if let Some(summit) = face_reach(&work.chart, &work.domain, start, direction) {
                best = best.max(summit);
            }
        }
        best
    }
}
