//! What can be reached through boxes that share a face, a word of 64 boxes at a time.

use super::lattice::{Bits, Lattice};
use std::collections::VecDeque;
use units::{Cancelled, Watch};

/// Boxes reached from `seeds` through boxes not in `blocked`; the heading wraps round.
pub fn flood(
    lattice: &Lattice,
    blocked: &Bits,
    seeds: &Bits,
    watch: Watch<'_>,
) -> Result<Bits, Cancelled> {
    let [_, rows, layers] = lattice.count;
    let words = lattice.row_words();
    let mut reached: Bits = seeds.iter().zip(blocked).map(|(s, b)| s & !b).collect();
    let mut waiting = vec![false; rows * layers];
    let mut queue = VecDeque::new();
    for (row, piece) in reached.chunks(words).enumerate() {
        if piece.iter().any(|w| *w != 0) {
            waiting[row] = true;
            queue.push_back(row);
        }
    }
    let mut done = 0_usize;
    while let Some(row) = queue.pop_front() {
        done += 1;
        if done.is_multiple_of(1 << 14) {
            watch.check()?;
        }
        waiting[row] = false;
        let own = row * words..(row + 1) * words;
        spread(&mut reached[own.clone()], &blocked[own]);
        let (layer, line) = (row / rows, row % rows);
        let up = (layer + 1) % layers * rows + line;
        let down = (layer + layers - 1) % layers * rows + line;
        let beside = [
            Some(up),
            Some(down),
            (line > 0).then(|| row - 1),
            (line + 1 < rows).then_some(row + 1),
        ];
        for other in beside.into_iter().flatten() {
            let mut new = 0;
            for w in 0..words {
                let at = other * words + w;
                let fresh = reached[row * words + w] & !blocked[at] & !reached[at];
                reached[at] |= fresh;
                new |= fresh;
            }
            if new != 0 && !waiting[other] {
                waiting[other] = true;
                queue.push_back(other);
            }
        }
    }
    Ok(reached)
}

/// Spreads along a row by doubling shifts, up and down (Kogge-Stone fill; from memory).
fn spread(row: &mut [u64], blocked: &[u64]) {
    let mut carry = 0;
    for (word, block) in row.iter_mut().zip(blocked) {
        let open = !block;
        let seeds = *word | (carry & open);
        let mut filled = seeds;
        let mut through = open;
        for shift in [1, 2, 4, 8, 16, 32] {
            filled |= through & (filled << shift);
            through &= through << shift;
        }
        *word = filled;
        carry = filled >> 63;
    }
    let mut carry = 0;
    for (word, block) in row.iter_mut().zip(blocked).rev() {
        let open = !block;
        let mut filled = *word | ((carry << 63) & open);
        let mut through = open;
        for shift in [1, 2, 4, 8, 16, 32] {
            filled |= through & (filled >> shift);
            through &= through >> shift;
        }
        *word = filled;
        carry = filled & 1;
    }
}

/// The bits of a lattice on the one with boxes of half the size.
pub fn upsampled(coarse: &Lattice, fine: &Lattice, bits: &Bits) -> Bits {
    let mut out = vec![0; fine.all_words()];
    let doubled = |half: u64| {
        let mut x = half & 0xffff_ffff;
        for (shift, mask) in [
            (16, 0x0000_ffff_0000_ffff),
            (8, 0x00ff_00ff_00ff_00ff),
            (4, 0x0f0f_0f0f_0f0f_0f0f),
            (2, 0x3333_3333_3333_3333),
            (1, 0x5555_5555_5555_5555_u64),
        ] {
            x = (x | (x << shift)) & mask;
        }
        x | (x << 1)
    };
    for k in 0..fine.count[2] {
        for j in 0..fine.count[1] {
            let from = coarse.row(k / 2, j / 2);
            let to = fine.row(k, j);
            for w in 0..fine.row_words() {
                let word = bits[from + w / 2];
                out[to + w] = doubled(if w % 2 == 0 { word } else { word >> 32 });
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use glam::DVec2;

    /// A plain search over single boxes must reach the same.
    #[test]
    fn words_reach_what_single_boxes_reach() {
        let lattice = Lattice::new(DVec2::ZERO, DVec2::new(150.0, 9.0), 3.0, 1.0, 4);
        let mut state = 7_u64;
        for density in [2, 3, 4] {
            let mut blocked: Bits = vec![0; lattice.all_words()];
            let [nx, ny, nk] = lattice.count;
            let cells = || {
                (0..nk)
                    .flat_map(move |k| (0..ny).flat_map(move |j| (0..nx).map(move |i| [i, j, k])))
            };
            for row in blocked.chunks_mut(lattice.row_words()) {
                *row.last_mut().expect("a word") = !0 << (nx % 64);
            }
            for cell in cells() {
                state = state
                    .wrapping_mul(6364136223846793005)
                    .wrapping_add(1442695040888963407);
                if (state >> 33).is_multiple_of(density) {
                    let (word, bit) = lattice.bit(cell);
                    blocked[word] |= bit;
                }
            }
            let start = cells()
                .find(|c| !lattice.get(&blocked, *c))
                .expect("an open box");
            let mut seeds: Bits = vec![0; lattice.all_words()];
            let (word, bit) = lattice.bit(start);
            seeds[word] |= bit;
            let fast = flood(&lattice, &blocked, &seeds, Watch::NOBODY).expect("runs");
            let mut slow = seeds.clone();
            let mut open = vec![start];
            while let Some([i, j, k]) = open.pop() {
                let mut next = vec![[i, j, (k + 1) % nk], [i, j, (k + nk - 1) % nk]];
                if i > 0 {
                    next.push([i - 1, j, k]);
                }
                if j > 0 {
                    next.push([i, j - 1, k]);
                }
                if i + 1 < nx {
                    next.push([i + 1, j, k]);
                }
                if j + 1 < ny {
                    next.push([i, j + 1, k]);
                }
                for cell in next {
                    let (word, bit) = lattice.bit(cell);
                    if (blocked[word] | slow[word]) & bit == 0 {
                        slow[word] |= bit;
                        open.push(cell);
                    }
                }
            }
            assert_eq!(fast, slow);
        }
    }
}
