//! Where the tool's centre must go, at any angle of the part on the table.

use crate::demand::{Setup, TaskKind};
use std::f64::consts::{FRAC_PI_2, PI};
use units::{Angle, Length};

/// A rectangle about the part's middle, grown by a disc: where one task takes the tool's centre.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Patch {
    along_x_mm: f64,
    along_y_mm: f64,
    grown_mm: f64,
}

/// Everywhere a setup takes the tool's centre.
///
/// Outlines are run off by the cutter's radius all round; a face is fed along the longer side and
/// run off at both ends. Where the places of holes and pockets are not known they may be anywhere
/// on the part, up to its edge less the tool's radius.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Region(Vec<Patch>);

impl Region {
    pub fn of(setup: &Setup) -> Self {
        let [x, y, _] = setup.extent.map(Length::to_mm);
        let mut patches: Vec<Patch> = Vec::new();
        for task in &setup.tasks {
            let d = task.tool.diameter.to_mm();
            let patch = if task.outside {
                Patch {
                    along_x_mm: x,
                    along_y_mm: y,
                    grown_mm: 0.5 * d,
                }
            } else {
                let [x, y] = match (task.kind, x >= y) {
                    (TaskKind::Face, true) => [x + d, y],
                    (TaskKind::Face, false) => [x, y + d],
                    _ => [(x - d).max(0.0), (y - d).max(0.0)],
                };
                Patch {
                    along_x_mm: x,
                    along_y_mm: y,
                    grown_mm: 0.0,
                }
            };
            if !patches.contains(&patch) {
                patches.push(patch);
            }
        }
        Self(patches)
    }

    /// Travel along X and Y with the part turned by an angle.
    pub fn need(&self, turned: Angle) -> [Length; 2] {
        let (sin, cos) = turned.to_rad().sin_cos();
        let (sin, cos) = (sin.abs(), cos.abs());
        let mut need = [0.0f64; 2];
        for p in &self.0 {
            let (a, b, r) = (p.along_x_mm, p.along_y_mm, 2.0 * p.grown_mm);
            need = [
                need[0].max(a * cos + b * sin + r),
                need[1].max(a * sin + b * cos + r),
            ];
        }
        need.map(Length::mm)
    }

    /// The least angle, up to a quarter turn, at which all of it lies within the travels; `None`
    /// when there is none.
    ///
    /// Width and depth of a turned rectangle are `R cos(t - p)` with `R` its diagonal and `p` the
    /// diagonal's angle (or its complement), so each task forbids one open interval of angles
    /// around `p` along either axis. What is left over is found from the intervals' ends: exact, no
    /// angles are sampled. For one rectangle the answer is that of Carver (American Mathematical
    /// Monthly 64, 1957) and Wetzel (Mathematics Magazine 73, 2000).
    pub fn angle_within(&self, travel: [Length; 2]) -> Option<Angle> {
        let slack = units::LENGTH_SLACK.to_mm();
        let room = travel.map(|t| t.to_mm() + slack);
        let mut forbidden: Vec<[f64; 2]> = Vec::new();
        for p in &self.0 {
            let (a, b) = (p.along_x_mm, p.along_y_mm);
            let diagonal = a.hypot(b);
            let of_x = b.atan2(a);
            for (axis, middle) in [(0, of_x), (1, FRAC_PI_2 - of_x)] {
                let room = room[axis] - 2.0 * p.grown_mm;
                if room < 0.0 {
                    return None;
                }
                if diagonal > room {
                    let half = (room / diagonal).acos();
                    forbidden.push([middle - half, middle + half]);
                }
            }
        }
        let free = |t: f64| {
            // Ends of intervals are allowed; a billionth of a radian is a micrometre at a kilometre.
            let hair = 1.0e-9;
            forbidden
                .iter()
                .all(|[from, to]| t <= from + hair || t >= to - hair)
        };
        let mut candidates = vec![0.0, FRAC_PI_2];
        candidates.extend(forbidden.iter().flatten().copied());
        candidates
            .into_iter()
            .filter(|t| (0.0..=FRAC_PI_2).contains(t) && free(*t))
            .min_by(f64::total_cmp)
            .map(Angle::rad)
    }
}

/// Size along X and Y of a part turned by an angle.
pub(super) fn turned_size(extent: [Length; 2], turned: Angle) -> [Length; 2] {
    // Quarter turns exactly, so that rounding never makes a part a hair too long.
    let quarter = turned.to_rad() / FRAC_PI_2;
    if quarter == 0.0 {
        return extent;
    }
    if (quarter - 1.0).abs() < f64::EPSILON * PI {
        return [extent[1], extent[0]];
    }
    let (sin, cos) = turned.to_rad().sin_cos();
    [
        extent[0] * cos + extent[1] * sin,
        extent[0] * sin + extent[1] * cos,
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn bare(a: f64, b: f64) -> Region {
        Region(vec![Patch {
            along_x_mm: a,
            along_y_mm: b,
            grown_mm: 0.0,
        }])
    }

    /// Carver 1957, as Wetzel 2000 states it (from memory): a rectangle p x q (p >= q) fits into
    /// a x b (a >= b) when p <= a and q <= b, or when p > a, q <= b and
    /// b >= (2 p q a + (p^2 - q^2) sqrt(p^2 + q^2 - a^2)) / (p^2 + q^2).
    fn carver([p, q]: [f64; 2], [a, b]: [f64; 2]) -> bool {
        let (p, q) = (p.max(q), p.min(q));
        let (a, b) = (a.max(b), a.min(b));
        (p <= a && q <= b)
            || (p > a
                && q <= b
                && b >= (2.0 * p * q * a
                    + (p * p - q * q) * (p * p + q * q - a * a).max(0.0).sqrt())
                    / (p * p + q * q))
    }

    #[test]
    fn a_long_strip_lies_across_the_corner_of_the_travel() {
        // 490 x 20 in 400 x 320: the diagonal is 512.
        let [x, y] = [Length::mm(400.0), Length::mm(320.0)];
        let angle = bare(490.0, 20.0).angle_within([x, y]).expect("across");
        let need = bare(490.0, 20.0).need(angle);
        assert!(need[0].fits(x) && need[1].fits(y), "{need:?}");
        assert!(angle.to_deg() > 30.0 && angle.to_deg() < 45.0);
        assert!(bare(490.0, 60.0).angle_within([x, y]).is_none());
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn one_rectangle_agrees_with_the_closed_form(part in [1.0..600.0f64, 1.0..600.0f64], room in [1.0..600.0f64, 1.0..600.0f64]) {
            let found = bare(part[0], part[1]).angle_within(room.map(Length::mm));
            // Away from the border by more than the slack of lengths.
            let grown = part.map(|s| s + 0.01);
            let shrunk = part.map(|s| s - 0.01);
            if carver(grown, room) {
                prop_assert!(found.is_some());
            }
            if !carver(shrunk, room) {
                prop_assert!(found.is_none(), "{found:?}");
            }
        }

        #[test]
        fn several_tasks_lie_within_at_the_angle_found(
            patches in prop::collection::vec((1.0..600.0f64, 1.0..400.0f64, 0.0..20.0f64), 1..4),
            room in [50.0..700.0f64, 50.0..700.0f64],
        ) {
            let region = Region(patches.into_iter().map(|(along_x_mm, along_y_mm, grown_mm)| Patch { along_x_mm, along_y_mm, grown_mm }).collect());
            let room = room.map(Length::mm);
            let inside = |t: Angle| {
                let need = region.need(t);
                need[0] <= room[0] + Length::mm(1.0e-3) && need[1] <= room[1] + Length::mm(1.0e-3)
            };
            match region.angle_within(room) {
                Some(angle) => prop_assert!(inside(angle), "{angle:?}"),
                // None of a thousand angles does either, seen more strictly.
                None => for step in 0..=1000 {
                    let need = region.need(Angle::rad(FRAC_PI_2 * f64::from(step) / 1000.0));
                    prop_assert!(!(need[0] < room[0] && need[1] < room[1]), "{need:?}");
                },
            }
        }
    }
}
