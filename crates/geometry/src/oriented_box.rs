//! The smallest box around a part, in any orientation, with a proof of how close to smallest.
//!
//! 1. Convex hull ([`crate::hull`]).
//! 2. Candidates: the axis-aligned box; for every flat hull face the smallest rectangle of the
//!    outline along its normal. Each is improved by turning about its own three axes in turn, the
//!    best angle found exactly by calipers, until nothing changes. This reaches boxes that touch
//!    the hull along edges only, such as the cube around a regular tetrahedron.
//! 3. Branch and bound over all orientations. Of a cell of orientations no more than an angle t
//!    from its middle, every width is at least `w cos t - s sin t`, w and s being the parts along
//!    and across of the pair of corners that spans the middle's width. Cells whose product of
//!    widths exceeds the best volume less [`PROOF`] are dropped; better middles are improved as in
//!    step 2.
//!
//! The smallest box need not lie on a hull face (J. O'Rourke, "Finding minimal enclosing boxes",
//! Int. J. Comput. Inf. Sci. 14, 1985), which is why step 3 exists.

use crate::hull::Hull;
use crate::rectangle::smallest_rectangle;
use glam::{DMat3, DQuat, DVec2, DVec3};
use std::collections::BTreeMap;

/// A box around a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OrientedBox {
    /// Middle of the box, part frame.
    pub centre: DVec3,
    /// `part_from_box`: columns are the directions of the extents; a rotation.
    pub part_from_box: DMat3,
    /// Extents, descending.
    pub extents: [f64; 3],
    /// No box around the part is smaller than this share of the volume (or area, when flat).
    pub proven: f64,
}

impl OrientedBox {
    /// Volume.
    pub fn volume(&self) -> f64 {
        self.extents.iter().product()
    }
}

/// Gap left between the box and the proof, relative. The box itself is exact in all cases tried;
/// a finer proof costs time on round parts, whose boxes are all nearly equal.
const PROOF: f64 = 1e-3;
/// Cells the search may open; enough to prove parts with a few flat faces, while for round parts,
/// whose boxes are all nearly equal, [`OrientedBox::proven`] says how far the proof came.
const MAX_CELLS: usize = 20_000;
/// Axis-aligned boxes win unless a turned one is smaller by more than this, relative: turned boxes
/// carry rounding, and f32 coordinates carry 1e-7.
const AXIS_PREFERENCE: f64 = 1e-6;

/// The smallest box around `points`; `None` without points.
pub fn smallest_box(points: &[DVec3]) -> Option<OrientedBox> {
    let hull = Hull::of(points);
    let corners = hull.corners();
    match &hull {
        Hull::Empty => None,
        Hull::Point(_) => Some(boxed(&corners, DMat3::IDENTITY, 1.0)),
        Hull::Segment([a, b]) => Some(boxed(&corners, frame_along(*b - *a), 1.0)),
        Hull::Polygon(_) => Some(flat_box(&corners)),
        Hull::Solid { triangles, .. } => Some(solid_box(&corners, triangles)),
    }
}

fn flat_box(corners: &[DVec3]) -> OrientedBox {
    let normal = (2..corners.len())
        .map(|i| (corners[i - 1] - corners[0]).cross(corners[i] - corners[0]))
        .fold(DVec3::ZERO, |sum, n| sum + n);
    let turned = with_calipers(corners, frame_along(normal), 0);
    let flat_area = |b: &OrientedBox| b.extents[0] * b.extents[1];
    let aligned = boxed(corners, DMat3::IDENTITY, 1.0);
    let found = boxed(corners, turned, 1.0);
    // In a coordinate plane, the same preference as for solids.
    if aligned.extents[2] <= found.extents[2].max(1e-12 * aligned.extents[0])
        && flat_area(&aligned) <= flat_area(&found) * (1.0 + AXIS_PREFERENCE)
    {
        return aligned;
    }
    found
}

/// Searches over a few hundred well spread corners, whose boxes are never larger than those of all;
/// corners that stick out of the box found join, until none do.
fn solid_box(corners: &[DVec3], triangles: &[[u32; 3]]) -> OrientedBox {
    let mut working = spread_corners(corners);
    let mut start = DMat3::IDENTITY;
    let mut directions = flat_directions(corners, triangles);
    // Each round adds at most six corners; a dozen settles faceted parts, and dense spheres never
    // would, so what is left then goes into `proven`.
    let mut found = boxed(corners, start, 0.0);
    for round in 0..12 {
        let mut search = Search {
            corners: &working,
            best: start,
            volume: f64::INFINITY,
        };
        search.try_from(start);
        search.try_from(DMat3::IDENTITY);
        for normal in directions.drain(..) {
            search.try_from(frame_along(normal));
        }
        let share = search.prove(if round == 0 { MAX_CELLS } else { MAX_CELLS / 4 });
        let (frame, lower) = (search.best, share * search.volume);
        let candidate = boxed(corners, frame, 0.0);
        if candidate.volume() < found.volume() {
            found = candidate;
        }
        found.proven = found.proven.max((lower / found.volume()).min(1.0 - PROOF));
        if candidate.volume() <= search.volume * (1.0 + 1e-12) {
            break;
        }
        for axis in [frame.x_axis, frame.y_axis, frame.z_axis] {
            working.extend(span(corners, axis).map(|i| corners[i]));
        }
        start = frame;
    }
    let aligned = boxed(corners, DMat3::IDENTITY, found.proven);
    if aligned.volume() <= found.volume() * (1.0 + AXIS_PREFERENCE) {
        aligned
    } else {
        found
    }
}

/// Normals of the hull's flat faces, each once, the largest faces first. Round parts have
/// thousands of tiny ones; the search of step 3 covers what the largest 60 do not.
fn flat_directions(corners: &[DVec3], triangles: &[[u32; 3]]) -> Vec<DVec3> {
    let mut area_by_direction: BTreeMap<[i64; 3], (f64, DVec3)> = BTreeMap::new();
    for t in triangles {
        let [a, b, c] = t.map(|i| corners[i as usize]);
        let n = (b - a).cross(c - a);
        let area = n.length();
        if area == 0.0 {
            continue;
        }
        let unit = n / area;
        let first = unit
            .to_array()
            .into_iter()
            .find(|c| c.abs() > 1e-9)
            .unwrap_or(1.0);
        let unit = if first < 0.0 { -unit } else { unit };
        let key = unit.to_array().map(|c| (c * 1e7).round() as i64);
        let entry = area_by_direction.entry(key).or_insert((0.0, unit));
        entry.0 += area;
    }
    let mut list: Vec<(f64, DVec3)> = area_by_direction.into_values().collect();
    list.sort_by(|a, b| b.0.total_cmp(&a.0));
    list.into_iter().take(60).map(|(_, n)| n).collect()
}

struct Search<'a> {
    corners: &'a [DVec3],
    best: DMat3,
    volume: f64,
}

impl Search<'_> {
    /// Improves a frame by calipers about each of its axes until nothing changes.
    fn try_from(&mut self, mut frame: DMat3) {
        let mut volume = f64::INFINITY;
        // Each round is exact about one axis; a handful settles. Frames far worse than the best
        // after the first round are given up.
        for round in 0..60 {
            for axis in 0..3 {
                frame = with_calipers(self.corners, frame, axis);
            }
            let now: f64 = widths(self.corners, &frame).iter().product();
            if round == 2 && now > 1.2 * self.volume || now >= volume * (1.0 - 1e-13) {
                volume = volume.min(now);
                break;
            }
            volume = now;
        }
        if volume < self.volume {
            self.volume = volume;
            self.best = frame;
            self.snap();
        }
    }

    /// Turns the best frame so that corners nearly in a side of the box lie in it: where three
    /// edges decide the box, calipers about one axis at a time only creep there.
    fn snap(&mut self) {
        let size: f64 = widths(self.corners, &self.best).iter().sum();
        for tolerance in [1e-2, 1e-3, 1e-4, 1e-5, 1e-6].map(|t| t * size) {
            let mut frame = self.best;
            for _ in 0..6 {
                frame = flush(self.corners, frame, tolerance);
                let volume: f64 = widths(self.corners, &frame).iter().product();
                if volume < self.volume {
                    self.volume = volume;
                    self.best = frame;
                }
            }
        }
    }

    /// Branch and bound; returns the share of the best volume proven as a lower bound.
    fn prove(&mut self, max_cells: usize) -> f64 {
        let probe = self.corners.to_vec();
        // Cube of (x, y, z) in the quaternion (x, y, z, 1): with |x|,|y|,|z| up to tan(pi/8) it
        // covers every orientation of a box up to the 24 turns that carry a box to itself.
        let half = (std::f64::consts::PI / 8.0).tan();
        let mut cells = vec![(DVec3::ZERO, half)];
        let mut opened = 0;
        let mut lowest_open = f64::INFINITY;
        let mut level = Vec::new();
        while !cells.is_empty() {
            for (middle, half) in cells.drain(..) {
                let frame = DMat3::from_quat(DQuat::from_vec4(middle.extend(1.0)).normalize());
                // Half the turn between two quaternions (v, 1) is at most their distance.
                let angle = 2.0 * 3f64.sqrt() * half;
                let (bound, volume) = bound(&probe, &frame, angle);
                if bound >= self.volume * (1.0 - PROOF) {
                    continue;
                }
                opened += 1;
                // Coarse middles are starts worth improving when near, fine ones when better.
                let near = if half > 0.05 { 1.2 } else { 1.0 - PROOF };
                if volume < self.volume * near {
                    self.try_from(frame);
                    if bound >= self.volume * (1.0 - PROOF) {
                        continue;
                    }
                }
                if opened > max_cells {
                    lowest_open = lowest_open.min(bound);
                    continue;
                }
                let quarter = half / 2.0;
                for k in 0..8 {
                    let sign = |bit: i32| if k >> bit & 1 == 0 { -quarter } else { quarter };
                    let child = middle + DVec3::new(sign(0), sign(1), sign(2));
                    // Beyond this corner of the cube another turn of the box is nearer.
                    let nearest = (child.abs() - DVec3::splat(quarter)).max(DVec3::ZERO);
                    if nearest.element_sum() <= 1.0 {
                        level.push((child, quarter));
                    }
                }
            }
            std::mem::swap(&mut cells, &mut level);
        }
        (lowest_open / self.volume).clamp(0.0, 1.0 - PROOF)
    }
}

/// Lower bound of the volume over all frames within `angle` of `frame`, and the volume at `frame`.
fn bound(points: &[DVec3], frame: &DMat3, angle: f64) -> (f64, f64) {
    let mut lower = 1.0;
    let mut volume = 1.0;
    for axis in [frame.x_axis, frame.y_axis, frame.z_axis] {
        let [low, high] = span(points, axis);
        let chord = points[high] - points[low];
        let along = chord.dot(axis);
        let across = (chord.length_squared() - along * along).max(0.0).sqrt();
        volume *= along;
        lower *= if angle >= std::f64::consts::FRAC_PI_2 {
            0.0
        } else {
            (along * angle.cos() - across * angle.sin()).max(0.0)
        };
    }
    (lower, volume)
}

fn span(points: &[DVec3], axis: DVec3) -> [usize; 2] {
    let (mut low, mut high) = (0, 0);
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for (i, p) in points.iter().enumerate() {
        let d = axis.dot(*p);
        if d < least {
            least = d;
            low = i;
        }
        if d > most {
            most = d;
            high = i;
        }
    }
    [low, high]
}

/// At most a few hundred hull corners, the extreme ones along evenly spread directions.
fn spread_corners(corners: &[DVec3]) -> Vec<DVec3> {
    const DIRECTIONS: usize = 200;
    if corners.len() <= DIRECTIONS {
        return corners.to_vec();
    }
    let golden = std::f64::consts::PI * (3.0 - 5f64.sqrt());
    let mut chosen: Vec<usize> = (0..DIRECTIONS)
        .map(|i| {
            let z = 1.0 - (2 * i + 1) as f64 / DIRECTIONS as f64;
            let r = (1.0 - z * z).sqrt();
            let (sin, cos) = libm::sincos(golden * i as f64);
            span(corners, DVec3::new(r * cos, r * sin, z))[1]
        })
        .collect();
    chosen.sort_unstable();
    chosen.dedup();
    chosen.into_iter().map(|i| corners[i]).collect()
}

/// The frame turned about its own `axis` so that the outline along it has the smallest rectangle.
fn with_calipers(corners: &[DVec3], frame: DMat3, axis: usize) -> DMat3 {
    let [w, u, v] = [axis, (axis + 1) % 3, (axis + 2) % 3].map(|k| frame.col(k));
    let flat: Vec<DVec2> = corners
        .iter()
        .map(|p| DVec2::new(u.dot(*p), v.dot(*p)))
        .collect();
    let Some(rectangle) = smallest_rectangle(&flat) else {
        return frame;
    };
    let new_u = u * rectangle.along.x + v * rectangle.along.y;
    let w = w.normalize();
    let new_u = (new_u - w * w.dot(new_u)).normalize();
    DMat3::from_cols(w, new_u, w.cross(new_u))
}

/// One Gauss-Newton step towards a frame in which all corners within `tolerance` of a side of the
/// box lie in that side.
fn flush(corners: &[DVec3], frame: DMat3, tolerance: f64) -> DMat3 {
    let mut matrix = DMat3::ZERO;
    let mut right = DVec3::ZERO;
    for axis in [frame.x_axis, frame.y_axis, frame.z_axis] {
        for end in span(corners, axis) {
            let extreme = corners[end];
            for p in corners {
                let edge = *p - extreme;
                let off = axis.dot(edge);
                if off.abs() > tolerance || edge == DVec3::ZERO {
                    continue;
                }
                // A small turn w moves the axis by w x axis, and the corner off the side by
                // w . (axis x edge).
                let lever = axis.cross(edge) / edge.length();
                matrix += DMat3::from_cols(lever * lever.x, lever * lever.y, lever * lever.z);
                right -= lever * (off / edge.length());
            }
        }
    }
    let determinant = matrix.determinant();
    if determinant.abs() < 1e-9 {
        return frame;
    }
    let turned = DMat3::from_quat(DQuat::from_scaled_axis(matrix.inverse() * right)) * frame;
    let x = turned.x_axis.normalize();
    let y = (turned.y_axis - x * x.dot(turned.y_axis)).normalize();
    DMat3::from_cols(x, y, x.cross(y))
}

fn widths(corners: &[DVec3], frame: &DMat3) -> [f64; 3] {
    [frame.x_axis, frame.y_axis, frame.z_axis].map(|axis| {
        let [low, high] = span(corners, axis);
        axis.dot(corners[high] - corners[low])
    })
}

/// A right-handed frame whose first axis is `direction`.
fn frame_along(direction: DVec3) -> DMat3 {
    let w = direction.normalize_or(DVec3::X);
    let u = w.any_orthonormal_vector();
    DMat3::from_cols(w, u, w.cross(u))
}

/// The box along `frame`, its axes put in descending order of extent.
fn boxed(corners: &[DVec3], frame: DMat3, proven: f64) -> OrientedBox {
    let mut axes = [0, 1, 2].map(|k| {
        let axis = frame.col(k);
        let [low, high] = span(corners, axis).map(|i| axis.dot(corners[i]));
        (high - low, axis, (low + high) / 2.0)
    });
    axes.sort_by(|a, b| b.0.total_cmp(&a.0));
    let centre = axes
        .iter()
        .map(|(_, axis, at)| *axis * *at)
        .fold(DVec3::ZERO, |s, p| s + p);
    let [x, y, z] = axes.map(|a| a.1);
    let z = if x.cross(y).dot(z) < 0.0 { -z } else { z };
    OrientedBox {
        centre,
        part_from_box: DMat3::from_cols(x, y, z),
        extents: axes.map(|a| a.0),
        proven,
    }
}
