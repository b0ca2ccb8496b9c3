//! Running maxima of a grid under a shape: greyscale dilation, with a height taken off each cell
//! of the shape.
//!
//! A shape is a stack of rows. The maxima over each different row of the shape are made once for
//! each row of the grid: from those of the next narrower row and what lies at its two ends, taken
//! from running maxima over 1, 2, 4, ... cells. They are kept for as many rows of the grid as the
//! shape is tall, and a row of the result is the largest of those it lies over. So a cell costs
//! the shape's rows, not its area. Loops run over whole rows of `f32`, which compilers turn into
//! vector instructions. Strips of rows are independent tasks: memory stays bounded and the result
//! does not depend on the number of threads.

use rayon::prelude::*;

/// Rows of the result a task makes at least: few enough for tasks to spread evenly, many enough
/// that the rows above and below, which are made for both neighbours, cost little.
const LEAST_STRIP: usize = 96;

/// Rows whose maxima are taken in one pass, about what registers hold.
const ROWS_AT_ONCE: usize = 9;

/// Maxima a task keeps at hand, 2 MB. Measured on 1201 x 1201 cells: whole rows in the second and
/// third cache took half the time of tiles that stay in the nearest one, as loops are longer and
/// rows are read in order.
const KEPT_CELLS: usize = 500_000;

/// A tile is at least so wide, or the cells beside it would cost more than its own.
const LEAST_TILE: usize = 128;

/// A grid of heights, rows of constant y.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid {
    /// Cells along x.
    pub width: usize,
    /// Cells along y.
    pub height: usize,
    /// Heights; negative infinity where there is nothing.
    pub z: Vec<f32>,
}

/// A shape symmetrical about both axes: of offsets `dx, dy` in cells, each with the height taken
/// off there.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// By `|dy|`.
    rows: Vec<ShapeRow>,
}

#[derive(Clone, Debug, PartialEq)]
struct ShapeRow {
    /// Nothing is taken off at `|dx| <=` this.
    level: Option<usize>,
    /// Others: `|dx|` and what is taken off.
    lowered: Vec<(usize, f32)>,
}

impl Shape {
    /// The offsets up to `reach` cells for which `lower(|dx|, |dy|)` gives a height to take off.
    /// That height must not fall with `|dx|`.
    pub fn new(reach: usize, lower: impl Fn(usize, usize) -> Option<f32>) -> Shape {
        let row = |dy: usize| {
            let mut row = ShapeRow {
                level: None,
                lowered: Vec::new(),
            };
            for dx in 0..=reach {
                match lower(dx, dy) {
                    Some(z) if z <= 0.0 => row.level = Some(dx),
                    Some(z) => row.lowered.push((dx, z)),
                    None => break,
                }
            }
            row
        };
        let mut rows: Vec<ShapeRow> = (0..=reach).map(row).collect();
        while rows
            .last()
            .is_some_and(|r| r.level.is_none() && r.lowered.is_empty())
        {
            rows.pop();
        }
        Shape { rows }
    }

    /// The digital disc of `radius` cells: offsets no farther than it.
    pub fn disc(radius: f64) -> Shape {
        let reach = radius.max(0.0) as usize;
        Shape::new(reach, |dx, dy| {
            ((dx * dx + dy * dy) as f64 <= radius * radius).then_some(0.0)
        })
    }

    /// Largest offset along x or y.
    pub fn reach(&self) -> usize {
        let across = |r: &ShapeRow| {
            let lowered = r.lowered.last().map_or(0, |l| l.0);
            lowered.max(r.level.unwrap_or(0))
        };
        let along = self.rows.len().saturating_sub(1);
        self.rows.iter().map(across).max().unwrap_or(0).max(along)
    }

    /// Whether the shape has no cell at all.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
}

/// `max` the way vector units have it: no care for NaN, which heights never are.
#[inline(always)]
fn larger(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}

/// For every cell, of a grid with `margin` more cells on each side, the largest
/// `grid[cell + offset] - lowered(offset)` over the shape.
pub fn dilate(grid: &Grid, shape: &Shape, margin: usize) -> Grid {
    let (width, height) = (grid.width + 2 * margin, grid.height + 2 * margin);
    if shape.is_empty() || width == 0 {
        let z = vec![f32::NEG_INFINITY; width * height];
        return Grid { width, height, z };
    }
    // Every cell is written below; zeros are what costs least to begin with.
    let mut z = vec![0.0; width * height];
    let work = Work::new(grid, shape, margin, width);
    z.par_chunks_mut(width * work.strip_rows)
        .enumerate()
        .for_each(|(strip, out)| work.fill_strip(strip * work.strip_rows, out));
    Grid { width, height, z }
}

/// What all strips share.
struct Work<'a> {
    grid: &'a Grid,
    shape: &'a Shape,
    margin: usize,
    /// Cells of a row of the result.
    width: usize,
    reach: usize,
    /// Tables of running maxima: over 1, 2, 4, ... cells.
    tables: usize,
    /// Cells along x worked on at once.
    tile: usize,
    strip_rows: usize,
    /// The different rows of the shape, from its middle out.
    kinds: Vec<Kind>,
    /// Index of the kind by `|dy|`.
    kind_of: Vec<usize>,
    /// Cells kept for all kinds.
    kept: usize,
}

/// A row of the shape that one or more neighbouring `|dy|` have.
struct Kind {
    /// Its smallest `|dy|`.
    row: usize,
    level: Level,
    /// Rows of the grid whose maxima are kept, as many as a row of the result asks for.
    rows: usize,
    /// Where they start among all that are kept.
    start: usize,
}

/// How the maximum comes about where nothing is taken off: the largest of what these tables hold
/// from these cells on (a tile's cell 0 is counted from `reach` cells before it).
#[derive(Clone, Copy)]
enum Level {
    Nothing,
    Both(Window, Window),
    /// Both and the row of the next kind, which is narrower.
    Wider(Window, Window),
}

#[derive(Clone, Copy)]
struct Window {
    table: usize,
    from: usize,
}

impl Level {
    fn new(row: &ShapeRow, next: Option<&ShapeRow>, reach: usize) -> Level {
        let Some(half) = row.level else {
            return Level::Nothing;
        };
        let windows = |table: usize| {
            let [left, right] = [reach - half, reach + half + 1 - (1 << table)];
            [left, right].map(|from| Window { table, from })
        };
        let inner = next.filter(|n| n.lowered.is_empty()).and_then(|n| n.level);
        match inner.filter(|inner| *inner < half) {
            Some(inner) => {
                let [left, right] = windows((half - inner).next_power_of_two().ilog2() as usize);
                Level::Wider(left, right)
            }
            None => {
                let [left, right] = windows((2 * half + 1).ilog2() as usize);
                Level::Both(left, right)
            }
        }
    }

    fn table(self) -> usize {
        match self {
            Level::Nothing => 0,
            Level::Both(left, _) | Level::Wider(left, _) => left.table,
        }
    }
}

/// Working memory of a strip.
struct Room {
    /// Running maxima of one row of the grid, over a tile and the reach on both sides.
    tables: Vec<f32>,
    /// Maxima over rows of the shape, by kind and row of the grid.
    kept: Vec<f32>,
    /// Whether a row of the grid has nothing, counted from the first the strip sees.
    empty: Vec<bool>,
}

impl<'a> Work<'a> {
    fn new(grid: &'a Grid, shape: &'a Shape, margin: usize, width: usize) -> Work<'a> {
        let reach = shape.reach();
        let mut kinds: Vec<Kind> = Vec::new();
        let mut kind_of = Vec::new();
        for (dy, row) in shape.rows.iter().enumerate() {
            if (kinds.last()).is_none_or(|kind| shape.rows[kind.row] != *row) {
                kinds.push(Kind {
                    row: dy,
                    level: Level::Nothing,
                    rows: 0,
                    start: 0,
                });
            }
            kind_of.push(kinds.len() - 1);
            // From the farthest row above the middle to the row just read.
            if let Some(kind) = kinds.last_mut() {
                kind.rows = dy + shape.rows.len();
            }
        }
        let rows: usize = kinds.iter().map(|k| k.rows).sum();
        let tile = (KEPT_CELLS / rows).max(LEAST_TILE);
        let tile = width.div_ceil(width.div_ceil(tile)).next_multiple_of(16);
        let mut start = 0;
        for k in 0..kinds.len() {
            let next = kinds.get(k + 1).map(|n| &shape.rows[n.row]);
            kinds[k].level = Level::new(&shape.rows[kinds[k].row], next, reach);
            kinds[k].start = start;
            start += kinds[k].rows * tile;
        }
        Work {
            grid,
            shape,
            margin,
            width,
            reach,
            tables: kinds.iter().map(|k| k.level.table()).max().unwrap_or(0) + 1,
            tile,
            strip_rows: LEAST_STRIP.max(3 * shape.rows.len()),
            kinds,
            kind_of,
            kept: start,
        }
    }

    /// Maxima of the rows from `first` on.
    fn fill_strip(&self, first: usize, out: &mut [f32]) {
        let mut room = Room {
            tables: vec![f32::NEG_INFINITY; (self.tile + 2 * self.reach) * self.tables],
            kept: vec![f32::NEG_INFINITY; self.kept],
            empty: vec![true; out.len() / self.width + 2 * self.shape.rows.len()],
        };
        for left in (0..self.width).step_by(self.tile) {
            self.fill_tile(first, left, &mut room, out);
        }
    }

    /// Maxima of the cells from column `left` on, of the rows from `first` on.
    fn fill_tile(&self, first: usize, left: usize, room: &mut Room, out: &mut [f32]) {
        let rows = out.len() / self.width;
        let tall = self.shape.rows.len() - 1;
        let cells = self.tile.min(self.width - left);
        let mut seen = Vec::new();
        // Result row `y` lies over grid row `y - margin`.
        for row in 0..rows + 2 * tall {
            let y = (first + row).checked_sub(self.margin + tall);
            room.empty[row] = match y.filter(|y| *y < self.grid.height) {
                Some(y) => !self.keep(y, row, left, cells, room),
                None => true,
            };
            let Some(done) = row.checked_sub(2 * tall) else {
                continue;
            };
            let middle = row - tall;
            seen.clear();
            for (dy, kind) in self.kind_of.iter().enumerate() {
                for row in [middle - dy, middle + dy] {
                    if !room.empty[row] {
                        seen.push(self.place(&self.kinds[*kind], row));
                    }
                    if dy == 0 {
                        break;
                    }
                }
            }
            let out = &mut out[done * self.width + left..][..cells];
            largest(out, &room.kept, &seen);
        }
    }

    /// Where the maxima of a row of the grid are kept.
    fn place(&self, kind: &Kind, row: usize) -> usize {
        kind.start + row % kind.rows * self.tile
    }

    /// Makes the maxima of row `y` of the grid over all rows of the shape, for result columns
    /// from `left` on; whether there is anything at all.
    fn keep(&self, y: usize, row: usize, left: usize, cells: usize, room: &mut Room) -> bool {
        let padded = cells + 2 * self.reach;
        // Columns of the grid that any cell of the tile sees; `skip` cells of nothing before them.
        let before = self.reach + self.margin;
        let skip = before.saturating_sub(left).min(padded);
        let from = (left + skip).saturating_sub(before).min(self.grid.width);
        let to = (from + padded - skip).min(self.grid.width);
        let heights = &self.grid.z[y * self.grid.width..][from..to];
        if heights.iter().all(|&z| z == f32::NEG_INFINITY) {
            return false;
        }
        let tables = &mut room.tables[..padded * self.tables];
        tables[..skip].fill(f32::NEG_INFINITY);
        tables[skip..skip + heights.len()].copy_from_slice(heights);
        tables[skip + heights.len()..padded].fill(f32::NEG_INFINITY);
        double(tables, padded);
        for (k, kind) in self.kinds.iter().enumerate().rev() {
            let at = self.place(kind, row);
            let next = self.kinds.get(k + 1);
            let (kept, narrower) = room.kept.split_at_mut(next.map_or(self.kept, |n| n.start));
            let out = &mut kept[at..][..cells];
            let seen = |w: Window| &tables[w.table * padded + w.from..];
            match (kind.level, next) {
                (Level::Both(left, right), _) => set(out, [seen(left), seen(right)]),
                (Level::Wider(left, right), Some(next)) => {
                    let narrower = &narrower[self.place(next, row) - next.start..];
                    set(out, [narrower, seen(left), seen(right)]);
                }
                _ => out.fill(f32::NEG_INFINITY),
            }
            self.raise_lowered(&self.shape.rows[kind.row].lowered, tables, out);
        }
        true
    }

    /// Raises cells to what lies under the lowered offsets of a row of the shape.
    fn raise_lowered(&self, lowered: &[(usize, f32)], heights: &[f32], out: &mut [f32]) {
        let cells = out.len();
        let at = |from: usize| &heights[from..][..cells];
        for pair in lowered.chunks(2) {
            // The same offset twice changes no maximum.
            let [(near, less), (far, far_less)] = [pair[0], pair[pair.len() - 1]];
            let (left, right) = (at(self.reach - near), at(self.reach + near));
            let (far_left, far_right) = (at(self.reach - far), at(self.reach + far));
            for x in 0..cells {
                let near = larger(left[x], right[x]) - less;
                let far = larger(far_left[x], far_right[x]) - far_less;
                out[x] = larger(out[x], larger(near, far));
            }
        }
    }
}

/// The largest of the rows of `cells` that begin at `starts`.
fn largest(out: &mut [f32], cells: &[f32], starts: &[usize]) {
    if starts.is_empty() {
        out.fill(f32::NEG_INFINITY);
    }
    let row = |start: usize| &cells[start..];
    for (pass, starts) in starts.chunks(ROWS_AT_ONCE).enumerate() {
        let again = pass > 0;
        match *starts {
            [a] => most(out, [a].map(row), again),
            [a, b] => most(out, [a, b].map(row), again),
            [a, b, c] => most(out, [a, b, c].map(row), again),
            [a, b, c, d] => most(out, [a, b, c, d].map(row), again),
            [a, b, c, d, e] => most(out, [a, b, c, d, e].map(row), again),
            [a, b, c, d, e, f] => most(out, [a, b, c, d, e, f].map(row), again),
            [a, b, c, d, e, f, g] => most(out, [a, b, c, d, e, f, g].map(row), again),
            [a, b, c, d, e, f, g, h] => most(out, [a, b, c, d, e, f, g, h].map(row), again),
            [a, b, c, d, e, f, g, h, i] => most(out, [a, b, c, d, e, f, g, h, i].map(row), again),
            _ => {}
        }
    }
}

/// Sets cells to the largest of rows, and of what they are if they were set before.
fn most<const N: usize>(out: &mut [f32], rows: [&[f32]; N], again: bool) {
    if again {
        raise(out, rows);
    } else {
        set(out, rows);
    }
}

/// Sets cells to the largest of rows.
#[inline(always)]
fn set<const N: usize>(out: &mut [f32], rows: [&[f32]; N]) {
    let width = out.len();
    let rows = rows.map(|row| &row[..width]);
    for x in 0..width {
        let mut most = rows[0][x];
        for row in &rows[1..] {
            most = larger(most, row[x]);
        }
        out[x] = most;
    }
}

/// Raises cells to the largest of rows.
#[inline(always)]
fn raise<const N: usize>(out: &mut [f32], rows: [&[f32]; N]) {
    let width = out.len();
    let rows = rows.map(|row| &row[..width]);
    for x in 0..width {
        let mut most = out[x];
        for row in rows {
            most = larger(most, row[x]);
        }
        out[x] = most;
    }
}

/// Fills table k from table k - 1: entry x is the maximum of 2^k cells from x on.
fn double(tables: &mut [f32], padded: usize) {
    let count = tables.len() / padded;
    for k in 1..count {
        let (done, rest) = tables.split_at_mut(k * padded);
        let last = &done[(k - 1) * padded..];
        let shift = 1 << (k - 1);
        // The last entries would see past the row; no window asks for them.
        let cells = padded.saturating_sub(shift);
        set(&mut rest[..cells], [last, &last[shift..]]);
    }
}
