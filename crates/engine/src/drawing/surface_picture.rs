//! The surface of a part seen slantwise from above in a setup, as cells of paper by how each place
//! fares, with the visible edges between faces.

use crate::demand::{Plan, Setup};
use geometry::features::face::SolidFaces;
use geometry::mesh::Mesh;
use geometry::plan::Fate;
use glam::{DVec2, DVec3};
use std::collections::BTreeMap;

/// How a place looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Look {
    /// Made in this setup, by the tool of this rank.
    Made(u8),
    /// Made in another setup.
    Elsewhere,
    /// A hole.
    Hole,
    /// In steps only.
    Stepped,
    /// Not at all.
    Unreached,
    /// Marks and broken edges.
    Apart,
}

/// The picture, in millimetres from its corner.
pub(super) struct Picture {
    /// Rectangles (x, y, width, height) of every look.
    pub areas: BTreeMap<Look, Vec<[f64; 4]>>,
    /// Visible edges.
    pub edges: Vec<[[f64; 2]; 2]>,
    /// Tip of the arrow that stands for the spindle.
    pub spindle: [f64; 2],
    /// Where the letter of a look stands.
    pub labels: Vec<(Look, [f64; 2])>,
    /// Cutters of this setup by rank, numbers in the plan.
    pub tools: Vec<usize>,
}

/// Side of a cell on paper, mm: finer than hatching, coarse enough for small files.
const CELL: f64 = 0.45;
/// The same for telling which edges are hidden: with cells as wide as those of the areas, edges behind
/// a thin wall showed through on small pictures.
const FINE: f64 = CELL / 4.0;
/// Where the eye is: azimuth and height, degrees (a dimetric view that shows top and two sides);
/// of four quarters the one that shows most of what is made in the setup.
const AZIMUTHS: [f64; 4] = [-62.0, 28.0, 118.0, 208.0];
const ELEVATION: f64 = 42.0;
/// Room above the part for the arrow.
const ABOVE: f64 = 12.0;
/// Letters are set on looks of at least this many cells.
const LEAST_LABELLED: usize = 60;

/// The mesh with shared corners, and its points in the setup's frame.
struct Body {
    mesh: Mesh,
    points: Vec<DVec3>,
}

struct Eye {
    right: DVec3,
    up: DVec3,
    toward: DVec3,
    scale: f64,
    shift: DVec2,
}

impl Eye {
    /// Place on paper (y down) and depth, larger nearer.
    fn see(&self, p: DVec3) -> (DVec2, f64) {
        let flat = DVec2::new(p.dot(self.right), -p.dot(self.up));
        (flat * self.scale + self.shift, p.dot(self.toward))
    }
}

pub(super) fn picture(
    solid: &SolidFaces<'_>,
    plan: &Plan,
    setup: &Setup,
    number: usize,
    size: [f64; 2],
) -> Picture {
    let mesh = solid.mesh.welded();
    let points: Vec<DVec3> = mesh
        .points()
        .iter()
        .map(|p| setup.setup_from_part.transform_point3(*p))
        .collect();
    let body = Body { mesh, points };
    let cells = |cell: f64| size.map(|s| (s / cell).ceil() as usize);
    let [width, height] = cells(CELL);
    let tools = tools(plan, number);
    let from = |azimuth: f64| {
        let eye = eye(&body.points, size, azimuth);
        let seen = visible(&body, &eye, CELL, [width, height]);
        let looks = looks(solid, plan, number, &tools, &seen, |cell, t| {
            place_in(cell, width, &eye, &body, t)
        });
        let own = looks
            .iter()
            .filter(|l| matches!(l, Some(Look::Made(_) | Look::Hole)))
            .count();
        (own, eye, looks)
    };
    let first = from(AZIMUTHS[0]);
    let (_, eye, looks) = AZIMUTHS[1..].iter().fold(first, |best, azimuth| {
        let next = from(*azimuth);
        if next.0 > best.0 { next } else { best }
    });
    let mut areas: BTreeMap<Look, Vec<[f64; 4]>> = BTreeMap::new();
    for y in 0..height {
        let row = &looks[y * width..(y + 1) * width];
        let mut x = 0;
        for run in row.chunk_by(|a, b| a == b) {
            if let Some(look) = run[0] {
                areas.entry(look).or_default().push([
                    x as f64 * CELL,
                    y as f64 * CELL,
                    // A hair over, so that no seam shows between rows.
                    run.len() as f64 * CELL + 0.02,
                    CELL + 0.02,
                ]);
            }
            x += run.len();
        }
    }
    let top = body
        .points
        .iter()
        .fold(f64::NEG_INFINITY, |t, p| t.max(p.z));
    let middle = body.points.iter().sum::<DVec3>() / body.points.len().max(1) as f64;
    let (at, _) = eye.see(DVec3::new(middle.x, middle.y, top));
    Picture {
        edges: edges(solid, &body, &eye, cells(FINE)),
        labels: labels(&looks, width),
        areas,
        spindle: [at.x, at.y - 1.0],
        tools,
    }
}

fn eye(points: &[DVec3], size: [f64; 2], azimuth: f64) -> Eye {
    let (sa, ca) = azimuth.to_radians().sin_cos();
    let (se, ce) = ELEVATION.to_radians().sin_cos();
    let toward = DVec3::new(ce * ca, ce * sa, se);
    let right = DVec3::new(-sa, ca, 0.0);
    let up = toward.cross(right);
    let flat = |p: &DVec3| DVec2::new(p.dot(right), -p.dot(up));
    let start = (DVec2::INFINITY, DVec2::NEG_INFINITY);
    let (low, high) = points
        .iter()
        .map(flat)
        .fold(start, |(l, h), p| (l.min(p), h.max(p)));
    let extent = (high - low).max(DVec2::splat(1e-9));
    let scale = (size[0] / extent.x).min((size[1] - ABOVE) / extent.y);
    let shift = DVec2::new(0.5 * (size[0] - extent.x * scale), ABOVE) - low * scale;
    Eye {
        right,
        up,
        toward,
        scale,
        shift,
    }
}

/// Nearest triangle of every cell of some side, with its depth.
fn visible(
    body: &Body,
    eye: &Eye,
    cell_mm: f64,
    [width, height]: [usize; 2],
) -> Vec<Option<(u32, f64)>> {
    let mut out: Vec<Option<(u32, f64)>> = vec![None; width * height];
    for (t, corners) in body.mesh.triangles().iter().enumerate() {
        let [a, b, c] = corners.map(|i| eye.see(body.points[i as usize]));
        let area = (b.0 - a.0).perp_dot(c.0 - a.0);
        // Faces turned away lie behind others of a closed body.
        if area.abs() < 1e-12 {
            continue;
        }
        let low = a.0.min(b.0).min(c.0) / cell_mm;
        let high = a.0.max(b.0).max(c.0) / cell_mm;
        let range = |l: f64, h: f64, n: usize| {
            (l.floor().max(0.0) as usize).min(n)..(h.ceil().max(0.0) as usize).min(n)
        };
        for y in range(low.y, high.y, height) {
            for x in range(low.x, high.x, width) {
                let p = DVec2::new(x as f64 + 0.5, y as f64 + 0.5) * cell_mm;
                let u = (p - a.0).perp_dot(c.0 - a.0) / area;
                let v = (b.0 - a.0).perp_dot(p - a.0) / area;
                if u >= 0.0 && v >= 0.0 && u + v <= 1.0 {
                    let depth = a.1 + u * (b.1 - a.1) + v * (c.1 - a.1);
                    let cell = &mut out[y * width + x];
                    if cell.is_none_or(|(_, known)| depth > known) {
                        *cell = Some((t as u32, depth));
                    }
                }
            }
        }
    }
    out
}

/// Cutters that make something in a setup, most area first.
fn tools(plan: &Plan, number: usize) -> Vec<usize> {
    let mut area: BTreeMap<usize, f64> = BTreeMap::new();
    for (sample, fate) in &plan.surface {
        if let Fate::Finished { setup, cutter } = fate
            && *setup == number
        {
            *area.entry(*cutter).or_default() += sample.area_mm2;
        }
    }
    let mut out: Vec<(usize, f64)> = area.into_iter().collect();
    out.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    out.into_iter().map(|(cutter, _)| cutter).collect()
}

/// Look of every cell: that of the nearest point of its face.
fn looks(
    solid: &SolidFaces<'_>,
    plan: &Plan,
    number: usize,
    tools: &[usize],
    seen: &[Option<(u32, f64)>],
    place_of: impl Fn(usize, u32) -> DVec3,
) -> Vec<Option<Look>> {
    let look = |fate: &Fate| match fate {
        Fate::Finished { setup, cutter } if *setup == number => {
            let rank = tools.iter().position(|t| t == cutter).unwrap_or(0);
            Look::Made(rank.min(17) as u8)
        }
        Fate::Finished { .. } => Look::Elsewhere,
        Fate::Hole => Look::Hole,
        Fate::Stepped { .. } => Look::Stepped,
        Fate::Unreached => Look::Unreached,
        Fate::Apart(_) => Look::Apart,
    };
    let mut of_face: BTreeMap<u32, Vec<(DVec3, Look)>> = BTreeMap::new();
    for (sample, fate) in &plan.surface {
        of_face
            .entry(sample.face)
            .or_default()
            .push((sample.point, look(fate)));
    }
    // Faces that fare alike all over need no search.
    let alike: BTreeMap<u32, Look> = of_face
        .iter()
        .filter(|(_, s)| s.iter().all(|(_, l)| *l == s[0].1))
        .map(|(f, s)| (*f, s[0].1))
        .collect();
    seen.iter()
        .enumerate()
        .map(|(cell, seen)| {
            let (t, _) = (*seen)?;
            let face = solid.face_of_triangle[t as usize];
            if let Some(look) = alike.get(&face) {
                return Some(*look);
            }
            let at = place_of(cell, t);
            let near = |s: &&(DVec3, Look)| s.0.distance_squared(at);
            of_face
                .get(&face)?
                .iter()
                .min_by(|a, b| near(a).total_cmp(&near(b)))
                .map(|s| s.1)
        })
        .collect()
}

/// Place in the part's frame of the middle of a cell on a triangle.
fn place_in(cell: usize, width: usize, eye: &Eye, body: &Body, triangle: u32) -> DVec3 {
    let corners = body.mesh.triangles()[triangle as usize];
    let [a, b, c] = corners.map(|i| eye.see(body.points[i as usize]).0);
    let [pa, pb, pc] = corners.map(|i| body.mesh.points()[i as usize]);
    let p = DVec2::new((cell % width) as f64 + 0.5, (cell / width) as f64 + 0.5) * CELL;
    let area = (b - a).perp_dot(c - a);
    let u = (p - a).perp_dot(c - a) / area;
    let v = (b - a).perp_dot(p - a) / area;
    pa + (pb - pa) * u + (pc - pa) * v
}

/// Length of the pieces an edge is tried in, mm of paper.
const PIECE: f64 = 0.6;

/// Pieces of sharp face borders nothing stands before.
fn edges(
    solid: &SolidFaces<'_>,
    body: &Body,
    eye: &Eye,
    [width, height]: [usize; 2],
) -> Vec<[[f64; 2]; 2]> {
    let mut faces_at: BTreeMap<(u32, u32), Vec<u32>> = BTreeMap::new();
    for (t, corners) in body.mesh.triangles().iter().enumerate() {
        for k in 0..3 {
            let (a, b) = (corners[k], corners[(k + 1) % 3]);
            faces_at
                .entry((a.min(b), a.max(b)))
                .or_default()
                .push(solid.face_of_triangle[t]);
        }
    }
    let sharp = |faces: &[u32]| match faces {
        [one, two] if one != two => solid.borders[*one as usize]
            .iter()
            .any(|b| b.other == *two && b.convex_mm + b.concave_mm > 0.0),
        [_, _] => false,
        _ => true,
    };
    // What lies this much deeper may be the edge's own face, seen beside it.
    let slack = 0.8 * FINE / eye.scale;
    let seen = visible(body, eye, FINE, [width, height]);
    let free = |at: DVec2, depth: f64| {
        let cell = (at / FINE - 0.5).floor();
        (0..4).any(|k| {
            let (x, y) = (cell.x + f64::from(k % 2), cell.y + f64::from(k / 2));
            let inside = x >= 0.0 && y >= 0.0 && x < width as f64 && y < height as f64;
            !inside
                || seen[y as usize * width + x as usize]
                    .is_none_or(|(_, near)| near <= depth + slack)
        })
    };
    let mut out = Vec::new();
    for ((a, b), faces) in faces_at {
        if !sharp(&faces) {
            continue;
        }
        let (from, to) = (
            eye.see(body.points[a as usize]),
            eye.see(body.points[b as usize]),
        );
        let pieces = (from.0.distance(to.0) / PIECE).ceil().clamp(1.0, 1000.0) as usize;
        let at = |share: f64| {
            (
                from.0 + (to.0 - from.0) * share,
                from.1 + (to.1 - from.1) * share,
            )
        };
        let mut begun: Option<usize> = None;
        for k in 0..=pieces {
            let open = k < pieces && {
                let (p, depth) = at((k as f64 + 0.5) / pieces as f64);
                free(p, depth)
            };
            match (begun, open) {
                (None, true) => begun = Some(k),
                (Some(first), false) => {
                    let ends = [first, k].map(|n| at(n as f64 / pieces as f64).0.to_array());
                    out.push(ends);
                    begun = None;
                }
                _ => {}
            }
        }
    }
    out
}

/// Where a look is widest both ways.
fn labels(looks: &[Option<Look>], width: usize) -> Vec<(Look, [f64; 2])> {
    let height = looks.len() / width.max(1);
    // Cells of the same look to the left, right, above, below.
    let mut runs = vec![[0u32; 4]; looks.len()];
    for y in 0..height {
        for x in 0..width {
            let i = y * width + x;
            if x > 0 && looks[i] == looks[i - 1] {
                runs[i][0] = runs[i - 1][0] + 1;
            }
            if y > 0 && looks[i] == looks[i - width] {
                runs[i][2] = runs[i - width][2] + 1;
            }
        }
    }
    for y in (0..height).rev() {
        for x in (0..width).rev() {
            let i = y * width + x;
            if x + 1 < width && looks[i] == looks[i + 1] {
                runs[i][1] = runs[i + 1][1] + 1;
            }
            if y + 1 < height && looks[i] == looks[i + width] {
                runs[i][3] = runs[i + width][3] + 1;
            }
        }
    }
    let mut best: BTreeMap<Look, (u32, usize, usize)> = BTreeMap::new();
    for (i, look) in looks.iter().enumerate() {
        let Some(look) = look else { continue };
        let room = runs[i].into_iter().min().unwrap_or(0);
        let entry = best.entry(*look).or_insert((room, i, 0));
        entry.2 += 1;
        if room > entry.0 {
            (entry.0, entry.1) = (room, i);
        }
    }
    best.into_iter()
        .filter(|(_, (_, _, count))| *count >= LEAST_LABELLED)
        .map(|(look, (_, i, _))| {
            let at = [(i % width) as f64 + 0.5, (i / width) as f64 + 0.5];
            (look, at.map(|c| c * CELL))
        })
        .collect()
}
