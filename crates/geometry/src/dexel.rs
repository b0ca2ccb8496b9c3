//! Stock as it stands: lines of material along three axes of the part, from which tools take away
//! from any direction. What one task removed the next does not find, so nothing counts twice.

use glam::{DMat3, DVec2, DVec3, Vec3Swizzles};
use rayon::prelude::*;

/// Lines in all at most.
const MAX_LINES: f64 = 6e6;

/// Material along lines in the three axes, each a square grid of `step_mm`.
#[derive(Clone, Debug, PartialEq)]
pub struct TriDexels {
    low: DVec3,
    high: DVec3,
    step_mm: f64,
    sets: [Vec<Line>; 3],
}

/// A line's place in its own grid and the stretches of material on it, ascending.
#[derive(Clone, Debug, PartialEq)]
struct Line {
    start: DVec3,
    spans: Vec<[f64; 2]>,
}

/// A volume with how far it may be off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Volume {
    /// Mean of the three sets of lines.
    pub mm3: f64,
    /// Half a cell times how much the length of lines varies from line to line, the error of the
    /// midpoint rule, taken from the lines themselves: true unless something thinner than the step
    /// slips between them.
    pub error_mm3: f64,
}

impl TriDexels {
    /// A full box from `low` to `high` in the part's frame.
    pub fn full(low: DVec3, high: DVec3, step_mm: f64) -> TriDexels {
        let size = (high - low).max(DVec3::ZERO);
        let faces = size.x * size.y + size.y * size.z + size.z * size.x;
        let step = step_mm
            .max((faces / MAX_LINES).sqrt())
            .max(f64::MIN_POSITIVE);
        let set = |axis: usize| {
            let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
            let count = |a: usize| (size[a] / step).ceil().max(1.0) as usize;
            let mut lines = Vec::with_capacity(count(u) * count(v));
            for j in 0..count(v) {
                for i in 0..count(u) {
                    let mut start = low;
                    start[u] += (i as f64 + 0.5) * size[u] / count(u) as f64;
                    start[v] += (j as f64 + 0.5) * size[v] / count(v) as f64;
                    lines.push(Line {
                        start,
                        spans: vec![[0.0, size[axis]]],
                    });
                }
            }
            lines
        };
        TriDexels {
            low,
            high,
            step_mm: step,
            sets: [set(0), set(1), set(2)],
        }
    }

    /// Largest distance of lines, mm.
    pub fn step_mm(&self) -> f64 {
        self.step_mm
    }

    fn counts(&self, axis: usize) -> (usize, f64) {
        let size = self.high - self.low;
        let count = |a: usize| (size[a] / self.step_mm).ceil().max(1.0);
        let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
        (count(u) as usize, size[u] * size[v] / (count(u) * count(v)))
    }

    /// What is there.
    pub fn volume(&self) -> Volume {
        let lengths = |line: &Line| line.spans.iter().map(|s| s[1] - s[0]).sum::<f64>();
        self.measure([0, 1, 2].map(|axis| self.sets[axis].iter().map(lengths).collect()))
    }

    fn measure(&self, lengths: [Vec<f64>; 3]) -> Volume {
        let mut volume = Volume {
            mm3: 0.0,
            error_mm3: 0.0,
        };
        for (axis, lengths) in lengths.iter().enumerate() {
            let (width, cell) = self.counts(axis);
            let mut varied = 0.0;
            for (k, l) in lengths.iter().enumerate() {
                // Beyond the box there is nothing; its own sides lie on cell borders and are exact.
                if k % width > 0 {
                    varied += (l - lengths[k - 1]).abs();
                }
                if k >= width {
                    varied += (l - lengths[k - width]).abs();
                }
            }
            volume.mm3 += lengths.iter().sum::<f64>() * cell / 3.0;
            volume.error_mm3 += 0.5 * varied * cell / 3.0;
        }
        volume
    }

    /// Takes away what lies above `cut` (the machined surface over a place, in the setup's frame)
    /// and says how much that was.
    pub fn remove(&mut self, setup_from_part: &DMat3, cut: impl Fn(DVec2) -> f64 + Sync) -> Volume {
        let step = self.step_mm;
        let mut removed = [Vec::new(), Vec::new(), Vec::new()];
        for (axis, (set, removed)) in self.sets.iter_mut().zip(&mut removed).enumerate() {
            let along = setup_from_part.col(axis);
            *removed = set
                .par_iter_mut()
                .map(|line| {
                    let start = *setup_from_part * line.start;
                    let above = |t: f64| {
                        let p = start + along * t;
                        p.z > cut(p.xy())
                    };
                    let before: f64 = line.spans.iter().map(|s| s[1] - s[0]).sum();
                    let mut left = Vec::with_capacity(line.spans.len());
                    for span in &line.spans {
                        keep_below(*span, step, above, &mut left);
                    }
                    line.spans = left;
                    before - line.spans.iter().map(|s| s[1] - s[0]).sum::<f64>()
                })
                .collect();
        }
        self.measure(removed)
    }

    /// Whether there is material at a place, by the line along z next to it.
    pub fn holds(&self, place: DVec3) -> bool {
        let (width, _) = self.counts(2);
        let share = (place - self.low) / (self.high - self.low);
        let height = self.sets[2].len() / width;
        if share.min_element() < 0.0 || share.max_element() > 1.0 {
            return false;
        }
        let index = |s: f64, n: usize| ((s * n as f64) as usize).min(n - 1);
        let line = &self.sets[2][index(share.y, height) * width + index(share.x, width)];
        let t = place.z - self.low.z;
        line.spans.iter().any(|s| s[0] <= t && t <= s[1])
    }
}

/// The stretches of a span that are not `above`: looked at every half step, borders between found
/// by halving.
fn keep_below(
    [from, to]: [f64; 2],
    step: f64,
    above: impl Fn(f64) -> bool,
    left: &mut Vec<[f64; 2]>,
) {
    let count = ((to - from) / (0.5 * step)).ceil().max(1.0);
    let at = |k: f64| from + (to - from) * (k / count);
    // Ends lie on borders of earlier cuts: ask a hair inside.
    let hair = 1e-9 * (to - from);
    let ask = |t: f64| above(t.clamp(from + hair, to - hair));
    let mut open = (!ask(from)).then_some(from);
    let mut last = (from, open.is_none());
    let mut k = 1.0;
    while k <= count {
        let (t, is_above) = (at(k), ask(at(k)));
        if is_above != last.1 {
            let (mut a, mut b) = (last.0, t);
            for _ in 0..40 {
                let middle = 0.5 * (a + b);
                if ask(middle) == last.1 {
                    a = middle;
                } else {
                    b = middle;
                }
            }
            if let Some(start) = open.take() {
                left.push([start, a]);
            } else {
                open = Some(b);
            }
        }
        last = (t, is_above);
        k += 1.0;
    }
    if let Some(start) = open
        && to > start
    {
        left.push([start, to]);
    }
}
