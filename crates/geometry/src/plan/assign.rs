//! Which setup makes which point, with which cutter: the shortest list of cutters that does, the
//! largest of them wherever it gets in.

use super::cover::smallest_covers;
use super::exempt::SharpEdge;
use super::sample::FaceSample;
use super::tools::{Cutter, CutterKind, MOST_CUTTERS, own_is_enough};
use super::view::{Lie, Made, View};
use std::collections::BTreeMap;

/// Steps of the search for the shortest list.
const MOST_NODES: u64 = 200_000;
/// A cutter takes the bulk when it finishes this share of the flat and upright area of a setup: a
/// larger one would leave most of the work to the smaller ones (common practice, no source).
const BULK_SHARE: f64 = 0.3;
/// Largest end mill, mm, and its share of the narrow side of the stock as it lies, where a smaller
/// one would do: what small machines turn and small stock stands (common practice, no source).
const LARGEST_MM: f64 = 20.0;
const SHARE_OF_STOCK: f64 = 0.6;
/// Points of a face that may be left to the next larger cutter without asking for one of their
/// own (see `rows::pieces`).
const SLIVER_POINTS: usize = 3;

/// Cutters of sensible size for stock `narrow_mm` wide; all of them when none is.
pub(super) fn sensible(cutters: &[Cutter], narrow_mm: f64) -> u128 {
    let most = LARGEST_MM.min(SHARE_OF_STOCK * narrow_mm) + 1e-9;
    (0..cutters.len().min(MOST_CUTTERS))
        .filter(|k| 2.0 * cutters[*k].shape.radius_mm() <= most)
        .map(|k| 1u128 << k)
        .sum()
}

/// Of cutters that would do, the shop's own where one of fair size is among them.
pub(super) fn own_first(would_do: u128, cutters: &[Cutter]) -> u128 {
    let widest = |own_only: bool| {
        let of = cutters.iter().take(MOST_CUTTERS).enumerate();
        of.filter(|(k, c)| would_do >> k & 1 == 1 && (c.owned || !own_only))
            .map(|(_, c)| c)
            .max_by(|a, b| a.shape.radius_mm().total_cmp(&b.shape.radius_mm()))
    };
    match (widest(true), widest(false)) {
        (Some(own), Some(any)) if own_is_enough(own, any) => {
            let owned = cutters.iter().take(MOST_CUTTERS).enumerate();
            let mask: u128 = owned
                .filter(|(_, c)| c.owned)
                .map(|(k, _)| 1u128 << k)
                .sum();
            would_do & mask
        }
        _ => would_do,
    }
}

/// How the cutters make one point from one direction.
#[derive(Clone, Debug, Default)]
pub(super) struct Options {
    /// Cutters that finish it.
    pub cutters: u128,
    /// Lie of the face.
    pub lie: Option<Lie>,
    /// Only by cutters larger than sensible here.
    pub too_wide: bool,
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
    for point in beside.flat_map(|e| e.beside(sample)) {
        found |= at_point(view, cutters, point, sample, lie);
    }
    Options {
        cutters: found,
        lie: Some(lie),
        too_wide: false,
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
        // Largest first; of one corner, in one holder, all smaller ones follow when they are long
        // enough.
        let mut fits: Vec<([f64; 2], f64)> = Vec::new();
        for (k, c) in of_kind.rev() {
            let corner = if kind == CutterKind::Ball {
                0.0
            } else {
                c.shape.corner_mm()
            };
            let alike = [corner, c.holder_radius_mm];
            let known = fits.iter().find(|(of, _)| *of == alike);
            let made = match known {
                Some((_, reach)) => c.usable_mm >= *reach,
                None => match view.made(c, point, sample.normal, false) {
                    Some(Made {
                        finished: true,
                        reach_mm,
                        ..
                    }) => {
                        fits.push((alike, reach_mm));
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

/// A point as a list of cutters sees it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Point {
    /// Cutters that finish it.
    pub cutters: u128,
    /// Area, mm2.
    pub area_mm2: f64,
    /// Face.
    pub face: u32,
    /// Flat or upright.
    pub square: bool,
}

/// The shortest list that finishes all points but slivers, of several the one with the largest
/// cutters; with the cutter for the bulk in front where that is another one. Points come face by
/// face.
pub(super) fn shortest_list(points: &[Point], cutters: &[Cutter]) -> List {
    let mut rows: Vec<u128> = Vec::new();
    for face in points.chunk_by(|a, b| a.face == b.face) {
        let mut groups: BTreeMap<u128, usize> = BTreeMap::new();
        for p in face {
            *groups.entry(p.cutters).or_default() += 1;
        }
        for &mask in groups.keys() {
            let within = groups.iter().filter(|(m, _)| **m & !mask == 0);
            let count: usize = within.map(|(_, n)| n).sum();
            if count > SLIVER_POINTS || face.len() < 4 * count {
                rows.push(mask);
            }
        }
    }
    let covers = smallest_covers(&rows, MOST_NODES);
    let width = |set: &u128| -> i64 {
        let of = cutters
            .iter()
            .enumerate()
            .filter(|(k, _)| set >> k & 1 == 1);
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
fn bulk_cutter(points: &[Point], cutters: &[Cutter]) -> Option<usize> {
    let square: f64 = points.iter().filter(|p| p.square).map(|p| p.area_mm2).sum();
    let share = |k: usize| -> f64 {
        let own = points
            .iter()
            .filter(|p| p.square && p.cutters >> k & 1 == 1);
        own.map(|p| p.area_mm2).sum()
    };
    (0..cutters.len().min(MOST_CUTTERS))
        .filter(|k| cutters[*k].kind == CutterKind::Flat)
        .filter(|k| square > 0.0 && share(*k) >= BULK_SHARE * square)
        .max_by(|a, b| {
            let radius = |k: usize| cutters[k].shape.radius_mm();
            radius(*a).total_cmp(&radius(*b)).then(a.cmp(b))
        })
}
