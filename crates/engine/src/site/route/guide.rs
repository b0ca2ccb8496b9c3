//! How far it is to go from anywhere, past everything that surely blocks: the guide of the searches
//! for a way. Dial's buckets (1969; from memory) over boxes that share a face.

use super::lattice::{Bits, Lattice};
use super::shape::Pose;
use units::{Cancelled, Watch};

/// The way to go from every box of a lattice.
pub struct Guide {
    lattice: Lattice,
    /// Whole millimetres; `UNREACHED` where no chain of boxes leads.
    rest_mm: Vec<u32>,
}

const UNREACHED: u32 = u32::MAX;

/// What a turn costs, as a share of the arc of the farthest corner.
pub const TURN_SHARE: f64 = 0.5;

impl Guide {
    /// From every box to the nearest of `ends`, through boxes not in `blocked`. With `until`, boxes
    /// farther than all of those are left out.
    pub fn new(
        lattice: Lattice,
        blocked: &Bits,
        ends: &[[usize; 3]],
        until: &[[usize; 3]],
        radius_mm: f64,
        watch: Watch<'_>,
    ) -> Result<Self, Cancelled> {
        let [nx, ny, nk] = lattice.count;
        let index = |[i, j, k]: [usize; 3]| (k * ny + j) * nx + i;
        let step = (lattice.cell_mm.round() as u32).max(1);
        let turn = ((TURN_SHARE * radius_mm * lattice.turn_rad).round() as u32).max(1);
        let mut rest_mm = vec![UNREACHED; nx * ny * nk];
        let mut buckets: Vec<Vec<[usize; 3]>> = vec![Vec::new(); step.max(turn) as usize + 1];
        let count = buckets.len() as u32;
        for end in ends {
            rest_mm[index(*end)] = 0;
            buckets[0].push(*end);
        }
        let mut wanted: Vec<usize> = until.iter().map(|c| index(*c)).collect();
        let stops = !wanted.is_empty();
        let (mut now, mut idle) = (0_u32, 0);
        while idle < count {
            let slot = (now % count) as usize;
            let boxes = std::mem::take(&mut buckets[slot]);
            idle = if boxes.is_empty() { idle + 1 } else { 0 };
            if now.is_multiple_of(512) {
                watch.check()?;
            }
            for cell in boxes {
                if rest_mm[index(cell)] != now {
                    continue;
                }
                let [i, j, k] = cell;
                let beside = [
                    (i > 0).then(|| ([i - 1, j, k], step)),
                    (i + 1 < nx).then(|| ([i + 1, j, k], step)),
                    (j > 0).then(|| ([i, j - 1, k], step)),
                    (j + 1 < ny).then(|| ([i, j + 1, k], step)),
                    Some(([i, j, (k + 1) % nk], turn)),
                    Some(([i, j, (k + nk - 1) % nk], turn)),
                ];
                for (next, cost) in beside.into_iter().flatten() {
                    let far = now + cost;
                    let at = index(next);
                    if far < rest_mm[at] && !lattice.get(blocked, next) {
                        rest_mm[at] = far;
                        buckets[(far % count) as usize].push(next);
                    }
                }
            }
            if stops && now.is_multiple_of(64) {
                wanted.retain(|at| rest_mm[*at] > now);
                if wanted.is_empty() {
                    break;
                }
            }
            now += 1;
        }
        Ok(Self { lattice, rest_mm })
    }

    /// To go from a box of this lattice.
    pub fn rest_at_box(&self, [i, j, k]: [usize; 3]) -> Option<f64> {
        let [nx, ny, nk] = self.lattice.count;
        let inside = i < nx && j < ny && k < nk;
        let rest = inside.then(|| self.rest_mm[(k * ny + j) * nx + i])?;
        (rest != UNREACHED).then_some(f64::from(rest))
    }

    /// To go from a pose.
    pub fn rest_at(&self, pose: Pose) -> Option<f64> {
        let [i, j] = self.lattice.column_row(pose.at)?;
        self.rest_at_box([i, j, self.lattice.layer(pose.heading_rad)])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glam::DVec2;

    /// Ten boxes in a row with a wall round which the way leads through the row above.
    #[test]
    fn the_way_leads_round_a_wall() {
        let lattice = Lattice::new(DVec2::ZERO, DVec2::new(50.0, 20.0), 1.0, 10.0, 1);
        let mut blocked = vec![0; lattice.all_words()];
        let (word, bit) = lattice.bit([2, 0, 0]);
        blocked[word] |= bit;
        let guide = Guide::new(lattice, &blocked, &[[4, 0, 0]], &[], 0.0, Watch::NOBODY);
        let guide = guide.expect("runs");
        assert_eq!(guide.rest_at_box([3, 0, 0]), Some(10.0));
        assert_eq!(guide.rest_at_box([1, 0, 0]), Some(50.0));
        assert_eq!(guide.rest_at_box([2, 0, 0]), None);
        assert_eq!(guide.rest_at_box([5, 0, 0]), None);
    }
}
