//! One random stream per input, addressed rather than run: the number for (seed, stream, draw) is
//! computed from those three alone, so results depend neither on the order in which inputs are
//! asked for nor on the number of threads.
//!
//! Within a block of draws each stream is a scrambled van der Corput sequence: it puts one draw in
//! every one of the block's equal strata, in an order of its own. Sums of many inputs, the usual
//! case here, so converge far faster than with plain random numbers, and any number of inputs can
//! be had, which a table of direction numbers does not allow (padding of one-dimensional
//! sequences: Kollig and Keller, Efficient Multidimensional Sampling, 2002). Blocks are scrambled
//! independently, so their scatter tells how far the results have converged.

use crate::normal::{ShareTable, quick_score};
use crate::{Group, Quantity, Value};

/// Draws of a block: each stream fills as many strata evenly.
pub const DRAW_BLOCK: u64 = 1024;

/// Which draw is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Draw {
    /// Every input at its best single value.
    Likely,
    /// Every input at its mean.
    Mean,
    /// Draw number `index` of the seeded sequence.
    Random {
        /// Seed of the whole study.
        seed: u64,
        /// Number of the draw.
        index: u64,
    },
}

impl Draw {
    /// The plain value of an input in this draw.
    pub fn take<Q: Quantity>(&self, value: &Value<Q>) -> Q {
        match *self {
            Draw::Likely => value.likely,
            Draw::Mean => value.mean(),
            Draw::Random { seed, index } => {
                let u = Stream::of(value).uniform(seed, index);
                value.spread.quantile(u, value.likely)
            }
        }
    }
}

/// The random stream of one input. Members of a group share a common normal score (a one-factor
/// Gaussian copula; Nelsen, An Introduction to Copulas, section 2.3).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stream {
    own: u64,
    /// Stream of the group, and its strength from 0 to 1.
    group: Option<(u64, f64)>,
}

impl Stream {
    /// Stream of an input: its name and group decide it.
    pub fn of<Q: Quantity>(value: &Value<Q>) -> Self {
        Self::in_group(&value.id.0, value.group.as_ref())
    }

    /// Stream of an input of which only the name is known.
    pub fn named(id: &str) -> Self {
        Self::in_group(id, None)
    }

    fn in_group(id: &str, group: Option<&Group>) -> Self {
        Self {
            own: hash(id),
            group: group.map(|g| (hash(&g.name) ^ GROUP_SALT, g.strength.clamp(0.0, 1.0))),
        }
    }

    /// Uniform number in (0, 1) of the input in a draw.
    pub fn uniform(&self, seed: u64, index: u64) -> f64 {
        let common = self
            .common()
            .map_or(0.0, |common| common.score(seed, index));
        self.uniform_with(seed, index, common)
    }

    /// What the input shares with the others of its group.
    pub fn common(&self) -> Option<Common> {
        self.group.map(|(group, _)| Common(group))
    }

    /// [`Stream::uniform`] with the group's score already known.
    fn uniform_with(&self, seed: u64, index: u64, common: f64) -> f64 {
        let mut one = [0.0];
        self.fill(seed, index, &[common], &mut one);
        one[0]
    }

    /// The uniform numbers of as many draws from `first` on as `out` holds; `common` are the group's
    /// scores in the same draws and counts for nothing where there is no group. Correlated numbers are
    /// within 2e-9 of what exact normal functions give.
    pub fn fill(&self, seed: u64, first: u64, common: &[f64], out: &mut [f64]) {
        stratified_run(seed ^ self.own, first, out);
        let Some((_, strength)) = self.group else {
            return;
        };
        let (shared, own) = (strength.sqrt(), (1.0 - strength).sqrt());
        let table = ShareTable::get();
        for (u, common) in out.iter_mut().zip(common) {
            *u = table.share(shared * common + own * quick_score(*u));
        }
    }
}

/// The stream the members of a group share.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Common(u64);

impl Common {
    /// Standard normal score of the group in a draw.
    pub fn score(self, seed: u64, index: u64) -> f64 {
        let mut one = [0.0];
        self.fill(seed, index, &mut one);
        one[0]
    }

    /// The scores of as many draws from `first` on as `out` holds.
    pub fn fill(self, seed: u64, first: u64, out: &mut [f64]) {
        stratified_run(seed ^ self.0, first, out);
        for u in out {
            *u = quick_score(*u);
        }
    }
}

/// Keeps a group's stream apart from an input of the same name.
const GROUP_SALT: u64 = 0x9d8f_3c1b_5a77_e421;

/// FNV-1a hash of a name (public domain; Fowler, Noll, Vo): stable across platforms and releases.
fn hash(name: &str) -> u64 {
    name.bytes().fold(0xcbf2_9ce4_8422_2325, |h, b| {
        (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// SplitMix64 finaliser (Steele, Lea, Flood, OOPSLA 2014) on a counter, twice, so that neighbouring
/// streams and neighbouring blocks share no structure.
fn mix(stream: u64, index: u64) -> u64 {
    let once = |mut z: u64| {
        z = z.wrapping_add(0x9e37_79b9_7f4a_7c15);
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    };
    once(once(stream) ^ index)
}

/// Numbers of a stream from `first` on, in the open interval (0, 1): the draws of a block in an order
/// of their own, one in each stratum.
fn stratified_run(stream: u64, first: u64, out: &mut [f64]) {
    let mut index = first;
    let mut rest = out;
    while !rest.is_empty() {
        let place = index % DRAW_BLOCK;
        let run = ((DRAW_BLOCK - place) as usize).min(rest.len());
        let (now, later) = rest.split_at_mut(run);
        let key = mix(stream, index / DRAW_BLOCK);
        let (order, inside) = (key as u32, (key >> 32) as u32);
        // Plain integer steps without branches, so that several draws are worked on at once.
        for (i, u) in (place as u32..).zip(now) {
            let bits = scramble(shuffle(i, order), inside).reverse_bits();
            *u = (f64::from(bits) + 0.5) * (1.0 / (u32::MAX as f64 + 1.0));
        }
        index += run as u64;
        rest = later;
    }
}

/// A permutation of a block's draws: Kensler, Correlated Multi-Jittered Sampling, Pixar Technical
/// Memo 13-01, 2013, for a power of two.
fn shuffle(mut i: u32, seed: u32) -> u32 {
    const MASK: u32 = DRAW_BLOCK as u32 - 1;
    i ^= seed;
    i = i.wrapping_mul(0xe170_893d);
    i ^= seed >> 16;
    i ^= (i & MASK) >> 4;
    i ^= seed >> 8;
    i = i.wrapping_mul(0x0929_eb3f);
    i ^= seed >> 23;
    i ^= (i & MASK) >> 1;
    i = i.wrapping_mul(1 | seed >> 27);
    i = i.wrapping_mul(0x6935_fa69);
    i ^= (i & MASK) >> 11;
    i = i.wrapping_mul(0x74dc_b303);
    i ^= (i & MASK) >> 2;
    i = i.wrapping_mul(0x9e50_1cc3);
    i ^= (i & MASK) >> 2;
    i = i.wrapping_mul(0xc860_a3df);
    i &= MASK;
    i ^= i >> 5;
    i.wrapping_add(seed) & MASK
}

/// A hash of which every bit depends only on the bits below it: before the bits are reversed, a
/// nested uniform scrambling (Owen 1995) in the form of Burley, Practical Hash-based Owen
/// Scrambling, Journal of Computer Graphics Techniques 9(4), 2020.
fn scramble(mut x: u32, seed: u32) -> u32 {
    x ^= x.wrapping_mul(0x3d20_adea);
    x = x.wrapping_add(seed);
    x = x.wrapping_mul((seed >> 16) | 1);
    x ^= x.wrapping_mul(0x0552_6c56);
    x ^= x.wrapping_mul(0x53a2_2864);
    x
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Length, Value, normal_score};

    #[test]
    fn streams_are_uniform_and_unrelated() {
        let n = 40_000u64;
        let [a, b] = ["a", "b"].map(Stream::named);
        let us: Vec<(f64, f64)> = (0..n).map(|i| (a.uniform(7, i), b.uniform(7, i))).collect();
        let mean = us.iter().map(|u| u.0).sum::<f64>() / n as f64;
        let cross = us.iter().map(|u| (u.0 - 0.5) * (u.1 - 0.5)).sum::<f64>() / n as f64 * 12.0;
        // Four standard errors: sd of the mean 1/sqrt(12 n), of the correlation 1/sqrt(n).
        let root = (n as f64).sqrt();
        assert!((mean - 0.5).abs() < 4.0 / (12.0f64.sqrt() * root), "{mean}");
        assert!(cross.abs() < 4.0 / root, "{cross}");
    }

    #[test]
    fn every_block_puts_one_draw_in_each_stratum_in_an_order_of_its_own() {
        for (name, block) in [("a", 0), ("a", 1), ("offers/x/price", 7)] {
            let stream = Stream::named(name);
            let us: Vec<f64> = (0..DRAW_BLOCK)
                .map(|i| stream.uniform(3, block * DRAW_BLOCK + i))
                .collect();
            let strata: Vec<usize> = us
                .iter()
                .map(|u| (u * DRAW_BLOCK as f64) as usize)
                .collect();
            let mut sorted = strata.clone();
            sorted.sort_unstable();
            assert!(sorted.into_iter().eq(0..DRAW_BLOCK as usize), "{name}");
            // Places within the strata are spread too: mean 1/2, deviation 1/sqrt(12 n).
            let within: f64 = us
                .iter()
                .map(|u| (u * DRAW_BLOCK as f64).fract())
                .sum::<f64>()
                / DRAW_BLOCK as f64;
            assert!((within - 0.5).abs() < 4.0 / (12.0 * DRAW_BLOCK as f64).sqrt());
        }
        let order = |name: &str, block: u64| -> Vec<u64> {
            let stream = Stream::named(name);
            (0..DRAW_BLOCK)
                .map(|i| (stream.uniform(3, block * DRAW_BLOCK + i) * DRAW_BLOCK as f64) as u64)
                .collect()
        };
        assert_ne!(order("a", 0), order("a", 1));
        assert_ne!(order("a", 0), order("b", 0));
    }

    #[test]
    fn pairs_of_streams_scatter_as_independent_ones_do() {
        // Chi-square of the pairs in a 16 x 16 table, over many pairs of streams: mean 255, deviation
        // sqrt(2 * 255) = 22.6 for independent numbers; strata fix the margins (225 degrees left).
        let n = 4096u64;
        let mut worst: f64 = 0.0;
        for pair in 0..40 {
            let [a, b] = [0, 1].map(|k| Stream::named(&format!("input-{}", 2 * pair + k)));
            let mut table = [0.0f64; 256];
            for i in 0..n {
                let cell = |s: &Stream| (s.uniform(11, i) * 16.0) as usize;
                table[16 * cell(&a) + cell(&b)] += 1.0;
            }
            let expected = n as f64 / 256.0;
            let chi: f64 = table
                .iter()
                .map(|c| (c - expected).powi(2) / expected)
                .sum();
            worst = worst.max(chi);
        }
        // Four and a half deviations of 225 degrees of freedom, for forty pairs.
        assert!(worst < 225.0 + 4.5 * 450.0f64.sqrt(), "{worst}");
    }

    #[test]
    fn group_members_move_together_by_their_strength() {
        let g = Group {
            name: "freight".into(),
            strength: 0.6,
        };
        let n = 40_000u64;
        let [x, y] = ["x", "y"].map(|name| Stream::in_group(name, Some(&g)));
        let score = |stream: &Stream, i| normal_score(stream.uniform(1, i));
        let sum: f64 = (0..n).map(|i| score(&x, i) * score(&y, i)).sum();
        // Var of a product of standard normals with correlation r is 1 + r^2.
        let error = 4.0 * (1.0 + 0.36f64).sqrt() / (n as f64).sqrt();
        assert!((sum / n as f64 - 0.6).abs() < error, "{}", sum / n as f64);
    }

    #[test]
    fn a_draw_is_a_function_of_its_address_alone() {
        let v = Value::assumed(
            "offer/x/freight",
            Length::mm(1.0),
            Length::mm(2.0),
            Length::mm(9.0),
            "test",
        );
        let d = Draw::Random { seed: 3, index: 11 };
        assert_eq!(d.take(&v), d.take(&v.clone()));
        assert_ne!(d.take(&v), Draw::Random { seed: 3, index: 12 }.take(&v));
        assert_eq!(Draw::Likely.take(&v), Length::mm(2.0));
        assert_eq!(Draw::Mean.take(&v), Length::mm(4.0));
    }

    #[test]
    fn a_run_of_draws_is_the_draws_one_by_one() {
        let g = Group {
            name: "freight".into(),
            strength: 0.6,
        };
        for stream in [Stream::named("x"), Stream::in_group("x", Some(&g))] {
            // Across the border of two blocks.
            let first = DRAW_BLOCK - 70;
            let (mut run, mut common) = ([0.0; 150], [0.0; 150]);
            if let Some(group) = stream.common() {
                group.fill(5, first, &mut common);
            }
            stream.fill(5, first, &common, &mut run);
            for (index, u) in (first..).zip(run) {
                assert_eq!(u, stream.uniform(5, index));
            }
        }
    }
}
