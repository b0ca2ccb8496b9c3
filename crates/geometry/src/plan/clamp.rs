//! How a part can be held in a setup, what that hides, and the flip it forces.

use super::view::View;
use super::{Options, Shape};
use crate::features::hole::Hole;
use crate::plan::sample::Samples;
use glam::DVec3;
use serde::{Deserialize, Serialize};

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
    /// Area the jaws hide that no other setup makes, mm2: the part is turned in the vise for it.
    pub forced_mm2: f64,
}

/// Jaws bite a quarter of the height, from 3 to 10 mm (common practice, no source); the stock under
/// the part counts.
const GRIP: [f64; 3] = [0.25, 3.0, 10.0];
/// Share of the surface below which hidden area forces nothing: three points of 6000.
const SLIVER_SHARE: f64 = 5e-4;
/// Narrowest through hole a clamping screw goes through, mm (M5 and its clearance hole of 5.5 mm,
/// ISO 273 medium; from memory).
const SCREW_HOLE_MM: f64 = 5.5;

/// The best way to hold the part in `view`. `only_here` tells of a point whether no other setup
/// makes it; `needed` whether this setup should.
pub(super) fn clamp(
    shape: &Shape<'_>,
    options: &Options,
    view: &View,
    samples: &Samples,
    needed: &dyn Fn(usize) -> bool,
    only_here: &dyn Fn(usize) -> bool,
) -> Clamp {
    let b = shape.smallest_box;
    let height = view.z[1] - view.z[0] + 2.0 * options.allowance_mm;
    let grip_mm = (GRIP[0] * height).clamp(GRIP[1], GRIP[2]) - options.allowance_mm;
    let total: f64 = samples.all.iter().map(|s| s.area_mm2).sum();
    let mut best: Option<Clamp> = None;
    // The widest side against the jaws first: across the shortest extent.
    let axes = [
        (b.part_from_box.z_axis, b.extents[2]),
        (b.part_from_box.y_axis, b.extents[1]),
        (b.part_from_box.x_axis, b.extents[0]),
    ];
    for (across, extent) in axes {
        let opening = extent + 2.0 * options.allowance_mm;
        if across.dot(view.toward).abs() > 0.02 || opening > options.vise_opening_mm {
            continue;
        }
        let mut found = Clamp {
            hold: Hold::Vise,
            across,
            grip_mm: grip_mm.max(0.0),
            hidden_mm2: 0.0,
            forced_mm2: 0.0,
        };
        for (i, s) in samples.all.iter().enumerate() {
            let beside = ((s.point - b.centre).dot(across).abs() - extent / 2.0).abs();
            if beside <= options.allowance_mm + 1e-6
                && s.normal.dot(across).abs() > 0.9
                && (view.setup_from_part * s.point).z < view.z[0] + grip_mm
                && needed(i)
            {
                if only_here(i) {
                    found.forced_mm2 += s.area_mm2;
                } else {
                    found.hidden_mm2 += s.area_mm2;
                }
            }
        }
        if found.forced_mm2 <= SLIVER_SHARE * total {
            found.forced_mm2 = 0.0;
        }
        if best.is_none_or(|b| found.forced_mm2 < b.forced_mm2 - 1e-9) {
            best = Some(found);
        }
    }
    let plate = Clamp {
        hold: Hold::Plate,
        across: DVec3::ZERO,
        grip_mm: 0.0,
        hidden_mm2: 0.0,
        forced_mm2: 0.0,
    };
    match best {
        Some(vise) if vise.forced_mm2 == 0.0 || !can_be_screwed(shape.holes, view.toward) => vise,
        _ => plate,
    }
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
