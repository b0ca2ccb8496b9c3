//! Drops from crowded cells the upright triangles that lie under others: a finely meshed wall
//! stacks hundreds of them over one cell, and only what is highest over each place ever counts.

use super::HeightMap;
use super::raster::Polygon;
use glam::{DVec2, DVec3, Vec3Swizzles};

/// Cells with fewer triangles are left alone: testing these costs less than thinning them.
const CROWDED: usize = 8;

/// Triangles, the highest of a cell, that others may be hidden under; bounds the time a cell takes.
const MOST_COVERS: usize = 16;

/// Slope, in height of a cell, from which a triangle is too upright to hide others surely.
const STEEP: f64 = 1e3;

/// How far, in cells, a covering triangle may miss the place it covers: rounding of corners that
/// two triangles share.
const MISS: f64 = 1e-7;

impl HeightMap {
    /// Thins the lists of a band that starts at row `first`; `ends[k]` is the end of cell k.
    pub(super) fn thin(&self, first: usize, ends: &mut [u32], list: &mut Vec<u32>) {
        let mut kept = 0;
        let mut begin = 0;
        let mut pieces: Vec<(u32, Option<DVec2>, Polygon)> = Vec::new();
        let mut covers: Vec<(f64, DVec2, Polygon)> = Vec::new();
        // Lines already found covered, and how high: a wall's triangles share a few.
        let mut known: Vec<([DVec2; 2], f64)> = Vec::new();
        for (cell, end) in ends.iter_mut().enumerate() {
            let range = begin..*end as usize;
            begin = *end as usize;
            if range.len() < CROWDED {
                list.copy_within(range.clone(), kept);
                kept += range.len();
            } else {
                pieces.clear();
                pieces.extend(range.map(|k| self.piece(list[k], first, cell)));
                covers.clear();
                covers.extend(pieces.iter().filter_map(|(_, gradient, piece)| {
                    let gentle = gradient.filter(|g| g.abs().element_sum() < STEEP)?;
                    Some((piece.highest(), gentle, *piece))
                }));
                covers.sort_by(|a, b| b.0.total_cmp(&a.0));
                covers.truncate(MOST_COVERS);
                known.clear();
                for (t, gradient, piece) in &pieces {
                    let hidden = gradient.is_none() && covered(piece, &covers, &mut known);
                    if !hidden {
                        list[kept] = *t;
                        kept += 1;
                    }
                }
            }
            *end = kept as u32;
        }
        list.truncate(kept);
    }

    /// A triangle's slope (none when upright) and what of it lies in a cell, both in cells.
    fn piece(&self, t: u32, first: usize, cell: usize) -> (u32, Option<DVec2>, Polygon) {
        let width = self.levels[0].width;
        let (row, column) = ((first + cell / width) as f64, (cell % width) as f64);
        let mut piece = Polygon::new(self.local(t));
        for (axis, low) in [(1, row), (0, column)] {
            piece = piece
                .clipped(axis, low - MISS, -1.0)
                .clipped(axis, low + 1.0 + MISS, 1.0);
        }
        (t, self.slopes[t as usize], piece)
    }
}

/// Whether everywhere along the line an upright piece shows from above, some sloping or level
/// piece lies as high or higher.
fn covered(
    upright: &Polygon,
    covers: &[(f64, DVec2, Polygon)],
    known: &mut Vec<([DVec2; 2], f64)>,
) -> bool {
    let corners = upright.corners();
    let Some(&start) = corners.first() else {
        // Only a corner or side of it touches the cell, which the next cell sees too.
        return false;
    };
    let farthest = |from: DVec3| {
        corners.iter().copied().fold(from, |best, p| {
            let off = |q: DVec3| q.xy().distance_squared(from.xy());
            if off(p) > off(best) { p } else { best }
        })
    };
    let from = farthest(start);
    let to = farthest(from);
    let top = upright.highest();
    let line = [from.xy(), to.xy()];
    let same = |a: &[DVec2; 2]| {
        let off = |p: DVec2, q: DVec2| (p - q).abs().max_element();
        let straight = off(a[0], line[0]).max(off(a[1], line[1]));
        straight.min(off(a[0], line[1]).max(off(a[1], line[0]))) <= 1e-9
    };
    if known.iter().any(|(l, z)| top <= *z && same(l)) {
        return true;
    }
    let mut height = f64::INFINITY;
    let mut spans: Vec<[f64; 2]> = covers
        .iter()
        .filter_map(|(_, g, piece)| {
            let [low, high] = within(from.xy(), to.xy(), piece)?;
            let base = piece.corners().first()?;
            let lowest = [low, high]
                .map(|t| base.z + g.dot(from.xy().lerp(to.xy(), t) - base.xy()))
                .into_iter()
                .fold(f64::INFINITY, f64::min);
            // Rounding in height as a slope makes it of a miss sideways.
            let rounding = 1e-12 * (1.0 + top.abs()) + MISS * g.abs().element_sum();
            (lowest >= top - rounding).then(|| {
                height = height.min(lowest);
                [low, high]
            })
        })
        .collect();
    spans.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut done = 0.0;
    for [low, high] in spans {
        if low > done + 1e-9 {
            return false;
        }
        done = f64::max(done, high);
    }
    let whole = done >= 1.0 - 1e-9;
    if whole {
        known.push((line, height));
    }
    whole
}

/// Shares of the line that lie within a convex piece seen from above, or miss it by a hair.
fn within(from: DVec2, to: DVec2, piece: &Polygon) -> Option<[f64; 2]> {
    let corners = piece.corners();
    let area: f64 = (1..corners.len().max(2) - 1)
        .map(|k| {
            let [a, b, c] = [corners[0], corners[k], corners[k + 1]].map(|p| p.xy());
            (b - a).perp_dot(c - a)
        })
        .sum();
    if area == 0.0 {
        return None;
    }
    let (mut low, mut high) = (0.0f64, 1.0f64);
    for (k, a) in corners.iter().enumerate() {
        let b = corners[(k + 1) % corners.len()];
        let side = (b.xy() - a.xy()).normalize_or_zero() * area.signum();
        // Distance inside the side, at both ends.
        let [at_from, at_to] = [from, to].map(|p| side.perp_dot(p - a.xy()) + MISS);
        if at_from < 0.0 && at_to < 0.0 {
            return None;
        }
        if at_from < 0.0 {
            low = low.max(at_from / (at_from - at_to));
        } else if at_to < 0.0 {
            high = high.min(at_from / (at_from - at_to));
        }
    }
    (low <= high).then_some([low, high])
}
