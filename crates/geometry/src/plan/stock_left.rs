//! Remaining stock as small cells along the axes of the stock: what each cutter of each setup takes
//! away, in order, so that nothing is counted twice.
//!
//! Whether a cell is part is told by the crossings of the mesh with the line through its middle.
//! A cutter takes a cell when its swept surface, found from exact tip heights at the nodes of a
//! grid, lies no higher than the cell's middle. Volumes are therefore off by up to half a cell
//! along every surface; what all tasks take together is then scaled to the exact volume removed.

use super::Shape;
use super::tools::Cutter;
use super::view::View;
use crate::mesh::Mesh;
use crate::tip_map::{TipMap, tip_map};
use glam::{DMat3, DVec2, DVec3, Vec3Swizzles};
use rayon::prelude::*;

/// Cells, about: at 120 000 the volumes of usual parts are within a few per cent.
const CELLS: f64 = 120_000.0;
/// Cells across the thinnest and the longest side.
const LEAST: usize = 24;
const MOST: usize = 1000;
/// Nodes of a tip map along the longer side of the part.
const NODES: f64 = 90.0;

/// Cells of stock that are not part.
pub(super) struct StockLeft {
    low: DVec3,
    step: DVec3,
    size: [usize; 3],
    part_from_stock: DMat3,
    /// True where stock stands that must go.
    left: Vec<bool>,
    /// Volume a cell stands for, scaled so that all together are what is removed, mm3.
    cell_mm3: f64,
    /// How far the cells were off before that, mm3.
    pub off_mm3: f64,
}

impl StockLeft {
    /// The stock around a part, `allowance_mm` larger on every side; `removed_mm3` in all.
    pub fn new(shape: &Shape<'_>, allowance_mm: f64, removed_mm3: f64) -> StockLeft {
        let b = shape.smallest_box;
        let extent = DVec3::from_array(b.extents) + DVec3::splat(2.0 * allowance_mm);
        let step = (extent.element_product() / CELLS).cbrt();
        let size = extent
            .to_array()
            .map(|e| ((e / step.max(f64::MIN_POSITIVE)).ceil() as usize).clamp(LEAST, MOST));
        let step = extent / DVec3::from_array(size.map(|n| n as f64));
        let stock_from_part = b.part_from_box.transpose();
        let middle = stock_from_part * b.centre;
        let low = middle - extent / 2.0;
        let mut out = StockLeft {
            low,
            step,
            size,
            part_from_stock: b.part_from_box,
            left: vec![true; size[0] * size[1] * size[2]],
            cell_mm3: 0.0,
            off_mm3: 0.0,
        };
        out.take_part(shape.solid.mesh, &stock_from_part);
        let cells = out.left.iter().filter(|l| **l).count();
        out.cell_mm3 = removed_mm3 / cells.max(1) as f64;
        out.off_mm3 = (cells as f64 * step.element_product() - removed_mm3).abs();
        out
    }

    /// Cells whose middle lies inside the mesh are part.
    fn take_part(&mut self, mesh: &Mesh, stock_from_part: &DMat3) {
        let [nx, ny, nz] = self.size;
        let mut crossings: Vec<Vec<f64>> = vec![Vec::new(); nx * ny];
        for corners in mesh.iter_corners() {
            let [a, b, c] = corners.map(|p| (*stock_from_part * p - self.low) / self.step);
            let area = (b - a).xy().perp_dot((c - a).xy());
            if area == 0.0 {
                continue;
            }
            let low = a.min(b).min(c);
            let high = a.max(b).max(c);
            // Middles are off the grid of the part's own coordinates by an odd share of a cell,
            // so that no line runs along an edge.
            let first = |v: f64| (v - 0.5).ceil().max(0.0) as usize;
            let last =
                |v: f64, n: usize| ((v - 0.5).floor().max(-1.0) + 1.0).min(n as f64) as usize;
            for y in first(low.y - 1.0)..last(high.y + 1.0, ny) {
                for x in first(low.x - 1.0)..last(high.x + 1.0, nx) {
                    let p = middle_of(x, y);
                    let (u, v) = (
                        (p - a.xy()).perp_dot((c - a).xy()) / area,
                        (b - a).xy().perp_dot(p - a.xy()) / area,
                    );
                    if u >= 0.0 && v >= 0.0 && u + v <= 1.0 {
                        crossings[y * nx + x].push(a.z + u * (b.z - a.z) + v * (c.z - a.z));
                    }
                }
            }
        }
        for (column, heights) in crossings.iter_mut().enumerate() {
            heights.sort_by(f64::total_cmp);
            for pair in heights.chunks_exact(2) {
                for z in 0..nz {
                    let at = z as f64 + 0.5;
                    if at > pair[0] && at < pair[1] {
                        self.left[z * nx * ny + column] = false;
                    }
                }
            }
        }
    }

    fn middle(&self, cell: usize) -> DVec3 {
        let [nx, ny, _] = self.size;
        let (x, y, z) = (cell % nx, cell / nx % ny, cell / (nx * ny));
        let at = middle_of(x, y).extend(z as f64 + 0.5);
        self.part_from_stock * (self.low + at * self.step)
    }

    /// Takes the cells for which `takes` says so of their middle (part frame); their volume.
    pub fn take(&mut self, takes: impl Fn(DVec3) -> bool + Sync) -> f64 {
        let gone: Vec<bool> = (0..self.left.len())
            .into_par_iter()
            .map(|i| self.left[i] && takes(self.middle(i)))
            .collect();
        let mut count = 0usize;
        for (left, gone) in self.left.iter_mut().zip(gone) {
            if gone {
                *left = false;
                count += 1;
            }
        }
        count as f64 * self.cell_mm3
    }

    /// Volume still standing, mm3.
    pub fn volume_mm3(&self) -> f64 {
        self.left.iter().filter(|l| **l).count() as f64 * self.cell_mm3
    }

    /// Height of a cell along a direction of the part frame, mm.
    pub fn step_along_mm(&self, toward: DVec3) -> f64 {
        let own = self.part_from_stock.transpose() * toward;
        (own * self.step).length()
    }

    /// Side of a cell, mm: the mean of all three.
    pub fn step_mm(&self) -> f64 {
        self.step.element_sum() / 3.0
    }
}

/// Where the line through a column of cells runs, in cells.
fn middle_of(x: usize, y: usize) -> DVec2 {
    DVec2::new(x as f64 + 0.500_31, y as f64 + 0.499_53)
}

/// Surface a cutter leaves: lowest it gets at every node, itself included.
pub(super) struct Swept {
    map: TipMap,
    height: Vec<f64>,
}

impl Swept {
    /// For a cutter from a view; `floor_mm` is the lowest it may go.
    pub fn new(view: &View, cutter: &Cutter, floor_mm: f64) -> Swept {
        let (_, columns, rows) = view.map.extent();
        let longest = columns.max(rows) as f64 * view.map.step_mm();
        // Never finer than a tenth of the cutter: the work grows with the square of that.
        let step = (longest / NODES).max(cutter.shape.radius_mm() / 10.0);
        let map = tip_map(&view.map, &cutter.shape, step, floor_mm);
        let reach = (cutter.shape.radius_mm() / map.step_mm).floor() as isize;
        let offsets: Vec<(isize, isize, f64)> = (-reach..=reach)
            .flat_map(|y| (-reach..=reach).map(move |x| (x, y)))
            .map(|(x, y)| {
                let distance = DVec2::new(x as f64, y as f64).length() * map.step_mm;
                (x, y, cutter.shape.profile_mm(distance))
            })
            .filter(|o| o.2.is_finite())
            .collect();
        let (width, rows) = (map.width, map.height);
        let height = (0..width * rows)
            .into_par_iter()
            .map(|i| {
                let (x, y) = ((i % width) as isize, (i / width) as isize);
                let at = |(dx, dy, profile): &(isize, isize, f64)| {
                    let (x, y) = (x + dx, y + dy);
                    let inside =
                        (0..width as isize).contains(&x) && (0..rows as isize).contains(&y);
                    let tip = if inside {
                        map.tip_z[y as usize * width + x as usize]
                    } else {
                        floor_mm
                    };
                    tip + profile
                };
                offsets.iter().map(at).fold(f64::INFINITY, f64::min)
            })
            .collect();
        Swept { map, height }
    }

    /// Whether the cutter passes a place (setup frame).
    pub fn passes(&self, at: DVec3) -> bool {
        let local = (at.xy() - self.map.origin) / self.map.step_mm;
        let (x, y) = (local.x.round(), local.y.round());
        let inside =
            x >= 0.0 && y >= 0.0 && x < self.map.width as f64 && y < self.map.height as f64;
        // Beyond the map nothing of the part is near.
        !inside || self.height[y as usize * self.map.width + x as usize] <= at.z
    }
}
