//! The poses of a load as boxes in (x, y, heading): which are free as a whole, and which certainly
//! collide as a whole. One bit a box, rows of boxes along x in words of 64.

use super::shape::{Body, HalfPlane, Rect, Segment, clipped};
use glam::DVec2;
use rayon::prelude::*;
use units::{Cancelled, Watch};

/// Slack against rounding, in millimetres: outer shapes are larger by it, inner ones smaller.
const ROUNDING_MM: f64 = 1e-6;

/// How the poses are cut into boxes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lattice {
    /// Corner with the least coordinates.
    pub min: DVec2,
    /// Side of a box along x and y.
    pub cell_mm: f64,
    /// Boxes along x, y and heading.
    pub count: [usize; 3],
    /// Height of a box along the heading.
    pub turn_rad: f64,
    /// Words in a row.
    words: usize,
}

/// One bit for each box.
pub type Bits = Vec<u64>;

impl Lattice {
    /// Over a rectangle of floor, one turn of `period`.
    pub fn new(min: DVec2, max: DVec2, period: f64, cell_mm: f64, turns: usize) -> Self {
        let size = ((max - min) / cell_mm).ceil().max(DVec2::ONE);
        Self {
            min,
            cell_mm,
            count: [size.x as usize, size.y as usize, turns],
            turn_rad: period / turns as f64,
            words: (size.x as usize).div_ceil(64),
        }
    }

    /// The same floor and turn in boxes of half the size.
    pub fn halved(&self) -> Self {
        let count = self.count.map(|n| 2 * n);
        Self {
            cell_mm: 0.5 * self.cell_mm,
            turn_rad: 0.5 * self.turn_rad,
            count,
            words: count[0].div_ceil(64),
            ..*self
        }
    }

    /// Number of boxes.
    pub fn boxes(&self) -> usize {
        self.count.iter().product()
    }

    /// Words of a layer of one heading.
    pub fn layer_words(&self) -> usize {
        self.words * self.count[1]
    }

    /// Words of a row.
    pub fn row_words(&self) -> usize {
        self.words
    }

    /// Words of all rows.
    pub fn all_words(&self) -> usize {
        self.layer_words() * self.count[2]
    }

    /// First word of a row.
    pub fn row(&self, layer: usize, row: usize) -> usize {
        (layer * self.count[1] + row) * self.words
    }

    /// Where a box has its bit.
    pub fn bit(&self, [i, j, k]: [usize; 3]) -> (usize, u64) {
        (self.row(k, j) + i / 64, 1 << (i % 64))
    }

    /// The bit of a box.
    pub fn get(&self, bits: &Bits, cell: [usize; 3]) -> bool {
        let (word, bit) = self.bit(cell);
        bits[word] & bit != 0
    }

    /// Middle of a box.
    pub fn centre(&self, [i, j, k]: [usize; 3]) -> (DVec2, f64) {
        let at = self.min + self.cell_mm * DVec2::new(i as f64 + 0.5, j as f64 + 0.5);
        (at, (k as f64 + 0.5) * self.turn_rad)
    }

    /// Column and row of a point; `None` off the floor.
    pub fn column_row(&self, p: DVec2) -> Option<[usize; 2]> {
        let cell = ((p - self.min) / self.cell_mm).floor();
        let inside = cell.x >= 0.0
            && cell.y >= 0.0
            && cell.x < self.count[0] as f64
            && cell.y < self.count[1] as f64;
        inside.then_some([cell.x as usize, cell.y as usize])
    }

    /// Layer of a heading.
    pub fn layer(&self, heading_rad: f64) -> usize {
        let period = self.turn_rad * self.count[2] as f64;
        ((heading_rad.rem_euclid(period) / self.turn_rad) as usize).min(self.count[2] - 1)
    }

    /// How far any point of the body may move between two poses of one box, with what the shapes
    /// below overstate at corners: sqrt 2 times the side, and the arc of the farthest corner once
    /// for the pose and half of it sqrt 2 times for the shape. A path that keeps this distance
    /// runs in free boxes only.
    pub fn resolution(&self, radius_mm: f64) -> f64 {
        let arc = radius_mm * self.turn_rad;
        std::f64::consts::SQRT_2 * self.cell_mm + 0.5 * (1.0 + std::f64::consts::SQRT_2) * arc
    }

    /// Boxes beyond the last column are never open.
    fn pad(&self, row: &mut [u64]) {
        let used = self.count[0] % 64;
        if used != 0
            && let Some(last) = row.last_mut()
        {
            *last |= !0 << used;
        }
    }

    /// Boxes in which some pose may collide (outer), or boxes in which every pose does (inner).
    pub fn blocked(
        &self,
        body: &Body,
        things: &[Segment],
        bound: Bound,
        watch: Watch<'_>,
    ) -> Result<Bits, Cancelled> {
        let mut bits = vec![0; self.all_words()];
        bits.par_chunks_mut(self.layer_words())
            .enumerate()
            .try_for_each(|(k, layer)| {
                watch.check()?;
                let slab = Slab::new(self, k);
                for rect in body.rects() {
                    slab.mark(rect, things, bound, layer);
                }
                layer.chunks_mut(self.words).for_each(|row| self.pad(row));
                Ok(())
            })?;
        Ok(bits)
    }

    /// An outline that the load's centre must not leave at a heading, widened by `slack`.
    fn for_centre(
        outline: &[HalfPlane],
        load: &Rect,
        slab: &Slab<'_>,
        slack: f64,
    ) -> Vec<HalfPlane> {
        outline
            .iter()
            .map(|plane| {
                let along = plane.normal.dot(slab.along).abs();
                let across = plane.normal.dot(slab.across).abs();
                let limit = plane.limit - load.half.x * along - load.half.y * across + slack;
                HalfPlane { limit, ..*plane }
            })
            .collect()
    }

    /// Adds the boxes in which some pose may place the load inside a convex outline.
    pub fn may_lie_in(&self, load: &Rect, outline: &[HalfPlane], bits: &mut Bits) {
        let slack = load.half.length() * self.turn_rad + ROUNDING_MM;
        bits.par_chunks_mut(self.layer_words())
            .enumerate()
            .for_each(|(k, layer)| {
                let planes = Self::for_centre(outline, load, &Slab::new(self, k), slack);
                let outer = self.polygon(planes);
                self.fill(&outer, Bound::Outer, layer, &mut Vec::new());
            });
    }

    /// Adds the boxes whose middle places the load inside a convex outline.
    pub fn lies_in(&self, load: &Rect, outline: &[HalfPlane], bits: &mut Bits) {
        bits.par_chunks_mut(self.layer_words())
            .enumerate()
            .for_each(|(k, layer)| {
                let planes = Self::for_centre(outline, load, &Slab::new(self, k), 0.0);
                for (j, row) in layer.chunks_mut(self.words).enumerate() {
                    let y = self.centre([0, j, k]).0.y;
                    let mut span = [f64::NEG_INFINITY, f64::INFINITY];
                    for plane in &planes {
                        let rest = plane.limit - plane.normal.y * y;
                        match plane.normal.x {
                            x if x > 1e-12 => span[1] = span[1].min(rest / x),
                            x if x < -1e-12 => span[0] = span[0].max(rest / x),
                            _ if rest < 0.0 => span[1] = f64::NEG_INFINITY,
                            _ => {}
                        }
                    }
                    let [from, to] = span.map(|x| (x - self.min.x) / self.cell_mm - 0.5);
                    self.set(row, from.ceil(), to.floor());
                }
            });
    }

    fn polygon(&self, planes: impl IntoIterator<Item = HalfPlane>) -> Vec<DVec2> {
        let size = self.cell_mm * DVec2::new(self.count[0] as f64, self.count[1] as f64);
        let beyond = DVec2::splat(2.0 * self.cell_mm);
        clipped(planes, self.min - beyond, self.min + size + beyond)
    }

    /// Sets columns `from..=to` of a row.
    fn set(&self, row: &mut [u64], from: f64, to: f64) {
        let last = self.count[0] as f64 - 1.0;
        if !(from <= to && from <= last && to >= 0.0) {
            return;
        }
        let (from, to) = (from.max(0.0) as usize, to.min(last) as usize);
        let (first, last) = (from / 64, to / 64);
        let head = !0u64 << (from % 64);
        let tail = !0u64 >> (63 - to % 64);
        if first == last {
            row[first] |= head & tail;
        } else {
            row[first] |= head;
            row[first + 1..last].fill(!0);
            row[last] |= tail;
        }
    }

    /// Marks the boxes a convex polygon touches (outer) or covers (inner).
    fn fill(&self, polygon: &[DVec2], bound: Bound, layer: &mut [u64], lines: &mut Vec<Span>) {
        if polygon.len() < 3 {
            return;
        }
        // From here on in boxes, so that rows lie between whole numbers.
        let inverse = 1.0 / self.cell_mm;
        let corners: Vec<DVec2> = polygon.iter().map(|p| (*p - self.min) * inverse).collect();
        let (low, high) = corners
            .iter()
            .fold((f64::MAX, f64::MIN), |(a, b), p| (a.min(p.y), b.max(p.y)));
        let rows = self.count[1] as f64;
        if high < 0.0 || low >= rows {
            return;
        }
        let first = low.floor().max(0.0) as usize;
        let last = high.floor().min(rows - 1.0) as usize;
        // Where the polygon crosses each line between rows, the line below row n at n - first.
        lines.clear();
        lines.resize(last + 2 - first, EMPTY);
        for n in 0..polygon.len() {
            let (p, q) = (corners[n], corners[(n + 1) % corners.len()]);
            let (a, b) = if p.y <= q.y { (p, q) } else { (q, p) };
            let slope = (b.x - a.x) / (b.y - a.y);
            if !slope.is_finite() {
                continue;
            }
            let from = a.y.ceil().max(first as f64) as usize;
            let to = b.y.floor().min((last + 1) as f64);
            let (left, right) = (a.x.min(b.x), a.x.max(b.x));
            let mut line = from;
            while line as f64 <= to {
                let x = (a.x + slope * (line as f64 - a.y)).clamp(left, right);
                let span = &mut lines[line - first];
                *span = [span[0].min(x), span[1].max(x)];
                line += 1;
            }
        }
        for j in first..=last {
            let (below, above) = (lines[j - first], lines[j + 1 - first]);
            let row = &mut layer[j * self.words..(j + 1) * self.words];
            match bound {
                Bound::Outer => {
                    let within = across(&corners, j as f64);
                    let from = below[0].min(above[0]).min(within[0]);
                    let to = below[1].max(above[1]).max(within[1]);
                    self.set(row, from.floor(), to.floor());
                }
                Bound::Inner if below[0] <= below[1] && above[0] <= above[1] => {
                    let (from, to) = (below[0].max(above[0]), below[1].min(above[1]));
                    self.set(row, from.ceil(), to.floor() - 1.0);
                }
                Bound::Inner => {}
            }
        }
    }
}

/// From and to; empty when from is larger.
type Span = [f64; 2];

const EMPTY: Span = [f64::INFINITY, f64::NEG_INFINITY];

/// Across the corners in the row that starts at a line.
fn across(corners: &[DVec2], line: f64) -> Span {
    corners
        .iter()
        .filter(|p| line <= p.y && p.y <= line + 1.0)
        .fold(EMPTY, |[a, b], p| [a.min(p.x), b.max(p.x)])
}

/// Which boxes are marked.
#[derive(Clone, Copy, PartialEq)]
pub enum Bound {
    /// Those a shape touches.
    Outer,
    /// Those it covers.
    Inner,
}

/// A layer of boxes: headings from `middle - half` to `middle + half`.
struct Slab<'a> {
    lattice: &'a Lattice,
    along: DVec2,
    across: DVec2,
    middle: f64,
    half: f64,
}

impl<'a> Slab<'a> {
    fn new(lattice: &'a Lattice, k: usize) -> Self {
        let middle = (k as f64 + 0.5) * lattice.turn_rad;
        let along = DVec2::from_angle(middle);
        Self {
            lattice,
            along,
            across: along.perp(),
            middle,
            half: 0.5 * lattice.turn_rad,
        }
    }

    /// The load collides with a segment where its centre lies in the segment widened by the
    /// mirrored rectangle: a hexagon with the normals of both (Lozano-Perez, Spatial Planning: A
    /// Configuration Space Approach, 1983; from memory). Over the headings of the slab the hexagon
    /// is widened to the largest support for each normal, or narrowed by the longest arc.
    fn mark(&self, rect: &Rect, things: &[Segment], bound: Bound, layer: &mut [u64]) {
        let corners: Vec<(f64, f64)> = rect
            .corners()
            .iter()
            .map(|c| (c.length(), (-*c).to_angle() + self.middle))
            .collect();
        let arc = corners.iter().map(|c| c.0).fold(0.0, f64::max) * self.half;
        let support = |normal: DVec2| {
            let toward = normal.to_angle();
            let over = |off: f64| match bound {
                Bound::Outer => (turn_between(off) - self.half).max(0.0),
                Bound::Inner => turn_between(off),
            };
            let reach = corners
                .iter()
                .map(|(radius, angle)| radius * over(angle - toward).cos())
                .fold(f64::MIN, f64::max);
            match bound {
                Bound::Outer => reach + ROUNDING_MM,
                Bound::Inner => reach - arc - ROUNDING_MM,
            }
        };
        let own = [self.along, -self.along, self.across, -self.across].map(|n| (n, support(n)));
        let mut lines = Vec::new();
        for segment in things {
            let sideways = (segment.to - segment.from)
                .try_normalize()
                .map(DVec2::perp)
                .into_iter()
                .flat_map(|n| [n, -n])
                .map(|n| (n, support(n)));
            let planes = own.iter().copied().chain(sideways).map(|(normal, reach)| {
                let limit = normal.dot(segment.from).max(normal.dot(segment.to)) + reach;
                HalfPlane { normal, limit }
            });
            let polygon = self.lattice.polygon(planes);
            self.lattice.fill(&polygon, bound, layer, &mut lines);
        }
    }
}

/// The angle between two directions, 0 to half a turn.
fn turn_between(difference: f64) -> f64 {
    use std::f64::consts::{PI, TAU};
    ((difference + PI).rem_euclid(TAU) - PI).abs()
}
