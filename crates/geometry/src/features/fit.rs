//! Faces of a plain triangle mesh: planes, cylinders, cones, and rounded rims found again.
//!
//! 1. Triangles are joined to flat patches ([`super::facet`]).
//! 2. From every patch, largest first, a walk over neighbours that turn by like angles gives a few
//!    strips of one round surface. Axis from their normals, then least squares on the points where
//!    three patches meet: a tessellator puts those on the true surface, so radii come out exact
//!    rather than a chord height too small.
//! 3. The surface grows over all patches whose corners lie on it and is refitted as it grows.
//! 4. Cones in a row about one axis whose edges lie on one circle are a torus or a sphere.
//! 5. What is left is flat where it meets its neighbours at edges, otherwise freeform.
//!
//! Limits: surfaces must come from a tessellator, not a scanner. A circle needs eight chords. A
//! fillet needs three strips. Two chamfers side by side are two planes, not a coarse fillet.

use super::face::{SolidFaces, Surface};
use super::facet::{Facets, facets};
use super::round::Round;
use crate::mesh::Mesh;
use glam::DVec3;

/// Largest turn from strip to strip, rad: a circle of eight chords, and rounding.
const MOST_TURN: f64 = 0.82;
/// Least turn from strip to strip, rad; below it the patches were joined already.
const LEAST_TURN: f64 = 5e-4;
/// Chord heights above this are taken for flats that somebody drew, not for tessellation, mm;
/// meshes for print or review are seldom coarser (common practice, no source). Circles of 24
/// chords and more pass at any size.
const MOST_CHORD_HEIGHT: f64 = 0.6;
/// Widest chord against the second widest: tessellators cut arcs evenly. Two equal fillets beside
/// a narrow wall also lie on one circle, but their wall is one wide chord.
const UNEVEN: f64 = 2.2;

/// Finds the faces of a mesh in millimetres.
pub fn fit_faces(mesh: &Mesh) -> SolidFaces<'_> {
    let welded = mesh.welded();
    let facets = facets(&welded);
    let mut fit = Fit {
        points: welded.points(),
        facets: &facets,
        face: vec![FREE; facets.len()],
        surfaces: Vec::new(),
    };
    fit.find_round();
    fit.join_rims();
    fit.name_the_rest();
    fit.give_back_freeform();
    let face_of_triangle: Vec<u32> = facets
        .of_triangle
        .iter()
        .map(|&f| fit.face[f as usize])
        .collect();
    SolidFaces::new(mesh, &fit.surfaces, &face_of_triangle)
}

const FREE: u32 = u32::MAX;

struct Fit<'a> {
    points: &'a [DVec3],
    facets: &'a Facets,
    /// Face of every patch.
    face: Vec<u32>,
    surfaces: Vec<Surface>,
}

/// A round surface with the patches on it.
struct Grown {
    round: Round,
    facets: Vec<u32>,
    area: f64,
}

impl Fit<'_> {
    fn find_round(&mut self) {
        let mut order: Vec<u32> = (0..self.facets.len() as u32).collect();
        order.sort_by(|&a, &b| {
            let area = |f: u32| self.facets.area[f as usize];
            area(b).total_cmp(&area(a)).then(a.cmp(&b))
        });
        let mut stamp = vec![0u32; self.facets.len()];
        let mut tried = vec![false; self.facets.len()];
        let mut turn = 0;
        for seed in order {
            if self.face[seed as usize] != FREE || tried[seed as usize] {
                continue;
            }
            let mut best: Option<Grown> = None;
            for strips in self.walks(seed) {
                for start in self.guesses(&strips) {
                    turn += 1;
                    if let Some(grown) = self.grow(start, &strips, &mut stamp, &mut tried, turn)
                        && best.as_ref().is_none_or(|b| grown.area > 1.001 * b.area)
                    {
                        best = Some(grown);
                    }
                }
            }
            if let Some(grown) = best {
                let face = self.surfaces.len() as u32;
                grown
                    .facets
                    .iter()
                    .for_each(|&f| self.face[f as usize] = face);
                self.surfaces.push(self.surface_of(&grown));
            }
        }
    }

    /// Rows of at least three patches through `seed`, turning by like angles in like sense.
    fn walks(&self, seed: u32) -> Vec<Vec<u32>> {
        let smooth = |f: u32| {
            let mut links: Vec<_> = self
                .facets
                .links(f)
                .iter()
                .filter(|l| {
                    (LEAST_TURN..=MOST_TURN).contains(&l.turn.abs())
                        && self.face[l.other as usize] == FREE
                })
                .collect();
            links.sort_by(|a, b| b.length.total_cmp(&a.length).then(a.other.cmp(&b.other)));
            links.truncate(6);
            links
        };
        let mut out = Vec::new();
        let around = smooth(seed);
        for (i, one) in around.iter().enumerate() {
            for two in &around[i + 1..] {
                let like = one.turn * two.turn > 0.0
                    && one.turn / two.turn < 1.6
                    && two.turn / one.turn < 1.6
                    && self.turns_on(one.other, seed, two.other);
                if !like || out.len() >= 3 {
                    continue;
                }
                let mut strips = vec![seed];
                for first in [one, two] {
                    strips.reverse();
                    let (mut before, mut at) = (seed, first.other);
                    let mut turned = first.turn.abs();
                    strips.push(at);
                    // A cone needs six points: five strips of a coarse one.
                    let enough = strips.len() + 1;
                    while (turned < 0.35 || strips.len() < enough) && strips.len() < 120 {
                        let next = smooth(at).into_iter().find(|l| {
                            l.turn * first.turn > 0.0
                                && l.turn / first.turn < 1.6
                                && first.turn / l.turn < 1.6
                                && self.turns_on(before, at, l.other)
                                && !strips.contains(&l.other)
                        });
                        let Some(next) = next else { break };
                        turned += next.turn.abs();
                        before = at;
                        at = next.other;
                        strips.push(at);
                    }
                }
                out.push(strips);
            }
        }
        out
    }

    /// Whether the normal keeps turning the same way over three patches.
    fn turns_on(&self, one: u32, two: u32, three: u32) -> bool {
        let [a, b, c] = [one, two, three].map(|f| self.facets.normal[f as usize]);
        (a - b).dot(c - b) < 0.0
    }

    fn corner_points(&self, strips: &[u32]) -> Vec<DVec3> {
        let mut corners: Vec<u32> = strips
            .iter()
            .flat_map(|&f| self.facets.corners(f))
            .copied()
            .collect();
        corners.sort_unstable();
        corners.dedup();
        corners
            .into_iter()
            .map(|c| self.points[c as usize])
            .collect()
    }

    /// A cylinder and a cone through a row of patches, each where it fits.
    fn guesses(&self, strips: &[u32]) -> Vec<Round> {
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
    fn tolerance(&self, round: &Round, strips: &[u32]) -> f64 {
        let chord = strips
            .iter()
            .map(|&f| self.span(round, f).1)
            .fold(0.0f64, f64::max);
        (0.3 * chord).clamp(2e-4, 1e-2) + 4.0 * self.facets.noise
    }

    /// Angle a patch spans about the axis, and the height of that chord.
    fn span(&self, round: &Round, facet: u32) -> (f64, f64) {
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

    fn lies_on(&self, round: &Round, facet: u32, sign: f64, tolerance: f64) -> bool {
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

    fn grow(
        &self,
        start: Round,
        strips: &[u32],
        stamp: &mut [u32],
        tried: &mut [bool],
        turn: u32,
    ) -> Option<Grown> {
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
        let mut inside: Vec<u32> = Vec::new();
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
                    let points = self.corner_points(&inside);
                    round = trimmed(&round, &points, slope_free)?;
                    // Growing over freeform would cost its size again from every seed.
                    if self.is_band(&round, &points, tolerance) {
                        inside.iter().for_each(|&f| tried[f as usize] = true);
                        return None;
                    }
                }
            }
            at += 1;
        }
        round = trimmed(&round, &self.corner_points(&inside), slope_free)?;
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
        let points = self.corner_points(&inside);
        round = trimmed(&round, &points, slope_free)?;
        if points
            .iter()
            .any(|&p| round.distance(p).abs() > 2.0 * tolerance)
        {
            return None;
        }
        if self.is_band(&round, &points, tolerance) {
            inside.iter().for_each(|&f| tried[f as usize] = true);
            return None;
        }
        self.is_round(&round, &inside).then(|| Grown {
            round,
            area: inside.iter().map(|&f| self.facets.area[f as usize]).sum(),
            facets: inside,
        })
    }

    /// A tessellated cylinder has most of its corners on it but for rounding; a band of a freeform
    /// face only comes near (median 1e-3 against 1e-5 in the models tried).
    fn is_band(&self, round: &Round, points: &[DVec3], tolerance: f64) -> bool {
        let mut off: Vec<f64> = points.iter().map(|&p| round.distance(p).abs()).collect();
        off.sort_by(f64::total_cmp);
        // Text files carry four decimals.
        let rounding = 3e-5 + 4.0 * self.facets.noise;
        off.get(points.len() / 2)
            .is_some_and(|&m| m > (0.1 * tolerance).min(2e-4) + rounding)
    }

    /// Whether patches on a surface look like a tessellated arc rather than drawn flats.
    fn is_round(&self, round: &Round, inside: &[u32]) -> bool {
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
    fn sweep(&self, round: &Round, inside: &[u32]) -> f64 {
        let (u, v) = round.axis.any_orthonormal_pair();
        let arcs = inside.iter().map(|&f| {
            let (_, _, q) = round.polar(self.facets.centre[f as usize]);
            let half = self.span(round, f).0 / 2.0;
            (libm::atan2(q.dot(v), q.dot(u)), half)
        });
        super::piece::covered(arcs.collect())
    }

    fn surface_of(&self, grown: &Grown) -> Surface {
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

    /// Joins cones in a row about one axis into tori and spheres.
    fn join_rims(&mut self) {
        let mut faces_at: Vec<Vec<u32>> = vec![Vec::new(); self.surfaces.len()];
        for (f, &face) in self.face.iter().enumerate() {
            if face != FREE {
                faces_at[face as usize].push(f as u32);
            }
        }
        let mut group: Vec<usize> = (0..self.surfaces.len()).collect();
        let mut seen = vec![false; self.surfaces.len()];
        for first in 0..self.surfaces.len() {
            let Surface::Cone { axis, apex, .. } = self.surfaces[first] else {
                continue;
            };
            if seen[first] {
                continue;
            }
            let line = Round {
                origin: apex,
                axis,
                radius: 1.0,
                slope: 0.0,
            };
            let mut row = vec![first];
            seen[first] = true;
            let mut at = 0;
            while at < row.len() {
                for &f in &faces_at[row[at]] {
                    for link in self.facets.links(f) {
                        let other = self.face[link.other as usize];
                        if other == FREE || seen[other as usize] || link.turn.abs() > 0.6 {
                            continue;
                        }
                        if let Surface::Cone {
                            axis: near, apex, ..
                        } = self.surfaces[other as usize]
                            && axis.cross(near).length() < 2e-2
                            && {
                                let middle = self.facets.centre[link.other as usize];
                                let on_axis = apex + near * (middle - apex).dot(near);
                                line.polar(on_axis).1 < 2e-2
                            }
                        {
                            seen[other as usize] = true;
                            row.push(other as usize);
                        }
                    }
                }
                at += 1;
            }
            if row.len() >= 3
                && let Some(surface) = self.rim(&line, &row, &faces_at)
            {
                row.iter().for_each(|&r| group[r] = first);
                self.surfaces[first] = surface;
            }
        }
        for face in self.face.iter_mut().filter(|f| **f != FREE) {
            *face = group[*face as usize] as u32;
        }
        self.pack();
    }

    /// The torus or sphere whose outline passes through the corners of all faces in `row`.
    fn rim(&self, line: &Round, row: &[usize], faces_at: &[Vec<u32>]) -> Option<Surface> {
        let strips: Vec<u32> = row.iter().flat_map(|&r| faces_at[r].clone()).collect();
        let outline: Vec<(f64, f64)> = self
            .corner_points(&strips)
            .into_iter()
            .map(|p| {
                let (t, rho, _) = line.polar(p);
                (t, rho)
            })
            .collect();
        let (t, rho, radius) = circle(&outline)?;
        let tolerance = (0.02 * radius).min(5e-3) + 4.0 * self.facets.noise;
        let off = |&(a, b): &(f64, f64)| (libm::hypot(a - t, b - rho) - radius).abs();
        if outline.iter().any(|p| off(p) > tolerance) {
            return None;
        }
        let centre = line.origin + t * line.axis;
        Some(if rho.abs() <= tolerance {
            Surface::Sphere {
                centre,
                radius_mm: radius,
            }
        } else {
            Surface::Torus {
                axis: line.axis,
                centre,
                major_mm: rho,
                minor_mm: radius,
            }
        })
    }

    /// Renumbers faces without gaps.
    fn pack(&mut self) {
        let mut number = vec![FREE; self.surfaces.len()];
        let mut kept = Vec::new();
        for face in self.face.iter_mut().filter(|f| **f != FREE) {
            let slot = &mut number[*face as usize];
            if *slot == FREE {
                *slot = kept.len() as u32;
                kept.push(self.surfaces[*face as usize]);
            }
            *face = *slot;
        }
        self.surfaces = kept;
    }

    /// Planes and freeform faces from the patches no round surface took.
    fn name_the_rest(&mut self) {
        let free: Vec<u32> = (0..self.facets.len() as u32)
            .filter(|&f| self.face[f as usize] == FREE)
            .collect();
        let smooth = |fit: &Fit<'_>, l: &super::facet::Link| {
            fit.face[l.other as usize] == FREE && l.turn.abs() <= 0.35
        };
        let mut freeform = vec![false; self.facets.len()];
        for &f in &free {
            let links = self.facets.links(f);
            let round: f64 = links.iter().map(|l| l.length).sum();
            let soft: f64 = links
                .iter()
                .filter(|l| smooth(self, l))
                .map(|l| l.length)
                .sum();
            freeform[f as usize] =
                soft > 0.5 * round || self.facets.normal[f as usize] == DVec3::ZERO;
        }
        for &seed in &free {
            if self.face[seed as usize] != FREE {
                continue;
            }
            let face = self.surfaces.len() as u32;
            self.face[seed as usize] = face;
            if !freeform[seed as usize] {
                self.surfaces.push(Surface::Plane {
                    normal: self.facets.normal[seed as usize],
                    origin: self.facets.centre[seed as usize],
                });
                continue;
            }
            self.surfaces.push(Surface::Other);
            let mut open = vec![seed];
            while let Some(f) = open.pop() {
                for link in self.facets.links(f) {
                    let other = link.other as usize;
                    if freeform[other] && self.face[other] == FREE && link.turn.abs() <= 0.35 {
                        self.face[other] = face;
                        open.push(link.other);
                    }
                }
            }
        }
    }

    /// A freeform face holds bands that pass for cylinders and cones; those that run smoothly into
    /// freeform along most of their border belong to it.
    fn give_back_freeform(&mut self) {
        loop {
            let mut border = vec![(0.0, 0.0, FREE); self.surfaces.len()];
            for f in 0..self.facets.len() as u32 {
                let own = self.face[f as usize];
                for link in self.facets.links(f) {
                    let other = self.face[link.other as usize];
                    if other == own {
                        continue;
                    }
                    let slot = &mut border[own as usize];
                    slot.0 += link.length;
                    let freeform = matches!(self.surfaces[other as usize], Surface::Other);
                    if freeform && link.turn.abs() <= 0.35 {
                        slot.1 += link.length;
                        slot.2 = slot.2.min(other);
                    }
                }
            }
            let mut to: Vec<u32> = (0..self.surfaces.len() as u32).collect();
            for (face, (round, soft, other)) in border.into_iter().enumerate() {
                let fitted = matches!(
                    self.surfaces[face],
                    Surface::Cylinder { .. } | Surface::Cone { .. }
                );
                if fitted && soft > 0.4 * round {
                    to[face] = other;
                }
            }
            if to.iter().enumerate().all(|(i, &t)| i as u32 == t) {
                break;
            }
            for face in &mut self.face {
                *face = to[*face as usize];
            }
            self.pack();
        }
    }
}

/// Fit by least squares, then again without the points on edges that miss the surface: most points
/// of a tessellated face lie on it exactly.
fn trimmed(start: &Round, points: &[DVec3], slope_free: bool) -> Option<Round> {
    let mut round = start.fitted(points, slope_free)?;
    for _ in 0..2 {
        if points.len() < 12 {
            break;
        }
        let mut off: Vec<f64> = points.iter().map(|&p| round.distance(p).abs()).collect();
        off.sort_by(f64::total_cmp);
        let limit = 2.0 * off[points.len() / 2] + 1e-6;
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

/// Circle through points by algebraic least squares (I. Kasa, IEEE Trans. Instrum. Meas. 25,
/// 1976), which has no bias on points that lie on a circle.
fn circle(points: &[(f64, f64)]) -> Option<(f64, f64, f64)> {
    let n = points.len() as f64;
    let (mx, my) = points
        .iter()
        .fold((0.0, 0.0), |(x, y), p| (x + p.0 / n, y + p.1 / n));
    let (mut xx, mut xy, mut yy, mut xz, mut yz) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for p in points {
        let (x, y) = (p.0 - mx, p.1 - my);
        let z = x * x + y * y;
        xx += x * x;
        xy += x * y;
        yy += y * y;
        xz += x * z;
        yz += y * z;
    }
    let det = xx * yy - xy * xy;
    if det <= 1e-12 * (xx + yy) * (xx + yy) {
        return None;
    }
    let x = (xz * yy - yz * xy) / (2.0 * det);
    let y = (yz * xx - xz * xy) / (2.0 * det);
    let radius = (x * x + y * y + (xx + yy) / n).sqrt();
    Some((x + mx, y + my, radius))
}
