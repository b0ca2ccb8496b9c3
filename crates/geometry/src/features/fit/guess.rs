//! A cylinder or cone through a row of patches.

use super::super::round::Round;
use super::{Fit, MOST_CHORD_HEIGHT, TEXT_ROUNDING_MM, UNEVEN};
use glam::DVec3;

impl Fit<'_> {
    /// A cylinder and a cone through a row of patches, each where it fits.
    pub(super) fn guesses(&self, strips: &[u32]) -> Vec<Round> {
        let normal = |k: usize| self.facets.normal[strips[k] as usize];
        let centre = |k: usize| self.facets.centre[strips[k] as usize];
        let last = strips.len() - 1;
        let middle = last / 2;
        let points = self.corner_points(strips);
        if points.len() < 4 {
            return Vec::new();
        }
        let flat_turn = normal(0).cross(normal(last));
        let bent = (normal(middle) - normal(0)).cross(normal(last) - normal(middle));
        let mut out: Vec<Round> = Vec::new();
        for (axis, slope_free) in [(flat_turn, false), (bent, true)] {
            let Some(axis) = axis.try_normalize() else {
                continue;
            };
            // Where the normals of the two ends come nearest to each other, across the axis.
            let across = |v: DVec3| v - v.dot(axis) * axis;
            let (a, b) = (across(normal(0)), across(normal(last)));
            let between = across(centre(last) - centre(0));
            let spread = a.normalize_or_zero() - b.normalize_or_zero();
            if spread.length_squared() < 1e-12 {
                continue;
            }
            let reach = between.dot(spread) / spread.length_squared();
            let origin = centre(0) + reach * a.normalize_or_zero();
            let mut start = Round {
                origin,
                axis,
                radius: 0.0,
                slope: 0.0,
            };
            let polar: Vec<(f64, f64)> = points
                .iter()
                .map(|&p| {
                    let (t, rho, _) = start.polar(p);
                    (t, rho)
                })
                .collect();
            let n = polar.len() as f64;
            let (mt, mr) = polar
                .iter()
                .fold((0.0, 0.0), |(t, r), p| (t + p.0 / n, r + p.1 / n));
            start.radius = mr;
            if slope_free {
                let tt: f64 = polar.iter().map(|p| (p.0 - mt) * (p.0 - mt)).sum();
                let tr: f64 = polar.iter().map(|p| (p.0 - mt) * (p.1 - mr)).sum();
                start.slope = if tt > 0.0 { tr / tt } else { 0.0 };
                start.radius = mr - start.slope * mt;
                start.radius = start.radius.max(1e-9);
            }
            if start.slope.abs() > 50.0 {
                continue;
            }
            let fits = |round: &Round, share: f64| {
                let tolerance = share * self.tolerance(round, strips);
                points.iter().all(|&p| round.distance(p).abs() <= tolerance)
            };
            // Few strips of a cone tell its axis better by their normals than by least squares:
            // one ring and a tip lie on many cones.
            let round = if fits(&start, 0.25) {
                start
            } else {
                let Some(round) = start.fitted(&points, slope_free) else {
                    continue;
                };
                round
            };
            let tolerance = self.tolerance(&round, strips);
            if fits(&round, 1.0) && !self.is_band(&round, &points, tolerance) {
                out.push(round);
                break;
            }
        }
        out
    }

    /// How far corners may lie off the surface, mm: a third of the chord height, so that a flat
    /// beside an arc is told from it, but no more than 0.01: edges where two curved faces cross
    /// miss both surfaces by what the file allows (0.0054 on fillets of a NIST test case).
    pub(super) fn tolerance(&self, round: &Round, strips: &[u32]) -> f64 {
        let chord = strips
            .iter()
            .map(|&f| self.span(round, f).1)
            .fold(0.0f64, f64::max);
        (0.3 * chord).clamp(2e-4, 1e-2) + 4.0 * self.facets.noise
    }

    /// Angle a patch spans about the axis, and the height of that chord.
    pub(super) fn span(&self, round: &Round, facet: u32) -> (f64, f64) {
        let (_, _, out) = round.polar(self.facets.centre[facet as usize]);
        let side = round.axis.cross(out);
        let polar = |c: &u32| round.polar(self.points[*c as usize]);
        let corners = self.facets.corners(facet);
        let widest = corners.iter().fold(0.0f64, |w, c| w.max(polar(c).1));
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for (_, rho, q) in corners.iter().map(polar) {
            // The tip of a cone has no angle, and a young fit has its axis beside it.
            if rho > 0.05 * widest {
                let angle = libm::atan2(q.dot(side), q.dot(out));
                (low, high) = (low.min(angle), high.max(angle));
            }
        }
        let span = (high - low).max(0.0);
        (span, widest * (1.0 - libm::cos(span / 2.0)))
    }

    /// A tessellated cylinder has most of its corners on it but for rounding; a band of a freeform
    /// face only comes near (median 1e-3 against 1e-5 in the models tried).
    pub(super) fn is_band(&self, round: &Round, points: &[DVec3], tolerance: f64) -> bool {
        if points.is_empty() {
            return false;
        }
        let mut off: Vec<f64> = points.iter().map(|&p| round.distance(p).abs()).collect();
        let middle = off.len() / 2;
        let (_, median, _) = off.select_nth_unstable_by(middle, f64::total_cmp);
        *median > self.band_limit(tolerance)
    }

    /// How far half of the corners may lie off a surface that others may leave by `tolerance`.
    pub(super) fn band_limit(&self, tolerance: f64) -> f64 {
        (0.1 * tolerance).min(2e-4) + TEXT_ROUNDING_MM + 4.0 * self.facets.noise
    }

    /// Whether patches on a surface look like a tessellated arc rather than drawn flats.
    pub(super) fn is_round(&self, round: &Round, inside: &[u32]) -> bool {
        let mut spans: Vec<(f64, f64)> = inside.iter().map(|&f| self.span(round, f)).collect();
        spans.sort_by(|a, b| b.0.total_cmp(&a.0));
        let [(widest, height), (second, _), ..] = spans[..] else {
            return false;
        };
        let sweep: f64 = self.sweep(round, inside);
        inside.len() >= 3
            && widest <= UNEVEN * second
            && (height <= MOST_CHORD_HEIGHT || widest <= 0.27)
            && (sweep >= 0.45 || sweep >= 0.17 && inside.len() >= 5)
    }

    /// Angle covered about the axis, rad.
    pub(super) fn sweep(&self, round: &Round, inside: &[u32]) -> f64 {
        let (u, v) = round.axis.any_orthonormal_pair();
        let arcs = inside.iter().map(|&f| {
            let (_, _, q) = round.polar(self.facets.centre[f as usize]);
            let half = self.span(round, f).0 / 2.0;
            (libm::atan2(q.dot(v), q.dot(u)), half)
        });
        super::super::piece::covered(arcs.collect())
    }
}
