//! Splitting an edge into chords, once for all faces that meet in it.

use crate::brep::{Curve, Edge};
use glam::DVec3;

/// How finely to split.
#[derive(Clone, Copy, Debug)]
pub struct Split {
    /// Largest distance between chord and curve, mm.
    pub chord_mm: f64,
    /// Largest turn between neighbouring chords, rad.
    pub angle_rad: f64,
    /// Every piece is divided once more into this many, straight ones too: asked for by faces on
    /// which the chords come too close to each other or stray sideways.
    pub divide: usize,
}

/// Samples along an edge from its start to its end vertex, both included.
#[derive(Clone, Debug, Default)]
pub struct EdgeSamples {
    /// Curve parameters.
    pub params: Vec<f64>,
    /// Points; the ends are the vertices themselves.
    pub points: Vec<DVec3>,
    /// Mesh vertex of the first sample after the start.
    pub first_interior: u32,
}

/// Most pieces an edge is split into; a bound on memory, not on accuracy in practice.
const MOST_PIECES: usize = 20_000;

/// Splits one edge.
pub fn sample(edge: &Edge, [t0, t1]: [f64; 2], vertices: &[DVec3], split: Split) -> EdgeSamples {
    let curve = &edge.curve;
    let mut params = match curve {
        Curve::Line { .. } => vec![t0, t1],
        Curve::Circle { radius, .. } => {
            let chord = (1.0 - split.chord_mm / radius).clamp(-1.0, 1.0).acos() * 2.0;
            let step = chord.min(split.angle_rad).max(1e-6);
            even(t0, t1, ((t1 - t0).abs() / step - 1e-9).ceil())
        }
        _ => adaptive(curve, t0, t1, split),
    };
    let least = if edge.start == edge.end { 4 } else { 1 };
    if params.len() <= least {
        params = even(t0, t1, least as f64);
    }
    if split.divide > 1 && params.len() * split.divide <= MOST_PIECES {
        params = divided(&params, split.divide);
    }
    let last = params.len() - 1;
    let mut points: Vec<DVec3> = params.iter().map(|&t| curve.point(t)).collect();
    points[0] = vertices[edge.start];
    points[last] = vertices[edge.end];
    EdgeSamples {
        params,
        points,
        first_interior: 0,
    }
}

fn even(t0: f64, t1: f64, pieces: f64) -> Vec<f64> {
    let n = pieces.clamp(1.0, MOST_PIECES as f64) as usize;
    (0..=n)
        .map(|i| {
            if i == n {
                t1
            } else {
                t0 + (t1 - t0) * i as f64 / n as f64
            }
        })
        .collect()
}

fn divided(params: &[f64], by: usize) -> Vec<f64> {
    let mut out = vec![params[0]];
    for w in params.windows(2) {
        out.extend((1..by).map(|i| w[0] + (w[1] - w[0]) * i as f64 / by as f64));
        out.push(w[1]);
    }
    out
}

fn adaptive(curve: &Curve, t0: f64, t1: f64, split: Split) -> Vec<f64> {
    let mut breaks = curve.breaks(t0, t1);
    if t1 < t0 {
        breaks.reverse();
    }
    breaks[0] = t0;
    let count = breaks.len();
    breaks[count - 1] = t1;
    let mut out = vec![t0];
    for w in breaks.windows(2) {
        let straight = matches!(curve, Curve::Polyline { .. });
        if !straight {
            halve(curve, [w[0], w[1]], split, 0, &mut out);
        }
        out.push(w[1]);
        if out.len() > MOST_PIECES {
            break;
        }
    }
    thin(curve, &mut out, split);
    let n = out.len();
    out[n - 1] = t1;
    out
}

/// Adds the parameters strictly inside a piece.
fn halve(curve: &Curve, [a, b]: [f64; 2], split: Split, depth: u32, out: &mut Vec<f64>) {
    if depth >= 14 || out.len() > MOST_PIECES {
        return;
    }
    if !good(curve, a, b, split) {
        let m = 0.5 * (a + b);
        halve(curve, [a, m], split, depth + 1, out);
        out.push(m);
        halve(curve, [m, b], split, depth + 1, out);
    }
}

fn good(curve: &Curve, a: f64, b: f64, split: Split) -> bool {
    let [pa, da, _] = curve.eval(a, 1);
    let [pb, db, _] = curve.eval(b, 1);
    let chord = pb - pa;
    let length = chord.length();
    // Pieces shorter than the tolerance cannot be wrong by more.
    if length <= split.chord_mm * 0.1 {
        let m = curve.point(0.5 * (a + b));
        return m.distance(pa) <= split.chord_mm;
    }
    for s in [0.25, 0.5, 0.75] {
        let d = curve.point(a + (b - a) * s) - pa;
        let off = d - chord * (d.dot(chord) / (length * length));
        if off.length() > split.chord_mm {
            return false;
        }
    }
    let turn = da.angle_between(db);
    !turn.is_finite() || turn <= split.angle_rad
}

/// Splines with many knots: drops samples that neither tolerance needs.
fn thin(curve: &Curve, params: &mut Vec<f64>, split: Split) {
    if params.len() < 4 {
        return;
    }
    let mut kept = vec![params[0]];
    let mut i = 0;
    while i + 1 < params.len() {
        let mut next = i + 1;
        while next + 1 < params.len()
            && next + 1 - i <= 4
            && fits(curve, &params[i..=next + 1], split)
        {
            next += 1;
        }
        kept.push(params[next]);
        i = next;
    }
    *params = kept;
}

fn fits(curve: &Curve, run: &[f64], split: Split) -> bool {
    let (a, b) = (run[0], run[run.len() - 1]);
    let (pa, pb) = (curve.point(a), curve.point(b));
    let chord = pb - pa;
    let l2 = chord.length_squared();
    let turn = curve.eval(a, 1)[1].angle_between(curve.eval(b, 1)[1]);
    if l2 == 0.0 || turn > split.angle_rad {
        return false;
    }
    run[1..run.len() - 1].iter().all(|&t| {
        let d = curve.point(t) - pa;
        (d - chord * (d.dot(chord) / l2)).length() <= 0.7 * split.chord_mm
    })
}
