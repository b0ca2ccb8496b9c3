//! How a part can be held in a setup, what that hides, and the flip it forces.

use super::view::View;
use super::{Options, Shape};
use crate::features::hole::Hole;
use crate::plan::sample::{FaceSample, Samples};
use glam::DVec3;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// What holds the part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Hold {
    /// A vise, its jaws on the two sides square to an axis.
    Vise,
    /// Screwed or clamped down on a plate.
    Plate,
}

/// How a setup is held.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Clamp {
    /// With what.
    pub hold: Hold,
    /// Direction across the jaws, part frame; zero on a plate.
    pub across: DVec3,
    /// Height of the part inside the jaws, mm.
    pub grip_mm: f64,
    /// Area the jaws hide that another setup makes, mm2.
    pub hidden_mm2: f64,
    /// Area hidden in every setup that could make it, mm2: it asks for a clamping of its own.
    pub forced_mm2: f64,
    /// True for the clamping that makes what the setup before it hid: same way up, held otherwise.
    pub again: bool,
}

/// Jaws bite a quarter of the height, from 3 to 10 mm (common practice, no source); the stock under
/// the part counts.
const GRIP: [f64; 3] = [0.25, 3.0, 10.0];
/// Share of the surface below which hidden area forces nothing: three points of 6000.
const SLIVER_SHARE: f64 = 5e-4;
/// Narrowest through hole a clamping screw goes through, mm (M5 and its clearance hole of 5.5 mm,
/// ISO 273 medium; from memory).
const SCREW_HOLE_MM: f64 = 5.5;
/// Ways of holding all setups together that are compared; parts seen have under a hundred.
const MOST_COMBINED: usize = 4096;

const PLATE: Clamp = Clamp {
    hold: Hold::Plate,
    across: DVec3::ZERO,
    grip_mm: 0.0,
    hidden_mm2: 0.0,
    forced_mm2: 0.0,
    again: false,
};

/// Ways to hold the part in `view`, the best first: in a vise across its narrowest side, then
/// across the others the vise opens to; screwed to a plate by its own holes; clamped to a plate
/// where no vise opens wide enough.
pub fn ways_to_hold(shape: &Shape<'_>, options: &Options, view: &View) -> Vec<Clamp> {
    let b = shape.smallest_box;
    let height = view.z[1] - view.z[0] + 2.0 * options.allowance_mm;
    let grip_mm = (GRIP[0] * height).clamp(GRIP[1], GRIP[2]) - options.allowance_mm;
    let mut out: Vec<Clamp> = [
        (b.part_from_box.z_axis, b.extents[2]),
        (b.part_from_box.y_axis, b.extents[1]),
        (b.part_from_box.x_axis, b.extents[0]),
    ]
    .into_iter()
    .filter(|(across, extent)| {
        across.dot(view.toward).abs() <= 0.02
            && extent + 2.0 * options.allowance_mm <= options.vise_opening_mm
    })
    .map(|(across, _)| Clamp {
        hold: Hold::Vise,
        across,
        grip_mm: grip_mm.max(0.0),
        ..PLATE
    })
    .collect();
    if out.is_empty() || can_be_screwed(shape.holes, view.toward) {
        out.push(PLATE);
    }
    out
}

impl Clamp {
    /// Whether the jaws cover a point.
    pub fn covers(
        &self,
        shape: &Shape<'_>,
        allowance_mm: f64,
        view: &View,
        sample: &FaceSample,
    ) -> bool {
        if self.grip_mm <= 0.0 || sample.normal.dot(self.across).abs() <= 0.9 {
            return false;
        }
        let b = shape.smallest_box;
        let along = b.part_from_box.transpose() * self.across;
        let extent = along.abs().dot(DVec3::from_array(b.extents));
        let off = ((sample.point - b.centre).dot(self.across).abs() - extent / 2.0).abs();
        off <= allowance_mm + 1e-6
            && (view.setup_from_part * sample.point).z < view.z[0] + self.grip_mm
    }
}

/// How every setup is held.
pub(super) struct Held {
    /// One for each setup.
    pub clamps: Vec<Clamp>,
    /// Clampings added for what is hidden otherwise: the setup they repeat, how, and the points
    /// they make.
    pub again: Vec<(usize, Clamp, Vec<usize>)>,
}

/// Holds all setups so that the least surface is hidden in every setup that could make it (none,
/// where that can be had), then in the ways that come first; what still is hidden is made in a
/// clamping of its own. `makes` tells whether a setup could make a point.
pub(super) fn hold_all(
    shape: &Shape<'_>,
    options: &Options,
    views: &[Arc<View>],
    samples: &Samples,
    makes: &dyn Fn(usize, usize) -> bool,
) -> Held {
    let ways: Vec<Vec<Clamp>> = views
        .iter()
        .map(|v| ways_to_hold(shape, options, v))
        .collect();
    let covers = |k: usize, clamp: &Clamp, i: usize| {
        clamp.covers(shape, options.allowance_mm, &views[k], &samples.all[i])
    };
    let made_by = |i: usize| (0..views.len()).filter(move |k| makes(*k, i));
    // Points that some way of holding hides in each of their setups, with the ways that do.
    let mut doubtful: Vec<(usize, Vec<(usize, u32)>)> = Vec::new();
    for i in 0..samples.all.len() {
        let hiding = |k: usize| -> u32 {
            let all = ways[k].iter().enumerate();
            all.filter(|(_, c)| covers(k, c, i))
                .map(|(w, _)| 1 << w)
                .sum()
        };
        let by: Vec<(usize, u32)> = made_by(i).map(|k| (k, hiding(k))).collect();
        if !by.is_empty() && by.iter().all(|(_, ways)| *ways != 0) {
            doubtful.push((i, by));
        }
    }
    let total: f64 = samples.all.iter().map(|s| s.area_mm2).sum();
    let is_lost =
        |by: &[(usize, u32)], taken: &[usize]| by.iter().all(|(k, w)| w >> taken[*k] & 1 == 1);
    let lost_mm2 = |taken: &[usize]| -> f64 {
        let lost = doubtful.iter().filter(|(_, by)| is_lost(by, taken));
        let area: f64 = lost.map(|(i, _)| samples.all[*i].area_mm2).sum();
        if area <= SLIVER_SHARE * total {
            0.0
        } else {
            area
        }
    };
    let mut taken = vec![0; views.len()];
    let mut best = (lost_mm2(&taken), 0);
    let combined = ways.iter().map(Vec::len).product::<usize>();
    for number in 1..combined.min(MOST_COMBINED) {
        if best.0 == 0.0 && best.1 == 0 {
            break;
        }
        let mut rest = number;
        let other: Vec<usize> = ways
            .iter()
            .map(|w| {
                let digit = rest % w.len();
                rest /= w.len();
                digit
            })
            .collect();
        let key = (lost_mm2(&other), other.iter().sum::<usize>());
        if key.0 < best.0 - 1e-9 || key.0 <= best.0 && key.1 < best.1 {
            (best, taken) = (key, other);
        }
    }
    let mut clamps: Vec<Clamp> = taken.iter().zip(&ways).map(|(t, w)| w[*t]).collect();
    let mut lost: Vec<usize> = if best.0 > 0.0 {
        let all = doubtful.iter().filter(|(_, by)| is_lost(by, &taken));
        all.map(|(i, _)| *i).collect()
    } else {
        Vec::new()
    };
    let is_open = |i: usize| made_by(i).any(|k| !covers(k, &clamps[k], i));
    let hidden: Vec<f64> = (0..views.len())
        .map(|k| {
            let own = (0..samples.all.len()).filter(|i| makes(k, *i) && covers(k, &clamps[k], *i));
            own.filter(|i| is_open(*i))
                .map(|i| samples.all[i].area_mm2)
                .sum()
        })
        .collect();
    for (clamp, hidden) in clamps.iter_mut().zip(hidden) {
        clamp.hidden_mm2 = hidden;
    }
    let mut again = Vec::new();
    while !lost.is_empty() {
        let area = |k: usize, way: &Clamp| -> f64 {
            let open = lost
                .iter()
                .filter(|i| makes(k, **i) && !covers(k, way, **i));
            open.map(|i| samples.all[*i].area_mm2).sum()
        };
        // The setup and the way of holding that bring most of it to light; a plate if none does.
        let mut chosen: Option<(f64, usize, Clamp)> = None;
        for (k, own) in ways.iter().enumerate() {
            let others = own.iter().filter(|w| w.across != clamps[k].across);
            for way in others.copied().chain([PLATE]) {
                let area = area(k, &way);
                if chosen.as_ref().is_none_or(|c| area > c.0 + 1e-9) {
                    chosen = Some((area, k, way));
                }
            }
        }
        let Some((_, k, way)) = chosen.filter(|c| c.0 > 0.0) else {
            break;
        };
        let (made, rest): (Vec<usize>, Vec<usize>) = lost
            .iter()
            .partition(|i| makes(k, **i) && !covers(k, &way, **i));
        clamps[k].forced_mm2 += made.iter().map(|i| samples.all[*i].area_mm2).sum::<f64>();
        again.push((k, Clamp { again: true, ..way }, made));
        lost = rest;
    }
    Held { clamps, again }
}

/// Two through holes along the axis hold a part down.
fn can_be_screwed(holes: &[Hole], toward: DVec3) -> bool {
    let through = |h: &&Hole| {
        h.through && h.diameter_mm >= SCREW_HOLE_MM && h.toward.cross(toward).length() < 0.012
    };
    holes.iter().filter(through).count() >= 2
}

/// Clampings of other machines for the same directions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Groups {
    /// With a rotary axis held across the table: directions square to its axis share a clamping.
    pub fourth_axis: usize,
    /// On a machine that tilts the part or the spindle to a right angle (3+2): all directions
    /// above the table share one.
    pub three_plus_two: usize,
}

/// Fewest clampings by grouping directions.
pub fn groups(directions: &[DVec3]) -> Groups {
    let mut fourth_axis = directions.len();
    for (i, a) in directions.iter().enumerate() {
        for b in directions.iter().skip(i) {
            let axes = [a.cross(*b), a.any_orthonormal_vector()];
            for axis in axes.iter().filter_map(|a| a.try_normalize()) {
                let off = directions
                    .iter()
                    .filter(|d| d.dot(axis).abs() > 1e-3)
                    .count();
                let any = usize::from(off < directions.len());
                fourth_axis = fourth_axis.min(off + any);
            }
        }
    }
    // Up is one of the directions or square to two of them; what lies below waits for a flip.
    let mut ups: Vec<DVec3> = directions.to_vec();
    for (i, a) in directions.iter().enumerate() {
        for b in directions.iter().skip(i + 1) {
            ups.extend((*a + *b).try_normalize());
            ups.extend(a.cross(*b).try_normalize());
            ups.extend(b.cross(*a).try_normalize());
        }
    }
    ups.truncate(128);
    let above: Vec<u128> = directions
        .iter()
        .map(|d| {
            let seen = |(k, up): (usize, &DVec3)| u128::from(d.dot(*up) > -1e-3) << k;
            ups.iter().enumerate().map(seen).sum()
        })
        .collect();
    let covers = super::cover::smallest_covers(&above, 100_000);
    Groups {
        fourth_axis,
        three_plus_two: covers.sets[0].count_ones() as usize,
    }
}
