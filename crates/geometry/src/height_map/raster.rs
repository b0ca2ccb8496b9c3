//! Fills the finest cells: which triangles lie over each, and the highest point there, exactly.
//!
//! Triangles are clipped to cells, so that the height of a cell is one the part really has in it:
//! an upper bound and, as some point attains it, a lower bound for any tool that covers the cell.
//! Bands of rows are filled in parallel and joined in order.

use super::HeightMap;
use super::roof::Roof;
use crate::contact::uphill;
use glam::{DVec2, DVec3, Vec3Swizzles};
use rayon::prelude::*;

/// Rows a task fills: enough tasks for any number of threads, few triangles met twice.
const BAND_ROWS: usize = 32;

/// Cells are clipped a hair wider: a point on a border belongs to both sides.
pub(super) const HAIR: f64 = 1e-9;

/// A convex polygon of few corners: a triangle clipped by at most four sides.
#[derive(Clone, Copy)]
pub(super) struct Polygon {
    corners: [DVec3; 8],
    count: usize,
}

impl Polygon {
    const NOTHING: Polygon = Polygon {
        corners: [DVec3::ZERO; 8],
        count: 0,
    };

    pub(super) fn new([a, b, c]: [DVec3; 3]) -> Polygon {
        let mut corners = [DVec3::ZERO; 8];
        corners[..3].copy_from_slice(&[a, b, c]);
        Polygon { corners, count: 3 }
    }

    pub(super) fn corners(&self) -> &[DVec3] {
        &self.corners[..self.count]
    }

    /// The part where `sign * p[axis] <= sign * bound`.
    pub(super) fn clipped(&self, axis: usize, bound: f64, sign: f64) -> Polygon {
        let mut out = Polygon::NOTHING;
        self.clip_into(axis, bound, sign, &mut out);
        out
    }

    fn clip_into(&self, axis: usize, bound: f64, sign: f64, out: &mut Polygon) {
        out.count = 0;
        let mut add = |p: DVec3| {
            if out.count < 8 {
                out.corners[out.count] = p;
                out.count += 1;
            }
        };
        let corners = self.corners();
        for (k, &a) in corners.iter().enumerate() {
            let b = corners[if k + 1 == corners.len() { 0 } else { k + 1 }];
            let (before, after) = (sign * (bound - a[axis]), sign * (bound - b[axis]));
            if before >= 0.0 {
                add(a);
            }
            if (before > 0.0 && after < 0.0) || (before < 0.0 && after > 0.0) {
                add(a + (b - a) * (before / (before - after)));
            }
        }
    }

    pub(super) fn highest(&self) -> f64 {
        self.corners()
            .iter()
            .fold(f64::NEG_INFINITY, |z, p| z.max(p.z))
    }

    /// Raises `tops`, by column, to the highest point in each; gives the columns met. A column
    /// reaches a hair over its borders. The highest point of a column is a corner or lies on one
    /// of its borders.
    fn tops(&self, tops: &mut [f64]) -> std::ops::RangeInclusive<usize> {
        let last = tops.len() - 1;
        let column = |x: f64| (x.max(0.0) as usize).min(last);
        let corners = self.corners();
        let [x0, x1] = self.side(f64::NEG_INFINITY, 1.0);
        let cells = column(x0 - HAIR)..=column(x1 + HAIR);
        if cells.start() == cells.end() {
            tops[*cells.start()] = self.highest();
            return cells;
        }
        for (k, &a) in corners.iter().enumerate() {
            let b = corners[if k + 1 == corners.len() { 0 } else { k + 1 }];
            for c in [column(a.x - HAIR), column(a.x + HAIR)] {
                tops[c] = tops[c].max(a.z);
            }
            let (left, right) = if a.x <= b.x { (a, b) } else { (b, a) };
            let (from, to) = (column(left.x), column(right.x));
            if from == to {
                continue;
            }
            let rise = (right.z - left.z) / (right.x - left.x);
            // The lower and the upper end of the border's hair; whichever is higher is within it
            // of both columns.
            let hair = rise.abs() * HAIR;
            let most = a.z.max(b.z);
            for c in from..to {
                let border = c as f64 + 1.0;
                let z = (left.z + rise * (border - left.x) + hair).min(most);
                tops[c] = tops[c].max(z);
                tops[c + 1] = tops[c + 1].max(z);
            }
        }
        cells
    }

    /// Range of x among corners with y at `y` or beyond it in direction `sign`.
    fn side(&self, y: f64, sign: f64) -> [f64; 2] {
        self.corners()
            .iter()
            .filter(|p| sign * (p.y - y) >= 0.0)
            .fold([f64::INFINITY, f64::NEG_INFINITY], |[l, h], p| {
                [l.min(p.x), h.max(p.x)]
            })
    }
}

/// What one band of rows holds.
struct Band {
    highest: Vec<f64>,
    roofs: Vec<Roof>,
    /// Triangles of its cells counted up, without the leading 0.
    ends: Vec<u32>,
    list: Vec<u32>,
}

impl HeightMap {
    pub(super) fn fill(&mut self) {
        let (width, height) = (self.levels[0].width, self.levels[0].height);
        self.slopes = self
            .triangles
            .par_iter()
            .map(|t| uphill(t).map(|g| g * self.step))
            .collect();
        let (starts, buckets) = self.bucket(height);
        let map = &*self;
        let bands: Vec<Band> = (0..starts.len() - 1)
            .into_par_iter()
            .map(|band| {
                let triangles = &buckets[starts[band] as usize..starts[band + 1] as usize];
                let first = band * BAND_ROWS;
                map.band(first, BAND_ROWS.min(height - first), triangles)
            })
            .collect();
        let mut highest = Vec::with_capacity(width * height);
        let mut roofs = Vec::with_capacity(width * height);
        let mut start = Vec::with_capacity(width * height + 1);
        let mut list = Vec::with_capacity(bands.iter().map(|b| b.list.len()).sum());
        start.push(0);
        for band in bands {
            let before = list.len() as u32;
            highest.extend(band.highest);
            roofs.extend(band.roofs);
            start.extend(band.ends.iter().map(|e| e + before));
            list.extend(band.list);
        }
        self.levels[0].highest = highest;
        self.levels[0].roofs = roofs;
        self.start = start;
        self.list = list;
        self.slopes = Vec::new();
    }

    pub(super) fn local(&self, t: u32) -> [DVec3; 3] {
        self.triangles[t as usize].map(|p| ((p.xy() - self.origin) / self.step).extend(p.z))
    }

    /// Triangles by the bands they meet.
    fn bucket(&self, height: usize) -> (Vec<u32>, Vec<u32>) {
        let count = height.div_ceil(BAND_ROWS);
        let band = |y: f64| (y.max(0.0) as usize / BAND_ROWS).min(count - 1);
        let spans: Vec<(u32, u32)> = self
            .triangles
            .iter()
            .map(|corners| {
                let y = corners.map(|p| (p.y - self.origin.y) / self.step);
                let low = y[0].min(y[1]).min(y[2]) - HAIR;
                let high = y[0].max(y[1]).max(y[2]) + HAIR;
                (band(low) as u32, band(high) as u32)
            })
            .collect();
        let mut starts = vec![0u32; count + 1];
        for &(first, last) in &spans {
            for b in first..=last {
                starts[b as usize + 1] += 1;
            }
        }
        for k in 1..starts.len() {
            starts[k] += starts[k - 1];
        }
        let mut next = starts.clone();
        let mut buckets = vec![0u32; starts[count] as usize];
        for (t, &(first, last)) in spans.iter().enumerate() {
            for b in first..=last {
                let place = &mut next[b as usize];
                buckets[*place as usize] = t as u32;
                *place += 1;
            }
        }
        (starts, buckets)
    }

    fn band(&self, first: usize, rows: usize, triangles: &[u32]) -> Band {
        let width = self.levels[0].width;
        let mut highest = vec![f64::NEG_INFINITY; rows * width];
        // Lowest height of a triangle that lies over the whole cell: what stays below is hidden.
        let mut covered = vec![f64::NEG_INFINITY; rows * width];
        let mut met: Vec<(u32, u32, f32)> = Vec::with_capacity(4 * triangles.len());
        let mut tops = vec![f64::NEG_INFINITY; width];
        for &t in triangles {
            self.clip(t, first, rows, &mut tops, |cell, top, covers_at| {
                highest[cell] = highest[cell].max(top);
                covered[cell] = covered[cell].max(covers_at);
                if top >= covered[cell] {
                    // Rounded up, so that nothing in sight is dropped.
                    met.push((cell as u32, t, (top as f32).next_up()));
                }
            });
        }
        met.retain(|&(cell, _, top)| f64::from(top) >= covered[cell as usize]);
        let mut ends = vec![0u32; rows * width + 1];
        for &(cell, ..) in &met {
            ends[cell as usize + 1] += 1;
        }
        for k in 1..ends.len() {
            ends[k] += ends[k - 1];
        }
        let mut list = vec![0u32; met.len()];
        for &(cell, t, _) in &met {
            let place = &mut ends[cell as usize];
            list[*place as usize] = t;
            *place += 1;
        }
        // Filling moved every start to its end.
        ends.pop();
        self.thin(first, &mut ends, &mut list);
        let mut begin = 0;
        let roofs = (0..rows * width)
            .map(|cell| {
                let over = &list[begin as usize..ends[cell] as usize];
                begin = ends[cell];
                let (row, column) = (first + cell / width, cell % width);
                let middle = DVec2::new(column as f64 + 0.5, row as f64 + 0.5);
                let middle = self.origin + middle * self.step;
                let triangles = over.iter().map(|&t| {
                    let corner = self.triangles[t as usize][0];
                    (corner, self.slopes[t as usize].map(|g| g / self.step))
                });
                Roof::of_triangles(triangles, middle, 0.5 * self.step, highest[cell])
            })
            .collect();
        Band {
            highest,
            roofs,
            ends,
            list,
        }
    }

    /// `visit(cell of the band, highest there, lowest if the triangle lies over all of it)`;
    /// `tops` is room for one row of cells, all at nothing.
    fn clip(
        &self,
        t: u32,
        first: usize,
        rows: usize,
        tops: &mut [f64],
        mut visit: impl FnMut(usize, f64, f64),
    ) {
        let width = self.levels[0].width;
        let local = self.local(t);
        let low = local[0].min(local[1]).min(local[2]);
        let high = local[0].max(local[1]).max(local[2]);
        let row = |y: f64| (y.max(0.0) as usize).clamp(first, first + rows - 1);
        let gradient = self.slopes[t as usize];
        let whole = Polygon::new(local);
        let (mut above, mut between) = (Polygon::NOTHING, Polygon::NOTHING);
        let top_row = row(high.y + HAIR);
        for r in row(low.y - HAIR)..=top_row {
            let (y0, y1) = (r as f64 - HAIR, r as f64 + 1.0 + HAIR);
            let mut strip = &whole;
            if low.y < y0 {
                strip.clip_into(1, y0, -1.0, &mut above);
                strip = &above;
            }
            if high.y > y1 {
                strip.clip_into(1, y1, 1.0, &mut between);
                strip = &between;
            }
            if strip.count == 0 {
                continue;
            }
            let cells = strip.tops(tops);
            // Columns the strip fills from the lower border to the upper.
            let filled = if strip.count > 3 || cells.end() > cells.start() {
                let hair = 1e-12 * (1.0 + y1.abs());
                let ([a, b], [c, d]) = (strip.side(y0 + hair, -1.0), strip.side(y1 - hair, 1.0));
                [a.max(c), b.min(d)]
            } else {
                [f64::INFINITY, f64::NEG_INFINITY]
            };
            let base = (r - first) * width;
            for c in cells {
                let top = std::mem::replace(&mut tops[c], f64::NEG_INFINITY);
                let (left, right) = (c as f64 - HAIR, c as f64 + 1.0 + HAIR);
                let lowest = match gradient {
                    Some(g) if filled[0] <= left && right <= filled[1] => {
                        let middle = DVec2::new(c as f64 + 0.5, r as f64 + 0.5);
                        let z = local[0].z + g.dot(middle - local[0].xy());
                        z - g.abs().element_sum() * (0.5 + HAIR)
                    }
                    _ => f64::NEG_INFINITY,
                };
                if top > f64::NEG_INFINITY {
                    visit(base + c, top, lowest);
                }
            }
        }
    }
}
