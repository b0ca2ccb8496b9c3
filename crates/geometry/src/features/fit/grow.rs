//! Growing a guessed surface over its neighbours.

use super::super::face::Surface;
use super::super::round::Round;
use super::{FREE, Fit, Grown, MANY, MOST_TURN};
use glam::DVec3;

impl Fit<'_> {
    /// The surface with everything it runs over; `None` when it is none after all.
    pub(super) fn grow(
        &self,
        start: Round,
        strips: &[u32],
        stamp: &mut [u32],
        tried: &mut [bool],
        turn: u32,
    ) -> Option<Grown> {
        let mut inside: Vec<u32> = Vec::new();
        let grown = self.spread(start, strips, stamp, &mut inside, turn);
        if grown.is_none() && inside.len() >= MANY {
            inside.iter().for_each(|&f| tried[f as usize] = true);
        }
        grown.map(|round| Grown {
            round,
            area: inside.iter().map(|&f| self.facets.area[f as usize]).sum(),
            facets: inside,
        })
    }

    fn spread(
        &self,
        start: Round,
        strips: &[u32],
        stamp: &mut [u32],
        inside: &mut Vec<u32>,
        turn: u32,
    ) -> Option<Round> {
        let mut round = start;
        let sign = {
            let f = strips[strips.len() / 2] as usize;
            1f64.copysign(
                round
                    .normal(self.facets.centre[f])
                    .dot(self.facets.normal[f]),
            )
        };
        let slope_free = round.slope != 0.0;
        let tolerance = self.tolerance(&round, strips);
        let mut refit_at = 2 * strips.len();
        let mut at = 0;
        for &f in strips {
            if !self.lies_on(&round, f, sign, tolerance) {
                return None;
            }
            stamp[f as usize] = turn;
            inside.push(f);
        }
        while at < inside.len() {
            for link in self.facets.links(inside[at]) {
                let f = link.other;
                if stamp[f as usize] == turn
                    || self.face[f as usize] != FREE
                    || link.turn.abs() > MOST_TURN && self.facets.area[f as usize] > 1e-6
                    || !self.lies_on(&round, f, sign, tolerance)
                {
                    continue;
                }
                stamp[f as usize] = turn;
                inside.push(f);
                if inside.len() >= refit_at {
                    refit_at *= 2;
                    let points = self.corner_points(inside);
                    round = trimmed(&round, &points, slope_free)?;
                    if self.is_band(&round, &points, tolerance) {
                        return None;
                    }
                }
            }
            at += 1;
        }
        round = trimmed(&round, &self.corner_points(inside), slope_free)?;
        // Once more with the surface well known: the first strips of a small fillet leave it loose.
        for at in 0..inside.len() {
            for link in self.facets.links(inside[at]) {
                let f = link.other;
                if stamp[f as usize] != turn
                    && self.face[f as usize] == FREE
                    && self.lies_on(&round, f, sign, 1.5 * tolerance)
                {
                    stamp[f as usize] = turn;
                    inside.push(f);
                }
            }
        }
        let points = self.corner_points(inside);
        round = trimmed(&round, &points, slope_free)?;
        let stray = points
            .iter()
            .any(|&p| round.distance(p).abs() > 2.0 * tolerance);
        (!stray && !self.is_band(&round, &points, tolerance) && self.is_round(&round, inside))
            .then_some(round)
    }

    pub(super) fn lies_on(&self, round: &Round, facet: u32, sign: f64, tolerance: f64) -> bool {
        let corners = self.facets.corners(facet);
        if corners.len() < 2
            || corners
                .iter()
                .any(|&c| round.distance(self.points[c as usize]).abs() > tolerance)
        {
            return false;
        }
        let f = facet as usize;
        let facing = sign
            * round
                .normal(self.facets.centre[f])
                .dot(self.facets.normal[f]);
        // Needles carry no normal of their own.
        let needle = self.facets.area[f] < 1e-9 + 50.0 * self.facets.noise * tolerance;
        (facing > 0.6 || needle) && self.span(round, facet).0 <= MOST_TURN
    }

    pub(super) fn surface_of(&self, grown: &Grown) -> Surface {
        let round = &grown.round;
        let points = self.corner_points(&grown.facets);
        let heights = points.iter().map(|&p| round.polar(p).0);
        let (low, high) = heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), t| {
            (l.min(t), h.max(t))
        });
        // A draft below what the points can tell, or below 0.05 degrees, is a cylinder.
        let taper = round.slope.abs() * (high - low);
        if round.slope == 0.0 || taper < 1e-3 + 4.0 * self.facets.noise || round.slope.abs() < 1e-3
        {
            let cylinder = Round {
                slope: 0.0,
                ..*round
            };
            let round = trimmed(&cylinder, &points, false).unwrap_or(cylinder);
            return Surface::Cylinder {
                axis: round.axis,
                origin: round.origin,
                radius_mm: round.radius,
            };
        }
        Surface::Cone {
            axis: round.axis * 1f64.copysign(round.slope),
            apex: round.origin - round.axis * (round.radius / round.slope),
            half_angle_rad: libm::atan(round.slope.abs()),
        }
    }
}

/// Points a fit uses at most, spread evenly over those there are: noise of f32 coordinates is
/// averaged to a twentieth, and a surface of a hundred thousand strips costs no more than one of
/// three hundred.
const MOST_POINTS: usize = 600;

/// Fit by least squares, then again without the points on edges that miss the surface: most points
/// of a tessellated face lie on it exactly.
pub(super) fn trimmed(start: &Round, points: &[DVec3], slope_free: bool) -> Option<Round> {
    let step = points.len().div_ceil(MOST_POINTS).max(1);
    let points: Vec<DVec3> = points.iter().copied().step_by(step).collect();
    let mut round = start.fitted(&points, slope_free)?;
    for _ in 0..2 {
        if points.len() < 12 {
            break;
        }
        let mut off: Vec<f64> = points.iter().map(|&p| round.distance(p).abs()).collect();
        let middle = off.len() / 2;
        let (_, median, _) = off.select_nth_unstable_by(middle, f64::total_cmp);
        let limit = 2.0 * *median + 1e-6;
        let kept: Vec<DVec3> = points
            .iter()
            .copied()
            .filter(|&p| round.distance(p).abs() <= limit)
            .collect();
        if kept.len() == points.len() {
            break;
        }
        round = round.fitted(&kept, slope_free)?;
    }
    Some(round)
}
