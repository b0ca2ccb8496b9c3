//! One random stream per input, addressed rather than run: the number for (seed, stream, draw) is
//! computed from those three alone, so results depend neither on the order in which inputs are
//! asked for nor on the number of threads.

use crate::{Group, Quantity, Value};

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
                let u = uniform_of(seed, &value.id.0, value.group.as_ref(), index);
                value.spread.quantile(u, value.likely)
            }
        }
    }
}

/// Uniform number in (0, 1) of an input in a draw. Members of a group share a common normal score
/// (a one-factor Gaussian copula; Nelsen, An Introduction to Copulas, section 2.3).
fn uniform_of(seed: u64, id: &str, group: Option<&Group>, index: u64) -> f64 {
    let own = unit(mix(seed ^ stream(id), index));
    match group {
        None => own,
        Some(group) => {
            let common = unit(mix(seed ^ stream(&group.name) ^ GROUP_SALT, index));
            let strength = group.strength.clamp(0.0, 1.0);
            let score = strength.sqrt() * normal_score(common)
                + (1.0 - strength).sqrt() * normal_score(own);
            normal_share(score)
        }
    }
}

/// Keeps a group's stream apart from an input of the same name.
const GROUP_SALT: u64 = 0x9d8f_3c1b_5a77_e421;

/// FNV-1a hash of a name (public domain; Fowler, Noll, Vo): stable across platforms and releases.
fn stream(name: &str) -> u64 {
    name.bytes().fold(0xcbf2_9ce4_8422_2325, |h, b| {
        (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// SplitMix64 finaliser (Steele, Lea, Flood, OOPSLA 2014) on a counter, twice, so that neighbouring
/// streams and neighbouring draws share no structure.
fn mix(stream: u64, index: u64) -> u64 {
    let once = |mut z: u64| {
        z = z.wrapping_add(0x9e37_79b9_7f4a_7c15);
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    };
    once(once(stream) ^ index)
}

/// 53 bits to the open interval (0, 1).
fn unit(bits: u64) -> f64 {
    ((bits >> 11) as f64 + 0.5) / (1u64 << 53) as f64
}

/// Standard normal distribution function.
pub fn normal_share(z: f64) -> f64 {
    0.5 * libm::erfc(-z / std::f64::consts::SQRT_2)
}

/// Inverse of the standard normal distribution function on (0, 1): Acklam's rational
/// approximation (relative error 1.2e-9) with one Halley step against [`normal_share`].
pub fn normal_score(p: f64) -> f64 {
    const A: [f64; 6] = [
        -3.969_683_028_665_376e1,
        2.209_460_984_245_205e2,
        -2.759_285_104_469_687e2,
        1.383_577_518_672_69e2,
        -3.066_479_806_614_716e1,
        2.506_628_277_459_239,
    ];
    const B: [f64; 5] = [
        -5.447_609_879_822_406e1,
        1.615_858_368_580_409e2,
        -1.556_989_798_598_866e2,
        6.680_131_188_771_972e1,
        -1.328_068_155_288_572e1,
    ];
    const C: [f64; 6] = [
        -7.784_894_002_430_293e-3,
        -3.223_964_580_411_365e-1,
        -2.400_758_277_161_838,
        -2.549_732_539_343_734,
        4.374_664_141_464_968,
        2.938_163_982_698_783,
    ];
    const D: [f64; 4] = [
        7.784_695_709_041_462e-3,
        3.224_671_290_700_398e-1,
        2.445_134_137_142_996,
        3.754_408_661_907_416,
    ];
    let tail = |q: f64| {
        (((((C[0] * q + C[1]) * q + C[2]) * q + C[3]) * q + C[4]) * q + C[5])
            / ((((D[0] * q + D[1]) * q + D[2]) * q + D[3]) * q + 1.0)
    };
    let guess = if p < 0.02425 {
        tail((-2.0 * p.ln()).sqrt())
    } else if p > 1.0 - 0.02425 {
        -tail((-2.0 * (1.0 - p).ln()).sqrt())
    } else {
        let q = p - 0.5;
        let r = q * q;
        (((((A[0] * r + A[1]) * r + A[2]) * r + A[3]) * r + A[4]) * r + A[5]) * q
            / (((((B[0] * r + B[1]) * r + B[2]) * r + B[3]) * r + B[4]) * r + 1.0)
    };
    let error = normal_share(guess) - p;
    let step = error * (2.0 * std::f64::consts::PI).sqrt() * (0.5 * guess * guess).exp();
    guess - step / (1.0 + 0.5 * guess * step)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Length, Value};

    #[test]
    fn normal_score_inverts_the_share() {
        for p in [1e-9, 1e-4, 0.01, 0.3, 0.5, 0.77, 0.999, 1.0 - 1e-9] {
            assert!((normal_share(normal_score(p)) - p).abs() < 1e-14, "{p}");
        }
        // Abramowitz and Stegun table 26.1: Z(1.96) share 0.97500 21.
        assert!((normal_share(1.96) - 0.975_002_1).abs() < 5e-8);
    }

    #[test]
    fn streams_are_uniform_and_unrelated() {
        let n = 40_000u64;
        let us: Vec<(f64, f64)> = (0..n)
            .map(|i| (uniform_of(7, "a", None, i), uniform_of(7, "b", None, i)))
            .collect();
        let mean = us.iter().map(|u| u.0).sum::<f64>() / n as f64;
        let cross = us.iter().map(|u| (u.0 - 0.5) * (u.1 - 0.5)).sum::<f64>() / n as f64 * 12.0;
        // Four standard errors: sd of the mean 1/sqrt(12 n), of the correlation 1/sqrt(n).
        let root = (n as f64).sqrt();
        assert!((mean - 0.5).abs() < 4.0 / (12.0f64.sqrt() * root), "{mean}");
        assert!(cross.abs() < 4.0 / root, "{cross}");
    }

    #[test]
    fn group_members_move_together_by_their_strength() {
        let g = Group {
            name: "freight".into(),
            strength: 0.6,
        };
        let n = 40_000u64;
        let mut sum = 0.0;
        for i in 0..n {
            sum += normal_score(uniform_of(1, "x", Some(&g), i))
                * normal_score(uniform_of(1, "y", Some(&g), i));
        }
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
}
