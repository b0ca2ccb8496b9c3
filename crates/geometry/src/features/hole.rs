//! Holes: what a drill, reamer or boring tool makes, and how deep, from which side.
//!
//! A hole is made of hollow round faces about one axis that go all around it (halves of a split
//! face together), ordered along the axis into steps. The axis itself is followed through the
//! solid: where it starts inside material there is an annular groove or a boss, not a hole; where
//! it meets material beyond an end that end has a floor; where it does not the end is open.

use super::face::{SolidFaces, Surface};
use super::line::{Crossing, crossings};
use super::piece::{AxisLine, Piece, SAME_MM, axis_lines, canonical, covered};
use super::rim::rims;
use super::thread::tap_drill;
use glam::DVec3;

/// Angle from which a hollow cylinder counts as going all around, rad (285 degrees): a keyway in a
/// bore takes 40 degrees or less (width a third of the diameter, DIN 6885 from memory), while the
/// relief a tool leaves in a square corner covers 270.
pub(crate) const ALL_AROUND_RAD: f64 = 4.974;
/// Less than this is cut by a slot, rad (358 degrees): rounding of arcs.
const ROUND_RAD: f64 = 6.248;
/// Aligned bores this many diameters apart are drilled in one pass (common practice, no source).
const GAP_DIAMETERS: f64 = 3.0;

/// How a hole ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum End {
    /// Free to the outside along the axis.
    Open,
    /// Opens into another hole, pocket or gap with material beyond.
    Cavity,
    /// Flat floor.
    Flat,
    /// Drill point or other cone.
    Cone,
    /// Ball or rounded floor.
    Round,
    /// Some other surface closes it.
    Closed,
}

impl End {
    /// Whether a tool breaks out there.
    pub fn is_open(self) -> bool {
        matches!(self, End::Open | End::Cavity)
    }
}

/// Part of a hole with one diameter, or one taper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Diameter at its end nearer the entry, mm.
    pub diameter_mm: f64,
    /// Diameter at its far end, mm; differs on cones only.
    pub far_diameter_mm: f64,
    /// Depth below the entry at which it starts, mm.
    pub from_mm: f64,
    /// Depth below the entry at which it ends, mm.
    pub to_mm: f64,
}

impl Step {
    /// Whether it is a cone.
    pub fn is_cone(&self) -> bool {
        self.diameter_mm != self.far_diameter_mm
    }
}

/// One hole.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// Smallest diameter, mm.
    pub diameter_mm: f64,
    /// From the entry to the end of the full diameter, without a drill point, mm.
    pub depth_mm: f64,
    /// Open at both ends.
    pub through: bool,
    /// Unit vector from the part to the spindle.
    pub toward: DVec3,
    /// Centre at the entry.
    pub at: DVec3,
    /// Entry and far end.
    pub ends: [End; 2],
    /// Steps from the entry down; the drill point is not one.
    pub steps: Vec<Step>,
    /// Widens again beyond its narrowest step: the far part needs the other side.
    pub both_sides: bool,
    /// Cut by another hole, pocket or slot on its way.
    pub interrupted: bool,
    /// Thread its smallest diameter is the usual drill for.
    pub thread: Option<&'static str>,
    /// Wider than drills go; milled or bored.
    pub large: bool,
    /// Faces it is made of, ascending.
    pub faces: Vec<u32>,
    /// Alike holes carry one number, counted from 0.
    pub alike: usize,
}

/// Finds holes; those wider than `large_mm` are marked for milling or boring.
pub fn holes(solid: &SolidFaces<'_>, large_mm: f64) -> Vec<Hole> {
    let lines: Vec<AxisLine> = axis_lines(solid)
        .into_iter()
        .filter(|l| l.pieces.iter().any(|p| !p.cone))
        .collect();
    let mut chains: Vec<(usize, Vec<Segment>)> = Vec::new();
    for (i, line) in lines.iter().enumerate() {
        chains.extend(chains_on(solid, line).into_iter().map(|c| (i, c)));
    }
    // Lines of one direction are followed through the mesh together.
    let mut hits: Vec<Vec<Crossing>> = vec![Vec::new(); lines.len()];
    let mut used: Vec<usize> = chains.iter().map(|c| c.0).collect();
    used.dedup();
    let mut done = vec![false; lines.len()];
    for &first in &used {
        if done[first] {
            continue;
        }
        let axis = lines[first].axis;
        let group: Vec<usize> = used
            .iter()
            .copied()
            .filter(|&l| !done[l] && lines[l].axis.distance(axis) < 1e-5)
            .collect();
        let points: Vec<DVec3> = group.iter().map(|&l| lines[l].point).collect();
        for (l, found) in group.iter().zip(crossings(solid, axis, &points)) {
            hits[*l] = found;
            done[*l] = true;
        }
    }
    let mut out: Vec<Hole> = chains
        .iter()
        .filter_map(|(l, chain)| hole(solid, &lines[*l], chain, &hits[*l], large_mm))
        .collect();
    out.sort_by(|a, b| {
        let key = |h: &Hole| {
            [
                h.toward.z, h.toward.y, h.toward.x, -h.at.z, -h.at.y, -h.at.x,
            ]
        };
        let near = |x: f64| (x * 1e3).round();
        key(b)
            .map(near)
            .partial_cmp(&key(a).map(near))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    number_alike(&mut out);
    out
}

/// A run of one radius, or one cone, all around the axis.
#[derive(Clone, Debug)]
struct Segment {
    radius: [f64; 2],
    span: [f64; 2],
    rim: [f64; 2],
    cone: bool,
    faces: Vec<u32>,
    interrupted: bool,
}

/// Chains of segments along one axis, each one hole.
fn chains_on(solid: &SolidFaces<'_>, line: &AxisLine) -> Vec<Vec<Segment>> {
    let mut segments = segments_on(solid, line);
    segments.sort_by(|a, b| {
        (a.span[0] + a.span[1])
            .total_cmp(&(b.span[0] + b.span[1]))
            .then(a.faces.cmp(&b.faces))
    });
    let mut chains: Vec<Vec<Segment>> = Vec::new();
    for segment in segments {
        let joins = chains.last().and_then(|c| c.last()).is_some_and(|last| {
            let gap = segment.span[0] - last.span[1];
            gap <= 2.0 * SAME_MM
        });
        match chains.last_mut() {
            Some(chain) if joins => chain.push(segment),
            _ => chains.push(vec![segment]),
        }
    }
    chains.retain(|c| c.iter().any(|s| !s.cone));
    chains
}

fn segments_on(solid: &SolidFaces<'_>, line: &AxisLine) -> Vec<Segment> {
    let mut groups: Vec<Vec<&Piece>> = Vec::new();
    for piece in &line.pieces {
        let joins = |g: &Vec<&Piece>| {
            let same = |a: f64, b: f64| (a - b).abs() <= SAME_MM;
            g[0].cone == piece.cone
                && if piece.cone {
                    same(g[0].span[0], piece.span[0]) && same(g[0].span[1], piece.span[1])
                } else {
                    same(g[0].radius[0], piece.radius[0])
                }
        };
        match groups.iter_mut().find(|g| joins(g)) {
            Some(group) => group.push(piece),
            None => groups.push(vec![piece]),
        }
    }
    let mut out = Vec::new();
    for group in groups {
        // Between two bores of one radius another step may lie; the gap rule keeps them apart
        // only when they are far from each other.
        let reach = GAP_DIAMETERS * 2.0 * group[0].radius[0];
        let mut run: Vec<&Piece> = Vec::new();
        let mut end = f64::NEG_INFINITY;
        let mut runs = Vec::new();
        for piece in group {
            // A narrower step between parts them, and so does a groove that fills the gap.
            let blocked = line.pieces.iter().any(|other| {
                let within =
                    other.span[0] >= end - SAME_MM && other.span[1] <= piece.span[0] + SAME_MM;
                let fills = other.span[1] - other.span[0] >= piece.span[0] - end - 2.0 * SAME_MM;
                let wider = other.radius[0] > piece.radius[0] + SAME_MM;
                let narrower = other.radius[0] < piece.radius[0] - SAME_MM;
                !other.cone && within && (narrower || wider && fills)
            });
            if !run.is_empty() && (piece.span[0] - end > reach || blocked) {
                runs.push(std::mem::take(&mut run));
            }
            end = end.max(piece.span[1]);
            run.push(piece);
        }
        runs.push(run);
        for run in runs {
            let arcs = run.iter().flat_map(|p| p.arcs.clone()).collect();
            let swept = covered(arcs);
            if swept < ALL_AROUND_RAD {
                continue;
            }
            let mut end = f64::NEG_INFINITY;
            let mut interrupted = false;
            for piece in &run {
                interrupted |= end.is_finite() && piece.span[0] > end + SAME_MM;
                end = end.max(piece.span[1]);
            }
            let first = run[0];
            let last = run
                .iter()
                .max_by(|a, b| a.span[1].total_cmp(&b.span[1]))
                .unwrap_or(&first);
            let faces: Vec<u32> = run.iter().map(|p| p.face).collect();
            let span = [first.span[0], last.span[1]];
            let rims = rims(solid, &faces, line.point, line.axis, span);
            out.push(Segment {
                radius: first.radius,
                span,
                rim: rims.height_mm,
                cone: first.cone,
                faces,
                interrupted: !first.cone && (interrupted || rims.cut || swept < ROUND_RAD),
            });
        }
    }
    out
}

fn hole(
    solid: &SolidFaces<'_>,
    line: &AxisLine,
    chain: &[Segment],
    hits: &[Crossing],
    large_mm: f64,
) -> Option<Hole> {
    // A cone at either end that narrows to the axis is a drill point, not a step.
    let mut steps = chain;
    let mut point = [false; 2];
    if let [first, rest @ ..] = steps
        && first.cone
        && first.radius[0] <= SAME_MM
    {
        point[0] = true;
        steps = rest;
    }
    if let [rest @ .., last] = steps
        && last.cone
        && last.radius[1] <= SAME_MM
    {
        point[1] = true;
        steps = rest;
    }
    let narrow = steps
        .iter()
        .filter(|s| !s.cone)
        .min_by(|a, b| a.radius[0].total_cmp(&b.radius[0]))?;
    let (bottom, top) = (steps.first()?, steps.last()?);
    let inside = (narrow.span[0] + narrow.span[1]) / 2.0;
    let below = hits.iter().rev().find(|h| h.at_mm < inside);
    let above = hits.iter().find(|h| h.at_mm > inside);
    // From air the first crossing upwards enters material; otherwise the axis is inside a boss.
    if above.is_some_and(|h| !h.enters) || below.is_some_and(|h| h.enters) {
        return None;
    }
    let end = |hit: Option<&Crossing>, segment: &Segment, high: bool| {
        let Some(hit) = hit else { return End::Open };
        let (edge, radius) = if high {
            (segment.span[1], segment.radius[1])
        } else {
            (-segment.span[0], segment.radius[0])
        };
        let beyond = if high { hit.at_mm } else { -hit.at_mm } - edge;
        if point[usize::from(high)] {
            return End::Cone;
        }
        // Floors rise or sink by no more than a ball end or a flat cone do.
        if beyond > 1.05 * radius + SAME_MM {
            return End::Cavity;
        }
        match solid.faces[hit.face as usize].surface {
            Surface::Plane { normal, .. } if normal.dot(line.axis).abs() > 0.9 => End::Flat,
            Surface::Cone { .. } => End::Cone,
            Surface::Sphere { .. } | Surface::Torus { .. } => End::Round,
            Surface::Cylinder { .. } => End::Cavity,
            _ => End::Closed,
        }
    };
    let ends = [end(below, bottom, false), end(above, top, true)];
    let from_high = entry_is_high(line, ends, bottom.radius[0], top.radius[1])?;
    let toward = if from_high { line.axis } else { -line.axis };
    let entry_at = if from_high {
        if ends[1] == End::Open {
            top.rim[1]
        } else {
            top.span[1]
        }
    } else if ends[0] == End::Open {
        bottom.rim[0]
    } else {
        bottom.span[0]
    };
    let depth_of = |t: f64| {
        if from_high {
            entry_at - t
        } else {
            t - entry_at
        }
    };
    let mut listed: Vec<Step> = steps
        .iter()
        .map(|s| {
            let (near, far) = if from_high { (1, 0) } else { (0, 1) };
            Step {
                diameter_mm: 2.0 * s.radius[near],
                far_diameter_mm: 2.0 * s.radius[far],
                from_mm: depth_of(s.span[near]).max(0.0),
                to_mm: depth_of(s.span[far]),
            }
        })
        .collect();
    if from_high {
        listed.reverse();
    }
    let least = 2.0 * narrow.radius[0];
    let narrowest = listed
        .iter()
        .position(|s| !s.is_cone() && s.diameter_mm <= least + SAME_MM)?;
    let both_sides = listed[narrowest..]
        .iter()
        .any(|s| s.far_diameter_mm > least + 4.0 * SAME_MM);
    let mut faces: Vec<u32> = chain.iter().flat_map(|s| s.faces.clone()).collect();
    faces.sort_unstable();
    Some(Hole {
        diameter_mm: least,
        depth_mm: listed.last()?.to_mm,
        through: ends[0].is_open() && ends[1].is_open(),
        toward,
        at: line.point + line.axis * entry_at,
        ends: if from_high { [ends[1], ends[0]] } else { ends },
        both_sides,
        interrupted: chain.iter().any(|s| s.interrupted),
        thread: tap_drill(least).map(|t| t.thread),
        large: least > large_mm + SAME_MM,
        steps: listed,
        faces,
        alike: 0,
    })
}

/// Which end the tool comes from: the open one; of two the wider; of two alike the canonical sense
/// (+Z, then +Y, then +X). `None` when both are closed.
fn entry_is_high(line: &AxisLine, ends: [End; 2], low: f64, high: f64) -> Option<bool> {
    let rank = |end: End| match end {
        End::Open => 2,
        End::Cavity => 1,
        _ => 0,
    };
    match (rank(ends[0]), rank(ends[1])) {
        (0, 0) => None,
        (a, b) if a != b => Some(b > a),
        _ if (low - high).abs() > SAME_MM => Some(high > low),
        _ => Some(line.axis.dot(canonical(line.axis)) > 0.0),
    }
}

/// Gives alike holes one number: same steps, depth, ends and direction.
fn number_alike(holes: &mut [Hole]) {
    let near = |a: f64, b: f64| (a - b).abs() <= 2.0 * SAME_MM;
    let mut kinds: Vec<usize> = Vec::new();
    for i in 0..holes.len() {
        let alike = |j: &usize| {
            let (a, b) = (&holes[i], &holes[*j]);
            a.ends == b.ends
                && a.steps.len() == b.steps.len()
                && near(a.depth_mm, b.depth_mm)
                && a.toward.distance(b.toward) < 1e-3
                && a.steps.iter().zip(&b.steps).all(|(s, t)| {
                    near(s.diameter_mm, t.diameter_mm)
                        && near(s.far_diameter_mm, t.far_diameter_mm)
                        && near(s.to_mm, t.to_mm)
                })
        };
        let number = kinds.iter().position(alike).unwrap_or_else(|| {
            kinds.push(i);
            kinds.len() - 1
        });
        holes[i].alike = number;
    }
}
