//! Alike holes that stand in a bolt circle, a row or a grid.

use super::hole::Hole;
use super::piece::SAME_MM;
use glam::{DVec2, DVec3};
use std::f64::consts::TAU;

/// How alike holes are laid out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Layout {
    /// Evenly around a circle.
    BoltCircle {
        /// Its middle, in the plane of the first hole's entry.
        centre: DVec3,
        /// Its diameter, mm.
        diameter_mm: f64,
    },
    /// Evenly along a line.
    Row {
        /// Unit direction.
        along: DVec3,
        /// From hole to hole, mm.
        pitch_mm: f64,
    },
    /// Rows of rows.
    Grid {
        /// Unit direction of the longer rows.
        along: DVec3,
        /// Holes along and across.
        count: [usize; 2],
        /// From hole to hole along and across, mm.
        pitch_mm: [f64; 2],
    },
}

/// Alike holes in one layout.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    /// The layout.
    pub layout: Layout,
    /// Indices of the holes, ascending.
    pub holes: Vec<usize>,
}

/// Places agree this far, mm: fits and files rounded to two decimals.
const NEAR_MM: f64 = SAME_MM;

/// Patterns of three and more alike holes; each hole in one at most.
pub fn patterns(holes: &[Hole]) -> Vec<Pattern> {
    let kinds = holes.iter().map(|h| h.alike).max().map_or(0, |m| m + 1);
    let mut members: Vec<Vec<usize>> = vec![Vec::new(); kinds];
    for (i, hole) in holes.iter().enumerate() {
        members[hole.alike].push(i);
    }
    members
        .into_iter()
        .filter(|m| m.len() >= 3)
        .filter_map(|own| {
            let layout = layout(holes, &own)?;
            Some(Pattern { layout, holes: own })
        })
        .collect()
}

fn layout(holes: &[Hole], own: &[usize]) -> Option<Layout> {
    let first = &holes[own[0]];
    let (u, v) = first.toward.any_orthonormal_pair();
    let level = own
        .iter()
        .all(|&i| (holes[i].at - first.at).dot(first.toward).abs() < NEAR_MM);
    if !level {
        return None;
    }
    let places: Vec<DVec2> = own
        .iter()
        .map(|&i| holes[i].at - first.at)
        .map(|d| DVec2::new(d.dot(u), d.dot(v)))
        .collect();
    let back = |p: DVec2| first.at + u * p.x + v * p.y;
    let turn = |d: DVec2| (u * d.x + v * d.y).normalize_or_zero();
    row(&places)
        .map(|(along, pitch_mm)| Layout::Row {
            along: turn(along),
            pitch_mm,
        })
        .or_else(|| {
            bolt_circle(&places).map(|(centre, radius)| Layout::BoltCircle {
                centre: back(centre),
                diameter_mm: 2.0 * radius,
            })
        })
        .or_else(|| {
            grid(&places).map(|(along, count, pitch_mm)| Layout::Grid {
                along: turn(along),
                count,
                pitch_mm,
            })
        })
}

/// Direction and pitch of places along one line at even distances.
fn row(places: &[DVec2]) -> Option<(DVec2, f64)> {
    let far = places
        .iter()
        .max_by(|a, b| a.distance(places[0]).total_cmp(&b.distance(places[0])))?;
    let along = (*far - places[0]).try_normalize()?;
    let mut at: Vec<f64> = Vec::with_capacity(places.len());
    for p in places {
        let d = *p - places[0];
        if d.perp_dot(along).abs() > NEAR_MM {
            return None;
        }
        at.push(d.dot(along));
    }
    at.sort_by(f64::total_cmp);
    even(&at).map(|pitch| (along, pitch))
}

/// Pitch of ascending places at even distances.
fn even(at: &[f64]) -> Option<f64> {
    let pitch = (at[at.len() - 1] - at[0]) / (at.len() - 1) as f64;
    let fits = at
        .iter()
        .enumerate()
        .all(|(k, t)| (t - at[0] - pitch * k as f64).abs() < NEAR_MM);
    (pitch > NEAR_MM && fits).then_some(pitch)
}

/// Centre and radius of places evenly around a circle.
fn bolt_circle(places: &[DVec2]) -> Option<(DVec2, f64)> {
    let centre = places.iter().sum::<DVec2>() / places.len() as f64;
    let radius = centre.distance(places[0]);
    let mut angles: Vec<f64> = Vec::with_capacity(places.len());
    for p in places {
        if (p.distance(centre) - radius).abs() > NEAR_MM {
            return None;
        }
        angles.push((*p - centre).to_angle());
    }
    angles.sort_by(f64::total_cmp);
    let step = TAU / places.len() as f64;
    let fits = angles
        .iter()
        .enumerate()
        .all(|(k, a)| (a - angles[0] - step * k as f64).abs() * radius < 2.0 * NEAR_MM);
    (radius > NEAR_MM && fits).then_some((centre, radius))
}

/// Direction, counts and pitches of places in rows of rows.
fn grid(places: &[DVec2]) -> Option<(DVec2, [usize; 2], [f64; 2])> {
    // A corner of the grid and its nearest neighbours span it.
    let centre = places.iter().sum::<DVec2>() / places.len() as f64;
    let corner = *places
        .iter()
        .max_by(|a, b| a.distance(centre).total_cmp(&b.distance(centre)))?;
    let near = places
        .iter()
        .filter(|p| p.distance(corner) > NEAR_MM)
        .min_by(|a, b| a.distance(corner).total_cmp(&b.distance(corner)))?;
    let along = (*near - corner).try_normalize()?;
    let axis = |d: DVec2| {
        let mut at: Vec<f64> = places.iter().map(|p| (*p - corner).dot(d)).collect();
        at.sort_by(f64::total_cmp);
        at.dedup_by(|a, b| (*a - *b).abs() < 2.0 * NEAR_MM);
        (at.len() > 1).then(|| even(&at).map(|pitch| (at.len(), pitch)))?
    };
    let ((n, a), (m, b)) = (axis(along)?, axis(along.perp())?);
    let full = n * m == places.len();
    let (along, count, pitch) = if n >= m {
        (along, [n, m], [a, b])
    } else {
        (along.perp(), [m, n], [b, a])
    };
    full.then_some((along, count, pitch))
}
