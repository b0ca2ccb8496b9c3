//! Which setup makes which point, with which cutter: the shortest list of cutters that does, the
//! largest of them wherever it gets in.

use super::cover::smallest_covers;
use super::exempt::SharpEdge;
use super::sample::FaceSample;
use super::tools::{Cutter, CutterKind};
use super::view::{Lie, Made, View};

/// Cutters, at most, a list may choose from (bits of a row).
const MOST_CUTTERS: usize = 120;
/// Steps of the search for the shortest list.
const MOST_NODES: u64 = 200_000;
/// A cutter takes the bulk when it finishes this share of the flat and upright area of a setup: a
/// larger one would leave most of the work to the smaller ones (common practice, no source).
const BULK_SHARE: f64 = 0.3;
/// Largest end mill for the bulk, mm: what small machines turn (common practice, no source).
const LARGEST_BULK_MM: f64 = 20.0;

/// How the cutters make one point from one direction.
#[derive(Clone, Debug, Default)]
pub(super) struct Options {
    /// Cutters that finish it.
    pub cutters: u128,
    /// Lie of the face.
    pub lie: Option<Lie>,
}

/// Cutters (by number in `cutters`, which must be in search order) that finish a sample.
pub(super) fn finishing(
    view: &View,
    cutters: &[Cutter],
    sample: &FaceSample,
    near: &[u32],
    edges: &[SharpEdge],
) -> Options {
    let lie = view.lie(sample.normal);
    if lie == Lie::Under {
        return Options::default();
    }
    let mut found = at_point(view, cutters, sample.point, sample, lie);
    let beside = near
        .iter()
        .map(|e| &edges[*e as usize])
        .filter(|e| e.is_along(view.toward));
    for edge in beside {
        found |= at_point(view, cutters, edge.beside(sample), sample, lie);
    }
    Options {
        cutters: found,
        lie: Some(lie),
    }
}

fn at_point(
    view: &View,
    cutters: &[Cutter],
    point: glam::DVec3,
    sample: &FaceSample,
    lie: Lie,
) -> u128 {
    let mut found = 0u128;
    for kind in [CutterKind::Flat, CutterKind::Bull, CutterKind::Ball] {
        // Steps of a flat cutter finish no slant; a ball is for what the others leave.
        if kind == CutterKind::Flat && lie == Lie::Slanted
            || kind == CutterKind::Ball && lie != Lie::Slanted && found != 0
        {
            continue;
        }
        let of_kind = cutters
            .iter()
            .take(MOST_CUTTERS)
            .enumerate()
            .filter(|(_, c)| c.kind == kind);
        // Largest first; of one corner all smaller ones follow when they are long enough.
        let mut fits: Vec<(f64, f64)> = Vec::new();
        for (k, c) in of_kind.rev() {
            let corner = if kind == CutterKind::Ball {
                0.0
            } else {
                c.shape.corner_mm()
            };
            let known = fits.iter().find(|(of, _)| *of == corner);
            let made = match known {
                Some((_, reach)) => c.usable_mm >= *reach,
                None => match view.made(c, point, sample.normal, false) {
                    Some(Made {
                        finished: true,
                        reach_mm,
                        ..
                    }) => {
                        fits.push((corner, reach_mm));
                        true
                    }
                    _ => false,
                },
            };
            if made {
                found |= 1 << k;
            }
        }
    }
    found
}

/// The cutters of one setup.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct List {
    /// Numbers of cutters, largest first; the first takes the bulk.
    pub cutters: Vec<usize>,
    /// True when no shorter list does.
    pub proven: bool,
}

/// The shortest list that finishes all points, of several the one with the largest cutters; with
/// the cutter for the bulk in front where that is another one. `points`: cutters that finish each,
/// its area, and whether it is flat or upright.
pub(super) fn shortest_list(points: &[(u128, f64, bool)], cutters: &[Cutter]) -> List {
    let rows: Vec<u128> = points.iter().map(|p| p.0).collect();
    let covers = smallest_covers(&rows, MOST_NODES);
    let width = |set: &u128| -> i64 {
        let of = cutters.iter().enumerate().filter(|(k, _)| set >> k & 1 == 1);
        of.map(|(_, c)| (c.shape.radius_mm() * 1e3) as i64).sum()
    };
    let set = covers
        .sets
        .iter()
        .copied()
        .max_by(|a, b| width(a).cmp(&width(b)).then(b.cmp(a)))
        .unwrap_or(0);
    let bulk = bulk_cutter(points, cutters);
    let mut list: Vec<usize> = (0..cutters.len().min(MOST_CUTTERS))
        .filter(|k| set >> k & 1 == 1 || bulk == Some(*k))
        .collect();
    let radius = |k: &usize| cutters[*k].shape.radius_mm();
    list.sort_by(|a, b| {
        radius(b)
            .total_cmp(&radius(a))
            .then(cutters[*a].kind.cmp(&cutters[*b].kind))
            .then(a.cmp(b))
    });
    List {
        cutters: list,
        proven: covers.proven,
    }
}

/// The largest flat cutter that finishes a fair share of the flat and upright area.
fn bulk_cutter(points: &[(u128, f64, bool)], cutters: &[Cutter]) -> Option<usize> {
    let square: f64 = points.iter().filter(|p| p.2).map(|p| p.1).sum();
    let share = |k: usize| -> f64 {
        let own = points.iter().filter(|p| p.2 && p.0 >> k & 1 == 1);
        own.map(|p| p.1).sum()
    };
    (0..cutters.len().min(MOST_CUTTERS))
        .filter(|k| {
            cutters[*k].kind == CutterKind::Flat
                && 2.0 * cutters[*k].shape.radius_mm() <= LARGEST_BULK_MM + 1e-9
        })
        .filter(|k| square > 0.0 && share(*k) >= BULK_SHARE * square)
        .max_by(|a, b| {
            let radius = |k: usize| cutters[k].shape.radius_mm();
            radius(*a).total_cmp(&radius(*b)).then(a.cmp(b))
        })
}
