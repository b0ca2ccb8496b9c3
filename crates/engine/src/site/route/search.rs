//! A short way through free boxes of every size: large ones where there is room, small ones where
//! it is narrow. A* (Hart, Nilsson and Raphael, 1968; from memory), guided by how far it is past
//! what surely blocks: a guide that knows the walls looks at a tenth of the boxes. It may overstate
//! by what steps along the axes are longer than straight ones, so the way is short, not shortest.

use super::guide::{Guide, TURN_SHARE};
use super::lattice::{Bits, Lattice};
use super::shape::Pose;
use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap};
use std::hash::{BuildHasherDefault, Hasher};

/// A lattice with the boxes that are not free.
pub struct Level {
    /// Boxes.
    pub lattice: Lattice,
    /// Boxes in which some pose may collide.
    pub blocked: Bits,
}

/// A box: level, then column, row, layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
struct Node(u8, [u32; 3]);

/// An open node: its cost and rest, its cost so far, itself.
type Open = Reverse<(u64, u64, Node)>;

/// Hashes boxes by multiplication with a large odd number (Knuth's 64-bit linear congruential
/// multiplier): nobody chooses boxes to make them collide.
#[derive(Default)]
struct Scatter(u64);

impl Hasher for Scatter {
    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 32)
    }

    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.write_u32(u32::from(*byte));
        }
    }

    fn write_u8(&mut self, n: u8) {
        self.write_u32(u32::from(n));
    }

    fn write_u32(&mut self, n: u32) {
        self.0 = (self.0.rotate_left(5) ^ u64::from(n)).wrapping_mul(6_364_136_223_846_793_005);
    }
}

type Best = HashMap<Node, (u64, Option<Node>), BuildHasherDefault<Scatter>>;

/// How much dearer a millimetre is for each halving of the boxes: wide places attract the route.
const NARROW: f64 = 0.5;

/// Way from any of the finest boxes `from` to the finest box `to`, as middles of free boxes. The
/// guide is of the coarsest lattice.
pub fn search(
    levels: &[Level],
    guide: &Guide,
    from: &[[usize; 3]],
    to: [usize; 3],
    radius_mm: f64,
) -> Vec<Pose> {
    let Some(finest) = levels.len().checked_sub(1) else {
        return Vec::new();
    };
    let node = |cell: [usize; 3]| largest_free(levels, Node(finest as u8, cell.map(|n| n as u32)));
    let target = node(to);
    let metric = Metric {
        radius_mm,
        period: levels[0].lattice.turn_rad * levels[0].lattice.count[2] as f64,
    };
    // Hundredths of a millimetre keep the order of costs exact.
    let whole = |mm: f64| (100.0 * mm) as u64;
    // The coarse box of a free box is never surely blocked; should rounding say so, it comes last.
    let rest = |Node(level, cell): Node| {
        let coarse = cell.map(|n| (n >> level) as usize);
        guide.rest_at_box(coarse).map_or(u64::MAX / 4, whole)
    };
    let mut open: BinaryHeap<Open> = BinaryHeap::new();
    let mut best = Best::default();
    for cell in from {
        let start = node(*cell);
        if best.insert(start, (0, None)).is_none() {
            open.push(Reverse((rest(start), 0, start)));
        }
    }
    let mut beside = Vec::new();
    while let Some(Reverse((_, cost, at))) = open.pop() {
        if best.get(&at).is_none_or(|(known, _)| *known < cost) {
            continue;
        }
        if at == target {
            let mut way = vec![at];
            let mut last = at;
            while let Some((_, Some(before))) = best.get(&last) {
                way.push(*before);
                last = *before;
            }
            return way.iter().rev().map(|n| middle(levels, *n)).collect();
        }
        let here = middle(levels, at);
        beside.clear();
        for axis in 0..3 {
            for up in [false, true] {
                neighbours(levels, at, axis, up, &mut beside);
            }
        }
        for next in &beside {
            let there = middle(levels, *next);
            let narrow = 1.0 + NARROW * f64::from(at.0.max(next.0));
            let cost = cost + whole(narrow * metric.between(here, there)) + 1;
            if best.get(next).is_none_or(|(known, _)| cost < *known) {
                best.insert(*next, (cost, Some(at)));
                open.push(Reverse((cost + rest(*next), cost, *next)));
            }
        }
    }
    Vec::new()
}

struct Metric {
    radius_mm: f64,
    period: f64,
}

impl Metric {
    fn between(&self, a: Pose, b: Pose) -> f64 {
        let turn = (a.heading_rad - b.heading_rad).rem_euclid(self.period);
        let turn = turn.min(self.period - turn);
        a.at.distance(b.at) + TURN_SHARE * self.radius_mm * turn
    }
}

fn middle(levels: &[Level], Node(level, cell): Node) -> Pose {
    let (at, heading_rad) = levels[usize::from(level)]
        .lattice
        .centre(cell.map(|n| n as usize));
    Pose { at, heading_rad }
}

fn free(levels: &[Level], Node(level, cell): Node) -> bool {
    let level = &levels[usize::from(level)];
    !level.lattice.get(&level.blocked, cell.map(|n| n as usize))
}

/// The largest free box around a free box.
fn largest_free(levels: &[Level], mut node: Node) -> Node {
    while let Some(level) = node.0.checked_sub(1) {
        let parent = Node(level, node.1.map(|n| n / 2));
        if !free(levels, parent) {
            break;
        }
        node = parent;
    }
    node
}

/// The free boxes beyond one face of a box.
fn neighbours(
    levels: &[Level],
    Node(level, cell): Node,
    axis: usize,
    up: bool,
    out: &mut Vec<Node>,
) {
    let count = levels[usize::from(level)].lattice.count[axis] as u32;
    let mut beyond = cell;
    beyond[axis] = match (up, axis) {
        (true, 2) => (cell[2] + 1) % count,
        (false, 2) => (cell[2] + count - 1) % count,
        (true, _) if cell[axis] + 1 < count => cell[axis] + 1,
        (false, _) if cell[axis] > 0 => cell[axis] - 1,
        _ => return,
    };
    let beyond = Node(level, beyond);
    if free(levels, beyond) {
        out.push(largest_free(levels, beyond));
    } else {
        face(levels, beyond, axis, up, out);
    }
}

/// The free boxes inside a box along the face it is entered by.
fn face(levels: &[Level], Node(level, cell): Node, axis: usize, up: bool, out: &mut Vec<Node>) {
    if usize::from(level) + 1 == levels.len() {
        return;
    }
    let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
    for (du, dv) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
        let mut child = cell.map(|n| 2 * n);
        child[axis] += u32::from(!up);
        child[u] += du;
        child[v] += dv;
        let child = Node(level + 1, child);
        if free(levels, child) {
            out.push(child);
        } else {
            face(levels, child, axis, up, out);
        }
    }
}
