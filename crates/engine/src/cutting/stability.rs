//! Chatter: the depth of cut a structure holds, for those who have had it tapped with a hammer.
//!
//! Zeroth-order milling lobes after Altintas and Budak (Annals of the CIRP 44/1, 1995; Altintas,
//! Manufacturing Automation, chapter 4; both from memory): the periodic directional factors are
//! replaced by their mean over the engaged angle. Exact enough for wide cuts; for widths below a
//! tenth of the diameter it misses the added lobes.

use std::f64::consts::{PI, TAU};
use units::{Angle, Length, Rpm, Stress};

/// A vibration mode of the tool point in one direction, (a + b s) / (s^2 + 2 zeta w s + w^2).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mode {
    natural_rad_s: f64,
    damping: f64,
    /// m/N times (rad/s)^2.
    constant: f64,
    /// m/N times rad/s.
    slope: f64,
}

impl Mode {
    /// From natural frequency, damping ratio and stiffness in newtons a metre.
    pub fn of_stiffness(natural_hz: f64, damping: f64, stiffness_n_m: f64) -> Self {
        let natural_rad_s = TAU * natural_hz;
        Self {
            natural_rad_s,
            damping,
            constant: natural_rad_s * natural_rad_s / stiffness_n_m,
            slope: 0.0,
        }
    }

    /// From natural frequency, damping ratio and the residue sigma + i nu of a fitted tap test.
    pub fn of_residue(natural_hz: f64, damping: f64, sigma: f64, nu: f64) -> Self {
        let natural_rad_s = TAU * natural_hz;
        let damped = natural_rad_s * (1.0 - damping * damping).max(0.0).sqrt();
        Self {
            natural_rad_s,
            damping,
            constant: 2.0 * (damping * natural_rad_s * sigma - damped * nu),
            slope: 2.0 * sigma,
        }
    }

    fn response(&self, w: f64) -> Complex {
        let numerator = Complex(self.constant, self.slope * w);
        let wn = self.natural_rad_s;
        numerator.over(Complex(wn * wn - w * w, 2.0 * self.damping * wn * w))
    }
}

/// A complex number; the few operations the lobes need.
#[derive(Clone, Copy, Debug)]
struct Complex(f64, f64);

impl Complex {
    fn plus(self, o: Self) -> Self {
        Self(self.0 + o.0, self.1 + o.1)
    }
    fn times(self, o: Self) -> Self {
        Self(self.0 * o.0 - self.1 * o.1, self.0 * o.1 + self.1 * o.0)
    }
    fn scaled(self, k: f64) -> Self {
        Self(self.0 * k, self.1 * k)
    }
    fn over(self, o: Self) -> Self {
        let norm = o.0 * o.0 + o.1 * o.1;
        Self(
            (self.0 * o.0 + self.1 * o.1) / norm,
            (self.1 * o.0 - self.0 * o.1) / norm,
        )
    }
    fn size(self) -> f64 {
        self.0.hypot(self.1)
    }
    fn root(self) -> Self {
        let size = self.size();
        let re = (0.5 * (size + self.0)).max(0.0).sqrt();
        let im = (0.5 * (size - self.0)).max(0.0).sqrt();
        Self(re, if self.1 < 0.0 { -im } else { im })
    }
}

/// A milling cut whose stability is asked.
#[derive(Clone, Debug, PartialEq)]
pub struct Lobes {
    /// Teeth.
    pub teeth: f64,
    /// Angles at which a tooth enters and leaves, clockwise from the normal of the feed.
    pub engaged: [Angle; 2],
    /// Tangential cutting coefficient.
    pub tangential: Stress,
    /// Radial coefficient as a share of the tangential.
    pub radial_share: f64,
    /// Modes along the feed.
    pub feed_modes: Vec<Mode>,
    /// Modes across the feed.
    pub normal_modes: Vec<Mode>,
}

/// A point of the border of stability.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Border {
    /// Spindle speed.
    pub rpm: Rpm,
    /// Depth beyond which it chatters.
    pub depth: Length,
    /// Frequency of the chatter.
    pub chatter_hz: f64,
}

/// Angles of engagement of a cut along one side: up milling begins at zero thickness, down milling
/// ends there.
pub fn engaged_angles(width: Length, diameter: Length, up: bool) -> [Angle; 2] {
    let share = (width / diameter).clamp(0.0, 1.0);
    if up {
        [Angle::ZERO, Angle::rad((1.0 - 2.0 * share).acos())]
    } else {
        [Angle::rad((2.0 * share - 1.0).acos()), Angle::rad(PI)]
    }
}

/// Frequencies looked at for each lobe, from a fifth of the lowest mode to three times the highest.
const FREQUENCIES: u32 = 12_000;
/// Phases of one root at neighbouring frequencies differ by less, radians.
const SAME_PHASE: f64 = 0.3;
/// Lobes looked at.
const MOST_LOBES: u32 = 60;

impl Lobes {
    /// Mean directional factors xx, xy, yx, yy.
    fn directional(&self) -> [f64; 4] {
        let kr = self.radial_share;
        let at = |angle: Angle| {
            let p = angle.to_rad();
            let (s, c) = (2.0 * p).sin_cos();
            [
                0.5 * (c - 2.0 * kr * p + kr * s),
                0.5 * (-s - 2.0 * p + kr * c),
                0.5 * (-s + 2.0 * p + kr * c),
                0.5 * (-c - 2.0 * kr * p - kr * s),
            ]
        };
        let [enter, leave] = self.engaged.map(at);
        [0, 1, 2, 3].map(|i| leave[i] - enter[i])
    }

    /// Depths at the border for a chatter frequency, each with the phase its speeds follow from.
    fn at(&self, directional: [f64; 4], hz: f64) -> [Option<(f64, f64)>; 2] {
        let w = TAU * hz;
        let sum = |modes: &[Mode]| {
            modes
                .iter()
                .fold(Complex(0.0, 0.0), |sum, m| sum.plus(m.response(w)))
        };
        let (gx, gy) = (sum(&self.feed_modes), sum(&self.normal_modes));
        let [xx, xy, yx, yy] = directional;
        let a0 = gx.times(gy).scaled(xx * yy - xy * yx);
        let a1 = gx.scaled(xx).plus(gy.scaled(yy));
        // a0 L^2 + a1 L + 1 = 0, written so that a vanishing a0 (modes in one direction only)
        // leaves the one root there is.
        let root = a1.times(a1).plus(a0.scaled(-4.0)).root();
        [1.0, -1.0].map(|sign| {
            let eigen = Complex(-2.0, 0.0).over(a1.plus(root.scaled(sign)));
            let ratio = eigen.1 / eigen.0;
            let depth_m = -TAU * eigen.0 * (1.0 + ratio * ratio)
                / (self.teeth * self.tangential.to_mpa() * 1.0e6);
            let phase = PI - 2.0 * ratio.atan();
            (depth_m > 0.0 && depth_m.is_finite()).then_some((depth_m, phase))
        })
    }

    fn span_hz(&self) -> Option<[f64; 2]> {
        let all = || self.feed_modes.iter().chain(&self.normal_modes);
        let hz = |m: &Mode| m.natural_rad_s / TAU;
        let low = all().map(hz).reduce(f64::min)?;
        let high = all().map(hz).reduce(f64::max)?;
        (low > 0.0 && high.is_finite()).then_some([0.2 * low, 3.0 * high])
    }

    fn frequencies(&self) -> impl Iterator<Item = f64> {
        self.span_hz().into_iter().flat_map(|[low, high]| {
            let step = (high - low) / f64::from(FREQUENCIES);
            (0..=FREQUENCIES).map(move |i| low + step * f64::from(i))
        })
    }

    /// Depth below which no speed chatters, with the place where it is least.
    pub fn floor(&self) -> Option<Border> {
        let directional = self.directional();
        let mut least: Option<(f64, f64, f64)> = None;
        for hz in self.frequencies() {
            for (depth, phase) in self.at(directional, hz).into_iter().flatten() {
                if least.is_none_or(|(d, ..)| depth < d) {
                    least = Some((depth, phase, hz));
                }
            }
        }
        least.map(|(depth_m, phase, hz)| Border {
            rpm: Rpm::rps(hz * TAU / (self.teeth * phase)),
            depth: Length::m(depth_m),
            chatter_hz: hz,
        })
    }

    /// Border at a speed: the least depth of all lobes that pass over it.
    pub fn limit(&self, speed: Rpm) -> Option<Border> {
        let tooth_hz = speed.to_rps() * self.teeth;
        if tooth_hz.is_nan() || tooth_hz <= 0.0 {
            return None;
        }
        let directional = self.directional();
        let mut least: Option<(f64, f64)> = None;
        let mut before: [Option<(f64, f64)>; 2] = [None; 2];
        let mut before_hz = 0.0;
        for hz in self.frequencies() {
            let now = self.at(directional, hz);
            let pairs = before
                .into_iter()
                .flatten()
                .flat_map(|then| now.into_iter().flatten().map(move |now| (then, now)));
            for ((depth_0, phase_0), (depth_1, phase_1)) in pairs {
                // The two roots may change places from one frequency to the next.
                let same = (phase_1 - phase_0).abs() < SAME_PHASE
                    && depth_1 < 2.0 * depth_0
                    && depth_0 < 2.0 * depth_1;
                if !same {
                    continue;
                }
                // Waves between two teeth, less the phase: whole where the speed fits.
                let waves = |hz: f64, phase: f64| hz / tooth_hz - phase / TAU;
                let (l0, l1) = (waves(before_hz, phase_0), waves(hz, phase_1));
                let whole = l0.min(l1).ceil();
                if whole < 0.0 || whole > f64::from(MOST_LOBES) || whole > l0.max(l1) {
                    continue;
                }
                let between = l1 - l0;
                let along = if between.abs() > 0.0 {
                    ((whole - l0) / between).clamp(0.0, 1.0)
                } else {
                    0.0
                };
                let depth = depth_0 + along * (depth_1 - depth_0);
                if least.is_none_or(|(d, _)| depth < d) {
                    least = Some((depth, hz));
                }
            }
            before = now;
            before_hz = hz;
        }
        least.map(|(depth_m, hz)| Border {
            rpm: speed,
            depth: Length::m(depth_m),
            chatter_hz: hz,
        })
    }
}

/// Chip width below which turning on one mode never chatters: 2 k zeta (1 + zeta) / Ks (Schmitz and
/// Smith, Machining Dynamics, chapter 3).
pub fn turning_floor(stiffness_n_m: f64, damping: f64, force: Stress) -> Length {
    Length::m(2.0 * stiffness_n_m * damping * (1.0 + damping) / (force.to_mpa() * 1.0e6))
}

/// Speeds at which the teeth meet a mode in step, where lobes are highest: 60 f / (N (j + 1)) (after
/// the rule that tooth frequency equal to natural frequency is best, ASME J. Eng. Ind. 1990
/// 112(2):142).
pub fn best_speed(natural_hz: f64, teeth: f64, lobe: u32) -> Rpm {
    Rpm::rps(natural_hz / (teeth * f64::from(lobe + 1)))
}
