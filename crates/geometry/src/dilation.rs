//! Running maxima of a grid under a shape: greyscale dilation, with a height taken off each cell
//! of the shape.
//!
//! A disc is a stack of row chords. For each row of the grid the maxima over 2, 4, 8, ... cells
//! are made once; the maximum over any chord is then that of two of them, so a cell costs the
//! disc's rows, not its area. Loops run over whole rows of `f32`, which compilers turn into vector
//! instructions. Strips of rows are independent tasks: memory stays bounded and the result does
//! not depend on the number of threads.

use rayon::prelude::*;

/// Rows of the result a task makes.
const STRIP_ROWS: usize = 48;

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
    let mut z = vec![f32::NEG_INFINITY; width * height];
    if !shape.is_empty() && width > 0 {
        z.par_chunks_mut(width * STRIP_ROWS)
            .enumerate()
            .for_each(|(strip, out)| {
                fill_strip(grid, shape, margin, strip * STRIP_ROWS, out, width);
            });
    }
    Grid { width, height, z }
}

fn fill_strip(
    grid: &Grid,
    shape: &Shape,
    margin: usize,
    first: usize,
    out: &mut [f32],
    width: usize,
) {
    let rows = out.len() / width;
    let reach = shape.reach();
    let tall = shape.rows.len() - 1;
    // Rows of the grid that any row of the strip sees: result row `y` lies over grid row
    // `y - margin`.
    let from = first.saturating_sub(margin + tall);
    let to = (first + rows + tall)
        .saturating_sub(margin)
        .min(grid.height);
    // With `reach` cells of nothing on either side chords never need a border case.
    let padded = width + 2 * reach;
    let widest = shape.rows.iter().filter_map(|r| r.level).max().unwrap_or(0);
    let mut tables = vec![f32::NEG_INFINITY; padded * ((2 * widest + 1).ilog2() as usize + 1)];
    let mut chord = vec![f32::NEG_INFINITY; width];
    for y in from..to {
        let row = &grid.z[y * grid.width..(y + 1) * grid.width];
        if row.iter().all(|&z| z == f32::NEG_INFINITY) {
            continue;
        }
        tables[reach + margin..reach + margin + grid.width].copy_from_slice(row);
        double(&mut tables, padded);
        for (dy, shape_row) in shape.rows.iter().enumerate() {
            let above = (y + margin).checked_sub(dy + first).filter(|r| *r < rows);
            let below = (y + margin + dy).checked_sub(first).filter(|r| *r < rows);
            let targets = [above, below.filter(|_| dy > 0)];
            if targets == [None, None] {
                continue;
            }
            if let Some(half) = shape_row.level {
                let level = (2 * half + 1).ilog2() as usize;
                let table = &tables[level * padded..(level + 1) * padded];
                let left = &table[reach - half..][..width];
                let right = &table[reach + half + 1 - (1 << level)..][..width];
                for ((c, l), r) in chord.iter_mut().zip(left).zip(right) {
                    *c = larger(*l, *r);
                }
                for target in targets.into_iter().flatten() {
                    let out = &mut out[target * width..][..width];
                    for (o, c) in out.iter_mut().zip(&chord) {
                        *o = larger(*o, *c);
                    }
                }
            }
            for &(dx, lower) in &shape_row.lowered {
                let left = &tables[reach - dx..][..width];
                let right = &tables[reach + dx..][..width];
                for target in targets.into_iter().flatten() {
                    let out = &mut out[target * width..][..width];
                    for ((o, l), r) in out.iter_mut().zip(left).zip(right) {
                        *o = larger(*o, larger(*l, *r) - lower);
                    }
                }
            }
        }
    }
}

/// Fills table k from table k - 1: entry x is the maximum of 2^k cells from x on.
fn double(tables: &mut [f32], padded: usize) {
    let count = tables.len() / padded;
    for k in 1..count {
        let (done, rest) = tables.split_at_mut(k * padded);
        let last = &done[(k - 1) * padded..];
        let next = &mut rest[..padded];
        let shift = 1 << (k - 1);
        for ((n, a), b) in next.iter_mut().zip(last).zip(&last[shift..]) {
            *n = larger(*a, *b);
        }
    }
}
